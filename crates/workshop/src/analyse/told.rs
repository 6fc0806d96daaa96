//! The answers in a builder's words, the same on the terminal and on paper.

use crate::view::{Analysis, BucklingView, IfOffView, RideView, StiffnessView};
use crate::words;
use quantity::Force;
use quantity::force::ForceUnit;

/// Millimetres of thread in a quarter turn: 56 threads to the inch (DIN 79012).
pub const QUARTER_TURN_MM: f64 = 25.4 / 56.0 / 4.0;

/// Line load for which a tyre's effect is told: about what a narrow tyre at high pressure does (estimate).
const TYRE_N_PER_MM: f64 = 10.0;

/// What every answer here rests on.
pub const GROUNDS: &str = "A model: rim constants, spokes' EA and tensions as the wheel file gives them, the rim a perfect circle without its tyre, the hub rigid, loads on a point of the rim.";

/// What is no permission.
pub const EVIDENCE: &str =
    "Evidence, not permission to ride: makers' limits prevail, a qualified mechanic decides.";

/// Heads and rows of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Heads of the columns.
    pub heads: Vec<String>,
    /// Rows, each as long as the heads.
    pub rows: Vec<Vec<String>>,
}

/// A question with its answer and what that rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// What was asked.
    pub asked: String,
    /// What the model says.
    pub says: String,
    /// What it rests on.
    pub rests_on: &'static str,
}

/// What a quarter turn tighter does, for the first spoke of every side and kind.
#[must_use]
pub fn quarter_turn(view: &Analysis, unit: ForceUnit) -> Option<Grid> {
    let influence = view.influence.as_ref()?;
    let count = view.spokes.len();
    let mut met: Vec<(&str, &str)> = Vec::new();
    let mut rows = Vec::new();
    for (turned, seat) in view.spokes.iter().enumerate() {
        if met.contains(&(seat.side, &seat.kind)) {
            continue;
        }
        met.push((seat.side, &seat.kind));
        let change = |spoke: usize| {
            let per_mm = influence.tension_n_per_mm[spoke][turned];
            signed(per_mm * QUARTER_TURN_MM, unit)
        };
        let moved_mm = |rows: &[Vec<f64>]| rows[turned][turned] * QUARTER_TURN_MM;
        rows.push(vec![
            format!("nipple {}, {} {}", seat.spoke, seat.side, seat.kind),
            change(turned),
            format!("{} before", change((turned + count - 1) % count)),
            format!("{} after", change((turned + 1) % count)),
            format!(
                "{}, {}",
                way(
                    moved_mm(&influence.lateral_mm_per_mm),
                    "to the right",
                    "to the left"
                ),
                way(moved_mm(&influence.radial_mm_per_mm), "outward", "inward")
            ),
        ]);
    }
    let heads = [
        "which",
        &format!("its spoke, {}", unit.symbol()),
        "neighbour",
        "neighbour",
        "the rim there",
    ];
    Some(Grid {
        heads: heads.map(str::to_owned).into(),
        rows,
    })
}

/// Stiffness in both states, N/mm.
#[must_use]
pub fn stiffness(view: &Analysis) -> Grid {
    let row = |state: &str, one: &StiffnessView| {
        vec![
            state.to_owned(),
            format!("{:.0}", one.radial_at_spoke_1_n_per_mm),
            format!("{:.0}", one.radial_mid_gap_n_per_mm),
            format!("{:.1}", one.lateral_at_spoke_1_n_per_mm),
            format!("{:.1}", one.lateral_mid_gap_n_per_mm),
            format!("{:.0}", one.tangential_at_spoke_1_n_per_mm),
            format!("{:.0}", one.torsional_n_m_per_rad.to_radians()),
        ]
    };
    let tensioned = view.stiffness.at_tension.as_ref();
    let mut rows: Vec<_> = tensioned
        .map(|one| row("as tensioned", one))
        .into_iter()
        .collect();
    rows.push(row("without tension", &view.stiffness.at_zero_tension));
    let heads = [
        "state",
        "to the hub at spoke 1",
        "between spokes",
        "sideways",
        "between spokes",
        "along the rim",
        "hub turned, N m/°",
    ];
    Grid {
        heads: heads.map(str::to_owned).into(),
        rows,
    }
}

/// Stiffness as a hand feels it.
#[must_use]
pub fn given_way(view: &Analysis, unit: ForceUnit) -> String {
    let of = view
        .stiffness
        .at_tension
        .unwrap_or(view.stiffness.at_zero_tension);
    let (load, side_load) = match unit {
        ForceUnit::Kgf => (100.0, 10.0),
        ForceUnit::N => (1000.0, 100.0),
        ForceUnit::Lbf => (200.0, 20.0),
    };
    let by = |load: f64, n_per_mm: f64| format!("{:.2} mm", unit.of(load).to_n() / n_per_mm);
    let symbol = unit.symbol();
    format!(
        "{load} {symbol} toward the hub at spoke 1 moves the rim there by {}, {side_load} {symbol} sideways by {}.",
        by(load, of.radial_at_spoke_1_n_per_mm),
        by(side_load, of.lateral_at_spoke_1_n_per_mm)
    )
}

/// What the wheel bears, each with what it rests on.
#[must_use]
pub fn bears(view: &Analysis, unit: ForceUnit) -> Vec<Answer> {
    let force = |n: f64| words::exact_force(Force::n(n), unit);
    let needs = || "not told: it needs spoke tensions under which the wheel stands".to_owned();
    let mut answers: Vec<Answer> = view.ride.iter().map(|ride| ridden(ride, unit)).collect();
    answers.push(Answer {
        asked: "The load at spoke 1 that slackens the first spoke".into(),
        says: match (view.first_slack_n, view.first_slack_spoke, &view.tension_n) {
            (Some(n), Some(spoke), _) => format!("{} toward the hub (spoke {spoke})", force(n)),
            (_, _, Some(_)) => "none was found: see the findings".into(),
            _ => needs(),
        },
        rests_on: "no tyre on and no side load: both make it less",
    });
    answers.push(Answer {
        asked: "Folding under its own tension".into(),
        says: view.buckling.map_or_else(needs, |one| buckling(&one)),
        rests_on: "a true rim: one that is out of true or ridden sideways folds earlier",
    });
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
                way(line_load.mean_radial_mm * TYRE_N_PER_MM, "outward", "inward"),
                way(line_load.dish_shift_mm * TYRE_N_PER_MM, "to the right", "to the left")
            ),
            rests_on: "an even load; how hard a tyre presses must be measured: tyre off and tyre on",
        });
    }
    answers.extend(view.ring_frequencies.iter().flatten().map(|note| Answer {
        asked: format!("The bare rim's notes with {} waves", note.waves),
        says: format!(
            "{:.0} Hz in its plane, {:.0} Hz out of it",
            note.in_plane_hz, note.out_of_plane_hz
        ),
        rests_on: "the rim hung free, its mass even all round",
    }));
    answers
}

fn ridden(ride: &RideView, unit: ForceUnit) -> Answer {
    let force = |n: f64| words::exact_force(Force::n(n), unit);
    let side = match ride.lateral_n {
        0.0 => String::new(),
        n if n < 0.0 => format!(", {} to the left", force(-n)),
        n => format!(", {} to the right", force(n)),
    };
    let at = if ride.at == "spoke_1" {
        "at spoke 1"
    } else {
        "between spokes 1 and 2"
    };
    let says = match (ride.smallest_n, ride.smallest_spoke) {
        (Some(n), Some(spoke)) => {
            let slack = match ride.slack.len() {
                0 => String::new(),
                1 => ", which is slack".into(),
                more => format!(", one of {more} that are slack"),
            };
            let turn = ride.turn.as_ref().map(|turn| {
                let range_n = turn.range_n.iter().copied().fold(0.0, f64::max);
                format!(
                    "; through a turn from {} (spoke {}) to {} (spoke {}), one spoke by up to {}",
                    force(turn.smallest_n),
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
        }
        _ => "not told: it needs spoke tensions under which the wheel stands".into(),
    };
    Answer {
        asked: format!(
            "{} toward the hub{side}, {at} ({})",
            force(ride.radial_n),
            ride.from
        ),
        says,
        rests_on: "a point load: a tyre spreads it and eases the spoke below; no tyre's own effect",
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

/// How far the leading answers move when a rim constant is 30 % less, and 30 % more.
#[must_use]
pub fn if_off(view: &Analysis) -> Grid {
    let state = view
        .stiffness
        .at_tension
        .unwrap_or(view.stiffness.at_zero_tension);
    let own = |rows: fn(&crate::view::InfluenceView) -> &Vec<Vec<f64>>| {
        view.influence
            .as_ref()
            .map(|influence| rows(influence)[0][0])
    };
    type Read = fn(&IfOffView) -> Option<f64>;
    let answers: [(&str, Option<f64>, Read); 8] = [
        (
            "stiffness to the hub",
            Some(state.radial_at_spoke_1_n_per_mm),
            |one| one.radial_at_spoke_1_n_per_mm,
        ),
        (
            "stiffness sideways",
            Some(state.lateral_at_spoke_1_n_per_mm),
            |one| one.lateral_at_spoke_1_n_per_mm,
        ),
        (
            "nipple 1: its own tension",
            own(|of| &of.tension_n_per_mm),
            |one| one.own_tension_n_per_mm,
        ),
        (
            "nipple 1: rim sideways",
            own(|of| &of.lateral_mm_per_mm),
            |one| one.own_lateral_mm_per_mm,
        ),
        (
            "nipple 1: rim in and out",
            own(|of| &of.radial_mm_per_mm),
            |one| one.own_radial_mm_per_mm,
        ),
        (
            "smallest tension ridden",
            view.ride.first().and_then(|ride| ride.smallest_n),
            |one| one.ride_smallest_n,
        ),
        ("load that slackens", view.first_slack_n, |one| {
            one.first_slack_n
        }),
        (
            "tension that folds it",
            view.buckling.map(|one| one.tension_multiplier),
            |one| one.tension_multiplier,
        ),
    ];
    let constants = [
        ("axial_stiffness_n", "EA"),
        ("in_plane_bending_n_mm2", "EI in plane"),
        ("lateral_bending_n_mm2", "EI sideways"),
        ("torsion_n_mm2", "GJ"),
    ];
    let rows = answers
        .iter()
        .filter_map(|(name, now, read)| {
            let now = (*now).filter(|now| *now != 0.0)?;
            let moved = |key: &str| {
                let of_key = view
                    .if_30_percent_off
                    .iter()
                    .filter(|one| one.constant == key);
                let shares: Vec<String> = of_key.map(|one| share(now, read(one))).collect();
                shares.join(" / ")
            };
            let mut row = vec![(*name).to_owned()];
            row.extend(constants.iter().map(|(key, _)| moved(key)));
            Some(row)
        })
        .collect();
    let mut heads = vec!["answer, change in %".to_owned()];
    heads.extend(
        constants
            .iter()
            .map(|(_, name)| format!("{name} −30 / +30 %")),
    );
    Grid { heads, rows }
}

fn share(now: f64, then: Option<f64>) -> String {
    then.map_or("none".into(), |then| {
        signed_whole((then / now - 1.0) * 100.0)
    })
}

/// A change of force in the unit's finest step, with its sign and without the unit.
fn signed(change_n: f64, unit: ForceUnit) -> String {
    let step = match unit {
        ForceUnit::N => 10.0,
        ForceUnit::Kgf | ForceUnit::Lbf => 1.0,
    };
    signed_whole((unit.read(Force::n(change_n)) / step).round() * step)
}

fn signed_whole(number: f64) -> String {
    match number.round() {
        0.0 => "0".into(),
        whole if whole < 0.0 => format!("−{:.0}", -whole),
        whole => format!("+{whole:.0}"),
    }
}

fn way(mm: f64, plus: &str, minus: &str) -> String {
    format!("{:.2} mm {}", mm.abs(), if mm < 0.0 { minus } else { plus })
}
