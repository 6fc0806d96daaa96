//! Least squares against certified, published and independently computed values, and the laws it keeps.

mod gauge_shapes;

use std::collections::HashMap;
use std::path::Path;

use gauge_shapes::{Beam, Hyperbola};
use metrology::fit::{
    Curve, CurveFit, Differenced, Ending, Error, Estimate, Fit, Line, Model, OutsideDomain, Point,
    Prior, Residuals, Settings, fit_curve, least_squares, linear_least_squares, polynomial,
};
use proptest::prelude::*;

mod table {
    use super::*;

    /// Rows of a file of a validation case, by column name.
    pub(super) fn rows(case: &str, file: &str) -> Vec<HashMap<String, String>> {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../validation")
            .join(case)
            .join(file);
        let text =
            std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let mut lines = text.lines();
        let names: Vec<&str> = lines.next().expect("a header").split(',').collect();
        let row = |line: &str| {
            names
                .iter()
                .map(|n| n.to_string())
                .zip(line.split(',').map(String::from))
                .collect()
        };
        lines.map(row).collect()
    }

    pub(super) fn number(row: &HashMap<String, String>, column: &str) -> f64 {
        row[column]
            .parse()
            .unwrap_or_else(|_| panic!("`{}` in column {column} is no number", row[column]))
    }

    pub(super) fn column(rows: &[HashMap<String, String>], name: &str) -> Vec<f64> {
        rows.iter().map(|row| number(row, name)).collect()
    }
}
use table::{column, number, rows};

fn assert_close(what: &str, found: f64, expected: f64, relative: f64) {
    let off = (found - expected).abs() / expected.abs();
    assert!(
        off <= relative,
        "{what}: {found:e}, expected {expected:e}, off by {off:.1e} of it"
    );
}

/// Number of digits that agree (log relative error), at most 16.
fn digits(found: f64, certified: f64) -> f64 {
    let off = (found - certified).abs() / certified.abs();
    if off == 0.0 { 16.0 } else { -off.log10() }
}

// ---------------------------------------------------------------- NIST StRD, nonlinear

/// A model's value and derivatives by the parameters.
type Law = fn(f64, &[f64], &mut [f64]) -> f64;

fn misra1a(x: f64, b: &[f64], d: &mut [f64]) -> f64 {
    let fade = (-b[1] * x).exp();
    d.copy_from_slice(&[1.0 - fade, b[0] * x * fade]);
    b[0] * (1.0 - fade)
}

fn chwirut2(x: f64, b: &[f64], d: &mut [f64]) -> f64 {
    let below = b[1] + b[2] * x;
    let y = (-b[0] * x).exp() / below;
    d.copy_from_slice(&[-x * y, -y / below, -x * y / below]);
    y
}

fn rat43(x: f64, b: &[f64], d: &mut [f64]) -> f64 {
    let grow = (b[1] - b[2] * x).exp();
    let power = (1.0 + grow).powf(-1.0 / b[3]);
    let inner = -b[0] / b[3] * power / (1.0 + grow) * grow;
    d.copy_from_slice(&[
        power,
        inner,
        -x * inner,
        b[0] * power * (1.0 + grow).ln() / (b[3] * b[3]),
    ]);
    b[0] * power
}

fn danwood(x: f64, b: &[f64], d: &mut [f64]) -> f64 {
    let power = x.powf(b[1]);
    d.copy_from_slice(&[power, b[0] * power * x.ln()]);
    b[0] * power
}

fn mgh17(x: f64, b: &[f64], d: &mut [f64]) -> f64 {
    let (first, second) = ((-x * b[3]).exp(), (-x * b[4]).exp());
    d.copy_from_slice(&[1.0, first, second, -x * b[1] * first, -x * b[2] * second]);
    b[0] + b[1] * first + b[2] * second
}

fn thurber(x: f64, b: &[f64], d: &mut [f64]) -> f64 {
    let below = 1.0 + x * (b[4] + x * (b[5] + x * b[6]));
    let y = (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / below;
    for (power, slope) in d.iter_mut().enumerate() {
        *slope = if power < 4 {
            x.powi(power as i32) / below
        } else {
            -y * x.powi(power as i32 - 3) / below
        };
    }
    y
}

fn bennett5(x: f64, b: &[f64], d: &mut [f64]) -> f64 {
    let power = (b[1] + x).powf(-1.0 / b[2]);
    let log = (b[1] + x).ln();
    d.copy_from_slice(&[
        power,
        -b[0] / b[2] * power / (b[1] + x),
        b[0] * power * log / (b[2] * b[2]),
    ]);
    b[0] * power
}

struct Observed {
    law: Law,
    parameters: usize,
    x: Vec<f64>,
    y: Vec<f64>,
}

impl Observed {
    fn read(case: &str, law: Law, parameters: usize) -> Self {
        let data = rows(case, "data.csv");
        Self {
            law,
            parameters,
            x: column(&data, "x"),
            y: column(&data, "y"),
        }
    }
}

impl Model for Observed {
    fn parameters(&self) -> usize {
        self.parameters
    }
    fn residuals(&self) -> usize {
        self.x.len()
    }
    fn evaluate(
        &self,
        p: &[f64],
        residuals: &mut [f64],
        jacobian: &mut [f64],
    ) -> Result<(), OutsideDomain> {
        let slopes = jacobian.chunks_exact_mut(p.len());
        for (i, (residual, row)) in residuals.iter_mut().zip(slopes).enumerate() {
            *residual = (self.law)(self.x[i], p, row) - self.y[i];
        }
        Ok(())
    }
}

impl Residuals for Observed {
    fn parameters(&self) -> usize {
        self.parameters
    }
    fn residuals(&self) -> usize {
        self.x.len()
    }
    fn evaluate(&self, p: &[f64], residuals: &mut [f64]) -> Result<(), OutsideDomain> {
        let mut unused = vec![0.0; p.len()];
        for (i, residual) in residuals.iter_mut().enumerate() {
            *residual = (self.law)(self.x[i], p, &mut unused) - self.y[i];
        }
        Ok(())
    }
}

/// Fewest digits that agree with the certified parameters, and with their standard deviations.
fn agreement(case: &str, fit: &Fit) -> (f64, f64) {
    let expected = rows(case, "expected.csv");
    let covariance = fit.scaled_covariance().expect("degrees of freedom");
    let size = fit.parameters.len();
    let mut fewest = (16.0_f64, 16.0_f64);
    for (index, row) in expected.iter().take(size).enumerate() {
        fewest.0 = fewest
            .0
            .min(digits(fit.parameters[index], number(row, "value")));
        let deviation = covariance.standard_uncertainty(index);
        fewest.1 = fewest.1.min(digits(deviation, number(row, "deviation")));
    }
    let spread = expected
        .iter()
        .find(|row| row["name"] == "residual_deviation")
        .expect("a row");
    fewest.1 = fewest.1.min(digits(
        fit.deviation().expect("degrees of freedom"),
        number(spread, "value"),
    ));
    fewest
}

/// Source: `validation/nist-*/SOURCE.md`, certified to 11 digits. Asked: 7 digits of every parameter and
/// 6 of every standard deviation, with written-down derivatives and with differences. Observed: 10.4 and
/// 10.4 at worst with derivatives, 8.1 and 7.6 with differences (Bennett5).
fn certified(case: &str, law: Law, start: &str, parameters: usize) {
    let starts = column(&rows(case, "expected.csv")[..parameters], start);
    let observed = Observed::read(case, law, parameters);
    let fit = least_squares(&observed, &starts, &Settings::default()).expect("a fit");
    let agreed = agreement(case, &fit);
    assert_eq!(
        fit.ending,
        Ending::Converged,
        "{case} from {start}: {fit:?}"
    );
    assert!(
        agreed.0 >= 7.0 && agreed.1 >= 6.0,
        "{case} from {start}: {agreed:?} {fit:?}"
    );

    let differenced = Differenced {
        typical: fit.parameters.clone(),
        residuals: observed,
    };
    let fit = least_squares(&differenced, &starts, &Settings::default()).expect("a fit");
    let agreed = agreement(case, &fit);
    assert!(
        agreed.0 >= 7.0 && agreed.1 >= 6.0,
        "{case} by differences: {agreed:?} {fit:?}"
    );
}

macro_rules! certified_from_both_starts {
    ($($name:ident: $case:literal, $law:ident, $parameters:literal;)*) => {$(
        #[test]
        fn $name() {
            certified($case, $law, "start_1", $parameters);
            certified($case, $law, "start_2", $parameters);
        }
    )*};
}

certified_from_both_starts! {
    nist_misra1a_is_met_from_both_starts: "nist-misra1a", misra1a, 2;
    nist_chwirut2_is_met_from_both_starts: "nist-chwirut2", chwirut2, 3;
    nist_rat43_is_met_from_both_starts: "nist-rat43", rat43, 4;
    nist_danwood_is_met_from_both_starts: "nist-danwood", danwood, 2;
    nist_mgh17_is_met_from_both_starts: "nist-mgh17", mgh17, 5;
    nist_thurber_is_met_from_both_starts: "nist-thurber", thurber, 7;
    nist_bennett5_is_met_from_both_starts: "nist-bennett5", bennett5, 3;
}

// ---------------------------------------------------------------- NIST StRD, linear

/// Source: `validation/nist-{norris,pontius,longley}/SOURCE.md`, certified to 15 digits. Asked: 9.
fn linear_certified(case: &str, fit: &Fit) {
    let agreed = agreement(case, fit);
    assert!(
        agreed.0 >= 9.0 && agreed.1 >= 9.0,
        "{case}: {agreed:?} {fit:?}"
    );
}

#[test]
fn nist_norris_is_met() {
    let data = rows("nist-norris", "data.csv");
    let (x, y) = (column(&data, "x"), column(&data, "y"));
    linear_certified(
        "nist-norris",
        &polynomial(1, &x, &y, &vec![1.0; y.len()]).expect("a fit"),
    );
}

#[test]
fn nist_pontius_load_cell_is_met() {
    let data = rows("nist-pontius", "data.csv");
    let (x, y) = (column(&data, "x"), column(&data, "y"));
    linear_certified(
        "nist-pontius",
        &polynomial(2, &x, &y, &vec![1.0; y.len()]).expect("a fit"),
    );
}

#[test]
fn nist_longley_is_met() {
    let data = rows("nist-longley", "data.csv");
    let terms = |row: &HashMap<String, String>| {
        std::iter::once(1.0)
            .chain((1..=6).map(|i| number(row, &format!("x{i}"))))
            .collect::<Vec<f64>>()
    };
    let design: Vec<f64> = data.iter().flat_map(terms).collect();
    let y = column(&data, "y");
    let fit = linear_least_squares(&design, 7, &y, &vec![1.0; y.len()]).expect("a fit");
    linear_certified("nist-longley", &fit);
}

// ---------------------------------------------------------------- straight lines

/// Named results against `printed` (to half of its last place) and `computed` (to all its digits).
fn as_printed(expected: &[HashMap<String, String>], found: &[(&str, f64)]) {
    assert_eq!(
        expected.len(),
        found.len(),
        "every published number is asked for"
    );
    for (name, value) in found {
        let row = expected
            .iter()
            .find(|row| row["name"] == *name)
            .unwrap_or_else(|| panic!("no {name}"));
        if !row["places"].is_empty() {
            let half = 0.5 * 0.1_f64.powf(number(row, "places"));
            let printed = number(row, "printed");
            assert!(
                (value - printed).abs() <= half * (1.0 + 1e-9),
                "{name}: {value}, printed {printed}"
            );
        }
        let decimals = row["computed"]
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        let computed = number(row, "computed");
        assert!(
            (value - computed).abs() <= 0.1_f64.powi(decimals as i32),
            "{name}: {value}, computed {computed}"
        );
    }
}

fn line_values(line: &Line) -> [(&'static str, f64); 6] {
    [
        ("a", line.intercept.value),
        ("u_a", line.intercept.u),
        ("b", line.slope.value),
        ("u_b", line.slope.u),
        ("covariance", line.covariance),
        ("chi_squared", line.chi_squared),
    ]
}

fn points_of(data: &[HashMap<String, String>]) -> Vec<Point> {
    let or_exact = |row: &HashMap<String, String>| {
        if row.contains_key("u_x") {
            number(row, "u_x")
        } else {
            0.0
        }
    };
    let point = |row| Point {
        x: number(row, "x"),
        u_x: or_exact(row),
        y: number(row, "y"),
        u_y: number(row, "u_y"),
    };
    data.iter().map(point).collect()
}

fn iso_case(name: &str) -> Vec<HashMap<String, String>> {
    rows("iso-28037", "expected.csv")
        .into_iter()
        .filter(|row| row["case"] == name)
        .collect()
}

fn pairs_of(data: &[HashMap<String, String>], x: &str, y: &str) -> Vec<(f64, f64)> {
    data.iter()
        .map(|row| (number(row, x), number(row, y)))
        .collect()
}

/// Source: `validation/gum-h3-line/SOURCE.md`, all printed digits.
#[test]
fn gum_thermometer_calibration_is_met() {
    let from_20: Vec<(f64, f64)> = pairs_of(&rows("gum-h3-line", "data.csv"), "t", "b")
        .iter()
        .map(|(t, b)| (t - 20.0, *b))
        .collect();
    let line = Line::of_unknown_variance(&from_20).expect("a line");
    let at_30 = line.y_at(Estimate {
        value: 10.0,
        u: 0.0,
    });
    as_printed(
        &rows("gum-h3-line", "expected.csv"),
        &[
            ("y1", line.intercept.value),
            ("u_y1", line.intercept.u),
            ("y2", line.slope.value),
            ("u_y2", line.slope.u),
            (
                "correlation",
                line.covariance / (line.intercept.u * line.slope.u),
            ),
            ("deviation", line.deviation().expect("degrees of freedom")),
            ("b30", at_30.value),
            ("u_b30", at_30.u),
            ("degrees_of_freedom", line.degrees_of_freedom as f64),
        ],
    );
}

/// Source: `validation/iso-28037/SOURCE.md`, clause 6.3.
#[test]
fn iso_28037_weighted_lines_are_met() {
    let line = Line::through(&points_of(&rows("iso-28037", "clause-6-first.csv"))).expect("a line");
    let x = line
        .x_at(Estimate {
            value: 10.5,
            u: 0.5,
        })
        .expect("a slope");
    let y = line.y_at(Estimate { value: 3.5, u: 0.2 });
    let mut found = line_values(&line).to_vec();
    found.extend([("x_at_10.5_u_0.5", x.value), ("u_x_at_10.5_u_0.5", x.u)]);
    found.extend([("y_at_3.5_u_0.2", y.value), ("u_y_at_3.5_u_0.2", y.u)]);
    as_printed(&iso_case("clause-6-first"), &found);

    let line =
        Line::through(&points_of(&rows("iso-28037", "clause-6-second.csv"))).expect("a line");
    let x = line
        .x_at(Estimate {
            value: 10.5,
            u: 1.0,
        })
        .expect("a slope");
    let mut found = line_values(&line).to_vec();
    found.extend([("x_at_10.5_u_1.0", x.value), ("u_x_at_10.5_u_1.0", x.u)]);
    as_printed(&iso_case("clause-6-second"), &found);
}

/// Source: `validation/iso-28037/SOURCE.md`, clause 7.4.
#[test]
fn iso_28037_line_with_uncertainty_in_both_variables_is_met() {
    let line = Line::through(&points_of(&rows("iso-28037", "clause-7.csv"))).expect("a line");
    as_printed(&iso_case("clause-7"), &line_values(&line));
    assert!((line.slope.value - 2.159).abs() < 1e-3); // printed cut, not rounded: SOURCE.md
}

/// Source: `validation/iso-28037/SOURCE.md`, annex E.
#[test]
fn iso_28037_line_of_unknown_variance_is_met() {
    let pairs = pairs_of(&rows("iso-28037", "annex-e.csv"), "x", "y");
    let line = Line::of_unknown_variance(&pairs).expect("a line");
    let one_reading = Estimate {
        value: 10.5,
        u: line.deviation().expect("degrees of freedom"),
    };
    let x = line.x_at(one_reading).expect("a slope");
    let mut found = line_values(&line).to_vec();
    found.extend([("x_at_10.5_u_s", x.value), ("u_x_at_10.5_u_s", x.u)]);
    as_printed(&iso_case("annex-e"), &found);
}

fn pearson() -> Vec<Point> {
    let point = |row: &HashMap<String, String>| Point {
        x: number(row, "x"),
        u_x: number(row, "weight_x").sqrt().recip(),
        y: number(row, "y"),
        u_y: number(row, "weight_y").sqrt().recip(),
    };
    rows("pearson-york", "data.csv").iter().map(point).collect()
}

fn swapped(points: &[Point]) -> Vec<Point> {
    points
        .iter()
        .map(|p| Point {
            x: p.y,
            u_x: p.u_y,
            y: p.x,
            u_y: p.u_x,
        })
        .collect()
}

/// Source: `validation/pearson-york/SOURCE.md`. Tolerance 1e-8 relative.
#[test]
fn york_line_through_pearsons_data_is_met() {
    let line = Line::through(&pearson()).expect("a line");
    let expected = rows("pearson-york", "expected.csv");
    for (name, value) in line_values(&line) {
        let row = expected
            .iter()
            .find(|row| row["name"] == name)
            .expect("listed");
        assert_close(name, value, number(row, "value"), 1e-8);
    }
    assert_eq!(line.degrees_of_freedom, 8);
}

/// Law: neither variable is privileged. Tolerance 1e-10 relative.
#[test]
fn line_through_swapped_axes_is_the_same_line() {
    for points in [pearson(), points_of(&rows("iso-28037", "clause-7.csv"))] {
        let line = Line::through(&points).expect("a line");
        let other = Line::through(&swapped(&points)).expect("a line");
        assert_close("slope", other.slope.value.recip(), line.slope.value, 1e-10);
        assert_close(
            "intercept",
            -other.intercept.value / other.slope.value,
            line.intercept.value,
            1e-10,
        );
        assert_close("chi squared", other.chi_squared, line.chi_squared, 1e-10);
        // u of the slope, carried through b = 1/b'
        assert_close(
            "u",
            other.slope.u / other.slope.value.powi(2),
            line.slope.u,
            1e-9,
        );
    }
}

// ---------------------------------------------------------------- curves uncertain in both variables

const MIDDLE: Hyperbola = Hyperbola { middle: 900.0 };

/// Source: `validation/gauge-shaped-odr/SOURCE.md`: odrpack, scipy.odr, scipy.optimize.
/// Tolerance 1e-7 relative on parameters, 1e-5 on their covariance.
fn agrees_with_packages(case: &str, curve: &dyn Curve, priors: &[Prior], start: &[f64]) {
    let of_case = |file| {
        rows("gauge-shaped-odr", file)
            .into_iter()
            .filter(|row| row["case"] == case)
    };
    let points = points_of(&of_case("data.csv").collect::<Vec<_>>());
    let answer = fit_curve(curve, &points, priors, start, &Settings::default()).expect("a fit");
    let fit = &answer.fit;
    assert_eq!(fit.ending, Ending::Converged);
    assert_eq!(
        fit.degrees_of_freedom,
        points.len() + priors.len() - start.len()
    );
    let index = |digit: &str| digit.parse::<usize>().expect("an index");
    for row in of_case("expected.csv") {
        let (name, expected) = (row["name"].as_str(), number(&row, "value"));
        let what = format!("{case}, {} {name}", row["package"]);
        match name.split_at(1) {
            ("p", i) => assert_close(&what, fit.parameters[index(i)], expected, 1e-7),
            ("x", i) => assert_close(&what, answer.x[index(i)], expected, 1e-7),
            ("c", "hi_squared") => assert_close(&what, fit.chi_squared, expected, 1e-9),
            ("c", ij) => {
                let (i, j) = (index(&ij[..1]), index(&ij[1..]));
                let found = fit.covariance.get(i, j);
                assert_close(&what, found, expected, 1e-5);
            }
            _ => panic!("unknown name {name}"),
        }
    }
    let squares = |list: &[f64]| list.iter().map(|r| r * r).sum::<f64>();
    let prior_part: f64 = priors
        .iter()
        .map(|p| ((fit.parameters[p.parameter] - p.value) / p.u).powi(2))
        .sum();
    let sum = squares(&answer.x_residuals) + squares(&answer.y_residuals) + prior_part;
    assert_close("sum of the residuals' squares", sum, fit.chi_squared, 1e-12);
}

#[test]
fn fine_hyperbola_agrees_with_general_packages() {
    agrees_with_packages("fine", &MIDDLE, &[], &[20.0, 5.0, 0.1]);
}

#[test]
fn hyperbola_of_coarse_abscissas_agrees_with_general_packages() {
    agrees_with_packages("coarse", &MIDDLE, &[], &[20.0, 5.0, 0.1]);
}

#[test]
fn falling_hyperbola_agrees_with_general_packages() {
    agrees_with_packages("falling", &MIDDLE, &[], &[1.5, -0.5, 0.2]);
}

const BEAM_PRIORS: [Prior; 2] = [
    Prior {
        parameter: 2,
        value: 4.2e4,
        u: 4.0e3,
    },
    Prior {
        parameter: 3,
        value: 0.145,
        u: 0.015,
    },
];

#[test]
fn tensioned_beam_with_priors_agrees_with_general_packages() {
    agrees_with_packages(
        "beam",
        &Beam { half_span: 0.05 },
        &BEAM_PRIORS,
        &[0.0, 2.0e6, 3.0e4, 0.12],
    );
}

// ---------------------------------------------------------------- laws

/// Truth and deviations of a gauge-like calibration, with the uncertainties the deviations were drawn by.
fn hyperbola_points() -> impl Strategy<Value = (Vec<f64>, Vec<Point>)> {
    let truth = (
        -30.0..30.0_f64,
        3.0..12.0_f64,
        prop::bool::ANY,
        0.0..0.8_f64,
    );
    let noise = prop::collection::vec((-2.0..2.0_f64, -2.0..2.0_f64), 6..16);
    (truth, noise, 0.1..8.0_f64, 0.02..0.3_f64).prop_map(|((r, b, rises, psi), noise, u_x, u_y)| {
        let truth = vec![r, if rises { b } else { -b }, psi];
        let gap = 1250.0 / (noise.len() - 1) as f64;
        let points = noise.iter().enumerate().map(|(i, (dx, dy))| {
            let x = 250.0 + gap * i as f64;
            let y = MIDDLE.value(x, &truth, &mut [0.0; 3]).expect("inside").y;
            Point {
                x: x + u_x * dx,
                u_x,
                y: y + u_y * dy,
                u_y,
            }
        });
        let points = points.collect();
        (truth, points)
    })
}

/// The chord through the first and last point: where anyone would start.
fn chord(points: &[Point]) -> [f64; 3] {
    let (first, last) = (points[0], points[points.len() - 1]);
    let slope = (last.y - first.y) / (last.x - first.x);
    [
        first.y + slope * (MIDDLE.middle - first.x),
        slope * MIDDLE.middle,
        0.0,
    ]
}

fn fitted(curve: &dyn Curve, points: &[Point], start: &[f64]) -> CurveFit {
    fit_curve(curve, points, &[], start, &Settings::default()).expect("a fit")
}

/// Every parameter agrees to this part of its uncertainty, and every uncertainty to this part of itself.
fn assert_same(found: &Fit, expected: &[f64], u: &[f64], part: f64) {
    for (i, (value, u)) in expected.iter().zip(u).enumerate() {
        let off = (found.parameters[i] - value).abs();
        assert!(
            off <= part * u + 1e-13 * value.abs(),
            "parameter {i}: {} and {value}, u {u}",
            found.parameters[i]
        );
        assert_close(
            "uncertainty",
            found.covariance.standard_uncertainty(i),
            *u,
            part,
        );
    }
}

fn uncertainties(fit: &Fit) -> Vec<f64> {
    (0..fit.parameters.len())
        .map(|i| fit.covariance.standard_uncertainty(i))
        .collect()
}

proptest! {
    #[test]
    fn other_units_of_x_and_y_scale_the_answer(
        (truth, points) in hyperbola_points(), x_unit in 1e-3..1e3_f64, y_unit in 1e-3..1e3_f64,
    ) {
        let answer = fitted(&MIDDLE, &points, &truth);
        let other: Vec<Point> = points.iter().map(|p| Point {
            x: p.x * x_unit, u_x: p.u_x * x_unit, y: p.y * y_unit, u_y: p.u_y * y_unit,
        }).collect();
        let in_y = [y_unit, y_unit, 1.0];
        let scaled = |list: &[f64]| list.iter().zip(in_y).map(|(v, unit)| v * unit).collect::<Vec<f64>>();
        let curve = Hyperbola { middle: MIDDLE.middle * x_unit };
        let found = fitted(&curve, &other, &scaled(&truth));
        assert_same(&found.fit, &scaled(&answer.fit.parameters), &scaled(&uncertainties(&answer.fit)), 1e-7);
        assert_close("chi squared", found.fit.chi_squared, answer.fit.chi_squared, 1e-9);
    }

    #[test]
    fn order_of_the_points_is_irrelevant((truth, points) in hyperbola_points(), turn in 0..16_usize) {
        let answer = fitted(&MIDDLE, &points, &truth).fit;
        let mut other = points.clone();
        other.rotate_left(turn % points.len());
        other.swap(0, 1);
        let found = fitted(&MIDDLE, &other, &truth).fit;
        assert_same(&found, &answer.parameters, &uncertainties(&answer), 1e-7);
    }

    #[test]
    fn the_start_is_irrelevant((truth, points) in hyperbola_points()) {
        let answer = fitted(&MIDDLE, &points, &truth).fit;
        let found = fitted(&MIDDLE, &points, &chord(&points)).fit;
        assert_same(&found, &answer.parameters, &uncertainties(&answer), 1e-7);
    }

    #[test]
    fn exact_points_give_back_their_curve((truth, points) in hyperbola_points()) {
        let exact: Vec<Point> = points.iter().map(|p| {
            let y = MIDDLE.value(p.x, &truth, &mut [0.0; 3]).expect("inside").y;
            Point { y, ..*p }
        }).collect();
        let found = fitted(&MIDDLE, &exact, &chord(&exact));
        prop_assert_eq!(found.fit.ending, Ending::Converged);
        for (value, expected) in found.fit.parameters.iter().zip(&truth) {
            prop_assert!((value - expected).abs() <= 1e-9 * (1.0 + expected.abs()), "{} {}", value, expected);
        }
        prop_assert!(found.fit.chi_squared < 1e-15);
    }

    #[test]
    fn a_prior_that_says_nothing_changes_nothing((truth, points) in hyperbola_points(), value in -1e3..1e3_f64) {
        let answer = fitted(&MIDDLE, &points, &truth);
        let prior = Prior { parameter: 2, value, u: f64::INFINITY };
        let found = fit_curve(&MIDDLE, &points, &[prior], &truth, &Settings::default());
        prop_assert_eq!(found, Ok(answer));
    }

    #[test]
    fn a_sharp_prior_holds_its_parameter((truth, points) in hyperbola_points(), value in 0.0..0.8_f64) {
        let prior = Prior { parameter: 2, value, u: 1e-9 };
        let found = fit_curve(&MIDDLE, &points, &[prior], &truth, &Settings::default()).expect("a fit").fit;
        prop_assert!((found.parameters[2] - value).abs() < 1e-6);
        assert_close("uncertainty", found.covariance.standard_uncertainty(2), 1e-9, 1e-6);
    }

    #[test]
    fn a_linear_fit_leaves_residuals_orthogonal_to_its_columns(
        y in prop::collection::vec(-10.0..10.0_f64, 5..20), degree in 0..4_usize,
    ) {
        let x: Vec<f64> = (0..y.len()).map(|i| i as f64 / y.len() as f64).collect();
        let fit = polynomial(degree, &x, &y, &vec![1.0; y.len()]).expect("a fit");
        let curve = |x: f64| fit.parameters.iter().rev().fold(0.0, |sum, p| sum * x + p);
        for power in 0..=degree {
            let product: f64 = x.iter().zip(&y).map(|(x, y)| x.powi(power as i32) * (y - curve(*x))).sum();
            prop_assert!(product.abs() < 1e-9, "{}", product);
        }
    }
}

// ---------------------------------------------------------------- what is refused

#[test]
fn what_cannot_be_fitted_is_refused_with_its_reason() {
    let settings = Settings::default();
    let point = |x: f64, y: f64| Point {
        x,
        u_x: 1.0,
        y,
        u_y: 0.1,
    };
    let start = [1.0, 1.0, 0.1];
    let fit = |points: &[Point], priors: &[Prior], start: &[f64]| {
        fit_curve(&MIDDLE, points, priors, start, &settings).expect_err("refused")
    };
    let few = [point(500.0, 1.0), point(900.0, 2.0)];
    assert_eq!(
        fit(&few, &[], &start),
        Error::TooFew {
            residuals: 2,
            parameters: 3
        }
    );
    // Three readings at one exact x say nothing about the slope.
    let stacked = [1.0, 1.1, 0.9].map(|y| Point {
        u_x: 0.0,
        ..point(900.0, y)
    });
    assert!(matches!(
        fit(&stacked, &[], &start),
        Error::NotIdentified {
            parameter: 1 | 2,
            ..
        }
    ));
    let spread = [point(500.0, 1.0), point(900.0, 2.0), point(1300.0, 2.5)];
    assert!(matches!(
        fit(&spread, &[], &[1.0, 1.0, 5.0]),
        Error::StartOutsideDomain { .. }
    ));
    assert!(matches!(
        fit(&spread, &[], &start[..2]),
        Error::WrongLength {
            given: 2,
            needed: 3,
            ..
        }
    ));
    assert!(matches!(
        fit(
            &[Point {
                y: f64::NAN,
                ..few[0]
            }],
            &[],
            &start
        ),
        Error::NotFinite { index: 0, .. }
    ));
    assert!(matches!(
        fit(&[few[0], Point { u_y: 0.0, ..few[1] }], &[], &start),
        Error::BadUncertainty { index: 1, .. }
    ));
    let prior = Prior {
        parameter: 3,
        value: 0.0,
        u: 1.0,
    };
    assert!(matches!(
        fit(&spread, &[prior], &start),
        Error::WrongLength {
            given: 4,
            needed: 3,
            ..
        }
    ));
    assert_eq!(
        Line::of_unknown_variance(&[(0.0, 1.0), (1.0, 2.0)]),
        Err(Error::TooFew {
            residuals: 2,
            parameters: 3
        })
    );
    let level = Line::of_unknown_variance(&[(0.0, 1.0), (1.0, 1.0), (2.0, 1.0)]).expect("a line");
    assert_eq!(
        level.x_at(Estimate { value: 2.0, u: 0.1 }),
        Err(Error::Level { y: 2.0 })
    );
}

#[test]
fn a_fit_cut_short_says_so() {
    let observed = Observed::read("nist-bennett5", bennett5, 3);
    let settings = Settings {
        iterations: 5,
        ..Settings::default()
    };
    let fit = least_squares(&observed, &[-2000.0, 50.0, 0.8], &settings).expect("a fit");
    assert_eq!((fit.ending, fit.iterations), (Ending::IterationLimit, 5));
}
