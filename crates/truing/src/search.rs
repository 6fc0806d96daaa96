//! The best whole turns, proven: bounded integer least squares.
//!
//! Minimises |A t − b|² + the charges of the nipples touched, over whole t within bounds and linear limits. Where
//! limits push, the Lagrangian of the continuous optimum moves the target there (theory §7.4), so that the same
//! search of a lattice's nearest point proves the optimum with limits too.

use crate::lattice::Basis;
use crate::relaxation::{Face, Nearest, nearest};

/// Nodes between two looks at the stop signal: some tens of microseconds.
const NODES_BETWEEN_LOOKS: u64 = 2048;

/// A limit counts as kept up to this share of its size: rounding of sums.
const KEPT: f64 = 1e-9;

/// By how much the radius grows when nothing was found within it (squared).
const GROWTH: f64 = 2.0;

/// Σ slope t ≤ bound.
#[derive(Debug, Clone, PartialEq)]
pub struct Halfspace {
    /// One slope for each nipple, per step.
    pub slope: Vec<f64>,
    /// What the sum may not exceed.
    pub bound: f64,
}

/// What is to be minimised, in steps of each nipple.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// A, column after column: the effect of one step of each nipple on every row.
    pub columns: Vec<f64>,
    /// b: what the rows should become.
    pub target: Vec<f64>,
    /// Fewest steps of each nipple.
    pub lower: Vec<i64>,
    /// Most steps of each nipple.
    pub upper: Vec<i64>,
    /// Limits beyond the bounds.
    pub limits: Vec<Halfspace>,
    /// What touching each nipple costs, in the unit of the sum of squares; not negative.
    pub charge: Vec<f64>,
}

/// What holds a search: a bound of one nipple, or one of the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Binding {
    /// No fewer steps of this nipple.
    Fewest(usize),
    /// No more steps of this nipple.
    Most(usize),
    /// The limit in this place.
    Limit(usize),
}

/// How a search ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Ending {
    /// No whole turns are better: proven.
    Optimal,
    /// None are better by more than the share that was allowed beforehand: proven.
    WithinGap {
        /// That share.
        gap: f64,
    },
    /// Bounds and limits exclude each other.
    Infeasible {
        /// Those that do.
        binding: Vec<Binding>,
    },
    /// Stopped on the way: the best found may be worse than the optimum, by at most `gap` of its value.
    OutOfTime {
        /// Proven gap.
        gap: f64,
    },
}

/// How much a search may take.
pub struct Effort<'a> {
    /// Nodes at most.
    pub nodes: u64,
    /// Share of the value by which the answer may miss the optimum.
    pub gap: f64,
    /// Asked every few thousand nodes; true ends the search.
    pub stop: &'a mut dyn FnMut() -> bool,
}

/// The answer of a search.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Steps of each nipple; all zero where nothing was found.
    pub steps: Vec<i64>,
    /// The sum of squares with its charges.
    pub value: f64,
    /// No whole turns have a smaller value than this: proven.
    pub at_least: f64,
    /// How it ended.
    pub ending: Ending,
    /// Nodes visited.
    pub nodes: u64,
}

impl Problem {
    /// How many nipples there are.
    #[must_use]
    pub fn nipples(&self) -> usize {
        self.lower.len()
    }

    /// The value of these steps, charges included; bounds and limits are not asked.
    #[must_use]
    pub fn value(&self, steps: &[i64]) -> f64 {
        let mut rest: Vec<f64> = self.target.iter().map(|target| -target).collect();
        for (column, &step) in self.columns.chunks_exact(rest.len()).zip(steps) {
            for (entry, of) in rest.iter_mut().zip(column) {
                *entry += of * step as f64;
            }
        }
        rest.iter().map(|entry| entry * entry).sum::<f64>() + self.charged(steps)
    }

    /// Whether these steps keep bounds and limits.
    #[must_use]
    pub fn keeps(&self, steps: &[i64]) -> bool {
        self.within_bounds(steps) && self.limits.iter().all(|limit| limit.is_kept(steps))
    }

    fn within_bounds(&self, steps: &[i64]) -> bool {
        let bounds = self.lower.iter().zip(&self.upper);
        steps.iter().zip(bounds).all(|(step, (lower, upper))| lower <= step && step <= upper)
    }

    fn charged(&self, steps: &[i64]) -> f64 {
        let touched = steps.iter().zip(&self.charge).filter(|(step, _)| **step != 0);
        touched.map(|(_, charge)| charge).sum()
    }

    /// The best turns if they need not be whole, charges aside, and their value.
    ///
    /// # Errors
    /// Bounds and limits that exclude each other.
    pub fn relaxed(&self) -> Result<(Vec<f64>, f64), Vec<Binding>> {
        let basis = Basis::of(self.columns.clone(), self.target.len(), self.target.clone());
        let (faces, names) = self.faces(&basis);
        let relaxed = nearest(&basis.target, &faces)
            .map_err(|binding| binding.iter().map(|face| names[*face]).collect::<Vec<_>>())?;
        Ok((basis.coordinates(&relaxed.point), basis.floor(&relaxed.point)))
    }

    /// The bounds and limits that push against the best turns, whole or not.
    #[must_use]
    pub fn held(&self) -> Vec<Binding> {
        let basis = Basis::of(self.columns.clone(), self.target.len(), self.target.clone());
        let (faces, names) = self.faces(&basis);
        match nearest(&basis.target, &faces) {
            Ok(relaxed) => relaxed
                .held
                .iter()
                .filter(|(_, multiplier)| *multiplier > 0.0)
                .map(|(face, _)| names[*face])
                .collect(),
            Err(binding) => binding.iter().map(|face| names[*face]).collect(),
        }
    }

    /// The best whole turns.
    ///
    /// A must have full rank: a small cost of every turn among its rows sees to that.
    #[must_use]
    pub fn solve(&self, effort: &mut Effort<'_>) -> Found {
        let basis = Basis::of(self.columns.clone(), self.target.len(), self.target.clone());
        let (faces, names) = self.faces(&basis);
        let relaxed = match nearest(&basis.target, &faces) {
            Ok(relaxed) => relaxed,
            Err(binding) => {
                let binding = binding.iter().map(|face| names[*face]).collect();
                return self.infeasible(binding, 0);
            }
        };
        Enumeration::new(self, &basis, &names, &relaxed).run(effort)
    }

    /// Bounds and limits as faces in the triangle's axes, and what each is.
    fn faces(&self, basis: &Basis) -> (Vec<Face>, Vec<Binding>) {
        let size = basis.size;
        let mut faces = Vec::with_capacity(2 * size + self.limits.len());
        let mut names = Vec::with_capacity(faces.capacity());
        // Gᵀ R = slopes, by forward substitution.
        let normal = |slope: &dyn Fn(usize) -> f64, first: usize| {
            let mut normal = vec![0.0; size];
            for place in first..size {
                let column = &basis.triangle[place * size..place * size + place];
                let known: f64 = column.iter().zip(&normal).map(|(one, other)| one * other).sum();
                normal[place] = (slope(place) - known) / basis.triangle[place * size + place];
            }
            normal
        };
        for nipple in 0..size {
            let most = normal(&|place| f64::from(u8::from(place == nipple)), nipple);
            let fewest = most.iter().map(|entry| -entry).collect();
            faces.push(Face { normal: most, bound: self.upper[nipple] as f64 });
            names.push(Binding::Most(nipple));
            faces.push(Face { normal: fewest, bound: -(self.lower[nipple] as f64) });
            names.push(Binding::Fewest(nipple));
        }
        for (place, limit) in self.limits.iter().enumerate() {
            faces.push(Face { normal: normal(&|nipple| limit.slope[nipple], 0), bound: limit.bound });
            names.push(Binding::Limit(place));
        }
        (faces, names)
    }

    fn infeasible(&self, binding: Vec<Binding>, nodes: u64) -> Found {
        Found {
            steps: vec![0; self.nipples()],
            value: f64::INFINITY,
            at_least: f64::INFINITY,
            ending: Ending::Infeasible { binding },
            nodes,
        }
    }
}

impl Halfspace {
    /// What is left up to the bound.
    fn room(&self, steps: &[i64]) -> f64 {
        let taken = self.slope.iter().zip(steps).map(|(slope, &step)| slope * step as f64);
        self.bound - taken.sum::<f64>()
    }

    /// Whether the bound is kept, but for rounding.
    fn is_kept(&self, steps: &[i64]) -> bool {
        let parts = self.slope.iter().zip(steps).map(|(slope, &step)| (slope * step as f64).abs());
        self.room(steps) >= -KEPT * (self.bound.abs() + parts.sum::<f64>())
    }
}

/// One nipple at a bound that pushes: its coordinate is searched first, and going inward costs.
#[derive(Debug, Clone, Copy)]
struct Wall {
    lower: f64,
    upper: f64,
    /// Cost of a step: positive away from the upper bound, negative away from the lower.
    cost: f64,
}

/// Schnorr and Euchner's search of a lattice (eq. 7.9), depth first, nearest first.
struct Enumeration<'a> {
    problem: &'a Problem,
    basis: Basis,
    /// Sum of squares at the continuous optimum: what every leaf adds to.
    floor: f64,
    /// Limits that push, each with twice its multiplier.
    pushing: Vec<(usize, f64)>,
    /// From the first coordinate that is a nipple of its own.
    walls: Vec<Wall>,
    /// Row k: R_kj / R_kk, and the target over R_kk.
    slopes: Vec<f64>,
    targets: Vec<f64>,
    weights: Vec<f64>,
}

impl<'a> Enumeration<'a> {
    fn new(
        problem: &'a Problem,
        basis: &Basis,
        names: &[Binding],
        relaxed: &Nearest,
    ) -> Self {
        let size = basis.size;
        let floor = basis.floor(&relaxed.point);
        let mut pushing = Vec::new();
        let mut walled: Vec<(usize, f64)> = Vec::new();
        for &(face, multiplier) in &relaxed.held {
            match names[face] {
                Binding::Most(nipple) => walled.push((nipple, 2.0 * multiplier)),
                Binding::Fewest(nipple) => walled.push((nipple, -2.0 * multiplier)),
                Binding::Limit(limit) => pushing.push((limit, 2.0 * multiplier)),
            }
        }
        walled.sort_unstable_by_key(|(nipple, _)| *nipple);
        let mut order: Vec<usize> =
            (0..size).filter(|nipple| walled.iter().all(|(of, _)| of != nipple)).collect();
        let free = order.len();
        order.extend(walled.iter().map(|(nipple, _)| *nipple));
        let mut shifted = basis.clone();
        shifted.target.clone_from(&relaxed.point);
        let mut basis = if free < size { shifted.ordered(&order) } else { shifted };
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
            targets: (0..size).map(|row| basis.target[row] / diagonal(row)).collect(),
            weights: (0..size).map(|row| diagonal(row).powi(2)).collect(),
            basis,
        }
    }

    /// Searches within growing radii until the best is proven or the effort is spent.
    fn run(&self, effort: &mut Effort<'_>) -> Found {
        let mut tree = Tree::new(self);
        let mut best = Best { steps: Vec::new(), value: f64::INFINITY };
        let still = vec![0; self.basis.size];
        if self.problem.keeps(&still) {
            best = Best { value: self.problem.value(&still), steps: still };
        }
        // Beyond this no whole turns within the bounds lie.
        let farthest = self.farthest();
        let mut radius = tree.first_leaf().max(self.weights.iter().sum::<f64>() / 12.0);
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
                (at_least, Ending::OutOfTime { gap: lost(at_least) })
            }
        };
        let steps = if best.steps.is_empty() { vec![0; self.basis.size] } else { best.steps };
        Found { steps, value: best.value, at_least, ending, nodes }
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
    fn leaf(&self, coordinates: &[f64], steps: &mut [i64]) -> Option<f64> {
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
}

/// The best found so far.
struct Best {
    steps: Vec<i64>,
    value: f64,
}

/// The tree of coordinates, last one first; all its memory is taken once.
struct Tree<'a> {
    of: &'a Enumeration<'a>,
    size: usize,
    /// Row k, place j: the target of coordinate k less what coordinates j and later take of it.
    sums: Vec<f64>,
    /// Row k is right from this place on.
    stale: Vec<usize>,
    coordinates: Vec<f64>,
    /// Where the nearest coordinate is sought, and where the parabola stands.
    centres: Vec<f64>,
    steps: Vec<f64>,
    /// Cost of the coordinates from k on.
    costs: Vec<f64>,
    turns: Vec<i64>,
}

impl<'a> Tree<'a> {
    fn new(of: &'a Enumeration<'a>) -> Self {
        let size = of.basis.size;
        let mut sums = vec![0.0; size * (size + 1)];
        for row in 0..size {
            sums[row * (size + 1) + size] = of.targets[row];
        }
        Self {
            of,
            size,
            sums,
            stale: vec![size; size],
            coordinates: vec![0.0; size],
            centres: vec![0.0; size],
            steps: vec![0.0; size],
            costs: vec![0.0; size + 1],
            turns: vec![0; size],
        }
    }

    /// Makes row `level` right and starts at the coordinate that costs least.
    fn enter(&mut self, level: usize) {
        let row = &mut self.sums[level * (self.size + 1)..(level + 1) * (self.size + 1)];
        let slopes = &self.of.slopes[level * self.size..(level + 1) * self.size];
        for place in (level + 1..self.stale[level].min(self.size)).rev() {
            row[place] = row[place + 1] - slopes[place] * self.coordinates[place];
        }
        let centre = row[level + 1];
        if level > 0 {
            // What changed above this row is stale in the next one too.
            self.stale[level - 1] = self.stale[level - 1].max(self.stale[level]);
        }
        self.stale[level] = level + 1;
        self.centres[level] = centre;
        let sought = match self.of.wall(level) {
            Some(wall) => centre + wall.cost / (2.0 * self.of.weights[level]),
            None => centre,
        };
        let nearest = sought.round();
        self.coordinates[level] = nearest;
        self.steps[level] = if sought < nearest { -1.0 } else { 1.0 };
    }

    /// The next nearest coordinate on this level.
    fn next(&mut self, level: usize) {
        let step = self.steps[level];
        self.coordinates[level] += step;
        self.steps[level] = -step - step.signum();
        if level > 0 {
            self.stale[level - 1] = self.stale[level - 1].max(level + 1);
        }
    }

    /// The cost of the coordinates from `level` on, and whether this one is within its bounds.
    fn cost(&self, level: usize) -> (f64, bool) {
        let coordinate = self.coordinates[level];
        let apart = coordinate - self.centres[level];
        let cost = self.costs[level + 1] + self.of.weights[level] * apart * apart;
        match self.of.wall(level) {
            None => (cost, true),
            Some(wall) => (
                cost + wall.inward(coordinate),
                wall.lower <= coordinate && coordinate <= wall.upper,
            ),
        }
    }

    /// The cost of the first leaf that the search would meet.
    fn first_leaf(&mut self) -> f64 {
        for level in (0..self.size).rev() {
            self.stale[level] = self.size;
            self.enter(level);
            if let Some(wall) = self.of.wall(level) {
                self.coordinates[level] = self.coordinates[level].clamp(wall.lower, wall.upper);
            }
            self.costs[level] = self.cost(level).0;
        }
        self.costs[0]
    }

    /// Looks at every leaf within a squared radius; gives the proven squared distance when stopped on the way.
    fn search(
        &mut self,
        best: &mut Best,
        radius: f64,
        effort: &mut Effort<'_>,
        nodes: &mut u64,
    ) -> Option<f64> {
        let (size, floor) = (self.size, self.of.floor);
        if size == 0 {
            return None;
        }
        let share = 1.0 - effort.gap;
        let allowed = |value: f64| value * share - floor;
        let mut bound = radius.min(allowed(best.value));
        self.stale.fill(size);
        let mut level = size - 1;
        self.enter(level);
        let mut until_look = NODES_BETWEEN_LOOKS;
        loop {
            *nodes += 1;
            until_look -= 1;
            if until_look == 0 {
                until_look = NODES_BETWEEN_LOOKS;
                if *nodes >= effort.nodes || (effort.stop)() {
                    // What was not looked at lies beyond the present coordinate of the first level.
                    return Some(self.cost(size - 1).0.min(bound));
                }
            }
            let (cost, inside) = self.cost(level);
            if bound <= cost {
                level += 1;
                if level == size {
                    return None;
                }
                self.next(level);
                continue;
            }
            if !inside {
                self.next(level);
            } else if level > 0 {
                self.costs[level] = cost;
                level -= 1;
                self.enter(level);
            } else {
                if let Some(added) = self.of.leaf(&self.coordinates, &mut self.turns) {
                    let value = floor + cost + added;
                    if value < best.value {
                        best.value = value;
                        best.steps.clone_from(&self.turns);
                        bound = bound.min(allowed(value));
                    }
                }
                self.next(0);
            }
        }
    }
}

impl Enumeration<'_> {
    /// The wall of a coordinate that is a nipple of its own.
    fn wall(&self, level: usize) -> Option<&Wall> {
        let free = self.basis.size - self.walls.len();
        level.checked_sub(free).map(|place| &self.walls[place])
    }
}

impl Wall {
    /// What keeping away from the wall costs.
    fn inward(&self, coordinate: f64) -> f64 {
        if self.cost > 0.0 {
            self.cost * (self.upper - coordinate)
        } else {
            -self.cost * (coordinate - self.lower)
        }
    }
}
