//! How hard a tyre presses on its rim, as measured on one wheel and carried to another.

use super::Wanted;
use crate::survey::SEED;
use crate::view::{Quantity, TyreView};
use mechanics::tyre::Tyred;
use metrology::evenness::Value;
use metrology::survey::{STOPPING, survey};
use metrology::visit::Visit;
use quantity::{Length, Pressure};
use wheel::{Rim, Wheel};

/// Pressures nearer than this are one: less cannot be read off a gauge of the workshop.
const SAME_PRESSURE_BAR: f64 = 0.2;

/// Bead seats nearer than this are one: the makings of a taper, not of another size.
const SAME_BEAD: Length = Length::mm(0.2);

/// Inner widths nearer than this are one.
const SAME_WIDTH: Length = Length::mm(0.5);

/// A tyre's even load on a rim, inward all round.
#[derive(Debug, Clone, PartialEq)]
pub struct TyreLoad {
    /// How hard, N/mm.
    pub inward_n_per_mm: Value,
    /// The pressure it was found at.
    pub pressure: Option<Pressure>,
    /// What it rests on.
    pub from: String,
    /// The rim it was measured on; none when somebody stated it.
    pub rim: Option<Rim>,
}

/// A visit says nothing of its tyre.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error(
    "{from} does not tell how hard its tyre presses: {}",
    reasons.join("; ")
)]
pub struct Unmeasured {
    /// The visit.
    pub from: String,
    /// Why, as far as its survey says.
    pub reasons: Vec<String>,
}

impl TyreLoad {
    /// The load that a visit's bare and tyred laps show.
    ///
    /// # Errors
    /// [`Unmeasured`] when there is no such pair, or its wheel's constants are not known.
    pub fn measured(visit: &Visit, from: &str) -> Result<Self, Unmeasured> {
        let survey = survey(visit, SEED, &STOPPING);
        let Some(inward_n_per_mm) = survey.line_load_n_per_mm else {
            let lacking = [
                (survey.bare.is_none(), "it has no lap without a tyre"),
                (survey.tyred.is_none(), "it has no lap with the tyre on"),
            ];
            let mut reasons: Vec<String> = lacking
                .iter()
                .filter(|(lacks, _)| *lacks)
                .map(|(_, why)| (*why).to_owned())
                .collect();
            if reasons.is_empty() {
                reasons = survey
                    .findings
                    .iter()
                    .filter(|one| one.about.contains("line-load") || one.about.contains("tyre"))
                    .map(|one| one.says.clone())
                    .collect();
            }
            if reasons.is_empty() {
                reasons.push(
                    "its wheel file lacks rim constants, or a spoke was not read in both states"
                        .into(),
                );
            }
            return Err(Unmeasured {
                from: from.into(),
                reasons,
            });
        };
        Ok(Self::found(
            inward_n_per_mm,
            visit,
            format!(
                "laps without and with the tyre in {from}, on {}",
                visit.wheel.name
            ),
        ))
    }

    /// The load that a survey of this visit found.
    pub(super) fn found(inward_n_per_mm: Value, visit: &Visit, from: String) -> Self {
        let tyred = visit
            .laps
            .iter()
            .find(|lap| lap.state == metrology::lap::State::Tyred);
        Self {
            inward_n_per_mm,
            pressure: tyred.and_then(|lap| lap.pressure),
            from,
            rim: Some(visit.wheel.rim.clone()),
        }
    }

    /// A load that somebody states, with its standard uncertainty.
    #[must_use]
    pub fn stated(n_per_mm: f64, u_n_per_mm: f64) -> Self {
        Self {
            inward_n_per_mm: Value {
                value: n_per_mm,
                u: u_n_per_mm,
            },
            pressure: None,
            from: "stated, not measured here".into(),
            rim: None,
        }
    }

    /// What makes carrying the load to this wheel an assumption.
    pub(super) fn doubts(&self, wheel: &Wheel) -> impl Iterator<Item = String> {
        let carried = |what: &str,
                       key: &str,
                       here: Option<Length>,
                       there: Option<Length>,
                       same: Length| {
            match here.zip(there) {
                Some((here, there)) if (here - there).abs() <= same => None,
                Some((here, there)) => Some(format!(
                    "The tyre was measured on a rim of another {what} ({:.1} mm, here {:.1} mm): that it presses alike is an assumption.",
                    there.to_mm(),
                    here.to_mm()
                )),
                None => Some(format!(
                    "That the rim's {what} is that of the rim the tyre was measured on is not known, so that it presses alike is an assumption: give {key} in [rim] of both wheels."
                )),
            }
        };
        let measured = self.rim.as_ref().filter(|rim| **rim != wheel.rim);
        let doubts = measured.map(|rim| {
            [
                carried(
                    "bead seat",
                    "bead_seat_mm",
                    wheel.rim.bead_seat,
                    rim.bead_seat,
                    SAME_BEAD,
                ),
                carried(
                    "inner width",
                    "inner_width_mm",
                    wheel.rim.inner_width,
                    rim.inner_width,
                    SAME_WIDTH,
                ),
            ]
        });
        let stated = self.rim.is_none().then(|| {
            "How hard the tyre presses is stated, not measured: lap this wheel without and with it.".to_owned()
        });
        doubts.into_iter().flatten().flatten().chain(stated)
    }

    pub(super) fn view(&self, all: &[Self], found: &Tyred, wanted: Option<Wanted>) -> TyreView {
        let load = self.inward_n_per_mm;
        let parts = bead_and_air(all);
        let shift_mm = found.dish_shift.to_mm();
        let per_n_per_mm = if load.value == 0.0 {
            0.0
        } else {
            shift_mm / load.value
        };
        TyreView {
            inward_n_per_mm: load.into(),
            pressure_bar: self.pressure.map(Pressure::to_bar),
            from: self.from.clone(),
            bead_n_per_mm: parts.map(|(bead, _)| bead.into()),
            per_bar_n_per_mm: parts.map(|(_, per_bar)| per_bar.into()),
            dish_shift_mm: Quantity::new(shift_mm, (per_n_per_mm * load.u).abs()),
            wanted: wanted
                .map(|wanted| format!("mean of the {} side with the tyre on", wanted.side.word())),
        }
    }
}

/// The tyre to reckon with: of several, the one at the highest pressure.
pub(super) fn reckoned_with(tyres: &[TyreLoad]) -> Option<&TyreLoad> {
    let bar = |tyre: &&TyreLoad| tyre.pressure.map_or(0.0, Pressure::to_bar);
    tyres
        .iter()
        .max_by(|one, other| bar(one).total_cmp(&bar(other)))
}

/// What the bead squeezes without air, and what each bar adds: the straight line through two pressures, the farthest
/// apart; eq. 8.17. Seated and let down counts as one of them. None with one pressure alone.
fn bead_and_air(tyres: &[TyreLoad]) -> Option<(Value, Value)> {
    let known: Vec<(f64, Value)> = tyres
        .iter()
        .filter_map(|tyre| Some((tyre.pressure?.to_bar(), tyre.inward_n_per_mm)))
        .collect();
    let low = known
        .iter()
        .min_by(|one, other| one.0.total_cmp(&other.0))?;
    let high = known
        .iter()
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    let apart = high.0 - low.0;
    if apart < SAME_PRESSURE_BAR {
        return None;
    }
    let per_bar = Value {
        value: (high.1.value - low.1.value) / apart,
        u: high.1.u.hypot(low.1.u) / apart,
    };
    let bead = Value {
        value: low.1.value - per_bar.value * low.0,
        u: (low.1.u * high.0 / apart).hypot(high.1.u * low.0 / apart),
    };
    Some((bead, per_bar))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(bar: f64, value: f64, u: f64) -> TyreLoad {
        TyreLoad {
            pressure: Some(Pressure::bar(bar)),
            ..TyreLoad::stated(value, u)
        }
    }

    #[test]
    fn one_pressure_tells_nothing_per_bar_and_two_tell_bead_and_air_apart() {
        assert_eq!(bead_and_air(&[at(5.0, 8.0, 0.3)]), None);
        assert_eq!(bead_and_air(&[at(5.0, 8.0, 0.3), at(5.1, 8.1, 0.3)]), None);
        let (bead, per_bar) =
            bead_and_air(&[at(6.0, 9.0, 0.4), at(0.0, 3.0, 0.3)]).expect("two pressures");
        assert!((bead.value - 3.0).abs() < 1e-12 && (bead.u - 0.3).abs() < 1e-12);
        assert!((per_bar.value - 1.0).abs() < 1e-12 && (per_bar.u - 0.5 / 6.0).abs() < 1e-12);
    }

    #[test]
    fn the_hardest_tyre_is_reckoned_with() {
        let tyres = [at(3.0, 5.0, 0.1), at(6.0, 9.0, 0.1), at(0.0, 2.0, 0.1)];
        let found = reckoned_with(&tyres).expect("a tyre");
        assert_eq!(found.inward_n_per_mm.value, 9.0);
    }
}
