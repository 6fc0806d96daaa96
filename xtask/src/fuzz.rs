//! Every fuzz target for a short while.

use std::fs;

use anyhow::{Context, Result, ensure};

use crate::checkout::{Checkout, has, run, run_logged};
use crate::demo::files;
use crate::lane::Outcome;

/// How long each target is run when nothing else is asked, in seconds.
const SECONDS: u32 = 10;

/// Runs every target of `fuzz/` for so many seconds each, from its seeds.
pub(crate) fn fuzz(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    let seconds: u32 = match words.first() {
        Some(word) => word
            .parse()
            .with_context(|| format!("`{word}` is no number of seconds"))?,
        None => SECONDS,
    };
    let Some(path) = fuzzer(checkout) else {
        return Ok(Outcome::Skipped(
            "cargo-fuzz is not on this machine and could not be installed (cargo install cargo-fuzz)".into(),
        ));
    };
    let mut broken = Vec::new();
    for target in files(checkout, "fuzz/fuzz_targets", "rs")? {
        let target = target
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let corpus = format!("fuzz/corpus/{target}");
        fs::create_dir_all(checkout.root().join(&corpus))?;
        let mut fuzz = checkout.cargo("fuzz run --sanitizer none");
        fuzz.args([&target, &corpus, &format!("fuzz/seeds/{target}"), "--"])
            .arg(format!("-max_total_time={seconds}"))
            .args(["-timeout=10", "-print_final_stats=1"])
            .env("RUSTC_BOOTSTRAP", "1") // the stable compiler may instrument
            .env("PATH", &path);
        let log = checkout.target(&format!("fuzz-{target}.log"));
        let outcome = run_logged(&mut fuzz, &log);
        let said = fs::read_to_string(&log)?;
        match outcome {
            Ok(()) => println!("  {} inputs tried, none broke the law", tried(&said)),
            Err(trouble) => {
                println!("{said}\n{trouble:#}");
                broken.push(target);
            }
        }
    }
    ensure!(
        broken.is_empty(),
        "broken: {}; the input lies in fuzz/artifacts/",
        broken.join(", ")
    );
    Ok(Outcome::Done)
}

/// How many inputs a fuzzer's last words say it tried.
fn tried(said: &str) -> &str {
    said.lines()
        .find_map(|line| line.strip_prefix("stat::number_of_executed_units:"))
        .map_or("some", str::trim)
}

/// A search path on which cargo finds the fuzzer, which is installed below the target folder when it is missing.
fn fuzzer(checkout: &Checkout) -> Option<std::ffi::OsString> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    if has("cargo-fuzz") {
        return Some(path);
    }
    let tools = checkout.target("tools");
    if !tools.join("bin/cargo-fuzz").is_file() {
        let mut install = checkout.cargo("install cargo-fuzz --version 0.13.2 --locked --root");
        run(install.arg(&tools)).ok()?;
    }
    let folders = std::iter::once(tools.join("bin")).chain(std::env::split_paths(&path));
    std::env::join_paths(folders).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn last_words_of_a_fuzzer_tell_how_much_it_tried() {
        let said = "INFO: seed\nstat::number_of_executed_units: 73224\nstat::peak_rss_mb: 40\n";
        assert_eq!(tried(said), "73224");
        assert_eq!(tried(""), "some");
    }
}
