//! Why parts and lacing give no wheel.

use crate::{KindIndex, Side, SpokeIndex};
use quantity::{Angle, Force, Length};

/// Why there is no such wheel.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// Too few spokes to hold a hub, or more than any rim has holes.
    #[error("{count} spokes, where a wheel has from {least} to {most}")]
    SpokeCount {
        /// Spokes given.
        count: usize,
        /// The fewest that hold a hub in its plane.
        least: usize,
        /// The most that are believed.
        most: usize,
    },
    /// The pattern of sides does not go a whole number of times round the rim.
    #[error("a pattern of {period} sides does not go a whole number of times into {seats} seats")]
    SidePattern {
        /// Seats in the rim.
        seats: usize,
        /// Seats after which the pattern begins anew.
        period: usize,
    },
    /// The pattern of gaps does not go a whole number of times round the rim.
    #[error("a pattern of {period} gaps does not go a whole number of times into {seats} seats")]
    GapPattern {
        /// Seats in the rim.
        seats: usize,
        /// Gaps after which the pattern begins anew.
        period: usize,
    },
    /// A gap that is no positive number.
    #[error(
        "a gap between seats of {gap}, where only its proportion to the others counts, above 0"
    )]
    Gap {
        /// The gap as given.
        gap: f64,
    },
    /// No seat of the rim belongs to a side.
    #[error("no seat of the rim belongs to the {} side", side.word())]
    SideWithoutSeats {
        /// The side.
        side: Side,
    },
    /// The pattern of a side's spokes does not go a whole number of times into them.
    #[error(
        "a pattern of {period} does not go a whole number of times into the {spokes} spokes on the {} side",
        side.word()
    )]
    LayPattern {
        /// The side.
        side: Side,
        /// Spokes on it.
        spokes: usize,
        /// Spokes after which the pattern begins anew.
        period: usize,
    },
    /// Crosses that no spoke can make.
    #[error(
        "{crosses} crosses among {spokes} spokes on the {} side turn a spoke by {:.0}° at the hub, where 0 to {:.0}° can be laced",
        side.word(), turn.to_deg(), most.to_deg()
    )]
    Crosses {
        /// The side.
        side: Side,
        /// Crosses asked for.
        crosses: f64,
        /// Spokes on the side.
        spokes: usize,
        /// Angle between the spoke's own hole and the one it would go to.
        turn: Angle,
        /// The largest such angle.
        most: Angle,
    },
    /// A part of a cross, where the spoke's head needs one of the flange's evenly spaced holes.
    #[error(
        "{crosses} crosses on the {} side end between two holes; only straight-pull spokes can do that",
        side.word()
    )]
    PartOfACross {
        /// The side.
        side: Side,
        /// Crosses asked for.
        crosses: f64,
    },
    /// The flange reaches as far out as the seats.
    #[error(
        "spoke {} leaves its flange at a radius of {:.1} mm, which is not inside its seat at {:.1} mm",
        spoke.number(), hub_radius.to_mm(), seat_radius.to_mm()
    )]
    HubOutsideRim {
        /// The spoke.
        spoke: SpokeIndex,
        /// Radius at which it leaves the flange.
        hub_radius: Length,
        /// Radius of its seat.
        seat_radius: Length,
    },
    /// A right spoke leaves the hub left of a left one.
    #[error(
        "the right spoke {} leaves the hub at {:.1} mm, left of the left spoke {} at {:.1} mm (positive to the right)",
        right.number(), right_offset.to_mm(), left.number(), left_offset.to_mm()
    )]
    FlangesSwapped {
        /// The right spoke.
        right: SpokeIndex,
        /// Where it leaves the hub, along the axle.
        right_offset: Length,
        /// The left spoke.
        left: SpokeIndex,
        /// Where it leaves the hub, along the axle.
        left_offset: Length,
    },
    /// A measure that no bicycle wheel has.
    #[error(
        "{measure} of {:.1} mm {at}, where {:.0} to {:.0} mm can be believed",
        value.to_mm(), least.to_mm(), most.to_mm()
    )]
    Unbelievable {
        /// What was measured.
        measure: Measure,
        /// Where.
        at: Place,
        /// Its value.
        value: Length,
        /// The least that is believed.
        least: Length,
        /// The most that is believed.
        most: Length,
    },
    /// Two spokes leave the flange in one place.
    #[error("spokes {} and {} are in one hole of the {} flange", first.number(), second.number(), side.word())]
    TwoInOneHole {
        /// The side.
        side: Side,
        /// The spoke with the lower number.
        first: SpokeIndex,
        /// The other.
        second: SpokeIndex,
    },
    /// Two nipples in one hole of the rim.
    #[error("spokes {} and {} are in one seat of the rim", first.number(), second.number())]
    TwoInOneSeat {
        /// The spoke with the lower number.
        first: SpokeIndex,
        /// The other.
        second: SpokeIndex,
    },
    /// Spokes that do not stand in order of seat angle, so that their numbers would not be theirs.
    #[error(
        "spoke {} has its seat at {:.2}°, before the spoke in front of it at {:.2}°",
        spoke.number(), angle.to_deg(), before.to_deg()
    )]
    OutOfOrder {
        /// The spoke that comes too late.
        spoke: SpokeIndex,
        /// Its seat angle.
        angle: Angle,
        /// Seat angle of the spoke in front of it.
        before: Angle,
    },
    /// At one seat angle the left spoke stands in front of the right one.
    #[error("spoke {} is a right one at the seat angle of the left one in front of it; the right one comes first", spoke.number())]
    LeftBeforeRight {
        /// The right spoke.
        spoke: SpokeIndex,
    },
    /// A spoke of a kind that the wheel does not have.
    #[error("spoke {} is of kind {}, where the wheel has {kinds}", spoke.number(), kind.0 + 1)]
    NoSuchKind {
        /// The spoke.
        spoke: SpokeIndex,
        /// The kind it names.
        kind: KindIndex,
        /// Kinds of the wheel.
        kinds: usize,
    },
    /// A tension that no spoke can have: spokes cannot push.
    #[error("spoke {} has a tension of {:.0} N, where spokes only pull", spoke.number(), tension.to_n())]
    Tension {
        /// The spoke.
        spoke: SpokeIndex,
        /// Its tension.
        tension: Force,
    },
    /// A stiffness EA that is no positive number.
    #[error("spoke {} has an axial stiffness of {} N, which must be above 0", spoke.number(), stiffness.to_n())]
    Stiffness {
        /// The spoke.
        spoke: SpokeIndex,
        /// Its EA.
        stiffness: Force,
    },
}

/// A measure that can be unbelievable.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Measure {
    /// Radius of the nipple seats.
    #[error("a seat radius")]
    SeatRadius,
    /// Distance of a seat from the hub's central plane.
    #[error("a seat's distance from the central plane")]
    SeatOffset,
    /// Radius of the circle of holes in a flange.
    #[error("a hole circle's radius")]
    HoleCircleRadius,
    /// Distance of a flange from the hub's centre.
    #[error("a flange's distance from the hub's centre")]
    FlangeOffset,
    /// Thickness of a flange.
    #[error("a flange's thickness")]
    FlangeThickness,
    /// Diameter of the wire at the elbow.
    #[error("an elbow's diameter")]
    Elbow,
}

/// Where a measure is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// At one spoke.
    Spoke(SpokeIndex),
    /// At the flange of a side, or at the elbows of its spokes.
    Flange(Side),
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Spoke(spoke) => write!(f, "at spoke {}", spoke.number()),
            Self::Flange(side) => write!(f, "at the {} flange", side.word()),
        }
    }
}

/// Refuses a measure outside `least..=most`, or one that is no number.
pub(crate) fn believe(
    measure: Measure,
    at: Place,
    value: Length,
    [least, most]: [Length; 2],
) -> Result<(), Error> {
    if value >= least && value <= most {
        Ok(())
    } else {
        Err(Error::Unbelievable {
            measure,
            at,
            value,
            least,
            most,
        })
    }
}
