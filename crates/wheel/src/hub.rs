//! The hub, as far as a spoke feels it.

use crate::error::{Error, Measure, Place, believe};
use crate::{Head, Side};
use quantity::Length;

/// One flange of the hub.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flange {
    /// Radius of the circle on which the holes lie.
    pub hole_circle_radius: Length,
    /// Distance of the flange's middle from the hub's centre, outward positive: a flange beyond the
    /// centre on the other side has a negative one.
    pub offset: Length,
    /// Thickness at the holes; none where the line of pull itself was measured (straight pull).
    pub thickness: Length,
}

impl Flange {
    /// Bounds outside which a measure is taken for a slip: hubs of cargo wheels and hub motors
    /// included, in millimetres.
    const HOLE_CIRCLE: [Length; 2] = [Length::mm(5.0), Length::mm(250.0)];
    const OFFSET: [Length; 2] = [Length::mm(-150.0), Length::mm(150.0)];
    const THICKNESS: [Length; 2] = [Length::mm(0.0), Length::mm(20.0)];
    const ELBOW: [Length; 2] = [Length::mm(0.0), Length::mm(6.0)];

    /// Where along the axle the line of pull leaves the flange: outside its outer face by half the
    /// wire when the head is in, inside its inner face when it is out.
    pub(crate) fn line_of_pull(&self, side: Side, head: Head, elbow: Length) -> Length {
        let beside = (self.thickness + elbow) / 2.0;
        let shift = match head {
            Head::In => beside,
            Head::Out => -beside,
            Head::Straight => Length::ZERO,
        };
        side.sign() * (self.offset + shift)
    }

    pub(crate) fn check(&self, side: Side) -> Result<(), Error> {
        let at = Place::Flange(side);
        believe(
            Measure::HoleCircleRadius,
            at,
            self.hole_circle_radius,
            Self::HOLE_CIRCLE,
        )?;
        believe(Measure::FlangeOffset, at, self.offset, Self::OFFSET)?;
        believe(
            Measure::FlangeThickness,
            at,
            self.thickness,
            Self::THICKNESS,
        )
    }

    pub(crate) fn check_elbow(side: Side, elbow: Length) -> Result<(), Error> {
        let at = Place::Flange(side);
        believe(Measure::Elbow, at, elbow, Self::ELBOW)
    }
}
