//! A value with its standard uncertainty, its correlation with others kept through every computation.
//!
//! An [`Uncertain`] remembers how it hangs on independent latent sources of unit variance (eq. 1.3, 1.4), so that
//! what two values have in common cancels or adds up by itself. Propagation is linear (JCGM 100, clause 5); where a
//! model bends within its uncertainty, use [`crate::monte_carlo`]. The numbers are bare: their unit stands in the
//! name of the variable that holds them, as everywhere inside a computation (`tension_n`, `drop_percent`).
//! Arithmetic follows IEEE: dividing by zero or ln of a negative number gives a value that is not finite.

mod arithmetic;
mod sources;

pub use sources::{COVERAGE, Expanded, Sources};
pub(crate) use sources::{Part, effective_degrees_of_freedom};

use crate::covariance::{self, Covariance};

/// Why a source of uncertainty cannot be taken in.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// A standard uncertainty is negative, infinite or undefined.
    #[error(
        "{label}: a standard uncertainty of {u} means nothing; give a number that is zero or more"
    )]
    Uncertainty {
        /// The source's label.
        label: String,
        /// What was given.
        u: f64,
    },
    /// A value is infinite or undefined.
    #[error("{label}: the value {value} is not a number to reckon with")]
    Value {
        /// The source's label.
        label: String,
        /// What was given.
        value: f64,
    },
    /// Degrees of freedom are not above zero.
    #[error(
        "{label}: {degrees_of_freedom} degrees of freedom; give more than zero, or infinity where u is well known"
    )]
    DegreesOfFreedom {
        /// The source's label.
        label: String,
        /// What was given.
        degrees_of_freedom: f64,
    },
    /// A mean of fewer than two observations has no observed scatter.
    #[error("{label}: {observations} observations show no scatter; take at least two, or state u")]
    TooFewObservations {
        /// The source's label.
        label: String,
        /// How many there are.
        observations: usize,
    },
    /// A group's values, series and covariance do not fit each other.
    #[error("{label}: {expected} expected, {found} found; a group needs one for each value")]
    Unequal {
        /// The group's label.
        label: String,
        /// How many there should be.
        expected: usize,
        /// How many there are.
        found: usize,
    },
    /// A group's covariance is none.
    #[error("{label}: {reason}")]
    Covariance {
        /// The group's label.
        label: String,
        /// What is wrong with it.
        reason: covariance::Error,
    },
}

/// What a value takes of one latent source: sensitivity times standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Contribution {
    latent: u32,
    amount: f64,
}

/// A value and its uncertainty; made by [`Sources`] or, exactly known, by [`Uncertain::exact`].
///
/// Values that meet in one computation come from the same [`Sources`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Uncertain {
    value: f64,
    /// In rising order of the latents, none of them zero.
    contributions: Vec<Contribution>,
}

impl Uncertain {
    /// A number without uncertainty.
    #[must_use]
    pub const fn exact(value: f64) -> Self {
        Self {
            value,
            contributions: Vec::new(),
        }
    }

    /// The best estimate.
    #[must_use]
    pub const fn value(&self) -> f64 {
        self.value
    }

    /// The standard uncertainty.
    #[must_use]
    pub fn u(&self) -> f64 {
        // Scaled by the largest, so that squares neither overflow nor vanish.
        let largest = self
            .contributions
            .iter()
            .fold(0.0_f64, |most, part| most.max(part.amount.abs()));
        if largest == 0.0
            || !largest.is_finite()
            || self.contributions.iter().any(|part| part.amount.is_nan())
        {
            return self.variance().sqrt();
        }
        largest
            * self
                .contributions
                .iter()
                .map(|part| (part.amount / largest).powi(2))
                .sum::<f64>()
                .sqrt()
    }

    /// The square of the standard uncertainty (eq. 1.5).
    #[must_use]
    pub fn variance(&self) -> f64 {
        self.contributions
            .iter()
            .map(|part| part.amount * part.amount)
            .sum()
    }

    /// The covariance with another value (eq. 1.6).
    #[must_use]
    pub fn covariance(&self, other: &Self) -> f64 {
        let mut sum = 0.0;
        let mut theirs = other.contributions.iter().peekable();
        for mine in &self.contributions {
            while theirs.next_if(|part| part.latent < mine.latent).is_some() {}
            if let Some(shared) = theirs.next_if(|part| part.latent == mine.latent) {
                sum += mine.amount * shared.amount;
            }
        }
        sum
    }

    /// The correlation with another value (eq. 1.6); `None` where one of them is exactly known.
    #[must_use]
    pub fn correlation(&self, other: &Self) -> Option<f64> {
        covariance::correlation(self.covariance(other), self.u(), other.u())
    }

    /// The covariance of several values, in their order.
    #[must_use]
    pub fn joint(values: &[Self]) -> Covariance {
        let mut joint = Covariance::zero(values.len());
        for (row, one) in values.iter().enumerate() {
            for (column, two) in values.iter().enumerate().skip(row) {
                joint.set(row, column, one.covariance(two));
            }
        }
        joint
    }

    /// Whether value and uncertainty are numbers at all: neither infinite nor undefined.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        self.value.is_finite()
            && self
                .contributions
                .iter()
                .all(|part| part.amount.is_finite())
    }

    /// The value of a model at these inputs, with its sensitivity to each of them (eq. 1.1, 1.4).
    ///
    /// An input may stand there more than once; its sensitivities then add.
    #[must_use]
    pub fn combine(value: f64, inputs: &[(&Self, f64)]) -> Self {
        let parts = inputs
            .iter()
            .flat_map(|(input, sensitivity)| input.times(*sensitivity));
        let mut all: Vec<Contribution> = parts.collect();
        all.sort_by_key(|part| part.latent); // stable: equals are summed in the order of the inputs
        let mut contributions: Vec<Contribution> = Vec::with_capacity(all.len());
        for part in all {
            match contributions.last_mut() {
                Some(last) if last.latent == part.latent => last.amount += part.amount,
                _ => contributions.push(part),
            }
        }
        contributions.retain(|part| part.amount != 0.0);
        Self {
            value,
            contributions,
        }
    }

    /// The arithmetic mean; `None` of nothing.
    #[must_use]
    pub fn mean<'a>(values: impl IntoIterator<Item = &'a Self>) -> Option<Self> {
        let values: Vec<&Self> = values.into_iter().collect();
        let share = 1.0 / values.len() as f64;
        let value = values.iter().map(|one| one.value).sum::<f64>() / values.len() as f64;
        let inputs: Vec<(&Self, f64)> = values.iter().map(|&one| (one, share)).collect();
        (!inputs.is_empty()).then(|| Self::combine(value, &inputs))
    }

    /// Its contributions times a sensitivity, those that vanish left out.
    fn times(&self, sensitivity: f64) -> impl Iterator<Item = Contribution> {
        let scaled = move |part: &Contribution| Contribution {
            amount: part.amount * sensitivity,
            ..*part
        };
        self.contributions
            .iter()
            .map(scaled)
            .filter(|part| part.amount != 0.0)
    }
}

impl From<f64> for Uncertain {
    fn from(value: f64) -> Self {
        Self::exact(value)
    }
}
