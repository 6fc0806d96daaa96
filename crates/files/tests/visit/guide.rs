//! The guide's examples are read as they stand, and its messages are the program's.

use crate::files_held::{HEAD, held, read_with};
use files::{Source, gauge_file, laps, points, rig_file, visit_file};

const POINTS: &str = include_str!("../../../../docs/guide/points.md");
const VISIT: &str = include_str!("../../../../docs/guide/visit-file.md");

/// The blocks of a guide in this language, in order.
fn blocks<'g>(guide: &'g str, language: &str) -> Vec<&'g str> {
    let fence = format!("```{language}\n");
    let opened = guide.split(fence.as_str()).skip(1);
    opened
        .map(|rest| rest.split("```").next().expect("a block"))
        .collect()
}

fn source(name: &str, text: &str) -> Source {
    Source::from_bytes(name, text.as_bytes()).expect("text")
}

#[test]
fn the_points_guide_shows_files_that_are_read() {
    let csv = blocks(POINTS, "csv");
    let [rig, semicolons, lap, runout] = csv.as_slice() else {
        panic!("four blocks")
    };
    let rows = |text| points::read(&source("rig.csv", text)).expect("read").len();
    assert_eq!((rows(rig), rows(semicolons)), (6, 2));
    let lap = laps::read_readings(&source("lap.csv", lap), 8).expect("read");
    assert_eq!(lap.readings.len(), 3);
    assert_eq!(
        laps::read_runout(&source("runout.csv", runout))
            .expect("read")
            .len(),
        3
    );
    let gauge = gauge_file::read(&source("gauge.toml", blocks(POINTS, "toml")[0])).expect("read");
    assert_eq!(gauge.label, "G2");
}

#[test]
fn the_points_guide_shows_a_rig_that_is_read_and_slips_in_it_are_named() {
    let rig = blocks(POINTS, "toml")[1];
    let read = |text: &str| rig_file::read(&source("rig.toml", text));
    // Frame and spoke apart by 5.8 millionths over 290 mm, held by 290/4.6e5 mm/N of spoke and 0.4e-3 of rig: eq. 8.9.
    let n_per_k = read(rig).expect("read").tension_per_kelvin();
    let by_hand = -5.8e-6 * 290.0 / (290.0 / 4.6e5 + 0.4e-3);
    assert!((n_per_k / by_hand - 1.0).abs() < 1e-12, "{n_per_k}");
    for (from, to, said) in [
        ("length_mm = 290 ", "length_mm = 0 ", "more than 0"),
        ("length_mm", "length_cm", "length_mm"),
        ("give_um_per_n = 0.4 ", "give_um_per_n = -1 ", "at most 100"),
        ("17.3 ", "\"steel\" ", "number"),
    ] {
        assert!(rig.contains(from), "{from}");
        let refused = read(&rig.replacen(from, to, 1))
            .expect_err("refused")
            .to_string();
        assert!(refused.contains(said), "{said}: {refused}");
    }
}

#[test]
fn the_visit_guide_shows_a_visit_that_is_read() {
    let mut held = held();
    held.insert("harbour-front.toml".into(), held["front.toml"].clone());
    held.insert("tyred.csv".into(), blocks(POINTS, "csv")[2].into());
    let toml = blocks(VISIT, "toml");
    let (visit, _) = read_with(toml[0].as_bytes(), held.clone()).expect("read");
    assert_eq!(
        (visit.laps.len(), visit.limits.len(), visit.claims.len()),
        (3, 1, 1)
    );
    let (of_shop, _) = read_with(format!("{HEAD}{}", toml[1]).as_bytes(), held).expect("read");
    assert_eq!(
        of_shop.settings, visit.settings,
        "the guide shows what is usual"
    );
}

#[test]
fn the_guide_s_messages_are_the_program_s() {
    let refused = points::read(&source("rig.csv", "reading,force_kgf\n22,5,95,8\n"));
    assert!(POINTS.contains(&refused.expect_err("refused").to_string()));
    let seven = blocks(VISIT, "toml")[0].replace(", 22.0]", "]");
    let mut held = held();
    held.insert("harbour-front.toml".into(), held["front.toml"].clone());
    held.insert("tyred.csv".into(), blocks(POINTS, "csv")[2].into());
    let visit = source("visit.toml", &seven);
    let refused = visit_file::read(&visit, crate::files_held::now(), &mut held);
    let shown = refused.expect_err("refused").to_string();
    assert!(VISIT.contains(&shown), "{shown}");
}
