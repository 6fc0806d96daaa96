//! The curve that turns a gauge's reading into a force.

use super::{Interval, Named, named};

/// Reading along, force up: the curve with its band, the rig points and the fence around them.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationCurve {
    /// What the figure shows.
    pub title: String,
    /// Gauge, spoke kind, rig, date: the line under the figure.
    pub caption: String,
    /// Unit of a reading, such as `divisions`.
    pub reading_unit: String,
    /// Unit of a force, such as `kgf`.
    pub force_unit: String,
    /// The curve, in rising order of the reading.
    pub band: Vec<CurvePoint>,
    /// What the rig showed.
    pub points: Vec<RigPoint>,
    /// The range of the points: outside it the curve gives no force.
    pub fence: Range,
    /// Words for the fence, such as `points from 13.0 to 27.5 divisions`.
    pub fence_words: String,
    /// The part of the range that this visit's readings use.
    pub used: Option<Range>,
    /// Words for that part, such as `readings of this visit: 19.5 to 24.0`.
    pub used_words: String,
}

/// A point of the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Reading.
    pub reading: f64,
    /// Force with its 95 % band.
    pub force: Interval,
}

/// A point from the rig with its 95 % bars both ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigPoint {
    /// Reading.
    pub reading: Interval,
    /// Force.
    pub force: Interval,
    /// Which way the rig went.
    pub loading: Loading,
}

/// Which way the rig went when a point was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Loading {
    /// Not noted: disc.
    NotNoted,
    /// Force rising: triangle standing.
    Up,
    /// Force falling: triangle hanging.
    Down,
}

/// From here to there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// One end.
    pub from: f64,
    /// The other end.
    pub to: f64,
}

impl CalibrationCurve {
    pub(crate) fn numbers(&self) -> Vec<Named> {
        let band = self.band.iter().flat_map(|point| {
            named(
                "the curve",
                [point.reading].into_iter().chain(point.force.all()),
            )
        });
        let points = self.points.iter().flat_map(|point| {
            named(
                "a rig point",
                point.reading.all().into_iter().chain(point.force.all()),
            )
        });
        let used = self
            .used
            .iter()
            .flat_map(|used| named("the used range", [used.from, used.to]));
        named("the fence", [self.fence.from, self.fence.to])
            .chain(band)
            .chain(points)
            .chain(used)
            .collect()
    }
}
