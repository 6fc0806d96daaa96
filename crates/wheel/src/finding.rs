//! What the builder must know about a wheel that stands.

use crate::{KindIndex, SpokeIndex};
use quantity::Length;
use std::fmt;

/// The wheel stands, but the builder must know.
#[derive(Debug, Clone, PartialEq)]
pub enum Finding {
    /// Spokes that leave the flange inward, across its own face: more crosses than the tangent.
    PastTangent {
        /// Those spokes.
        spokes: Vec<SpokeIndex>,
    },
    /// Seats that lie far from the rim's centroid: one of the two radii may be a slip.
    SeatsFarFromCentroid {
        /// Radius of the seat farthest from it.
        seat_radius: Length,
        /// Radius of the centroid.
        centroid_radius: Length,
    },
    /// Some spokes have a tension and others have none.
    TensionsMissing {
        /// The spokes without.
        spokes: Vec<SpokeIndex>,
    },
    /// A kind of which the wheel has no spoke.
    KindUnused {
        /// The kind.
        kind: KindIndex,
        /// Its name.
        name: String,
    },
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PastTangent { spokes } => {
                write!(
                    f,
                    "past the tangent of the flange: spokes {}",
                    numbers(spokes)
                )
            }
            Self::SeatsFarFromCentroid {
                seat_radius,
                centroid_radius,
            } => write!(
                f,
                "a seat at a radius of {:.1} mm is far from the rim's centroid at {:.1} mm: is one a diameter?",
                seat_radius.to_mm(),
                centroid_radius.to_mm()
            ),
            Self::TensionsMissing { spokes } => {
                write!(f, "no tension given for spokes {}", numbers(spokes))
            }
            Self::KindUnused { name, .. } => write!(f, "no spoke is of the kind \"{name}\""),
        }
    }
}

fn numbers(spokes: &[SpokeIndex]) -> String {
    spokes
        .iter()
        .map(|spoke| spoke.number().to_string())
        .collect::<Vec<_>>()
        .join(", ")
}
