//! The states about which a wheel is asked, and how far its tension is from folding it.

use super::Error;
use crate::view::BucklingView;
use mechanics::buckling::Buckling;
use mechanics::self_stress::self_stress;
use mechanics::{Error as NoAnswer, Finding, State, Structure};
use quantity::Force;
use wheel::Wheel;

/// A wheel that cannot stand is eased by this factor until it does, to tell by how much it is above.
const EASED: f64 = 0.5;

/// How often it is eased: to about a thousandth of its tension.
const EASINGS: i32 = 10;

/// A wheel without tension, and under its own tension where it has one and stands.
pub(super) struct Standing {
    /// The wheel with the tension of every spoke, where there is any.
    pub(super) wheel: Wheel,
    pub(super) loose: Structure,
    pub(super) tensioned: Option<Structure>,
    /// Tension of every spoke; none on a wheel without tension.
    pub(super) tension_n: Option<Vec<f64>>,
    pub(super) buckling: Option<BucklingView>,
    /// How the tensions were completed, when they had to be.
    pub(super) completed: Option<String>,
    pub(super) findings: Vec<Finding>,
}

impl Standing {
    pub(super) fn of(wheel: &Wheel) -> Result<Self, Error> {
        let (loose, mut findings) = Structure::about(wheel, State::ZeroTension)?;
        let given = wheel
            .spokes
            .iter()
            .filter(|spoke| spoke.tension.is_some())
            .count();
        let pulls = |spoke: &wheel::Spoke| spoke.tension.is_some_and(|one| one != Force::ZERO);
        let mut standing = Self {
            wheel: wheel.clone(),
            loose,
            tensioned: None,
            tension_n: None,
            buckling: None,
            completed: None,
            findings: Vec::new(),
        };
        if !wheel.spokes.iter().any(pulls) {
            findings.push(Finding::NoTension);
            standing.findings = findings;
            return Ok(standing);
        }
        if given < wheel.spokes.len() {
            let (tensions, of_balance) = self_stress(wheel)?;
            for (spoke, tension) in standing.wheel.spokes.iter_mut().zip(tensions) {
                spoke.tension = Some(tension);
            }
            standing.completed = Some(format!(
                "{given} of {} spokes give a tension: all stand at what balances on the hub, as even as can be",
                wheel.spokes.len()
            ));
            findings.extend(of_balance);
        }
        let tensions = standing.wheel.spokes.iter();
        standing.tension_n = tensions
            .map(|spoke| spoke.tension.map(Force::to_n))
            .collect();
        match Structure::about(&standing.wheel, State::Tensioned) {
            Ok((structure, of_state)) => {
                findings.extend(of_state);
                let (buckling, of_buckling) = structure.buckling()?;
                findings.extend(of_buckling);
                standing.buckling = buckling.map(|one| shown(&one, 1.0));
                standing.tensioned = Some(structure);
            }
            Err(NoAnswer::AboveBuckling | NoAnswer::RimOverloaded { .. }) => {
                findings.push(Finding::AboveBuckling);
                standing.buckling = eased(&standing.wheel);
            }
            Err(other) => return Err(other.into()),
        }
        standing.findings = findings;
        Ok(standing)
    }

    /// The state that influence and line load are about; none on a wheel that cannot stand.
    pub(super) fn asked_about(&self) -> Option<&Structure> {
        match &self.tension_n {
            Some(_) => self.tensioned.as_ref(),
            None => Some(&self.loose),
        }
    }
}

/// Buckling of a wheel that its own tension folds: found on an eased copy, told of the wheel itself.
fn eased(wheel: &Wheel) -> Option<BucklingView> {
    (1..=EASINGS).find_map(|times| {
        let factor = EASED.powi(times);
        let mut eased = wheel.clone();
        for spoke in &mut eased.spokes {
            spoke.tension = spoke.tension.map(|tension| tension * factor);
        }
        let (structure, _) = Structure::about(&eased, State::Tensioned).ok()?;
        let buckling = structure.buckling().ok()?.0?;
        Some(shown(&buckling, factor))
    })
}

/// Buckling found at `factor` times the tensions of the wheel.
fn shown(buckling: &Buckling, factor: f64) -> BucklingView {
    BucklingView {
        tension_multiplier: buckling.tension_multiplier * factor,
        waves: buckling.waves,
        sideways: buckling.sideways,
    }
}
