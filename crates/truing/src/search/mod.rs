//! The best whole turns, proven: bounded integer least squares.
//!
//! Minimises |A t − b|² + the charges of the nipples touched, over whole t within bounds and linear limits. Where
//! limits push, the Lagrangian of the continuous optimum moves the target there (theory §7.4), so that the same
//! search of a lattice's nearest point proves the optimum with limits too.

mod enumeration;
mod guards;
mod start;
mod tree;

use crate::lattice::Basis;
use crate::relaxation::{Face, nearest};
use enumeration::Enumeration;

/// A limit counts as kept up to this share of its size: rounding of sums.
const KEPT: f64 = 1e-9;

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
    /// Steps of each nipple; none where no turns within bounds and limits were found.
    pub steps: Option<Vec<i64>>,
    /// The sum of squares with its charges; infinite where nothing was found.
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
        steps
            .iter()
            .zip(bounds)
            .all(|(step, (lower, upper))| lower <= step && step <= upper)
    }

    /// The same with what it adds in the mean that every turn comes out off by this share of it: a row for each nipple
    /// (eq. 7.14).
    pub(crate) fn scattered(self, share: f64) -> Self {
        let (nipples, rows) = (self.nipples(), self.target.len());
        let mut columns = Vec::with_capacity(nipples * (rows + nipples));
        for (nipple, column) in self.columns.chunks_exact(rows).enumerate() {
            let size = column.iter().map(|entry| entry * entry).sum::<f64>().sqrt();
            columns.extend_from_slice(column);
            columns
                .extend((0..nipples).map(|other| if other == nipple { share * size } else { 0.0 }));
        }
        let mut target = self.target;
        target.resize(rows + nipples, 0.0);
        Self {
            columns,
            target,
            ..self
        }
    }

    fn charged(&self, steps: &[i64]) -> f64 {
        let touched = steps
            .iter()
            .zip(&self.charge)
            .filter(|(step, _)| **step != 0);
        touched.map(|(_, charge)| charge).sum()
    }

    /// What it costs in the mean that the steps of one nipple are whole: a twelfth of the square of the lattice's
    /// spacing.
    pub(crate) fn rounding(&self) -> f64 {
        let basis = Basis::of(self.columns.clone(), self.target.len(), self.target.clone());
        basis.spacing().powi(2) / 12.0
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
        Ok((
            basis.coordinates(&relaxed.point),
            basis.floor(&relaxed.point),
        ))
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
        self.solve_from(&[], effort)
    }

    /// The best whole turns, none worse than those of these that keep bounds and limits.
    #[must_use]
    pub fn solve_from(&self, known: &[&[i64]], effort: &mut Effort<'_>) -> Found {
        let basis = Basis::of(self.columns.clone(), self.target.len(), self.target.clone());
        let (faces, names) = self.faces(&basis);
        let relaxed = match nearest(&basis.target, &faces) {
            Ok(relaxed) => relaxed,
            Err(binding) => {
                let binding = binding.iter().map(|face| names[*face]).collect();
                return Self::infeasible(binding, 0);
            }
        };
        let start = self.start(known, &basis, &faces, &relaxed);
        Enumeration::new(self, &basis, &names, &relaxed).run(start, effort)
    }

    /// Bounds and limits as faces in the triangle's axes, and what each is.
    fn faces(&self, basis: &Basis) -> (Vec<Face>, Vec<Binding>) {
        let size = basis.size;
        let mut faces = Vec::with_capacity(2 * size + self.limits.len());
        let mut names = Vec::with_capacity(faces.capacity());
        for nipple in 0..size {
            let mut unit = vec![0.0; size];
            unit[nipple] = 1.0;
            let most = basis.normal(&unit);
            let fewest = most.iter().map(|entry| -entry).collect();
            faces.push(Face {
                normal: most,
                bound: self.upper[nipple] as f64,
            });
            names.push(Binding::Most(nipple));
            faces.push(Face {
                normal: fewest,
                bound: -(self.lower[nipple] as f64),
            });
            names.push(Binding::Fewest(nipple));
        }
        for (place, limit) in self.limits.iter().enumerate() {
            faces.push(Face {
                normal: basis.normal(&limit.slope),
                bound: limit.bound,
            });
            names.push(Binding::Limit(place));
        }
        (faces, names)
    }

    fn infeasible(binding: Vec<Binding>, nodes: u64) -> Found {
        Found {
            steps: None,
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
        let taken = self
            .slope
            .iter()
            .zip(steps)
            .map(|(slope, &step)| slope * step as f64);
        self.bound - taken.sum::<f64>()
    }

    /// Whether the bound is kept, but for rounding.
    fn is_kept(&self, steps: &[i64]) -> bool {
        let parts = self
            .slope
            .iter()
            .zip(steps)
            .map(|(slope, &step)| (slope * step as f64).abs());
        self.room(steps) >= -KEPT * (self.bound.abs() + parts.sum::<f64>())
    }
}
