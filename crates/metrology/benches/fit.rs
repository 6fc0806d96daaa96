//! A gauge's calibration: twelve points, uncertain in both variables, fitted anew.
//!
//! Read each time as a ratio to `twelve_values_of_the_beam` of the same run.

#[path = "../tests/gauge_shapes/mod.rs"]
mod gauge_shapes;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use gauge_shapes::{Beam, Hyperbola};
use metrology::fit::{Curve, Point, Prior, Settings, fit_curve};

/// Deviations in units of the uncertainties, any fixed list of the right size.
const DEVIATIONS: [(f64, f64); 12] = [
    (0.6, -0.5),
    (-1.1, 0.8),
    (0.3, 1.2),
    (0.9, -0.9),
    (-0.4, 0.2),
    (-0.8, -1.4),
    (1.3, 0.6),
    (0.1, 1.0),
    (-0.6, -0.3),
    (0.7, -0.7),
    (-1.2, 0.5),
    (0.4, 0.1),
];

fn points(curve: &dyn Curve, truth: &[f64]) -> Vec<Point> {
    let (u_x, u_y) = (4.0, 0.08);
    let place = |(i, (dx, dy)): (usize, &(f64, f64))| {
        let x = 250.0 + 113.0 * i as f64;
        let y = curve
            .value(x, truth, &mut vec![0.0; truth.len()])
            .expect("inside")
            .y;
        Point {
            x: x + u_x * dx,
            u_x,
            y: y + u_y * dy,
            u_y,
        }
    };
    DEVIATIONS.iter().enumerate().map(place).collect()
}

fn fits(criterion: &mut Criterion) {
    let settings = Settings::default();

    let beam = Beam { half_span: 0.05 };
    let truth = [1.5, 3.0e6, 4.0e4, 0.15];
    let on_beam = points(&beam, &truth);
    criterion.bench_function("twelve_values_of_the_beam", |bencher| {
        let mut gradient = [0.0; 4];
        bencher.iter(|| {
            let value = |p: &Point| beam.value(p.x, &truth, &mut gradient).map_or(0.0, |v| v.y);
            black_box(&on_beam).iter().map(value).sum::<f64>()
        });
    });

    let priors = [
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
    let start = [0.0, 2.0e6, 3.0e4, 0.12];
    criterion.bench_function("beam_12_points_4_parameters_2_priors", |bencher| {
        bencher.iter(|| fit_curve(&beam, black_box(&on_beam), &priors, &start, &settings));
    });

    let hyperbola = Hyperbola { middle: 900.0 };
    let on_hyperbola = points(&hyperbola, &[22.4, 7.6, 0.42]);
    criterion.bench_function("hyperbola_12_points_3_parameters", |bencher| {
        bencher.iter(|| {
            fit_curve(
                &hyperbola,
                black_box(&on_hyperbola),
                &[],
                &[20.0, 5.0, 0.1],
                &settings,
            )
        });
    });
}

criterion_group!(benches, fits);
criterion_main!(benches);
