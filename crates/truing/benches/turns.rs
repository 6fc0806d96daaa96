//! What the best whole turns cost: the search alone on the problems that a general solver was given, and whole
//! plans of 36 spokes over 500 seeds.

#[path = "../tests/cases/mod.rs"]
mod cases;
#[path = "../tests/stand/mod.rs"]
mod stand;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use quantity::draws::Draws;
use stand::trued::{Shape, class};
use stand::{Hidden, kinds};
use std::hint::black_box;
use std::time::{Duration, Instant};
use truing::plan::plan;
use truing::search::{Effort, Ending};
use truing::{Estimate, Noise, Request, Response, Round};

/// Wheels of which whole plans are timed.
const SEEDS: u64 = 500;

fn solver_problems(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("turns by search");
    for case in cases::all() {
        group.bench_function(BenchmarkId::from_parameter(case.number), |bench| {
            bench.iter(|| {
                let found = black_box(&case.problem).solve(&mut Effort {
                    nodes: cases::NODES,
                    gap: 0.0,
                    stop: &mut || false,
                });
                assert_eq!(found.ending, Ending::Optimal);
                found
            });
        });
    }
    group.finish();
}

/// The first round of 500 slender wheels, each timed once: a median and a worst are wanted, which no mean over
/// repeats tells.
#[expect(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "a benchmark tells times to a person"
)]
fn whole_plans(_: &mut Criterion) {
    let (name, wheel) = kinds().swap_remove(4);
    let mut proven = 0;
    let mut took: Vec<Duration> = (0..SEEDS)
        .map(|seed| {
            let [lateral, radial] = Shape::Fine.peaks_mm();
            let start = Hidden::new(&wheel, lateral, radial, seed);
            let seats: Vec<_> = wheel.spokes.iter().map(wheel::Spoke::seat_angle).collect();
            let (response, _) =
                Response::about(&wheel, Some(start.mean), seats).expect("a response");
            let rounds = [Round {
                readings: start.read(&mut Draws::new(seed), 0.025, 0.02),
                turned: Vec::new(),
            }];
            let estimate =
                Estimate::of(&response, &rounds, &Noise::default()).expect("an estimate");
            let request = Request {
                class: class(Shape::Fine),
                mean: Some(start.mean),
                ..Request::default()
            };
            let from = Instant::now();
            let plan = plan(&response, &estimate, &request, &mut || false).expect("a plan");
            let took = from.elapsed();
            proven += u64::from(plan.ending == Ending::Optimal);
            took
        })
        .collect();
    took.sort();
    let ms = |place: usize| took[place].as_secs_f64() * 1e3;
    println!(
        "plans of {name} spokes, weights, order and outlook with them: median {:.2} ms, worst {:.1} ms, \
         {proven} of {SEEDS} proven",
        ms(took.len() / 2),
        ms(took.len() - 1)
    );
}

criterion_group!(benches, solver_problems, whole_plans);
criterion_main!(benches);
