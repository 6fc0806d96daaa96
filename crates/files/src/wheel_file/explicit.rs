//! Every spoke by its coordinates.

use crate::toml_reader::{Range, Read, Table, Value, positive};
use quantity::Length;
use wheel::{Head, KindIndex, Point, Role, Side, Spoke, SpokeKind};

/// Bounds beyond which a number is taken for a slip.
const MOST_COORDINATE_MM: f64 = 1000.0;
const MOST_STIFFNESS_N: f64 = 1e9;
pub(super) const MOST_TENSION: f64 = 1e4;

/// The words for sides, roles and heads, in this form and the other.
pub(super) const SIDES: [(&str, Side); 2] = [("right", Side::Right), ("left", Side::Left)];
pub(super) const ROLES: [(&str, Role); 3] = [
    ("trailing", Role::Trailing),
    ("leading", Role::Leading),
    ("radial", Role::Radial),
];
pub(super) const HEADS: [(&str, Head); 3] = [
    ("in", Head::In),
    ("out", Head::Out),
    ("straight", Head::Straight),
];

/// The spokes of the `[[spoke]]` blocks.
pub(super) fn spokes(blocks: &[Table<'_>], kinds: &[SpokeKind]) -> Read<Vec<Spoke>> {
    let spokes: Vec<_> = blocks.iter().map(|block| spoke(block, kinds)).collect();
    spokes.into_iter().collect()
}

fn spoke(table: &Table<'_>, kinds: &[SpokeKind]) -> Read<Spoke> {
    let side = table.choice("side", &SIDES);
    let hub = table.required("hub_mm").and_then(|value| point(&value));
    let seat = table.required("seat_mm").and_then(|value| point(&value));
    let axial_stiffness = table.optional_force_n("axial_stiffness_n", positive(MOST_STIFFNESS_N));
    let tension = table.optional_force("tension", Range::within(0.0, MOST_TENSION));
    let kind = match table.optional("kind") {
        Some(value) => self::kind(&value, kinds),
        None => only_kind(table, kinds),
    };
    let role = table.optional_choice("role", &ROLES);
    let head = table.optional_choice("head", &HEADS);
    table.close();
    let (hub, seat) = (hub?, seat?);
    Ok(Spoke {
        side: side?,
        kind: kind?,
        hub,
        seat,
        role: role?.unwrap_or_else(|| Role::of(hub, seat)),
        head: head?.unwrap_or(Head::Straight),
        axial_stiffness: axial_stiffness?,
        tension: tension?.map(|(tension, _)| tension),
    })
}

fn point(value: &Value<'_>) -> Read<Point> {
    let range = Range::within(-MOST_COORDINATE_MM, MOST_COORDINATE_MM);
    let [x, y, z] = value.array(range, "x, y and z")?.map(Length::mm);
    Ok(Point { x, y, z })
}

/// The kind that a value names; none is judged when the kinds themselves could not be read.
pub(super) fn kind(value: &Value<'_>, kinds: &[SpokeKind]) -> Read<KindIndex> {
    let names: Vec<_> = kinds
        .iter()
        .enumerate()
        .map(|(place, kind)| (kind.name.as_str(), KindIndex(place)))
        .collect();
    if names.is_empty() {
        Ok(KindIndex(0))
    } else {
        value.choice(&names)
    }
}

/// The kind of a spoke that names none.
pub(super) fn only_kind(table: &Table<'_>, kinds: &[SpokeKind]) -> Read<KindIndex> {
    if kinds.len() <= 1 {
        return Ok(KindIndex(0));
    }
    let names: Vec<_> = kinds
        .iter()
        .map(|kind| format!("\"{}\"", kind.name))
        .collect();
    Err(table.trouble(
        format!("{} does not say of which kind it is", table.title()),
        format!("Add `kind`: {}.", names.join(" or ")),
    ))
}
