//! What counts as good: the class of a wheel, and how much of it the wheel takes up.

use quantity::Length;

/// The most a wheel may show and be of this class.
///
/// Runout is full indicator reading; evenness the standard deviation within one side and kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Class {
    /// To the side.
    pub lateral_fir: Length,
    /// In and out.
    pub radial_fir: Length,
    /// Of the mean of its side and kind, %.
    pub tension_sd_percent: f64,
    /// Offset of the rim's plane, either way.
    pub dish: Length,
    /// Of the mean tension from its target, either way, %.
    pub mean_percent: f64,
}

impl Default for Class {
    /// What demanding hand builders ask (common practice, no source): 0.2 mm, 0.25 mm, 5 %, 0.5 mm, 3 %.
    fn default() -> Self {
        Self {
            lateral_fir: Length::mm(0.20),
            radial_fir: Length::mm(0.25),
            tension_sd_percent: 5.0,
            dish: Length::mm(0.5),
            mean_percent: 3.0,
        }
    }
}

/// Something the class bounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Criterion {
    /// Runout to the side.
    Lateral,
    /// Runout in and out.
    Radial,
    /// Evenness of the group in this place.
    Evenness(usize),
    /// The rim's offset.
    Dish,
    /// The mean tension.
    Mean,
}

/// How much of each criterion is taken up: 1 is the edge of the class.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// One for each criterion that is asked.
    pub of: Vec<(Criterion, f64)>,
}

impl Shares {
    /// The criterion of which most is taken up.
    #[must_use]
    pub fn worst(&self) -> f64 {
        self.of.iter().map(|(_, share)| *share).fold(0.0, f64::max)
    }
}
