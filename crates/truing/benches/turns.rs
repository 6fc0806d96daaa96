//! What the best whole turns cost: the search on the problems that a general solver was given (`time_scip.py` sets that
//! solver's time beside it), and the first rounds of 500 wheels with 36 spokes, the search alone and whole plans.

#[path = "../tests/cases/mod.rs"]
mod cases;
#[path = "../tests/stand/mod.rs"]
mod stand;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use quantity::draws::Draws;
use stand::trued::{Shape, class, limit};
use stand::{Hidden, kinds};
use std::hint::black_box;
use std::time::{Duration, Instant};
use truing::plan::{plan, problem};
use truing::search::{Effort, Ending};
use truing::{Estimate, Noise, Request, Response, Round};
use wheel::Wheel;

/// Wheels of which first rounds are timed.
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

/// A slender wheel before its first round, with a limit, and what is asked.
fn first_round(wheel: &Wheel, seed: u64) -> (Response, Estimate, Request) {
    let [lateral, radial] = Shape::Fine.peaks_mm();
    let start = Hidden::new(wheel, lateral, radial, seed);
    let seats: Vec<_> = wheel.spokes.iter().map(wheel::Spoke::seat_angle).collect();
    let (response, _) = Response::about(wheel, Some(start.mean), seats).expect("a response");
    let rounds = [Round {
        readings: start.read(&mut Draws::new(seed), 0.025, 0.02),
        turned: Vec::new(),
    }];
    let estimate = Estimate::of(&response, &rounds, &Noise::default()).expect("an estimate");
    let request = Request {
        class: class(Shape::Fine),
        mean: Some(start.mean),
        limits: vec![limit(start.mean)],
        ..Request::default()
    };
    (response, estimate, request)
}

/// Times in order.
struct Times(Vec<Duration>);

impl Times {
    fn say(mut self, what: &str, proven: u64) -> String {
        self.0.sort();
        let ms = |place: usize| self.0[place].as_secs_f64() * 1e3;
        format!(
            "{what}: median {:.2} ms, worst {:.1} ms, {proven} of {SEEDS} proven",
            ms(self.0.len() / 2),
            ms(self.0.len() - 1)
        )
    }
}

/// The first round of 500 slender wheels at an eighth of a turn, bounds and limits included, each timed once: a median
/// and a worst are wanted, which no mean over repeats tells. First the search alone, then, with `WHOLE_PLANS` in the
/// environment, the whole plan with weights, order of work and outlook: that takes minutes.
#[expect(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "a benchmark tells times to a person"
)]
fn first_rounds(_: &mut Criterion) {
    let (name, wheel) = kinds().swap_remove(4);
    let (mut searches, mut plans) = (Times(Vec::new()), Times(Vec::new()));
    let mut proven = [0, 0];
    let is_whole = std::env::var_os("WHOLE_PLANS").is_some();
    for seed in 0..SEEDS {
        let (response, estimate, request) = first_round(&wheel, seed);
        let problem = problem(&response, &estimate, &request, &mut || false);
        let problem = problem.expect("usable").expect("room");
        let from = Instant::now();
        let found = problem.solve(&mut Effort {
            nodes: cases::NODES,
            gap: 0.0,
            stop: &mut || false,
        });
        searches.0.push(from.elapsed());
        proven[0] += u64::from(found.ending == Ending::Optimal);
        if !is_whole {
            continue;
        }
        let from = Instant::now();
        let plan = plan(&response, &estimate, &request, &mut || false).expect("a plan");
        plans.0.push(from.elapsed());
        proven[1] += u64::from(plan.ending == Some(Ending::Optimal));
    }
    println!(
        "{}",
        searches.say(&format!("{name} spokes, the search alone"), proven[0])
    );
    if is_whole {
        println!(
            "{}",
            plans.say(&format!("{name} spokes, whole plans"), proven[1])
        );
    }
}

criterion_group!(benches, solver_problems, first_rounds);
criterion_main!(benches);
