//! The best turns of few nipples: how good one, two, three … of them can make it.
//!
//! Choices that carry on from the best smaller ones are tried first. Then every choice is looked at: what its turns
//! could do if they need not be whole tells most of them off, the others are solved (theory §7.3).

use crate::lattice::Basis;
use crate::search::{Effort, Ending, Halfspace, Problem};
use std::ops::ControlFlow;

/// How far the search for one number of nipples goes.
#[derive(Debug, Clone, Copy)]
struct Reach {
    /// So many of the best choices are each extended by every other nipple.
    carried_on: usize,
    /// Nodes for the turns of one choice.
    nodes: u64,
    /// Choices that are looked at: some tenths of a second.
    looks: u64,
    /// Choices that are solved: a second.
    solved: u64,
}

const REACH: Reach = Reach {
    carried_on: 24,
    nodes: 20_000,
    looks: 2_500_000,
    solved: 20_000,
};

/// Choices between two looks at the stop signal.
const LOOKS_BETWEEN_STOPS: u64 = 4096;

/// What a column adds to those before it below this share of its size is rounding.
const DEPENDENT: f64 = 1e-12;

/// The best found with at most so many nipples.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Few {
    pub(crate) steps: Vec<i64>,
    /// Infinite where nothing was found that keeps bounds and limits.
    pub(crate) value: f64,
    /// Share of the value by which other turns of as few nipples may be better; none when this is proven to be best.
    pub(crate) gap: f64,
}

impl Few {
    /// The share by which a proven floor is below the value; all of it where nothing was found.
    pub(crate) fn gap_above(&self, floor: f64) -> f64 {
        if self.value.is_finite() {
            ((self.value - floor) / self.value).clamp(0.0, 1.0)
        } else {
            1.0
        }
    }

    /// The turns, where any were found that keep bounds and limits.
    pub(crate) fn found(&self) -> Option<&[i64]> {
        self.value.is_finite().then_some(&self.steps)
    }
}

/// For 0, 1, 2 … up to `most` nipples the best turns found; fewer where the stop signal came.
pub(crate) fn few(problem: &Problem, most: usize, stop: &mut dyn FnMut() -> bool) -> Vec<Few> {
    few_within(REACH, problem, most, stop)
}

fn few_within(
    reach: Reach,
    problem: &Problem,
    most: usize,
    stop: &mut dyn FnMut() -> bool,
) -> Vec<Few> {
    let problem = condensed(problem);
    let nipples = problem.nipples();
    let still = vec![0; nipples];
    let mut curve = vec![Few {
        value: match problem.keeps(&still) {
            true => problem.value(&still),
            false => f64::INFINITY,
        },
        steps: still,
        gap: 0.0,
    }];
    // Without a number of nipples to keep to, turns that need not be whole get this far.
    let floor = problem.relaxed().map_or(0.0, |(_, value)| value);
    let mut carried = vec![(curve[0].value, Vec::new())];
    for count in 1..=most.min(nipples) {
        let mut search = Search {
            problem: &problem,
            best: curve[count - 1].clone(),
            is_whole: true,
            reach,
            stop,
        };
        let Some(next) = search.carry_on(&carried) else {
            break;
        };
        carried = next;
        let is_proven = Choices::of(&problem, count).each_below(&mut search) && search.is_whole;
        let mut best = search.best;
        best.gap = match is_proven {
            true => 0.0,
            false => best.gap_above(floor),
        };
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

/// The best of one number of nipples.
struct Search<'a> {
    problem: &'a Problem,
    best: Few,
    /// Whether every choice that was tried was also solved to its end.
    is_whole: bool,
    reach: Reach,
    stop: &'a mut dyn FnMut() -> bool,
}

impl Search<'_> {
    /// Extends choices by every other nipple and gives the best ones; none when stopped.
    fn carry_on(&mut self, carried: &[(f64, Vec<usize>)]) -> Option<Vec<(f64, Vec<usize>)>> {
        let mut tried: Vec<(f64, Vec<usize>)> = Vec::new();
        for (_, choice) in carried {
            for nipple in 0..self.problem.nipples() {
                let mut choice = choice.clone();
                let Err(place) = choice.binary_search(&nipple) else {
                    continue;
                };
                choice.insert(place, nipple);
                if (self.stop)() {
                    return None;
                }
                if tried.iter().any(|(_, other)| *other == choice) {
                    continue;
                }
                if let Some(value) = self.take(&choice) {
                    tried.push((value, choice));
                }
            }
        }
        tried.sort_by(|one, other| one.0.total_cmp(&other.0));
        tried.truncate(self.reach.carried_on);
        Some(tried)
    }

    /// Solves one choice and gives its value, if its bounds and limits leave it any.
    fn take(&mut self, choice: &[usize]) -> Option<f64> {
        let problem = self.problem;
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
            nodes: self.reach.nodes,
            gap: 0.0,
            stop: &mut *self.stop,
        });
        if matches!(found.ending, Ending::Infeasible { .. }) {
            return None;
        }
        self.is_whole &= found.ending == Ending::Optimal;
        let turned = found.steps?;
        if found.value < self.best.value {
            self.best.value = found.value;
            self.best.steps.fill(0);
            for (&nipple, &turned) in choice.iter().zip(&turned) {
                self.best.steps[nipple] = turned;
            }
        }
        Some(found.value)
    }
}

/// Every choice of one number of nipples, depth first; a triangle of its columns grows and shrinks with it.
struct Choices {
    nipples: usize,
    count: usize,
    /// AᵀA by rows, and Aᵀb.
    squares: Vec<f64>,
    pull: Vec<f64>,
    chosen: Vec<usize>,
    /// Row by row the triangle, and its share of the pull.
    rows: Vec<Vec<f64>>,
    shares: Vec<f64>,
    looks: u64,
    solved: u64,
}

impl Choices {
    fn of(problem: &Problem, count: usize) -> Self {
        let (nipples, rows) = (problem.nipples(), problem.target.len());
        let column = |nipple: usize| &problem.columns[nipple * rows..(nipple + 1) * rows];
        let dot = |one: &[f64], other: &[f64]| -> f64 {
            one.iter().zip(other).map(|(one, other)| one * other).sum()
        };
        Self {
            nipples,
            count,
            squares: (0..nipples * nipples)
                .map(|place| dot(column(place / nipples), column(place % nipples)))
                .collect(),
            pull: (0..nipples)
                .map(|nipple| dot(column(nipple), &problem.target))
                .collect(),
            chosen: Vec::new(),
            rows: Vec::new(),
            shares: Vec::new(),
            looks: 0,
            solved: 0,
        }
    }

    /// Solves every choice that could be better than the best; whether all were looked at.
    fn each_below(mut self, search: &mut Search<'_>) -> bool {
        let target = &search.problem.target;
        let value = target.iter().map(|entry| entry * entry).sum();
        self.extend(0, value, search).is_continue()
    }

    fn extend(&mut self, from: usize, value: f64, search: &mut Search<'_>) -> ControlFlow<()> {
        let missing = self.count - self.chosen.len();
        if missing == 0 {
            self.looks += 1;
            if search.best.value <= value {
                return self.goes_on(search);
            }
            self.solved += 1;
            let chosen = std::mem::take(&mut self.chosen);
            search.take(&chosen);
            self.chosen = chosen;
            return self.goes_on(search);
        }
        for nipple in from..=self.nipples - missing {
            let (row, share) = self.row(nipple);
            let below = value - share * share;
            self.chosen.push(nipple);
            self.rows.push(row);
            self.shares.push(share);
            let flow = self.extend(nipple + 1, below, search);
            self.chosen.pop();
            self.rows.pop();
            self.shares.pop();
            flow?;
        }
        ControlFlow::Continue(())
    }

    /// The next row of the triangle and its share of the pull.
    ///
    /// A nipple that does what those before it do adds nothing while turns need not be whole: it has no share, and an
    /// infinite pivot keeps the rows after it from hanging on it.
    fn row(&self, nipple: usize) -> (Vec<f64>, f64) {
        let of = &self.squares[nipple * self.nipples..(nipple + 1) * self.nipples];
        let mut row: Vec<f64> = Vec::with_capacity(self.chosen.len() + 1);
        for (&other, earlier) in self.chosen.iter().zip(&self.rows) {
            let known: f64 = row
                .iter()
                .zip(earlier)
                .map(|(one, other)| one * other)
                .sum();
            row.push((of[other] - known) / earlier[row.len()]);
        }
        let left = of[nipple] - row.iter().map(|entry| entry * entry).sum::<f64>();
        if left <= DEPENDENT * of[nipple] {
            row.push(f64::INFINITY);
            return (row, 0.0);
        }
        let known: f64 = row
            .iter()
            .zip(&self.shares)
            .map(|(one, other)| one * other)
            .sum();
        let own = left.sqrt();
        row.push(own);
        (row, (self.pull[nipple] - known) / own)
    }

    fn goes_on(&self, search: &mut Search<'_>) -> ControlFlow<()> {
        let looks_up = self.looks.is_multiple_of(LOOKS_BETWEEN_STOPS) && (search.stop)();
        let Reach { looks, solved, .. } = search.reach;
        if looks <= self.looks || solved <= self.solved || looks_up {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::draws::Draws;

    const NIPPLES: usize = 6;

    fn drawn(seed: u64) -> Problem {
        let mut draws = Draws::new(seed);
        let rows = NIPPLES + 2;
        Problem {
            columns: (0..NIPPLES * rows).map(|_| draws.normal()).collect(),
            target: (0..rows).map(|_| 3.0 * draws.normal()).collect(),
            lower: vec![-2; NIPPLES],
            upper: vec![2; NIPPLES],
            limits: vec![Halfspace {
                slope: (0..NIPPLES).map(|_| draws.normal()).collect(),
                bound: draws.unit(),
            }],
            charge: (0..NIPPLES).map(|_| 0.3 * draws.unit()).collect(),
        }
    }

    /// The best with at most so many nipples, by looking at all turns there are.
    fn exhaustive(problem: &Problem, most: usize) -> f64 {
        let all = (0..5_u32.pow(NIPPLES as u32)).map(|code| -> Vec<i64> {
            (0..NIPPLES as u32)
                .map(|place| i64::from(code / 5_u32.pow(place) % 5) - 2)
                .collect()
        });
        all.filter(|steps| steps.iter().filter(|steps| **steps != 0).count() <= most)
            .filter(|steps| problem.keeps(steps))
            .map(|steps| problem.value(&steps))
            .fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn few_nipples_are_as_good_as_looking_at_all_turns_there_are() {
        for seed in 0..12 {
            let problem = drawn(seed);
            let curve = few(&problem, 4, &mut || false);
            assert_eq!(curve.len(), 5);
            for (most, few) in curve.iter().enumerate() {
                let best = exhaustive(&problem, most);
                assert!(
                    (few.value - best).abs() < 1e-9,
                    "{seed}, {most}: {} {best}",
                    few.value
                );
                assert!(
                    (problem.value(&few.steps) - best).abs() < 1e-9,
                    "{seed}, {most}"
                );
                assert_eq!(few.gap, 0.0);
            }
        }
    }

    /// Two nipples that do the same make steps twice as fine: no choice is told off because it holds both.
    #[test]
    fn nipples_that_do_the_same_are_looked_at_together() {
        for seed in 0..12 {
            let mut problem = drawn(seed);
            let rows = problem.target.len();
            let twin = 1e-7;
            let first: Vec<f64> = problem.columns[..rows].to_vec();
            for (entry, of) in problem.columns[rows..2 * rows].iter_mut().zip(&first) {
                *entry = of + twin * *entry;
            }
            let hardly = Reach {
                carried_on: 1,
                ..REACH
            };
            let curve = few_within(hardly, &problem, 4, &mut || false);
            for (most, few) in curve.iter().enumerate() {
                let best = exhaustive(&problem, most);
                assert!(
                    few.value * (1.0 - few.gap) <= best + 1e-9,
                    "{seed}, {most}: {few:?} {best}"
                );
            }
        }
    }

    #[test]
    fn gap_of_a_search_that_was_cut_short_covers_what_is_missed() {
        let (mut unproven, mut missed) = (0, 0);
        for seed in 0..60 {
            let problem = drawn(seed);
            let hardly = Reach {
                carried_on: 1,
                nodes: 20_000,
                looks: 1,
                solved: 1,
            };
            let curve = few_within(hardly, &problem, 4, &mut || false);
            for (most, few) in curve.iter().enumerate() {
                let best = exhaustive(&problem, most);
                assert!(
                    few.value * (1.0 - few.gap) <= best + 1e-9,
                    "{seed}, {most}: {few:?} {best}"
                );
                unproven += u32::from(0.0 < few.gap);
                missed += u32::from(best + 1e-9 < few.value);
            }
        }
        assert!(unproven > 100 && missed > 5, "{unproven} {missed}");
    }
}
