use super::*;

fn simulated(
    outputs: usize,
    stopping: &Stopping,
    model: impl FnMut(&mut Draws, &mut [f64]) -> Draw,
) -> Result<Simulation, Error> {
    simulate(outputs, stopping, &mut Draws::new(20_080), model)
}

/// Source: JCGM 101:2008, 7.9.2, its three examples (from memory).
#[test]
fn the_tolerance_is_half_a_unit_of_the_last_digit_wanted() {
    for (u, digits, tolerance) in [
        (0.000_35, 2, 0.000_005),
        (0.000_35, 1, 0.000_05),
        (2.0, 1, 0.5),
    ] {
        assert!((numerical_tolerance(u, digits) / tolerance - 1.0).abs() < 1e-12);
    }
    assert_eq!(numerical_tolerance(0.0, 2), 0.0);
}

#[test]
fn an_exact_output_stands_still_at_once() {
    let simulation = simulated(1, &Stopping::default(), |_, out| {
        out[0] = 0.1;
        Draw::Kept
    });
    let simulation = simulation.expect("numbers");
    let output = simulation.outputs[0];
    assert_eq!(
        (output.mean, output.u, output.low, output.high),
        (0.1, 0.0, 0.1, 0.1)
    );
    assert_eq!(
        (simulation.ending, simulation.kept),
        (Ending::Stabilised, 50_000)
    );
}

#[test]
fn rejected_draws_do_not_count() {
    let positive = |draws: &mut Draws, out: &mut [f64]| {
        out[0] = draws.normal();
        if out[0] > 0.0 {
            Draw::Kept
        } else {
            Draw::Rejected
        }
    };
    let stopping = Stopping {
        digits: 1,
        ..Stopping::default()
    };
    let simulation = simulated(1, &stopping, positive).expect("half are kept");
    let output = simulation.outputs[0];
    assert_eq!(simulation.ending, Ending::Stabilised);
    let kept = simulation.kept as f64 / (simulation.kept + simulation.rejected) as f64;
    assert!((kept - 0.5).abs() < 0.01, "{kept}");
    // The half-normal distribution has mean √(2/π).
    let mean = (2.0 / std::f64::consts::PI).sqrt();
    assert!(
        (output.mean - mean).abs() < 0.01 && output.low > 0.0,
        "{output:?}"
    );
}

#[test]
fn a_bound_on_draws_is_kept_and_said() {
    let stopping = Stopping {
        most_draws: 25_000,
        ..Stopping::default()
    };
    let normal = |draws: &mut Draws, out: &mut [f64]| {
        out[0] = draws.normal();
        Draw::Kept
    };
    let simulation = simulated(1, &stopping, normal).expect("two blocks");
    assert_eq!(
        (simulation.kept, simulation.ending),
        (20_000, Ending::OutOfDraws)
    );
}

#[test]
fn a_model_without_an_answer_is_an_error() {
    let stopping = Stopping {
        most_draws: 30_000,
        ..Stopping::default()
    };
    let none = simulated(1, &stopping, |_, _| Draw::Rejected);
    assert_eq!(
        none,
        Err(Error::TooFewKept {
            kept: 0,
            tried: 30_000,
            needed: 20_000
        })
    );
    let undefined = simulated(2, &stopping, |_, out| {
        out[1] = f64::INFINITY;
        Draw::Kept
    });
    assert!(matches!(
        undefined,
        Err(Error::NotFinite {
            output: 1,
            draw: 0,
            ..
        })
    ));
    let small = simulated(
        1,
        &Stopping {
            block: 100,
            ..stopping
        },
        |_, _| Draw::Kept,
    );
    assert_eq!(small, Err(Error::BlockTooSmall { block: 100 }));
}
