//! The parts of a plan that screen and page say in the same words.

use crate::view::{FewView, PlanView, Quantity};
use crate::words;
use quantity::Force;
use quantity::force::ForceUnit;

/// Up to this probability a wheel is said not to be of its class.
const RULED_OUT: f64 = 0.05;

/// Why there is nothing to turn.
#[must_use]
pub fn reason(view: &PlanView) -> String {
    let kept = limits_kept(view);
    match view.enough.as_deref() {
        Some("of_its_class") if is_clear(view) => {
            "The wheel is of its class, and every spoke is under its limit: good enough, stop here.".into()
        }
        Some("of_its_class") => {
            format!("The wheel is of its class: nothing to turn. {kept}")
        }
        Some("read_is_of_its_class") => {
            format!("What was read is of its class; what was not read is not judged. {kept}")
        }
        Some("most_likely_of_its_class") => {
            let p = view.of_its_class_p.map_or(String::new(), |p| format!(" (probability {p:.2})"));
            format!("As read the wheel is most likely of its class{p}: nothing to turn. {kept}")
        }
        Some("of_its_class_and_no_better") => format!(
            "As read the wheel is most likely of its class, and no turns would make it better by more than the readings can tell: stop here. {kept}"
        ),
        Some("within_the_noise") => {
            let is = match view.of_its_class_p {
                Some(p) if RULED_OUT < p => format!("It is not sure that the wheel is of its class (probability {p:.2})"),
                _ => "The wheel is not of its class".into(),
            };
            format!("{is}, but no turns would make it better by more than the readings can tell: stop here, or read more closely. {kept}")
        }
        Some(other) => format!("Nothing to turn: {}. {kept}", other.replace('_', " ")),
        None if view.ending == "infeasible" => {
            "Bounds and limits exclude each other: no turns keep them all.".into()
        }
        None if view.ending == "out_of_time" => {
            "The search was stopped before its end, and found no turns that make it better; there may be some.".into()
        }
        None => "No turns make it better within bounds and limits.".into(),
    }
}

/// Whether all that a wheel can be called good for is so: of its class, wholly read, and surely under limits that are known.
#[must_use]
pub fn is_clear(view: &PlanView) -> bool {
    view.enough.as_deref() == Some("of_its_class") && view.limits_kept.as_deref() == Some("under")
}

/// What can be said of the limits, as a sentence.
fn limits_kept(view: &PlanView) -> &'static str {
    match view.limits_kept.as_deref() {
        Some("under") => "Every spoke is under its limit.",
        Some("over") => "A spoke is over its limit.",
        Some("cannot tell") => "Whether every spoke is under its limit cannot be told.",
        _ => {
            "A limit is not known, or cannot be held against what was read: that every spoke is under it is not said."
        }
    }
}

/// How the search for these turns ended, in words; none where it ended with nothing to be turned.
#[must_use]
pub fn proof(view: &PlanView) -> Option<String> {
    if view.turns.is_empty() && view.ending != "out_of_time" {
        return None;
    }
    let of = match view.at_most {
        Some(most) => format!("of {most} nipples at most "),
        None => String::new(),
    };
    let sum = match view.counts_scatter {
        true => {
            "the weighed sum of squares, and what the turns of a hand add to it by coming out off,"
        }
        false => "the weighed sum of squares",
    };
    Some(match (&*view.ending, view.gap_percent?) {
        ("optimal", _) => {
            format!("No other whole turns {of}within bounds and limits make {sum} smaller: proven.")
        }
        ("within_gap", gap) => format!(
            "The best found. Other whole turns {of}may make {sum} smaller by {gap:.1} % at the most: with nipples that were spared, left to the next round or not searched."
        ),
        (_, gap) => format!(
            "Stopped before its end: other whole turns {of}may make {sum} smaller by up to {gap:.1} %."
        ),
    })
}

/// How good few nipples make the wheel, row by row: nipples, share of the class, proof, turns.
#[must_use]
pub fn few_rows(view: &PlanView) -> Vec<[String; 4]> {
    let row = |few: &FewView| {
        let turns = few
            .turns
            .iter()
            .map(|turn| format!("{}: {:+}", turn.spoke, turn.turns));
        [
            few.nipples.to_string(),
            format!("{:.0} %", 100.0 * few.worst_share),
            few.standing(),
            turns.collect::<Vec<_>>().join(", "),
        ]
    };
    view.few_nipples.iter().map(row).collect()
}

/// Kinds that are turned, with what to do about their twist.
#[must_use]
pub fn holds(view: &PlanView) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for turn in &view.turns {
        if all.iter().all(|(kind, _)| *kind != turn.kind) {
            all.push((turn.kind.clone(), turn.hold.clone()));
        }
    }
    all
}

/// Which of two states of the wheel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Then {
    /// As it was read.
    Now,
    /// As it is expected after the turns.
    Expected,
}

/// What the wheel shows, each number with its class.
#[must_use]
pub fn standing(view: &PlanView, unit: ForceUnit, then: Then) -> Vec<[String; 3]> {
    let shown = match then {
        Then::Now => &view.now,
        Then::Expected => &view.expected,
    };
    let class = &view.class;
    let mm = |of: &Quantity| words::millimetres(of.value, of.expanded());
    let mut rows = vec![
        [
            "runout to the side".into(),
            mm(&shown.lateral_fir_mm),
            format!("{:.2} mm", class.lateral_fir_mm),
        ],
        [
            "runout in and out".into(),
            mm(&shown.radial_fir_mm),
            format!("{:.2} mm", class.radial_fir_mm),
        ],
    ];
    if let Some(sd) = &shown.tension_sd_percent {
        rows.push([
            "unevenness of the worst side and kind".into(),
            words::percent(sd.value, sd.expanded()),
            format!("{:.1} %", class.tension_sd_percent),
        ]);
    }
    if let Some(mean) = &shown.mean_tension_n {
        let within = class.mean_percent;
        let (of, wanted) = match &view.target {
            Some(target) => (
                format!("mean tension, {} side", target.side),
                words::exact_force(Force::n(target.tension_n), unit),
            ),
            None => ("mean tension".into(), "kept".into()),
        };
        rows.push([
            of,
            words::force(mean.value, mean.expanded(), unit),
            format!("{wanted} within {within:.1} %"),
        ]);
    }
    if let Some(dish) = &shown.dish_mm {
        rows.push([
            "dish".into(),
            mm(dish),
            format!("{:.1} mm either way", class.dish_mm),
        ]);
    }
    rows
}
