//! A visit that was read, put in together.

use super::batch::Batch;
use super::{VisitIn, WhichWheel};
use crate::clock;
use crate::records::compose::{gauge_of, rig_point, wheel_of};
use crate::records::pen::{findings, now, time_said};
use crate::records::wheel::OF_SURVEYS;
use crate::records::{Error, Id, Pen, Shop};
use crate::take_in::WithFiles;
use files::export::{self, millimetres};
use files::{Source, gauge_file};
use ledger::entry::{Bearing, Calibration, Gauge, Setting, Stamp, Visit, Wheel};
use metrology::visit::{RigPoint, ShopSettings};

impl Shop {
    /// Puts a visit in that was read.
    pub(in crate::records) async fn put_visit(
        &self,
        pen: &Pen,
        read: WithFiles,
        which: WhichWheel,
    ) -> Result<VisitIn, Error> {
        let visit = &read.visit;
        let by = visit.by.clone();
        let stamp = Stamp { by, ..pen.stamp() };
        let mut batch = Batch::new(self, stamp);
        let (taken, taken_zone) = time_said(Some(visit.taken.clone()))?;
        let wheel = match self.same_wheel(&read, which).await? {
            Some(wheel) => {
                self.refuse_twice(wheel, taken).await?;
                wheel
            }
            None => {
                let file = read.files.first().map(|file| file.text().to_owned());
                batch.add(Wheel {
                    label: self.ledger.free_label(now()).await?,
                    name: visit.wheel.name.clone(),
                    owner: None,
                    contact: None,
                    file: file.unwrap_or_default(),
                    note: None,
                })
            }
        };
        let mut gauges = Vec::new();
        for gauge in &visit.gauges {
            gauges.push((
                gauge.label.clone(),
                self.same_gauge(&mut batch, gauge, &read.files).await?,
            ));
        }
        for set in &visit.calibrations {
            let of = gauges.iter().find(|(label, _)| *label == set.gauge.label);
            let Some(&(_, gauge)) = of else { continue };
            let spoke_kind = visit.wheel.kinds[set.kind.0].name.clone();
            if !self
                .has_points(gauge, &spoke_kind, &set.points, &batch)
                .await?
            {
                let calibration = Calibration {
                    gauge,
                    spoke_kind,
                    batch: None,
                    taken,
                    taken_zone: taken_zone.clone(),
                    operator: None,
                    temperature_c: None,
                    rig: None,
                    note: Some(format!("points of {}", set.points_name)),
                };
                batch.add_calibration(calibration, &set.points);
            }
        }
        let id = batch.add(Visit {
            wheel,
            taken,
            taken_zone,
            asked: visit.asked.clone(),
            bearing: visit.bearing_play.map(|play| match play {
                true => Bearing::Play,
                false => Bearing::Tight,
            }),
            not_checked: visit.not_checked.clone(),
            note: None,
        });
        for lap in &visit.laps {
            batch.add_lap(id, lap, &gauges, &visit.wheel);
        }
        batch.add_judged(id, visit);
        let mut told: Vec<String> = read.findings.iter().map(|one| one.says.clone()).collect();
        told.extend(self.add_settings(&mut batch, &visit.settings).await?);
        let receipt = self.ledger.append(batch.entries).await?;
        told.extend(findings(&receipt, &clock::zone()));
        Ok(VisitIn {
            wheel,
            visit: id,
            written: receipt.written,
            findings: told,
        })
    }

    /// The wheel of the ledger that a visit is of; none when it is to be taken in.
    async fn same_wheel(&self, read: &WithFiles, which: WhichWheel) -> Result<Option<Id>, Error> {
        match which {
            WhichWheel::New => Ok(None),
            WhichWheel::This(wheel) => {
                let record = self.wheel_record(wheel).await?;
                if wheel_of(&record.wheel.body)?.0 != read.visit.wheel {
                    return Err(Error::Otherwise {
                        what: "wheel",
                        name: record.wheel.body.label.to_string(),
                        mend: "Is it another wheel? If its file was wrong, correct its entry first and say why.",
                    });
                }
                Ok(Some(record.wheel.thing))
            }
            WhichWheel::Unsaid => {
                let mut alike = Vec::new();
                for card in self.ledger.find(&read.visit.wheel.name, CANDIDATES).await? {
                    let record = self.wheel_record(card.wheel).await?;
                    if wheel_of(&record.wheel.body)?.0 == read.visit.wheel {
                        alike.push(card.label.to_string());
                    }
                }
                match alike.is_empty() {
                    true => Ok(None),
                    false => Err(Error::WhichWheel { alike }),
                }
            }
        }
    }

    async fn refuse_twice(&self, wheel: Id, taken: ledger::Moment) -> Result<(), Error> {
        let record = self.wheel_record(wheel).await?;
        let mut visits = record.visits.iter();
        match visits.find(|visit| visit.visit.body.taken == taken) {
            None => Ok(()),
            Some(there) => Err(Error::VisitThere {
                wheel: record.wheel.body.label.to_string(),
                visit: there.visit.thing,
            }),
        }
    }

    /// The gauge of the ledger with this label, or a new one out of the file that describes it.
    async fn same_gauge(
        &self,
        batch: &mut Batch<'_>,
        gauge: &metrology::gauge::Gauge,
        files: &[Source],
    ) -> Result<Id, Error> {
        if let Ok(known) = self.gauge_called(&gauge.label).await {
            let standing: ledger::state::Current<Gauge> = self.current(known).await?;
            if gauge_of(&standing.body)? == *gauge {
                return Ok(known);
            }
            return Err(Error::Otherwise {
                what: "gauge",
                name: gauge.label.clone(),
                mend: "Import the gauge's file with `--why` if it was described anew; give another gauge a label \
                       of its own.",
            });
        }
        let describes = |file: &&Source| gauge_file::read(file).as_ref() == Ok(gauge);
        let file = files.iter().find(describes);
        Ok(batch.add(Gauge {
            label: gauge.label.clone(),
            file: file.map_or_else(|| gauge_file::write(gauge), |file| file.text().into()),
            note: None,
        }))
    }

    /// Whether the newest calibration of a gauge on a spoke kind has just these points.
    async fn has_points(
        &self,
        gauge: Id,
        spoke_kind: &str,
        points: &[RigPoint],
        batch: &Batch<'_>,
    ) -> Result<bool, Error> {
        if batch.entries.iter().any(|entry| entry.id == gauge) {
            return Ok(false); // it comes in with this visit
        }
        let record = self.gauge_record(gauge).await?;
        let newest = record.newest_calibration(spoke_kind);
        Ok(newest.is_some_and(|newest| {
            newest
                .points
                .iter()
                .map(rig_point)
                .eq(points.iter().copied())
        }))
    }

    /// Takes the shop's settings over when the shop has settled nothing yet, and tells when it has otherwise.
    async fn add_settings(
        &self,
        batch: &mut Batch<'_>,
        settings: &ShopSettings,
    ) -> Result<Option<String>, Error> {
        if *settings == self.shop_settings().await? {
            return Ok(None);
        }
        let settled = self.settings().await?;
        let is_settled = settled
            .iter()
            .any(|(key, _)| OF_SURVEYS.iter().any(|(known, ..)| known == key));
        if is_settled {
            return Ok(Some(
                "The visit's own [shop] settings are not taken over: those of the ledger stand, and surveys out of \
                 it use them."
                    .into(),
            ));
        }
        let values = [
            ("decide_at", settings.decide_at),
            ("evenness_percent", 100.0 * settings.evenness_prior),
            ("lap_minutes", settings.lap_minutes),
            ("rig_point_minutes", settings.rig_point_minutes),
            ("dish_minutes", settings.dish_minutes),
            ("dial_u_mm", millimetres(settings.dial_u)),
        ];
        for (key, value) in values {
            batch.add(Setting {
                key: key.into(),
                value: export::number(value),
            });
        }
        Ok(None)
    }
}

/// Wheels of the same name that are looked at for one that reads the same.
const CANDIDATES: usize = 50;
