//! Where in the file it shows that a wheel cannot be built, and how to mend it.

use crate::toml_reader::{Table, Told};
use wheel::{Error, Measure, Place, Side, Spoke, SpokeIndex};

/// The blocks that say where the spokes are.
pub(super) enum Form<'t, 'd> {
    /// One block per spoke.
    Explicit {
        /// The `[[spoke]]` blocks.
        spokes: &'t [Table<'d>],
    },
    /// One block per side.
    Laced {
        /// `[rim]`
        rim: &'t Table<'d>,
        /// `[right]`
        right: &'t Table<'d>,
        /// `[left]`
        left: &'t Table<'d>,
    },
}

/// The block of a laced wheel in which a trouble shows.
#[derive(Clone, Copy)]
enum Block {
    Rim,
    Side(Side),
    SideOf(SpokeIndex),
}

impl Form<'_, '_> {
    /// Writes down why these spokes make no wheel.
    pub(super) fn tell(&self, root: &Table<'_>, spokes: &[Spoke], error: &Error) -> Told {
        match self {
            Self::Explicit { spokes: blocks } => {
                let (spoke, key, mend) = explicit_cure(error);
                let block = spoke.and_then(|spoke| blocks.get(spoke.0)).unwrap_or(root);
                block.trouble_at(key, error.to_string(), mend)
            }
            Self::Laced { rim, right, left } => {
                let (block, key, mend) = laced_cure(error);
                let side =
                    |of: SpokeIndex| spokes.get(of.0).map_or(Side::Right, |spoke| spoke.side);
                let of_side = |side| if side == Side::Right { right } else { left };
                let block = match block {
                    Block::Rim => rim,
                    Block::Side(side) => of_side(side),
                    Block::SideOf(spoke) => of_side(side(spoke)),
                };
                block.trouble_at(key, error.to_string(), mend)
            }
        }
    }
}

/// How an unbelievable measure is looked into.
const SLIP: &str = "Is a digit missing, or the number in another unit than mm?";

/// The spoke and the key that show an error among coordinates, and how to mend it.
fn explicit_cure(error: &Error) -> (Option<SpokeIndex>, &'static str, &'static str) {
    match error {
        Error::HubOutsideRim { spoke, .. } => (
            Some(*spoke),
            "hub_mm",
            "x and y of `hub_mm` must lie nearer the axle than those of `seat_mm`. Are the two swapped?",
        ),
        Error::FlangesSwapped { right, .. } => (
            Some(*right),
            "hub_mm",
            "z is positive to the right. Is a sign missing, or the side wrong?",
        ),
        Error::Unbelievable { measure, at, .. } => {
            let spoke = match at {
                Place::Spoke(spoke) => Some(*spoke),
                Place::Flange(_) => None,
            };
            let is_seat = matches!(measure, Measure::SeatRadius | Measure::SeatOffset);
            (spoke, if is_seat { "seat_mm" } else { "hub_mm" }, SLIP)
        }
        Error::TwoInOneHole { second, .. } => (
            Some(*second),
            "hub_mm",
            "Give each spoke its own hole. Was a block copied and not changed?",
        ),
        Error::TwoInOneSeat { second, .. } => (
            Some(*second),
            "seat_mm",
            "Give each spoke its own seat. Was a block copied and not changed?",
        ),
        Error::OutOfOrder { spoke, .. } | Error::LeftBeforeRight { spoke } => (
            Some(*spoke),
            "seat_mm",
            "Spokes are numbered by seat angle from the valve hole, counter-clockwise seen from the \
             right, right before left at equal angles: move this block.",
        ),
        Error::NoSuchKind { spoke, .. } => {
            (Some(*spoke), "kind", "Name one of the [[kind]] blocks.")
        }
        Error::Tension { spoke, .. } => (
            Some(*spoke),
            "tension_n",
            "Write the tension as a positive number, or leave it out.",
        ),
        Error::Stiffness { spoke, .. } => (
            Some(*spoke),
            "axial_stiffness_n",
            "Write the stiffness EA, or leave it out.",
        ),
        Error::SpokeCount { .. }
        | Error::SidePattern { .. }
        | Error::GapPattern { .. }
        | Error::Gap { .. }
        | Error::SideWithoutSeats { .. }
        | Error::LayPattern { .. }
        | Error::Crosses { .. }
        | Error::PartOfACross { .. } => {
            (None, "spoke", "Write one [[spoke]] block for every spoke.")
        }
    }
}

/// The block and the key that show an error of the lacing, and how to mend it.
fn laced_cure(error: &Error) -> (Block, &'static str, &'static str) {
    match error {
        Error::SpokeCount { .. } => (Block::Rim, "seats", "Write the number of seats in the rim."),
        Error::SidePattern { .. } | Error::SideWithoutSeats { .. } => (
            Block::Rim,
            "sides",
            "List the side of each seat until the pattern begins anew; both sides need seats.",
        ),
        Error::GapPattern { .. } | Error::Gap { .. } => (
            Block::Rim,
            "gaps",
            "List the gaps from seat to seat, in proportion, until they begin anew.",
        ),
        Error::LayPattern { side, .. } => (
            Block::Side(*side),
            "roles",
            "Lists go round the side's spokes together and begin anew when the longest pattern ends.",
        ),
        Error::Crosses { side, .. } => (
            Block::Side(*side),
            "crosses",
            "Fewer spokes on a side can cross fewer others; a radial spoke crosses none.",
        ),
        Error::PartOfACross { side, .. } => (
            Block::Side(*side),
            "crosses",
            "Write a whole number, or `heads = \"straight\"` for straight-pull spokes.",
        ),
        Error::HubOutsideRim { spoke, .. } => (
            Block::SideOf(*spoke),
            "hole_circle_mm",
            "The hole circle must be smaller than `seat_diameter_mm`. Are the two swapped?",
        ),
        Error::FlangesSwapped { .. } => (
            Block::Side(Side::Right),
            "flange_offset_mm",
            "On both sides the offset counts outward from the hub's centre. Is a sign wrong?",
        ),
        Error::Unbelievable { measure, at, .. } => {
            let side = match at {
                Place::Spoke(spoke) => Block::SideOf(*spoke),
                Place::Flange(side) => Block::Side(*side),
            };
            match measure {
                Measure::SeatRadius => (Block::Rim, "seat_diameter_mm", SLIP),
                Measure::SeatOffset => (side, "seat_offset_mm", SLIP),
                Measure::HoleCircleRadius => (side, "hole_circle_mm", SLIP),
                Measure::FlangeOffset => (side, "flange_offset_mm", SLIP),
                Measure::FlangeThickness => (side, "flange_mm", SLIP),
                Measure::Elbow => (side, "elbow_mm", SLIP),
            }
        }
        Error::TwoInOneHole { second, .. } => (
            Block::SideOf(*second),
            "roles",
            "With these crosses and roles (or `holes_deg`) two spokes meet in one hole. Crossed spokes \
             trail and lead in turn.",
        ),
        Error::TwoInOneSeat { .. } => (
            Block::Rim,
            "gaps",
            "The gaps leave no room between two seats of one side.",
        ),
        Error::OutOfOrder { .. } | Error::LeftBeforeRight { .. } => (
            Block::Rim,
            "first_seat_deg",
            "Give the angle of the first seat after the valve hole.",
        ),
        Error::NoSuchKind { spoke, .. } => (
            Block::SideOf(*spoke),
            "kind",
            "Name one of the [[kind]] blocks.",
        ),
        Error::Tension { spoke, .. } => (
            Block::SideOf(*spoke),
            "tension_n",
            "Write the tension as a positive number, or leave it out.",
        ),
        Error::Stiffness { spoke, .. } => (
            Block::SideOf(*spoke),
            "kind",
            "Write the kind's stiffness EA, or leave it out.",
        ),
    }
}

/// Writes down that a file is of neither form.
pub(super) fn neither_form(
    root: &Table<'_>,
    spokes: &[Table<'_>],
    blocks: [(&str, &Option<Table<'_>>); 3],
) -> Told {
    let sides: Vec<_> = blocks[1..]
        .iter()
        .filter_map(|(_, block)| block.as_ref())
        .collect();
    if let (Some(spoke), Some(side)) = (spokes.first(), sides.first()) {
        return spoke.trouble(
            format!("[[spoke]] blocks beside {}", side.title()),
            "Keep one form: a block per side, or one per spoke.",
        );
    }
    if sides.is_empty() {
        return root.trouble(
            "the file says of no spoke where it is",
            "Add [rim], [right] and [left] with their lacing, or a [[spoke]] block for every spoke.",
        );
    }
    let missing = blocks
        .iter()
        .find(|(_, block)| block.is_none())
        .map_or("rim", |(name, _)| name);
    root.trouble(
        format!("there is no [{missing}] block"),
        "A laced wheel is described by [rim], [right] and [left].",
    )
}
