//! A builder's journeys through the pages, in a real browser, and the pages under load.

use std::fs;
use std::path::PathBuf;

use anyhow::Result;

use crate::checkout::{Checkout, run};
use crate::lane::Outcome;
use crate::{demo, pages};

/// What the journeys and the load are made of.
const FILES: [&str; 7] = [
    "package.json",
    "package-lock.json",
    ".npmrc",
    "program.mjs",
    "photo.mjs",
    "journeys.mjs",
    "load.mjs",
];

/// Builds the program and goes through every journey, or those that a word names; leaves pictures of every
/// page below `target/stand` to be looked at.
pub(crate) fn stand(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    if let Some(missing) = pages::install()? {
        return Ok(Outcome::Skipped(missing));
    }
    demo::build(checkout)?;
    let place = prepared(checkout)?;
    let pictures = place.join("pictures");
    run(checkout
        .command("node")
        .arg("journeys.mjs")
        .arg(demo::built(checkout))
        .arg(&pictures)
        .args(words)
        .current_dir(&place))?;
    println!("pictures to be looked at: {}", pictures.display());
    Ok(Outcome::Done)
}

/// Eight clients enter readings as fast as they can: told is what a person waits for beside what the disk
/// takes, and it fails when a reading is lost. Words: seconds, then the folder of a large ledger.
pub(crate) fn load(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    if let Some(missing) = pages::install()? {
        return Ok(Outcome::Skipped(missing));
    }
    run(&mut checkout.cargo("build --release --package rimwright"))?;
    let place = prepared(checkout)?;
    run(checkout
        .command("node")
        .arg("load.mjs")
        .arg(checkout.target("release/rimwright"))
        .args(words)
        .current_dir(&place))?;
    Ok(Outcome::Done)
}

/// The folder in which they run.
fn prepared(checkout: &Checkout) -> Result<PathBuf> {
    let place = checkout.target("stand");
    fs::create_dir_all(&place)?;
    for file in FILES {
        fs::copy(checkout.root().join("e2e").join(file), place.join(file))?;
    }
    run(checkout
        .command("npm")
        .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"])
        .current_dir(&place))?;
    Ok(place)
}
