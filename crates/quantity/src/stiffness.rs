//! Force per displacement: springs, and the wheel as one.

use crate::unit::quantity;

quantity! {
    /// A force per displacement.
    Stiffness {
        n_per_m / to_n_per_m = 1.0, "newtons per metre";
        n_per_mm / to_n_per_mm = 1e3, "newtons per millimetre";
    }
}
