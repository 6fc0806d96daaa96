//! Every fuzz target for a short while.

use std::fs;

use anyhow::{Context, Result};

use crate::checkout::{Checkout, has, run};
use crate::demo::files;
use crate::lane::Outcome;

/// How long each target is run when nothing else is asked, in seconds.
const SECONDS: u32 = 20;

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
    for target in files(checkout, "fuzz/fuzz_targets", "rs")? {
        let target = target
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let corpus = format!("fuzz/corpus/{target}");
        fs::create_dir_all(checkout.root().join(&corpus))?;
        run(checkout
            .cargo(&format!(
                "fuzz run {target} --sanitizer none {corpus} fuzz/seeds/{target} --"
            ))
            .arg(format!("-max_total_time={seconds}"))
            .args(["-verbosity=0", "-print_final_stats=1"])
            .env("RUSTC_BOOTSTRAP", "1") // the stable compiler may instrument
            .env("PATH", &path))?;
    }
    Ok(Outcome::Done)
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
