//! The whole job on the invented workshop of `demo/`, with the program that the tests were made with.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, ensure};

use crate::checkout::{Checkout, run};
use crate::lane::Outcome;

/// Builds the program, calibrates, analyses, surveys and reports, plans a round of truing, fills records of the same workshop, and says
/// where the reports and the records are.
pub(crate) fn demo(checkout: &Checkout, _words: &[String]) -> Result<Outcome> {
    let points = files(checkout, "demo/points", "csv")?;
    let wheels = files(checkout, "demo/wheels", "toml")?;
    let visits = files(checkout, "demo/visits", "toml")?;
    let states = files(checkout, "demo/states", "csv")?;
    build(checkout)?;
    for points in points {
        let text = fs::read_to_string(checkout.root().join(&points))?;
        let at = readings_inside(&text)
            .with_context(|| format!("{} holds no column `reading`", points.display()))?;
        let mut calibrate = program(checkout);
        calibrate.arg("calibrate").arg(&points).args(["--at", &at]);
        if let Some(gauge) = gauge_of(&points).filter(|gauge| checkout.root().join(gauge).is_file())
        {
            calibrate.arg("--gauge").arg(gauge);
        }
        run(&mut calibrate)?;
    }
    for wheel in wheels {
        run(program(checkout).arg("analyse").arg(&wheel))?;
    }
    let mut reports = Vec::new();
    for visit in visits {
        run(program(checkout).arg("survey").arg(&visit))?;
        reports.push(report(checkout, &visit)?);
    }
    for state in states {
        reports.push(round(checkout, &state)?);
    }
    let records = records(checkout)?;
    println!("\nThe reports, to be opened in any browser:");
    for report in reports {
        println!("  {}", report.display());
    }
    println!(
        "\nThe workshop's records; `rimwright demo --remove --data` and that folder take the demo out of view:\n  {}",
        records.display()
    );
    println!(
        "\nThe pages beside the truing stand, served on these records by:\n  {} stand --data {}",
        built(checkout).display(),
        records.display()
    );
    Ok(Outcome::Done)
}

/// Fills records of the invented workshop into a folder of their own, each time anew, and looks through them.
fn records(checkout: &Checkout) -> Result<PathBuf> {
    let folder = checkout.target("demo/records");
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    for words in [
        &["demo"][..],
        &["trace", "Kelpworth", "--lot", "26-01"],
        &["backup"],
        &["doctor"],
    ] {
        run(program(checkout).args(words).arg("--data").arg(&folder))?;
    }
    Ok(folder)
}

/// Builds the program as the tests build it, its reckoning optimised: with a test of its own, chosen among all of the
/// workspace. Alone the program asks less of some dependencies, and cargo would build half of them anew.
pub(crate) fn build(checkout: &Checkout) -> Result<()> {
    run(&mut checkout.cargo("test --workspace --test program --no-run"))
}

/// Where [`build`] leaves it.
pub(crate) fn built(checkout: &Checkout) -> PathBuf {
    checkout.target("debug/rimwright")
}

/// The built program, in the project's folder.
pub(crate) fn program(checkout: &Checkout) -> Command {
    checkout.command(&built(checkout).to_string_lossy())
}

/// Writes the report on one visit below the target folder and gives its place.
pub(crate) fn report(checkout: &Checkout, visit: &Path) -> Result<PathBuf> {
    let folder = checkout.target("demo");
    fs::create_dir_all(&folder)?;
    let place = folder
        .join(visit.file_stem().unwrap_or_default())
        .with_extension("html");
    run(program(checkout)
        .arg("report")
        .arg(visit)
        .arg("-o")
        .arg(&place))?;
    Ok(place)
}

/// Plans a round of truing, writes its page below the target folder and gives its place.
fn round(checkout: &Checkout, state: &Path) -> Result<PathBuf> {
    let name = state.file_stem().unwrap_or_default();
    let wheel = Path::new("demo/wheels").join(name).with_extension("toml");
    let place = checkout
        .target("demo")
        .join(format!("{}-round", name.to_string_lossy()))
        .with_extension("html");
    run(program(checkout)
        .arg("plan")
        .args([&wheel, state])
        .args(["--target", "right:104kgf"])
        .args(["--limit", "rim,120kgf,bare,sticker on the rim"])
        .arg("-o")
        .arg(&place))?;
    Ok(place)
}

/// The files of a folder with this ending, from the project's folder, in order.
pub(crate) fn files(checkout: &Checkout, folder: &str, ending: &str) -> Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    let entries = fs::read_dir(checkout.root().join(folder))
        .with_context(|| format!("{folder}/ cannot be listed"))?;
    for entry in entries {
        let name = entry?.file_name();
        if Path::new(&name)
            .extension()
            .is_some_and(|own| own == ending)
        {
            found.push(Path::new(folder).join(name));
        }
    }
    ensure!(!found.is_empty(), "{folder}/ holds no *.{ending}");
    found.sort();
    Ok(found)
}

/// The file of the gauge that some points were taken with: they are named `gauge-kind.csv`.
fn gauge_of(points: &Path) -> Option<PathBuf> {
    let (gauge, _) = points.file_stem()?.to_str()?.split_once('-')?;
    Some(Path::new("demo/gauges").join(gauge).with_extension("toml"))
}

/// Two readings inside the range of the points, a third of the way from either end, as `--at` takes them.
fn readings_inside(points: &str) -> Option<String> {
    let mut lines = points
        .lines()
        .filter(|line| !line.trim().is_empty() && !line.starts_with('#'));
    let header = lines.next()?.trim_start_matches('\u{feff}');
    let separator = if header.contains(';') { ';' } else { ',' };
    let column = header
        .split(separator)
        .position(|name| name.trim() == "reading")?;
    let readings: Vec<f64> = lines
        .filter_map(|line| {
            let cell = line.split(separator).nth(column)?.trim();
            cell.replace(',', ".").parse().ok()
        })
        .collect();
    let least = readings.iter().copied().reduce(f64::min)?;
    let most = readings.iter().copied().reduce(f64::max)?;
    let part = |thirds: f64| least + (most - least) * thirds / 3.0;
    Some(format!("{:.1},{:.1}", part(1.0), part(2.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_are_named_after_their_gauge() {
        let gauge = gauge_of(Path::new("demo/points/g1-bladed.csv"));
        assert_eq!(gauge, Some("demo/gauges/g1.toml".into()));
        assert_eq!(gauge_of(Path::new("demo/points/bladed.csv")), None);
    }

    #[test]
    fn readings_to_ask_for_lie_inside_the_points() {
        let asked = readings_inside("reading,force_kgf\n12,40\n\n18,70\n24,130\n");
        assert_eq!(asked.as_deref(), Some("16.0,20.0"));
        let asked = readings_inside("force_kgf;reading\n40;12,5\n70;15,5\n");
        assert_eq!(asked.as_deref(), Some("13.5,14.5"));
        assert_eq!(readings_inside("force_kgf\n40\n"), None);
    }
}
