//! Which numbers a key allows.

use std::ops::{Bound, RangeBounds};

/// The numbers a key allows, in the key's own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    low: Bound<f64>,
    high: Bound<f64>,
}

/// More than nothing, up to `most`.
#[must_use]
pub const fn positive(most: f64) -> Range {
    Range {
        low: Bound::Excluded(0.0),
        high: Bound::Included(most),
    }
}

/// Nothing or more.
pub const NOT_NEGATIVE: Range = Range {
    low: Bound::Included(0.0),
    high: Bound::Unbounded,
};

impl Range {
    /// Every finite number.
    pub const ANY: Self = Self {
        low: Bound::Unbounded,
        high: Bound::Unbounded,
    };

    /// From `least` to `most`, both allowed.
    #[must_use]
    pub const fn within(least: f64, most: f64) -> Self {
        Self {
            low: Bound::Included(least),
            high: Bound::Included(most),
        }
    }

    pub(super) fn allows(self, number: f64) -> bool {
        (self.low, self.high).contains(&number)
    }

    /// How the range is said after "must be".
    pub(super) fn words(self) -> String {
        let low = match self.low {
            Bound::Included(low) => Some(format!("at least {low}")),
            Bound::Excluded(low) => Some(format!("more than {low}")),
            Bound::Unbounded => None,
        };
        let high = match self.high {
            Bound::Included(high) => Some(format!("at most {high}")),
            Bound::Excluded(high) => Some(format!("less than {high}")),
            Bound::Unbounded => None,
        };
        [low, high]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" and ")
    }
}
