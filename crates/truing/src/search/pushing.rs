//! What bounds and limits that push add to the cost of a branch, and what they are sure to add further down it.

use super::{KEPT, Problem};
use crate::lattice::Basis;

/// One nipple at a bound that pushes: its coordinate is searched first, and going inward costs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wall {
    pub(super) lower: f64,
    pub(super) upper: f64,
    /// Cost of a step: positive away from the upper bound, negative away from the lower.
    pub(super) cost: f64,
}

impl Wall {
    /// What keeping away from the wall costs.
    pub(super) fn inward(&self, coordinate: f64) -> f64 {
        if self.cost > 0.0 {
            self.cost * (self.upper - coordinate)
        } else {
            -self.cost * (coordinate - self.lower)
        }
    }
}

/// A limit that pushes: what its slack costs, and how the slack hangs on the triangle's axes. At the continuous optimum
/// there is none.
#[derive(Debug, Clone)]
pub(super) struct Guard {
    /// A slack so small is rounding.
    forgiven: f64,
    /// Cost of a unit of slack: twice the multiplier.
    pub(super) cost: f64,
    pub(super) normal: Vec<f64>,
    /// Squared size of the normal in the axes before each.
    before: Vec<f64>,
}

impl Guard {
    fn new(cost: f64, slope: &[f64], basis: &Basis) -> Self {
        let by_coordinate: Vec<f64> = basis
            .transform
            .chunks_exact(basis.size)
            .map(|column| {
                column
                    .iter()
                    .zip(slope)
                    .map(|(whole, slope)| *whole as f64 * slope)
                    .sum()
            })
            .collect();
        let normal = basis.normal(&by_coordinate);
        let size: f64 = normal.iter().map(|entry| entry.abs()).sum();
        let before = normal
            .iter()
            .scan(0.0, |sum, entry| {
                let before = *sum;
                *sum += entry * entry;
                Some(before)
            })
            .collect();
        Self {
            forgiven: KEPT * size,
            cost,
            normal,
            before,
        }
    }

    /// What the slack left by the axes from `level` on costs at least, whatever those before it do (eq. 7.12).
    pub(super) fn at_least(&self, level: usize, slack: f64) -> f64 {
        let room = self.before[level];
        let slack = if slack.abs() <= self.forgiven {
            0.0
        } else {
            slack
        };
        if slack <= 0.5 * self.cost * room {
            // The other axes use it up, or bring it back within the limit.
            return slack * slack / room.max(f64::MIN_POSITIVE);
        }
        self.cost * (slack - 0.25 * self.cost * room)
    }
}

/// One guard for each limit that pushes; and one for all, which say more together than each alone.
pub(super) fn guards(problem: &Problem, pushing: &[(usize, f64)], basis: &Basis) -> Vec<Guard> {
    let mut sum = vec![0.0; problem.nipples()];
    for &(limit, cost) in pushing {
        for (entry, slope) in sum.iter_mut().zip(&problem.limits[limit].slope) {
            *entry += cost * slope;
        }
    }
    let together = (pushing.len() > 1).then(|| Guard::new(1.0, &sum, basis));
    let each = pushing
        .iter()
        .map(|&(limit, cost)| Guard::new(cost, &problem.limits[limit].slope, basis));
    each.chain(together).collect()
}
