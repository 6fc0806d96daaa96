//! The sheet of a wheel as it stands: at the tensions that a visit read without a tyre.

use super::{Plan, Question, TyreLoad, sheet};
use crate::view::BuildSheet;
use metrology::survey::Survey;
use metrology::visit::Visit;
use quantity::Force;
use wheel::Wheel;

/// The wheel at the bare tensions that a survey read and set in balance with the hub; none when not every spoke was
/// read bare, or when one would push.
#[must_use]
pub fn as_read(visit: &Visit, survey: &Survey) -> Option<Wheel> {
    let balance = survey.bare.as_ref()?.balance.as_ref()?;
    if balance.reconciled_n.iter().any(|one| one.value <= 0.0) {
        return None;
    }
    let mut wheel = visit.wheel.clone();
    for (spoke, tension) in wheel.spokes.iter_mut().zip(&balance.reconciled_n) {
        spoke.tension = Some(Force::n(tension.value));
    }
    Some(wheel)
}

/// What the wheel bears at the tensions read without a tyre, the tyre of the visit on it when both states were read.
#[must_use]
pub fn measured(visit: &Visit, survey: &Survey) -> Option<BuildSheet> {
    let tyres = survey
        .line_load_n_per_mm
        .map(|load| TyreLoad::found(load, visit, "the laps of this visit".into()));
    let plan = Plan {
        wheel: as_read(visit, survey)?,
        findings: Vec::new(),
        hung: None,
    };
    let question = Question {
        tyres: tyres.into_iter().collect(),
        limits: visit.limits.clone(),
        ..Question::default()
    };
    Some(sheet(&plan, &question))
}
