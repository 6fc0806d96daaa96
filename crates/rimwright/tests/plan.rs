//! `rimwright plan` as a user meets it.

mod shop;

use shop::desk::Desk;
use shop::{Bench, finding};

/// A symmetric front wheel with its rim's constants.
fn bench() -> Bench {
    let bench = Bench::with(&[]);
    know_the_structure(&bench);
    bench
}

fn know_the_structure(bench: &Bench) {
    bench.change("wheel.toml", |wheel| {
        wheel
            .replacen(
                "sides = [\"right\", \"left\"]\n",
                "sides = [\"right\", \"left\"]\ncentroid_radius_mm = 303.0\naxial_stiffness_n = 7.5e6\n\
                 in_plane_bending_n_mm2 = 2.0e8\nlateral_bending_n_mm2 = 1.6e8\ntorsion_n_mm2 = 0.5e8\n",
                1,
            )
            .replacen("wire_mm = 2.0\n", "wire_mm = 2.0\naxial_stiffness_n = 6.0e5\n", 1)
    });
}

/// A wheel that wanders to both sides twice a turn.
fn state() -> String {
    let rows = (1..=16).map(|spoke| {
        let swing = f64::from(spoke) * std::f64::consts::FRAC_PI_4;
        let side = if spoke % 2 == 0 { -1.0 } else { 1.0 };
        let (kgf, right) = (100.0 + side * 15.0 * swing.cos(), 0.5 * swing.sin());
        format!("{spoke},{kgf:.0},{right:.2},0\n")
    });
    format!(
        "spoke,tension_kgf,lateral_mm,radial_mm\n{}",
        rows.collect::<String>()
    )
}

#[test]
fn round_is_planned_kept_and_gone_on_from() {
    let bench = bench();
    bench.put("state.csv", state().as_bytes());
    let words = [
        "plan",
        "wheel.toml",
        "state.csv",
        "--carry",
        "carry.csv",
        "--json",
    ];
    let first = bench.run(&words);
    assert_eq!(first.code, 0, "{}", first.err);
    let first = first.json();
    assert_eq!(first["schema"], "rimwright.plan/1");
    assert_eq!(first["round"], 1);
    let carried = std::fs::read_to_string(bench.path("carry.csv")).expect("a carry file");
    assert!(carried.contains("1,turns,"), "{carried}");
    assert_eq!(
        bench.run(&words).json(),
        first,
        "the same readings are the same round"
    );
    bench.put(
        "state.csv",
        state().replacen("1,111", "1,109", 1).as_bytes(),
    );
    let second = bench.run(&words).json();
    assert_eq!(second["round"], 2);
    let without_limit = second["findings"].to_string();
    assert!(without_limit.contains("No limit known"), "{without_limit}");
}

#[test]
fn state_that_is_wrong_is_refused_with_its_place_and_nothing_is_written() {
    let bench = bench();
    for (from, to, told) in [
        ("\n5,", "\n99,", "99"),
        ("\n5,", "\n4,", "4"),
        ("\n5,", "\n5,much,", "much"),
        ("tension_kgf", "tension_kg", "tension_kg"),
    ] {
        let text = state();
        assert!(text.contains(from), "{from}");
        bench.put("state.csv", text.replacen(from, to, 1).as_bytes());
        let said = bench.run(&["plan", "wheel.toml", "state.csv", "--carry", "carry.csv"]);
        assert_eq!(said.code, 3, "{}", said.err);
        assert!(
            said.err.contains("state.csv:") && said.err.contains(told),
            "{}",
            said.err
        );
        assert!(!bench.path("carry.csv").exists());
    }
}

#[test]
fn wheel_without_its_rims_constants_gets_no_plan_and_is_told_why() {
    let bench = Bench::with(&[]);
    bench.put("state.csv", state().as_bytes());
    let said = bench.run(&["plan", "wheel.toml", "state.csv"]);
    assert_eq!(said.code, 3, "{}", said.err);
    assert!(said.err.contains("wheel.toml"), "{}", said.err);
}

const LATERAL: &str = "
[[lap]]
takes = \"lateral\"
state = \"bare\"
face = \"right\"
readings = [0.1, 0.3, 0.5, 0.4, 0.1, -0.2, -0.4, -0.5, -0.1, 0.3, 0.4, 0.5, 0.1, -0.3, -0.5, -0.3]
";

#[test]
fn label_in_place_of_both_files_plans_by_the_newest_visit_and_enters_when_asked() {
    let desk = Desk::new();
    know_the_structure(&desk.bench);
    desk.bench
        .change("visit.toml", |visit| format!("{visit}{LATERAL}"));
    let label = desk.visit_in();
    let planned = desk.json(&["plan", &label]);
    assert_eq!(planned["round"], 1);
    let from = finding(&planned, "readings").expect("what it was made from")["says"].to_string();
    assert!(
        from.contains("2026-03-04, 10:20") && from.contains("16 spokes"),
        "{from}"
    );
    let limits = finding(&planned, "limits").expect("the room of the curve")["says"].to_string();
    assert!(limits.contains("every limit is kept"), "{limits}");
    let plans = |desk: &Desk| {
        let lines = String::from_utf8(desk.exported("all.jsonl")).expect("UTF-8");
        lines
            .lines()
            .filter(|line| line.contains("rimwright.round/1"))
            .count()
    };
    assert_eq!(plans(&desk), 0, "nothing is entered unasked");

    let entered = desk.done(&["plan", &label, "--enter", "--by", "M"]);
    assert!(
        entered.out.contains("Entered with its visit"),
        "{}",
        entered.out
    );
    assert_eq!(plans(&desk), 1);
    assert!(planned["entered"].is_null(), "nothing was entered");
    let again = desk.json(&["plan", &label, "--enter", "--by", "M"]);
    assert_eq!(again["schema"], "rimwright.plan/1");
    let entry = again["entered"].as_str().expect("as what it was entered");
    let lines = String::from_utf8(desk.exported("all.jsonl")).expect("UTF-8");
    let line = lines.lines().find(|line| line.contains(entry));
    assert!(line.expect("its entry").contains("rimwright.round/1"));
    // What cannot be written is not entered; what was written says that it was entered too.
    let nowhere = [
        "plan",
        &label,
        "--enter",
        "--by",
        "M",
        "-o",
        "nowhere/round.html",
    ];
    assert_ne!(desk.run(&nowhere).code, 0);
    assert_eq!(plans(&desk), 2);
    let page = desk.done(&["plan", &label, "--enter", "--by", "M", "-o", "round.html"]);
    assert!(page.out.contains("Entered with its visit"), "{}", page.out);
    assert_eq!(plans(&desk), 3);
    let page = desk.done(&["plan", &label, "--enter", "--by", "M", "-o", "-"]);
    assert!(page.out.starts_with("<!"), "{}", page.out);
    assert!(page.err.contains("Entered with its visit"), "{}", page.err);
    let wide = desk.json(&[
        "plan",
        &label,
        "--lateral-fir",
        "4",
        "--radial-fir",
        "5",
        "--evenness",
        "40",
    ]);
    let class = &wide["class"];
    assert_eq!(class["lateral_fir_mm"], 4.0);
    assert_eq!(class["radial_fir_mm"], 5.0);
    assert_eq!(class["tension_sd_percent"], 40.0);
    assert!(!planned["turns"].as_array().expect("turns").is_empty());
    assert_eq!(wide["turns"], serde_json::json!([]), "it is of that class");
    assert_eq!(wide["good_enough"], true);
}

#[test]
fn files_and_records_are_not_mixed_up() {
    let desk = Desk::new();
    know_the_structure(&desk.bench);
    let label = desk.visit_in();
    desk.put("state.csv", state().as_bytes());
    for (words, told) in [
        (
            &["plan", &label, "state.csv"][..],
            "the records have the readings",
        ),
        (
            &["plan", &label, "--carry", "carry.csv"],
            "the records have the readings",
        ),
        (&["plan", &label, "--enter"], "who enters this"),
        (&["plan", "wheel.toml"], "what was read is missing"),
        (
            &["plan", "wheel.toml", "state.csv", "--enter"],
            "goes with a wheel of the records",
        ),
    ] {
        let said = desk.run(words);
        assert_eq!(said.code, 2, "{words:?}: {}", said.err);
        assert!(said.err.contains(told), "{words:?}: {}", said.err);
    }
}
