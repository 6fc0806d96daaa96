//! Forces. The trade says "kilo" and means the kilogram-force.

use crate::unit::quantity;

/// One kilogram-force in newtons, exact by the definition of standard gravity (3rd CGPM, 1901).
pub const NEWTONS_PER_KGF: f64 = 9.806_65;

/// One pound-force in newtons, exact by the definitions of the pound (1959) and of standard gravity.
pub const NEWTONS_PER_LBF: f64 = 4.448_221_615_260_5;

quantity! {
    /// A force; a spoke's tension is positive, an axial stiffness EA is the force at unit strain.
    Force {
        n / to_n = 1.0, "newtons";
        kgf / to_kgf = NEWTONS_PER_KGF, "kilograms-force";
        lbf / to_lbf = NEWTONS_PER_LBF, "pounds-force";
    }
}

/// The unit in which a person wants to read forces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ForceUnit {
    /// Kilograms-force, the trade's default.
    #[default]
    Kgf,
    /// Newtons.
    N,
    /// Pounds-force.
    Lbf,
}

impl ForceUnit {
    /// How the unit is written after a number.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Kgf => "kgf",
            Self::N => "N",
            Self::Lbf => "lbf",
        }
    }

    /// The number that stands before the unit's symbol.
    #[must_use]
    pub const fn read(self, force: Force) -> f64 {
        match self {
            Self::Kgf => force.to_kgf(),
            Self::N => force.to_n(),
            Self::Lbf => force.to_lbf(),
        }
    }

    /// The force of which `value` stands before this unit's symbol.
    #[must_use]
    pub const fn of(self, value: f64) -> Force {
        match self {
            Self::Kgf => Force::kgf(value),
            Self::N => Force::n(value),
            Self::Lbf => Force::lbf(value),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: check by the definition of the pound, 0.453 592 37 kg exactly (1959 agreement; from memory).
    #[test]
    fn a_pound_force_is_its_mass_times_standard_gravity() {
        assert!((0.453_592_37 * NEWTONS_PER_KGF - NEWTONS_PER_LBF).abs() < 1e-15);
    }

    #[test]
    fn a_force_reads_back_in_the_unit_it_was_given_in() {
        for unit in [ForceUnit::Kgf, ForceUnit::N, ForceUnit::Lbf] {
            assert!((unit.read(unit.of(123.4)) - 123.4).abs() < 1e-12);
        }
    }
}
