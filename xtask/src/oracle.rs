//! The outside programs behind `validation/`, run anew and held against what is committed.
//!
//! A case that was computed keeps its script beside it. Each is copied below the target folder and
//! run there, so that a rerun never writes into the project. Its SOURCE.md may hold one line
//! `Oracle: within 1e-7, heavy`: the relative tolerance of a rerun where it is not [`WITHIN`], and
//! that the whole case takes too long for every run; with `--live` its script then solves a small part
//! again, holds it against the committed values by itself, and that is run every time.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail, ensure};

use crate::checkout::{Checkout, run};
use crate::lane::Outcome;

/// Relative difference that a rerun may show: other processors round the last digits otherwise.
const WITHIN: f64 = 1e-9;

/// The script that writes a case's expected values.
const SCRIPT: &str = "make_expected.py";

/// How a case wants to be run again.
#[derive(Debug, PartialEq)]
struct Wish {
    within: f64,
    heavy: bool,
}

/// Runs all quick cases again and a small part of the heavy ones, or with `heavy` the heavy ones whole, or the
/// cases named.
pub(crate) fn oracle(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    let cases = cases(&checkout.root().join("validation"))?;
    let heavy = words.iter().any(|word| word == "heavy");
    let named: Vec<&String> = words.iter().filter(|word| *word != "heavy").collect();
    for name in &named {
        ensure!(
            cases.contains_key(*name),
            "no case `{name}` in validation/ has a {SCRIPT}"
        );
    }
    let chosen: Vec<(&String, &Case)> = cases
        .iter()
        .filter(|(name, case)| match named.is_empty() {
            true => case.wish.heavy == heavy,
            false => named.contains(name),
        })
        .collect();
    let in_part: Vec<(&String, &Case)> = match named.is_empty() && !heavy {
        true => cases.iter().filter(|(_, case)| case.wish.heavy).collect(),
        false => Vec::new(),
    };
    let pythons = [false, true].map(|heavy| {
        let mut all = chosen.iter().chain(&in_part);
        all.any(|(_, case)| case.wish.heavy == heavy)
            .then(|| python(checkout, heavy))
            .transpose()
    });
    let [quick_python, heavy_python] = pythons;
    let (quick_python, heavy_python) = (quick_python?, heavy_python?);
    let python_of = |case: &Case| {
        let found = match case.wish.heavy {
            true => &heavy_python,
            false => &quick_python,
        };
        found.as_ref().context("no Python was made ready")
    };
    let mut failed = Vec::new();
    for (name, case) in in_part {
        if let Err(trouble) = python_of(case).and_then(|python| live(checkout, python, name, case))
        {
            println!("{name}: {trouble:#}");
            failed.push(name.as_str());
        }
    }
    for (name, case) in chosen {
        match python_of(case).and_then(|python| rerun(checkout, python, name, case)) {
            Ok(values) => println!(
                "{name}: {values} values agree within {:e}",
                case.wish.within
            ),
            Err(trouble) => {
                println!("{name}: {trouble:#}");
                failed.push(name.as_str());
            }
        }
    }
    ensure!(
        failed.is_empty(),
        "what the scripts write now differs from what is committed: {}",
        failed.join(", ")
    );
    Ok(Outcome::Done)
}

/// A case whose expected values a script writes.
#[derive(Debug)]
struct Case {
    folder: PathBuf,
    wish: Wish,
}

fn cases(validation: &Path) -> Result<BTreeMap<String, Case>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(validation).context("validation/ cannot be listed")? {
        let folder = entry?.path();
        if !folder.join(SCRIPT).is_file() {
            continue;
        }
        let name = folder
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let source = fs::read_to_string(folder.join("SOURCE.md"))
            .with_context(|| format!("validation/{name}/SOURCE.md cannot be read"))?;
        let wish = wish(&source).with_context(|| format!("validation/{name}/SOURCE.md"))?;
        found.insert(name, Case { folder, wish });
    }
    Ok(found)
}

/// What the line `Oracle: …` of a SOURCE.md asks, if there is one.
fn wish(source: &str) -> Result<Wish> {
    let mut wish = Wish {
        within: WITHIN,
        heavy: false,
    };
    let asked = source.lines().find_map(|line| line.strip_prefix("Oracle:"));
    for word in asked
        .into_iter()
        .flat_map(|line| line.trim_end_matches('.').split(','))
    {
        match word.trim().split_once(' ') {
            None if word.trim() == "heavy" => wish.heavy = true,
            Some(("within", number)) => {
                wish.within = number
                    .parse()
                    .with_context(|| format!("`within {number}` is no number"))?;
            }
            _ => bail!(
                "`Oracle:` knows `within NUMBER` and `heavy`, not `{}`",
                word.trim()
            ),
        }
    }
    Ok(wish)
}

/// A Python of its own below the target folder, with the pinned packages in it.
pub(crate) fn python(checkout: &Checkout, heavy: bool) -> Result<PathBuf> {
    let (folder, list) = match heavy {
        true => ("oracle-heavy", "validation/requirements-heavy.txt"),
        false => ("oracle", "validation/requirements.txt"),
    };
    let home = checkout.target(folder);
    let python = home.join("python/bin/python");
    if !python.is_file() {
        run(checkout
            .command("python3")
            .args(["-m", "venv"])
            .arg(home.join("python")))
        .context("the packages want Python 3 with its venv module")?;
    }
    run(checkout
        .command(&python.to_string_lossy())
        .args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
        ])
        .args(["--requirement", list]))?;
    Ok(python)
}

/// Has one heavy case's script solve a small part again and hold it against what is committed.
fn live(checkout: &Checkout, python: &Path, name: &str, case: &Case) -> Result<()> {
    let copy = copied(checkout, name, case)?;
    println!("{name}: a small part is solved again");
    run(checkout
        .command(&python.to_string_lossy())
        .args([SCRIPT, "--live"])
        .current_dir(&copy))
}

/// A copy of a case below the target folder, where its script may write.
fn copied(checkout: &Checkout, name: &str, case: &Case) -> Result<PathBuf> {
    let copy = checkout.target("oracle-cases").join(name);
    if copy.exists() {
        fs::remove_dir_all(&copy)?;
    }
    fs::create_dir_all(&copy)?;
    for entry in fs::read_dir(&case.folder)? {
        let file = entry?.path();
        if file.is_file() {
            fs::copy(&file, copy.join(file.file_name().unwrap_or_default()))?;
        }
    }
    Ok(copy)
}

/// Runs one case's script on a copy, and gives how many numbers it wrote that agree.
fn rerun(checkout: &Checkout, python: &Path, name: &str, case: &Case) -> Result<usize> {
    let copy = copied(checkout, name, case)?;
    fs::remove_file(copy.join("expected.csv")).context("no expected.csv is committed")?;
    run(checkout
        .command(&python.to_string_lossy())
        .arg(SCRIPT)
        .current_dir(&copy))?;
    let mut values = 0;
    for entry in fs::read_dir(&copy)? {
        let file = entry?.path();
        let Some(name) = file
            .file_name()
            .filter(|_| file.extension().is_some_and(|e| e == "csv"))
        else {
            continue;
        };
        let now = fs::read_to_string(&file)?;
        let then = fs::read_to_string(case.folder.join(name))
            .with_context(|| format!("{} is not committed", name.display()))?;
        values +=
            agree(&then, &now, case.wish.within).with_context(|| format!("{}", name.display()))?;
    }
    ensure!(
        copy.join("expected.csv").is_file(),
        "the script wrote no expected.csv"
    );
    Ok(values)
}

/// How many numbers two tables share; an error names the first cell in which they differ.
fn agree(then: &str, now: &str, within: f64) -> Result<usize> {
    let (lines_then, lines_now) = (then.lines().count(), now.lines().count());
    ensure!(
        lines_then == lines_now,
        "{lines_then} lines are committed, {lines_now} came now"
    );
    let mut values = 0;
    for (row, (then, now)) in then.lines().zip(now.lines()).enumerate() {
        let (cells_then, cells_now) = (then.split(','), now.split(','));
        ensure!(
            cells_then.clone().count() == cells_now.clone().count(),
            "line {}: `{then}` is committed, `{now}` came now",
            row + 1
        );
        for (then, now) in cells_then.zip(cells_now) {
            let same = match (then.parse::<f64>(), now.parse::<f64>()) {
                (Ok(then), Ok(now)) => {
                    values += 1;
                    then == now || (then - now).abs() <= within * then.abs().max(now.abs())
                }
                _ => then == now,
            };
            ensure!(
                same,
                "line {}: {then} is committed, {now} came now",
                row + 1
            );
        }
    }
    Ok(values)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_says_in_its_source_how_it_wants_to_be_run_again() {
        let plain = Wish {
            within: WITHIN,
            heavy: false,
        };
        assert_eq!(wish("# A case\nText.").expect("well"), plain);
        let asked = wish("# A case\nOracle: within 1e-6, heavy.\n").expect("well");
        assert_eq!(
            asked,
            Wish {
                within: 1e-6,
                heavy: true
            }
        );
        assert!(wish("Oracle: roughly").is_err());
    }

    #[test]
    fn tables_agree_in_words_and_within_the_tolerance_in_numbers() {
        let table = "name,value\nu,1.0\nv,-2.5e-3\n";
        assert_eq!(
            agree(table, "name,value\nu,1.0000001\nv,-0.0025\n", 1e-6).expect("same"),
            2
        );
        for other in [
            "name,value\nu,1.00001\nv,-0.0025\n",
            "name,value\nu,1.0\nw,-0.0025\n",
            "name,value\nu,1.0\n",
            "name,value\nu,1.0,2\nv,-0.0025\n",
            "name,value\nu,nan\nv,-0.0025\n",
        ] {
            assert!(agree(table, other, 1e-6).is_err(), "{other}");
        }
    }
}
