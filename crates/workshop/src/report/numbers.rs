//! The numbers that matter, each against its limit.

use crate::words;
use metrology::conformity::{ClaimQuantity, ClaimVerdict, LimitVerdict};
use metrology::lap::{Axis, State};
use metrology::survey::{JudgedLimit, Survey, SurveyedState};
use metrology::tension::Measured;
use metrology::visit::Visit;
use quantity::Force;
use quantity::force::ForceUnit;
use report::document::Text;
use report::figure::{Interval, Mark};
use report::table::{BeforeAfter, BeforeAfterRow, Bound, Judged, Limit, Stated};
use wheel::Side;
use wheel::limit::Condition;

/// Means, the tightest and the slackest spoke, runout and dish: bare, and with the tyre on.
pub(super) fn that_matter(visit: &Visit, survey: &Survey, unit: ForceUnit) -> BeforeAfter {
    let mut rows: Vec<BeforeAfterRow> = Side::BOTH
        .into_iter()
        .map(|side| mean_row(survey, side, unit))
        .collect();
    rows.push(extreme_row(survey, unit, true));
    rows.push(extreme_row(survey, unit, false));
    rows.push(runout_row(survey, Axis::Lateral, "side runout"));
    rows.push(runout_row(survey, Axis::Radial, "roundness"));
    let doubt = &visit.wheel.doubt;
    rows.push(BeforeAfterRow {
        quantity: "dish, offset to the right".into(),
        before: doubt.dish.map(|dish| {
            let half = words::K * doubt.dish_u.to_mm();
            stated(dish.to_mm(), half, words::millimetres(dish.to_mm(), half))
        }),
        after: None,
        bound: unknown(),
        judged: Judged::Before,
        mark: if doubt.dish.is_some() {
            Mark::Taken
        } else {
            Mark::CannotTell
        },
        verdict: if doubt.dish.is_some() {
            "measured".into()
        } else {
            "not measured".into()
        },
    });
    rows.retain(|row| {
        row.before.is_some() || row.after.is_some() || row.quantity.starts_with("dish")
    });
    BeforeAfter {
        caption: "The numbers that matter".into(),
        before: "bare".into(),
        after: survey.tyred.as_ref().map(|_| "with the tyre on".into()),
        rows,
    }
}

fn stated(value: f64, half: f64, words: String) -> Stated {
    Stated {
        interval: Interval::around(value, half),
        words,
    }
}

fn unknown() -> Bound {
    Bound::Unknown(Text::from("no limit known"))
}

fn mean_row(survey: &Survey, side: Side, unit: ForceUnit) -> BeforeAfterRow {
    let of = |state: &Option<SurveyedState>| {
        let group = state
            .as_ref()?
            .sides
            .iter()
            .find(|one| one.group.side == side)?;
        let mean = group.mean_n?;
        let read = |n: f64| unit.read(Force::n(n));
        Some(Stated {
            interval: Interval {
                value: read(mean.value),
                low: read(mean.low),
                high: read(mean.high),
            },
            words: words::force(mean.value, mean.expanded(), unit),
        })
    };
    BeforeAfterRow {
        quantity: format!("mean tension {}", side.word()),
        before: of(&survey.bare),
        after: of(&survey.tyred),
        bound: Bound::Unknown(Text::from("limits hold for single spokes")),
        judged: Judged::Before,
        mark: Mark::Taken,
        verdict: "measured".into(),
    }
}

/// The tightest or the slackest spoke with a force.
fn extreme(state: &SurveyedState, is_tightest: bool) -> Option<(usize, &Measured)> {
    let spokes = state.tensions.spokes.iter().enumerate();
    let measured = spokes.filter_map(|(place, one)| one.measured().map(|found| (place, found)));
    let by_force = |a: &(usize, &Measured), b: &(usize, &Measured)| {
        a.1.force.to_n().total_cmp(&b.1.force.to_n())
    };
    if is_tightest {
        measured.max_by(by_force)
    } else {
        measured.min_by(by_force)
    }
}

/// The tightest spoke against the lowest limit, or the slackest.
fn extreme_row(survey: &Survey, unit: ForceUnit, is_tightest: bool) -> BeforeAfterRow {
    let of = |state: &Option<SurveyedState>| {
        let (place, found) = extreme(state.as_ref()?, is_tightest)?;
        let half_n = words::K * found.u().to_n();
        let words = format!(
            "{} (spoke {})",
            words::force(found.force.to_n(), half_n, unit),
            place + 1
        );
        Some(stated(
            unit.read(found.force),
            unit.read(Force::n(half_n)),
            words,
        ))
    };
    let lowest = |state: State| {
        let holds = |judged: &&JudgedLimit| match judged.limit.condition {
            Condition::Bare => state == State::Bare,
            Condition::Tyred => state == State::Tyred,
        };
        survey
            .limits
            .iter()
            .filter(holds)
            .min_by(|a, b| a.limit.tension.to_n().total_cmp(&b.limit.tension.to_n()))
    };
    let judged = lowest(State::Bare)
        .or(lowest(State::Tyred))
        .filter(|_| is_tightest);
    let judged_state = match judged.map(|one| one.limit.condition) {
        Some(Condition::Tyred) => Judged::After,
        Some(Condition::Bare) | None => Judged::Before,
    };
    let is_doubtful = |state: &Option<SurveyedState>| {
        state.as_ref().is_some_and(|state| {
            let again = |place| {
                state
                    .pattern
                    .suspicious
                    .iter()
                    .any(|one| one.spoke.0 == place)
            };
            extreme(state, is_tightest).is_some_and(|(place, _)| again(place))
        })
    };
    let any_doubtful = is_doubtful(&survey.bare) || is_doubtful(&survey.tyred);
    let (mark, verdict) = match (judged.map(|one| one.verdict), is_tightest) {
        (Some(LimitVerdict::Under) | None, _) if any_doubtful => (Mark::TakeAgain, "take again"),
        (Some(LimitVerdict::Under), _) => (Mark::Taken, "under"),
        (Some(LimitVerdict::Over), _) => (Mark::Over, "over"),
        (Some(LimitVerdict::CannotTell), _) | (None, true) => (Mark::CannotTell, "cannot tell"),
        (None, false) => (Mark::Taken, "measured"),
    };
    BeforeAfterRow {
        quantity: if is_tightest {
            "tightest spoke".into()
        } else {
            "slackest spoke".into()
        },
        before: of(&survey.bare),
        after: of(&survey.tyred),
        bound: judged.map_or_else(unknown, |judged| {
            let limit = &judged.limit;
            let condition = match limit.condition {
                Condition::Bare => "bare",
                Condition::Tyred => "tyred",
            };
            let words = format!(
                "{} {condition}, {}",
                words::exact_force(limit.tension, unit),
                words::part(limit.part)
            );
            Bound::AtMost(Limit {
                value: unit.read(limit.tension),
                words: Text::from(words).source(format!("{}, noted {}", limit.source, limit.noted)),
            })
        }),
        judged: judged_state,
        mark,
        verdict: verdict.into(),
    }
}

fn runout_row(survey: &Survey, axis: Axis, name: &str) -> BeforeAfterRow {
    let of = |state: State| {
        let laps: Vec<_> = survey
            .runouts
            .iter()
            .filter(|one| one.state == state)
            .cloned()
            .collect();
        let worst = metrology::runout::worst(&laps, axis)?;
        let (mm, half) = (
            worst.full_indicator_reading.to_mm(),
            words::K * worst.u.to_mm(),
        );
        Some(stated(mm, half, words::millimetres(mm, half)))
    };
    let quantity = match axis {
        Axis::Lateral => ClaimQuantity::LateralFirMm,
        Axis::Radial => ClaimQuantity::RadialFirMm,
    };
    let claim = survey
        .claims
        .iter()
        .find(|one| one.claim.quantity == quantity);
    let bound = claim.and_then(|one| one.claim.at_most.map(|at_most| (one, at_most)));
    BeforeAfterRow {
        quantity: format!("{name}, full indicator reading"),
        before: of(State::Bare),
        after: of(State::Tyred),
        bound: bound.map_or_else(unknown, |(judged, at_most)| {
            let mut words = Text::from(format!("claimed at most {at_most} mm"));
            if let Some(source) = &judged.claim.source {
                words = words.source(source.clone());
            }
            Bound::AtMost(Limit {
                value: at_most,
                words,
            })
        }),
        judged: Judged::Before,
        mark: match claim.map(|one| one.verdict) {
            Some(ClaimVerdict::Refuted) => Mark::Over,
            Some(ClaimVerdict::Undecided) => Mark::CannotTell,
            Some(ClaimVerdict::Shown) | None => Mark::Taken,
        },
        verdict: claim.map_or("measured", |one| one.verdict.word()).into(),
    }
}
