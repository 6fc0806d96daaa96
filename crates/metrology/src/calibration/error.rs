//! Why rig points give no curve.

use super::family::Family;
use crate::fit;

/// Why there is no curve.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// One point says nothing about another reading.
    #[error(
        "{given} rig point(s): a curve needs two at least, well apart; six or more let it bend freely"
    )]
    TooFew {
        /// Points given.
        given: usize,
    },
    /// The wanted family needs more points.
    #[error("a {} needs {needed} rig points, {given} are given", family.word())]
    TooFewForFamily {
        /// The family asked for.
        family: Family,
        /// Points given.
        given: usize,
        /// Points it needs.
        needed: usize,
    },
    /// The points do not tell which way the reading runs.
    #[error(
        "the readings do not move with the force (from {from} to {to} divisions over {over_n:.0} N): check the columns, the gauge's zero and its battery"
    )]
    NoSlope {
        /// Reading at the smallest force.
        from: f64,
        /// Reading at the largest force.
        to: f64,
        /// Between the smallest and the largest force.
        over_n: f64,
    },
    /// The points run against what the gauge's entry says.
    #[error(
        "the readings {seen} with force but the gauge's entry says they {said}: correct `rises_with_tension` or the points"
    )]
    AgainstTheGauge {
        /// What the points do.
        seen: &'static str,
        /// What the entry says.
        said: &'static str,
    },
    /// Two points contradict each other beyond their uncertainties.
    #[error(
        "rig points {first} and {second} contradict each other: the force goes from {from_n:.0} N to {to_n:.0} N but the reading from {from} to {to}; read both again"
    )]
    NotMonotone {
        /// First point, from 1 in the order given.
        first: usize,
        /// Second point.
        second: usize,
        /// Its force, in newtons.
        from_n: f64,
        /// The second's force, in newtons.
        to_n: f64,
        /// The first's reading.
        from: f64,
        /// The second's reading.
        to: f64,
    },
    /// No family of curve goes through the points.
    #[error(
        "no curve runs one way through these points: look at them in a picture for one that is out of line"
    )]
    NoCurve,
    /// The fit itself failed.
    #[error("the fit did not end: {0}")]
    Fit(#[from] fit::Error),
}
