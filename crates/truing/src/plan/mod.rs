//! A plan: which nipples, which way, how far, in what order, what to expect, and what turns cannot mend.

mod bench;
mod cannot;
mod request;
mod said;
mod way;

pub use cannot::Cannot;
pub use request::{MOST_TURNS, NippleState, Request, Step};
pub use said::Said;

use crate::error::Error;
use crate::estimator::{Estimate, Unknown};
use crate::outlook::{Outlook, Shown};
use crate::response::Response;
use crate::search::{Ending, Problem};
use crate::sparse::few;
use crate::weighing::weigh;
use bench::Bench;
use metrology::evenness::Value;
use quantity::Force;
use way::{Sought, Tried};
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
    /// The wheel is of its class at the shop's probability, and all of the class was read.
    OfItsClass,
    /// What was read is of the class at the shop's probability; what was not read is not judged.
    OfItsClassAsRead,
    /// What was read is of the class most likely, and not surely.
    MostLikelyOfItsClass,
    /// What was read is of the class most likely, and no turns make it better by more than the readings can tell.
    OfItsClassAndNoBetter,
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
    /// Every tension after each of the turns, as expected by then.
    pub on_the_way: Vec<Vec<Force>>,
    /// By how much the turns lift a single spoke at most above where it stands, on the way or at the end, N: the one whose
    /// value and two of its uncertainties are most together.
    pub most_lifted_n: Value,
    /// How the search ended, by the weighed sum of squares; none where nothing was searched. Nipples that were left
    /// alone or out are within its gap.
    pub ending: Option<Ending>,
    /// Whether that sum counts what the turns add by coming out off (eq. 7.14): smaller turns are then better.
    pub counts_scatter: bool,
    /// No turns within the bounds bring the largest share of the class below this: proven. Zero where rim or tension was
    /// not read.
    pub at_least: f64,
    /// Why nothing more is to be turned, when that is so.
    pub enough: Option<Enough>,
    /// What turns cannot mend, and why.
    pub cannot: Vec<Cannot>,
    /// By how much at most the order of work lifts a spoke that is not surely within its limit, where it must, if the
    /// turns come out as told.
    pub over_on_the_way: Option<Force>,
    /// Spokes that are over their limit now, most likely.
    pub over_now: Vec<SpokeIndex>,
    /// What can be said of its limits and its class now.
    pub said: Said,
    /// Whether the shape after the turns was followed; without it only the first order is in what is expected.
    pub is_followed: bool,
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
    let over_now = bench.over_now();
    let mut plan = Plan {
        turns: Vec::new(),
        expected: now.clone(),
        now,
        on_the_way: Vec::new(),
        most_lifted_n: Value { value: 0.0, u: 0.0 },
        ending: None,
        counts_scatter: false,
        at_least: 0.0,
        enough: None,
        cannot: Vec::new(),
        over_on_the_way: None,
        over_now: over_now.iter().copied().map(SpokeIndex).collect(),
        said: bench.said(&drawn),
        is_followed: true,
    };
    let is_of_its_class = over_now.is_empty() && bench.is_of_its_class(&plan.now, estimate);
    if is_of_its_class && !request.go_on {
        let is_unread = estimate.unknown.iter().any(Unknown::is_of_the_class);
        plan.enough = Some(match (plan.said.is_surely_of_its_class(), is_unread) {
            (false, _) => Enough::MostLikelyOfItsClass,
            (true, true) => Enough::OfItsClassAsRead,
            (true, false) => Enough::OfItsClass,
        });
        return Ok(plan);
    }
    let mut kept = None;
    let sought = match bench.sought(estimate, &drawn, true, stop) {
        Err(why) => {
            kept = Some(bench.not_within(&why));
            bench.sought(estimate, &drawn, false, stop)
        }
        sought => sought,
    };
    plan.cannot.extend(kept);
    plan.cannot.extend(bench.too_high());
    let Sought {
        frame,
        weighed,
        tried,
        is_idle,
    } = match sought {
        Ok(sought) => sought,
        Err(why) => {
            plan.ending = Some(why.ending());
            return Ok(plan);
        }
    };
    if objective.is_read() {
        plan.at_least = weighed.at_least;
    }
    let Tried {
        way,
        ending,
        expected,
        counts_scatter,
        ..
    } = tried;
    plan.counts_scatter = counts_scatter;
    let is_cut_short = matches!(ending, Ending::OutOfTime { .. });
    plan.ending = Some(ending);
    plan.is_followed = way.melts.is_found || !response.is_tensioned();
    if expected.worst_share.value > 1.0 {
        plan.cannot
            .extend(bench.cannot(&frame, &weighed, estimate, stop));
    }
    let has_room = way.left_out.is_empty();
    if !has_room {
        plan.cannot.push(Cannot::NoRoomOnTheWay {
            spokes: way.left_out.clone(),
        });
    }
    if is_idle {
        // A search that ended before its end tells nothing of turns it did not come to.
        let is_enough = has_room && !is_cut_short && over_now.is_empty();
        // Once work has begun a wheel counts as of its class with an uncertainty to spare; without that it may be all the same.
        let is_most_likely =
            objective.rest_is_within(&plan.now) && plan.now.worst_share.value <= 1.0;
        plan.enough = is_enough.then_some(match is_of_its_class || is_most_likely {
            true => Enough::OfItsClassAndNoBetter,
            false => Enough::WithinTheNoise,
        });
        return Ok(plan);
    }
    plan.turns = way.turns(request.step);
    plan.on_the_way = way.tensions();
    plan.most_lifted_n = way.most_lifted_n(estimate.turn_noise);
    plan.over_on_the_way =
        (way.over_n > OVER_TOLD_N).then(|| Force::n(way::told(estimate, way.over_n)));
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

/// What can be said of a wheel's limits and class by what is known of it.
///
/// # Errors
/// As [`plan`].
pub fn said(response: &Response, estimate: &Estimate, request: &Request) -> Result<Said, Error> {
    request.check()?;
    let bench = Bench::new(response, estimate, request, false);
    Ok(bench.said(&Outlook::of(response, estimate, request.seed)))
}

/// The problem in whole steps behind a plan, as its last search gets it: for those who want to solve it otherwise.
///
/// None where no turns within bounds and limits were found.
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
    let found = bench
        .weighed(true, stop)
        .or_else(|_| bench.weighed(false, stop));
    Ok(found
        .ok()
        .map(|(frame, weighed)| bench.charged(&frame, (&weighed).into())))
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
                worst_share: bench.objective.worst_share(&bench.after(&few.steps)),
                gap: few.gap,
            }
        });
    Ok(curve.collect())
}
