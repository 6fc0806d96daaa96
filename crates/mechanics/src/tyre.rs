//! A wheel with its tyre on: what is left of the tensions, and what to build to so that enough is left.

use crate::error::Error;
use crate::structure::{State, Structure};
use quantity::{Force, Length};
use wheel::{Side, Wheel};

/// Tension within which the wanted one is met: far below what any gauge shows.
const MET_N: f64 = 0.01;

/// Rounds of the search; the tyre's effect hardly depends on the tension, so three do.
const ROUNDS: usize = 30;

/// A wheel without and with its tyre.
#[derive(Debug, Clone, PartialEq)]
pub struct Tyred {
    /// Tension of every spoke without tyre.
    pub bare_n: Vec<f64>,
    /// Tension of every spoke with the tyre on.
    pub tyred_n: Vec<f64>,
    /// Change of every tension per N/mm of the tyre's inward load, N.
    pub change_per_n_per_mm: Vec<f64>,
    /// How far the rim's plane shifts when the tyre goes on, positive to the right.
    pub dish_shift: Length,
    /// How far the rim comes inward, as its mean.
    pub shrink: Length,
}

impl Tyred {
    /// The wheel at the tensions it states, under a tyre that presses inward with this load; eq. 8.10.
    ///
    /// # Errors
    /// As [`Structure::about`] in the tensioned state.
    pub fn of(wheel: &Wheel, inward_n_per_mm: f64) -> Result<Self, Error> {
        let (structure, _) = Structure::about(wheel, State::Tensioned)?;
        let load = structure.line_load()?;
        let bare_n: Vec<f64> = wheel
            .spokes
            .iter()
            .map(|spoke| spoke.tension.unwrap_or_default().to_n())
            .collect();
        let tyred_n = bare_n
            .iter()
            .zip(&load.tension_change_n)
            .map(|(bare_n, change_n)| bare_n + inward_n_per_mm * change_n)
            .collect();
        Ok(Self {
            bare_n,
            tyred_n,
            dish_shift: Length::mm(load.dish_shift_mm * inward_n_per_mm),
            shrink: Length::mm(-load.mean_radial_mm * inward_n_per_mm),
            change_per_n_per_mm: load.tension_change_n,
        })
    }

    /// The bare wheel to build so that a side's mean tension is the wanted one with the tyre on; eq. 8.11.
    ///
    /// All tensions of the wheel are multiplied by one number, so that what balances stays balanced.
    ///
    /// # Errors
    /// As [`Tyred::of`]; [`Error::AboveBuckling`] also when the bare wheel would have to be tighter than it
    /// can stand.
    pub fn reaching(
        wheel: &Wheel,
        inward_n_per_mm: f64,
        side: Side,
        wanted: Force,
    ) -> Result<Self, Error> {
        let mean_n = |tensions_n: &[f64]| {
            let of_side = wheel
                .spokes
                .iter()
                .zip(tensions_n)
                .filter(|(spoke, _)| spoke.side == side);
            let (sum, count) =
                of_side.fold((0.0, 0.0), |(sum, count), (_, n)| (sum + n, count + 1.0));
            sum / count
        };
        let mut bare = wheel.clone();
        let mut found = Self::of(&bare, inward_n_per_mm)?;
        for _ in 0..ROUNDS {
            let short_n = wanted.to_n() - mean_n(&found.tyred_n);
            if short_n.abs() < MET_N {
                break;
            }
            let factor = 1.0 + short_n / mean_n(&found.bare_n);
            for spoke in &mut bare.spokes {
                spoke.tension = spoke.tension.map(|tension| tension * factor);
            }
            found = Self::of(&bare, inward_n_per_mm)?;
        }
        Ok(found)
    }
}
