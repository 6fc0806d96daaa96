//! What the records show of the bench: gauges with their checks, calibrations, rigs.

use super::EntryView;
use serde::Serialize;

/// A gauge with its life.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GaugeRecordView {
    /// Who and when.
    pub entry: EntryView,
    /// What is written on it.
    pub label: String,
    /// The text of its gauge file.
    pub file: String,
    /// Anything else.
    pub note: Option<String>,
    /// Its calibrations, in the order in which they were taken.
    pub calibrations: Vec<CalibrationRecordView>,
    /// Its checks, in the order in which they were entered.
    pub rod_checks: Vec<RodCheckView>,
    /// What the newest checks ask together.
    pub rod_runs: Vec<RodRunView>,
}

/// Checks in a row that ask something, the newest one last.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RodRunView {
    /// How many.
    pub checks: usize,
    /// What they ask.
    pub says: String,
}

/// A calibration with its points.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CalibrationRecordView {
    /// Who and when.
    pub entry: EntryView,
    /// What surveys call it.
    pub name: String,
    /// The spoke kind on the rig.
    pub spoke_kind: String,
    /// The batch the spoke was of.
    pub batch: Option<String>,
    /// When it was taken, RFC 3339.
    pub taken: String,
    /// Who took it, when that is not who entered it.
    pub operator: Option<String>,
    /// Temperature in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// The id of the rig it was taken on.
    pub rig: Option<String>,
    /// Anything else.
    pub note: Option<String>,
    /// Its points.
    pub points: Vec<PointView>,
}

/// A rig: where a spoke is pulled with a force that is known.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RigView {
    /// Who and when.
    pub entry: EntryView,
    /// What the shop calls it.
    pub name: String,
    /// Its load cell, and how that was checked.
    pub note: Option<String>,
}

/// A rig point.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PointView {
    /// Who and when.
    pub entry: EntryView,
    /// Its place in the order in which the points were taken.
    pub number: i64,
    /// What was typed for the reading.
    pub raw_reading: String,
    /// What was typed for the force, with its unit.
    pub raw_force: String,
    /// The reading in divisions.
    pub reading: f64,
    /// The force with the gauge off.
    pub force_n: f64,
    /// `up` or `down`, when noted.
    pub direction: Option<&'static str>,
}

/// A check against a rod.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RodCheckView {
    /// Who and when.
    pub entry: EntryView,
    /// What was typed.
    pub raw: String,
    /// The reading in divisions.
    pub reading: f64,
    /// What the rod should read.
    pub expected: f64,
    /// How far off it may be.
    pub tolerance: f64,
    /// Whether it was within that.
    pub is_good: bool,
    /// Temperature in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// Anything else.
    pub note: Option<String>,
}
