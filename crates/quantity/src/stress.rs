//! Stress, strength and elastic moduli.

use crate::unit::quantity;

quantity! {
    /// A force per area of material.
    Stress {
        pa / to_pa = 1.0, "pascals";
        mpa / to_mpa = 1e6, "megapascals (newtons per square millimetre)";
        gpa / to_gpa = 1e9, "gigapascals";
    }
}
