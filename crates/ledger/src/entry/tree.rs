//! What an entry is about, and what else it names: the record as a tree.

use super::{Body, Kind};
use crate::cell::Hash;
use crate::id::Id;

/// An entry that another names, and the kinds of which it may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Reference {
    /// The column that names it.
    pub(crate) column: &'static str,
    /// The id it names.
    pub(crate) id: Id,
    /// The kinds it may be of.
    pub(crate) kinds: &'static [Kind],
}

impl Body {
    /// The id of what this is about: whoever looks at that sees this too.
    ///
    /// Wheel ← part, visit; visit ← lap, weighing, look, photo, plan, advice, report; lap ← reading;
    /// gauge ← calibration, rod check; calibration ← point. Limits, claims and turns choose.
    #[must_use]
    pub fn about(&self) -> Option<Id> {
        self.about_what().map(|reference| reference.id)
    }

    pub(crate) fn about_what(&self) -> Option<Reference> {
        let reference = |column, id, kinds| Some(Reference { column, id, kinds });
        match self {
            Self::Mechanic(_) | Self::Wheel(_) | Self::Gauge(_) => None,
            Self::Rig(_) | Self::Setting(_) => None,
            Self::Part(part) => reference("wheel", part.wheel, &[Kind::Wheel]),
            Self::Limit(limit) => {
                let kinds = &[Kind::Wheel, Kind::Part, Kind::Visit];
                reference("about", limit.about, kinds)
            }
            Self::Claim(claim) => reference("about", claim.about, &[Kind::Wheel, Kind::Visit]),
            Self::Calibration(taken) => reference("gauge", taken.gauge, &[Kind::Gauge]),
            Self::Point(point) => reference("calibration", point.calibration, &[Kind::Calibration]),
            Self::RodCheck(check) => reference("gauge", check.gauge, &[Kind::Gauge]),
            Self::Visit(visit) => reference("wheel", visit.wheel, &[Kind::Wheel]),
            Self::Lap(lap) => reference("visit", lap.visit, &[Kind::Visit]),
            Self::Reading(reading) => reference("lap", reading.lap, &[Kind::Lap]),
            Self::Weighing(weighing) => reference("visit", weighing.visit, &[Kind::Visit]),
            Self::Look(look) => reference("visit", look.visit, &[Kind::Visit]),
            Self::Photo(photo) => reference("visit", photo.visit, &[Kind::Visit]),
            Self::Plan(plan) => reference("visit", plan.visit, &[Kind::Visit]),
            Self::Turn(turn) => reference("about", turn.about, &[Kind::Plan, Kind::Visit]),
            Self::Advice(advice) => reference("visit", advice.visit, &[Kind::Visit]),
            Self::Report(report) => reference("visit", report.visit, &[Kind::Visit]),
            Self::Withdrawal(withdrawal) => reference("of", withdrawal.of, Kind::ALL),
        }
    }

    /// Every entry it names, what it is about among them.
    pub(crate) fn references(&self) -> Vec<Reference> {
        let mut named = Vec::new();
        let mut also = |column, id: Option<Id>, kinds| {
            named.extend(id.map(|id| Reference { column, id, kinds }));
        };
        match self {
            Self::Lap(lap) => {
                also("gauge", lap.gauge, &[Kind::Gauge]);
                also("calibration", lap.calibration, &[Kind::Calibration]);
            }
            Self::Calibration(calibration) => also("rig", calibration.rig, &[Kind::Rig]),
            _ => {}
        }
        named.extend(self.about_what());
        named
    }

    /// The bytes it names by their hash.
    #[must_use]
    pub fn bytes_named(&self) -> Option<Hash> {
        match self {
            Self::Photo(photo) => Some(photo.hash),
            Self::Look(look) => look.photo,
            Self::Report(report) => Some(report.hash),
            _ => None,
        }
    }
}
