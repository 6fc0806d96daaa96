//! Limits of tension and of pressure, spoke by spoke and for the wheel.

use crate::chances::{Chances, Wanted, WantedCeiling};
use crate::conformity::LimitVerdict;
use crate::finding::Finding;
use crate::lap::State;
use crate::settle::{Settle, for_ceiling};
use crate::tension::{Curves, Tension, Tensions};
use crate::visit::{Limit, PressureLimit, Visit};
use quantity::Pressure;
use wheel::SpokeIndex;
use wheel::limit::Condition;

/// One spoke against a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpokeVerdict {
    /// The spoke.
    pub spoke: SpokeIndex,
    /// Probability that it is not above the limit; none where nothing is known of it.
    pub probability: Option<f64>,
    /// The verdict.
    pub verdict: LimitVerdict,
}

/// A limit of tension and what can be said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedLimit {
    /// The limit.
    pub limit: Limit,
    /// Joint probability that no spoke is above it; none where not every spoke is known.
    pub probability: Option<f64>,
    /// The verdict on the wheel: one spoke over is over, whatever the mean.
    pub verdict: LimitVerdict,
    /// Each spoke it holds for.
    pub spokes: Vec<SpokeVerdict>,
    /// What would settle it, when it cannot be told.
    pub settle: Option<Settle>,
}

/// A limit of pressure and what can be said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedPressure {
    /// The limit.
    pub limit: PressureLimit,
    /// The highest pressure noted.
    pub highest: Option<Pressure>,
    /// The verdict.
    pub verdict: LimitVerdict,
}

fn state_of(condition: Condition) -> State {
    match condition {
        Condition::Bare => State::Bare,
        Condition::Tyred => State::Tyred,
    }
}

fn holds_for(visit: &Visit, limit: &Limit) -> Vec<SpokeIndex> {
    let of = |spoke: &wheel::Spoke| {
        limit.side.is_none_or(|side| side == spoke.side)
            && limit.kind.is_none_or(|kind| kind == spoke.kind)
    };
    visit
        .wheel
        .placed()
        .filter(|(_, spoke)| of(spoke))
        .map(|(place, _)| place)
        .collect()
}

fn in_state<'a>(
    limit: &Limit,
    bare: Option<&'a Tensions>,
    tyred: Option<&'a Tensions>,
) -> Option<&'a Tensions> {
    match state_of(limit.condition) {
        State::Bare => bare,
        State::Tyred => tyred,
    }
}

/// Adds each limit's measured spokes to what the draws are asked.
pub(super) fn ask<'a>(
    visit: &Visit,
    bare: Option<&'a Tensions>,
    tyred: Option<&'a Tensions>,
    wanted: &mut Wanted<'a>,
) {
    for limit in &visit.limits {
        let Some(tensions) = in_state(limit, bare, tyred) else {
            continue;
        };
        let spokes = holds_for(visit, limit)
            .into_iter()
            .filter(|spoke| tensions.spokes[spoke.0].measured().is_some())
            .collect();
        wanted.ceilings.push(WantedCeiling {
            tensions,
            spokes,
            ceiling_n: limit.tension.to_n(),
        });
    }
}

/// Judges each limit, in the order in which [`ask`] asked.
pub(super) fn judge(
    visit: &Visit,
    curves: &Curves,
    bare: Option<&Tensions>,
    tyred: Option<&Tensions>,
    chances: &Chances,
) -> Vec<JudgedLimit> {
    let mut answers = chances.ceilings.iter();
    visit
        .limits
        .iter()
        .map(|limit| {
            let spokes = holds_for(visit, limit);
            let Some(tensions) = in_state(limit, bare, tyred) else {
                let unknown = |spoke| SpokeVerdict {
                    spoke,
                    probability: None,
                    verdict: LimitVerdict::CannotTell,
                };
                return JudgedLimit {
                    limit: limit.clone(),
                    probability: None,
                    verdict: LimitVerdict::CannotTell,
                    spokes: spokes.into_iter().map(unknown).collect(),
                    settle: Some(Settle::LapMissing(state_of(limit.condition))),
                };
            };
            let answer = answers.next();
            judge_one(visit, curves, limit, tensions, &spokes, answer)
        })
        .collect()
}

fn judge_one(
    visit: &Visit,
    curves: &Curves,
    limit: &Limit,
    tensions: &Tensions,
    spokes: &[SpokeIndex],
    answer: Option<&crate::chances::Ceiling>,
) -> JudgedLimit {
    let decide_at = visit.settings.decide_at;
    let mut each = answer.map_or([].iter(), |answer| answer.each.iter());
    let judged: Vec<SpokeVerdict> = spokes
        .iter()
        .map(|spoke| {
            let probability = match &tensions.spokes[spoke.0] {
                Tension::Measured(_) => each.next().copied(),
                // A bound decides only when it lies on the far side of the limit.
                Tension::MoreThan(bound) if *bound >= limit.tension => Some(0.0),
                Tension::LessThan(bound) if *bound <= limit.tension => Some(1.0),
                _ => None,
            };
            let verdict =
                probability.map_or(LimitVerdict::CannotTell, |p| LimitVerdict::at(p, decide_at));
            SpokeVerdict {
                spoke: *spoke,
                probability,
                verdict,
            }
        })
        .collect();
    let all_known = judged.iter().all(|one| one.probability.is_some());
    let bounds_kept = judged.iter().zip(spokes).all(|(one, spoke)| {
        tensions.spokes[spoke.0].measured().is_some() || one.probability == Some(1.0)
    });
    let probability = match answer {
        Some(answer) if all_known => Some(if bounds_kept { answer.all } else { 0.0 }),
        _ => None,
    };
    let verdict = if judged.iter().any(|one| one.verdict == LimitVerdict::Over) {
        LimitVerdict::Over
    } else {
        probability.map_or(LimitVerdict::CannotTell, |p| LimitVerdict::at(p, decide_at))
    };
    let undecided: Vec<SpokeIndex> = judged
        .iter()
        .filter(|one| one.verdict == LimitVerdict::CannotTell)
        .map(|one| one.spoke)
        .collect();
    // Each spoke may be under by itself and still one of them be over: then the least sure ones count.
    let least_sure = || {
        let mut order: Vec<&SpokeVerdict> = judged.iter().collect();
        order.sort_by(|a, b| {
            a.probability
                .unwrap_or(0.0)
                .total_cmp(&b.probability.unwrap_or(0.0))
        });
        order
            .iter()
            .take(3)
            .map(|one| one.spoke)
            .collect::<Vec<_>>()
    };
    let settle = (verdict == LimitVerdict::CannotTell).then(|| {
        let spokes = if undecided.is_empty() {
            least_sure()
        } else {
            undecided
        };
        for_ceiling(visit, curves, tensions, &spokes, limit.tension)
    });
    JudgedLimit {
        limit: limit.clone(),
        probability,
        verdict,
        spokes: judged,
        settle,
    }
}

/// Judges each limit of pressure against the highest pressure noted.
pub(super) fn pressures(visit: &Visit, findings: &mut Vec<Finding>) -> Vec<JudgedPressure> {
    let noted = visit.laps.iter().filter_map(|lap| lap.pressure);
    let highest = noted.fold(None, |most: Option<Pressure>, one| {
        Some(most.map_or(one, |most| if one > most { one } else { most }))
    });
    visit
        .pressure_limits
        .iter()
        .map(|limit| {
            let verdict = match highest {
                None => LimitVerdict::CannotTell,
                Some(highest) if highest > limit.pressure => LimitVerdict::Over,
                Some(_) => LimitVerdict::Under,
            };
            if let (LimitVerdict::Over, Some(highest)) = (verdict, highest) {
                findings.push(Finding::doubt("over-pressure", format!("The tyre was at {:.1} bar, above the {:.1} bar that the {} bears ({}). Let air out before anything else.", highest.to_bar(), limit.pressure.to_bar(), limit.part, limit.source)));
            }
            JudgedPressure { limit: limit.clone(), highest, verdict }
        })
        .collect()
}
