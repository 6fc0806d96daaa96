//! Claims and limits, and the probability that they hold (JCGM 106).

use quantity::distribution::normal_cdf;

/// What a claim is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ClaimQuantity {
    /// Loss of mean tension when the tyre goes on, in per cent; each side and the whole wheel.
    TensionLossPercent,
    /// Mass in grams, in the dress the claim names.
    MassG,
    /// Lateral runout, full indicator reading of the worse face, in millimetres.
    LateralFirMm,
    /// Radial runout, full indicator reading of the worse face, in millimetres.
    RadialFirMm,
    /// Standard deviation of tension within its side and kind, noise removed, in per cent.
    EvennessPercent,
}

/// Which part of the wheel a claim speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ClaimScope {
    /// Unnamed: each side and the whole are judged and the worst is the verdict.
    Unnamed,
    /// The whole wheel.
    Whole,
    /// One side.
    Side(wheel::Side),
}

/// A statement to be judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// The statement as it was made.
    pub text: String,
    /// What it is about.
    pub quantity: ClaimQuantity,
    /// It says "at least this", in the quantity's unit.
    pub at_least: Option<f64>,
    /// It says "at most this", in the quantity's unit.
    pub at_most: Option<f64>,
    /// Which part of the wheel it speaks of.
    pub scope: ClaimScope,
    /// For a mass: what is on the wheel.
    pub dress: Vec<String>,
    /// Who made it and where, when noted.
    pub source: Option<String>,
}

/// What can be said of a claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ClaimVerdict {
    /// It holds with at least the shop's probability.
    Shown,
    /// Neither.
    Undecided,
    /// It fails with at least the shop's probability.
    Refuted,
}

impl ClaimVerdict {
    /// The verdict at a probability that the claim holds.
    #[must_use]
    pub fn at(probability: f64, decide_at: f64) -> Self {
        if probability >= decide_at {
            Self::Shown
        } else if probability <= 1.0 - decide_at {
            Self::Refuted
        } else {
            Self::Undecided
        }
    }

    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shown => "shown",
            Self::Undecided => "undecided",
            Self::Refuted => "refuted",
        }
    }
}

/// What can be said of a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LimitVerdict {
    /// No spoke is above it, with at least the shop's probability.
    Under,
    /// Neither.
    CannotTell,
    /// A spoke is above it, with at least the shop's probability.
    Over,
}

impl LimitVerdict {
    /// The verdict at a probability that the limit is kept.
    #[must_use]
    pub fn at(probability: f64, decide_at: f64) -> Self {
        match ClaimVerdict::at(probability, decide_at) {
            ClaimVerdict::Shown => Self::Under,
            ClaimVerdict::Undecided => Self::CannotTell,
            ClaimVerdict::Refuted => Self::Over,
        }
    }

    /// Its words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Under => "under",
            Self::CannotTell => "cannot tell",
            Self::Over => "over",
        }
    }
}

/// Probability that a normal quantity lies between two bounds (JCGM 106, 7).
#[must_use]
pub fn probability_between(value: f64, u: f64, at_least: f64, at_most: f64) -> f64 {
    if u <= 0.0 {
        return f64::from(u8::from(value >= at_least && value <= at_most));
    }
    normal_cdf((at_most - value) / u) - normal_cdf((at_least - value) / u)
}

impl Claim {
    /// Its lower and upper bound, infinite where it names none.
    #[must_use]
    pub fn bounds(&self) -> (f64, f64) {
        (
            self.at_least.unwrap_or(f64::NEG_INFINITY),
            self.at_most.unwrap_or(f64::INFINITY),
        )
    }
}
