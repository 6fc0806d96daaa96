//! The tree of coordinates, searched depth first.

use super::Effort;
use super::enumeration::Enumeration;

/// Nodes between two looks at the stop signal: some tens of microseconds.
const NODES_BETWEEN_LOOKS: u64 = 2048;

/// The best found so far.
pub(super) struct Best {
    pub(super) steps: Vec<i64>,
    pub(super) value: f64,
}

/// The tree of coordinates, last one first; all its memory is taken once.
pub(super) struct Tree<'a> {
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
    pub(super) fn new(of: &'a Enumeration<'a>) -> Self {
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

    /// Looks at every leaf within a squared radius; gives the proven squared distance when stopped on the way.
    pub(super) fn search(
        &mut self,
        best: &mut Option<Best>,
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
        let known = best.as_ref().map_or(f64::INFINITY, |best| best.value);
        let mut bound = radius.min(allowed(known));
        let mut watch = self.of.guards.within(bound, size);
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
            let along = self.of.diagonal[level] * (self.coordinates[level] - self.centres[level]);
            if !inside || bound <= cost + watch.at_least(level, along, bound - cost) {
                self.next(level);
            } else if level > 0 {
                self.costs[level] = cost;
                level -= 1;
                self.enter(level);
            } else {
                if let Some(added) = self.of.leaf(&self.coordinates, &mut self.turns) {
                    let value = floor + cost + added;
                    if best.as_ref().is_none_or(|best| value < best.value) {
                        let steps = self.turns.clone();
                        *best = Some(Best { steps, value });
                        bound = bound.min(allowed(value));
                    }
                }
                self.next(0);
            }
        }
    }
}
