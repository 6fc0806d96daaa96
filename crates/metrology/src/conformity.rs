//! Claims and limits, and the probability that they hold (JCGM 106).

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
