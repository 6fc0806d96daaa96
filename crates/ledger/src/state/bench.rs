//! A gauge's life: its calibrations, its checks, and what a failed check makes doubtful.

use super::{Current, Order, Things};
use crate::entry::{Calibration, Gauge, Point, RodCheck};
use crate::id::Id;

/// A gauge as it stands in the ledger now.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeRecord {
    /// The gauge.
    pub gauge: Current<Gauge>,
    /// Whether it is in view.
    pub in_view: bool,
    /// Its calibrations, in the order in which they were taken.
    pub calibrations: Vec<CalibrationRecord>,
    /// Its checks, in the order in which they were entered.
    pub rod_checks: Vec<Current<RodCheck>>,
}

/// A calibration with its points.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationRecord {
    /// The calibration.
    pub calibration: Current<Calibration>,
    /// Its points, in the order in which they were taken.
    pub points: Vec<Current<Point>>,
}

/// How far a gauge can be believed for something that was measured with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trust {
    /// The checks nearest to it, before and after, were good, as far as there were any; one at least was.
    Checked,
    /// It was never checked, neither before nor after.
    Unchecked,
    /// The check before or the one after failed.
    Doubtful {
        /// The check that failed.
        failed: Id,
    },
}

impl RodCheck {
    /// Whether the gauge read what it should.
    #[must_use]
    pub fn is_good(&self) -> bool {
        (self.reading - self.expected).abs() <= self.tolerance
    }
}

impl GaugeRecord {
    /// The gauge among these things, when it is there.
    #[must_use]
    pub fn of(things: &Things, gauge: Id) -> Option<Self> {
        let calibrations = things.about::<Calibration>(gauge).into_iter();
        let calibrations = calibrations.map(|calibration| {
            let mut points: Vec<Current<Point>> = things.about(calibration.thing);
            points.sort_by_key(|point| (point.body.number, point.thing));
            CalibrationRecord {
                calibration,
                points,
            }
        });
        let mut calibrations: Vec<CalibrationRecord> = calibrations.collect();
        calibrations.sort_by_key(|record| {
            let calibration = &record.calibration;
            (calibration.body.taken, calibration.thing)
        });
        let mut rod_checks: Vec<Current<RodCheck>> = things.about(gauge);
        rod_checks.sort_by_key(Current::first_written);
        Some(Self {
            gauge: things.get(gauge)?,
            in_view: things.in_view(gauge),
            calibrations,
            rod_checks,
        })
    }

    /// The newest calibration on a spoke kind.
    #[must_use]
    pub fn newest_calibration(&self, spoke_kind: &str) -> Option<&CalibrationRecord> {
        let on_kind =
            |record: &&CalibrationRecord| record.calibration.body.spoke_kind == spoke_kind;
        self.calibrations.iter().rev().find(on_kind)
    }

    /// How far it can be believed for a lap that was begun then: a failed check makes doubtful whatever was
    /// measured since the last good one, and all that comes before the next good one.
    #[must_use]
    pub fn trust(&self, begun: Order) -> Trust {
        let mut checks = self.rod_checks.iter();
        let before = checks.clone().rfind(|check| check.first_written() < begun);
        let after = checks.find(|check| check.first_written() > begun);
        let mut nearest = before.into_iter().chain(after);
        match nearest.clone().find(|check| !check.body.is_good()) {
            Some(failed) => Trust::Doubtful {
                failed: failed.thing,
            },
            None if nearest.next().is_some() => Trust::Checked,
            None => Trust::Unchecked,
        }
    }
}
