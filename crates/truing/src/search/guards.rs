//! What bounds and limits add to the cost of a branch, and what they are sure to add further down it.

use super::{Halfspace, KEPT, Problem};
use crate::lattice::Basis;

/// Half-spaces whose distance squared is a greater share of the squared radius cut off so little of the ball, in tens of
/// dimensions, that asking at the leaf is cheaper.
const REACH: f64 = 0.1;

/// Guards that are asked together: the nearest say nearly all.
const MOST_TOGETHER: usize = 24;

/// Share of the levels, those searched last, on which guards are asked one by one only: what is found there spares little.
const ALONE: f64 = 0.2;

/// What is left of a normal below this share of its square is rounding.
const NOTHING_LEFT: f64 = 1e-14;

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

/// A half-space that the search may come to: what its slack costs, and how the slack hangs on the triangle's axes.
#[derive(Debug, Clone)]
pub(super) struct Guard {
    /// The multiplier of eq. 7.10: zero where it does not push against the continuous optimum.
    multiplier: f64,
    /// At the continuous optimum.
    slack: f64,
    /// What may be missing at a leaf that keeps it: rounding.
    forgiven: f64,
    normal: Vec<f64>,
    /// Squared size of the normal in the axes before each.
    before: Vec<f64>,
    /// Squared distance from the continuous optimum.
    apart: f64,
}

impl Guard {
    /// Of a half-space that pushes with this multiplier.
    pub(super) fn new(
        problem: &Problem,
        Halfspace { slope, bound }: &Halfspace,
        multiplier: f64,
        basis: &Basis,
    ) -> Self {
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
        let mut squares = 0.0;
        let mut before = Vec::with_capacity(normal.len());
        for entry in &normal {
            before.push(squares);
            squares += entry * entry;
        }
        let taken: f64 = normal.iter().zip(&basis.target).map(|(n, at)| n * at).sum();
        let slack = if multiplier > 0.0 { 0.0 } else { bound - taken };
        let reach = problem.lower.iter().zip(&problem.upper);
        let most: f64 = slope
            .iter()
            .zip(reach)
            .map(|(slope, (lower, upper))| slope.abs() * lower.abs().max(upper.abs()) as f64)
            .sum();
        Self {
            multiplier,
            slack,
            forgiven: KEPT * (bound.abs() + most),
            before,
            apart: slack.max(0.0).powi(2) / squares.max(f64::MIN_POSITIVE),
            normal,
        }
    }

    /// What the slack left by the axes from `level` on costs at least, whatever those before it do (eq. 7.12).
    fn at_least(&self, level: usize, slack: f64) -> f64 {
        let (room, most) = (self.before[level], self.multiplier);
        if room <= NOTHING_LEFT {
            return if slack < -self.forgiven {
                f64::INFINITY
            } else {
                2.0 * most * slack.max(0.0)
            };
        }
        let multiplier = most.min(slack / room);
        multiplier * (2.0 * slack - multiplier * room) - 2.0 * (most - multiplier) * self.forgiven
    }
}

/// All guards of a search, those nearest to the continuous optimum first.
#[derive(Debug, Clone)]
pub(super) struct Guards {
    all: Vec<Guard>,
}

impl Guards {
    pub(super) fn new(mut all: Vec<Guard>) -> Self {
        all.sort_by(|one, other| one.apart.total_cmp(&other.apart));
        Self { all }
    }

    /// The guards to be asked in a search within a squared radius.
    pub(super) fn within(&self, radius: f64, size: usize) -> Watch<'_> {
        let count = self
            .all
            .partition_point(|guard| guard.apart < REACH * radius);
        let guards = &self.all[..count];
        let together = count.min(MOST_TOGETHER);
        let mut products = vec![0.0; (size + 1) * together * together];
        for level in 0..size {
            let (done, next) = products.split_at_mut((level + 1) * together * together);
            let before = &done[level * together * together..];
            for (place, entry) in next[..together * together].iter_mut().enumerate() {
                let (one, other) = (&guards[place / together], &guards[place % together]);
                *entry = before[place] + one.normal[level] * other.normal[level];
            }
        }
        let mut slacks = vec![0.0; (size + 1) * count];
        for (slack, guard) in slacks[size * count..].iter_mut().zip(guards) {
            *slack = guard.slack;
        }
        Watch {
            guards,
            slacks,
            alone: (ALONE * size as f64) as usize,
            together,
            products,
            multipliers: vec![0.0; (size + 1) * together],
            pushed: vec![0.0; together],
        }
    }
}

/// The guards that one search can come to.
pub(super) struct Watch<'a> {
    guards: &'a [Guard],
    /// Slack of each guard by the coordinates from k on.
    slacks: Vec<f64>,
    /// Levels below this one ask the guards one by one only.
    alone: usize,
    together: usize,
    /// Products of the normals of those together, in the axes before k.
    products: Vec<f64>,
    /// Multipliers of those together, found on each level.
    multipliers: Vec<f64>,
    /// Products times multipliers.
    pushed: Vec<f64>,
}

impl Watch<'_> {
    /// What the guards add to the cost at least once the coordinate of a level is `along` its axis from where it costs
    /// nothing; not looked at further when that is as much as `bound`.
    pub(super) fn at_least(&mut self, level: usize, along: f64, bound: f64) -> f64 {
        let count = self.guards.len();
        let (below, above) = self.slacks.split_at_mut((level + 1) * count);
        let own = &mut below[level * count..];
        let (mut added, mut costly) = (0.0, 0);
        for ((slack, from), guard) in own.iter_mut().zip(above.iter()).zip(self.guards) {
            *slack = from - guard.normal[level] * along;
            if *slack < 0.0 || guard.multiplier > 0.0 {
                added = f64::max(added, guard.at_least(level, *slack));
                costly += 1;
            }
        }
        if bound <= added || costly < 2 || level < self.alone {
            return added;
        }
        added.max(self.by_all(level))
    }

    /// What the slacks of several guards cost at least together (eq. 7.12): any multipliers prove a bound. Those of the level
    /// above, each made the best beside the others once, prove a good one.
    fn by_all(&mut self, level: usize) -> f64 {
        let (count, many) = (self.guards.len(), self.together);
        let slacks = &self.slacks[level * count..][..many];
        let (below, above) = self.multipliers.split_at_mut((level + 1) * many);
        let own = &mut below[level * many..];
        own.copy_from_slice(&above[..many]);
        let products = &self.products[level * many * many..][..many * many];
        let pushed = &mut self.pushed;
        pushed.fill(0.0);
        for (multiplier, row) in own.iter().zip(products.chunks_exact(many)) {
            if *multiplier != 0.0 {
                add(pushed, row, *multiplier);
            }
        }
        for place in 0..many {
            let row = &products[place * many..][..many];
            if row[place] <= NOTHING_LEFT {
                continue;
            }
            let free = own[place] + (slacks[place] - pushed[place]) / row[place];
            let change = free.min(self.guards[place].multiplier) - own[place];
            if change != 0.0 {
                own[place] += change;
                add(pushed, row, change);
            }
        }
        let mut sum = 0.0;
        for (place, guard) in self.guards[..many].iter().enumerate() {
            let multiplier = own[place];
            sum += multiplier * (2.0 * slacks[place] - pushed[place])
                - 2.0 * (guard.multiplier - multiplier) * guard.forgiven;
        }
        sum
    }
}

fn add(to: &mut [f64], of: &[f64], times: f64) {
    for (entry, of) in to.iter_mut().zip(of) {
        *entry += times * of;
    }
}
