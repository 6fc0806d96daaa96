//! The bench: gauges, rigs, calibrations and checks.

use super::record;
use crate::cell::words;
use crate::id::{Id, Moment};

record! {
    /// A gauge.
    Gauge {
        /// What is written on it.
        label: String,
        /// The text of its gauge file, as it was handed in.
        file: String,
        /// Anything else.
        note: Option<String>,
    }
}

record! {
    /// A rig.
    Rig {
        /// What it is called.
        name: String,
        /// Its load cell, how that was checked, and anything else.
        note: Option<String>,
    }
}

record! {
    /// A calibration of a gauge on a spoke kind; its points are entries of their own.
    Calibration {
        /// The gauge.
        gauge: Id,
        /// The spoke kind that was on the rig.
        spoke_kind: String,
        /// The batch the spoke was of.
        batch: Option<String>,
        /// When it was taken.
        taken: Moment,
        /// The zone that was read in.
        taken_zone: String,
        /// Who took it, when that is not who entered it.
        operator: Option<String>,
        /// Temperature in degrees Celsius.
        temperature_c: Option<f64>,
        /// The rig.
        rig: Option<Id>,
        /// Anything else.
        note: Option<String>,
    }
}

words! {
    /// The way in which a rig's force was moving.
    Loading {
        /// Rising.
        Up = "up",
        /// Falling.
        Down = "down",
    }
}

record! {
    /// One rig point.
    Point {
        /// The calibration.
        calibration: Id,
        /// Its place in the order in which the points were taken, from 1.
        number: i64,
        /// What was typed for the reading.
        raw_reading: String,
        /// The reading in divisions.
        reading: f64,
        /// What was typed for the force, with its unit.
        raw_force: String,
        /// The force with the gauge off, in newtons.
        force_n: f64,
        /// Rising or falling, when noted.
        direction: Option<Loading>,
        /// Standard uncertainty of the reading in divisions.
        u_reading: Option<f64>,
        /// Standard uncertainty of the force in newtons.
        u_force_n: Option<f64>,
    }
}

record! {
    /// A check of a gauge against a rod.
    RodCheck {
        /// The gauge.
        gauge: Id,
        /// What was typed.
        raw: String,
        /// The reading in divisions.
        reading: f64,
        /// What the rod should read.
        expected: f64,
        /// How far off it may be.
        tolerance: f64,
        /// Temperature in degrees Celsius.
        temperature_c: Option<f64>,
        /// Anything else.
        note: Option<String>,
    }
}
