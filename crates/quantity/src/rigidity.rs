//! Resistance of a section to bending (EI) or to twist (GJ).

use crate::unit::quantity;

quantity! {
    /// Bending rigidity EI or torsional rigidity GJ.
    Rigidity {
        n_m2 / to_n_m2 = 1.0, "newton square metres";
        n_mm2 / to_n_mm2 = 1e-6, "newton square millimetres";
    }
}
