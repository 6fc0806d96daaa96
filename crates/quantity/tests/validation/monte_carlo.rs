//! Propagation of distributions: the examples of JCGM 101.

use crate::table::agree_with_print;
use quantity::draws::Draws;
use quantity::monte_carlo::{Draw, Output, Stopping, simulate};
use quantity::{Sources, Uncertain};

const SEED: u64 = 101;

/// A simulation at the bound on draws, so that it wanders least.
fn long(outputs: usize, mut model: impl FnMut(&mut Draws, &mut [f64])) -> Vec<Output> {
    let stopping = Stopping {
        least_blocks: 100,
        ..Stopping::default()
    };
    let kept = |draws: &mut Draws, out: &mut [f64]| {
        model(draws, out);
        Draw::Kept
    };
    simulate(outputs, &stopping, &mut Draws::new(SEED), kept)
        .expect("numbers")
        .outputs
}

/// Weight above 100 g in milligrams: reference, its correction, and the densities of air, weight and reference.
fn mass_mg(reference: f64, correction: f64, air: f64, weight: f64, standard: f64) -> f64 {
    (reference + correction) * (1.0 + (air - 1.2) * (1.0 / weight - 1.0 / standard)) - 100_000.0
}

/// The same, propagated to first order.
fn mass_linear() -> Uncertain {
    let mut sources = Sources::new();
    let reference = sources
        .add("reference", 100_000.0, 0.050, f64::INFINITY)
        .expect("a good source");
    let correction = sources
        .add("correction", 1.234, 0.020, f64::INFINITY)
        .expect("a good source");
    let air = sources
        .add_rectangular("air", 1.20, 0.10)
        .expect("a good source");
    let weight = sources
        .add_rectangular("weight", 8_000.0, 1_000.0)
        .expect("a good source");
    let standard = sources
        .add_rectangular("standard", 8_000.0, 50.0)
        .expect("a good source");
    (reference + correction) * (1.0 + (air - 1.2) * (weight.recip() - standard.recip())) - 100_000.0
}

/// Source: validation/jcgm-101/SOURCE.md. Tolerance half a unit of the last place and twice what the draws wander.
#[test]
fn simulated_distributions_agree_with_the_guide() {
    let root_three = 3.0_f64.sqrt();
    let simulated = long(4, |draws, out| {
        let mut four = |last: f64| {
            let sum: f64 = (0..3).map(|_| draws.rectangular()).sum();
            root_three * (sum + last * draws.rectangular())
        };
        (out[0], out[2]) = (four(1.0), four(10.0));
        out[1] = (0..4).map(|_| draws.normal()).sum();
        out[3] = mass_mg(
            100_000.0 + 0.050 * draws.normal(),
            1.234 + 0.020 * draws.normal(),
            1.20 + 0.10 * draws.rectangular(),
            8_000.0 + 1_000.0 * draws.rectangular(),
            8_000.0 + 50.0 * draws.rectangular(),
        );
    });
    let [rectangular, normal, unequal, mass] = simulated[..] else {
        panic!("four outputs")
    };
    let linear = mass_linear();
    let found = [
        ("rectangular_value", rectangular.mean),
        ("rectangular_u", rectangular.u),
        ("rectangular_low", rectangular.low),
        ("rectangular_high", rectangular.high),
        ("normal_u", normal.u),
        ("normal_low", normal.low),
        ("normal_high", normal.high),
        ("unequal_u", unequal.u),
        ("unequal_low", unequal.low),
        ("unequal_high", unequal.high),
        ("mass_value", mass.mean),
        ("mass_u", mass.u),
        ("mass_low", mass.low),
        ("mass_high", mass.high),
        ("mass_linear_value", linear.value()),
        ("mass_linear_u", linear.u()),
        ("mass_linear_low", linear.value() - 1.96 * linear.u()),
        ("mass_linear_high", linear.value() + 1.96 * linear.u()),
    ];
    let wander = |name: &str| match name.split_once('_') {
        Some(("rectangular", _)) => 2.0 * rectangular.wander,
        Some(("normal", _)) => 2.0 * normal.wander,
        Some(("unequal", _)) => 2.0 * unequal.wander,
        _ if name.starts_with("mass_linear") => 0.0,
        _ => 2.0 * mass.wander,
    };
    agree_with_print("jcgm-101", &found, wander);
    let low = 2.0 * root_three * ((24.0_f64 * 0.025).powf(0.25) - 2.0);
    assert!(
        (rectangular.low - low).abs() < 2.0 * rectangular.wander,
        "{}, not {low}",
        rectangular.low
    );
}

/// Source: a normal interval is ±1.959964 u; a simulation that says it stands still must be right to its tolerance.
#[test]
fn a_stabilised_simulation_is_right_to_its_tolerance() {
    let normal = |draws: &mut Draws, out: &mut [f64]| {
        out[0] = 8.0 + 0.3 * draws.normal();
        Draw::Kept
    };
    let mut missed = 0;
    for seed in 0..100 {
        let stopping = Stopping {
            digits: 1,
            ..Stopping::default()
        };
        let simulation = simulate(1, &stopping, &mut Draws::new(seed), normal).expect("numbers");
        let output = simulation.outputs[0];
        assert!(output.has_stabilised());
        let apart = [
            output.mean - 8.0,
            output.u - 0.3,
            output.low - 7.412_011,
            output.high - 8.587_989,
        ];
        missed += usize::from(apart.iter().any(|apart| apart.abs() > output.tolerance));
    }
    assert!(missed <= 5, "{missed} of 100 missed");
}
