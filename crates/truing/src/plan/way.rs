//! The turns in the order of work, and what each spoke bears on the way.

use super::bench::Bench;
use super::{Step, Turn};
use crate::estimator::{Estimate, PITCH_MM};
use crate::objective::add;
use crate::order::{Known, Move, Order, order};
use crate::response::Beyond;
use crate::search::Ending;
use crate::weighing::{Frame, Weighed};
use quantity::Force;
use wheel::SpokeIndex;

/// Times that turns are planned anew around those for which there is no room.
const TRIES: usize = 6;

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
    /// Each tension at the start, and the effect on all of them of one step of each nipple, N.
    tension_n: Vec<f64>,
    effects_n: Vec<Vec<f64>>,
}

impl Way {
    pub(super) fn of(bench: &Bench<'_>, estimate: &Estimate, wanted: &[i64]) -> Self {
        let melts = melts(bench, estimate, wanted);
        let all: i64 = wanted.iter().map(|steps| steps.abs()).sum();
        let effect = |(place, steps): (usize, &i64)| {
            let mut effect = bench.step_effects[place].tension_n.clone();
            // What eq. 7.1 leaves out melts away step by step.
            let share = steps.signum() as f64 / all.max(1) as f64;
            add(&mut effect, &melts.tension_n, -share);
            effect
        };
        let effects_n: Vec<Vec<f64>> = wanted.iter().enumerate().map(effect).collect();
        let most_n: Vec<f64> = bench
            .ceilings
            .iter()
            .map(|ceiling| ceiling.map_or(f64::INFINITY, |(most, _)| most))
            .collect();
        let known = Known {
            tension_n: &bench.tension_n,
            u_n: &bench.tension_u_n,
            most_n: &most_n,
            turn: bench.turn_noise,
            surely: bench.sigmas(),
        };
        let Order {
            moves,
            left,
            over_n,
        } = order(wanted, &known, &effects_n);
        let undone = left.iter().enumerate().filter(|(_, left)| **left != 0);
        Self {
            steps: wanted
                .iter()
                .zip(&left)
                .map(|(all, left)| all - left)
                .collect(),
            left_out: undone.map(|(spoke, _)| SpokeIndex(spoke)).collect(),
            over_n,
            melts,
            moves,
            tension_n: bench.tension_n.clone(),
            effects_n,
        }
    }

    /// Turn by turn.
    pub(super) fn turns(&self, step: Step) -> Vec<Turn> {
        let mut tension_n = self.tension_n.clone();
        let turn = |of: &Move| {
            let before = tension_n[of.nipple];
            add(&mut tension_n, &self.effects_n[of.nipple], of.steps as f64);
            Turn {
                spoke: SpokeIndex(of.nipple),
                steps: of.steps,
                turns: step.turns(of.steps),
                tension_before: Force::n(before),
                tension_after: Force::n(tension_n[of.nipple]),
            }
        };
        self.moves.iter().map(turn).collect()
    }
}

impl Bench<'_> {
    /// The best turns for which there is room on the way, and how their search ended.
    ///
    /// Where some nipples have none, the others are planned anew around what there was room for.
    pub(super) fn passable(
        &self,
        estimate: &Estimate,
        mut frame: Frame,
        weighed: &Weighed,
        stop: &mut dyn FnMut() -> bool,
    ) -> (Way, Ending) {
        let mut left_out: Vec<SpokeIndex> = Vec::new();
        let mut best: Option<(f64, Way, Ending)> = None;
        for _ in 0..TRIES {
            let (wanted, ending) = self.best(&frame, weighed, stop);
            if best.is_some() && matches!(ending, Ending::Infeasible { .. }) {
                break;
            }
            let way = Way::of(self, estimate, &wanted);
            for &SpokeIndex(spoke) in &way.left_out {
                if 0 < wanted[spoke] {
                    frame.upper[spoke] = way.steps[spoke];
                } else {
                    frame.lower[spoke] = way.steps[spoke];
                }
            }
            let is_through = way.left_out.is_empty();
            left_out.extend(&way.left_out);
            let worst = self.objective.shares(&self.after(&way.steps)).worst();
            if best.as_ref().is_none_or(|(least, ..)| worst < *least) {
                best = Some((worst, way, ending));
            }
            if is_through {
                break;
            }
        }
        left_out.sort_unstable_by_key(|spoke| spoke.0);
        left_out.dedup();
        let still = vec![0; self.response.spokes()];
        let (_, mut way, ending) = best.unwrap_or_else(|| {
            let way = Way::of(self, estimate, &still);
            (0.0, way, Ending::OutOfTime { gap: 1.0 })
        });
        way.left_out = left_out;
        (way, ending)
    }
}

/// How much less eq. 7.1 leaves out after so many steps.
fn melts(bench: &Bench<'_>, estimate: &Estimate, steps: &[i64]) -> Beyond {
    let response = bench.response;
    let shorter_mm: Vec<f64> = steps
        .iter()
        .enumerate()
        .map(|(spoke, &steps)| {
            let turned_mm = PITCH_MM * bench.request.step.turns(steps);
            estimate.mean[spoke] + turned_mm * estimate.gain_of(response, spoke)
        })
        .collect();
    match response.beyond(&shorter_mm) {
        Some(then) => estimate.beyond.clone().less(&then),
        None => Beyond::none(response, &shorter_mm),
    }
}
