//! Entries: what somebody did, read or said, once and for good.

mod bench;
mod shop;
mod tree;
mod visit;
mod work;

pub use bench::{Calibration, Gauge, Loading, Point, Rig, RodCheck};
pub use shop::{Claim, Limit, Mechanic, Part, Setting, Standing, Wheel, Withdrawal};
pub use visit::{
    Bearing, Counted, Face, Lap, Look, Outcome, Photo, Reading, State, Takes, Visit, Weighing,
};
pub use work::{Advice, Answer, Plan, Report, Turn, TurnState};

use crate::cell::{Cell, Column, Misfit, words};
use crate::id::{Id, Moment};

words! {
    /// Whose an entry is.
    Origin {
        /// The workshop's own.
        Shop = "shop",
        /// Of the invented workshop that shows the job; withdrawn from view by one command.
        Demo = "demo",
    }
}

/// Who entered something, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// When, as the clock told it.
    pub at: Moment,
    /// The zone of the clock on the wall: an IANA name or an offset.
    pub zone: String,
    /// Name or initials.
    pub by: String,
    /// Whose entry it is.
    pub origin: Origin,
}

/// That an entry takes the place of another, which stays in the ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction {
    /// The entry whose place is taken; it was of the same kind, and nothing had taken its place yet.
    pub supersedes: Id,
    /// Why.
    pub why: String,
}

/// One entry of the ledger.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its id; the order of ids is the order of entries.
    pub id: Id,
    /// Who and when.
    pub stamp: Stamp,
    /// Whose place it takes, when it is a correction.
    pub correction: Option<Correction>,
    /// What.
    pub body: Body,
}

impl Entry {
    /// A first entry about something.
    #[must_use]
    pub fn new(id: Id, stamp: &Stamp, body: impl Into<Body>) -> Self {
        Self {
            id,
            stamp: stamp.clone(),
            correction: None,
            body: body.into(),
        }
    }

    /// An entry that takes the place of another.
    #[must_use]
    pub fn correcting(
        supersedes: Id,
        why: &str,
        id: Id,
        stamp: &Stamp,
        body: impl Into<Body>,
    ) -> Self {
        let correction = Some(Correction {
            supersedes,
            why: why.into(),
        });
        Self {
            correction,
            ..Self::new(id, stamp, body)
        }
    }
}

/// What a kind's fields are in the columns of its table.
trait Record: Sized {
    const COLUMNS: &'static [Column];

    fn cells(&self) -> Vec<Cell>;

    /// # Errors
    /// The first cell that does not fit.
    fn of(cells: Vec<Cell>) -> Result<Self, Misfit>;
}

/// A struct whose fields are the columns of its kind's table, in their order.
macro_rules! record {
    ($(#[$doc:meta])* $name:ident { $($(#[$of:meta])* $field:ident: $type:ty),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name { $($(#[$of])* pub $field: $type),+ }

        impl $crate::entry::Record for $name {
            const COLUMNS: &'static [$crate::cell::Column] = &[$($crate::cell::Column {
                name: stringify!($field),
                sort: <$type as $crate::cell::Stored>::SORT,
                optional: <$type as $crate::cell::Stored>::OPTIONAL,
            }),+];

            fn cells(&self) -> Vec<$crate::cell::Cell> {
                vec![$($crate::cell::Stored::to_cell(&self.$field)),+]
            }

            fn of(cells: Vec<$crate::cell::Cell>) -> Result<Self, $crate::cell::Misfit> {
                let mut cells = cells.into_iter();
                let record = Self { $($field: $crate::entry::field(&mut cells, stringify!($field))?),+ };
                match cells.next() {
                    None => Ok(record),
                    Some(_) => Err($crate::cell::Misfit {
                        column: "after the last",
                        why: "there are more cells than columns".into(),
                    }),
                }
            }
        }
    };
}
use record;

/// The next cell as the field it fills.
fn field<T: crate::cell::Stored>(
    cells: &mut impl Iterator<Item = Cell>,
    column: &'static str,
) -> Result<T, Misfit> {
    let cell = cells.next().ok_or_else(|| "there is no cell".to_string());
    cell.and_then(T::from_cell)
        .map_err(|why| Misfit { column, why })
}

/// What an entry can tell.
pub trait Told: Clone + Into<Body> {
    /// Its kind.
    const KIND: Kind;

    /// What a body tells, when it tells of this.
    fn told(body: &Body) -> Option<&Self>;
}

/// The kinds of entries with their words and tables.
macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident = $word:literal in $table:literal),+ $(,)?) => {
        words! {
            /// What an entry tells of.
            Kind { $($(#[$doc])* $kind = $word),+ }
        }

        /// What an entry tells.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Body { $($(#[$doc])* $kind($kind)),+ }

        impl Kind {
            /// The columns of its own, in the order of their cells.
            #[must_use]
            pub fn columns(self) -> &'static [Column] {
                match self { $(Self::$kind => $kind::COLUMNS),+ }
            }

            /// The table its entries stand in.
            pub(crate) fn table(self) -> &'static str {
                match self { $(Self::$kind => $table),+ }
            }
        }

        impl Body {
            /// What it tells of.
            #[must_use]
            pub fn kind(&self) -> Kind {
                match self { $(Self::$kind(_) => Kind::$kind),+ }
            }

            /// Its content, a cell for each of [`Kind::columns`].
            #[must_use]
            pub fn cells(&self) -> Vec<Cell> {
                match self { $(Self::$kind(record) => record.cells()),+ }
            }

            /// What is told by these cells, one for each of [`Kind::columns`].
            ///
            /// # Errors
            /// [`Misfit`] for the first cell that does not belong there.
            pub fn of(kind: Kind, cells: Vec<Cell>) -> Result<Self, Misfit> {
                match kind { $(Kind::$kind => $kind::of(cells).map(Self::$kind)),+ }
            }
        }

        $(impl From<$kind> for Body {
            fn from(record: $kind) -> Self {
                Self::$kind(record)
            }
        }

        impl Told for $kind {
            const KIND: Kind = Kind::$kind;

            fn told(body: &Body) -> Option<&Self> {
                match body {
                    Body::$kind(record) => Some(record),
                    _ => None,
                }
            }
        })+
    };
}

kinds! {
    /// Somebody who works here.
    Mechanic = "mechanic" in "mechanics",
    /// A wheel.
    Wheel = "wheel" in "wheels",
    /// A part of a wheel.
    Part = "part" in "parts",
    /// A limit as a maker states it.
    Limit = "limit" in "limits",
    /// A statement to be judged.
    Claim = "claim" in "claims",
    /// A gauge.
    Gauge = "gauge" in "gauges",
    /// A rig.
    Rig = "rig" in "rigs",
    /// A calibration of a gauge on a spoke kind.
    Calibration = "calibration" in "calibrations",
    /// One rig point of a calibration.
    Point = "point" in "points",
    /// A check of a gauge against a rod.
    RodCheck = "rod_check" in "rod_checks",
    /// A visit of a wheel.
    Visit = "visit" in "visits",
    /// A lap.
    Lap = "lap" in "laps",
    /// One reading of a lap.
    Reading = "reading" in "readings",
    /// A weighing.
    Weighing = "weighing" in "weighings",
    /// A finding of the eye.
    Look = "look" in "looks",
    /// A photo.
    Photo = "photo" in "photos",
    /// A plan of turns.
    Plan = "plan" in "plans",
    /// A turn of one nipple.
    Turn = "turn" in "turns",
    /// Advice, and what was said to it.
    Advice = "advice" in "advices",
    /// A report that was issued.
    Report = "report" in "reports",
    /// A setting of the shop.
    Setting = "setting" in "settings",
    /// That something is out of view, or is back.
    Withdrawal = "withdrawal" in "withdrawals",
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_kind_has_a_table_of_its_own() {
        let tables: BTreeSet<_> = Kind::ALL.iter().map(|kind| kind.table()).collect();
        assert_eq!(tables.len(), Kind::ALL.len());
    }

    #[test]
    fn cells_that_do_not_fit_are_named() {
        let rig = Rig {
            name: "screw".into(),
            note: None,
        };
        let cells = Body::from(rig.clone()).cells();
        assert_eq!(Body::of(Kind::Rig, cells.clone()), Ok(rig.into()));
        let column = |cells| Body::of(Kind::Rig, cells).map_err(|misfit| misfit.column);
        assert_eq!(column(cells[..1].to_vec()), Err("note"));
        assert_eq!(
            column([&cells[..], &cells[..1]].concat()),
            Err("after the last")
        );
        assert_eq!(
            column(vec![Cell::Text(None), Cell::Text(None)]),
            Err("name")
        );
    }
}
