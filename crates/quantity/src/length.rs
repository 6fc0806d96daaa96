//! Lengths: millimetres in the workshop, metres inside.

use crate::unit::quantity;

quantity! {
    /// A length or a signed displacement.
    Length {
        m / to_m = 1.0, "metres";
        mm / to_mm = 1e-3, "millimetres";
    }
}
