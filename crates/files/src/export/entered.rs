//! Quantities as the numbers that stood before their units when they were entered.
//!
//! A quantity lives in SI; a record keeps the number and the unit a person wrote. Each of these gives the
//! number of fewest digits that makes the very same quantity again.

use crate::literal::{self, FORCE_UNITS, PRESSURE_UNITS, Unit, exact, plainest};
use quantity::{Angle, Force, Length, Mass, Pressure};
use std::fmt;

/// A number before its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entered {
    /// The number.
    pub value: f64,
    /// The unit as keys of files end in it: `kgf`, `bar` …
    pub unit: &'static str,
}

impl fmt::Display for Entered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", literal::number(self.value), self.unit)
    }
}

/// The shortest text of a number that reads back as the same number.
#[must_use]
pub fn number(value: f64) -> String {
    literal::number(value)
}

/// A force in the unit of `kgf`, `n`, `lbf` that says it with the fewest digits.
#[must_use]
pub fn force(force: Force) -> Entered {
    let unit = plainest(&FORCE_UNITS, &[force]);
    entered(unit, force)
}

/// A pressure in the unit of `bar`, `psi`, `kpa` that says it with the fewest digits.
#[must_use]
pub fn pressure(pressure: Pressure) -> Entered {
    let unit = plainest(&PRESSURE_UNITS, &[pressure]);
    entered(unit, pressure)
}

/// A length in millimetres.
#[must_use]
pub fn millimetres(length: Length) -> f64 {
    entered(("mm", Length::to_mm, Length::mm), length).value
}

/// An angle in degrees.
#[must_use]
pub fn degrees(angle: Angle) -> f64 {
    entered(("deg", Angle::to_deg, Angle::deg), angle).value
}

/// A mass in grams.
#[must_use]
pub fn grams(mass: Mass) -> f64 {
    entered(("g", Mass::to_g, Mass::g), mass).value
}

fn entered<Q: Copy + PartialEq>((unit, read, make): Unit<Q>, quantity: Q) -> Entered {
    let near = read(quantity);
    let value = exact(near, &quantity, make).unwrap_or(near);
    Entered { value, unit }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn quantity_is_told_as_it_was_entered() {
        assert_eq!(force(Force::kgf(125.0)).to_string(), "125 kgf");
        assert_eq!(pressure(Pressure::psi(87.0)).to_string(), "87 psi");
        assert_eq!(millimetres(Length::mm(-0.07)), -0.07);
        assert_eq!(grams(Mass::g(812.0)), 812.0);
        assert_eq!(degrees(Angle::deg(17.3)), 17.3);
    }

    proptest! {
        #[test]
        fn number_makes_the_same_quantity_again(thousandths in -100_000..100_000_i32) {
            let value = f64::from(thousandths) / 1000.0;
            prop_assert_eq!(millimetres(Length::mm(value)), value);
            prop_assert_eq!(degrees(Angle::deg(value)), value);
            prop_assert_eq!(Mass::g(grams(Mass::g(value))), Mass::g(value));
        }
    }
}
