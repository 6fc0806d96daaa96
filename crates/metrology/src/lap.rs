//! Once round the wheel from the valve hole.

use quantity::{Angle, Length, Pressure};
use wheel::{Side, SpokeIndex};

/// Without or with a tyre.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum State {
    /// No tyre on the rim.
    Bare,
    /// A tyre on it, at a stated pressure.
    Tyred,
}

/// The way a lap was counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Counted {
    /// Rising spoke numbers.
    Up,
    /// Falling spoke numbers.
    Down,
}

/// One reading of the gauge on one spoke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The spoke it was taken on.
    pub spoke: SpokeIndex,
    /// What the gauge showed, in divisions.
    pub divisions: f64,
}

/// The way a runout dial points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Axis {
    /// Sideways; positive to the right.
    Lateral,
    /// In and out; positive outward.
    Radial,
}

/// One reading of a runout dial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunoutPoint {
    /// Where on the rim, from the valve hole.
    pub at: Angle,
    /// What the dial showed.
    pub displacement: Length,
}

/// What a lap took.
#[derive(Debug, Clone, PartialEq)]
pub enum Taken {
    /// Gauge readings, in the order in which they were read; some spokes may be missing.
    Readings {
        /// Label of the gauge.
        gauge: String,
        /// The readings.
        readings: Vec<Reading>,
    },
    /// Runout.
    Runout {
        /// Which way the dial pointed.
        axis: Axis,
        /// Which face of the rim it touched.
        face: Side,
        /// The dial readings, in the order in which they were read.
        points: Vec<RunoutPoint>,
    },
    /// Pitch of plucked spokes.
    Pitch {
        /// Frequency in hertz per spoke, in the order in which they were plucked.
        hertz: Vec<(SpokeIndex, f64)>,
    },
}

/// Once round the wheel, taking one quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Lap {
    /// Without or with a tyre.
    pub state: State,
    /// Tyre pressure; every tyred lap states it.
    pub pressure: Option<Pressure>,
    /// Who took it, when that differs from the visit's.
    pub by: Option<String>,
    /// First spoke taken.
    pub start: SpokeIndex,
    /// The way it was counted.
    pub counted: Counted,
    /// Temperature of the wheel in degrees Celsius, when noted.
    pub temperature_c: Option<f64>,
    /// What it took.
    pub taken: Taken,
}
