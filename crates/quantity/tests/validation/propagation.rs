//! Linear propagation with correlation: examples of the GUM, and two general-purpose packages.

use crate::table::{agree_with_print, close, rows};
use quantity::distribution::coverage_factor;
use quantity::{Budget, Covariance, Sources, Uncertain};

fn column(case: &str, file: &str, name: &str) -> Vec<f64> {
    rows(case, file)
        .iter()
        .map(|row| row.number(name))
        .collect()
}

/// Source: validation/gum-h2/SOURCE.md. Tolerance half a unit of the last printed place; 1e-6 of the computed.
#[test]
fn resistance_and_reactance_measured_at_once_agree_with_the_guide() {
    let series =
        ["voltage_v", "current_ma", "phase_rad"].map(|name| column("gum-h2", "data.csv", name));
    let series: Vec<&[f64]> = series.iter().map(Vec::as_slice).collect();
    let mut sources = Sources::new();
    let means = sources
        .add_means("readings", &series)
        .expect("five of each");
    let [voltage, milliampere, phase] = &means[..] else {
        panic!("three means")
    };
    let impedance = voltage / &(milliampere / 1_000.0);
    let (resistance, reactance) = (&impedance * &phase.cos(), &impedance * &phase.sin());
    let r = |one: &Uncertain, two: &Uncertain| one.correlation(two).expect("both uncertain");
    let found = [
        ("voltage_current", r(voltage, milliampere)),
        ("voltage_phase", r(voltage, phase)),
        ("current_phase", r(milliampere, phase)),
        ("resistance", resistance.value()),
        ("u_resistance", resistance.u()),
        ("reactance", reactance.value()),
        ("u_reactance", reactance.u()),
        ("impedance", impedance.value()),
        ("u_impedance", impedance.u()),
        ("resistance_reactance", r(&resistance, &reactance)),
        ("resistance_impedance", r(&resistance, &impedance)),
        ("reactance_impedance", r(&reactance, &impedance)),
    ];
    agree_with_print("gum-h2", &found, |_| 0.0);
    for row in rows("gum-h2", "expected.csv") {
        let (_, value) = found
            .iter()
            .find(|(name, _)| *name == row.text("name"))
            .expect("found before");
        assert!(
            (value - row.number("computed")).abs() < 1e-6,
            "{}: {value}",
            row.text("name")
        );
    }
    let budget = Budget::of(&sources, &reactance);
    assert_eq!(
        (budget.lines.len(), budget.lines[0].degrees_of_freedom),
        (1, 4.0)
    );
}

/// Source: validation/gum-h3-line/SOURCE.md: the line's parameters are given, correlated; the guide's correction at 30 °C.
#[test]
fn the_correction_read_from_a_line_needs_its_parameters_correlation() {
    let rows = rows("gum-h3-line", "expected.csv");
    let row = |name: &str| {
        rows.iter()
            .find(|row| row.text("name") == name)
            .expect("a known name")
    };
    let computed = |name: &str| row(name).number("computed");
    let (u_level, u_slope) = (computed("u_y1"), computed("u_y2"));
    let mut covariance = Covariance::diagonal(&[u_level * u_level, u_slope * u_slope]);
    covariance.set(0, 1, computed("correlation") * u_level * u_slope);
    let mut sources = Sources::new();
    let line = sources
        .add_group(
            "line",
            &[computed("y1"), computed("y2")],
            &covariance,
            computed("degrees_of_freedom"),
        )
        .expect("semidefinite");
    let correction = &line[0] + &(&line[1] * (30.0 - 20.0));
    for (name, value) in [("b30", correction.value()), ("u_b30", correction.u())] {
        assert!(
            (value - row(name).number("printed")).abs() <= row(name).half_unit(),
            "{name}: {value}"
        );
        assert!(close(value, computed(name), 1e-8), "{name}: {value}");
    }
    let expanded = sources.expanded(&correction);
    assert!((expanded.degrees_of_freedom - 9.0).abs() < 1e-12);
    assert!((expanded.factor - 2.262_157).abs() < 1e-6);
}

/// Source: validation/gum-h1/SOURCE.md. Tolerance 0.1 of 16.7, for components printed to two digits.
#[test]
fn effective_degrees_of_freedom_agree_with_the_guide() {
    let mut sources = Sources::new();
    let mut add = |label: &str, u, nu| sources.add(label, 0.0, u, nu).expect("a good source");
    let parts: Vec<Uncertain> = rows("gum-h1", "data.csv")
        .iter()
        .map(|row| {
            add(
                row.text("label"),
                row.number("contribution_nm"),
                row.number("degrees_of_freedom"),
            )
        })
        .collect();
    let nu = sources.effective_degrees_of_freedom(&parts.iter().sum());
    let found = [
        ("effective_degrees_of_freedom", nu),
        ("factor_99_with_16", coverage_factor(0.99, 16.0)),
    ];
    let lost = |name: &str| {
        if name == "effective_degrees_of_freedom" {
            0.05
        } else {
            0.0
        }
    };
    agree_with_print("gum-h1", &found, lost);
}

/// The computations of `validation/uncertain-oracle/make_expected.py`, in the same order.
fn oracle(sources: &mut Sources) -> Vec<(&'static str, Uncertain)> {
    let mut covariance = Covariance::diagonal(&[4.0, 0.0009, 0.0016]);
    covariance.set(0, 1, -0.03);
    covariance.set(0, 2, 0.02);
    covariance.set(1, 2, -0.0001);
    let curve = sources
        .add_group("curve", &[-180.0, 11.5, 0.85], &covariance, 9.0)
        .expect("semidefinite");
    let mut made = Vec::new();
    for row in rows("uncertain-oracle", "sources.csv") {
        let (label, value, u) = (row.text("label"), row.number("value"), row.number("u"));
        let one = sources
            .add(label, value, u, row.number("degrees_of_freedom"))
            .expect("a good source");
        made.push((label.to_owned(), one));
    }
    let named = |name: &str| {
        &made
            .iter()
            .find(|(label, _)| label == name)
            .expect("a known label")
            .1
    };
    let (scale, offset, angle) = (named("scale"), named("offset"), named("angle"));
    let (zero, slope, bend) = (&curve[0], &curve[1], &curve[2]);

    let force = |reading: &Uncertain| {
        scale * (zero + slope * reading + bend * reading * reading / 100.0) + offset
    };
    let lap = |state: &str| -> Vec<Uncertain> {
        (1..=6)
            .map(|i| force(named(&format!("{state} {i}"))))
            .collect()
    };
    let (bare, tyred) = (lap("bare"), lap("tyred"));
    let mean_bare = Uncertain::mean(&bare).expect("six");
    let mean_tyred = Uncertain::mean(&tyred).expect("six");
    vec![
        ("first_bare", bare[0].clone()),
        ("drop", 1.0 - &mean_tyred / &mean_bare),
        ("ratio_of_two", &bare[1] / &bare[2]),
        ("difference_of_two", &bare[1] - &bare[2]),
        ("power", scale.pow(bend) * slope.powi(3) / mean_bare.sqrt()),
        (
            "waves",
            (-slope / 10.0).exp() * angle.sin() + angle.cos() * mean_tyred.ln(),
        ),
        (
            "turned",
            (angle.tan() * slope / 10.0).atan() + (angle / 2.0).asin() - (bend / 3.0).acos(),
        ),
        ("mean_bare", mean_bare),
        ("mean_tyred", mean_tyred),
    ]
}

/// Source: validation/uncertain-oracle/SOURCE.md. Tolerance 1e-13 relative; observed 7e-16.
#[test]
fn correlated_computations_agree_with_two_general_packages() {
    let mut sources = Sources::new();
    let outputs = oracle(&mut sources);
    let output = |name: &str| {
        &outputs
            .iter()
            .find(|(one, _)| *one == name)
            .expect("a known output")
            .1
    };
    let rows = rows("uncertain-oracle", "expected.csv");
    assert_eq!(rows.len(), 9 * 2 + 36 + 9 * 3);
    for row in rows {
        let (name, quantity, expected) = (
            row.text("output"),
            row.text("quantity"),
            row.number("computed"),
        );
        let one = output(name);
        let (found, scale) = match quantity {
            "value" => (one.value(), expected.abs()),
            "u" => (one.u(), expected),
            "degrees_of_freedom" => (sources.effective_degrees_of_freedom(one), expected),
            other => {
                let two = output(other.strip_prefix("covariance:").expect("a covariance"));
                (one.covariance(two), one.u() * two.u())
            }
        };
        let package = row.text("package");
        assert!(
            (found - expected).abs() <= 1e-13 * scale,
            "{package} {name} {quantity}: {found}, not {expected}"
        );
    }
}
