//! Tyre pressures.

use crate::unit::quantity;

quantity! {
    /// A pressure above the air around.
    Pressure {
        pa / to_pa = 1.0, "pascals";
        bar / to_bar = 1e5, "bar";
        psi / to_psi = crate::force::NEWTONS_PER_LBF / (0.0254 * 0.0254), "pounds-force per square inch";
    }
}
