//! The reports of the demo in a real browser: on the screen, on paper, and for those who do not see them.

use std::fs;

use anyhow::{Context, Result, ensure};

use crate::checkout::{Checkout, has, run};
use crate::debian;
use crate::lane::Outcome;

/// The programs that the checks want, with the Debian packages that bring them.
const WANTED: [(&str, &str); 4] = [
    ("chromium", "chromium"),
    ("pdfinfo", "poppler-utils"),
    ("node", "nodejs"),
    ("npm", "npm"),
];

/// Checks every report below `target/demo` and leaves pictures and prints beside them to be looked at.
pub(crate) fn pages(checkout: &Checkout, _words: &[String]) -> Result<Outcome> {
    let mut reports: Vec<_> = fs::read_dir(checkout.target("demo"))
        .context("no report to look at: run `cargo xtask demo` first")?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "html"))
        .collect();
    reports.sort();
    ensure!(
        !reports.is_empty(),
        "no report to look at: run `cargo xtask demo` first"
    );
    if let Some(missing) = install()? {
        return Ok(Outcome::Skipped(missing));
    }
    let place = checkout.target("pages");
    fs::create_dir_all(&place)?;
    for file in ["package.json", "package-lock.json", ".npmrc", "check.mjs"] {
        fs::copy(
            checkout.root().join("xtask/pages").join(file),
            place.join(file),
        )?;
    }
    run(checkout
        .command("npm")
        .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"])
        .current_dir(&place))?;
    run(checkout
        .command("node")
        .arg("check.mjs")
        .args(&reports)
        .current_dir(&place))?;
    println!("pictures and prints to be looked at: {}", place.display());
    Ok(Outcome::Done)
}

/// Installs what is missing where that can be done without asking; else says what is missing.
pub(crate) fn install() -> Result<Option<String>> {
    let missing = || WANTED.iter().filter(|(program, _)| !has(program));
    if missing().next().is_none() {
        return Ok(None);
    }
    let packages = missing().map(|(_, package)| *package);
    if debian::install(packages.chain(["fonts-dejavu-core"]))? {
        return Ok(None);
    }
    let names: Vec<&str> = missing().map(|(program, _)| *program).collect();
    Ok(Some(format!("not on this machine: {}", names.join(", "))))
}
