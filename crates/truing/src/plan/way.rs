//! The turns in the order of work, and what each spoke bears on the way.

use super::bench::{AROUND_NODES, Aim, Bench, NODES, ROOM, WORTH};
use super::{Step, Turn};
use crate::estimator::Estimate;
use crate::objective::{Standing, add};
use crate::order::{Known, Lift, MOST_LIFTED_N, Move, Order, lifts_on_path, order};
use crate::outlook::{Outlook, Shown};
use crate::response::Beyond;
use crate::search::{Ending, Found};
use crate::weighing::{Frame, NoTurns, Weighed, weigh};
use metrology::evenness::Value;
use quantity::Force;
use wheel::SpokeIndex;

/// Times that the order of work is followed and put right.
const FOLLOWED: usize = 4;

/// Times that turns are planned anew around those for which there is no room.
const TRIES: usize = 6;

/// Standard uncertainties of a turn's gain within which what is told of the way lies: 95 %.
const SURELY_GAINED: f64 = 2.0;

/// Standard uncertainties that count with what a spoke is lifted by: 95 %.
const LIFTED_BY: f64 = 2.0;

/// Less than this of all that spokes are over their limits is not brought down, N: a gauge shows no less.
const BROUGHT_DOWN_N: f64 = 10.0;

/// A share of what may be better that is rounding.
const NO_GAP: f64 = 1e-9;

/// From the wheel as it stands to the wheel as it is expected.
pub(super) struct Way {
    /// Of every nipple: what there is room for.
    pub(super) steps: Vec<i64>,
    /// Spokes of which less is turned than would be best.
    pub(super) left_out: Vec<SpokeIndex>,
    /// By how much a spoke that is not surely within its limit is lifted where nothing else is possible, N.
    pub(super) over_n: f64,
    /// How much less eq. 7.1 leaves out at the end of it.
    pub(super) melts: Beyond,
    moves: Vec<Move>,
    /// Each tension at the start, and after each move, N.
    start_n: Vec<f64>,
    path_n: Vec<Vec<f64>>,
}

impl Way {
    /// The way to these steps, or to those of them for which there is room.
    pub(super) fn of(bench: &Bench<'_>, estimate: &Estimate, wanted: &[i64]) -> Self {
        let mut way = Self::towards(bench, estimate, wanted);
        let mut left_out = way.left_out.clone();
        // What melts, and with it every tension on the way, hangs on what is turned in the end.
        while !way.left_out.is_empty() {
            way = Self::towards(bench, estimate, &way.steps.clone());
            left_out.extend(&way.left_out);
        }
        way.left_out = left_out;
        way
    }

    fn towards(bench: &Bench<'_>, estimate: &Estimate, wanted: &[i64]) -> Self {
        let most_n: Vec<f64> = bench
            .ceilings
            .iter()
            .map(|ceiling| ceiling.map_or(f64::INFINITY, |(most, _)| most))
            .collect();
        let effect_n = |of: &Standing| of.tension_n.clone();
        let first_order_n: Vec<Vec<f64>> = bench.step_effects.iter().map(effect_n).collect();
        let known = Known {
            tension_n: &bench.tension_n,
            u_n: &bench.tension_u_n,
            most_n: &most_n,
            turn: bench.turn_noise,
            gain: estimate.gain_doubt(),
            surely: bench.sigmas(),
            first_order_n: &first_order_n,
            most_lifted_n: MOST_LIFTED_N / told(estimate, 1.0),
        };
        let melts = melts(bench, estimate, wanted);
        let mut effects_n = with_melting(bench, &melts, estimate.share(), wanted);
        let mut ordered = order(wanted, &known, &effects_n);
        let mut path_n = path(&known, &ordered.moves, &effects_n);
        let mut lift = ordered.lift;
        // The order that lifts least once the shape is followed along it.
        let mut least: Option<(Lift, Order, Vec<Vec<f64>>)> = None;
        for _ in 0..FOLLOWED {
            let Some(followed_n) = followed(bench, estimate, &ordered.moves) else {
                break;
            };
            let lifts = lifts_on_path(&known, &ordered.moves, &followed_n);
            lift = lifts.into_iter().fold(ordered.lift, Lift::or);
            let is_as_told = lift == ordered.lift;
            correct(&mut effects_n, &known, &ordered.moves, &followed_n);
            if least
                .as_ref()
                .is_none_or(|(least, ..)| lift.is_less_than(*least))
            {
                least = Some((lift, ordered.clone(), followed_n));
            }
            let again = order(wanted, &known, &effects_n);
            if is_as_told || again == ordered {
                break;
            }
            ordered = again;
        }
        if let Some(followed) = least {
            (lift, ordered, path_n) = followed;
        }
        if known.most_lifted_n < lift.most_n {
            // What is left undone is put in order anew.
            let lifts = lifts_on_path(&known, &ordered.moves, &path_n);
            ordered.cut(&known, &lifts);
            let kept = ordered.moves.len();
            path_n.truncate(kept);
            let lifts = lifts.into_iter().take(kept);
            lift = lifts.fold(Lift::default(), Lift::or);
        }
        let Order { moves, left, .. } = ordered;
        let undone = left.iter().enumerate().filter(|(_, left)| **left != 0);
        Self {
            steps: wanted
                .iter()
                .zip(&left)
                .map(|(all, left)| all - left)
                .collect(),
            left_out: undone.map(|(spoke, _)| SpokeIndex(spoke)).collect(),
            over_n: lift.most_n,
            melts,
            moves,
            start_n: bench.tension_n.clone(),
            path_n,
        }
    }

    /// Turn by turn.
    pub(super) fn turns(&self, step: Step) -> Vec<Turn> {
        let before_n = std::iter::once(&self.start_n).chain(&self.path_n);
        let moves = self.moves.iter().zip(before_n.zip(&self.path_n));
        let turn = |(of, (before_n, after_n)): (&Move, (&Vec<f64>, &Vec<f64>))| Turn {
            spoke: SpokeIndex(of.nipple),
            steps: of.steps,
            turns: step.turns(of.steps),
            tension_before: Force::n(before_n[of.nipple]),
            tension_after: Force::n(after_n[of.nipple]),
        };
        moves.map(turn).collect()
    }

    /// Every tension after each turn.
    pub(super) fn tensions(&self) -> Vec<Vec<Force>> {
        let forces = |after_n: &Vec<f64>| after_n.iter().copied().map(Force::n).collect();
        self.path_n.iter().map(forces).collect()
    }

    /// By how much a spoke stands at most above where it started, N, and the standard uncertainty that turns leave of it: of
    /// the spoke and turn at which both together are most.
    pub(super) fn most_lifted_n(&self, turn_noise: f64) -> Value {
        let mut variance = vec![0.0; self.start_n.len()];
        let mut most = Value { value: 0.0, u: 0.0 };
        let before_n = std::iter::once(&self.start_n).chain(&self.path_n);
        for (before_n, after_n) in before_n.zip(&self.path_n) {
            for spoke in 0..variance.len() {
                variance[spoke] += (turn_noise * (after_n[spoke] - before_n[spoke])).powi(2);
                let lifted = Value {
                    value: after_n[spoke] - self.start_n[spoke],
                    u: f64::sqrt(variance[spoke]),
                };
                let reaches = |of: Value| of.value + LIFTED_BY * of.u;
                if reaches(most) < reaches(lifted) {
                    most = lifted;
                }
            }
        }
        most
    }
}

/// The effect on all tensions of one step of each nipple, N: by eq. 7.1, what it leaves out melting away step by step.
fn with_melting(bench: &Bench<'_>, melts: &Beyond, shown: f64, wanted: &[i64]) -> Vec<Vec<f64>> {
    let all: i64 = wanted.iter().map(|steps| steps.abs()).sum();
    let effect = |(place, steps): (usize, &i64)| {
        let mut effect = bench.step_effects[place].tension_n.clone();
        let share = steps.signum() as f64 / all.max(1) as f64;
        add(&mut effect, &melts.tension_n, -shown * share);
        effect
    };
    wanted.iter().enumerate().map(effect).collect()
}

/// Every tension after each move, by the effect of a step of each nipple, N.
fn path(known: &Known<'_>, moves: &[Move], effects_n: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut now_n = known.tension_n.to_vec();
    let after = |of: &Move| {
        add(&mut now_n, &effects_n[of.nipple], of.steps as f64);
        now_n.clone()
    };
    moves.iter().map(after).collect()
}

/// Every tension after each move with the shape followed from the lengths as they most likely are, N; none where it is
/// not found.
fn followed(bench: &Bench<'_>, estimate: &Estimate, moves: &[Move]) -> Option<Vec<Vec<f64>>> {
    let mut shorter_mm = shortenings(bench, estimate, &[]);
    let start_n = bench.response.followed_n(&shorter_mm)?;
    let share = estimate.share();
    // Of the second order its share: the rest of what is followed goes by eq. 7.1.
    let mut now_n = bench.tension_n.clone();
    let after = |of: &Move| {
        shorter_mm[of.nipple] += of.steps as f64 * bench.step_mm(estimate, of.nipple);
        let effect_n = &bench.step_effects[of.nipple].tension_n;
        add(&mut now_n, effect_n, (1.0 - share) * of.steps as f64);
        let mut after_n = now_n.clone();
        add(
            &mut after_n,
            &bench.response.followed_n(&shorter_mm)?,
            share,
        );
        add(&mut after_n, &start_n, -share);
        Some(after_n)
    };
    moves.iter().map(after).collect()
}

/// Makes the effect of a step of each nipple that was moved what it was on this path.
fn correct(effects_n: &mut [Vec<f64>], known: &Known<'_>, moves: &[Move], path_n: &[Vec<f64>]) {
    let mut steps = vec![0.0; effects_n.len()];
    for of in moves {
        steps[of.nipple] += of.steps as f64;
        effects_n[of.nipple].fill(0.0);
    }
    let mut before_n = known.tension_n;
    for (of, after_n) in moves.iter().zip(path_n) {
        let share = 1.0 / steps[of.nipple];
        add(&mut effects_n[of.nipple], after_n, share);
        add(&mut effects_n[of.nipple], before_n, -share);
        before_n = after_n;
    }
}

/// Turns, and what they come to.
pub(super) struct Tried {
    pub(super) way: Way,
    pub(super) ending: Ending,
    /// Whether the sum counted what turns add that come out off (eq. 7.14).
    pub(super) counts_scatter: bool,
    pub(super) expected: Shown,
    /// By how much the largest share falls.
    pub(super) gain: Value,
}

/// What was sought within bounds and limits, and what came of it.
pub(super) struct Sought {
    pub(super) frame: Frame,
    pub(super) weighed: Weighed,
    pub(super) tried: Tried,
    /// Whether what came of it is not worth a turn.
    pub(super) is_idle: bool,
}

impl Bench<'_> {
    /// The best turns within limits, strict or eased; fewer and smaller ones where the best are not worth their scatter.
    pub(super) fn sought(
        &self,
        estimate: &Estimate,
        drawn: &Outlook,
        strict: bool,
        stop: &mut dyn FnMut() -> bool,
    ) -> Result<Sought, NoTurns> {
        let (frame, weighed) = self.weighed(strict, stop)?;
        let spared = self.spared(&frame, &weighed, stop).and_then(|frame| {
            let weighed = weigh(&self.objective, &frame, stop).ok()?;
            Some((frame, weighed))
        });
        let (mut spared, mut of_turns) = match spared {
            Some((frame, weighed)) => (Some(frame), weighed),
            None => (None, weighed.clone()),
        };
        // Spokes over their limits are brought down whatever else that brings.
        let over_n = self.over_n(&self.tension_n);
        let is_idle = |tried: &Tried| {
            let (gain, steps) = (tried.gain, &tried.way.steps);
            let then_n: Vec<f64> = tried
                .expected
                .tensions_n
                .iter()
                .map(|then| then.value)
                .collect();
            let comes_down = self.over_n(&then_n) + BROUGHT_DOWN_N < over_n;
            steps.iter().all(|steps| *steps == 0) || (!comes_down && gain.value < gain.u)
        };
        let aim = Aim::from(&of_turns);
        let mut tried = self.tried(estimate, drawn, &frame, spared.as_ref(), aim, stop)?;
        if spared.is_some() {
            // By what is expected, and not by (7.1) alone, all nipples may bring what they cost.
            let all = self.tried(estimate, drawn, &frame, None, (&weighed).into(), stop)?;
            if self.is_worth(&all, &tried) {
                (spared, of_turns, tried) = (None, weighed.clone(), all);
            }
        }
        let mut aim = Aim::from(&of_turns);
        // Fewer and smaller turns scatter less, which tells once a wheel is nearly as it is to be.
        if estimate.was_turned || is_idle(&tried) {
            aim.scatter = estimate.turn_noise;
            let less = self.tried(estimate, drawn, &frame, spared.as_ref(), aim, stop)?;
            let is_better = less.expected.worst_share.value < tried.expected.worst_share.value;
            if !is_idle(&less) && (is_idle(&tried) || is_better) {
                tried = less;
            }
        }
        Ok(Sought {
            is_idle: is_idle(&tried),
            frame,
            weighed,
            tried,
        })
    }

    /// Whether turns of all nipples bring what the dear ones among them cost, beside turns that spare some.
    fn is_worth(&self, all: &Tried, spared: &Tried) -> bool {
        let worst = |tried: &Tried| tried.expected.worst_share.value;
        let cost = |of: &Tried| {
            let turned = of.way.steps.iter().enumerate();
            let cost = turned.filter(|(_, steps)| **steps != 0);
            cost.map(|(spoke, _)| self.request.nipple(spoke).cost.unwrap_or(1.0) - 1.0)
                .sum::<f64>()
        };
        ROOM.max(worst(all) + WORTH * (cost(all) - cost(spared))) < worst(spared)
    }

    /// The best turns for which there is room, and what they come to.
    fn tried(
        &self,
        estimate: &Estimate,
        drawn: &Outlook,
        all: &Frame,
        spared: Option<&Frame>,
        aim: Aim<'_>,
        stop: &mut dyn FnMut() -> bool,
    ) -> Result<Tried, NoTurns> {
        let (way, ending) = self.passable(estimate, all, spared, aim, stop)?;
        let (steps, turn) = (&self.step_effects, self.turn_noise);
        let turned = drawn.after(steps, &way.steps, &way.melts, turn, self.request.seed);
        Ok(Tried {
            gain: drawn.gain(&turned, &self.objective),
            expected: turned.shown(&self.objective, self.response),
            way,
            ending,
            counts_scatter: 0.0 < aim.scatter,
        })
    }

    /// The best turns for which there is room on the way, and how their search ended.
    ///
    /// Where some nipples have none, the others are planned anew around what there was room for. What is left out, and the
    /// dear nipples left alone in `spared`, are not searched: by how much the turns may miss the best of `all` is told.
    fn passable(
        &self,
        estimate: &Estimate,
        all: &Frame,
        spared: Option<&Frame>,
        aim: Aim<'_>,
        stop: &mut dyn FnMut() -> bool,
    ) -> Result<(Way, Ending), NoTurns> {
        let of_all = self.best(all, aim, NODES, stop);
        let sparing = spared.and_then(|spared| self.best(spared, aim, NODES, stop).steps);
        let Some(wanted) = sparing.or_else(|| of_all.steps.clone()) else {
            return Err(match of_all.ending {
                Ending::Infeasible { binding } => NoTurns::Excluded(binding),
                _ => NoTurns::NotFound,
            });
        };
        let mut frame = spared.unwrap_or(all).clone();
        let mut steps = wanted.clone();
        let mut held: Vec<SpokeIndex> = Vec::new();
        let mut best: Option<(f64, Way)> = None;
        for _ in 0..TRIES {
            let mut way = Way::of(self, estimate, &steps);
            let is_through = way.left_out.is_empty();
            for &SpokeIndex(spoke) in &way.left_out {
                if 0 < steps[spoke] {
                    frame.upper[spoke] = way.steps[spoke];
                } else {
                    frame.lower[spoke] = way.steps[spoke];
                }
            }
            held.extend(&way.left_out);
            way.left_out.clone_from(&held);
            let worst = self.objective.worst_share(&self.after(&way.steps));
            if best.as_ref().is_none_or(|(least, _)| worst < *least) {
                best = Some((worst, way));
            }
            if is_through {
                break;
            }
            let Some(anew) = self.best(&frame, aim, AROUND_NODES, stop).steps else {
                break;
            };
            steps = anew;
        }
        let mut way = best.map_or_else(|| Way::of(self, estimate, &steps), |(_, way)| way);
        let is_less_far = |spoke: &SpokeIndex| {
            let (wanted, turned) = (wanted[spoke.0], way.steps[spoke.0]);
            turned * wanted.signum() < wanted.abs()
        };
        way.left_out.retain(is_less_far);
        way.left_out.sort_unstable_by_key(|spoke| spoke.0);
        way.left_out.dedup();
        let ending = self.ending(&of_all, all, aim, &way.steps);
        Ok((way, ending))
    }

    /// How a search for the best of all ended, told of these steps.
    fn ending(&self, of_all: &Found, all: &Frame, aim: Aim<'_>, steps: &[i64]) -> Ending {
        if of_all.steps.as_deref() == Some(steps) {
            return of_all.ending.clone();
        }
        let problem = self.charged(all, aim);
        let value = problem.value(steps);
        // What the way has no room for may leave a spoke where it started, not surely within its limit: such turns are told of
        // beside all that take none further over.
        let at_least = match problem.keeps(steps) {
            true => of_all.at_least,
            false => {
                let eased = self.charged(&self.frame(false), aim).relaxed();
                eased.map_or(0.0, |(_, floor)| floor)
            }
        };
        let gap = ((value - at_least) / value).max(0.0);
        match of_all.ending {
            Ending::OutOfTime { .. } => Ending::OutOfTime { gap },
            _ if NO_GAP < gap => Ending::WithinGap { gap },
            _ => Ending::Optimal,
        }
    }
}

/// The same with what the gain of a turn may be more than it is most likely, at 95 %.
pub(super) fn told(estimate: &Estimate, over_n: f64) -> f64 {
    over_n * (1.0 + SURELY_GAINED * estimate.gain_doubt())
}

/// How much shorter every spoke is than in the even wheel, most likely, after so many steps, mm.
fn shortenings(bench: &Bench<'_>, estimate: &Estimate, steps: &[i64]) -> Vec<f64> {
    let mut shorter_mm: Vec<f64> = estimate.mean.iter().copied().collect();
    shorter_mm.truncate(bench.response.spokes());
    for (spoke, &steps) in steps.iter().enumerate() {
        shorter_mm[spoke] += steps as f64 * bench.step_mm(estimate, spoke);
    }
    shorter_mm
}

/// How much less eq. 7.1 leaves out after so many steps.
fn melts(bench: &Bench<'_>, estimate: &Estimate, steps: &[i64]) -> Beyond {
    let then = bench.response.beyond(&shortenings(bench, estimate, steps));
    estimate.beyond.clone().less(bench.response, &then)
}
