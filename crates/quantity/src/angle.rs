//! Angles: degrees outside, radians inside.

use crate::unit::quantity;
use std::f64::consts::{PI, TAU};

quantity! {
    /// An angle; round the rim it is counted from the valve hole, counter-clockwise seen from the right.
    Angle {
        rad / to_rad = 1.0, "radians";
        deg / to_deg = PI / 180.0, "degrees";
    }
}

impl Angle {
    /// The same direction between 0 (included) and a full turn (excluded).
    #[must_use]
    pub fn within_turn(self) -> Self {
        let wrapped = self.to_rad().rem_euclid(TAU);
        // A tiny negative angle rounds up to a full turn, which is the same direction as none.
        Self::rad(if wrapped < TAU { wrapped } else { 0.0 })
    }
}
