//! Range and mean of stress against what a material is published to bear again and again.

use super::{Named, named};

/// Mean stress along, amplitude up: Goodman's line of one material and the swings of its spokes.
#[derive(Debug, Clone, PartialEq)]
pub struct Endurance {
    /// What the figure shows.
    pub title: String,
    /// The line under the figure: where the published numbers stand.
    pub caption: String,
    /// Unit of stress, such as `MPa`.
    pub unit: String,
    /// Amplitude borne about no mean: where the line begins.
    pub amplitude: f64,
    /// Strength: where the line ends.
    pub strength: f64,
    /// What swings.
    pub swings: Vec<StressSwing>,
}

/// How the stress of one spoke swings through a turn.
#[derive(Debug, Clone, PartialEq)]
pub struct StressSwing {
    /// Whose, and what of the line it uses, such as `spoke 7: 40 % of the line`.
    pub words: String,
    /// Half way between largest and smallest.
    pub mean: f64,
    /// Half the range.
    pub amplitude: f64,
    /// Whether it lies beyond the line.
    pub beyond: bool,
}

impl Endurance {
    pub(crate) fn numbers(&self) -> Vec<Named> {
        let swings = self
            .swings
            .iter()
            .flat_map(|swing| named(swing.words.clone(), [swing.mean, swing.amplitude]));
        named("the line", [self.amplitude, self.strength])
            .chain(swings)
            .collect()
    }
}
