//! The gauge as its owner describes it.

use quantity::{Length, Stiffness};

/// A deflection gauge: what is written on it and what its owner knows about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// What the shop calls it.
    pub label: String,
    /// Distance 2a between its two supports, when known.
    pub support_span: Option<Length>,
    /// Rate of the spring behind its plunger, when known.
    pub spring: Option<Stiffness>,
    /// Smallest step it shows, in divisions.
    pub resolution: f64,
    /// Standard uncertainty of one reading by repetition, in divisions.
    pub repeatability: f64,
    /// Whether its reading rises with tension; when unsaid the rig points tell.
    pub rises_with_tension: Option<bool>,
}

impl Gauge {
    /// Standard uncertainty of one reading: repetition and the rounding to a step together.
    ///
    /// A step of width w hides a rectangular error of w/√12 (JCGM 100, 4.3.7).
    #[must_use]
    pub fn reading_u(&self) -> f64 {
        self.repeatability.hypot(self.resolution / 12_f64.sqrt())
    }
}
