//! The wheel at the tensions it is to be built to, without and with its tyre.

use super::{Question, finding, tyre};
use crate::view::{FindingView, TyreView};
use mechanics::hang_test::Way;
use mechanics::self_stress::self_stress;
use mechanics::tyre::Tyred;
use mechanics::{State, Structure};
use quantity::{Force, Rigidity};
use wheel::Wheel;

/// A wheel as it is to be built.
pub(super) struct Tensioned {
    /// With the bare tensions it is built to, where those can be told.
    pub(super) wheel: Wheel,
    /// Tension of every spoke without tyre.
    pub(super) bare_n: Option<Vec<f64>>,
    /// The same with the tyre.
    pub(super) tyred: Option<Tyred>,
    /// The tyre, shown.
    pub(super) tyre: Option<TyreView>,
    /// The structure about the bare tensions.
    pub(super) structure: Option<Structure>,
}

impl Tensioned {
    pub(super) fn of(wheel: &Wheel, question: &Question, findings: &mut Vec<FindingView>) -> Self {
        let mut built = Self {
            wheel: wheel.clone(),
            bare_n: None,
            tyred: None,
            tyre: None,
            structure: None,
        };
        if !built.complete(findings) {
            return built;
        }
        if let Some(load) = tyre::reckoned_with(&question.tyres) {
            built.put_on(load, question, findings);
        }
        built.bare_n = Some(tensions_n(&built.wheel));
        match Structure::about(&built.wheel, State::Tensioned) {
            Ok((structure, of_state)) => {
                findings.extend(of_state.iter().map(|one| finding("state", one.to_string())));
                built.structure = Some(structure);
            }
            Err(error) => findings.push(finding(
                "structure",
                format!("Stiffness, tyre, ride and buckling are not told: {error}."),
            )),
        }
        built
    }

    /// The same wheel with the rim constants that tests of one way tell multiplied.
    pub(super) fn with_rim_off(&self, way: Way, factor: f64) -> Self {
        let mut wheel = self.wheel.clone();
        let times = |one: Option<Rigidity>| one.map(|one| one * factor);
        match way {
            Way::Radial => wheel.rim.in_plane_bending = times(wheel.rim.in_plane_bending),
            Way::Lateral => {
                wheel.rim.lateral_bending = times(wheel.rim.lateral_bending);
                wheel.rim.torsion = times(wheel.rim.torsion);
            }
        }
        let structure = Structure::about(&wheel, State::Tensioned).ok();
        Self {
            structure: structure.map(|(structure, _)| structure),
            wheel,
            bare_n: self.bare_n.clone(),
            tyred: self.tyred.clone(),
            tyre: self.tyre.clone(),
        }
    }

    /// Gives every spoke a tension that balances, if any spoke has one; whether it has.
    fn complete(&mut self, findings: &mut Vec<FindingView>) -> bool {
        let pulls = |tension: Option<Force>| tension.is_some_and(|tension| Force::ZERO < tension);
        if !self.wheel.spokes.iter().any(|spoke| pulls(spoke.tension)) {
            findings.push(finding(
                "tension",
                "No tension is given: stretch and shrink are left out of the lengths, and nothing that needs tension is told. Give tension_kgf in [right] or [left].".into(),
            ));
            return false;
        }
        if self
            .wheel
            .spokes
            .iter()
            .all(|spoke| spoke.tension.is_some())
        {
            return true;
        }
        match self_stress(&self.wheel) {
            Ok((tensions, of_balance)) => {
                for (spoke, tension) in self.wheel.spokes.iter_mut().zip(tensions) {
                    spoke.tension = Some(tension);
                }
                findings.extend(
                    of_balance
                        .iter()
                        .map(|one| finding("tension", one.to_string())),
                );
                true
            }
            Err(error) => {
                findings.push(finding("tension", error.to_string()));
                for spoke in &mut self.wheel.spokes {
                    spoke.tension = None;
                }
                false
            }
        }
    }

    /// Puts the tyre on: at the file's bare tension, or backward from the tension wanted with it.
    fn put_on(
        &mut self,
        load: &tyre::TyreLoad,
        question: &Question,
        findings: &mut Vec<FindingView>,
    ) {
        let inward = load.inward_n_per_mm.value;
        let found = match &question.wanted {
            Some(wanted) => Tyred::reaching(&self.wheel, inward, wanted.side, wanted.tension),
            None => Tyred::of(&self.wheel, inward),
        };
        let found = match found {
            Ok(found) => found,
            Err(error) => {
                findings.push(finding(
                    "tyre",
                    format!("What the tyre takes away is not told: {error}."),
                ));
                return;
            }
        };
        for (spoke, bare_n) in self.wheel.spokes.iter_mut().zip(&found.bare_n) {
            spoke.tension = Some(Force::n(*bare_n));
        }
        findings.extend(load.doubts(&self.wheel).map(|says| finding("tyre", says)));
        let is_slack = found.tyred_n.iter().any(|tyred_n| *tyred_n <= 0.0);
        if is_slack {
            findings.push(FindingView {
                weight: "doubt".into(),
                ..finding(
                    "tyre",
                    "With the tyre on, spokes are slack: this wheel is not to be ridden so.".into(),
                )
            });
        }
        self.tyre = Some(load.view(&question.tyres, &found, question.wanted));
        self.tyred = Some(found);
    }
}

/// The tensions of a wheel that has them.
pub(super) fn tensions_n(wheel: &Wheel) -> Vec<f64> {
    wheel
        .spokes
        .iter()
        .map(|spoke| spoke.tension.unwrap_or_default().to_n())
        .collect()
}
