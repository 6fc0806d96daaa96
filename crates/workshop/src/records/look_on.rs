//! A lap looked at while it is taken.

use super::at_lap::AtLap;
use super::compose::{calibration_held, calibration_of, side_of, state_of};
use super::measured::beside;
use super::visit::nothing_yet;
use super::{Error, Id, Shop};
use crate::lap_watch::{Watched, watch};
use crate::view::LapView;
use ledger::entry::{Face, Takes};
use ledger::state::Current;
use metrology::lap::{self, Axis, Lap, RunoutPoint, Taken};
use metrology::visit::{Calibration, ShopSettings, Visit};
use quantity::force::ForceUnit;
use quantity::{Angle, Length};
use std::collections::BTreeSet;
use wheel::{KindIndex, SpokeIndex};

impl Shop {
    /// A lap as far as it goes: place by place, every reading against its side, and what asks to be taken again.
    /// Of what else the wheel ever went through nothing is read.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such lap.
    pub async fn look_on(&self, lap: Id, unit: ForceUnit) -> Result<(LapView, Watched), Error> {
        let at = self.lap_at(lap).await?;
        let calibrations = self.calibrations_of(&at).await?;
        let settings = self.shop_settings().await?;
        let view = at.view();
        let taken = taken(&at, &view);
        let passed_over = passed_over(&view);
        let visit = alone(at, taken, calibrations, settings);
        let watched = beside(move || watch(&visit, &passed_over, unit)).await?;
        Ok((view, watched))
    }

    /// The calibrations that hold for a lap of readings, one for each spoke kind that has one.
    async fn calibrations_of(&self, at: &AtLap) -> Result<Vec<Calibration>, Error> {
        let of = &at.lap.body;
        let (Some(id), Some(gauge), Takes::Reading) = (of.gauge, &at.gauge, of.takes) else {
            return Ok(Vec::new());
        };
        let visit: Current<ledger::entry::Visit> = self.current(of.visit).await?;
        let record = self.gauge_record(id).await?;
        let named: BTreeSet<Id> = of.calibration.into_iter().collect();
        let kinds = at.wheel.kinds.iter().enumerate();
        let held = kinds.filter_map(|(place, kind)| {
            let held = calibration_held(&record, &kind.name, &named, visit.body.taken)?;
            Some(calibration_of(held, gauge, KindIndex(place)))
        });
        Ok(held.collect())
    }
}

/// Spokes that were passed over.
fn passed_over(view: &LapView) -> Vec<SpokeIndex> {
    let places = view.places.iter();
    let passed = places.filter(|place| {
        let stands = place.reading.as_ref();
        stands.is_some_and(|reading| reading.value.is_none())
    });
    passed.map(|place| SpokeIndex(place.spoke - 1)).collect()
}

/// What was read so far.
fn taken(at: &AtLap, view: &LapView) -> Taken {
    let read = || {
        let places = view.places.iter();
        places.filter_map(|place| Some((place, place.reading.as_ref()?.value?)))
    };
    let runout = |axis| Taken::Runout {
        axis,
        face: side_of(at.lap.body.face.unwrap_or(Face::Right)), // until it is said; a face is not drawn
        points: read()
            .map(|(place, mm)| RunoutPoint {
                at: Angle::deg(place.seat_angle_deg),
                displacement: Length::mm(mm),
            })
            .collect(),
    };
    match at.lap.body.takes {
        Takes::Lateral => runout(Axis::Lateral),
        Takes::Radial => runout(Axis::Radial),
        Takes::Pitch => Taken::Pitch {
            hertz: read()
                .map(|(place, hertz)| (SpokeIndex(place.spoke - 1), hertz))
                .collect(),
        },
        Takes::Reading => Taken::Readings {
            gauge: view.gauge.clone().unwrap_or_default(),
            readings: read()
                .map(|(place, divisions)| lap::Reading {
                    spoke: SpokeIndex(place.spoke - 1),
                    divisions,
                })
                .collect(),
        },
    }
}

/// The lap as the only one of a visit.
fn alone(at: AtLap, taken: Taken, calibrations: Vec<Calibration>, settings: ShopSettings) -> Visit {
    let lap = Lap {
        state: state_of(at.lap.body.state),
        pressure: None,
        by: None,
        start: SpokeIndex(usize::try_from(at.lap.body.start - 1).unwrap_or(0)),
        counted: lap::Counted::Up,
        temperature_c: at.lap.body.temperature_c,
        taken,
    };
    Visit {
        gauges: at.gauge.into_iter().collect(),
        calibrations,
        laps: vec![lap],
        settings,
        ..nothing_yet(at.wheel)
    }
}
