//! What a person waits for: the curve of a gauge, and the survey of a visit.
//!
//! Read each time as a ratio to `hundred_thousand_normal_draws` of the same run, and the calibration also
//! beside a general-purpose package on points of the same shape (`time_odr.py` beside this file).

#[path = "../tests/virtual_shop/mod.rs"]
mod virtual_shop;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use metrology::calibration::{Known, calibrate};
use metrology::chances::{Wanted, WantedMean, chances};
use metrology::evenness::groups;
use metrology::lap::State;
use metrology::survey::{STOPPING, survey};
use metrology::tension::{Curves, Tensions, gauge_laps};
use metrology::tyre_effect::drops;
use metrology::visit::Visit;
use quantity::draws::Draws;
use quantity::monte_carlo::Stopping;
use virtual_shop::{TrueGauge, crossed_wheel, lap_of, rig, visit_of};

/// 36 spokes, bare and tyred, read through twelve rig points.
fn visit() -> Visit {
    let mut draws = Draws::new(36);
    let gauge = TrueGauge::drawn(&mut draws);
    let wheel = crossed_wheel(18, 30.0, 36.0, 3.0);
    let forces_n: Vec<f64> = (0..12)
        .map(|place| 450.0 + 90.0 * f64::from(place))
        .collect();
    let points = rig(&gauge, &forces_n, 5.0, &mut draws);
    let mut read = |mean_n: f64| -> Vec<f64> {
        let uneven = |draws: &mut Draws| mean_n * (1.0 + 0.05 * draws.normal());
        wheel
            .spokes
            .iter()
            .map(|_| {
                let force_n = uneven(&mut draws);
                gauge.shown(force_n, &mut draws)
            })
            .collect()
    };
    let laps = vec![
        lap_of(State::Bare, &read(1000.0)),
        lap_of(State::Tyred, &read(930.0)),
    ];
    visit_of(wheel.clone(), gauge.stated(true), points, laps)
}

fn benches(criterion: &mut Criterion) {
    criterion.bench_function("hundred_thousand_normal_draws", |bencher| {
        let mut draws = Draws::new(1);
        bencher.iter(|| (0..100_000).map(|_| draws.normal()).sum::<f64>());
    });

    let visit = visit();
    let set = &visit.calibrations[0];
    let known = Known::of(&set.gauge, &visit.wheel.kinds[0]);
    criterion.bench_function("calibration_of_twelve_points", |bencher| {
        bencher.iter(|| calibrate(black_box(&set.points), Some(&set.gauge), known, None));
    });

    let mut group = criterion.benchmark_group("slow");
    group.sample_size(20);
    group.bench_function("survey_of_36_spokes", |bencher| {
        bencher.iter(|| survey(black_box(&visit), 1, &STOPPING));
    });

    let (curves, _) = Curves::of(&visit);
    let of = |state| Tensions::of(&visit, &curves, state, &gauge_laps(&visit, state));
    let (bare, tyred) = (of(State::Bare), of(State::Tyred));
    let (_, sides) = groups(&visit.wheel, &bare);
    let drops = drops(&visit.wheel, &bare, &tyred);
    let mut wanted = Wanted::default();
    for side in &sides {
        if let Ok(force) = &side.force {
            wanted.means.push(WantedMean {
                tensions: &bare,
                spokes: &side.read,
                linear: force.mean_n,
            });
        }
    }
    wanted.drops = drops.iter().map(|drop| (drop, &bare, &tyred)).collect();
    let exactly = Stopping {
        digits: 2,
        block: 50_000,
        least_blocks: 2,
        most_draws: 100_000,
    };
    group.bench_function("hundred_thousand_full_draws", |bencher| {
        bencher.iter(|| chances(&curves, black_box(&wanted), &exactly, 1));
    });
    group.finish();
}

criterion_group!(all, benches);
criterion_main!(all);
