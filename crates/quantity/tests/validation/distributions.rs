//! Distribution functions, probabilities of conformity and the draws themselves.

use crate::table::{close, rows};
use quantity::distribution::{
    chi_squared_cdf, chi_squared_quantile, chi_squared_tail, coverage_factor, f_tail, normal_cdf,
    normal_quantile, student_t_quantile,
};
use quantity::draws::Draws;

fn evaluated(function: &str, argument: f64, nu: f64, denominator: f64) -> f64 {
    match function {
        "normal_cdf" => normal_cdf(argument),
        "normal_quantile" => normal_quantile(argument),
        "student_t_quantile" => student_t_quantile(argument, nu),
        "coverage_factor" => coverage_factor(argument, nu),
        "chi_squared_cdf" => chi_squared_cdf(argument, nu),
        "chi_squared_tail" => chi_squared_tail(argument, nu),
        "chi_squared_quantile" => chi_squared_quantile(argument, nu),
        "f_tail" => f_tail(argument, nu, denominator),
        other => panic!("no function {other}"),
    }
}

/// Source: validation/quantiles/SOURCE.md, mpmath. Tolerance 1e-12 relative; observed 4e-13.
#[test]
fn distributions_agree_with_an_arbitrary_precision_library() {
    for row in rows("quantiles", "expected.csv") {
        let (function, argument) = (row.text("function"), row.number("argument"));
        let nu = row.number_if_any("degrees_of_freedom").unwrap_or(f64::NAN);
        let denominator = row.number_if_any("denominator").unwrap_or(f64::NAN);
        let found = evaluated(function, argument, nu, denominator);
        let expected = row.number("computed");
        assert!(
            close(found, expected, 1e-12),
            "{function}({argument}; {nu}): {found}, not {expected}"
        );
    }
}

/// Source: validation/quantiles/SOURCE.md, handbook tables. Tolerance half a unit of the last digit.
#[test]
fn quantiles_agree_with_the_handbook() {
    for row in rows("quantiles", "handbook.csv") {
        let nu = row.number_if_any("degrees_of_freedom").unwrap_or(f64::NAN);
        let found = evaluated(row.text("function"), row.number("argument"), nu, f64::NAN);
        let decimals = row
            .text("value")
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        let half_unit = 0.5 * 10.0_f64.powi(-(decimals as i32));
        assert!(
            (found - row.number("value")).abs() <= half_unit,
            "{} at {nu}: {found}",
            row.text("function")
        );
    }
}

/// Source: validation/jcgm-106/SOURCE.md. Tolerance 0.005 of the printed, 1e-6 of the computed.
#[test]
fn probabilities_of_conformity_agree_with_the_guide() {
    for row in rows("jcgm-106", "expected.csv") {
        let (value, u) = (row.number("value"), row.number("u"));
        let below = |limit: f64| normal_cdf((limit - value) / u);
        let upper = row.number_if_any("upper").map_or(1.0, below);
        let inside = upper - row.number_if_any("lower").map_or(0.0, below);
        assert!(
            (inside - row.number("computed")).abs() < 1e-6,
            "{}: {inside}",
            row.text("name")
        );
        if let Some(printed) = row.number_if_any("printed") {
            assert!(
                (inside - printed).abs() <= 0.005,
                "{}: {inside}",
                row.text("name")
            );
        }
    }
}

/// Source: the moments of the standard normal distribution: 0, 1, 0, 3. Tolerance five standard errors of 4 million.
#[test]
fn normal_draws_have_the_moments_of_the_normal_distribution() {
    const COUNT: usize = 4_000_000;
    let mut draws = Draws::new(1_733);
    let mut sums = [0.0; 4];
    for _ in 0..COUNT {
        let normal = draws.normal();
        let mut power = 1.0;
        for sum in &mut sums {
            power *= normal;
            *sum += power;
        }
    }
    // The variance of the k-th power is the 2k-th moment less the k-th moment squared: 1, 2, 15, 96.
    for ((sum, moment), variance) in sums
        .iter()
        .zip([0.0, 1.0, 0.0, 3.0])
        .zip([1.0, 2.0, 15.0, 96.0])
    {
        let (found, error) = (sum / COUNT as f64, (variance / COUNT as f64).sqrt());
        assert!(
            (found - moment).abs() < 5.0 * error,
            "{found}, not {moment} within {error}"
        );
    }
}

/// Source: the normal distribution function itself; χ² over 200 equally likely classes and the far tails.
#[test]
fn normal_draws_fall_where_the_distribution_function_says() {
    const COUNT: usize = 4_000_000;
    const CLASSES: usize = 200;
    let mut draws = Draws::new(90_210);
    let mut found = [0_usize; CLASSES];
    let edges = [3.0, 3.7, 4.0, 4.5];
    let mut beyond = [0_usize; 4];
    for _ in 0..COUNT {
        let normal = draws.normal();
        found[((normal_cdf(normal) * CLASSES as f64) as usize).min(CLASSES - 1)] += 1;
        for (count, edge) in beyond.iter_mut().zip(edges) {
            *count += usize::from(normal.abs() > edge);
        }
    }
    let expected = (COUNT / CLASSES) as f64;
    let chi_squared: f64 = found
        .iter()
        .map(|&count| (count as f64 - expected).powi(2) / expected)
        .sum();
    let p = chi_squared_tail(chi_squared, (CLASSES - 1) as f64);
    assert!(
        p > 1e-3 && p < 1.0 - 1e-3,
        "chi squared {chi_squared}, p {p}"
    );
    for (count, edge) in beyond.into_iter().zip(edges) {
        let expected = 2.0 * normal_cdf(-edge) * COUNT as f64;
        assert!(
            (count as f64 - expected).abs() < 5.0 * expected.sqrt(),
            "{count} beyond {edge}, not {expected}"
        );
    }
}

/// Source: means and variances: ½, 1/12; 0, 1/3; ν, 2ν; 0, ν/(ν − 2). Tolerance five standard errors.
#[test]
fn other_draws_have_their_means_and_variances() {
    const COUNT: usize = 1_000_000;
    let mut draws = Draws::stream(4, 1);
    let mut check =
        |name: &str, draw: &dyn Fn(&mut Draws) -> f64, mean: f64, variance: f64, fourth: f64| {
            let values: Vec<f64> = (0..COUNT).map(|_| draw(&mut draws)).collect();
            let count = COUNT as f64;
            let found = values.iter().sum::<f64>() / count;
            let spread = values
                .iter()
                .map(|value| (value - mean).powi(2))
                .sum::<f64>()
                / count;
            assert!(
                (found - mean).abs() < 5.0 * (variance / count).sqrt(),
                "{name}: mean {found}"
            );
            let error = ((fourth - variance * variance) / count).sqrt();
            assert!(
                (spread - variance).abs() < 5.0 * error,
                "{name}: variance {spread}"
            );
        };
    check("unit", &Draws::unit, 0.5, 1.0 / 12.0, 1.0 / 80.0);
    check("rectangular", &Draws::rectangular, 0.0, 1.0 / 3.0, 0.2);
    for nu in [1.0_f64, 2.5, 9.0] {
        let fourth = 12.0 * nu * nu + 48.0 * nu;
        check(
            "chi squared",
            &|draws: &mut Draws| draws.chi_squared(nu),
            nu,
            2.0 * nu,
            fourth,
        );
    }
    for nu in [6.0_f64, 20.0] {
        let variance = nu / (nu - 2.0);
        let fourth = 3.0 * nu * nu / ((nu - 2.0) * (nu - 4.0));
        check(
            "student",
            &|draws: &mut Draws| draws.student_t(nu),
            0.0,
            variance,
            fourth,
        );
    }
}
