//! The program as a user meets it: words, exit codes, files.

mod shop;

use serde_json::Value;
use shop::{BARE, Bench, LIMIT, POINTS, TYRED, finding};

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("a number, not {value}"))
}

fn has(value: &Value, keys: &[&str]) {
    for key in keys {
        assert!(value.get(key).is_some(), "no key {key} in {value}");
    }
}

#[test]
fn every_verb_teaches_by_an_example() {
    let bench = Bench::with(&[BARE]);
    for verb in ["calibrate", "survey", "report", "analyse"] {
        let said = bench.run(&[verb, "--help"]);
        assert_eq!(said.code, 0);
        assert!(
            said.out.contains(&format!("Example: rimwright {verb}")),
            "{}",
            said.out
        );
    }
}

#[test]
fn wrong_words_end_with_two_and_bad_files_with_three() {
    let bench = Bench::with(&[BARE]);
    assert_eq!(bench.run(&["survey", "visit.toml", "--colour"]).code, 2);
    assert_eq!(bench.run(&["frobnicate"]).code, 2);
    let missing = bench.run(&["survey", "nowhere.toml"]);
    assert_eq!(missing.code, 3);
    assert!(
        missing.err.contains("nowhere.toml cannot be read"),
        "{}",
        missing.err
    );
    bench.put("points.csv", b"reading,force_kg\n15,60\n16,66\n");
    let kilograms = bench.run(&["calibrate", "points.csv"]);
    assert_eq!(kilograms.code, 3);
    assert!(
        kilograms.err.contains("points.csv:1:9"),
        "{}",
        kilograms.err
    );
    bench.put("points.csv", b"reading,force_kgf\n15,60\n");
    let single = bench.run(&["calibrate", "points.csv"]);
    assert_eq!((single.code, single.out.as_str()), (3, ""));
    assert!(single.err.contains("a curve needs two"), "{}", single.err);
}

/// Eq. 8.9 by hand: 5 millionths over 300 mm, the spoke giving 1 µm/N and the rig another.
#[test]
fn warmth_in_the_rig_is_told_and_changes_no_force() {
    let bench = Bench::with(&[BARE]);
    let rig = "format = 1\nlength_mm = 300\naxial_stiffness_n = 3e5\nexpansion_um_per_m_k = 17\nframe_expansion_um_per_m_k = 12\ngive_um_per_n = 1\n";
    bench.put("rig.toml", rig.as_bytes());
    let plain = ["calibrate", "points.csv", "--at", "22.5"];
    let with_rig = [&plain[..], &["--rig", "rig.toml"]].concat();
    let [mut cold, mut warm] =
        [&plain[..], &with_rig].map(|words| bench.run(&[words, &["--json"]].concat()).json());
    assert!((number(&warm["rig_n_per_k"]) + 0.75).abs() < 1e-12);
    assert!(cold["rig_n_per_k"].is_null());
    for json in [&mut cold, &mut warm] {
        json["rig_n_per_k"].take();
    }
    assert_eq!(cold, warm);
    let said = bench.run(&with_rig).out;
    assert!(said.contains("a degree warmer takes 0.08 kgf"), "{said}");
    bench.put("rig.toml", rig.replace("17", "12").as_bytes());
    let said = bench.run(&with_rig).out;
    assert!(said.contains("a degree warmer changes nothing"), "{said}");
}

#[test]
fn a_calibration_answers_inside_its_points_and_bounds_outside() {
    let bench = Bench::with(&[BARE]);
    let said = bench.run(&[
        "calibrate",
        "points.csv",
        "--gauge",
        "gauge.toml",
        "--at",
        "22.5,40",
        "--json",
    ]);
    assert!(
        said.out
            .trim_start()
            .starts_with("{\n  \"schema\": \"rimwright.calibrate/1\""),
        "{}",
        said.out
    );
    let json = said.json();
    has(
        &json,
        &["curve", "at", "chi2", "degrees_of_freedom", "findings"],
    );
    has(&json["curve"], &["family", "parameters", "covariance"]);
    let (inside, outside) = (&json["at"][0], &json["at"][1]);
    has(inside, &["reading", "force_n", "bound_n", "inside_range"]);
    assert!(
        inside["inside_range"].as_bool() == Some(true) && number(&inside["force_n"]["u"]) > 0.0
    );
    assert!(outside["force_n"].is_null() && outside["bound"] == "more");
    assert!(number(&outside["bound_n"]) > 1200.0);
    let text = bench.run(&[
        "calibrate",
        "points.csv",
        "--gauge",
        "gauge.toml",
        "--at",
        "40",
    ]);
    assert!(text.out.contains("more than"), "{}", text.out);
    for family in ["physics", "line", "spline"] {
        let said = bench.run(&["calibrate", "points.csv", "--family", family, "--json"]);
        let wanted = if family == "physics" {
            "gauge physics"
        } else {
            family
        };
        let found = said.json()["curve"]["family"].as_str().map(str::to_owned);
        assert!(
            found.as_deref().is_some_and(|found| found.contains(wanted)),
            "{found:?}"
        );
    }
}

#[test]
fn points_may_come_from_a_pipe() {
    let bench = Bench::with(&[BARE]);
    let said = bench.run_with_input(&["calibrate", "-", "--json"], POINTS);
    assert_eq!(said.json()["residuals"].as_array().map(Vec::len), Some(6));
}

#[test]
fn a_survey_has_every_key_that_others_read() {
    let claim = "[[claim]]\ntext = \"loses at most 8 %\"\nquantity = \"tension_loss_percent\"\nat_most = 8.0\n";
    let runout = "[[lap]]\ntakes = \"lateral\"\nstate = \"bare\"\nface = \"right\"\nreadings = [0.02, 0.05, -0.01, 0.0, 0.1, 0.0, 0.0, -0.1, 0.02, 0.05, -0.01, 0.0, 0.1, 0.0, 0.0, -0.1]\n";
    let bench = Bench::with(&[BARE, TYRED, LIMIT, claim, runout]);
    let said = bench.run(&["survey", "visit.toml", "--json"]);
    assert!(
        said.out
            .trim_start()
            .starts_with("{\n  \"schema\": \"rimwright.survey/1\""),
        "{}",
        said.out
    );
    let json = said.json();
    has(
        &json,
        &[
            "spokes",
            "sides",
            "groups",
            "tyre_effect",
            "statics",
            "claims",
            "limits",
            "runout",
            "weighings",
            "findings",
        ],
    );
    has(
        &json["spokes"][0],
        &["spoke", "side", "kind", "bare_n", "tyred_n"],
    );
    for side in ["right", "left"] {
        for state in ["bare", "tyred"] {
            let numbers = &json["sides"][side][state];
            has(
                numbers,
                &[
                    "mean_n",
                    "sd_percent",
                    "sd_without_noise_percent",
                    "min_n",
                    "max_n",
                ],
            );
            has(&numbers["mean_n"], &["value", "u"]);
        }
    }
    has(&json["groups"][0], &["side", "kind", "bare", "tyred"]);
    for part in ["whole", "right", "left"] {
        has(&json["tyre_effect"][part]["drop_percent"], &["value", "u"]);
    }
    for state in ["bare", "tyred"] {
        has(
            &json["statics"][state],
            &[
                "ratio_expected",
                "ratio_found",
                "chi2",
                "degrees_of_freedom",
                "p_value",
                "suspicious",
            ],
        );
    }
    has(
        &json["claims"][0],
        &["text", "probability", "verdict", "settle"],
    );
    has(
        &json["limits"][0],
        &["text", "probability", "verdict", "spokes"],
    );
    has(
        &json["runout"],
        &["lateral_fir_mm", "radial_fir_mm", "dish_mm"],
    );
    assert!(
        json["runout"]["radial_fir_mm"].is_null(),
        "nobody measured it"
    );
    assert!((number(&json["runout"]["lateral_fir_mm"]["value"]) - 0.2).abs() < 1e-12);
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_units_change_words_only() {
    let bench = Bench::with(&[BARE, TYRED, LIMIT]);
    let once = bench.run(&["survey", "visit.toml", "--json", "--seed", "7"]);
    let twice = bench.run(&["survey", "visit.toml", "--json", "--seed", "7"]);
    assert_eq!(once.out, twice.out);
    let (kgf, newtons) = (
        bench.run(&["survey", "visit.toml"]),
        bench.run(&["survey", "visit.toml", "--units", "n"]),
    );
    assert!(kgf.out.contains("mean, kgf") && newtons.out.contains("mean, N"));
    assert!(
        bench
            .run(&["survey", "visit.toml", "--units", "lbf"])
            .out
            .contains("mean, lbf")
    );
    // The words inside the JSON have the unit that was asked for; its numbers are newtons all the same.
    let numbers = |units: &str| {
        let json = bench
            .run(&["survey", "visit.toml", "--json", "--units", units])
            .json();
        let of = |key: &str| json[key].clone();
        (
            ["spokes", "sides", "groups", "tyre_effect", "statics"].map(of),
            number(&json["limits"][0]["limit_n"]),
            number(&json["limits"][0]["probability"]),
        )
    };
    assert_eq!(numbers("kgf"), numbers("n"));
    assert_eq!(numbers("kgf"), numbers("lbf"));
}

/// The draws go on until the digits shown stand still: another seed turns the last of them by one at most.
#[test]
fn another_seed_moves_no_more_than_the_last_digit_shown() {
    let bench = Bench::with(&[BARE, TYRED, LIMIT]);
    let words_of = |seed: &str| -> Vec<String> {
        let said = bench.run(&["survey", "visit.toml", "--seed", seed]);
        assert_eq!(said.code, 0, "{}", said.err);
        said.out
            .lines()
            .filter(|line| !line.contains("draws, seed"))
            .flat_map(str::split_whitespace)
            .map(str::to_owned)
            .collect()
    };
    let once = words_of("1");
    let decimals = |word: &str| word.split_once('.').map_or(0, |(_, behind)| behind.len());
    for seed in ["2", "3"] {
        let other = words_of(seed);
        assert_eq!(once.len(), other.len());
        for (one, two) in once.iter().zip(&other) {
            match (one.parse::<f64>(), two.parse::<f64>()) {
                (Ok(first), Ok(second)) => {
                    let step = 0.1_f64.powi(i32::try_from(decimals(one)).expect("few"));
                    assert!((first - second).abs() < 1.5 * step, "{one} and {two}");
                }
                _ => assert_eq!(one, two),
            }
        }
    }
}

#[test]
fn a_lap_that_was_not_taken_is_said_and_what_rests_on_it_is_null() {
    let claim = "[[claim]]\ntext = \"loses at most 8 %\"\nquantity = \"tension_loss_percent\"\nat_most = 8.0\n";
    let bench = Bench::with(&[BARE, LIMIT, claim]);
    let json = bench.run(&["survey", "visit.toml", "--json"]).json();
    assert!(json["tyre_effect"]["whole"].is_null() && json["statics"]["tyred"].is_null());
    assert!(json["spokes"][0]["tyred_n"].is_null());
    let claim = &json["claims"][0];
    assert!(claim["probability"].is_null());
    assert_eq!(claim["verdict"], "undecided");
    assert!(
        claim["settle"]
            .as_str()
            .is_some_and(|next| next.contains("lap") && next.contains("tyred")),
        "{claim}"
    );
    let said = finding(&json, "not-taken").expect("said");
    assert!(
        said["says"]
            .as_str()
            .is_some_and(|says| says.contains("with the tyre on"))
    );
}

#[test]
fn no_limit_known_is_never_a_pass() {
    let bench = Bench::with(&[BARE, TYRED]);
    let said = bench.run(&["survey", "visit.toml"]);
    assert!(
        said.out
            .lines()
            .nth(1)
            .is_some_and(|line| line.starts_with("No limit known")),
        "{}",
        said.out
    );
    assert!(said.out.contains("no limit known: not a pass"));
    let json = bench.run(&["survey", "visit.toml", "--json"]).json();
    assert_eq!(json["limits"], serde_json::json!([]));
    let page = bench.run(&["report", "visit.toml", "-o", "-"]);
    assert!(page.out.contains("No limit known") && !page.out.contains("under the limits given"));
}

#[test]
fn four_spokes_only_are_enough_for_a_mean_and_too_few_for_statics() {
    let lap = "[[lap]]\ntakes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge.toml\"\nreadings = \"four.csv\"\n";
    let bench = Bench::with(&[lap, LIMIT]);
    bench.put(
        "four.csv",
        b"spoke,reading\n1,22.5\n2,22.0\n9,22.5\n10,22.5\n",
    );
    let json = bench.run(&["survey", "visit.toml", "--json"]).json();
    assert!(number(&json["sides"]["right"]["bare"]["mean_n"]["value"]) > 900.0);
    assert!(json["statics"]["bare"]["chi2"].is_null());
    assert_eq!(
        json["limits"][0]["verdict"], "cannot tell",
        "twelve spokes were not read"
    );
    let unread = finding(&json, "not-read").expect("said");
    assert_eq!(unread["spokes"].as_array().map(Vec::len), Some(12));
}

#[test]
fn a_reading_beyond_the_points_is_a_bound_and_its_group_has_no_mean() {
    let high = BARE.replace("[22.5, 22.0", "[28.0, 22.0");
    let bench = Bench::with(&[&high, LIMIT]);
    let json = bench.run(&["survey", "visit.toml", "--json"]).json();
    assert!(json["spokes"][0]["bare_n"].is_null());
    assert_eq!(json["spokes"][0]["bare_bound"]["than"], "more");
    assert!(json["sides"]["right"]["bare"]["mean_n"].is_null());
    assert!(json["sides"]["left"]["bare"]["mean_n"].is_object());
    let outside = finding(&json, "outside-range").expect("said");
    assert_eq!(outside["spokes"], serde_json::json!([1]));
    assert_eq!(
        json["limits"][0]["verdict"], "over",
        "more than 132 kgf is over 130"
    );
}

/// Source: common practice, no source: 551 g bare and 840 g ready to ride is 289 g of tyre, tube and valve.
#[test]
fn what_a_tyre_weighs_is_the_difference_of_two_weighings() {
    let weighings = "[[weighing]]\ndress = []\nmass_g = 551\n\n[[weighing]]\ndress = [\"tyre\", \"tube\", \"valve\"]\nmass_g = 840\n";
    let bench = Bench::with(&[BARE, weighings]);
    let json = bench.run(&["survey", "visit.toml", "--json"]).json();
    let difference = &json["dress_differences"][0];
    assert!((number(&difference["mass_g"]["value"]) - 289.0).abs() < 1e-9);
    assert_eq!(
        difference["of"],
        serde_json::json!(["tyre", "tube", "valve"])
    );
}

#[test]
fn a_report_stands_alone_and_says_its_verdict_first() {
    let bench = Bench::with(&[BARE, TYRED, LIMIT]);
    let said = bench.run(&["report", "visit.toml", "-o", "report.html"]);
    assert_eq!(said.code, 0, "{}", said.err);
    let page = std::fs::read_to_string(bench.path("report.html")).expect("the report");
    for remote in [
        "src=\"http",
        "href=\"http",
        "url(http",
        "<script",
        "@import",
    ] {
        assert!(!page.contains(remote), "{remote}");
    }
    let at = |words: &str| page.find(words).unwrap_or_else(|| panic!("no “{words}”"));
    // Names of namespaces are no addresses that anything is fetched from.
    let addresses = page.matches("://").count();
    assert_eq!(
        addresses,
        page.matches("xmlns=\"http://www.w3.org/").count()
    );
    for attribute in ["src=\"", "href=\""] {
        for (place, _) in page.match_indices(attribute) {
            let target = &page[place + attribute.len()..];
            assert!(
                target.starts_with('#') || target.starts_with("data:"),
                "{}",
                &target[..40]
            );
        }
    }
    assert!(
        page.matches("<svg xmlns=").count() >= 3,
        "bare, tyred, the curve"
    );
    assert_eq!(
        page.matches("<svg xmlns=").count(),
        page.matches("<title id=").count()
    );
    assert!(at("Every spoke is under the limits given") < at("The numbers that matter"));
    assert!(at("The numbers that matter") < at("Evidence, not permission to ride</"));
    for words in [
        "sticker on the rim",
        "Not checked",
        "Signature",
        "second pair of eyes",
        "eye protection",
        "role=\"img\"",
    ] {
        at(words);
    }
}

#[test]
fn a_report_of_a_bad_visit_leaves_the_last_one_alone() {
    let bench = Bench::with(&[&BARE.replace("22.5]", "22.5, 22.5]"), LIMIT]);
    bench.put("report.html", b"the one before");
    let said = bench.run(&["report", "visit.toml", "-o", "report.html"]);
    assert_eq!(said.code, 3);
    assert!(
        said.err.contains("visit.toml:") && said.err.contains("17"),
        "{}",
        said.err
    );
    assert_eq!(
        std::fs::read(bench.path("report.html")).expect("kept"),
        b"the one before"
    );
}
