//! Which hole every spoke goes to.

use super::{Named, named};
use wheel::{Head, Side, SpokeIndex};

/// Both sides of a wheel as laced, the rim cut at the valve hole and laid flat.
#[derive(Debug, Clone, PartialEq)]
pub struct Lacing {
    /// What the figure shows.
    pub title: String,
    /// The line under the figure.
    pub caption: String,
    /// The spokes, in the wheel's order.
    pub spokes: Vec<LacedSpoke>,
    /// The spoke to begin with.
    pub key: Option<SpokeIndex>,
}

/// One spoke between its seat and its hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LacedSpoke {
    /// Its place in the wheel's order.
    pub spoke: SpokeIndex,
    /// Its side.
    pub side: Side,
    /// Angle of its seat from the valve hole, in degrees.
    pub seat_deg: f64,
    /// Angle of its hole from the valve hole, in degrees.
    pub hole_deg: f64,
    /// How its head sits.
    pub head: Head,
}

impl Lacing {
    pub(crate) fn numbers(&self) -> Vec<Named> {
        let of = |spoke: &LacedSpoke| {
            let what = format!("spoke {}", spoke.spoke.number());
            named(what, [spoke.seat_deg, spoke.hole_deg]).collect::<Vec<_>>()
        };
        self.spokes.iter().flat_map(of).collect()
    }
}
