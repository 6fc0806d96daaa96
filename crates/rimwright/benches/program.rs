//! The program as a person waits for it: from its start to its end.
//!
//! Read each time as a ratio to `rimwright_version` of the same run, which does nothing but start.

#[path = "../tests/shop/mod.rs"]
mod shop;

use criterion::{Criterion, criterion_group, criterion_main};
use shop::{Bench, LIMIT};
use std::fmt::Write as _;

const SPOKES: usize = 36;

/// Twelve rig points of a gauge that rises with tension, ever less: 15 to 25.5 divisions, 60 to 132 kgf.
fn points() -> String {
    let mut text = String::from("reading,force_kgf,u_force\n");
    for place in 0..12 {
        let share = f64::from(place) / 11.0;
        let reading = (2.0 * (15.0 + 10.5 * share * (1.35 - 0.35 * share))).round() / 2.0;
        let _ = writeln!(text, "{reading},{:.1},0.5", 60.0 + 72.0 * share);
    }
    text
}

/// A lap whose readings scatter about their middle by up to a division, always in the same way.
fn lap(head: &str, middle: f64) -> String {
    let readings: Vec<String> = (0..SPOKES)
        .map(|place| format!("{:.1}", middle + 0.5 * ((place * 7) % 5) as f64 - 1.0))
        .collect();
    format!(
        "[[lap]]\ntakes = \"reading\"\n{head}gauge = \"gauge.toml\"\nreadings = [{}]\n",
        readings.join(", ")
    )
}

fn bench() -> Bench {
    let claim = "[[claim]]\ntext = \"loses at most 8 %\"\nquantity = \"tension_loss_percent\"\nat_most = 8.0\n";
    let bench = Bench::with(&[
        &lap("state = \"bare\"\n", 22.5),
        &lap("state = \"tyred\"\npressure_bar = 5.0\n", 21.5),
        LIMIT,
        claim,
    ]);
    bench.put("points.csv", points().as_bytes());
    bench.change("wheel.toml", |text| {
        text.replace("seats = 16", "seats = 36")
            .replace("crosses = 2", "crosses = 3")
    });
    bench
}

fn program(criterion: &mut Criterion) {
    let bench = bench();
    let said = bench.run(&["survey", "visit.toml"]);
    assert_eq!(said.code, 0, "{}", said.err);
    let mut group = criterion.benchmark_group("program");
    group.sample_size(30);
    for (name, arguments) in [
        ("rimwright_version", ["--version"].as_slice()),
        ("rimwright_survey_of_36_spokes", &["survey", "visit.toml"]),
        (
            "rimwright_report_of_36_spokes",
            &["report", "visit.toml", "-o", "-"],
        ),
    ] {
        group.bench_function(name, |bencher| bencher.iter(|| bench.run(arguments).code));
    }
    group.finish();
}

criterion_group!(all, program);
criterion_main!(all);
