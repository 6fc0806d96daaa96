//! What a wheel bears, answer by answer, each with what it rests on.

use super::{signed, way};
use crate::view::{Analysis, BucklingView, FrequencyView, RideView};
use crate::words;
use quantity::Force;
use quantity::force::ForceUnit;

/// Line load for which a tyre's effect is told: about what a narrow tyre at high pressure does (estimate).
const TYRE_N_PER_MM: f64 = 10.0;

/// A question with its answer and what that rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// What was asked.
    pub asked: String,
    /// What the model says.
    pub says: String,
    /// What it rests on; none where nothing was told.
    pub rests_on: Option<String>,
}

/// What the wheel bears, each with what it rests on.
#[must_use]
pub fn bears(view: &Analysis, unit: ForceUnit) -> Vec<Answer> {
    let mut answers: Vec<Answer> = view
        .ride
        .iter()
        .map(|ride| ridden(view, ride, unit))
        .collect();
    answers.push(told_or_not(
        view,
        "The load at spoke 1 that slackens the first spoke".into(),
        view.first_slack_n
            .zip(view.first_slack_spoke)
            .map(|(n, spoke)| {
                let load = words::exact_force(Force::n(n), unit);
                format!("{load} toward the hub (spoke {spoke})")
            }),
        "no tyre on and no side load: both make it less",
    ));
    answers.push(told_or_not(
        view,
        "Folding under its own tension".into(),
        view.buckling.map(|one| buckling(&one)),
        "a true rim: one that is out of true or ridden sideways folds earlier",
    ));
    if let Some(line_load) = &view.line_load {
        let mean = |side: &str| {
            let on = view.spokes.iter().zip(&line_load.tension_change_n);
            let changes: Vec<f64> = on
                .filter(|(seat, _)| seat.side == side)
                .map(|(_, change)| *change)
                .collect();
            let mean_n = changes.iter().sum::<f64>() / changes.len() as f64;
            signed(mean_n * TYRE_N_PER_MM, unit)
        };
        answers.push(Answer {
            asked: format!("A tyre, for each {TYRE_N_PER_MM} N/mm it presses on the rim"),
            says: format!(
                "right spokes {}, left {} {}; the rim {}, its plane {}",
                mean("right"),
                mean("left"),
                unit.symbol(),
                way(
                    line_load.mean_radial_mm * TYRE_N_PER_MM,
                    "outward",
                    "inward"
                ),
                way(
                    line_load.dish_shift_mm * TYRE_N_PER_MM,
                    "to the right",
                    "to the left"
                )
            ),
            rests_on: Some(
                "an even load; how hard a tyre presses must be measured: tyre off and tyre on"
                    .into(),
            ),
        });
    }
    answers.extend(view.ring_frequencies.as_ref().map(|notes| {
        let note = |of: &FrequencyView| {
            format!(
                "{} waves {:.0} and {:.0} Hz",
                of.waves, of.in_plane_hz, of.out_of_plane_hz
            )
        };
        Answer {
            asked: "The bare rim's notes, in its plane and out of it".into(),
            says: notes.iter().map(note).collect::<Vec<_>>().join(", "),
            rests_on: Some("the rim hung free, its mass even all round".into()),
        }
    }));
    answers
}

fn ridden(view: &Analysis, ride: &RideView, unit: ForceUnit) -> Answer {
    let force = |n: f64| words::exact_force(Force::n(n), unit);
    let says = ride.smallest_n.zip(ride.smallest_spoke).map(|(n, spoke)| {
        let slack = match ride.slack.len() {
            0 => String::new(),
            1 => ", which is slack".into(),
            more => format!(", one of {more} that are slack"),
        };
        let turn = ride.turn.as_ref().map(|turn| {
            let range_n = turn.range_n.iter().copied().fold(0.0, f64::max);
            format!(
                "; through a turn from {} (spoke {}) to {} (spoke {}), one spoke by up to {}",
                if turn.smallest_n <= 0.0 {
                    "slack".into()
                } else {
                    force(turn.smallest_n)
                },
                turn.smallest_spoke,
                force(turn.largest_n),
                turn.largest_spoke,
                force(range_n)
            )
        });
        format!(
            "smallest tension {} at spoke {spoke}{slack}{}",
            force(n),
            turn.unwrap_or_default()
        )
    });
    told_or_not(
        view,
        format!("{}, {} ({})", load(ride, unit), ride.at_words, ride.from),
        says,
        &if ride.patch_mm == 0.0 {
            "a point load: a tyre spreads it and eases the spoke below; no tyre's own effect".into()
        } else {
            format!(
                "a load spread evenly over {:.0} mm of rim; no tyre's own effect",
                ride.patch_mm
            )
        },
    )
}

/// An answer, or that there is none and why.
fn told_or_not(view: &Analysis, asked: String, says: Option<String>, rests_on: &str) -> Answer {
    let not_told = match view.stiffness.at_tension {
        Some(_) => "not told: see the findings",
        None => "not told: it needs spoke tensions under which the wheel stands",
    };
    Answer {
        asked,
        rests_on: says.is_some().then(|| rests_on.to_owned()),
        says: says.unwrap_or_else(|| not_told.into()),
    }
}

fn buckling(of: &BucklingView) -> String {
    let (times, waves) = (of.tension_multiplier, of.waves);
    let how = if of.sideways {
        "sideways"
    } else {
        "in its plane"
    };
    let shape = match waves {
        0 => "as a whole".to_owned(),
        1 => "in one wave".to_owned(),
        more => format!("in {more} waves"),
    };
    if times < 1.0 {
        format!("it folds {how} {shape} already at {times:.2} times these tensions")
    } else {
        format!("it folds {how} {shape} at {times:.1} times these tensions")
    }
}

/// The load of a ride in words, such as `71 kgf toward the hub, 7 kgf to the right`.
pub(in crate::analyse) fn load(ride: &RideView, unit: ForceUnit) -> String {
    let force = |n: f64| words::exact_force(Force::n(n), unit);
    let side = match ride.lateral_n {
        0.0 => String::new(),
        n if n < 0.0 => format!(", {} to the left", force(-n)),
        n => format!(", {} to the right", force(n)),
    };
    let along = match ride.tangential_n {
        0.0 => String::new(),
        n if n < 0.0 => format!(", {} along the rim as in braking", force(-n)),
        n => format!(", {} along the rim as in driving", force(n)),
    };
    format!("{} toward the hub{side}{along}", force(ride.radial_n))
}
