//! The house picture: the wheel cut at the valve hole and laid flat in rolling order.

use super::{Interval, Mark, Named, RimPoint, RunoutKind, named};
use wheel::{Side, SpokeIndex};

/// All spokes in wheel order on a rim laid flat, right ones up, left ones down, as long as their
/// tension (or whatever else `quantity` names).
#[derive(Debug, Clone, PartialEq)]
pub struct UnrolledRim {
    /// What the figure shows.
    pub title: String,
    /// State, gauge, temperature: the line under the figure.
    pub caption: String,
    /// What a spoke's length shows, such as `tension`.
    pub quantity: String,
    /// Unit of every number here but the runout, such as `kgf`.
    pub unit: String,
    /// Where the axis begins; `None` is zero. A cut axis says so.
    pub begins_at: Option<f64>,
    /// Spokes; any order.
    pub spokes: Vec<StripSpoke>,
    /// Names of the two points of a spoke when `second` is used: bare against tyred.
    pub pair: Option<PairNames>,
    /// Means to draw across a side, one for each kind.
    pub means: Vec<StripMean>,
    /// Limits in force.
    pub limits: Vec<StripLimit>,
    /// Runout lines on the rim.
    pub runouts: Vec<StripRunout>,
}

/// One spoke on the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct StripSpoke {
    /// Its place in the wheel's order.
    pub spoke: SpokeIndex,
    /// Its side.
    pub side: Side,
    /// Angle of its seat from the valve hole, in degrees; taken modulo a turn.
    pub angle_deg: f64,
    /// How far it reaches.
    pub level: Level,
    /// A second point, open, joined to the first: tyred beside bare.
    pub second: Option<Level>,
    /// What is known of it.
    pub mark: Mark,
    /// A short word beside the point, such as `128 over`; empty for none.
    pub word: String,
}

/// How far a spoke reaches on the scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Level {
    /// Nobody read it.
    NotRead,
    /// Nobody came to it yet: nothing is drawn.
    NotYet,
    /// A value with its 95 % interval.
    Read(Interval),
    /// The reading lies outside the curve's range: more than this.
    MoreThan(f64),
    /// The reading lies outside the curve's range: less than this.
    LessThan(f64),
}

impl Level {
    /// Where it is drawn, `None` if it was not read.
    pub(crate) const fn at(self) -> Option<f64> {
        match self {
            Self::NotRead | Self::NotYet => None,
            Self::Read(interval) => Some(interval.value),
            Self::MoreThan(bound) | Self::LessThan(bound) => Some(bound),
        }
    }

    pub(crate) fn numbers(self) -> Vec<f64> {
        match self {
            Self::NotRead | Self::NotYet => Vec::new(),
            Self::Read(interval) => interval.all().to_vec(),
            Self::MoreThan(bound) | Self::LessThan(bound) => vec![bound],
        }
    }
}

/// Names of the two points of every spoke.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PairNames {
    /// The filled point, such as `bare`.
    pub first: String,
    /// The open point, such as `tyred, 6.0 bar`.
    pub second: String,
}

/// Which of a spoke's points something belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Series {
    /// The filled point.
    First,
    /// The open point.
    Second,
}

/// The mean of one side and kind, drawn across the side.
#[derive(Debug, Clone, PartialEq)]
pub struct StripMean {
    /// Its side.
    pub side: Side,
    /// Of which points.
    pub series: Series,
    /// The mean.
    pub value: f64,
    /// Its words, with the kind when a side has several, such as `bladed 113 ± 2`.
    pub words: String,
}

/// A limit and the hatched region beyond it.
#[derive(Debug, Clone, PartialEq)]
pub struct StripLimit {
    /// Where it holds.
    pub reach: Reach,
    /// The limit.
    pub value: f64,
    /// Which way is beyond.
    pub beyond: Beyond,
    /// Whose it is, such as `over the rim maker’s 125 kgf (bare)`.
    pub words: String,
}

/// On which sides something holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reach {
    /// On one side.
    Only(Side),
    /// On both.
    Both,
}

impl Reach {
    pub(crate) fn holds(self, side: Side) -> bool {
        match self {
            Self::Only(only) => only == side,
            Self::Both => true,
        }
    }
}

/// Which way is beyond a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Beyond {
    /// More is beyond.
    Above,
    /// Less is beyond.
    Below,
}

/// Runout as a line on the rim.
#[derive(Debug, Clone, PartialEq)]
pub struct StripRunout {
    /// Lateral or radial.
    pub kind: RunoutKind,
    /// Where the rim was touched and what the dial showed.
    pub points: Vec<RimPoint>,
    /// Its words, such as `0.31 mm over a turn`.
    pub words: String,
}

impl UnrolledRim {
    pub(crate) fn numbers(&self) -> Vec<Named> {
        let spokes = self.spokes.iter().flat_map(|spoke| {
            let levels = [Some(spoke.level), spoke.second];
            let values = levels.into_iter().flatten().flat_map(Level::numbers);
            named(
                format!("spoke {}", spoke.spoke.number()),
                values.chain([spoke.angle_deg]),
            )
        });
        let means = self
            .means
            .iter()
            .flat_map(|mean| named(&mean.words, [mean.value]));
        let limits = self
            .limits
            .iter()
            .flat_map(|limit| named(&limit.words, [limit.value]));
        let runouts = self
            .runouts
            .iter()
            .flat_map(|runout| named(&runout.words, runout.points.iter().flat_map(|p| p.all())));
        named("the axis' beginning", self.begins_at)
            .chain(spokes)
            .chain(means)
            .chain(limits)
            .chain(runouts)
            .collect()
    }
}
