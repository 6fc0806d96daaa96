//! The search against looking at every possibility.

use quantity::draws::Draws;
use truing::search::{Effort, Ending, Halfspace, Problem};

/// All whole turns within the bounds, the best one that keeps the limits.
fn exhaustive(problem: &Problem) -> Option<(Vec<i64>, f64)> {
    let mut steps = problem.lower.clone();
    let mut best: Option<(Vec<i64>, f64)> = None;
    loop {
        if problem.keeps(&steps) {
            let value = problem.value(&steps);
            if best.as_ref().is_none_or(|(_, least)| value < *least) {
                best = Some((steps.clone(), value));
            }
        }
        let mut place = 0;
        loop {
            if place == steps.len() {
                return best;
            }
            if steps[place] < problem.upper[place] {
                steps[place] += 1;
                break;
            }
            steps[place] = problem.lower[place];
            place += 1;
        }
    }
}

fn drawn(seed: u64) -> Problem {
    let mut draws = Draws::new(seed);
    let nipples = 2 + (seed % 5) as usize;
    let rows = nipples + 3;
    let columns = (0..nipples * rows).map(|_| draws.normal()).collect();
    let target = (0..rows).map(|_| 4.0 * draws.normal()).collect();
    let reach = |draws: &mut Draws| (draws.unit() * 3.5) as i64;
    let lower = (0..nipples).map(|_| -reach(&mut draws)).collect();
    let upper = (0..nipples).map(|_| reach(&mut draws)).collect();
    let limits = (0..seed % 4)
        .map(|_| Halfspace {
            slope: (0..nipples).map(|_| draws.normal()).collect(),
            bound: draws.normal(),
        })
        .collect();
    let charge = match seed % 3 {
        0 => vec![0.0; nipples],
        _ => (0..nipples).map(|_| draws.unit()).collect(),
    };
    Problem {
        columns,
        target,
        lower,
        upper,
        limits,
        charge,
    }
}

#[test]
fn search_finds_what_looking_at_every_possibility_finds() {
    let (mut feasible, mut infeasible) = (0, 0);
    for seed in 0..600 {
        let problem = drawn(seed);
        let found = problem.solve(&mut Effort {
            nodes: u64::MAX,
            gap: 0.0,
            stop: &mut || false,
        });
        match exhaustive(&problem) {
            Some((steps, value)) => {
                feasible += 1;
                assert_eq!(found.ending, Ending::Optimal, "seed {seed}");
                assert!(
                    (found.value - value).abs() <= 1e-9 * (1.0 + value),
                    "seed {seed}: {} {value}",
                    found.value
                );
                assert_eq!(found.steps, steps, "seed {seed}");
            }
            None => {
                infeasible += 1;
                assert!(
                    matches!(found.ending, Ending::Infeasible { .. }),
                    "seed {seed}"
                );
            }
        }
    }
    assert!(feasible > 300 && infeasible > 20, "{feasible} {infeasible}");
}
