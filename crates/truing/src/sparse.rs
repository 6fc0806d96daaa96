//! The best turns of few nipples: how good one, two, three … of them can make it.

use crate::lattice::Basis;
use crate::search::{Effort, Ending, Halfspace, Problem};

/// Up to this many nipples every choice of them is looked at.
const ALL_CHOICES: usize = 2;

/// Beyond, so many of the best choices are each extended by every other nipple.
const CARRIED_ON: usize = 24;

/// Nodes for the turns of one choice.
const NODES: u64 = 20_000;

/// The best found with at most so many nipples.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Few {
    pub(crate) steps: Vec<i64>,
    pub(crate) value: f64,
    /// Whether every choice was looked at.
    pub(crate) proven: bool,
}

/// For 0, 1, 2 … up to `most` nipples the best turns found; fewer where more bring nothing.
pub(crate) fn few(problem: &Problem, most: usize, stop: &mut dyn FnMut() -> bool) -> Vec<Few> {
    let problem = condensed(problem);
    let nipples = problem.nipples();
    let still = vec![0; nipples];
    let mut curve = vec![Few {
        value: problem.value(&still),
        steps: still,
        proven: true,
    }];
    let mut carried: Vec<(f64, Vec<usize>)> = vec![(curve[0].value, Vec::new())];
    for count in 1..=most.min(nipples) {
        let mut tried: Vec<(f64, Vec<usize>)> = Vec::new();
        let mut best = curve[count - 1].clone();
        best.proven = count <= ALL_CHOICES;
        for (_, choice) in &carried {
            for nipple in 0..nipples {
                let mut choice = choice.clone();
                let Err(place) = choice.binary_search(&nipple) else {
                    continue;
                };
                choice.insert(place, nipple);
                if stop() {
                    return curve;
                }
                if tried.iter().any(|(_, other)| *other == choice) {
                    continue;
                }
                let Some((steps, value)) = of_choice(&problem, &choice, stop) else {
                    continue;
                };
                if value < best.value {
                    best = Few {
                        steps,
                        value,
                        ..best
                    };
                }
                tried.push((value, choice));
            }
        }
        tried.sort_by(|one, other| one.0.total_cmp(&other.0));
        if count >= ALL_CHOICES {
            tried.truncate(CARRIED_ON);
        }
        carried = tried;
        curve.push(best);
    }
    curve
}

/// The same sums of squares with as many rows as nipples, and one for what none of them changes.
fn condensed(problem: &Problem) -> Problem {
    let rows = problem.target.len();
    let basis = Basis::of(problem.columns.clone(), rows, problem.target.clone());
    let size = basis.size;
    let columns = basis
        .triangle
        .chunks_exact(size)
        .flat_map(|column| column.iter().copied().chain([0.0]));
    Problem {
        columns: columns.collect(),
        target: basis
            .target
            .iter()
            .copied()
            .chain([basis.beyond.sqrt()])
            .collect(),
        ..problem.clone()
    }
}

fn of_choice(
    problem: &Problem,
    choice: &[usize],
    stop: &mut dyn FnMut() -> bool,
) -> Option<(Vec<i64>, f64)> {
    let rows = problem.target.len();
    let pick = |of: &[i64]| choice.iter().map(|&nipple| of[nipple]).collect();
    let part = Problem {
        columns: choice
            .iter()
            .flat_map(|&nipple| &problem.columns[nipple * rows..(nipple + 1) * rows])
            .copied()
            .collect(),
        target: problem.target.clone(),
        lower: pick(&problem.lower),
        upper: pick(&problem.upper),
        limits: problem
            .limits
            .iter()
            .map(|limit| Halfspace {
                slope: choice.iter().map(|&nipple| limit.slope[nipple]).collect(),
                bound: limit.bound,
            })
            .collect(),
        charge: choice
            .iter()
            .map(|&nipple| problem.charge[nipple])
            .collect(),
    };
    let found = part.solve(&mut Effort {
        nodes: NODES,
        gap: 0.0,
        stop,
    });
    if matches!(found.ending, Ending::Infeasible { .. }) || !found.value.is_finite() {
        return None;
    }
    let mut steps = vec![0; problem.nipples()];
    for (&nipple, &turned) in choice.iter().zip(&found.steps) {
        steps[nipple] = turned;
    }
    Some((steps, found.value))
}
