//! What a sweep of variants of one wheel costs, and what more cores bring.
//!
//! The rate of variants is shown; 10,000 of them take 10,000 over it.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use mechanics::self_stress::self_stress;
use mechanics::{State, Structure};
use quantity::Force;
use std::hint::black_box;
use std::num::NonZeroUsize;
use wheel::Wheel;
use workshop::sweep::{sweep, sweep_on};

/// Enough to keep every core busy, few enough to repeat.
const VARIANTS: usize = 200;

/// A rear wheel of 32 spokes, its rim's bending from 60 to 140 % of what its file says.
fn variants() -> Vec<Wheel> {
    let file = include_bytes!("../../../demo/wheels/pilots-tandem-rear.toml");
    let source = files::Source::from_bytes("demo wheel", file).expect("text");
    let (mut wheel, _) = files::wheel_file::read(&source).expect("a wheel");
    for spoke in wheel
        .spokes
        .iter_mut()
        .filter(|spoke| spoke.side == wheel::Side::Right)
    {
        spoke.tension = Some(Force::n(1100.0));
    }
    let (tensions, _) = self_stress(&wheel).expect("a balance");
    for (spoke, tension) in wheel.spokes.iter_mut().zip(tensions) {
        spoke.tension = Some(tension);
    }
    let varied = |place: usize| {
        let mut variant = wheel.clone();
        let factor = 0.6 + 0.8 * place as f64 / VARIANTS as f64;
        variant.rim.in_plane_bending = wheel.rim.in_plane_bending.map(|one| one * factor);
        variant
    };
    (0..VARIANTS).map(varied).collect()
}

/// Stiffness, influence, line load, first slack and buckling of one variant.
fn answers(wheel: &Wheel) -> f64 {
    let (structure, _) = Structure::about(wheel, State::Tensioned).expect("a sound wheel");
    let places = [structure.at_spoke_1(), structure.mid_gap()];
    black_box(structure.point_stiffness(&places).expect("stiffness"));
    black_box(structure.influence_at_spokes().expect("influence"));
    black_box(structure.line_load().expect("a line load"));
    black_box(
        structure
            .first_slack(structure.at_spoke_1())
            .expect("slack"),
    );
    let (buckling, _) = structure.buckling().expect("buckling");
    buckling.map_or(f64::NAN, |one| one.tension_multiplier)
}

fn sweeps(criterion: &mut Criterion) {
    let variants = variants();
    let mut group = criterion.benchmark_group("sweep, 32 spokes");
    group.sample_size(10);
    group.throughput(Throughput::Elements(VARIANTS as u64));
    group.bench_function("on one core", |bench| {
        bench.iter(|| sweep_on(NonZeroUsize::MIN, black_box(&variants), answers, |_| ()));
    });
    group.bench_function("on all cores", |bench| {
        bench.iter(|| sweep(black_box(&variants), answers, |_| ()));
    });
    group.finish();
}

criterion_group!(benches, sweeps);
criterion_main!(benches);
