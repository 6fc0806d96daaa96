//! Laws that hold for all values: of propagation, covariance, budgets, rounding and draws.

use proptest::prelude::*;
use quantity::rounding::FinestStep;
use quantity::{Budget, Covariance, Rounded, Sources, Uncertain};

/// Rounding errors of a handful of operations.
const ROUNDING: f64 = 1e-12;

/// Three correlated values well away from zero, and two of their own; with the register behind them.
fn values() -> impl Strategy<Value = (Sources, Vec<Uncertain>)> {
    let number = (0.2..5.0_f64, 0.0..0.3_f64, 1.0..40.0_f64);
    (
        prop::collection::vec(number, 5),
        prop::collection::vec(-0.2..0.2_f64, 9),
    )
        .prop_map(|(numbers, factor)| {
            let mut sources = Sources::new();
            let group: Vec<f64> = numbers[..3].iter().map(|(value, ..)| *value).collect();
            let covariance = Covariance::from_factor(3, &factor);
            let mut values = sources
                .add_group("curve", &group, &covariance, numbers[0].2)
                .expect("F Fᵀ");
            for (index, (value, u, nu)) in numbers[3..].iter().enumerate() {
                let label = if index == 0 { "reading" } else { "rig" };
                values.push(sources.add(label, *value, *u, *nu).expect("a good source"));
            }
            (sources, values)
        })
}

/// A function of one value, and the same of plain numbers.
type Pair = (fn(&Uncertain) -> Uncertain, fn(f64) -> f64);

const FUNCTIONS: [Pair; 14] = [
    (Uncertain::exp, f64::exp),
    (Uncertain::ln, f64::ln),
    (Uncertain::sqrt, f64::sqrt),
    (Uncertain::recip, f64::recip),
    (Uncertain::abs, f64::abs),
    (Uncertain::sin, f64::sin),
    (Uncertain::cos, f64::cos),
    (Uncertain::atan, f64::atan),
    (|x| x.powi(-3), |x| x.powi(-3)),
    (|x| x.powf(0.7), |x| x.powf(0.7)),
    (|x| (x / 4.0).tan(), |x| (x / 4.0).tan()),
    (|x| (x / 6.0).asin(), |x| (x / 6.0).asin()),
    (|x| (x / 6.0).acos(), |x| (x / 6.0).acos()),
    (|x| -x * 2.0 + 3.0, |x| -x * 2.0 + 3.0),
];

/// A function of two values, and the same of plain numbers.
type PairOfTwo = (fn(&Uncertain, &Uncertain) -> Uncertain, fn(f64, f64) -> f64);

const FUNCTIONS_OF_TWO: [PairOfTwo; 7] = [
    (|x, y| x + y, |x, y| x + y),
    (|x, y| x - y, |x, y| x - y),
    (|x, y| x * y, |x, y| x * y),
    (|x, y| x / y, |x, y| x / y),
    (Uncertain::pow, f64::powf),
    (Uncertain::atan2, f64::atan2),
    (Uncertain::hypot, f64::hypot),
];

fn central(function: impl Fn(f64) -> f64, at: f64) -> f64 {
    let step = 1e-4 * at;
    // Fourth order, so that the step's own error stays below 1e-9.
    let wide = (function(at + 2.0 * step) - function(at - 2.0 * step)) / (4.0 * step);
    (4.0 * (function(at + step) - function(at - step)) / (2.0 * step) - wide) / 3.0
}

proptest! {
    #[test]
    fn what_cancels_has_no_uncertainty((_, values) in values()) {
        for x in &values {
            prop_assert_eq!((x - x).u(), 0.0);
            prop_assert_eq!((x / x).u(), 0.0);
            prop_assert!((x * x / x - x).u() <= ROUNDING);
            prop_assert!((x.exp().ln() - x).u() <= ROUNDING);
            prop_assert!((x.sin().powi(2) + x.cos().powi(2)).u() <= ROUNDING);
        }
    }

    #[test]
    fn propagation_is_linear((_, values) in values(), a in -3.0..3.0_f64, b in -3.0..3.0_f64) {
        let (x, y, z) = (&values[0], &values[1], &values[3]);
        let sum = a * x + b * y;
        let variance = a * a * x.variance() + b * b * y.variance() + 2.0 * a * b * x.covariance(y);
        prop_assert!((sum.variance() - variance).abs() <= ROUNDING);
        let together = Uncertain::combine(a * x.value() + b * y.value(), &[(x, a), (y, b)]);
        prop_assert!((&together - &sum).u() <= ROUNDING);
        prop_assert!((sum.covariance(z) - a * x.covariance(z) - b * y.covariance(z)).abs() <= ROUNDING);
        let (one, all) = (x + y + z, [x, y, z].into_iter().sum::<Uncertain>());
        prop_assert!((one - all).u() <= ROUNDING);
    }

    #[test]
    fn derivatives_of_one_value_are_those_of_finite_differences((_, values) in values()) {
        for x in &values {
            for (index, (function, plain)) in FUNCTIONS.iter().enumerate() {
                let found = function(x);
                prop_assert_eq!(found.value(), plain(x.value()));
                let slope = central(plain, x.value());
                let covariance = slope * x.variance();
                let scale = (1.0 + slope.abs()) * x.variance();
                prop_assert!((found.covariance(x) - covariance).abs() <= 1e-7 * scale, "function {}", index);
            }
        }
    }

    #[test]
    fn derivatives_of_two_values_are_those_of_finite_differences((_, values) in values()) {
        let (x, y) = (&values[0], &values[3]);
        for (index, (function, plain)) in FUNCTIONS_OF_TWO.iter().enumerate() {
            let found = function(x, y);
            prop_assert_eq!(found.value(), plain(x.value(), y.value()));
            let along = central(|at| plain(at, y.value()), x.value());
            let across = central(|at| plain(x.value(), at), y.value());
            let expected = along.powi(2) * x.variance() + across.powi(2) * y.variance();
            prop_assert!((found.variance() - expected).abs() <= 1e-6 * (expected + 1e-9), "function {}", index);
        }
    }

    #[test]
    fn the_joint_covariance_is_one((_, values) in values(), weights in prop::collection::vec(-3.0..3.0_f64, 6)) {
        let mut all = values.clone();
        all.push(&values[0] * &values[3] / &values[1]);
        let joint = Uncertain::joint(&all);
        let factor = joint.factor();
        prop_assert!(factor.is_ok(), "{:?}", factor);
        prop_assert!(joint.quadratic_form(&weights) >= -ROUNDING);
        for row in 0..6 {
            for column in 0..6 {
                if let Some(correlation) = joint.correlation(row, column) {
                    prop_assert!(correlation.abs() <= 1.0);
                    let direct = all[row].correlation(&all[column]).expect("both uncertain");
                    prop_assert!((correlation - direct).abs() <= ROUNDING);
                }
            }
        }
    }

    #[test]
    fn a_factor_gives_back_its_covariance(rank in 0_usize..6, entries in prop::collection::vec(-3.0..3.0_f64, 25)) {
        let covariance = Covariance::from_factor(5, &entries[..5 * rank.min(5)]);
        let factor = covariance.factor().expect("F Fᵀ");
        prop_assert!(factor.rank() <= rank.min(5));
        let rows: Vec<f64> = (0..5).flat_map(|row| factor.row(row).to_vec()).collect();
        let again = Covariance::from_factor(5, &rows);
        for row in 0..5 {
            for column in 0..5 {
                let scale = covariance.standard_uncertainty(row) * covariance.standard_uncertainty(column);
                let apart = again.get(row, column) - covariance.get(row, column);
                prop_assert!(apart.abs() <= 1e-13 * scale, "{} {}", row, column);
            }
        }
        let mapped = covariance.mapped(1, &entries[20..]);
        let scale = covariance.get(0, 0).max(1.0) * 1e3;
        prop_assert!((mapped.get(0, 0) - covariance.quadratic_form(&entries[20..])).abs() <= 1e-13 * scale);
    }

    #[test]
    fn a_budget_adds_up((sources, values) in values()) {
        let value = (&values[0] + &values[3]) * &values[1] - values[4].exp();
        let budget = Budget::of(&sources, &value);
        let shares: f64 = budget.lines.iter().map(|line| line.share).sum();
        let squares: f64 = budget.lines.iter().map(|line| line.contribution.powi(2)).sum();
        prop_assert!((shares - 1.0).abs() <= ROUNDING);
        prop_assert!((squares.sqrt() / budget.u - 1.0).abs() <= ROUNDING);
        prop_assert!(budget.lines.windows(2).all(|pair| pair[0].share >= pair[1].share));
        let least = budget.lines.iter().map(|line| line.degrees_of_freedom).fold(f64::INFINITY, f64::min);
        let most: f64 = budget.lines.iter().map(|line| line.degrees_of_freedom).sum();
        let nu = budget.expanded.degrees_of_freedom;
        prop_assert!(nu >= least * (1.0 - ROUNDING) && nu <= most * (1.0 + ROUNDING));
        prop_assert!(budget.expanded.factor > 1.95);
    }
}

/// Values and uncertainties of every size, and the finest step of a quantity.
fn shown() -> impl Strategy<Value = (f64, f64, i32)> {
    let value = (-9.999..9.999_f64, -6..7_i32)
        .prop_map(|(digits, exponent)| digits * 10.0_f64.powi(exponent));
    let expanded =
        (1.0..9.999_f64, -4..4_i32).prop_map(|(digits, exponent)| digits * 10.0_f64.powi(exponent));
    (value, expanded, -3..2_i32)
}

/// The unit of the last digit of a text without a power of ten.
fn last_digit(text: &str, finest: i32) -> f64 {
    match text.split_once('.') {
        Some((_, decimals)) => 10.0_f64.powi(-(decimals.len() as i32)),
        None => {
            let zeros = text.bytes().rev().take_while(|&byte| byte == b'0').count() as i32;
            let digits = text.trim_end_matches('0').len() as i32;
            // "1" stands for two digits: its first zero is one.
            let zeros = if digits == 1 && text.starts_with('1') {
                zeros - 1
            } else {
                zeros
            };
            10.0_f64.powi(zeros.max(finest.max(0)))
        }
    }
}

proptest! {
    #[test]
    fn rounding_moves_a_value_by_half_its_last_digit_at_most((value, expanded, finest) in shown()) {
        let rounded = Rounded::new(value, expanded, FinestStep::power_of_ten(finest)).expect("numbers");
        let last = last_digit(&rounded.u_text, finest);
        let shown: f64 = rounded.value_text.parse().expect("a number");
        prop_assert!((shown - value).abs() <= 0.5 * last * (1.0 + 1e-9), "{} for {}", rounded, value);
        prop_assert!(!rounded.value_text.starts_with("-0") || shown != 0.0, "{}", rounded);
        let u: f64 = rounded.u_text.parse().expect("a number");
        prop_assert!(u >= 0.95 * expanded * (1.0 - 1e-12), "{} for {}", rounded, expanded);
        prop_assert!(u <= expanded + last, "{} for {}", rounded, expanded);
    }

    #[test]
    fn rounding_twice_is_rounding_once((value, expanded, finest) in shown()) {
        let step = FinestStep::power_of_ten(finest);
        let once = Rounded::new(value, expanded, step).expect("numbers");
        let (value, expanded) = (once.value_text.parse().expect("a number"), once.u_text.parse().expect("a number"));
        prop_assert_eq!(Rounded::new(value, expanded, step).expect("numbers"), once);
    }

    #[test]
    fn rounding_keeps_the_order((value, expanded, finest) in shown(), other in -1e3..1e3_f64) {
        let step = FinestStep::power_of_ten(finest);
        let shown = |value: f64| -> f64 {
            Rounded::new(value, expanded, step).expect("numbers").value_text.parse().expect("a number")
        };
        let (low, high) = (value.min(other), value.max(other));
        prop_assert!(shown(low) <= shown(high));
    }

    #[test]
    fn no_number_at_all_breaks_rounding(value in any::<f64>(), expanded in any::<f64>(), finest in -20..20_i32) {
        if let Ok(rounded) = Rounded::new(value, expanded, FinestStep::power_of_ten(finest)) {
            prop_assert!(rounded.value_text.parse::<f64>().is_ok_and(|number| !number.is_nan()));
            prop_assert!(expanded == 0.0 || rounded.u_text.parse::<f64>().expect("a number") > 0.0);
        } else {
            prop_assert!(!value.is_finite() || !expanded.is_finite() || expanded < 0.0);
        }
    }

    #[test]
    fn a_value_as_entered_reads_back(value in any::<f64>()) {
        if let Ok(text) = Rounded::as_entered(value) {
            prop_assert_eq!(text.parse::<f64>().expect("a number"), value);
        }
    }
}
