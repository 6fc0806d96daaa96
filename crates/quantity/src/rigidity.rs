//! Resistance of a section to bending (EI), to twist (GJ) and to warping (EC_w).

use crate::unit::quantity;

quantity! {
    /// Bending rigidity EI or torsional rigidity GJ.
    Rigidity {
        n_m2 / to_n_m2 = 1.0, "newton square metres";
        n_mm2 / to_n_mm2 = 1e-6, "newton square millimetres";
    }
}

quantity! {
    /// Warping rigidity EC_w: the bimoment per change of the rate of twist along a bar.
    WarpingRigidity {
        n_m4 / to_n_m4 = 1.0, "newton metres to the fourth";
        n_mm4 / to_n_mm4 = 1e-12, "newton millimetres to the fourth";
    }
}
