//! All that was taken of one wheel at one time.

use crate::conformity::Claim;
use crate::gauge::Gauge;
use crate::lap::Lap;
use quantity::{Force, Length, Mass, Pressure};
use wheel::{KindIndex, Wheel};

/// Way in which a rig's force was moving when a point was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Loading {
    /// The force was rising.
    Up,
    /// The force was falling.
    Down,
}

/// One point of a rig: a known force and what the gauge showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigPoint {
    /// What the gauge showed, in divisions.
    pub reading: f64,
    /// The rig's force with the gauge taken off.
    pub force: Force,
    /// Rising or falling force, when noted.
    pub loading: Option<Loading>,
    /// Standard uncertainty of the reading, when it differs from the gauge's.
    pub u_reading: Option<f64>,
    /// Standard uncertainty of the force.
    pub u_force: Option<Force>,
}

/// The rig points of one gauge on one spoke kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// The spoke kind that was on the rig.
    pub kind: KindIndex,
    /// The gauge.
    pub gauge: Gauge,
    /// Where the points come from, as the visit names it.
    pub points_name: String,
    /// The points, in the order in which they were taken.
    pub points: Vec<RigPoint>,
}

/// One weighing.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// What was on the wheel.
    pub dress: Vec<String>,
    /// What the scale showed.
    pub mass: Mass,
    /// Smallest step the scale shows; 1 g when unsaid.
    pub step: Mass,
}

/// A limit of tension as its part's maker gives it.
pub use wheel::limit::Limit;

/// A limit of pressure, of the tyre or the rim.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureLimit {
    /// The part it protects, as written.
    pub part: String,
    /// The highest pressure.
    pub pressure: Pressure,
    /// Where it stands.
    pub source: String,
    /// When it was noted, `YYYY-MM-DD`.
    pub noted: String,
}

/// A piece of advice and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// What was advised.
    pub text: String,
    /// What the customer said.
    pub answer: Answer,
}

/// What a customer said to a piece of advice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Not asked yet.
    Open,
    /// Taken.
    Taken,
    /// Refused.
    Refused,
}

/// What a shop has settled for itself; printed with whatever rests on it.
#[derive(Debug, Clone, PartialEq)]
pub struct ShopSettings {
    /// Probability from which a claim is shown or a limit kept, and below whose complement it is not.
    pub decide_at: f64,
    /// Relative standard deviation of tension that a wheel of this class is expected to have.
    pub evenness_prior: f64,
    /// Minutes of a lap with the gauge.
    pub lap_minutes: f64,
    /// Minutes of one more rig point.
    pub rig_point_minutes: f64,
    /// Minutes of measuring the dish.
    pub dish_minutes: f64,
    /// Standard uncertainty of one reading of the runout dial.
    pub dial_u: Length,
}

impl Default for ShopSettings {
    fn default() -> Self {
        Self {
            decide_at: 0.95,
            evenness_prior: 0.05,
            lap_minutes: 4.0,
            rig_point_minutes: 3.0,
            dish_minutes: 1.0,
            dial_u: Length::mm(0.02),
        }
    }
}

/// All that was taken of one wheel at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// The wheel.
    pub wheel: Wheel,
    /// When, RFC 3339 with the zone it was read in.
    pub taken: String,
    /// By whom.
    pub by: String,
    /// What was asked of the shop, when noted.
    pub asked: Option<String>,
    /// Whether the bearings had play; asked before any runout is relied on.
    pub bearing_play: Option<bool>,
    /// Every gauge that a calibration or a lap names, each label once, in the order of first mention.
    pub gauges: Vec<Gauge>,
    /// Rig points, one set per gauge and spoke kind.
    pub calibrations: Vec<Calibration>,
    /// Laps, in the order in which they were taken.
    pub laps: Vec<Lap>,
    /// Weighings.
    pub weighings: Vec<Weighing>,
    /// Limits of tension.
    pub limits: Vec<Limit>,
    /// Limits of pressure.
    pub pressure_limits: Vec<PressureLimit>,
    /// Claims to be judged.
    pub claims: Vec<Claim>,
    /// Advice given.
    pub advice: Vec<Advice>,
    /// What was not looked at, in the mechanic's words.
    pub not_checked: Vec<String>,
    /// The shop's settings.
    pub settings: ShopSettings,
}
