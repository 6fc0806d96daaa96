//! Why there is no plan at all.

use quantity::Angle;
use wheel::SpokeIndex;

/// No plan exists; each says how to mend it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// The wheel has no structural answer.
    #[error(transparent)]
    Structure(#[from] mechanics::Error),
    /// Nothing was measured.
    #[error("no tension and no runout was read: there is nothing to plan by")]
    NothingRead,
    /// A reading is of a spoke that the wheel does not have.
    #[error("spoke {} is not one of the wheel's {spokes}", spoke.number())]
    NoSuchSpoke {
        /// The spoke.
        spoke: SpokeIndex,
        /// How many the wheel has.
        spokes: usize,
    },
    /// A reading, noise or target is no usable number.
    #[error("{what} is {value}, which is no usable number")]
    Unusable {
        /// Which.
        what: &'static str,
        /// As given, in SI.
        value: f64,
    },
    /// Runout at a place of the rim for which no response was computed.
    #[error("the response was not asked at {:.2}°, where runout was taken", at.to_deg())]
    PlaceNotAsked {
        /// Where.
        at: Angle,
    },
    /// The readings contradict each other beyond all sums.
    #[error("the readings and their noise leave no estimate: is a noise zero or a reading absurd?")]
    NoEstimate,
}
