//! What a build sheet costs, alone and fifty of them side by side, beside what making one structure costs.

use criterion::{Criterion, criterion_group, criterion_main};
use mechanics::{State, Structure};
use quantity::{Force, Length, Mass};
use std::hint::black_box;
use wheel::{Side, Wheel};
use workshop::build::{Plan, Question, Rider, TyreLoad, Wanted, build};

/// As many as a person would set side by side.
const BUILDS: usize = 50;

/// A rear wheel of 32 crossed spokes with fittings, tensions and a tyre.
fn wheel() -> Wheel {
    let file = include_bytes!("../../../demo/wheels/pilots-tandem-rear.toml");
    let source = files::Source::from_bytes("demo wheel", file).expect("text");
    files::wheel_file::read(&source).expect("a wheel").0
}

/// All that a sheet can be asked: a tyre carried backward to a wanted tension, and a rider.
fn question() -> Question {
    Question {
        tyres: vec![TyreLoad::stated(5.0, 0.4)],
        wanted: Some(Wanted {
            side: Side::Right,
            tension: Force::kgf(100.0),
        }),
        rider: Some(Rider {
            mass: Mass::kg(160.0),
            share: 0.55,
            factor: 2.0,
            lateral: Force::n(60.0),
            torque_n_m: 80.0,
            patch: Length::mm(90.0),
        }),
        ..Question::default()
    }
}

fn sheets(criterion: &mut Criterion) {
    let wheel = wheel();
    let plan = |factor: f64| {
        let mut wheel = wheel.clone();
        wheel.rim.in_plane_bending = wheel.rim.in_plane_bending.map(|one| one * factor);
        Plan {
            wheel,
            findings: Vec::new(),
            hung: None,
        }
    };
    let one = [plan(1.0)];
    let many: Vec<Plan> = (0..BUILDS)
        .map(|place| plan(0.6 + 0.8 * place as f64 / BUILDS as f64))
        .collect();
    let question = question();
    let mut group = criterion.benchmark_group("build sheet");
    group.sample_size(20);
    group.bench_function("a structure without tension, for comparison", |bench| {
        bench.iter(|| Structure::about(black_box(&wheel), State::ZeroTension).expect("stands"));
    });
    group.bench_function("one, with tyre and rider", |bench| {
        bench.iter(|| build(black_box(&one), &question));
    });
    group.bench_function("fifty side by side", |bench| {
        bench.iter(|| build(black_box(&many), &question));
    });
    group.finish();
}

criterion_group!(benches, sheets);
criterion_main!(benches);
