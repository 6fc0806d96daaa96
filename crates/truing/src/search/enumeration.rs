//! The search made ready: the target moved to the continuous optimum, the basis reduced, radii that grow.

use super::guards::{Guard, Guards, Wall};
use super::tree::{Best, Tree};
use super::{Binding, Effort, Ending, Found, Halfspace, Problem};
use crate::lattice::Basis;
use crate::relaxation::Nearest;

/// By how much the radius grows when nothing was found within it (squared): in tens of dimensions each search then takes
/// several times as long as the one before, and what all of them do in vain is little.
const GROWTH: f64 = 1.5;

/// Slack that would cost all of the radius counts as so many radii when the basis is made short: points within the limits
/// lie in a thin part of the ball.
const THINNER: f64 = 4.5;

/// Schnorr and Euchner's search of a lattice (eq. 7.9), depth first, nearest first.
pub(super) struct Enumeration<'a> {
    pub(super) problem: &'a Problem,
    pub(super) basis: Basis,
    /// Sum of squares at the continuous optimum: what every leaf adds to.
    pub(super) floor: f64,
    /// Limits that push, each with twice its multiplier.
    pub(super) pushing: Vec<(usize, f64)>,
    pub(super) guards: Guards,
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
        // As whole steps leave it: half a spacing's square for each, a twelfth of which is their mean.
        let radius = size as f64 / 6.0 * basis.spacing().powi(2);
        let rows: Vec<Vec<f64>> = pushing
            .iter()
            .map(|&(limit, cost)| {
                let weight = THINNER * cost / radius.sqrt();
                let slope = problem.limits[limit].slope.iter();
                slope.map(|slope| weight * slope).collect()
            })
            .collect();
        basis.reduce_beside(free, &rows);
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
            guards: guards(problem, &pushing, &walled, &basis),
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

    /// Searches within growing radii until the best is proven or the effort is spent; `best` is what is known already.
    pub(super) fn run(&self, mut best: Option<Best>, effort: &mut Effort<'_>) -> Found {
        let mut tree = Tree::new(self);
        // Beyond this no whole turns within the bounds lie.
        let farthest = self.farthest();
        let mut radius = self.weights.iter().sum::<f64>() / 12.0;
        let mut proven = 0.0;
        let (mut nodes, mut in_time) = (0, true);
        loop {
            let reached = tree.search(&mut best, radius, effort, &mut nodes);
            if let Some(reached) = reached {
                (proven, in_time) = (f64::max(proven, reached), false);
                break;
            }
            proven = radius;
            let is_proven = best
                .as_ref()
                .is_some_and(|best| best.value - self.floor <= radius);
            if is_proven || farthest <= radius {
                break;
            }
            radius *= GROWTH;
        }
        let Some(Best { steps, value }) = best else {
            if in_time {
                let binding = (0..self.problem.limits.len()).map(Binding::Limit).collect();
                return Problem::infeasible(binding, nodes);
            }
            return Found {
                steps: None,
                value: f64::INFINITY,
                at_least: self.floor + proven,
                ending: Ending::OutOfTime { gap: 1.0 },
                nodes,
            };
        };
        let (at_least, ending) = match (in_time, effort.gap) {
            (true, gap) if gap <= 0.0 => (value, Ending::Optimal),
            (true, gap) => (value * (1.0 - gap), Ending::WithinGap { gap }),
            (false, _) => {
                let at_least = (self.floor + proven).min(value);
                let gap = ((value - at_least) / value).max(0.0);
                (at_least, Ending::OutOfTime { gap })
            }
        };
        Found {
            steps: Some(steps),
            value,
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

/// A guard for every limit, and for every bound that is no wall.
fn guards(
    problem: &Problem,
    pushing: &[(usize, f64)],
    walled: &[(usize, f64)],
    basis: &Basis,
) -> Guards {
    let of_limits = problem.limits.iter().enumerate().map(|(place, limit)| {
        let cost = pushing.iter().find(|(of, _)| *of == place);
        let multiplier = cost.map_or(0.0, |(_, cost)| 0.5 * cost);
        Guard::new(problem, limit, multiplier, basis)
    });
    let free = (0..problem.nipples()).filter(|nipple| walled.iter().all(|(of, _)| of != nipple));
    let of_bounds = free.flat_map(|nipple| {
        let bounds = [(1.0, problem.upper[nipple]), (-1.0, -problem.lower[nipple])];
        bounds.map(|(sign, bound)| {
            let mut slope = vec![0.0; problem.nipples()];
            slope[nipple] = sign;
            let bound = bound as f64;
            Guard::new(problem, &Halfspace { slope, bound }, 0.0, basis)
        })
    });
    Guards::new(of_limits.chain(of_bounds).collect())
}
