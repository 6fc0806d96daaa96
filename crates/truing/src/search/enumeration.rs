//! The search made ready: the target moved to the continuous optimum, the basis reduced, radii that grow.

use super::pushing::{Guard, Wall, guards};
use super::tree::{Best, Tree};
use super::{Binding, Effort, Ending, Found, Problem};
use crate::lattice::Basis;
use crate::relaxation::Nearest;

/// By how much the radius grows when nothing was found within it (squared).
const GROWTH: f64 = 2.0;

/// Schnorr and Euchner's search of a lattice (eq. 7.9), depth first, nearest first.
pub(super) struct Enumeration<'a> {
    pub(super) problem: &'a Problem,
    pub(super) basis: Basis,
    /// Sum of squares at the continuous optimum: what every leaf adds to.
    pub(super) floor: f64,
    /// Limits that push, each with twice its multiplier.
    pub(super) pushing: Vec<(usize, f64)>,
    pub(super) guards: Vec<Guard>,
    /// From the first coordinate that is a nipple of its own.
    pub(super) walls: Vec<Wall>,
    /// Row k: R_kj / R_kk, and the target over R_kk.
    pub(super) slopes: Vec<f64>,
    pub(super) targets: Vec<f64>,
    pub(super) diagonal: Vec<f64>,
    /// The diagonal squared.
    pub(super) weights: Vec<f64>,
}

impl<'a> Enumeration<'a> {
    pub(super) fn new(
        problem: &'a Problem,
        basis: &Basis,
        names: &[Binding],
        relaxed: &Nearest,
    ) -> Self {
        let size = basis.size;
        let floor = basis.floor(&relaxed.point);
        let mut pushing: Vec<(usize, f64)> = Vec::new();
        let mut walled: Vec<(usize, f64)> = Vec::new();
        for &(face, multiplier) in &relaxed.held {
            match names[face] {
                Binding::Most(nipple) => walled.push((nipple, 2.0 * multiplier)),
                Binding::Fewest(nipple) => walled.push((nipple, -2.0 * multiplier)),
                Binding::Limit(limit) => pushing.push((limit, 2.0 * multiplier)),
            }
        }
        walled.sort_unstable_by_key(|(nipple, _)| *nipple);
        let mut order: Vec<usize> = (0..size)
            .filter(|nipple| walled.iter().all(|(of, _)| of != nipple))
            .collect();
        let free = order.len();
        order.extend(walled.iter().map(|(nipple, _)| *nipple));
        let mut shifted = basis.clone();
        shifted.target.clone_from(&relaxed.point);
        let mut basis = if free < size {
            shifted.ordered(&order)
        } else {
            shifted
        };
        basis.reduce(free);
        let diagonal = |row: usize| basis.triangle[row * size + row];
        let mut slopes = vec![0.0; size * size];
        for row in 0..size {
            for column in row + 1..size {
                slopes[row * size + column] = basis.triangle[column * size + row] / diagonal(row);
            }
        }
        Self {
            problem,
            floor,
            guards: guards(problem, &pushing, &basis),
            pushing,
            walls: walled
                .iter()
                .map(|&(nipple, cost)| Wall {
                    lower: problem.lower[nipple] as f64,
                    upper: problem.upper[nipple] as f64,
                    cost,
                })
                .collect(),
            slopes,
            targets: (0..size)
                .map(|row| basis.target[row] / diagonal(row))
                .collect(),
            diagonal: (0..size).map(diagonal).collect(),
            weights: (0..size).map(|row| diagonal(row).powi(2)).collect(),
            basis,
        }
    }

    /// Searches within growing radii until the best is proven or the effort is spent.
    pub(super) fn run(&self, effort: &mut Effort<'_>) -> Found {
        let mut tree = Tree::new(self);
        let mut best = Best {
            steps: Vec::new(),
            value: f64::INFINITY,
        };
        let still = vec![0; self.basis.size];
        if self.problem.keeps(&still) {
            best = Best {
                value: self.problem.value(&still),
                steps: still,
            };
        }
        // Beyond this no whole turns within the bounds lie.
        let farthest = self.farthest();
        let mut radius = tree
            .first_leaf()
            .max(self.weights.iter().sum::<f64>() / 12.0);
        let mut proven = 0.0;
        let (mut nodes, mut in_time) = (0, true);
        loop {
            let reached = tree.search(&mut best, radius, effort, &mut nodes);
            if let Some(reached) = reached {
                (proven, in_time) = (f64::max(proven, reached), false);
                break;
            }
            proven = radius;
            if best.value - self.floor <= radius || farthest <= radius {
                break;
            }
            radius *= GROWTH;
        }
        if best.steps.is_empty() && in_time {
            let binding = (0..self.problem.limits.len()).map(Binding::Limit).collect();
            return self.problem.infeasible(binding, nodes);
        }
        let lost = |at_least: f64| ((best.value - at_least) / best.value).max(0.0);
        let (at_least, ending) = match (in_time, effort.gap) {
            (true, gap) if gap <= 0.0 => (best.value, Ending::Optimal),
            (true, gap) => (best.value * (1.0 - gap), Ending::WithinGap { gap }),
            (false, _) if best.steps.is_empty() => {
                (self.floor + proven, Ending::OutOfTime { gap: 1.0 })
            }
            (false, _) => {
                let at_least = (self.floor + proven).min(best.value);
                (
                    at_least,
                    Ending::OutOfTime {
                        gap: lost(at_least),
                    },
                )
            }
        };
        let steps = if best.steps.is_empty() {
            vec![0; self.basis.size]
        } else {
            best.steps
        };
        Found {
            steps,
            value: best.value,
            at_least,
            ending,
            nodes,
        }
    }

    /// A squared radius that holds every corner of the bounds.
    fn farthest(&self) -> f64 {
        let bounds = self.problem.lower.iter().zip(&self.problem.upper);
        let reach: f64 = bounds
            .zip(self.problem.columns.chunks_exact(self.problem.target.len()))
            .map(|((lower, upper), column)| {
                let size = column.iter().map(|entry| entry * entry).sum::<f64>().sqrt();
                size * (lower.abs().max(upper.abs()) as f64)
            })
            .sum();
        let target: f64 = self.problem.target.iter().map(|entry| entry * entry).sum();
        2.0 * (reach * reach + target)
    }

    /// What a leaf adds to its squared distance, and its turns; none when it breaks a bound or limit.
    pub(super) fn leaf(&self, coordinates: &[f64], steps: &mut [i64]) -> Option<f64> {
        self.basis.turns(coordinates, steps);
        if !self.problem.keeps(steps) {
            return None;
        }
        let mut added = self.problem.charged(steps);
        for &(limit, cost) in &self.pushing {
            added += cost * self.problem.limits[limit].room(steps).max(0.0);
        }
        Some(added)
    }

    /// The wall of a coordinate that is a nipple of its own.
    pub(super) fn wall(&self, level: usize) -> Option<&Wall> {
        let free = self.basis.size - self.walls.len();
        level.checked_sub(free).map(|place| &self.walls[place])
    }
}
