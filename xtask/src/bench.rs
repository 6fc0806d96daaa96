//! The speed of what a person waits for, each time beside a reference of the same run.

use anyhow::{Context, Result, ensure};

use crate::checkout::{Checkout, run};
use crate::lane::Outcome;

/// Runs every benchmark of every crate, or those named.
pub(crate) fn bench(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    let benches = benches(checkout)?;
    ensure!(!benches.is_empty(), "no crate has a benchmark");
    let mut cargo = checkout.cargo("bench --workspace");
    for bench in benches
        .iter()
        .filter(|bench| words.is_empty() || words.contains(bench))
    {
        cargo.args(["--bench", bench]);
    }
    run(&mut cargo)?;
    Ok(Outcome::Done)
}

/// The names of the benchmarks, so that cargo does not measure the unit tests too.
fn benches(checkout: &Checkout) -> Result<Vec<String>> {
    let packages = checkout.metadata()["packages"]
        .as_array()
        .context("no packages")?;
    let targets = packages
        .iter()
        .filter_map(|package| package["targets"].as_array())
        .flatten();
    Ok(targets
        .filter(|target| target["kind"][0] == "bench")
        .filter_map(|target| target["name"].as_str().map(String::from))
        .collect())
}
