//! The tests, and those among them that hold the code against outside sources.

use std::collections::BTreeSet;

use anyhow::{Context, Result, bail};

use crate::checkout::{Checkout, has, run, run_all};
use crate::lane::Outcome;
use crate::tidy::{Tree, cases};

/// Runs every test of every crate, then the examples in the documentation.
pub(crate) fn test(checkout: &Checkout, _words: &[String]) -> Result<Outcome> {
    if has("cargo-nextest") {
        run_all([
            checkout.cargo("nextest run --workspace --no-fail-fast"),
            checkout.cargo("test --workspace --doc"),
        ])?;
    } else {
        println!("cargo-nextest is not on this machine; cargo's own runner is slower and as good");
        run(&mut checkout.cargo("test --workspace --no-fail-fast"))?;
    }
    Ok(Outcome::Done)
}

/// Runs only the test programs that name a case of `validation/`.
pub(crate) fn validate(checkout: &Checkout, _words: &[String]) -> Result<Outcome> {
    let tree = Tree::of(checkout)?;
    let mut programs = BTreeSet::new();
    for case in cases::names(&tree) {
        for path in cases::tests_naming(&tree, case) {
            programs.extend(program(path));
        }
    }
    if programs.is_empty() {
        bail!("no test names a case of validation/");
    }
    run_all(
        programs
            .iter()
            .map(|program| checkout.cargo(&format!("test {program}"))),
    )?;
    Ok(Outcome::Done)
}

/// Wheels of each kind and rim when nobody says how many.
const WHEELS: u32 = 200;

/// Trues as many virtual wheels of each kind as asked, and prints how they ended; the build server takes a few.
pub(crate) fn wheels(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    let wheels = match words.first() {
        Some(word) => word
            .parse()
            .with_context(|| format!("`{word}` is no number of wheels"))?,
        None => WHEELS,
    };
    run(checkout
        .cargo("test --package truing --test virtual_wheels -- --nocapture")
        .env("VIRTUAL_WHEELS", wheels.to_string()))?;
    Ok(Outcome::Done)
}

/// What cargo calls the test program that a file of a crate belongs to.
fn program(path: &str) -> Option<String> {
    let (package, file) = path.strip_prefix("crates/")?.split_once('/')?;
    let Some(test) = file.strip_prefix("tests/") else {
        return Some(format!("--package {package} --lib"));
    };
    let name = match test.split_once('/') {
        Some((folder, _)) => folder,
        None => test.strip_suffix(".rs")?,
    };
    Some(format!("--package {package} --test {name}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn test_program_is_the_file_or_the_folder_below_tests() {
        let program = |path| program(path).expect("a test program");
        assert_eq!(
            program("crates/wheel/tests/validation.rs"),
            "--package wheel --test validation"
        );
        assert_eq!(
            program("crates/files/tests/visit/reads.rs"),
            "--package files --test visit"
        );
        assert_eq!(program("crates/wheel/src/rim.rs"), "--package wheel --lib");
    }
}
