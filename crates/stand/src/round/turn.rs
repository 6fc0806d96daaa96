//! One turn of one nipple, as it is said, spoken and drawn.

use crate::lap::{side, spoken};
use maud::{Markup, html};
use workshop::view::WorkView;

/// `3/8 of a turn`, `1 turn`, `1 1/4 turns`, of so many steps without their sign.
pub(super) fn turns(steps: i64, in_a_turn: u32) -> String {
    let (whole, part, of) = parts(steps, in_a_turn);
    match (whole, part) {
        (0, 0) => "no turn".into(),
        (1, 0) => "1 turn".into(),
        (_, 0) => format!("{whole} turns"),
        (0, _) => format!("{part}/{of} of a turn"),
        _ => format!("{whole} {part}/{of} turns"),
    }
}

/// The same aloud: `three eighths of a turn`.
fn turns_aloud(steps: i64, in_a_turn: u32) -> String {
    let (whole, part, of) = parts(steps, in_a_turn);
    let fraction = match (part, of) {
        (1, 2) => "half".into(),
        (_, 4) => several("quarter", part),
        (_, 3) => several("third", part),
        (_, 8) => several("eighth", part),
        (_, 16) => several("sixteenth", part),
        _ => format!("{} over {}", spoken::whole(part), spoken::whole(of)),
    };
    match (whole, part) {
        (1, 0) => "one turn".into(),
        (_, 0) => format!("{} turns", spoken::whole(whole)),
        (0, _) if (part, of) == (1, 2) => "half a turn".into(),
        (0, _) => format!("{fraction} of a turn"),
        _ => format!("{} and {fraction} turns", spoken::whole(whole)),
    }
}

fn several(name: &str, count: usize) -> String {
    let end = if count == 1 { "" } else { "s" };
    format!("{} {name}{end}", spoken::whole(count))
}

/// Whole turns, and what is left as a fraction in its lowest terms.
fn parts(steps: i64, in_a_turn: u32) -> (usize, usize, usize) {
    let steps = usize::try_from(steps.unsigned_abs()).unwrap_or(0);
    let of = usize::try_from(in_a_turn.max(1)).unwrap_or(1);
    let (whole, left) = (steps / of, steps % of);
    let common = divisor(left, of);
    (whole, left / common, of / common)
}

/// The greatest common divisor; `of` is not zero.
fn divisor(one: usize, of: usize) -> usize {
    if one == 0 { of } else { divisor(of % one, one) }
}

/// `tighten` or `loosen`.
pub(super) const fn verb(item: &WorkView) -> &'static str {
    if 0 < item.steps { "tighten" } else { "loosen" }
}

/// The way of the hand and where it is seen from: `anticlockwise, seen from the hub`.
pub(super) fn way(item: &WorkView) -> &str {
    let says = item.turn.direction.split_once(": ");
    says.map_or(&item.turn.direction, |(_, way)| way)
}

/// What is read aloud when a nipple is due: `seven, right, tighten, three eighths of a turn`.
pub(super) fn aloud(item: &WorkView, in_a_turn: u32) -> String {
    format!(
        "{}, {}, {}, {}",
        spoken::whole(item.turn.spoke),
        side(&item.turn.side).word(),
        verb(item),
        turns_aloud(item.steps, in_a_turn)
    )
}

/// The way the hand turns: a nipple end on, and an arrow round it.
pub(super) fn hand(item: &WorkView) -> Markup {
    let mirrored = if item.clockwise {
        ""
    } else {
        "matrix(-1 0 0 1 200 0)"
    };
    html! {
        svg class="turning" viewBox="0 0 200 200" role="img" aria-label={ "The hand turns " (way(item)) "." } {
            rect class="nipple" x="76" y="76" width="48" height="48" rx="6" {}
            circle class="spoke-end" cx="100" cy="100" r="9" {}
            // Three quarters of the way round, from below on the left over the top to the right.
            g transform=(mirrored) {
                path class="round" d="M43.4 156.6A80 80 0 1 1 167.0 143.8" {}
                path class="head" d="M190 159L144 129L148.4 173Z" {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_said_in_lowest_terms() {
        for (steps, in_a_turn, said, aloud) in [
            (3, 8, "3/8 of a turn", "three eighths of a turn"),
            (-2, 8, "1/4 of a turn", "one quarter of a turn"),
            (4, 8, "1/2 of a turn", "half a turn"),
            (-8, 8, "1 turn", "one turn"),
            (10, 8, "1 1/4 turns", "one and one quarter turns"),
            (16, 8, "2 turns", "two turns"),
            (5, 64, "5/64 of a turn", "five over sixty-four of a turn"),
            (0, 8, "no turn", "zero turns"),
        ] {
            assert_eq!(turns(steps, in_a_turn), said);
            assert_eq!(turns_aloud(steps, in_a_turn), aloud);
        }
    }
}
