//! What a survey draws: normal numbers, and a Monte Carlo of every spoke of a wheel, bare and tyred.

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use quantity::draws::Draws;
use quantity::monte_carlo::{Draw, Stopping, simulate};
use std::hint::black_box;

/// Bare and tyred tensions of 36 spokes.
const OUTPUTS: usize = 72;

/// Draws of a simulation whose bound is reached.
const DRAWS: usize = 100_000;

fn numbers(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("draws");
    group.throughput(Throughput::Elements(1_000));
    let mut draws = Draws::new(1);
    group.bench_function("1000 units", |bencher| {
        bencher.iter(|| (0..1_000).map(|_| draws.unit()).sum::<f64>());
    });
    group.bench_function("1000 normals", |bencher| {
        bencher.iter(|| (0..1_000).map(|_| draws.normal()).sum::<f64>());
    });
    group.finish();
}

fn simulation(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("monte carlo");
    group.throughput(Throughput::Elements((OUTPUTS * DRAWS) as u64));
    group.sample_size(10);
    let stopping = Stopping {
        least_blocks: DRAWS / 10_000,
        most_draws: DRAWS,
        ..Stopping::default()
    };
    let model = |draws: &mut Draws, out: &mut [f64]| {
        let common = draws.normal();
        for tension in out {
            *tension = 1_000.0 + 20.0 * common + 25.0 * draws.normal();
        }
        Draw::Kept
    };
    group.bench_function("only the draws of 72 x 100000", |bencher| {
        let mut out = [0.0; OUTPUTS];
        bencher.iter_batched(
            || Draws::new(1),
            |mut draws| {
                for _ in 0..DRAWS {
                    model(&mut draws, &mut out);
                    black_box(&out);
                }
            },
            BatchSize::PerIteration,
        );
    });
    group.bench_function("72 outputs, 100000 draws", |bencher| {
        bencher.iter_batched(
            || Draws::new(1),
            |mut draws| simulate(OUTPUTS, &stopping, &mut draws, model),
            BatchSize::PerIteration,
        );
    });
    group.finish();
}

criterion_group!(benches, numbers, simulation);
criterion_main!(benches);
