//! The search against a general solver.

use truing::search::{Effort, Ending, Halfspace, Problem};

const PROBLEMS: &str = include_str!("../../../validation/turns-by-scip/problems.csv");
const EXPECTED: &str = include_str!("../../../validation/turns-by-scip/expected.csv");

/// Relative: the solver's own tolerance of feasibility is 1e-6.
const WITHIN: f64 = 1e-5;

/// Nodes that no problem of the case comes near to.
const NODES: u64 = 20_000_000;

fn case(number: &str, reach: i64) -> Problem {
    let numbers = |text: &str| -> Vec<f64> {
        text.split(' ')
            .map(|one| one.parse().expect("a number"))
            .collect()
    };
    let rows = PROBLEMS
        .lines()
        .map(|line| line.split(',').collect::<Vec<_>>());
    let of_case: Vec<(String, f64, Vec<f64>)> = rows
        .filter(|cells| cells[0] == number)
        .map(|cells| {
            (
                cells[1].to_owned(),
                cells[2].parse().expect("a number"),
                numbers(cells[3]),
            )
        })
        .collect();
    let squares: Vec<_> = of_case
        .iter()
        .filter(|(kind, ..)| kind == "square")
        .collect();
    let nipples = squares[0].2.len();
    Problem {
        columns: (0..nipples)
            .flat_map(|nipple| squares.iter().map(move |(.., row)| row[nipple]))
            .collect(),
        target: squares.iter().map(|(_, target, _)| *target).collect(),
        lower: vec![-reach; nipples],
        upper: vec![reach; nipples],
        limits: of_case
            .iter()
            .filter(|(kind, ..)| kind == "limit")
            .map(|(_, bound, slope)| Halfspace {
                slope: slope.clone(),
                bound: *bound,
            })
            .collect(),
        charge: vec![0.0; nipples],
    }
}

/// Source: validation/turns-by-scip/SOURCE.md.
#[test]
fn whole_turns_are_never_worse_than_a_general_solver_finds() {
    let mut cases = 0;
    for line in EXPECTED.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let (number, reach) = (cells[0], cells[2].parse().expect("a reach"));
        let (value, is_proven): (f64, bool) =
            (cells[4].parse().expect("a value"), cells[5] == "yes");
        let problem = case(number, reach);
        assert_eq!(problem.nipples().to_string(), cells[1], "case {number}");
        assert_eq!(problem.limits.len().to_string(), cells[3], "case {number}");
        let found = problem.solve(&mut Effort {
            nodes: NODES,
            gap: 0.0,
            stop: &mut || false,
        });
        assert_eq!(found.ending, Ending::Optimal, "case {number}");
        assert!(problem.keeps(&found.steps), "case {number}");
        assert!(
            found.value <= value * (1.0 + WITHIN),
            "case {number}: {} {value}",
            found.value
        );
        if is_proven {
            assert!(
                value <= found.value * (1.0 + WITHIN),
                "case {number}: {} {value}",
                found.value
            );
        }
        cases += 1;
    }
    assert_eq!(cases, 11);
}
