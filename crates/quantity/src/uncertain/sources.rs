//! Where uncertainty comes from: the register of sources behind the values of one computation.

use super::{Contribution, Error, Uncertain};
use crate::covariance::Covariance;
use crate::distribution;

/// The coverage probability of every expanded uncertainty that is shown (JCGM 100, 6.2; the trade's habit is 95 %).
pub const COVERAGE: f64 = 0.95;

/// The register of the sources of one computation; it hands out the values that carry them.
///
/// A source is one line in the budget: a label, and how well its uncertainty is known, as degrees of freedom
/// (infinity where it is stated rather than observed). Values of two registers must not meet.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    sources: Vec<Source>,
    /// Which source each latent belongs to; a group has several latents, one after another.
    owners: Vec<usize>,
}

/// One source, or a group of correlated ones.
#[derive(Debug, Clone)]
struct Source {
    label: String,
    degrees_of_freedom: f64,
}

/// What one source puts into a value.
pub(crate) struct Part<'a> {
    pub(crate) label: &'a str,
    pub(crate) variance: f64,
    pub(crate) degrees_of_freedom: f64,
}

/// An interval about a value that holds what is measured with a stated probability.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expanded {
    /// Half the interval's width U, in the value's unit.
    pub half_width: f64,
    /// The coverage factor k = U/u (eq. 1.10).
    pub factor: f64,
    /// The effective degrees of freedom behind the factor (eq. 1.9).
    pub degrees_of_freedom: f64,
}

impl Sources {
    /// A register without sources.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// A value with its standard uncertainty, independent of all others.
    ///
    /// # Errors
    /// When the value or u is not finite, u is negative or the degrees of freedom are not above zero.
    pub fn add(
        &mut self,
        label: &str,
        value: f64,
        u: f64,
        degrees_of_freedom: f64,
    ) -> Result<Uncertain, Error> {
        if !(0.0..f64::INFINITY).contains(&u) {
            return Err(Error::Uncertainty {
                label: label.to_owned(),
                u,
            });
        }
        check(label, &[value], degrees_of_freedom)?;
        self.register(label, degrees_of_freedom);
        let mut contributions = Vec::new();
        if u > 0.0 {
            contributions.push(Contribution {
                latent: self.latent(),
                amount: u,
            });
        }
        Ok(Uncertain {
            value,
            contributions,
        })
    }

    /// A value known to lie within ± `half_width`, anywhere there alike: u = half width/√3 (JCGM 100, 4.3.7).
    ///
    /// # Errors
    /// As for [`Sources::add`].
    pub fn add_rectangular(
        &mut self,
        label: &str,
        value: f64,
        half_width: f64,
    ) -> Result<Uncertain, Error> {
        self.add(label, value, half_width / 3.0_f64.sqrt(), f64::INFINITY)
    }

    /// The mean of repeated observations, u from their scatter (eq. 1.7).
    ///
    /// # Errors
    /// [`Error::TooFewObservations`] below two, and as for [`Sources::add`].
    pub fn add_mean(&mut self, label: &str, observations: &[f64]) -> Result<Uncertain, Error> {
        let means = self.add_means(label, &[observations])?;
        Ok(means.into_iter().next().unwrap_or_default())
    }

    /// The means of quantities observed together, correlated as their scatter is (eq. 1.8).
    ///
    /// Each series holds one quantity's observations in the same order.
    ///
    /// # Errors
    /// [`Error::TooFewObservations`] below two, [`Error::Unequal`] when a series is shorter than another.
    pub fn add_means(&mut self, label: &str, series: &[&[f64]]) -> Result<Vec<Uncertain>, Error> {
        let observations = series.first().map_or(0, |first| first.len());
        if observations < 2 {
            return Err(Error::TooFewObservations {
                label: label.to_owned(),
                observations,
            });
        }
        if let Some(other) = series.iter().find(|other| other.len() != observations) {
            return Err(Error::Unequal {
                label: label.to_owned(),
                expected: observations,
                found: other.len(),
            });
        }
        let count = observations as f64;
        let means: Vec<f64> = series
            .iter()
            .map(|one| one.iter().sum::<f64>() / count)
            .collect();
        let mut covariance = Covariance::zero(series.len());
        for row in 0..series.len() {
            for column in row..series.len() {
                let pairs = series[row].iter().zip(series[column]);
                let products = pairs.map(|(one, two)| (one - means[row]) * (two - means[column]));
                covariance.set(row, column, products.sum::<f64>() / (count * (count - 1.0)));
            }
        }
        self.add_group(label, &means, &covariance, count - 1.0)
    }

    /// Values whose covariance is known, as of the parameters of one fit: one line in the budget.
    ///
    /// The degrees of freedom are those of the whole covariance, scaled or estimated from one set of data.
    ///
    /// # Errors
    /// [`Error::Unequal`] when there is not one value for each row, [`Error::Covariance`] when it is none.
    pub fn add_group(
        &mut self,
        label: &str,
        values: &[f64],
        covariance: &Covariance,
        degrees_of_freedom: f64,
    ) -> Result<Vec<Uncertain>, Error> {
        if values.len() != covariance.size() {
            let (expected, found) = (covariance.size(), values.len());
            return Err(Error::Unequal {
                label: label.to_owned(),
                expected,
                found,
            });
        }
        check(label, values, degrees_of_freedom)?;
        let factor = covariance.factor().map_err(|reason| Error::Covariance {
            label: label.to_owned(),
            reason,
        })?;
        self.register(label, degrees_of_freedom);
        let latents: Vec<u32> = (0..factor.rank()).map(|_| self.latent()).collect();
        let with = |(row, &value): (usize, &f64)| {
            let all = latents
                .iter()
                .zip(factor.row(row))
                .map(|(&latent, &amount)| Contribution { latent, amount });
            Uncertain {
                value,
                contributions: all.filter(|part| part.amount != 0.0).collect(),
            }
        };
        Ok(values.iter().enumerate().map(with).collect())
    }

    /// The effective degrees of freedom of a value's uncertainty by Welch and Satterthwaite (eq. 1.9).
    ///
    /// A group counts as one component with its own degrees of freedom, which is exact for a covariance that was
    /// estimated as a whole; components of different sources are taken as independently estimated.
    ///
    /// # Panics
    /// When the value comes from another register and this one is shorter.
    #[must_use]
    pub fn effective_degrees_of_freedom(&self, value: &Uncertain) -> f64 {
        effective_degrees_of_freedom(&self.parts(value))
    }

    /// The expanded uncertainty at [`COVERAGE`].
    #[must_use]
    pub fn expanded(&self, value: &Uncertain) -> Expanded {
        self.expanded_at(value, COVERAGE)
    }

    /// The expanded uncertainty at another coverage probability (eq. 1.10).
    ///
    /// The effective degrees of freedom are used as they are, not cut to a whole number.
    #[must_use]
    pub fn expanded_at(&self, value: &Uncertain, coverage: f64) -> Expanded {
        let degrees_of_freedom = self.effective_degrees_of_freedom(value);
        let factor = distribution::coverage_factor(coverage, degrees_of_freedom);
        Expanded {
            half_width: factor * value.u(),
            factor,
            degrees_of_freedom,
        }
    }

    /// What each source puts into a value, in the order of registration.
    pub(crate) fn parts(&self, value: &Uncertain) -> Vec<Part<'_>> {
        let mut parts: Vec<(usize, f64)> = Vec::new();
        for part in &value.contributions {
            let owner = self.owners[part.latent as usize];
            let variance = part.amount * part.amount;
            match parts.last_mut() {
                Some((last, sum)) if *last == owner => *sum += variance,
                _ => parts.push((owner, variance)),
            }
        }
        let named = |(owner, variance): (usize, f64)| {
            let Source {
                label,
                degrees_of_freedom,
            } = &self.sources[owner];
            Part {
                label,
                variance,
                degrees_of_freedom: *degrees_of_freedom,
            }
        };
        parts.into_iter().map(named).collect()
    }

    fn register(&mut self, label: &str, degrees_of_freedom: f64) {
        self.sources.push(Source {
            label: label.to_owned(),
            degrees_of_freedom,
        });
    }

    /// A new latent of the source registered last.
    fn latent(&mut self) -> u32 {
        let latent =
            u32::try_from(self.owners.len()).expect("fewer sources than memory has room for");
        self.owners.push(self.sources.len() - 1);
        latent
    }
}

/// Welch and Satterthwaite over independent components (eq. 1.9); infinite where no component is in doubt.
pub(crate) fn effective_degrees_of_freedom(parts: &[Part<'_>]) -> f64 {
    let variance: f64 = parts.iter().map(|part| part.variance).sum();
    // As shares, so that squares of small variances do not vanish.
    let doubt: f64 = parts
        .iter()
        .map(|part| (part.variance / variance).powi(2) / part.degrees_of_freedom)
        .sum();
    if variance == 0.0 {
        f64::INFINITY
    } else {
        1.0 / doubt
    }
}

fn check(label: &str, values: &[f64], degrees_of_freedom: f64) -> Result<(), Error> {
    if let Some(&value) = values.iter().find(|value| !value.is_finite()) {
        return Err(Error::Value {
            label: label.to_owned(),
            value,
        });
    }
    if degrees_of_freedom.is_nan() || degrees_of_freedom <= 0.0 {
        return Err(Error::DegreesOfFreedom {
            label: label.to_owned(),
            degrees_of_freedom,
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::covariance;

    #[test]
    fn a_source_that_means_nothing_is_refused_with_its_label() {
        let mut sources = Sources::new();
        for u in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(
                matches!(sources.add("cell", 1.0, u, 5.0), Err(Error::Uncertainty { label, .. }) if label == "cell")
            );
        }
        assert!(matches!(
            sources.add("cell", f64::NAN, 1.0, 5.0),
            Err(Error::Value { .. })
        ));
        for nu in [0.0, -3.0, f64::NAN] {
            assert!(matches!(
                sources.add("cell", 1.0, 1.0, nu),
                Err(Error::DegreesOfFreedom { .. })
            ));
        }
        assert!(matches!(
            sources.add_mean("cell", &[1.0]),
            Err(Error::TooFewObservations {
                observations: 1,
                ..
            })
        ));
        let unequal = sources.add_means("cell", &[&[1.0, 2.0], &[1.0]]);
        assert!(matches!(
            unequal,
            Err(Error::Unequal {
                expected: 2,
                found: 1,
                ..
            })
        ));
        let short = sources.add_group("curve", &[1.0], &Covariance::zero(2), 5.0);
        assert!(matches!(
            short,
            Err(Error::Unequal {
                expected: 2,
                found: 1,
                ..
            })
        ));
    }

    #[test]
    fn a_group_that_is_no_covariance_is_refused() {
        let mut impossible = Covariance::diagonal(&[1.0, 1.0]);
        impossible.set(0, 1, 1.01);
        let error = Sources::new().add_group("curve", &[0.0, 0.0], &impossible, 5.0);
        assert!(matches!(
            error,
            Err(Error::Covariance {
                reason: covariance::Error::NotSemidefinite { .. },
                ..
            })
        ));
    }

    #[test]
    fn a_group_counts_as_one_component() {
        let mut sources = Sources::new();
        let mut covariance = Covariance::diagonal(&[1.0, 4.0]);
        covariance.set(0, 1, -1.5);
        let group = sources
            .add_group("curve", &[0.0, 0.0], &covariance, 7.0)
            .expect("semidefinite");
        let sum = &group[0] + &group[1];
        assert!((sources.effective_degrees_of_freedom(&sum) - 7.0).abs() < 1e-12);
        assert!((sum.variance() - 2.0).abs() < 1e-14);
    }

    #[test]
    fn an_exact_value_is_known_without_doubt() {
        let mut sources = Sources::new();
        let exact = sources
            .add("count", 36.0, 0.0, 1.0)
            .expect("zero is an uncertainty");
        let expanded = sources.expanded(&exact);
        assert_eq!(
            (expanded.half_width, expanded.degrees_of_freedom),
            (0.0, f64::INFINITY)
        );
    }
}
