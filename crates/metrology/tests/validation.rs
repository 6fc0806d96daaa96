//! The gauge's physics against numbers that do not come from this crate.

use metrology::calibration::deflection::{felt, tension_behind};

/// Half the distance between the supports in every case, in metres.
const HALF_SPAN_M: f64 = 0.050;
/// Load in the middle, in newtons.
const LOAD_N: f64 = 10.0;

const EXPECTED: &str = include_str!("../../../validation/three-point-wire/expected.csv");

/// δ = F/K = F a/(2 felt), in millimetres.
fn deflection_mm(tension_n: f64, bending_n_m2: f64) -> f64 {
    let stiffness_n = bending_n_m2 / (HALF_SPAN_M * HALF_SPAN_M);
    1e3 * LOAD_N * HALF_SPAN_M / (2.0 * felt(tension_n, stiffness_n).force_n)
}

/// Wire of this diameter of a modulus of 193 GPa.
fn bending_n_m2(wire_mm: f64) -> f64 {
    193e9 * std::f64::consts::PI * (wire_mm * 1e-3).powi(4) / 64.0
}

/// Source: validation/three-point-wire/SOURCE.md, finite elements. Tolerance 1e-5 relative, the bend
/// that a wire of finite length keeps at its ends; observed 6e-7.
#[test]
fn a_wire_gives_under_three_points_as_finite_elements_say() {
    for row in EXPECTED.lines().skip(1) {
        let cells: Vec<f64> = row
            .split(',')
            .map(|cell| cell.parse().expect("a number"))
            .collect();
        let [_, tension_n, bending, expected_mm] = cells[..] else {
            panic!("four cells: {row}")
        };
        let found_mm = deflection_mm(tension_n, bending);
        assert!(
            (found_mm / expected_mm - 1.0).abs() < 1e-5,
            "{row}: {found_mm}"
        );
        let stiffness_n = bending / (HALF_SPAN_M * HALF_SPAN_M);
        let felt_n = 1e3 * LOAD_N * HALF_SPAN_M / (2.0 * expected_mm);
        let back_n = tension_behind(felt_n, stiffness_n).expect("under tension");
        assert!((back_n / tension_n - 1.0).abs() < 1e-4, "{row}: {back_n} N");
    }
}

/// Source: validation/three-point-wire/SOURCE.md, textbook beams with hinged and clamped ends at the
/// supports: a spoke that runs on past them gives less than the one and more than the other.
#[test]
fn a_wire_that_runs_on_lies_between_hinged_and_clamped_ends() {
    let span_m = 2.0 * HALF_SPAN_M;
    for (wire_mm, tension_n) in [(2.0, 500.0), (2.0, 1000.0), (1.8, 1000.0), (1.5, 1500.0)] {
        let k = (tension_n / bending_n_m2(wire_mm)).sqrt();
        let part = |less: f64| 1e3 * LOAD_N / (2.0 * tension_n) * (span_m / 2.0 - less);
        let hinged_mm = part((k * span_m / 2.0).tanh() / k);
        let clamped_mm = part(2.0 / k * (k * span_m / 4.0).tanh());
        let found_mm = deflection_mm(tension_n, bending_n_m2(wire_mm));
        assert!(
            clamped_mm < found_mm && found_mm < hinged_mm,
            "{clamped_mm} {found_mm} {hinged_mm}"
        );
    }
}

/// Source: beam and string of a textbook (Timoshenko; from memory): F a³/(6 EI) for no tension, F a/(2T) for no stiffness.
#[test]
fn a_slack_wire_is_a_beam_and_a_limp_one_a_string() {
    let bending = bending_n_m2(2.0);
    let beam_mm = 1e3 * LOAD_N * HALF_SPAN_M.powi(3) / (6.0 * bending);
    assert!((deflection_mm(1e-6, bending) / beam_mm - 1.0).abs() < 1e-3);
    let string_mm = 1e3 * LOAD_N * HALF_SPAN_M / (2.0 * 1000.0);
    assert!((deflection_mm(1000.0, 1e-9) / string_mm - 1.0).abs() < 1e-3);
}
