//! The pictures of an analysis, as plain data for the drawing.

use super::told::{self, QUARTER_TURN_MM};
use crate::strip;
use crate::view::{Analysis, RideView};
use quantity::Force;
use quantity::force::ForceUnit;
use report::figure::{
    Interval, Level, Mark, RimPoint, RunoutKind, StripRunout, StripSpoke, UnrolledRim,
};
use wheel::SpokeIndex;

/// A cut axis begins at this share of the smallest tension drawn, so that a change of a few per cent
/// is seen.
const CUT: f64 = 0.7;

/// What a quarter turn of a nipple does to every spoke and to the rim; none without tension, and none for a
/// nipple that the wheel does not have.
#[must_use]
pub fn quarter_turn(view: &Analysis, nipple: SpokeIndex, unit: ForceUnit) -> Option<UnrolledRim> {
    let before = view.tension_n.as_ref()?;
    let influence = view.influence.as_ref()?;
    before.get(nipple.0)?;
    let by_nipple = |rows: &[Vec<f64>]| -> Vec<f64> {
        rows.iter()
            .map(|row| row[nipple.0] * QUARTER_TURN_MM)
            .collect()
    };
    let after: Vec<f64> = before
        .iter()
        .zip(by_nipple(&influence.tension_n_per_mm))
        .map(|(tension, change)| tension + change)
        .collect();
    let smallest = before
        .iter()
        .chain(&after)
        .copied()
        .fold(f64::INFINITY, f64::min);
    let moved = |kind, rows: &[Vec<f64>]| runout(view, kind, &by_nipple(rows));
    Some(UnrolledRim {
        begins_at: Some(begin_at(unit.read(Force::n(smallest)))),
        runouts: vec![
            moved(RunoutKind::Lateral, &influence.lateral_mm_per_mm),
            moved(RunoutKind::Radial, &influence.radial_mm_per_mm),
        ],
        ..joined(
            view,
            unit,
            &format!("A quarter turn tighter at nipple {}", nipple.number()),
            "Tension of every spoke before and after, and how the rim moves, by the model.",
            ("before", before),
            ("after", &after),
        )
    })
}

/// Every spoke without and under a load; none where the load was not carried.
pub(super) fn ridden(view: &Analysis, ride: &RideView, unit: ForceUnit) -> Option<UnrolledRim> {
    let before = view.tension_n.as_ref()?;
    let changes = ride.tension_change_n.as_ref()?;
    let under: Vec<f64> = before
        .iter()
        .zip(changes)
        .map(|(tension, change)| tension + change)
        .collect();
    let shift = |kind, axis: usize| {
        let at_seats = ride.at_seats_mm.iter().flatten();
        runout(
            view,
            kind,
            &at_seats.map(|shift| shift[axis]).collect::<Vec<_>>(),
        )
    };
    Some(UnrolledRim {
        runouts: vec![shift(RunoutKind::Lateral, 2), shift(RunoutKind::Radial, 0)],
        ..joined(
            view,
            unit,
            &format!("Under the load {}", ride.at_words),
            &format!(
                "Tension of every spoke and the shift of the rim, {}: {}.",
                told::load(ride, unit),
                ride.from
            ),
            ("without load", before),
            ("under load", &under),
        )
    })
}

/// Smallest and largest tension of every spoke through a turn.
pub(super) fn turned(view: &Analysis, ride: &RideView, unit: ForceUnit) -> Option<UnrolledRim> {
    let turn = ride.turn.as_ref()?;
    let extreme = |pick: fn(f64, f64) -> f64, start: f64| -> Vec<f64> {
        let of_spoke = |spoke: usize| turn.tension_n.iter().map(move |row| row[spoke]);
        (0..view.spokes.len())
            .map(|spoke| of_spoke(spoke).fold(start, pick))
            .collect()
    };
    Some(joined(
        view,
        unit,
        "Through a turn under the load",
        &format!(
            "Smallest and largest tension of every spoke while the load goes once round, {}.",
            told::load(ride, unit)
        ),
        ("smallest", &extreme(f64::min, f64::INFINITY)),
        ("largest", &extreme(f64::max, f64::NEG_INFINITY)),
    ))
}

/// A round number below the smallest tension drawn.
fn begin_at(smallest: f64) -> f64 {
    (CUT * smallest / 10.0).floor().max(0.0) * 10.0
}

/// Two tensions of every spoke, joined; the words beside a point say which spoke is slack.
fn joined(
    view: &Analysis,
    unit: ForceUnit,
    title: &str,
    caption: &str,
    (first, one_n): (&str, &[f64]),
    (second, other_n): (&str, &[f64]),
) -> UnrolledRim {
    let level = |tension_n: f64| Level::Read(Interval::exact(unit.read(Force::n(tension_n))));
    let spokes = view.spokes.iter().zip(one_n.iter().zip(other_n));
    let spokes = spokes.map(|(seat, (&one, &other))| StripSpoke {
        spoke: SpokeIndex(seat.spoke - 1),
        side: strip::side(seat.side),
        angle_deg: seat.seat_deg,
        level: level(one),
        second: Some(level(other)),
        mark: Mark::Taken,
        word: if one.min(other) <= 0.0 {
            "slack".into()
        } else {
            String::new()
        },
    });
    strip::pairs(title, caption, (first, second), spokes.collect(), unit)
}

fn runout(view: &Analysis, kind: RunoutKind, moved_mm: &[f64]) -> StripRunout {
    let seats = view.spokes.iter().zip(moved_mm);
    let points = seats.map(|(seat, &mm)| RimPoint {
        angle_deg: seat.seat_deg,
        mm,
    });
    let ends =
        |pick: fn(f64, f64) -> f64| moved_mm.iter().copied().reduce(pick).unwrap_or_default();
    StripRunout {
        kind,
        points: points.collect(),
        words: format!("{:.2} mm", ends(f64::max) - ends(f64::min)),
    }
}
