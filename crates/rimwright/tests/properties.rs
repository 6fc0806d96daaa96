//! What holds for the JSON of any survey: it is JSON, and a number is null only where a finding says why.

mod shop;

use proptest::prelude::*;
use serde_json::Value;
use shop::{Bench, LIMIT, finding};

const SPOKES: usize = 16;
/// More would say little: each case starts the program.
const CASES: u32 = 24;

/// What a visit may hold or lack.
#[derive(Debug, Clone)]
struct Held {
    points: usize,
    u_force: bool,
    calibrated: bool,
    bare: Option<Vec<Option<f64>>>,
    tyred: Option<Vec<Option<f64>>>,
    runouts: Vec<&'static str>,
    limited: bool,
    dish: bool,
    weighings: usize,
}

/// A lap of 16 readings: all of them inside the points, or some missing, some beyond either end.
fn lap() -> impl Strategy<Value = Option<Vec<Option<f64>>>> {
    let step = |divisions: f64| (2.0 * divisions).round() / 2.0;
    let inside = (17.0..25.0_f64).prop_map(move |divisions| Some(step(divisions)));
    let any = prop_oneof![
        6 => (15.0..25.5_f64).prop_map(move |divisions| Some(step(divisions))),
        1 => (10.0..30.0_f64).prop_map(move |divisions| Some(step(divisions))),
        1 => Just(None),
    ];
    prop_oneof![
        1 => Just(None),
        3 => prop::collection::vec(inside, SPOKES).prop_map(Some),
        2 => prop::collection::vec(any, SPOKES).prop_map(Some),
    ]
}

fn held() -> impl Strategy<Value = Held> {
    let runouts = prop::sample::subsequence(vec!["lateral", "radial"], 0..=2);
    let switches = (
        any::<bool>(),
        prop::bool::weighted(0.9),
        any::<bool>(),
        any::<bool>(),
    );
    let points = prop::sample::select(vec![2_usize, 3, 6]);
    (points, lap(), lap(), runouts, switches, 0..3_usize).prop_map(
        |(points, bare, tyred, runouts, (u_force, calibrated, limited, dish), weighings)| Held {
            points,
            u_force,
            calibrated,
            bare,
            tyred,
            runouts,
            limited,
            dish,
            weighings,
        },
    )
}

/// The files of such a visit, with every kind of claim.
fn bench_of(held: &Held) -> Bench {
    let mut blocks = Vec::new();
    for (state, pressure, lap) in [
        ("bare", "", &held.bare),
        ("tyred", "pressure_bar = 5.0\n", &held.tyred),
    ] {
        if lap.iter().flatten().any(Option::is_some) {
            blocks.push(format!(
                "[[lap]]\ntakes = \"reading\"\nstate = \"{state}\"\n{pressure}gauge = \"gauge.toml\"\nreadings = \"{state}.csv\"\n"
            ));
        }
    }
    for axis in &held.runouts {
        blocks.push(format!("[[lap]]\ntakes = \"{axis}\"\nstate = \"bare\"\nface = \"right\"\nreadings = [0.02, 0.05, -0.01, 0.0, 0.1, 0.0, 0.0, -0.1, 0.02, 0.05, -0.01, 0.0, 0.1, 0.0, 0.0, -0.1]\n"));
    }
    for (quantity, most) in [
        ("tension_loss_percent", 8.0),
        ("evenness_percent", 5.0),
        ("lateral_fir_mm", 0.3),
        ("radial_fir_mm", 0.3),
    ] {
        blocks.push(format!(
            "[[claim]]\ntext = \"{quantity}\"\nquantity = \"{quantity}\"\nat_most = {most:?}\n"
        ));
    }
    blocks.push(
        "[[claim]]\ntext = \"light\"\nquantity = \"mass_g\"\nat_most = 900.0\ndress = [\"tape\"]\n"
            .into(),
    );
    for dress in ["[]", "[\"tape\"]"].into_iter().take(held.weighings) {
        blocks.push(format!("[[weighing]]\ndress = {dress}\nmass_g = 812\n"));
    }
    if held.limited {
        blocks.push(LIMIT.into());
    }
    let blocks: Vec<&str> = blocks.iter().map(String::as_str).collect();
    let bench = Bench::with(&blocks);
    for (name, lap) in [("bare.csv", &held.bare), ("tyred.csv", &held.tyred)] {
        let rows = lap
            .iter()
            .flatten()
            .zip(1..)
            .filter_map(|(reading, spoke)| {
                reading.map(|divisions| format!("{spoke},{divisions}\n"))
            });
        bench.put(
            name,
            format!("spoke,reading\n{}", rows.collect::<String>()).as_bytes(),
        );
    }
    bench.change("points.csv", |text| {
        let rows: Vec<&str> = text.lines().skip(1).collect();
        // The outermost points first, so that the range stays.
        let kept = [0, rows.len() - 1, 2, 1, 3, 4]
            .into_iter()
            .take(held.points);
        let cut = |row: &str| match row.rsplit_once(',') {
            Some((without, _)) if !held.u_force => without.to_owned(),
            _ => row.to_owned(),
        };
        let head = cut("reading,force_kgf,u_force");
        kept.fold(head, |text, place| text + "\n" + &cut(rows[place])) + "\n"
    });
    if !held.calibrated {
        bench.change("visit.toml", |text| {
            let from = text.find("[[calibration]]").expect("a calibration");
            let to = text.find("points.csv\"\n").expect("its points") + "points.csv\"\n".len();
            format!("{}{}", &text[..from], &text[to..])
        });
    }
    if !held.dish {
        bench.change("wheel.toml", |text| {
            text.replace("dish_mm = 0.1\ndish_u_mm = 0.2\n", "")
        });
    }
    bench
}

/// The place among them of the claim on a mass.
const MASS_CLAIM: &str = "4";

fn says(finding: &Value) -> &str {
    finding["says"].as_str().unwrap_or_default()
}

/// Every null of a JSON value, by its path.
fn nulls(value: &Value, path: &mut Vec<String>, found: &mut Vec<Vec<String>>) {
    let mut down = |key: String, value: &Value| {
        path.push(key);
        nulls(value, path, found);
        path.pop();
    };
    match value {
        Value::Null => found.push(path.clone()),
        Value::Array(all) => all
            .iter()
            .enumerate()
            .for_each(|(place, one)| down(place.to_string(), one)),
        Value::Object(all) => all.iter().for_each(|(key, one)| down(key.clone(), one)),
        _ => {}
    }
}

/// The fixed words of findings any of which explains that this number is null; none for what is no number.
fn reasons(path: &[&str]) -> &'static [&'static str] {
    match path {
        // Words, and marks of something that was not found. Minutes go with the words of `settle`.
        [
            ..,
            "bare_bound" | "tyred_bound" | "settle" | "settle_minutes" | "curve_doubt",
        ] => &[],
        ["runout", "dish_mm"] => &["dish-unmeasured"],
        ["runout", ..] | ["tyre_effect", "pressure_bar"] => &["not-taken"],
        ["spokes", _, "bare_divisions" | "tyred_divisions"] => {
            &["not-taken", "not-read", "no-curve"]
        }
        ["tyre_effect", "line_load_n_per_mm"] => &["not-taken", "no-line-load"],
        ["claims", place, "probability"] if *place == MASS_CLAIM => &["not-weighed"],
        [
            "spokes" | "sides" | "groups" | "tyre_effect" | "statics" | "claims" | "limits",
            ..,
        ] => &["not-taken", "not-read", "outside-range", "no-curve"],
        _ => panic!("no reason is known for a null at {}", path.join(".")),
    }
}

/// What a finding `not-taken` must name to explain this null.
fn left_out(path: &[&str]) -> &'static str {
    let names = |part: &str| path.iter().any(|key| key.starts_with(part));
    if names("lateral") || matches!(path, ["claims", "2", _]) {
        "the runout to the side"
    } else if names("radial") || matches!(path, ["claims", "3", _]) {
        "the runout in and out"
    } else if names("bare") || matches!(path, ["limits", ..]) {
        "without a tyre"
    } else if names("tyred") || names("pressure") {
        "with the tyre on"
    } else {
        "a lap of readings"
    }
}

/// Every value with an uncertainty has one that is not negative, and an interval the right way round.
fn sound(value: &Value) {
    match value {
        Value::Object(all) => {
            if let (Some(u), Some(_)) = (all.get("u"), all.get("value")) {
                assert!(u.as_f64().is_some_and(|u| u >= 0.0), "{value}");
            }
            if let (Some(low), Some(high)) = (all.get("low"), all.get("high")) {
                assert!(low.as_f64() <= high.as_f64(), "{value}");
            }
            all.values().for_each(sound);
        }
        Value::Array(all) => all.iter().for_each(sound),
        _ => {}
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_number_is_null_only_where_a_finding_says_why(held in held()) {
        let json = bench_of(&held).run(&["survey", "visit.toml", "--json"]).json();
        sound(&json);
        let mut found = Vec::new();
        nulls(&json, &mut Vec::new(), &mut found);
        for path in found {
            let path: Vec<&str> = path.iter().map(String::as_str).collect();
            let wanted = reasons(&path);
            let explains = |about: &str| {
                finding(&json, about).is_some_and(|one| {
                    about != "not-taken" || says(one).contains(left_out(&path))
                })
            };
            prop_assert!(
                wanted.is_empty() || wanted.iter().any(|about| explains(about)),
                "{} is null, but there is none of {wanted:?} in {}",
                path.join("."),
                json["findings"]
            );
        }
    }

    /// A spoke's own null has a finding that names that spoke, or says that the lap was not taken at all.
    #[test]
    fn a_spoke_without_a_force_is_named(held in held()) {
        let json = bench_of(&held).run(&["survey", "visit.toml", "--json"]).json();
        let findings = json["findings"].as_array().expect("a list");
        let states = [("bare_n", "Bare:", "without a tyre"), ("tyred_n", "Tyred:", "with the tyre on")];
        for spoke in json["spokes"].as_array().expect("a list") {
            for (key, state, lap) in states {
                let is_named = findings.iter().any(|one| {
                    let names = one["spokes"].as_array().is_some_and(|all| all.contains(&spoke["spoke"]));
                    let is_left_out = one["about"] == "not-taken" && says(one).contains(lap);
                    is_left_out || says(one).starts_with(state) && names
                });
                prop_assert!(
                    is_named || !spoke[key].is_null(),
                    "{key} of spoke {}: {}", spoke["spoke"], json["findings"]
                );
            }
        }
    }
}
