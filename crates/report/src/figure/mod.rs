//! Figures as plain data: what a drawing shows, before it is drawn.

mod calibration_curve;
mod endurance;
mod lacing;
mod runout;
mod unrolled_rim;

pub use calibration_curve::{CalibrationCurve, CurvePoint, Loading, Range, RigPoint};
pub use endurance::{Endurance, StressSwing};
pub use lacing::{LacedSpoke, Lacing};
pub use runout::{RimPoint, Runout, RunoutKind, RunoutTrace, SeatPlace};
pub use unrolled_rim::{
    Beyond, Level, PairNames, Reach, Series, StripLimit, StripMean, StripRunout, StripSpoke,
    UnrolledRim,
};

/// A drawing.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// All spokes in wheel order on a rim laid flat.
    UnrolledRim(UnrolledRim),
    /// Force against reading, with band, points and fence.
    CalibrationCurve(CalibrationCurve),
    /// Runout over one turn.
    Runout(Runout),
    /// Which hole every spoke goes to.
    Lacing(Lacing),
    /// Mean and amplitude of stress against Goodman's line.
    Endurance(Endurance),
}

impl Figure {
    /// What the figure shows.
    #[must_use]
    pub fn title(&self) -> &str {
        match self {
            Self::UnrolledRim(rim) => &rim.title,
            Self::CalibrationCurve(curve) => &curve.title,
            Self::Runout(runout) => &runout.title,
            Self::Lacing(lacing) => &lacing.title,
            Self::Endurance(chart) => &chart.title,
        }
    }

    /// The line under the figure.
    #[must_use]
    pub fn caption(&self) -> &str {
        match self {
            Self::UnrolledRim(rim) => &rim.caption,
            Self::CalibrationCurve(curve) => &curve.caption,
            Self::Runout(runout) => &runout.caption,
            Self::Lacing(lacing) => &lacing.caption,
            Self::Endurance(chart) => &chart.caption,
        }
    }

    /// Refuses numbers that cannot be drawn.
    pub(crate) fn check(&self) -> Result<(), Error> {
        let numbers = match self {
            Self::UnrolledRim(rim) => rim.numbers(),
            Self::CalibrationCurve(curve) => curve.numbers(),
            Self::Runout(runout) => runout.numbers(),
            Self::Lacing(lacing) => lacing.numbers(),
            Self::Endurance(chart) => chart.numbers(),
        };
        match numbers.into_iter().find(|number| !number.value.is_finite()) {
            None => Ok(()),
            Some(number) => Err(Error::NotFinite {
                figure: self.title().to_owned(),
                what: number.what,
                value: number.value,
            }),
        }
    }
}

/// Shape of a point: what is known of it. Colour only says which side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mark {
    /// Disc: taken, nothing to add.
    Taken,
    /// Square: over its limit.
    Over,
    /// Open diamond: to be taken again.
    TakeAgain,
    /// Ring: the reading cannot tell.
    CannotTell,
}

impl Mark {
    /// Its words in a legend.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Taken => "taken",
            Self::Over => "over",
            Self::TakeAgain => "take again",
            Self::CannotTell => "cannot tell",
        }
    }
}

/// A value and its 95 % interval, in the unit of the figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// A value whose uncertainty is not known: no bar is drawn.
    #[must_use]
    pub const fn exact(value: f64) -> Self {
        Self {
            value,
            low: value,
            high: value,
        }
    }

    /// `value` give or take `half`.
    #[must_use]
    pub const fn around(value: f64, half: f64) -> Self {
        Self {
            value,
            low: value - half,
            high: value + half,
        }
    }

    pub(crate) const fn all(self) -> [f64; 3] {
        [self.value, self.low, self.high]
    }
}

/// Why a figure cannot be drawn or a table not be set.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// A number is infinite or not a number.
    #[error("figure “{figure}”: {what} is {value}; only finite numbers can be drawn")]
    NotFinite {
        /// Title of the figure.
        figure: String,
        /// Which number.
        what: String,
        /// The number.
        value: f64,
    },
    /// A row has more or fewer entries than the table has columns.
    #[error("table “{table}”: row {row} has {cells} entries for {columns} columns")]
    RowLength {
        /// Caption of the table.
        table: String,
        /// Row, counted from 1.
        row: usize,
        /// Its entries.
        cells: usize,
        /// Columns of the table.
        columns: usize,
    },
}

/// A number of a figure, with what it is, for the check at the door.
pub(crate) struct Named {
    pub(crate) what: String,
    pub(crate) value: f64,
}

pub(crate) fn named<'a>(
    what: impl Into<String>,
    values: impl IntoIterator<Item = f64> + 'a,
) -> impl Iterator<Item = Named> + 'a {
    let what = what.into();
    values.into_iter().map(move |value| Named {
        what: what.clone(),
        value,
    })
}
