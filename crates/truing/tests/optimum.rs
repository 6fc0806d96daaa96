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

/// Steps of sixty ask for an odd sum of even numbers within a hair: whole turns there are none, and no search of a few
/// thousand nodes sees that.
#[test]
fn nothing_found_in_time_is_no_turns_at_all() {
    let nipples = 12;
    let even = vec![2.0; nipples];
    let odd = |sign: f64, bound: f64| Halfspace {
        slope: even.iter().map(|slope| sign * slope).collect(),
        bound,
    };
    let problem = Problem {
        columns: (0..nipples * nipples)
            .map(|place| f64::from(u8::from(place % (nipples + 1) == 0)))
            .collect(),
        target: vec![0.4; nipples],
        lower: vec![-30; nipples],
        upper: vec![30; nipples],
        limits: vec![odd(1.0, 1.5), odd(-1.0, -0.5)],
        charge: vec![0.0; nipples],
    };
    let found = problem.solve(&mut Effort {
        nodes: 4096,
        gap: 0.0,
        stop: &mut || false,
    });
    assert_eq!(found.steps, None);
    assert!(found.value.is_infinite() && found.at_least.is_finite());
    assert_eq!(found.ending, Ending::OutOfTime { gap: 1.0 });
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
                assert_eq!(found.steps, Some(steps), "seed {seed}");
            }
            None => {
                infeasible += 1;
                assert!(
                    matches!(found.ending, Ending::Infeasible { .. }) && found.steps.is_none(),
                    "seed {seed}"
                );
            }
        }
    }
    assert!(feasible > 300 && infeasible > 20, "{feasible} {infeasible}");
}
