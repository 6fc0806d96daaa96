//! Numbers as people read them: never a digit finer than their uncertainty, always with their unit.

use metrology::chances::Spread;
use metrology::conformity::ClaimQuantity;
use metrology::evenness::Value;
use metrology::lap::State;
use metrology::settle::{Next, Settle};
use metrology::survey::Survey;
use metrology::visit::{Limit, Visit};
use quantity::force::ForceUnit;
use quantity::rounding::FinestStep;
use quantity::{Force, Pressure, Rounded};
use wheel::limit::{Condition, Part};

/// Half a 95 % interval of a normal distribution, in standard deviations.
pub const K: f64 = 1.96;

/// Expanded uncertainty of a value with standard uncertainty only.
#[must_use]
pub fn expanded(value: Value) -> f64 {
    K * value.u
}

/// `113 ± 2 kgf`.
#[must_use]
pub fn force(force_n: f64, expanded_n: f64, unit: ForceUnit) -> String {
    let read = |n: f64| unit.read(Force::n(n));
    with_unit(
        read(force_n),
        read(expanded_n),
        FinestStep::force(unit),
        unit.symbol(),
    )
}

/// `113 ± 2`, for a column whose head has the unit.
#[must_use]
pub fn bare_force(force_n: f64, expanded_n: f64, unit: ForceUnit) -> String {
    let read = |n: f64| unit.read(Force::n(n));
    pair(read(force_n), read(expanded_n), FinestStep::force(unit))
}

/// A force without uncertainty, to the unit's finest step: a limit, a bound.
#[must_use]
pub fn exact_force(force: Force, unit: ForceUnit) -> String {
    let value = unit.read(force);
    let step = match unit {
        ForceUnit::N => 10.0,
        ForceUnit::Kgf | ForceUnit::Lbf => 1.0,
    };
    format!("{:.0} {}", (value / step).round() * step, unit.symbol())
}

/// `8.3 ± 0.4 %`.
#[must_use]
pub fn percent(value: f64, expanded: f64) -> String {
    with_unit(value, expanded, FinestStep::PERCENT, "%")
}

/// `5.5 bar (80 psi)`.
#[must_use]
pub fn pressure(pressure: Pressure) -> String {
    format!(
        "{:.1} bar ({:.0} psi)",
        pressure.to_bar(),
        pressure.to_psi()
    )
}

/// How hard a tyre presses on the rim, and what that rests on.
#[must_use]
pub fn pressing(n_per_mm: f64, expanded: f64) -> String {
    format!(
        "By the model of this wheel the tyre presses on its rim with {} all round: readings and rig points \
         are in the ±, the rim's constants are taken as the wheel file has them.",
        with_unit(n_per_mm, expanded, FinestStep::power_of_ten(-1), "N/mm")
    )
}

/// `0.31 ± 0.04 mm`.
#[must_use]
pub fn millimetres(value: f64, expanded: f64) -> String {
    with_unit(value, expanded, FinestStep::LENGTH_MM, "mm")
}

/// A length with its sign, as a dial shows it.
#[must_use]
pub fn signed_millimetres(mm: f64) -> String {
    let sign = if mm < 0.0 { '−' } else { '+' };
    format!("{sign}{:.2} mm", mm.abs())
}

/// `812 ± 1 g`.
#[must_use]
pub fn grams(value: f64, expanded: f64) -> String {
    with_unit(value, expanded, FinestStep::power_of_ten(-1), "g")
}

/// `0.586 ± 0.012`, a ratio.
#[must_use]
pub fn ratio(value: f64, expanded: f64) -> String {
    pair(value, expanded, FinestStep::power_of_ten(-3))
}

/// `22.5 ± 0.2`, in divisions or whatever else the column says.
#[must_use]
pub fn plain(value: f64, expanded: f64) -> String {
    pair(value, expanded, FinestStep::power_of_ten(-2))
}

/// A probability: two digits, and never a bare 0 or 1.
#[must_use]
pub fn probability(p: f64) -> String {
    if p > 0.995 {
        "> 0.99".into()
    } else if p < 0.005 {
        "< 0.01".into()
    } else {
        format!("{p:.2}")
    }
}

/// `bare`, `tyred`.
#[must_use]
pub const fn state(state: State) -> &'static str {
    match state {
        State::Bare => "bare",
        State::Tyred => "tyred",
    }
}

/// The part a limit protects.
#[must_use]
pub const fn part(part: Part) -> &'static str {
    match part {
        Part::Spoke => "spoke",
        Part::Thread => "thread",
        Part::Nipple => "nipple",
        Part::Rim => "rim",
        Part::Hub => "hub",
    }
}

/// `rim: at most 127 kgf bare`.
#[must_use]
pub fn limit(limit: &Limit, visit: &Visit, unit: ForceUnit) -> String {
    let condition = match limit.condition {
        Condition::Bare => "bare",
        Condition::Tyred => "tyred",
    };
    let side = limit
        .side
        .map(|side| format!(", {} side", side.word()))
        .unwrap_or_default();
    let kind = limit
        .kind
        .map(|kind| format!(", {}", visit.wheel.kinds[kind.0].name))
        .unwrap_or_default();
    format!(
        "{}: at most {} {condition}{side}{kind}",
        part(limit.part),
        exact_force(limit.tension, unit)
    )
}

/// A number of a claim with its unit.
#[must_use]
pub fn claimed(quantity: ClaimQuantity, spread: Spread) -> String {
    match quantity {
        ClaimQuantity::TensionLossPercent => percent(spread.value, spread.expanded()),
        // Its interval stops at nothing; its uncertainty does not.
        ClaimQuantity::EvennessPercent => percent(spread.value, K * spread.u),
        ClaimQuantity::MassG => grams(spread.value, spread.expanded()),
        ClaimQuantity::LateralFirMm | ClaimQuantity::RadialFirMm => {
            millimetres(spread.value, spread.expanded())
        }
    }
}

/// What to measure next, and what it takes.
#[must_use]
pub fn settle(settle: &Settle, survey: &Survey, visit: &Visit, unit: ForceUnit) -> String {
    match settle {
        Settle::By(next) => next_words(next, survey, visit, unit),
        Settle::PastTheEnd(curve) => {
            let placed = &survey.curves.placed[*curve];
            format!(
                "a rig point beyond the end of {} ({} min), then read again",
                placed.points_name, visit.settings.rig_point_minutes
            )
        }
        Settle::LapMissing(missing) => {
            format!(
                "a lap with the gauge, {} ({} min)",
                state(*missing),
                visit.settings.lap_minutes
            )
        }
        Settle::Weigh => "a weighing in the dress the claim names".into(),
        Settle::Dial => "a runout lap with the dial, more than once round".into(),
        Settle::TooClose => "nothing within reason: the value lies too close to the bound".into(),
    }
}

fn next_words(next: &Next, survey: &Survey, visit: &Visit, unit: ForceUnit) -> String {
    let mut parts = Vec::new();
    let laps = |count: usize, which: &str| match count {
        1 => format!("one more lap {which}"),
        _ => format!("{count} more laps {which}"),
    };
    if let Some((curve, _)) = next.rig_points.first() {
        let mut forces: Vec<String> = Vec::new();
        for (_, force) in &next.rig_points {
            let words = exact_force(*force, unit);
            if !forces.contains(&words) {
                forces.push(words);
            }
        }
        let count = match next.rig_points.len() {
            1 => "one more rig point".into(),
            more => format!("{more} more rig points"),
        };
        parts.push(format!(
            "{count} near {} ({})",
            forces.join(" and "),
            survey.curves.placed[*curve].points_name
        ));
    }
    if next.bare_laps > 0 {
        parts.push(laps(next.bare_laps, "bare"));
    }
    if next.tyred_laps > 0 {
        parts.push(laps(next.tyred_laps, "tyred"));
    }
    if parts.is_empty() {
        return "the readings as they are would do, were they a little clearer: one more lap"
            .into();
    }
    format!(
        "{}, about {:.0} min",
        parts.join(" and "),
        next.minutes.max(visit.settings.dish_minutes)
    )
}

fn with_unit(value: f64, expanded: f64, finest: FinestStep, unit: &str) -> String {
    format!("{} {unit}", pair(value, expanded, finest))
}

fn pair(value: f64, expanded: f64, finest: FinestStep) -> String {
    Rounded::new(value, expanded, finest)
        .map_or_else(|error| error.to_string(), |rounded| rounded.to_string())
}
