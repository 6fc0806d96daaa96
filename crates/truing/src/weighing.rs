//! Weights that make a sum of squares mind the largest share: the class is most less least, the search is squares.
//!
//! Where a criterion or a place takes up most, its weight grows (Lawson's rule), until the class is met with room or the
//! proven least sum shows that no turns can meet it (theory §7.5).

use crate::objective::{Objective, Standing, Weights};
use crate::search::{Binding, Effort, Ending, Problem};

/// Rounds in which turns need not be whole: the weights have nearly settled by then.
const RELAXED_ROUNDS: usize = 12;

/// Rounds in whole turns.
const WHOLE_ROUNDS: usize = 6;

/// Nodes for one round in whole turns: some hundredths of a second.
const NODES: u64 = 400_000;

/// What one nipple costs, in the unit of the sum of squares, whose 1 is the whole class: so little that it decides
/// only between plans that are as good as each other.
const TOUCH: f64 = 1e-5;

/// It is no more than this share of what whole turns cost: beyond, it would rule the search.
const OF_ROUNDING: f64 = 0.02;

/// The largest share counts as settled when the proven bound comes this near to it.
const SETTLED: f64 = 0.97;

/// The weights found, and what is proven.
#[derive(Debug, Clone)]
pub(crate) struct Weighed {
    pub(crate) weights: Weights,
    /// The best whole turns by the largest share, and that share.
    pub(crate) steps: Vec<i64>,
    pub(crate) worst: f64,
    /// No turns within bounds and limits, whole or not, bring the largest share below this.
    pub(crate) at_least: f64,
}

/// Why there are no turns.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum NoTurns {
    /// Bounds and limits exclude each other: these.
    Excluded(Vec<Binding>),
    /// None were found with the effort allowed; there may be some.
    NotFound,
}

impl NoTurns {
    /// The same as the ending of a search.
    pub(crate) fn ending(self) -> Ending {
        match self {
            Self::Excluded(binding) => Ending::Infeasible { binding },
            Self::NotFound => Ending::OutOfTime { gap: 1.0 },
        }
    }
}

/// Bounds and limits of the turns.
#[derive(Debug, Clone)]
pub(crate) struct Frame {
    pub(crate) lower: Vec<i64>,
    pub(crate) upper: Vec<i64>,
    pub(crate) limits: Vec<crate::search::Halfspace>,
}

impl Frame {
    pub(crate) fn problem(&self, objective: &Objective<'_>, weights: &Weights) -> Problem {
        Problem {
            lower: self.lower.clone(),
            upper: self.upper.clone(),
            limits: self.limits.clone(),
            ..objective.problem(weights)
        }
    }
}

/// The same with a small charge for every nipple.
pub(crate) fn charged(problem: Problem) -> Problem {
    let charge = TOUCH.min(OF_ROUNDING * problem.rounding());
    Problem {
        charge: vec![charge; problem.nipples()],
        ..problem
    }
}

/// Weights for the smallest largest share.
///
/// # Errors
/// Bounds and limits that exclude each other, or that no turns were found to keep.
pub(crate) fn weigh(
    objective: &Objective<'_>,
    frame: &Frame,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Weighed, NoTurns> {
    let mut weights = objective.even_weights();
    let mut at_least: f64 = 0.0;
    for _ in 0..RELAXED_ROUNDS {
        let relaxed = frame.problem(objective, &weights).relaxed();
        let (turns, value) = relaxed.map_err(NoTurns::Excluded)?;
        at_least = at_least.max(value.max(0.0).sqrt());
        let standing = after(objective, &turns);
        if objective.shares(&standing).worst() * SETTLED <= at_least {
            break;
        }
        weights = objective.reweighed(&weights, &standing);
    }
    let mut best: Option<Weighed> = None;
    for _ in 0..WHOLE_ROUNDS {
        let mut effort = Effort {
            nodes: NODES,
            gap: 0.0,
            stop: &mut *stop,
        };
        let known: Vec<&[i64]> = best.iter().map(|best| &best.steps[..]).collect();
        // With its charges: what they decide may take up more of the class than another plan as good by the sum.
        let problem = charged(frame.problem(objective, &weights));
        let found = problem.solve_from(&known, &mut effort);
        if let Ending::Infeasible { binding } = found.ending {
            return Err(NoTurns::Excluded(binding));
        }
        let Some(steps) = found.steps else {
            break;
        };
        let standing = after_whole(objective, &steps);
        let worst = objective.shares(&standing).worst();
        if best.as_ref().is_none_or(|best| worst < best.worst) {
            best = Some(Weighed {
                weights: weights.clone(),
                steps,
                worst,
                at_least,
            });
        }
        if stop() {
            break;
        }
        weights = objective.reweighed(&weights, &standing);
    }
    best.ok_or(NoTurns::NotFound)
}

pub(crate) fn after(objective: &Objective<'_>, steps: &[f64]) -> Standing {
    objective.now().after(objective.steps(), steps)
}

fn after_whole(objective: &Objective<'_>, steps: &[i64]) -> Standing {
    let steps: Vec<f64> = steps.iter().map(|&step| step as f64).collect();
    after(objective, &steps)
}
