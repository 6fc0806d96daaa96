//! Distribution functions and quantiles for intervals and tests.
//!
//! They come from statrs. Where its accuracy falls short (theory §1.6) the incomplete gamma function stands in for
//! erfc, a series for the inverse incomplete beta function, and roots are polished by Newton's method: what is given
//! is good to 1e-12 relative, within the range of double precision. A probability outside 0 … 1, or degrees of
//! freedom that are not above zero, give NaN.

use statrs::distribution::{ChiSquared, ContinuousCDF, StudentsT};
use statrs::function::{beta, erf, gamma};
use std::f64::consts::{LN_2, PI, SQRT_2};

/// Degrees of freedom from which the quantile of t is developed about the normal one (eq. 1.17).
///
/// Reason: the terms left out are below 1e-12 there down to a tail of 1e-15, while the incomplete beta function and
/// its inverse lose digits.
const LARGE: f64 = 1e3;

/// Newton steps that polish a root search; each squares its error, 2e-7 relative at the worst.
const POLISH: usize = 2;

/// The probability that a standard normal value is at most `x`.
#[must_use]
pub fn normal_cdf(x: f64) -> f64 {
    let tail = 0.5 * chi_squared_tail(x * x, 1.0);
    if x < 0.0 { tail } else { 1.0 - tail }
}

/// The standard normal value below which the probability is `p`.
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    if !is_probability(p) {
        return f64::NAN;
    }
    -SQRT_2 * erf::erfc_inv(2.0 * p)
}

/// The value of Student's t below which the probability is `p`; with infinite degrees of freedom the normal one.
#[must_use]
pub fn student_t_quantile(p: f64, degrees_of_freedom: f64) -> f64 {
    let nu = degrees_of_freedom;
    if !is_probability(p) || nu.is_nan() || nu <= 0.0 {
        return f64::NAN;
    }
    if p > 0.5 {
        return -student_t_quantile(1.0 - p, nu); // the tail keeps its digits near zero
    }
    if nu >= LARGE {
        return student_t_series(normal_quantile(p), nu);
    }
    if p == 0.5 || p == 0.0 {
        return if p == 0.0 { f64::NEG_INFINITY } else { 0.0 };
    }
    let Ok(student) = StudentsT::new(0.0, 1.0, nu) else {
        return f64::NAN;
    };
    let normalisation =
        gamma::ln_gamma(0.5 * (nu + 1.0)) - gamma::ln_gamma(0.5 * nu) - 0.5 * (nu * PI).ln();
    polish(
        student.inverse_cdf(p),
        |t| 0.5 * beta::beta_reg(0.5 * nu, 0.5, nu / (nu + t * t)) - p,
        |t| (normalisation - 0.5 * (nu + 1.0) * (t * t / nu).ln_1p()).exp(),
    )
}

/// The factor k by which u is multiplied for an interval with this coverage probability (eq. 1.10).
#[must_use]
pub fn coverage_factor(coverage: f64, degrees_of_freedom: f64) -> f64 {
    -student_t_quantile(0.5 * (1.0 - coverage), degrees_of_freedom)
}

/// The probability that χ² with these degrees of freedom is at most `x`.
#[must_use]
pub fn chi_squared_cdf(x: f64, degrees_of_freedom: f64) -> f64 {
    match chi_squared_end(x, degrees_of_freedom) {
        Some(below) => below,
        None => gamma::gamma_lr(0.5 * degrees_of_freedom, 0.5 * x),
    }
}

/// The probability that χ² with these degrees of freedom is above `x`: the p-value of a χ² test.
#[must_use]
pub fn chi_squared_tail(x: f64, degrees_of_freedom: f64) -> f64 {
    match chi_squared_end(x, degrees_of_freedom) {
        Some(below) => 1.0 - below,
        None => gamma::gamma_ur(0.5 * degrees_of_freedom, 0.5 * x),
    }
}

/// The value of χ² below which the probability is `p`.
#[must_use]
pub fn chi_squared_quantile(p: f64, degrees_of_freedom: f64) -> f64 {
    let half = 0.5 * degrees_of_freedom;
    let Ok(chi_squared) = ChiSquared::new(degrees_of_freedom) else {
        return f64::NAN;
    };
    if !is_probability(p) || half.is_infinite() {
        return f64::NAN;
    }
    if p == 0.0 || p == 1.0 {
        return if p == 0.0 { 0.0 } else { f64::INFINITY };
    }
    let beyond = |x: f64| {
        // From the nearer end, so that a small tail keeps its digits.
        if p < 0.5 {
            chi_squared_cdf(x, degrees_of_freedom) - p
        } else {
            (1.0 - p) - chi_squared_tail(x, degrees_of_freedom)
        }
    };
    let density =
        |x: f64| ((half - 1.0) * x.ln() - 0.5 * x - half * LN_2 - gamma::ln_gamma(half)).exp();
    polish(chi_squared.inverse_cdf(p), beyond, density)
}

/// The probability that a ratio of variances with these degrees of freedom is above `ratio`: the p-value of an F-test.
#[must_use]
pub fn f_tail(ratio: f64, numerator: f64, denominator: f64) -> f64 {
    if ratio.is_nan()
        || [numerator, denominator]
            .iter()
            .any(|nu| !nu.is_finite() || *nu <= 0.0)
    {
        return f64::NAN;
    }
    if ratio <= 0.0 {
        return 1.0;
    }
    beta::beta_reg(
        0.5 * denominator,
        0.5 * numerator,
        denominator / (denominator + numerator * ratio),
    )
}

fn is_probability(p: f64) -> bool {
    (0.0..=1.0).contains(&p)
}

/// The probability below `x` where it needs no incomplete gamma function.
fn chi_squared_end(x: f64, degrees_of_freedom: f64) -> Option<f64> {
    if x.is_nan()
        || degrees_of_freedom.is_nan()
        || degrees_of_freedom <= 0.0
        || degrees_of_freedom.is_infinite()
    {
        return Some(f64::NAN);
    }
    if x <= 0.0 {
        return Some(0.0);
    }
    x.is_infinite().then_some(1.0)
}

/// The quantile of t for many degrees of freedom, developed about the normal quantile `z` (eq. 1.17).
fn student_t_series(z: f64, nu: f64) -> f64 {
    let square = z * z;
    let terms = [
        &[1.0, 1.0][..],
        &[5.0, 16.0, 3.0],
        &[3.0, 19.0, 17.0, -15.0],
        &[79.0, 776.0, 1482.0, -1920.0, -945.0],
        &[27.0, 339.0, 930.0, -1782.0, -765.0, 17955.0],
    ];
    let divisors = [4.0, 96.0, 384.0, 92_160.0, 368_640.0];
    let sum = terms
        .iter()
        .zip(divisors)
        .rev()
        .fold(0.0, |sum, (term, divisor)| {
            let polynomial = term
                .iter()
                .fold(0.0, |value, coefficient| value * square + coefficient);
            (sum + polynomial / divisor) / nu
        });
    z * (1.0 + sum)
}

/// A root search's answer made good to rounding by Newton's method (eq. 1.16).
fn polish(start: f64, beyond: impl Fn(f64) -> f64, density: impl Fn(f64) -> f64) -> f64 {
    (0..POLISH).fold(start, |x, _| {
        let step = beyond(x) / density(x);
        if step.is_finite() { x - step } else { x }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_probability_has_no_quantile() {
        for p in [-0.1, 1.1, f64::NAN] {
            assert!(normal_quantile(p).is_nan());
            assert!(student_t_quantile(p, 5.0).is_nan());
            assert!(chi_squared_quantile(p, 5.0).is_nan());
        }
        for nu in [0.0, -1.0, f64::NAN] {
            assert!(student_t_quantile(0.9, nu).is_nan());
            assert!(chi_squared_quantile(0.9, nu).is_nan());
            assert!(chi_squared_cdf(1.0, nu).is_nan());
            assert!(f_tail(1.0, nu, 3.0).is_nan());
        }
    }

    #[test]
    fn the_ends_of_every_distribution_are_reached() {
        assert_eq!(
            (
                normal_cdf(f64::NEG_INFINITY),
                normal_cdf(f64::INFINITY),
                normal_cdf(0.0)
            ),
            (0.0, 1.0, 0.5)
        );
        assert_eq!(
            (normal_quantile(0.0), normal_quantile(1.0)),
            (f64::NEG_INFINITY, f64::INFINITY)
        );
        assert_eq!(
            (student_t_quantile(0.0, 3.0), student_t_quantile(0.5, 3.0)),
            (f64::NEG_INFINITY, 0.0)
        );
        assert_eq!(
            (
                chi_squared_quantile(0.0, 3.0),
                chi_squared_quantile(1.0, 3.0)
            ),
            (0.0, f64::INFINITY)
        );
        assert_eq!(
            (chi_squared_cdf(-1.0, 3.0), chi_squared_tail(-1.0, 3.0)),
            (0.0, 1.0)
        );
        assert_eq!(
            (chi_squared_cdf(f64::INFINITY, 3.0), f_tail(0.0, 1.0, 1.0)),
            (1.0, 1.0)
        );
    }

    #[test]
    fn many_degrees_of_freedom_join_the_series_without_a_step() {
        let (below, above) = (
            student_t_quantile(0.975, LARGE * (1.0 - 1e-9)),
            student_t_quantile(0.975, LARGE),
        );
        assert!((below - above).abs() < 1e-11, "{below} {above}");
        assert_eq!(
            student_t_quantile(0.975, f64::INFINITY),
            normal_quantile(0.975)
        );
    }
}
