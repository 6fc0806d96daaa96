//! Truing: the turns of the next round, from what was read now and what earlier rounds taught.

mod figures;
mod files;
mod page;
mod told;
mod worded;

#[cfg(test)]
mod tests;

pub use page::{grounds, page};
pub(crate) use told::{cannot, finding, list};
pub use told::{cautions, direction, hold, is_clockwise, item_of, learned};
pub use worded::{Then, few_rows, holds, is_clear, proof, reason, standing};

pub use self::files::{NoPlan, carried, runout, state, to_carry};
pub use truing::Mean;
pub use truing::plan::{MOST_TURNS, Step};
pub use wheel::Side;
pub use wheel::limit::Limit;

use crate::clock;
use crate::view::{FindingView, FoundView, PlanView, PlannedLimitView};
use crate::words;
use ::files::state::StateFile;
use metrology::lap::RunoutPoint;
use quantity::{Angle, Length};
use std::time::Duration;
use truing::estimator::Unknown;
use truing::plan::{self, Plan};
use truing::{Class, Estimate, Noise, Readings, Request, Response, Round};
use wheel::Wheel;

/// What is asked of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What counts as good.
    pub class: Class,
    /// Mean tension to be reached; none keeps the level.
    pub target: Option<Mean>,
    /// What the parts' makers allow.
    pub limits: Vec<Limit>,
    /// Share of every limit that is kept free: what all readings may be off by together.
    pub room: f64,
    /// Share of its tension that a spoke loses to the tyre.
    pub tyre_loss: Option<f64>,
    /// The smallest turn.
    pub step: Step,
    /// Turns at most for one nipple in one round.
    pub most_turns: f64,
    /// Nipples at most.
    pub at_most: Option<usize>,
    /// Tells how good one, two, three … up to so many nipples make it.
    pub trade_off: usize,
    /// Plans even where the wheel is of its class.
    pub go_on: bool,
    /// The nipples are hidden and turned from the tyre side.
    pub hidden: bool,
    /// Friction of spoke on nipple, for the twist of round metal wire.
    pub friction: Option<f64>,
    /// Standard uncertainties of what is read.
    pub noise: Noise,
    /// The probability at which class and limits are decided.
    pub decide_at: f64,
    /// For the draws.
    pub seed: u64,
    /// When the search stops with the best it has.
    pub time_limit: Duration,
}

impl Default for Question {
    fn default() -> Self {
        let request = Request::default();
        Self {
            class: request.class,
            target: None,
            limits: Vec::new(),
            room: 0.0,
            tyre_loss: None,
            step: request.step,
            most_turns: request.most_turns,
            at_most: None,
            trade_off: 0,
            go_on: false,
            hidden: false,
            friction: None,
            noise: Noise::default(),
            decide_at: request.decide_at,
            seed: request.seed,
            time_limit: Duration::from_secs(20),
        }
    }
}

/// What was read this round, beyond the state file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct More {
    /// Rim to the right, at more places.
    pub lateral: Vec<RunoutPoint>,
    /// Rim outward, at more places.
    pub radial: Vec<RunoutPoint>,
    /// Offset of the rim's plane.
    pub dish: Option<Length>,
}

/// The plan, and the rounds with this one and its turns as planned, for the next.
///
/// The same readings again are the same round: the turns planned after them before are planned anew.
///
/// # Errors
/// A wheel without structural answer, readings that are none.
pub fn true_up(
    wheel: &Wheel,
    mut state: StateFile,
    more: More,
    earlier: Vec<Round>,
    question: &Question,
    of_file: &[::files::wheel_file::Finding],
) -> Result<(PlanView, Vec<Round>), truing::Error> {
    state.readings.lateral.extend(more.lateral);
    state.readings.radial.extend(more.radial);
    state.readings.dish = more.dish.or(state.readings.dish);
    let mut rounds = earlier;
    if rounds
        .last()
        .is_some_and(|last| last.readings == state.readings)
    {
        rounds.pop();
    }
    rounds.push(Round {
        readings: state.readings,
        turned: Vec::new(),
    });
    let level = question.target.or_else(|| {
        rounds
            .iter()
            .rev()
            .find_map(|round| round.readings.mean(wheel))
    });
    let (response, of_state) = Response::about(wheel, level, places(&rounds))?;
    let estimate = Estimate::of(&response, &rounds, &question.noise)?;
    let request = Request {
        class: question.class,
        mean: question.target,
        limits: question
            .limits
            .iter()
            .map(|limit| with_room(limit, question))
            .collect(),
        tyre_loss: question.tyre_loss,
        step: question.step,
        most_turns: question.most_turns,
        nipples: state.nipples,
        at_most: question.at_most,
        go_on: question.go_on,
        decide_at: question.decide_at,
        seed: question.seed,
    };
    let (was_expected, gauge) = match rounds.split_last() {
        Some((_, earlier)) if !earlier.is_empty() => {
            let unread = Round::default();
            let until_now: Vec<Round> = earlier.iter().cloned().chain([unread]).collect();
            let before = Estimate::of(&response, &until_now, &question.noise)?;
            let shown = plan::shown(&response, &before, &request)?;
            (Some(shown), before.learned.gauge)
        }
        _ => (None, question.noise.gauge),
    };
    let mut stop = clock::timer(question.time_limit);
    let plan = plan::plan(&response, &estimate, &request, &mut stop)?;
    let few = match question.trade_off {
        0 => Vec::new(),
        most => plan::few_nipples(&response, &estimate, &request, most, &mut stop)?,
    };
    let mut findings: Vec<FindingView> = of_file
        .iter()
        .map(|one| told::finding("question", "wheel-file", one.to_string(), &[]))
        .collect();
    findings.extend(
        of_state
            .iter()
            .map(|one| told::finding("question", "state", one.to_string(), &[])),
    );
    findings.extend(
        estimate
            .unknown
            .iter()
            .map(|unknown| told::unknown(unknown, &plan)),
    );
    findings.extend(about_limits(question, &plan, &estimate));
    let round = rounds.len();
    let mut read = Readings::default();
    if let Some(last) = rounds.last_mut() {
        read.clone_from(&last.readings);
        last.turned = vec![0.0; wheel.spokes.len()];
        for turn in &plan.turns {
            last.turned[turn.spoke.0] += turn.turns;
        }
    }
    let mut view = PlanView::of(
        wheel, &response, &estimate, &plan, &few, question, round, findings,
    );
    let limits = question.limits.iter().zip(&request.limits);
    let limits = limits.map(|(given, kept)| PlannedLimitView::of(wheel, given, kept, &request));
    view.limits = limits.collect();
    view.found = Some(FoundView::of(wheel, &read, was_expected.as_ref(), gauge));
    Ok((view, rounds))
}

/// Every place of the rim where any round took runout.
fn places(rounds: &[Round]) -> Vec<Angle> {
    let points = rounds
        .iter()
        .flat_map(|round| round.readings.lateral.iter().chain(&round.readings.radial));
    points.map(|point| point.at).collect()
}

/// A limit less the share that is kept free.
fn with_room(limit: &Limit, question: &Question) -> Limit {
    Limit {
        tension: limit.tension * (1.0 - question.room),
        ..limit.clone()
    }
}

/// The next ten newtons up: what is said to be the most is not rounded down.
fn tens_up(force_n: f64) -> f64 {
    (force_n / 10.0).ceil() * 10.0
}

fn about_limits(question: &Question, plan: &Plan, estimate: &Estimate) -> Vec<FindingView> {
    let mut findings = Vec::new();
    if question.limits.is_empty() {
        let says = "No limit known: no maker's limit of tension was given, so nothing holds the plan back and nothing says that a spoke is within it.";
        findings.push(told::finding("doubt", "limits", says.into(), &[]));
    } else if estimate.unknown.contains(&Unknown::Tension) {
        let lifted = &plan.most_lifted_n;
        let most_n = tens_up(lifted.value + words::K * lifted.u);
        let says = format!(
            "Limits are given but no tension was read: whether any spoke is within them cannot be told, and the plan cannot keep them. It keeps the level and lifts single spokes by up to about {most_n:.0} N, on the way or at the end: read tension before turning, and after."
        );
        findings.push(told::finding("doubt", "limits", says, &[]));
    }
    let unlimited = &plan.said.without_limit;
    let is_partly_limited = unlimited.len() < plan.now.tensions_n.len();
    if !question.limits.is_empty() && is_partly_limited && !unlimited.is_empty() {
        let spokes = told::list(unlimited);
        let says = format!("No limit known for {spokes}: nothing says that it is within one.");
        findings.push(told::finding("doubt", "limits", says, unlimited));
    }
    let mut doubted = plan.said.not_surely_under.clone();
    doubted.retain(|spoke| !plan.over_now.contains(spoke));
    if !doubted.is_empty() {
        let spokes = told::list(&doubted);
        let says = format!(
            "Not surely under its limit as it stands: {spokes}. All spokes together are said to be so at a probability of {} only.",
            plan.said.decide_at
        );
        findings.push(told::finding("doubt", "limits", says, &doubted));
    }
    let is_tyred = |limit: &Limit| limit.condition == wheel::limit::Condition::Tyred;
    if question.tyre_loss.is_none() && question.limits.iter().any(is_tyred) {
        let says = "A limit holds with a tyre on, and how much the tyre takes away was not given: it is kept without a tyre too.";
        findings.push(told::finding("note", "limits", says.into(), &[]));
    }
    if !plan.over_now.is_empty() {
        let spokes = told::list(&plan.over_now);
        let over = match question.room {
            0.0 => "Over its limit as it stands, most likely",
            _ => "Over its limit as it stands, or nearer to it than the gauge's curve can tell",
        };
        let then = match plan.turns.is_empty() {
            true => "No turns of this plan bring it down: do not ride.",
            false => "Do not ride before it was read again and is surely under its limit.",
        };
        let says = format!("{over}: {spokes}. {then}");
        findings.push(told::finding("doubt", "over-limit", says, &plan.over_now));
    }
    if let Some(over) = plan.over_on_the_way {
        let says = format!(
            "On the way a spoke that is not surely within its limit may be lifted by up to {:.0} N, and by what the turns of a hand scatter: no order of work was found that avoids it.",
            tens_up(over.to_n())
        );
        findings.push(told::finding("doubt", "on-the-way", says, &[]));
    }
    if !plan.is_followed {
        let says = "The shape of the wheel after these turns was not found: what is expected of it is of the first order only, and the order of work keeps limits by that.";
        findings.push(told::finding("doubt", "shape", says.into(), &[]));
    }
    findings
}
