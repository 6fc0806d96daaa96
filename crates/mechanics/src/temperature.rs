//! What warmth does to tension: rim, spokes and hub grow by different amounts.

use crate::error::Error;
use crate::structure::Structure;
use quantity::{Force, Length};
use wheel::{Point, Spoke, Wheel};

/// Thermal expansion of a wheel's parts, per kelvin.
#[derive(Debug, Clone, PartialEq)]
pub struct Expansion {
    /// Of the rim, along it.
    pub rim_per_k: f64,
    /// Of the hub.
    pub hub_per_k: f64,
    /// Of every spoke kind, in the wheel's order.
    pub kinds_per_k: Vec<f64>,
}

impl Structure {
    /// The change of every tension per kelvin by which the whole wheel gets warmer, N/K; eq. 8.8.
    ///
    /// `wheel` is the one this structure was made of. All parts are at one temperature; the rim's
    /// constants are taken as they are.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub fn tension_per_kelvin(
        &self,
        wheel: &Wheel,
        expansion: &Expansion,
    ) -> Result<Vec<f64>, Error> {
        let influence = self.influence_at_spokes()?;
        let short_mm: Vec<f64> = wheel
            .spokes
            .iter()
            .map(|spoke| too_short(spoke, expansion).to_mm())
            .collect();
        let sum = |row: &Vec<f64>| {
            row.iter()
                .zip(&short_mm)
                .map(|(n_per_mm, mm)| n_per_mm * mm)
                .sum()
        };
        Ok(influence.tension_n_per_mm.iter().map(sum).collect())
    }
}

/// By how much a kelvin makes a spoke too short for its place.
fn too_short(spoke: &Spoke, expansion: &Expansion) -> Length {
    let direction = spoke.pull_direction();
    let along = |point: Point| -> f64 {
        let at_m = [point.x.to_m(), point.y.to_m(), point.z.to_m()];
        direction
            .iter()
            .zip(at_m)
            .map(|(unit, at_m)| unit * at_m)
            .sum()
    };
    let of_kind = expansion.kinds_per_k[spoke.kind.0];
    Length::m(
        expansion.rim_per_k * along(spoke.seat)
            - expansion.hub_per_k * along(spoke.hub)
            - of_kind * spoke.length().to_m(),
    )
}

/// A spoke stretched in a rig.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rig {
    /// EA of the spoke.
    pub axial_stiffness: Force,
    /// Its length between the grips.
    pub length: Length,
    /// Thermal expansion of the spoke, per kelvin.
    pub spoke_per_k: f64,
    /// Thermal expansion of the frame, per kelvin.
    pub frame_per_k: f64,
    /// How far frame, cell and grips give per newton, m/N.
    pub compliance_m_per_n: f64,
}

impl Rig {
    /// The change of tension per kelvin at a nut that nobody turns, N/K; eq. 8.9.
    #[must_use]
    pub fn tension_per_kelvin(&self) -> f64 {
        let length_m = self.length.to_m();
        let gives = length_m / self.axial_stiffness.to_n() + self.compliance_m_per_n;
        (self.frame_per_k - self.spoke_per_k) * length_m / gives
    }
}
