//! What joins spokes to hub and rim, as far as it matters for building: holes, washers, nipples.

use crate::{Nipple, Side};
use quantity::{Length, Mass};

/// What joins the spokes of both sides, and what was measured for it. By default nothing is known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fittings {
    /// On the right side.
    pub right: Fitting,
    /// On the left side.
    pub left: Fitting,
    /// Diameters across the nipple seats, measured at several places round the rim; the seats of the
    /// wheel stand at their mean.
    pub seat_diameters: Vec<Length>,
    /// The hub as weighed.
    pub hub_mass: Option<Mass>,
    /// Thermal expansion of the hub, per kelvin.
    pub hub_expansion_per_k: Option<f64>,
}

impl Fittings {
    /// Those of a side.
    #[must_use]
    pub const fn of(&self, side: Side) -> &Fitting {
        match side {
            Side::Right => &self.right,
            Side::Left => &self.left,
        }
    }
}

/// What joins the spokes of one side.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fitting {
    /// Diameter of the flange's holes.
    pub hole: Option<Length>,
    /// For straight-pull spokes: how far behind the point where the line of pull leaves the hub the head bears.
    pub head_behind: Length,
    /// The flange as a body in the spokes' way.
    pub flange: Option<FlangeBody>,
    /// Thickness of a washer under the nipple that the seat's radius does not count.
    pub washer: Length,
    /// The nipple.
    pub nipple: Option<Nipple>,
}

/// A flange as a body: a disc about the axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlangeBody {
    /// Distance of its middle from the hub's centre, outward positive.
    pub offset: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Its outer radius.
    pub radius: Length,
}
