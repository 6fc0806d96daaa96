//! `rimwright plan` as a user meets it.

mod shop;

use shop::Bench;

/// A symmetric front wheel with its rim's constants.
fn bench() -> Bench {
    let bench = Bench::with(&[]);
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
    bench
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
