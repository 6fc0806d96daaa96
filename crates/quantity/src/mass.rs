//! Masses, in grams on the bench.

use crate::unit::quantity;

quantity! {
    /// A mass.
    Mass {
        kg / to_kg = 1.0, "kilograms";
        g / to_g = 1e-3, "grams";
    }
}
