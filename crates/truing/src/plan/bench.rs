//! A wheel made ready to be planned for: its bounds and limits, its problem, its best turns.

use super::Request;
use crate::estimator::{Estimate, PITCH_MM, Unknown, variances};
use crate::objective::{Goal, Objective, Standing};
use crate::outlook::{Shown, likeliest, rows};
use crate::response::Response;
use crate::search::{Effort, Ending, Found, Halfspace, Problem};
use crate::sparse::few;
use crate::weighing::{Frame, NoTurns, Weighed, charged, weigh};
use wheel::SpokeIndex;

/// All spokes together are within their limits at this probability.
const SURELY: f64 = 0.95;

/// Share of the class that turning a nipple must bring for every nipple that it costs beyond one.
pub(super) const WORTH: f64 = 0.01;

/// Within this share of the class nothing is gained that is worth a dear nipple.
pub(super) const ROOM: f64 = 0.8;

/// A spoke is left at least this share of the even tension; slack ones are not planned.
const LEAST_SHARE: f64 = 0.1;

/// Share of the even tension that turns leave open of where a tension ends.
const TURNS_LEAVE: f64 = 0.01;

/// Nodes of the search without one dear nipple: some hundredths of a second.
const SPARING_NODES: u64 = 200_000;

/// Nodes of the last search: a second or two, where limits are in the way on all sides.
pub(super) const NODES: u64 = 2_000_000;

/// Nodes of a search around what the way has no room for: of several, each a few tenths of a second.
pub(super) const AROUND_NODES: u64 = 400_000;

/// A wheel made ready to be planned for.
pub(super) struct Bench<'a> {
    pub(super) response: &'a Response,
    pub(super) request: &'a Request,
    pub(super) objective: Objective<'a>,
    pub(super) step_effects: Vec<Standing>,
    /// Each tension as it most likely is, N.
    pub(super) tension_n: Vec<f64>,
    /// Standard uncertainty of each tension, N.
    pub(super) tension_u_n: Vec<f64>,
    pub(super) turn_noise: f64,
    /// The most each spoke may bear, N, and whose limit it is; none where no tension was read to be held against it.
    pub(super) ceilings: Vec<Option<(f64, usize)>>,
}

/// The sum that whole turns are to make small.
#[derive(Clone, Copy)]
pub(super) struct Aim<'w> {
    pub(super) weighed: &'w Weighed,
    /// The share by which a turn comes out off, where what that adds is counted (eq. 7.14); else zero.
    pub(super) scatter: f64,
}

impl<'w> From<&'w Weighed> for Aim<'w> {
    /// What turns add that come out off is not counted.
    fn from(weighed: &'w Weighed) -> Self {
        Self {
            weighed,
            scatter: 0.0,
        }
    }
}

/// What a limit of the search holds for.
pub(super) enum Bounded {
    /// No more than this spoke may bear.
    Above(SpokeIndex),
    /// No slack in this spoke.
    Below(SpokeIndex),
}

impl<'a> Bench<'a> {
    pub(super) fn new(
        response: &'a Response,
        estimate: &Estimate,
        request: &'a Request,
        few: bool,
    ) -> Self {
        let likeliest = likeliest(response, estimate);
        let tension_n = likeliest.tension_n.clone();
        // What eq. 7.1 leaves out is gone once the wheel is even; few nipples leave it as it is.
        let goes = if few { 0.0 } else { estimate.share() };
        let now = likeliest.with(&estimate.beyond, -goes);
        let step_effects: Vec<Standing> = (0..response.spokes())
            .map(|spoke| {
                let mm = step_mm(response, estimate, request, spoke);
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
        let variances = variances(&tensions.into_owned(), &estimate.covariance);
        let tension_u_n = variances
            .iter()
            .map(|square| square.max(0.0).sqrt())
            .collect();
        let goal = Goal {
            class: request.class,
            mean: request.mean,
            dish_known: !estimate.unknown.contains(&Unknown::Dish),
            level_known: !estimate.unknown.contains(&Unknown::Tension),
            rim_known: [Unknown::Lateral, Unknown::Radial]
                .map(|unknown| !estimate.unknown.contains(&unknown)),
        };
        Self {
            objective: Objective::new(response, goal, now, step_effects.clone()),
            step_effects,
            tension_n,
            tension_u_n,
            turn_noise: estimate.turn_noise,
            ceilings: if goal.level_known {
                request.ceilings(response)
            } else {
                vec![None; response.spokes()]
            },
            response,
            request,
        }
    }

    /// By how much one step of a nipple shortens its spoke, mm.
    pub(super) fn step_mm(&self, estimate: &Estimate, spoke: usize) -> f64 {
        step_mm(self.response, estimate, self.request, spoke)
    }

    /// Whether the wheel is of its class.
    ///
    /// One that nobody has turned yet is left alone when runout as read, noise and all, and the rest as it most likely
    /// is are within the class. Once work has begun it goes on until that is so with its uncertainty to spare.
    pub(super) fn is_of_its_class(&self, now: &Shown, estimate: &Estimate) -> bool {
        let class = &self.request.class;
        let read = [
            (Unknown::Lateral, now.lateral_fir_mm, class.lateral_fir),
            (Unknown::Radial, now.radial_fir_mm, class.radial_fir),
        ];
        let as_read = read
            .iter()
            .zip(estimate.read_fir_mm)
            .all(|((unknown, now, most), read)| {
                estimate.unknown.contains(unknown) || read.unwrap_or(now.value) <= most.to_mm()
            });
        let surely = now.worst_share.value + now.worst_share.u <= 1.0;
        as_read && self.objective.rest_is_within(now) && (surely || !estimate.was_turned)
    }

    /// A tension before any turn, as the search counts from it.
    pub(super) fn counted_n(&self, spoke: usize) -> f64 {
        self.objective.now().tension_n[spoke]
    }

    pub(super) fn after(&self, steps: &[i64]) -> Standing {
        let steps: Vec<f64> = steps.iter().map(|&step| step as f64).collect();
        crate::weighing::after(&self.objective, &steps)
    }

    /// What is kept below a limit so that it is kept surely.
    pub(super) fn margin_n(&self, spoke: usize) -> f64 {
        self.sigmas() * self.tension_u_n[spoke].hypot(TURNS_LEAVE * self.response.even_n[spoke])
    }

    /// Standard uncertainties below its limit at which each spoke lies, when all are within theirs surely.
    pub(super) fn sigmas(&self) -> f64 {
        let each = SURELY.powf(1.0 / self.response.spokes() as f64);
        quantity::distribution::normal_quantile(each)
    }

    /// Spokes over their limit as most likely.
    pub(super) fn over_now(&self) -> Vec<usize> {
        let over = |spoke: &usize| {
            self.ceilings[*spoke].is_some_and(|(most, _)| most < self.tension_n[*spoke])
        };
        (0..self.response.spokes()).filter(over).collect()
    }

    /// By how much these tensions are over their limits, all together, N.
    pub(super) fn over_n(&self, tension_n: &[f64]) -> f64 {
        let over = self.ceilings.iter().zip(tension_n);
        over.map(|(ceiling, now)| ceiling.map_or(0.0, |(most, _)| (now - most).max(0.0)))
            .sum()
    }

    /// The most each spoke is planned to bear, N: surely within its limit, or no more than now where it is above that, so
    /// that no turns at all are always among those allowed.
    pub(super) fn most_n(&self, spoke: usize, strict: bool) -> Option<f64> {
        let (ceiling, _) = self.ceilings[spoke]?;
        let surely = ceiling - self.margin_n(spoke);
        Some(if strict {
            surely
        } else {
            surely.max(self.tension_n[spoke]).max(self.counted_n(spoke))
        })
    }

    /// Bounds of every nipple and limits of every spoke. Strict ones want every spoke within its limit by the end.
    pub(super) fn frame(&self, strict: bool) -> Frame {
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
            if let Some(most_n) = self.most_n(spoke, strict) {
                frame.limits.push(Halfspace {
                    slope: slope(spoke, 1.0),
                    bound: most_n - self.counted_n(spoke),
                });
            }
        }
        for spoke in 0..spokes {
            let now_n = self.counted_n(spoke);
            let least_n = now_n.min(LEAST_SHARE * self.response.even_n[spoke]);
            frame.limits.push(Halfspace {
                slope: slope(spoke, -1.0),
                bound: now_n - least_n,
            });
        }
        frame
    }

    /// What the limit in this place of a frame holds for.
    pub(super) fn bounded(&self, place: usize) -> Bounded {
        let mut above = (0..self.response.spokes()).filter(|spoke| self.ceilings[*spoke].is_some());
        match above.nth(place) {
            Some(spoke) => Bounded::Above(SpokeIndex(spoke)),
            None => {
                let above = self.ceilings.iter().flatten().count();
                Bounded::Below(SpokeIndex(place - above))
            }
        }
    }

    /// The weights within strict limits, or within limits that no spoke is taken further over.
    pub(super) fn weighed(
        &self,
        strict: bool,
        stop: &mut dyn FnMut() -> bool,
    ) -> Result<(Frame, Weighed), NoTurns> {
        let frame = self.frame(strict);
        let weighed = weigh(&self.objective, &frame, stop)?;
        Ok((frame, weighed))
    }

    /// The problem of the weights found, every nipple with a small charge.
    pub(super) fn charged(&self, frame: &Frame, aim: Aim<'_>) -> Problem {
        let mut problem = frame.problem(&self.objective, &aim.weighed.weights);
        if 0.0 < aim.scatter {
            problem = problem.scattered(aim.scatter);
        }
        charged(problem)
    }

    /// The same frame without the dear nipples that do not bring what they cost, dearest first; none where all do.
    pub(super) fn spared(
        &self,
        frame: &Frame,
        weighed: &Weighed,
        stop: &mut dyn FnMut() -> bool,
    ) -> Option<Frame> {
        let mut worst = self.objective.worst_share(&self.after(&weighed.steps));
        let mut frame = frame.clone();
        let cost = |spoke: usize| self.request.nipple(spoke).cost.unwrap_or(1.0);
        let mut dear: Vec<usize> = (0..self.response.spokes())
            .filter(|&spoke| 1.0 < cost(spoke) && frame.lower[spoke] < frame.upper[spoke])
            .collect();
        dear.sort_by(|one, other| cost(*other).total_cmp(&cost(*one)));
        let mut any = false;
        for spoke in dear {
            let bounds = (frame.lower[spoke], frame.upper[spoke]);
            (frame.lower[spoke], frame.upper[spoke]) = (0, 0);
            let found = self.charged(&frame, weighed.into()).solve(&mut Effort {
                nodes: SPARING_NODES,
                gap: 0.0,
                stop: &mut *stop,
            });
            let without = found
                .steps
                .map(|steps| self.objective.worst_share(&self.after(&steps)));
            match without {
                Some(without) if without <= ROOM.max(worst + WORTH * (cost(spoke) - 1.0)) => {
                    (worst, any) = (worst.max(without), true);
                }
                _ => (frame.lower[spoke], frame.upper[spoke]) = bounds,
            }
        }
        any.then_some(frame)
    }

    /// The best whole turns for the weights found, few nipples where asked.
    pub(super) fn best(
        &self,
        frame: &Frame,
        aim: Aim<'_>,
        nodes: u64,
        stop: &mut dyn FnMut() -> bool,
    ) -> Found {
        let problem = self.charged(frame, aim);
        let Some(most) = self.request.at_most else {
            let effort = &mut Effort {
                nodes,
                gap: 0.0,
                stop,
            };
            return problem.solve_from(&[&aim.weighed.steps], effort);
        };
        // The last of the curve is its best.
        let curve = few(&problem, most, stop);
        let is_cut_short = curve.len() <= most.min(problem.nipples());
        let floor = problem.relaxed().map_or(0.0, |(_, value)| value);
        let (steps, value, gap) = match curve.last() {
            Some(best) => {
                let gap = match is_cut_short {
                    true => best.gap_above(floor),
                    false => best.gap,
                };
                (best.found().map(<[i64]>::to_vec), best.value, gap)
            }
            None => (None, f64::INFINITY, 1.0),
        };
        Found {
            ending: match (is_cut_short || stop(), gap <= 0.0) {
                (true, _) => Ending::OutOfTime { gap },
                (false, true) => Ending::Optimal,
                (false, false) => Ending::WithinGap { gap },
            },
            value,
            at_least: match steps {
                Some(_) => value * (1.0 - gap),
                None => floor,
            },
            steps,
            nodes: 0,
        }
    }
}

fn step_mm(response: &Response, estimate: &Estimate, request: &Request, spoke: usize) -> f64 {
    PITCH_MM * request.step.turns(1) * estimate.gain_of(response, spoke)
}
