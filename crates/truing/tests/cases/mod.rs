//! The problems that a general solver was given, and what it found. Source: validation/turns-by-scip/SOURCE.md.
#![allow(dead_code, reason = "tests and benchmarks take what they need")]

use truing::search::{Halfspace, Problem};

const PROBLEMS: &str = include_str!("../../../../validation/turns-by-scip/problems.csv");
const EXPECTED: &str = include_str!("../../../../validation/turns-by-scip/expected.csv");

/// Nodes that no problem of the case comes near to.
pub(crate) const NODES: u64 = 20_000_000;

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

/// A problem, and what the solver says of it.
pub(crate) struct Case {
    pub(crate) number: String,
    pub(crate) problem: Problem,
    pub(crate) nipples: usize,
    pub(crate) limits: usize,
    /// Its best sum of squares.
    pub(crate) value: f64,
    /// Whether it had proven it.
    pub(crate) is_proven: bool,
}

pub(crate) fn all() -> Vec<Case> {
    let number = |cell: &str| cell.parse().expect("a number");
    EXPECTED
        .lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            Case {
                number: cells[0].to_owned(),
                problem: case(cells[0], cells[2].parse().expect("a reach")),
                nipples: number(cells[1]),
                limits: number(cells[3]),
                value: cells[4].parse().expect("a value"),
                is_proven: cells[5] == "yes",
            }
        })
        .collect()
}
