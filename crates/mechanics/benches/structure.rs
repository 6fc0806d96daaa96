//! What one wheel costs, and how it grows with the number of spokes.

#[path = "../tests/wheels/mod.rs"]
mod wheels;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use mechanics::ride::RimLoad;
use mechanics::{State, Structure};
use quantity::{Angle, Force};
use std::hint::black_box;

fn round_the_rim() -> Vec<Angle> {
    (0..72)
        .map(|step| Angle::deg(5.0 * f64::from(step)))
        .collect()
}

fn about(wheel: &wheel::Wheel) -> Structure {
    Structure::about(wheel, State::Tensioned)
        .expect("a sound wheel")
        .0
}

fn thirty_two_spokes(criterion: &mut Criterion) {
    let wheel = wheels::dished_rear(1100.0);
    let structure = about(&wheel);
    let angles = round_the_rim();
    let load = RimLoad::point(Force::n(700.0), Force::n(70.0));
    let mut group = criterion.benchmark_group("32 spokes");
    group.bench_function("made ready", |bench| {
        bench.iter(|| about(black_box(&wheel)))
    });
    group.bench_function("influence, runout at 72 angles", |bench| {
        bench.iter(|| structure.influence(black_box(&angles)).expect("influence"));
    });
    group.bench_function("all stiffnesses, both states", |bench| {
        bench.iter(|| {
            for state in [State::Tensioned, State::ZeroTension] {
                let structure = Structure::about(black_box(&wheel), state).expect("sound").0;
                let places = [structure.at_spoke_1(), structure.mid_gap()];
                black_box(structure.point_stiffness(&places).expect("stiffness"));
                black_box((
                    structure.torsional_n_m_per_rad(),
                    structure.hub_against_held_rim(),
                ));
            }
        });
    });
    group.bench_function("line load", |bench| {
        bench.iter(|| structure.line_load().expect("an answer"))
    });
    group.bench_function("buckling", |bench| {
        bench.iter(|| structure.buckling().expect("an answer"))
    });
    group.bench_function("first slack", |bench| {
        bench.iter(|| {
            structure
                .first_slack(black_box(structure.at_spoke_1()))
                .expect("an answer")
        });
    });
    group.bench_function("turn of 72 angles by the tangent", |bench| {
        bench.iter(|| {
            structure
                .turn_by_tangent(&load, black_box(&angles))
                .expect("a turn")
        });
    });
    group.sample_size(20);
    group.bench_function("turn of 72 angles, shape followed", |bench| {
        bench.iter(|| structure.turn(&load, black_box(&angles)).expect("a turn"));
    });
    group.finish();
}

fn growing(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("growth");
    group.sample_size(20);
    for spokes in [16, 24, 32, 48, 72] {
        let rim = wheels::Constants(0.303, 7.5e6, 200.0, 160.0, 50.0);
        let structure = about(&wheels::radial(spokes, 4.9e5, 0.03, rim, 700.0));
        let angles = round_the_rim();
        group.bench_function(BenchmarkId::new("influence", spokes), |bench| {
            bench.iter(|| structure.influence(black_box(&angles)).expect("influence"));
        });
        group.bench_function(BenchmarkId::new("buckling", spokes), |bench| {
            bench.iter(|| structure.buckling().expect("an answer"));
        });
        let load = RimLoad::point(Force::n(700.0), Force::n(70.0));
        group.bench_function(BenchmarkId::new("one ride", spokes), |bench| {
            bench.iter(|| {
                structure
                    .ride(&load, black_box(Angle::deg(3.0)))
                    .expect("a ride")
            });
        });
    }
    group.finish();
}

criterion_group!(benches, thirty_two_spokes, growing);
criterion_main!(benches);
