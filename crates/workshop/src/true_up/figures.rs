//! The pictures of a round, as plain data for the drawing.

use crate::strip::{self, side};
use crate::view::{PlanView, PlannedLimitView, Quantity, RimPointView};
use crate::words;
use quantity::Force;
use quantity::force::ForceUnit;
use report::figure::{
    Beyond, Interval, Level, Mark, Reach, RimPoint, Runout, RunoutKind, RunoutTrace, SeatPlace,
    StripLimit, StripSpoke, UnrolledRim,
};
use wheel::SpokeIndex;

/// Every spoke now and after the turns, each nipple with its turns; none without tension.
pub(super) fn planned(view: &PlanView, unit: ForceUnit) -> Option<UnrolledRim> {
    let spokes: Option<Vec<StripSpoke>> = (0..view.spokes.len())
        .map(|place| {
            let spoke = &view.spokes[place];
            let turns: f64 = view
                .turns
                .iter()
                .filter(|turn| turn.spoke == spoke.spoke)
                .map(|turn| turn.turns)
                .sum();
            Some(StripSpoke {
                second: Some(level(spoke.expected_n.as_ref()?, unit)),
                word: if turns == 0.0 {
                    String::new()
                } else {
                    format!("{turns:+}")
                },
                ..strip_spoke(view, place, level(spoke.now_n.as_ref()?, unit))
            })
        })
        .collect();
    Some(UnrolledRim {
        limits: limits(view, unit),
        ..strip::pairs(
            "Tension now and after the turns",
            "Most likely tension of every spoke with its 95 % interval; beside each nipple to be turned its turns, tightening positive.",
            ("now", "after the turns"),
            spokes?,
            unit,
        )
    })
}

/// Every spoke as the last round had led to expect it, and as it was read.
pub(super) fn found(view: &PlanView, unit: ForceUnit) -> Option<UnrolledRim> {
    let found = view.found.as_ref()?;
    let expected = found.expected_n.as_ref()?;
    let spokes = expected.iter().zip(&found.tension_n).enumerate();
    let spokes = spokes.map(|(place, (expected, read))| StripSpoke {
        second: read.map(|read| Level::Read(Interval::exact(unit.read(Force::n(read))))),
        ..strip_spoke(view, place, level(expected, unit))
    });
    Some(UnrolledRim {
        limits: limits(view, unit),
        ..strip::pairs(
            "Tension expected and found",
            "What the gauge was expected to show of every spoke after the last round, with the interval for 95 of 100 readings, and what it showed.",
            ("expected", "found"),
            spokes.collect(),
            unit,
        )
    })
}

/// The rim now and after the turns, between the spokes too.
pub(super) fn rim(view: &PlanView) -> Runout {
    let of = |mm: &[f64]| -> Vec<RimPoint> {
        view.stations_deg
            .iter()
            .zip(mm)
            .map(|(&angle_deg, &mm)| RimPoint { angle_deg, mm })
            .collect()
    };
    let (now, then) = (&view.now, &view.expected);
    let lateral = RunoutKind::Lateral;
    let radial = RunoutKind::Radial;
    Runout {
        title: "The rim now and after the turns".into(),
        caption: "As it most likely stands at every seat and half way between".into(),
        traces: vec![
            trace(lateral, "now", of(&now.lateral_mm)),
            trace(lateral, "after the turns", of(&then.lateral_mm)),
            trace(radial, "now", of(&now.radial_mm)),
            trace(radial, "after the turns", of(&then.radial_mm)),
        ],
        seats: seats(view),
    }
}

/// The rim as the last round had led to expect it, and as the dial found it, each about its own mean.
pub(super) fn found_rim(view: &PlanView) -> Option<Runout> {
    let found = view.found.as_ref()?;
    let expected = found.expected.as_ref()?;
    let about_mean = |points: Vec<RimPoint>| -> Vec<RimPoint> {
        let mean = points.iter().map(|point| point.mm).sum::<f64>() / points.len().max(1) as f64;
        let less = |point: RimPoint| RimPoint {
            mm: point.mm - mean,
            ..point
        };
        points.into_iter().map(less).collect()
    };
    let told = |mm: &[f64]| {
        let points = view.stations_deg.iter().zip(mm);
        about_mean(
            points
                .map(|(&angle_deg, &mm)| RimPoint { angle_deg, mm })
                .collect(),
        )
    };
    let read = |of: &[RimPointView]| {
        let points = of.iter().map(|point| RimPoint {
            angle_deg: point.angle_deg,
            mm: point.mm,
        });
        about_mean(points.collect())
    };
    let mut traces = Vec::new();
    for (kind, told_mm, of) in [
        (RunoutKind::Lateral, &expected.lateral_mm, &found.lateral),
        (RunoutKind::Radial, &expected.radial_mm, &found.radial),
    ] {
        if !of.is_empty() {
            traces.push(trace(kind, "expected", told(told_mm)));
            traces.push(trace(kind, "found", read(of)));
        }
    }
    (!traces.is_empty()).then(|| Runout {
        title: "The rim expected and found".into(),
        caption: "Each line about its own mean: where the dial's zero is does not matter".into(),
        traces,
        seats: seats(view),
    })
}

fn level(of: &Quantity, unit: ForceUnit) -> Level {
    let read = |newtons: f64| unit.read(Force::n(newtons));
    Level::Read(Interval::around(read(of.value), read(of.expanded())))
}

fn strip_spoke(view: &PlanView, place: usize, level: Level) -> StripSpoke {
    let spoke = &view.spokes[place];
    StripSpoke {
        spoke: SpokeIndex(place),
        side: side(&spoke.side),
        angle_deg: spoke.seat_deg,
        level,
        second: None,
        mark: Mark::Taken,
        word: String::new(),
    }
}

/// The limits as they hold without a tyre, which is how every tension here stands.
fn limits(view: &PlanView, unit: ForceUnit) -> Vec<StripLimit> {
    let limit = |limit: &PlannedLimitView| StripLimit {
        reach: limit
            .side
            .as_deref()
            .map_or(Reach::Both, |word| Reach::Only(side(word))),
        value: unit.read(Force::n(limit.bare_n)),
        beyond: Beyond::Above,
        words: {
            let (part, stated) = (&limit.part, Force::n(limit.tension_n));
            let stated = words::exact_force(stated, unit);
            format!("over the {part} maker’s {stated} {}", limit.condition)
        },
    };
    view.limits.iter().map(limit).collect()
}

fn trace(kind: RunoutKind, which: &str, points: Vec<RimPoint>) -> RunoutTrace {
    let ends = |pick: fn(f64, f64) -> f64| {
        let all = points.iter().map(|point| point.mm);
        all.reduce(pick).unwrap_or_default()
    };
    let (high, low) = (ends(f64::max), ends(f64::min));
    RunoutTrace {
        kind,
        face: which.into(),
        highest_words: words::signed_millimetres(high),
        lowest_words: words::signed_millimetres(low),
        full_words: format!("{:.2} mm", high - low),
        points,
    }
}

fn seats(view: &PlanView) -> Vec<SeatPlace> {
    let seats = view.spokes.iter().enumerate();
    seats
        .map(|(place, spoke)| SeatPlace {
            spoke: SpokeIndex(place),
            side: side(&spoke.side),
            angle_deg: spoke.seat_deg,
        })
        .collect()
}
