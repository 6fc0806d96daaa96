//! A plan: which nipples, which way, how far, in what order, what to expect, and what turns cannot mend.

mod bench;
mod cannot;
mod request;
mod way;

pub use cannot::Cannot;
pub use request::{MOST_TURNS, NippleState, Request, Step};

use crate::error::Error;
use crate::estimator::Estimate;
use crate::outlook::{Outlook, Shown};
use crate::response::Response;
use crate::search::{Ending, Problem};
use crate::sparse::few;
use crate::weighing::weigh;
use bench::Bench;
use quantity::Force;
use wheel::SpokeIndex;

/// Turns of one nipple.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Its spoke.
    pub spoke: SpokeIndex,
    /// Steps; tightening positive.
    pub steps: i64,
    /// The same in turns.
    pub turns: f64,
    /// The spoke's tension before it, as expected by then.
    pub tension_before: Force,
    /// And after it.
    pub tension_after: Force,
}

/// Why nothing more is to be turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Enough {
    /// The wheel is of its class.
    OfItsClass,
    /// It is not, but no turns bring it nearer by more than the readings can tell.
    WithinTheNoise,
}

/// How good the wheel gets with few nipples.
#[derive(Debug, Clone, PartialEq)]
pub struct FewNipples {
    /// How many.
    pub nipples: usize,
    /// Their turns, in the wheel's order.
    pub turns: Vec<(SpokeIndex, f64)>,
    /// Largest share of the class then taken up, as most likely.
    pub worst_share: f64,
    /// Share of the sum of squares by which other turns of as few nipples may be better; none when that is proven.
    pub gap: f64,
}

impl FewNipples {
    /// Whether every choice of so many nipples was looked at, and no whole turns of any are better.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.gap <= 0.0
    }
}

/// What to do in one round.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// In the order of work; empty when nothing is to be done.
    pub turns: Vec<Turn>,
    /// What the wheel shows now.
    pub now: Shown,
    /// What it will show.
    pub expected: Shown,
    /// How the search ended.
    pub ending: Ending,
    /// No turns within the bounds bring the largest share of the class below this: proven.
    pub at_least: f64,
    /// Why nothing more is to be turned, when that is so.
    pub enough: Option<Enough>,
    /// What turns cannot mend, and why.
    pub cannot: Vec<Cannot>,
    /// By how much the order of work lifts a spoke that is not surely within its limit, where it must.
    pub over_on_the_way: Option<Force>,
    /// Spokes that are over their limit now, or cannot be told to be under it.
    pub over_now: Vec<SpokeIndex>,
}

/// The best turns of one round.
///
/// # Errors
/// A target that is no usable number.
pub fn plan(
    response: &Response,
    estimate: &Estimate,
    request: &Request,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Plan, Error> {
    request.check()?;
    let bench = Bench::new(response, estimate, request, request.at_most.is_some());
    let objective = &bench.objective;
    let drawn = Outlook::of(response, estimate, request.seed);
    let now = drawn.shown(objective, response);
    let still = vec![0; response.spokes()];
    let over_now = bench.over_now();
    let mut plan = Plan {
        turns: Vec::new(),
        expected: now.clone(),
        now,
        ending: Ending::Optimal,
        at_least: 0.0,
        enough: None,
        cannot: Vec::new(),
        over_on_the_way: None,
        over_now: over_now.iter().copied().map(SpokeIndex).collect(),
    };
    if !request.go_on && over_now.is_empty() && bench.is_of_its_class(&plan.now, estimate) {
        plan.enough = Some(Enough::OfItsClass);
        return Ok(plan);
    }
    let (frame, weighed) = match bench.weighed(stop) {
        Ok(found) => found,
        Err(binding) => {
            plan.ending = Ending::Infeasible { binding };
            return Ok(plan);
        }
    };
    plan.at_least = weighed.at_least;
    let spared = bench.spared(&frame, &weighed, stop).and_then(|frame| {
        let weighed = weigh(objective, &frame, stop).ok()?;
        Some((frame, weighed))
    });
    let (frame_of_turns, weighed_of_turns) = match spared {
        Some((frame, weighed)) => (frame, weighed),
        None => (frame.clone(), weighed.clone()),
    };
    let (way, ending) = bench.passable(estimate, frame_of_turns, &weighed_of_turns, stop);
    plan.ending = ending;
    let turned = drawn.after(
        &bench.step_effects,
        &way.steps,
        &way.melts,
        estimate.turn_noise,
        request.seed,
    );
    let expected = turned.shown(objective, response);
    if expected.worst_share.value > 1.0 {
        plan.cannot = bench.cannot(&frame, &weighed, estimate, stop);
    }
    let has_room = way.left_out.is_empty();
    if !has_room {
        plan.cannot.push(Cannot::NoRoomOnTheWay {
            spokes: way.left_out.clone(),
        });
    }
    let gain = drawn.gain(&turned, objective);
    if way.steps == still || (over_now.is_empty() && !request.go_on && gain.value < gain.u) {
        plan.enough = has_room.then_some(Enough::WithinTheNoise);
        return Ok(plan);
    }
    plan.turns = way.turns(request.step);
    plan.over_on_the_way = (way.over_n > OVER_TOLD_N).then(|| Force::n(way.over_n));
    plan.expected = expected;
    Ok(plan)
}

/// What a wheel shows by what is known of it; of rounds whose last has turns but no readings, what to expect.
///
/// # Errors
/// As [`plan`].
pub fn shown(response: &Response, estimate: &Estimate, request: &Request) -> Result<Shown, Error> {
    request.check()?;
    let bench = Bench::new(response, estimate, request, false);
    Ok(Outlook::of(response, estimate, request.seed).shown(&bench.objective, response))
}

/// The problem in whole steps behind a plan, as its last search gets it: for those who want to solve it otherwise.
///
/// None where bounds and limits exclude each other.
///
/// # Errors
/// As [`plan`].
pub fn problem(
    response: &Response,
    estimate: &Estimate,
    request: &Request,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Option<Problem>, Error> {
    request.check()?;
    let bench = Bench::new(response, estimate, request, request.at_most.is_some());
    let found = bench.weighed(stop).ok();
    Ok(found.map(|(frame, weighed)| bench.charged(&frame, &weighed)))
}

/// Less than this over a limit on the way is rounding, N.
const OVER_TOLD_N: f64 = 1e-3;

/// How good 1, 2, 3 … up to `most` nipples can make the wheel.
///
/// # Errors
/// As [`plan`].
pub fn few_nipples(
    response: &Response,
    estimate: &Estimate,
    request: &Request,
    most: usize,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Vec<FewNipples>, Error> {
    request.check()?;
    let bench = Bench::new(response, estimate, request, true);
    let frame = bench.frame(false);
    let Ok(weighed) = weigh(&bench.objective, &frame, stop) else {
        return Ok(Vec::new());
    };
    let problem = frame.problem(&bench.objective, &weighed.weights);
    let curve = few(&problem, most, stop)
        .into_iter()
        .enumerate()
        .map(|(nipples, few)| {
            let touched = few
                .steps
                .iter()
                .enumerate()
                .filter(|(_, steps)| **steps != 0);
            FewNipples {
                nipples,
                turns: touched
                    .map(|(spoke, &steps)| (SpokeIndex(spoke), request.step.turns(steps)))
                    .collect(),
                worst_share: bench.objective.shares(&bench.after(&few.steps)).worst(),
                gap: few.gap,
            }
        });
    Ok(curve.collect())
}
