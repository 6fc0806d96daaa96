//! Runout over one turn.

use super::{Named, named};
use wheel::{Side, SpokeIndex};

/// Lateral and radial runout over one turn, one line for each rim face.
#[derive(Debug, Clone, PartialEq)]
pub struct Runout {
    /// What the figure shows.
    pub title: String,
    /// Dial, state, bearing play: the line under the figure.
    pub caption: String,
    /// Lines, lateral and radial in any order.
    pub traces: Vec<RunoutTrace>,
    /// Where the spokes' seats lie.
    pub seats: Vec<SeatPlace>,
}

/// Lateral or radial.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RunoutKind {
    /// Along the axle, positive to the right.
    Lateral,
    /// Away from the axle, positive outward.
    Radial,
}

impl RunoutKind {
    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lateral => "lateral",
            Self::Radial => "radial",
        }
    }

    /// What up means in a drawing.
    #[must_use]
    pub const fn upward(self) -> &'static str {
        match self {
            Self::Lateral => "up is to the right",
            Self::Radial => "up is outward",
        }
    }
}

/// Once round one rim face.
#[derive(Debug, Clone, PartialEq)]
pub struct RunoutTrace {
    /// Lateral or radial.
    pub kind: RunoutKind,
    /// Which face the dial touched, such as `right face`.
    pub face: String,
    /// What the dial showed.
    pub points: Vec<RimPoint>,
    /// Words of the highest point, such as `+0.14 mm`.
    pub highest_words: String,
    /// Words of the lowest point, such as `−0.17 mm`.
    pub lowest_words: String,
    /// Words of the full indicator reading, such as `0.31 ± 0.02 mm`.
    pub full_words: String,
}

/// What the dial showed at an angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RimPoint {
    /// Angle from the valve hole, in degrees; taken modulo a turn.
    pub angle_deg: f64,
    /// Dial, in millimetres.
    pub mm: f64,
}

impl RimPoint {
    pub(crate) const fn all(self) -> [f64; 2] {
        [self.angle_deg, self.mm]
    }
}

/// Where a spoke's seat lies on the rim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeatPlace {
    /// Its place in the wheel's order.
    pub spoke: SpokeIndex,
    /// Its side.
    pub side: Side,
    /// Angle from the valve hole, in degrees.
    pub angle_deg: f64,
}

impl Runout {
    pub(crate) fn numbers(&self) -> Vec<Named> {
        let traces = self.traces.iter().flat_map(|trace| {
            named(
                format!("{} runout, {}", trace.kind.word(), trace.face),
                trace.points.iter().flat_map(|point| point.all()),
            )
        });
        let seats = self
            .seats
            .iter()
            .flat_map(|seat| named(format!("spoke {}", seat.spoke.number()), [seat.angle_deg]));
        traces.chain(seats).collect()
    }
}
