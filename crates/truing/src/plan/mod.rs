//! A plan: which nipples, which way, how far, in what order, what to expect, and what turns cannot mend.

mod cannot;
mod request;

pub use cannot::Cannot;
pub use request::{MOST_TURNS, NippleState, Request, Step};

use crate::error::Error;
use crate::estimator::{Estimate, PITCH_MM, Unknown};
use crate::objective::{Goal, Objective, Standing};
use crate::order::{Known, Order, order};
use crate::outlook::{Outlook, Shown, likeliest, rows};
use crate::response::Response;
use crate::search::{Effort, Ending, Halfspace, Problem};
use crate::sparse::few;
use crate::weighing::{Frame, Weighed, weigh};
use quantity::Force;
use wheel::SpokeIndex;

/// All spokes together are within their limits at this probability.
const SURELY: f64 = 0.95;

/// What one nipple costs, in the unit of the sum of squares, whose 1 is the whole class: so little that it decides
/// only between plans that are as good as each other.
const TOUCH: f64 = 1e-5;

/// A spoke is left at least this share of the even tension; slack ones are not planned.
const LEAST_SHARE: f64 = 0.1;

/// Share of the even tension that turns leave open of where a tension ends.
const TURNS_LEAVE: f64 = 0.01;

/// Nodes of the last search: a second at the most.
const NODES: u64 = 8_000_000;

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
    /// Whether every choice of so many nipples was looked at.
    pub proven: bool,
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
    /// By how much the order of work goes over a limit where it must.
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
    let bench = Bench::new(response, estimate, request);
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
    let (steps, ending) = bench.best(&frame, &weighed, stop);
    plan.ending = ending;
    let turned = drawn.after(
        &bench.step_effects,
        &steps,
        estimate.turn_noise,
        request.seed,
    );
    let expected = turned.shown(objective, response);
    if expected.worst_share.value > 1.0 {
        plan.cannot = bench.cannot(&frame, &weighed, estimate, stop);
    }
    let gain = drawn.gain(&turned, objective);
    if steps == still || (over_now.is_empty() && !request.go_on && gain.value < gain.u) {
        plan.enough = Some(Enough::WithinTheNoise);
        return Ok(plan);
    }
    let Order { moves, over_n } = bench.order(&steps);
    plan.turns = bench.turns(&moves);
    plan.over_on_the_way = (over_n > OVER_TOLD_N).then(|| Force::n(over_n));
    plan.expected = expected;
    Ok(plan)
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
    let bench = Bench::new(response, estimate, request);
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
    let bench = Bench::new(response, estimate, request);
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
                proven: few.proven,
            }
        });
    Ok(curve.collect())
}

/// A wheel made ready to be planned for.
struct Bench<'a> {
    response: &'a Response,
    request: &'a Request,
    objective: Objective<'a>,
    step_effects: Vec<Standing>,
    /// Standard uncertainty of each tension, N.
    tension_u_n: Vec<f64>,
    turn_noise: f64,
    /// The most each spoke may bear, N, and whose limit it is.
    ceilings: Vec<Option<(f64, usize)>>,
}

impl<'a> Bench<'a> {
    fn new(response: &'a Response, estimate: &Estimate, request: &'a Request) -> Self {
        let now = likeliest(response, estimate);
        let step_effects: Vec<Standing> = (0..response.spokes())
            .map(|spoke| {
                let mm = PITCH_MM * request.step.turns(1) * estimate.gain_of(response, spoke);
                let scaled = |of: &[f64]| of.iter().map(|per_mm| per_mm * mm).collect();
                Standing {
                    lateral_mm: scaled(&response.lateral_mm[spoke][..response.stations]),
                    radial_mm: scaled(&response.radial_mm[spoke][..response.stations]),
                    tension_n: scaled(&response.tension_n[spoke]),
                }
            })
            .collect();
        let rows = rows(response, estimate);
        let tensions = rows.rows(2 * response.stations, response.spokes());
        let known = tensions * &estimate.covariance;
        let tension_u_n = known
            .row_iter()
            .zip(tensions.row_iter())
            .map(|(known, row)| known.dot(&row).max(0.0).sqrt())
            .collect();
        let goal = Goal {
            class: request.class,
            mean: request.mean,
            dish_known: !estimate.unknown.contains(&Unknown::Dish),
            level_known: !estimate.unknown.contains(&Unknown::Tension),
        };
        Self {
            objective: Objective::new(response, goal, now, step_effects.clone()),
            step_effects,
            tension_u_n,
            turn_noise: estimate.turn_noise,
            ceilings: request.ceilings(response),
            response,
            request,
        }
    }

    /// Whether the wheel is of its class.
    ///
    /// One that nobody has turned yet is left alone when runout as read, noise and all, and the rest as it most likely
    /// is are within the class. Once work has begun it goes on until that is so with its uncertainty to spare.
    fn is_of_its_class(&self, now: &Shown, estimate: &Estimate) -> bool {
        let class = &self.request.class;
        let read = [
            (
                estimate.read_fir_mm[0].unwrap_or(now.lateral_fir_mm.value),
                class.lateral_fir.to_mm(),
            ),
            (
                estimate.read_fir_mm[1].unwrap_or(now.radial_fir_mm.value),
                class.radial_fir.to_mm(),
            ),
        ];
        let as_read = read.iter().all(|(read, most)| read <= most);
        let surely = now.worst_share.value + now.worst_share.u <= 1.0;
        as_read && self.objective.rest_is_within(now) && (surely || !estimate.was_turned)
    }

    fn now_n(&self, spoke: usize) -> f64 {
        self.objective.now().tension_n[spoke]
    }

    fn after(&self, steps: &[i64]) -> Standing {
        let steps: Vec<f64> = steps.iter().map(|&step| step as f64).collect();
        crate::weighing::after(&self.objective, &steps)
    }

    /// What is kept below a limit so that it is kept surely.
    fn margin_n(&self, spoke: usize) -> f64 {
        self.sigmas() * self.tension_u_n[spoke].hypot(TURNS_LEAVE * self.response.even_n[spoke])
    }

    /// Standard uncertainties below its limit at which each spoke lies, when all are within theirs surely.
    fn sigmas(&self) -> f64 {
        let each = SURELY.powf(1.0 / self.response.spokes() as f64);
        quantity::distribution::normal_quantile(each)
    }

    /// Spokes over their limit as most likely.
    fn over_now(&self) -> Vec<usize> {
        let over = |spoke: &usize| {
            self.ceilings[*spoke].is_some_and(|(most, _)| most < self.now_n(*spoke))
        };
        (0..self.response.spokes()).filter(over).collect()
    }

    /// The most each spoke is planned to bear, N: surely within its limit, or no more than now where it is above that.
    fn most_n(&self, spoke: usize, strict: bool) -> Option<f64> {
        let (ceiling, _) = self.ceilings[spoke]?;
        let surely = ceiling - self.margin_n(spoke);
        Some(if strict {
            surely
        } else {
            surely.max(self.now_n(spoke))
        })
    }

    /// Bounds of every nipple and limits of every spoke. Strict ones want every spoke within its limit by the end.
    fn frame(&self, strict: bool) -> Frame {
        let spokes = self.response.spokes();
        let reach = self.request.step.within(self.request.most_turns);
        let mut frame = Frame {
            lower: vec![-reach; spokes],
            upper: vec![reach; spokes],
            limits: Vec::new(),
        };
        for spoke in 0..spokes {
            let nipple = self.request.nipple(spoke);
            if nipple.seized {
                (frame.lower[spoke], frame.upper[spoke]) = (0, 0);
            }
            if let Some(left) = nipple.thread_left {
                frame.upper[spoke] = frame.upper[spoke].min(self.request.step.within(left));
            }
        }
        if !self.response.is_tensioned() {
            return frame;
        }
        let slope = |spoke: usize, sign: f64| -> Vec<f64> {
            self.step_effects
                .iter()
                .map(|step| sign * step.tension_n[spoke])
                .collect()
        };
        for spoke in 0..spokes {
            let now_n = self.now_n(spoke);
            if let Some(most_n) = self.most_n(spoke, strict) {
                frame.limits.push(Halfspace {
                    slope: slope(spoke, 1.0),
                    bound: most_n - now_n,
                });
            }
        }
        for spoke in 0..spokes {
            let now_n = self.now_n(spoke);
            let least_n = now_n.min(LEAST_SHARE * self.response.even_n[spoke]);
            frame.limits.push(Halfspace {
                slope: slope(spoke, -1.0),
                bound: now_n - least_n,
            });
        }
        frame
    }

    /// The weights within strict limits, or where those cannot be met, within limits that no spoke is taken further over.
    fn weighed(
        &self,
        stop: &mut dyn FnMut() -> bool,
    ) -> Result<(Frame, Weighed), Vec<crate::search::Binding>> {
        let strict = self.frame(true);
        if let Ok(weighed) = weigh(&self.objective, &strict, stop) {
            return Ok((strict, weighed));
        }
        let eased = self.frame(false);
        let weighed = weigh(&self.objective, &eased, stop)?;
        Ok((eased, weighed))
    }

    /// The problem of the weights found, every nipple with what touching it costs.
    fn charged(&self, frame: &Frame, weighed: &Weighed) -> Problem {
        let cost = |spoke: usize| TOUCH * self.request.nipple(spoke).cost.unwrap_or(1.0);
        Problem {
            charge: (0..self.response.spokes()).map(cost).collect(),
            ..frame.problem(&self.objective, &weighed.weights)
        }
    }

    /// The best whole turns for the weights found, few nipples where asked.
    fn best(
        &self,
        frame: &Frame,
        weighed: &Weighed,
        stop: &mut dyn FnMut() -> bool,
    ) -> (Vec<i64>, Ending) {
        let problem = self.charged(frame, weighed);
        if let Some(most) = self.request.at_most {
            let curve = few(&problem, most, stop);
            let whole_proof = curve.iter().all(|few| few.proven);
            let best = curve
                .into_iter()
                .min_by(|one, other| one.value.total_cmp(&other.value));
            let Some(best) = best else {
                return (vec![0; problem.nipples()], Ending::OutOfTime { gap: 1.0 });
            };
            let mut effort = Effort {
                nodes: NODES,
                gap: 0.0,
                stop,
            };
            let bound = problem.solve(&mut effort).at_least;
            let gap = ((best.value - bound) / best.value).max(0.0);
            let ending = if whole_proof {
                Ending::Optimal
            } else {
                Ending::WithinGap { gap }
            };
            return (best.steps, ending);
        }
        let found = problem.solve(&mut Effort {
            nodes: NODES,
            gap: 0.0,
            stop,
        });
        (found.steps, found.ending)
    }

    fn order(&self, steps: &[i64]) -> Order {
        let now = &self.objective.now().tension_n;
        let effects: Vec<Vec<f64>> = self
            .step_effects
            .iter()
            .map(|step| step.tension_n.clone())
            .collect();
        let most_n: Vec<f64> = self
            .ceilings
            .iter()
            .map(|ceiling| ceiling.map_or(f64::INFINITY, |(most, _)| most))
            .collect();
        let known = Known {
            tension_n: now,
            u_n: &self.tension_u_n,
            most_n: &most_n,
            turn: self.turn_noise,
            surely: self.sigmas(),
        };
        order(steps, &known, &effects)
    }

    fn turns(&self, moves: &[crate::order::Move]) -> Vec<Turn> {
        let mut tension_n = self.objective.now().tension_n.clone();
        let turn = |of: &crate::order::Move| {
            let before = tension_n[of.nipple];
            crate::objective::add(
                &mut tension_n,
                &self.step_effects[of.nipple].tension_n,
                of.steps as f64,
            );
            Turn {
                spoke: SpokeIndex(of.nipple),
                steps: of.steps,
                turns: self.request.step.turns(of.steps),
                tension_before: Force::n(before),
                tension_after: Force::n(tension_n[of.nipple]),
            }
        };
        moves.iter().map(turn).collect()
    }
}
