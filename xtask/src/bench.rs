//! The speed of what a person waits for, each time beside a reference of the same run.

use anyhow::{Context, Result, ensure};

use crate::checkout::{Checkout, run};
use crate::lane::Outcome;
use crate::oracle;

/// Scripts that time general-purpose packages and set ours beside them; whether their packages are heavy.
const PACKAGES: [(&str, bool); 3] = [
    ("crates/metrology/benches/time_odr.py", false),
    ("crates/mechanics/benches/time_elements.py", true),
    ("crates/truing/benches/time_scip.py", false),
];

/// Runs every benchmark of every crate and the comparison with other packages, or the benchmarks named alone.
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
        for (script, heavy) in PACKAGES {
            let python = oracle::python(checkout, heavy)?;
            run(checkout
                .command(&python.to_string_lossy())
                .arg(script)
                .arg(checkout.target("criterion")))?;
        }
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
