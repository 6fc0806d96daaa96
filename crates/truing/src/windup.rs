//! Wind-up: how far a spoke is twisted when its nipple has stopped (theory §7.8).

use quantity::{Angle, Force, Length, Rigidity};
use std::f64::consts::TAU;

use crate::estimator::PITCH_MM;

/// What a spoke's twist hangs on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Torsion {
    /// From the elbow to the thread.
    pub length: Length,
    /// GJ of the shank.
    pub stiffness: Rigidity,
    /// Mean radius of the thread.
    pub thread_radius: Length,
    /// Friction of spoke on nipple.
    pub friction: f64,
}

/// Mean diameter of a spoke's thread FG 2.3: half way from its outer 2.30 mm to its core 1.82 mm.
///
/// Source: DIN 79012.
pub const THREAD_MEAN_DIAMETER: Length = Length::mm((2.30 + 1.82) / 2.0);

impl Torsion {
    /// GJ of a round wire of this EA and diameter, of a metal with Poisson's ratio 0.3.
    ///
    /// Source: G = E/(2(1 + ν)), J = A d²/8 of a circle (handbook).
    #[must_use]
    pub fn of_round_wire(axial: Force, diameter: Length) -> Rigidity {
        const POISSON: f64 = 0.3;
        Rigidity::n_m2(axial.to_n() * diameter.to_m().powi(2) / (16.0 * (1.0 + POISSON)))
    }

    /// Twist that is left in the spoke at this tension when the key comes off, before anything lets it go; eq. 7.16.
    #[must_use]
    pub fn windup(&self, tension: Force) -> Angle {
        let radius_m = self.thread_radius.to_m();
        let lead = (PITCH_MM * 1e-3 / (TAU * radius_m)).atan();
        let torque_n_m = tension.to_n() * radius_m * (lead + self.friction.atan()).tan();
        Angle::rad(torque_n_m * self.length.to_m() / self.stiffness.to_n_m2())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thin() -> Torsion {
        let axial = Force::n(195e9 * std::f64::consts::PI / 4.0 * 1.5e-3_f64.powi(2));
        Torsion {
            length: Length::mm(280.0),
            stiffness: Torsion::of_round_wire(axial, Length::mm(1.5)),
            thread_radius: THREAD_MEAN_DIAMETER / 2.0,
            friction: 0.15,
        }
    }

    /// Common practice, no source: thin round spokes take a quarter to half a turn before the nipple moves.
    #[test]
    fn thin_spoke_winds_up_by_some_tenths_of_a_turn() {
        let turns = thin().windup(Force::n(1000.0)).to_rad() / TAU;
        assert!((0.1..0.5).contains(&turns), "{turns}");
    }

    /// Source: torsion of a circular shaft, J = π d⁴/32 (handbook).
    #[test]
    fn round_wire_has_the_torsion_of_a_shaft() {
        let (young, diameter) = (200e9, 2e-3_f64);
        let axial = Force::n(young * std::f64::consts::PI / 4.0 * diameter.powi(2));
        let wanted = young / 2.6 * std::f64::consts::PI * diameter.powi(4) / 32.0;
        let found = Torsion::of_round_wire(axial, Length::m(diameter)).to_n_m2();
        assert!((found / wanted - 1.0).abs() < 1e-12);
    }
}
