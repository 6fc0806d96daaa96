//! Two tensions of every spoke, joined, on the rim laid flat: what the pictures of an analysis and of a plan share.

use quantity::force::ForceUnit;
use report::figure::{PairNames, StripSpoke, UnrolledRim};
use wheel::Side;

/// The strip of these spokes; limits, runout and where a cut axis begins are the caller's.
pub(crate) fn pairs(
    title: impl Into<String>,
    caption: impl Into<String>,
    (first, second): (&str, &str),
    spokes: Vec<StripSpoke>,
    unit: ForceUnit,
) -> UnrolledRim {
    UnrolledRim {
        title: title.into(),
        caption: caption.into(),
        quantity: "tension".into(),
        unit: unit.symbol().into(),
        begins_at: None,
        spokes,
        pair: Some(PairNames {
            first: first.into(),
            second: second.into(),
        }),
        means: Vec::new(),
        limits: Vec::new(),
        runouts: Vec::new(),
    }
}

/// The side that a view names.
pub(crate) fn side(word: &str) -> Side {
    if word == Side::Right.word() {
        Side::Right
    } else {
        Side::Left
    }
}
