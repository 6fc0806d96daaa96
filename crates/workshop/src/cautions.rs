//! The usual cautions, shown with every report.

use report::document::{Block, Notice, OnPaper, Section, Text, Weight};

/// What stands in every report, whatever it found.
const CAUTIONS: [(&str, &str); 6] = [
    (
        "Evidence, not permission to ride",
        "These numbers hold for this day and this state. The makers' instructions and limits and local rules prevail; a named qualified mechanic decides whether the wheel is ridden.",
    ),
    (
        "Limits",
        "A limit is the maker's, with its source and date. No limit known is not a pass. No turn is added to a spoke that stands at its limit or has no thread left.",
    ),
    (
        "Carbon",
        "A carbon spoke that is nicked, frayed, dented or loose in its end is replaced, not ridden; it is not clamped, bent, twisted or squeezed like steel unless its maker allows it. A carbon rim with a crack, bulge, soft place or whitening at a hole is put aside and not trued. A tap test proves nothing.",
    ),
    (
        "Aluminium",
        "Cracks at a hole, a worn brake wall or a corroded bed mean another rim, not truing.",
    ),
    (
        "Pressure",
        "The lowest limit of tyre and rim counts. On a rim without hooks only a tyre approved for it, at the pressure both allow. Seat a tyre behind a guard.",
    ),
    (
        "At the rig",
        "A stretched spoke stores energy: eye protection, a cover over the spoke, stand beside the line of pull, stop below the ceiling chosen before.",
    ),
];

/// The section of cautions.
pub(crate) fn section() -> Section {
    Section {
        heading: "Cautions".into(),
        on_paper: OnPaper::Follows,
        blocks: CAUTIONS
            .into_iter()
            .map(|(heading, says)| {
                Block::Notice(Notice {
                    weight: Weight::Caution,
                    heading: heading.into(),
                    says: Text::from(says),
                })
            })
            .collect(),
    }
}
