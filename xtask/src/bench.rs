//! The speed of what a person waits for, each time beside a reference of the same run.

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};

use crate::checkout::{Checkout, run};
use crate::lane::Outcome;
use crate::{demo, oracle};

/// Times fits by general-purpose packages and sets ours beside them.
const PACKAGES: &str = "crates/metrology/benches/time_odr.py";

/// The visit whose survey is timed from the start of the program to its end.
const SURVEYED: &str = "demo/visits/pilots-tandem-rear.toml";

/// How often a whole program is started; the median counts.
const STARTS: usize = 31;

/// Runs every benchmark of every crate and the comparisons beside them, or the benchmarks named alone.
pub(crate) fn bench(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    let mut cargo = checkout.cargo("bench --workspace");
    let benches = benches(checkout)?;
    for word in words {
        ensure!(
            benches.contains(word),
            "no benchmark `{word}`; there are: {}",
            benches.join(", ")
        );
    }
    let chosen = if words.is_empty() { &benches } else { words };
    for bench in chosen {
        cargo.args(["--bench", bench]);
    }
    run(&mut cargo)?;
    if words.is_empty() {
        let python = oracle::python(checkout, false)?;
        run(checkout
            .command(&python.to_string_lossy())
            .arg(PACKAGES)
            .arg(checkout.target("criterion")))?;
        whole_program(checkout)?;
    }
    Ok(Outcome::Done)
}

/// The names of the benchmarks, so that cargo does not measure the unit tests too.
fn benches(checkout: &Checkout) -> Result<Vec<String>> {
    let packages = checkout.metadata()["packages"]
        .as_array()
        .context("`cargo metadata` lists no packages")?;
    let targets = packages
        .iter()
        .filter_map(|package| package["targets"].as_array())
        .flatten();
    Ok(targets
        .filter(|target| target["kind"][0] == "bench")
        .filter_map(|target| target["name"].as_str().map(String::from))
        .collect())
}

/// Times a survey as a person starts it, beside the program that only tells its version.
fn whole_program(checkout: &Checkout) -> Result<()> {
    demo::build(checkout)?;
    let starts = |words: &[&str]| -> Result<Duration> {
        let mut program = demo::program(checkout);
        program.args(words).stdout(Stdio::null());
        median(&mut program)
    };
    let nothing = starts(&["--version"])?;
    let survey = starts(&["survey", SURVEYED])?;
    println!(
        "rimwright survey {}: {:.1} ms from start to end, {:.0} times `rimwright --version` ({:.1} ms)",
        SURVEYED,
        survey.as_secs_f64() * 1e3,
        survey.as_secs_f64() / nothing.as_secs_f64(),
        nothing.as_secs_f64() * 1e3,
    );
    Ok(())
}

fn median(program: &mut Command) -> Result<Duration> {
    let mut times = Vec::with_capacity(STARTS);
    for _ in 0..STARTS {
        let (ended, took) = timed(|| program.status());
        ensure!(ended?.success(), "the program failed");
        times.push(took);
    }
    times.sort();
    Ok(times[STARTS / 2])
}

/// What something gives, and how long it took.
#[expect(
    clippy::disallowed_methods,
    reason = "times are told to a person and decide nothing"
)]
pub(crate) fn timed<T>(what: impl FnOnce() -> T) -> (T, Duration) {
    let from = Instant::now();
    let given = what();
    (given, from.elapsed())
}
