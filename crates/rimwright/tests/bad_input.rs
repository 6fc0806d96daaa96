//! Bad files, one kind of wrong each: told by file, line and column with the way to mend it; nothing is
//! written, nothing repaired.

mod shop;

use shop::{BARE, Bench, LIMIT, POINTS, TYRED, finding};
use std::path::Path;

/// Every file of the bench with its bytes, by name.
fn files_in(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = std::fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| {
            let path = entry.expect("an entry").path();
            let bytes = std::fs::read(&path).expect("a file");
            (path.display().to_string(), bytes)
        })
        .collect();
    files.sort();
    files
}

/// The survey and the report refuse this visit with these words, and leave every file as it was.
fn refused(bench: &Bench, at: &str, words: &[&str]) {
    bench.put("report.html", b"the one before");
    let before = files_in(&bench.path(""));
    let survey = bench.run(&["survey", "visit.toml", "--json"]);
    let report = bench.run(&["report", "visit.toml", "-o", "report.html"]);
    for said in [&survey, &report] {
        assert_eq!((said.code, said.out.as_str()), (3, ""), "{}", said.err);
        assert!(said.err.starts_with(at), "{at} is not where\n{}", said.err);
        for word in words {
            assert!(said.err.contains(word), "“{word}” is not in\n{}", said.err);
        }
    }
    assert!(files_in(&bench.path("")) == before, "a file was touched");
}

/// The visit with this instead of that in one of its blocks is refused with these words.
fn refused_lap(block: &str, this: &str, that: &str, at: &str, words: &[&str]) {
    assert!(block.contains(that), "the test misses its mark: {that}");
    refused(&Bench::with(&[&block.replace(that, this)]), at, words);
}

/// The points are refused with these words.
fn refused_points(points: &[u8], at: &str, words: &[&str]) {
    let bench = Bench::with(&[BARE]);
    bench.put("points.csv", points);
    let said = bench.run(&["calibrate", "points.csv", "--at", "20", "--json"]);
    assert_eq!((said.code, said.out.as_str()), (3, ""), "{}", said.err);
    assert!(said.err.starts_with(at), "{at} is not where\n{}", said.err);
    for word in words {
        assert!(said.err.contains(word), "“{word}” is not in\n{}", said.err);
    }
}

#[test]
fn readings_that_no_gauge_shows() {
    for (number, words) in [
        ("nan", "not a finite number"),
        ("inf", "not a finite number"),
        ("-22.5", "must be at least 0"),
        ("\"22.5\"", "is text"),
    ] {
        refused_lap(
            BARE,
            &format!("[{number}, 22.0"),
            "[22.5, 22.0",
            "visit.toml:15:13: ",
            &[words],
        );
    }
}

#[test]
fn a_reading_too_few_or_too_many() {
    let at = "visit.toml:15:12: ";
    refused_lap(
        BARE,
        "22.5]",
        "22.5, 22.5]",
        at,
        &["15 readings", "16 spokes", "1 too few", "left out"],
    );
    refused_lap(
        BARE,
        "22.5, 22.5, 22.5]",
        "22.5, 22.5]",
        at,
        &["17 readings", "16 spokes", "1 too many"],
    );
}

#[test]
fn a_spoke_twice_in_a_lap() {
    let lap = "[[lap]]\ntakes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge.toml\"\nreadings = \"lap.csv\"\n";
    let bench = Bench::with(&[lap]);
    bench.put("lap.csv", b"spoke,reading\n1,22\n2,22\n1,22.5\n");
    refused(
        &bench,
        "lap.csv:4:1: ",
        &["spoke 1 was already taken in line 2", "a lap of its own"],
    );
    bench.put("lap.csv", b"spoke,reading\n1,22\n17,22\n");
    refused(&bench, "lap.csv:3:1: ", &["17", "16"]);
}

#[test]
fn two_gauges_in_one_lap() {
    let both = "[\"gauge.toml\", \"other.toml\"]";
    refused_lap(
        BARE,
        both,
        "\"gauge.toml\"",
        "visit.toml:14:9: ",
        &[
            "two gauges in one lap",
            "one block `[[lap]]` for each gauge",
        ],
    );
}

#[test]
fn a_tyre_without_its_pressure() {
    refused_lap(
        TYRED,
        "",
        "pressure_bar = 5.0\n",
        "visit.toml:13:9: ",
        &["at what pressure", "pressure_bar = 6.0"],
    );
}

#[test]
fn a_limit_without_its_condition_its_source_or_its_unit() {
    let at = "visit.toml:11:1: ";
    refused_lap(
        LIMIT,
        "",
        "state = \"bare\"\n",
        at,
        &["whether it holds bare or tyred"],
    );
    refused_lap(
        LIMIT,
        "",
        "source = \"sticker on the rim\"\n",
        at,
        &["no source"],
    );
    refused_lap(
        LIMIT,
        "tension_kg = 130",
        "tension_kgf = 130",
        "visit.toml:13:1: ",
        &["tension_kg", "tension_kgf"],
    );
}

#[test]
fn a_date_in_the_future() {
    refused_lap(
        LIMIT,
        "2199-03-01",
        "2026-03-01",
        "visit.toml:16:9: ",
        &["future"],
    );
    let bench = Bench::with(&[BARE]);
    bench.change("visit.toml", |text| {
        text.replace("taken = 2026", "taken = 2199")
    });
    refused(&bench, "visit.toml:3:9: ", &["future"]);
}

#[test]
fn a_mistyped_key_is_answered_with_the_right_one() {
    refused_lap(
        BARE,
        "state = \"bare\"\ntemprature_c = 18",
        "state = \"bare\"",
        "visit.toml:14:1: ",
        &[
            "unknown key `temprature_c`",
            "Did you mean `temperature_c`?",
        ],
    );
}

#[test]
fn a_file_that_is_named_but_not_there() {
    let bench = Bench::with(&[BARE]);
    std::fs::remove_file(bench.path("gauge.toml")).expect("removed");
    refused(&bench, "visit.toml:8:9: ", &["gauge.toml"]);
    let bench = Bench::with(&[BARE]);
    bench.change("wheel.toml", |text| {
        text.replace("crosses = 2", "crosses = 9")
    });
    refused(&bench, "wheel.toml:", &["cross"]);
}

#[test]
fn an_empty_file_a_huge_one_and_other_encodings() {
    let bench = Bench::with(&[BARE]);
    for (bytes, at, words) in [
        (b"".to_vec(), "visit.toml:1:1: ", "empty"),
        (b"\xef\xbb\xbf\r\n".to_vec(), "visit.toml:1:1: ", "empty"),
        (
            b"format = 1\nby = \"M\xfcller\"\n".to_vec(),
            "visit.toml:2:8: ",
            "UTF-8",
        ),
        (b"\xff\xfef\0o\0".to_vec(), "visit.toml:1:1: ", "UTF-16"),
        (
            vec![b'#'; 50_000_000],
            "visit.toml:1:1: ",
            "At most 16 MB are read",
        ),
    ] {
        bench.put("visit.toml", &bytes);
        refused(&bench, at, &[words]);
    }
}

#[test]
fn marks_and_line_ends_of_other_systems_are_read() {
    let bench = Bench::with(&[BARE, LIMIT]);
    let plain = bench.run(&["survey", "visit.toml", "--json"]);
    for name in ["visit.toml", "wheel.toml", "gauge.toml", "points.csv"] {
        bench.change(name, |text| {
            format!("\u{feff}{}", text.replace('\n', "\r\n"))
        });
    }
    let marked = bench.run(&["survey", "visit.toml", "--json"]);
    assert_eq!(marked.code, 0, "{}", marked.err);
    assert_eq!(marked.out, plain.out);
}

#[test]
fn rig_points_with_something_wrong() {
    let with = |this: &str| POINTS.replace("18.0,75,0.5", this).into_bytes();
    for (row, at, words) in [
        (
            "nan,75,0.5",
            "points.csv:3:1: ",
            "`nan` is nothing that was read",
        ),
        (
            "18.0,inf,0.5",
            "points.csv:3:6: ",
            "`inf` is nothing that was read",
        ),
        ("18.0,-75,0.5", "points.csv:3:6: ", "-75"),
        ("18,0,75,0.5", "points.csv:3:1: ", "decimal commas"),
        ("18.0,75 kgf,0.5", "points.csv:3:6: ", "75 kgf"),
        ("18.0,75", "points.csv:3:1: ", "2 cells"),
        ("18.0,75,-0.5", "points.csv:3:9: ", "-0.5"),
    ] {
        refused_points(&with(row), at, &[words]);
    }
    let head = |this: &str| POINTS.replace("force_kgf", this).into_bytes();
    refused_points(
        &head("force_kg"),
        "points.csv:1:9: ",
        &["force_kgf", "force_n"],
    );
    refused_points(&head("kraft"), "points.csv:1:", &["force_kgf"]);
    refused_points(b"", "points.csv:1:1: ", &["empty"]);
    refused_points(
        b"reading,force_kgf\n15,60\n16,7\xb5\n",
        "points.csv:3:5: ",
        &["UTF-8"],
    );
    refused_points(
        &vec![b'1'; 50_000_000],
        "points.csv:1:1: ",
        &["At most 16 MB are read"],
    );
}

#[test]
fn rig_points_that_make_no_curve() {
    refused_points(
        b"reading,force_kgf\n15,60\n",
        "points.csv: no curve",
        &["a curve needs two"],
    );
    refused_points(
        b"reading,force_kgf,u_reading,u_force\n15,60,0.1,0.5\n24,75,0.1,0.5\n18,90,0.1,0.5\n26,105,0.1,0.5\n",
        "points.csv: no curve",
        &["rig points 2 and 3 contradict each other", "read both again"],
    );
    refused_points(
        b"reading,force_kgf\n15,60\n15,90\n",
        "points.csv: no curve",
        &["do not move with the force"],
    );
}

/// One reading at two forces beyond their uncertainties is no error of the file: a curve and a doubt.
#[test]
fn a_reading_twice_with_far_forces_is_a_doubt() {
    let bench = Bench::with(&[BARE]);
    bench.change("points.csv", |text| {
        text.replace("20.5,90,0.5", "20.5,75,0.5\n20.5,90,0.5")
    });
    let json = bench
        .run(&["calibrate", "points.csv", "--gauge", "gauge.toml", "--json"])
        .json();
    let doubt = finding(&json, "contradictory-points").expect("said");
    assert_eq!(doubt["weight"], "doubt");
}

#[test]
fn a_pipe_is_named_as_standard_input() {
    let bench = Bench::with(&[BARE]);
    let said = bench.run_with_input(&["calibrate", "-"], "reading,force_kgf\n15,sixty\n");
    assert_eq!((said.code, said.out.as_str()), (3, ""));
    assert!(said.err.starts_with("standard input:2:4: "), "{}", said.err);
}

#[test]
fn a_page_is_never_written_over_something_else() {
    let bench = Bench::with(&[BARE, LIMIT]);
    let before = files_in(&bench.path(""));
    for name in ["visit.toml", "wheel.toml", "points.csv"] {
        let said = bench.run(&["report", "visit.toml", "-o", name]);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{}", said.err);
        assert!(
            said.err.contains(name) && said.err.contains("no page"),
            "{}",
            said.err
        );
    }
    assert!(files_in(&bench.path("")) == before, "a file was touched");
    for _ in 0..2 {
        assert_eq!(
            bench
                .run(&["report", "visit.toml", "-o", "report.html"])
                .code,
            0
        );
    }
    let nowhere = bench.run(&["report", "visit.toml", "-o", "nowhere/report.html"]);
    assert_ne!(nowhere.code, 0);
    assert!(
        nowhere
            .err
            .contains("nowhere/report.html cannot be written"),
        "{}",
        nowhere.err
    );
}
