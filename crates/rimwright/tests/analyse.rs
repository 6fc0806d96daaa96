//! `rimwright analyse` as a user meets it, held against two general-purpose finite-element codes.

mod shop;

use serde_json::Value;
use shop::{BARE, Bench};
use std::f64::consts::PI;
use std::fmt::Write;

/// The reference wheel: 36 spokes of 2.0 mm wire crossed three times, hub circle 22.5 mm at ± 30 mm,
/// rim of radius 300 mm; every tension as given.
fn reference_wheel(tension_n: f64) -> String {
    reference_wheel_laced(tension_n, PI / 3.0)
}

/// The same with its hub holes ahead of and behind their seats by this angle: 0 is radial.
fn reference_wheel_laced(tension_n: f64, ahead: f64) -> String {
    let axial_n = 193e9 * PI * 1e-6;
    let mut text = String::from(
        "format = 1\nname = \"reference\"\n\n[rim]\ncentroid_radius_mm = 300.0\naxial_stiffness_n = 9.66e6\nin_plane_bending_n_mm2 = 103.5e6\nlateral_bending_n_mm2 = 207e6\ntorsion_n_mm2 = 52e6\n",
    );
    for place in 0..36 {
        let (side, z) = if place % 2 == 0 {
            ("right", 30.0)
        } else {
            ("left", -30.0)
        };
        let seat = f64::from(place) * PI / 18.0;
        let hub = seat + if (place / 2) % 2 == 0 { ahead } else { -ahead };
        let (sin, cos) = seat.sin_cos();
        let (hub_sin, hub_cos) = hub.sin_cos();
        write!(
            text,
            "\n[[spoke]]\nside = \"{side}\"\nhub_mm = [{:?}, {:?}, {z:?}]\nseat_mm = [{:?}, {:?}, 0.0]\naxial_stiffness_n = {axial_n:?}\ntension_n = {tension_n:?}\n",
            22.5 * hub_cos,
            22.5 * hub_sin,
            300.0 * cos,
            300.0 * sin
        )
        .expect("text grows");
    }
    text
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("a number, not {value}"))
}

/// Source: OpenSeesPy 3.7.1 and PyNiteFEA 3.2.0 on the same wheel with 16 straight pieces between
/// spokes: 0.214580 mm under 1000 N toward the hub, 0.714407 mm under 100 N sideways, 0.450411 mm under
/// 100 N along the rim. Tolerance 0.05 %, what straight pieces leave of an arc.
#[test]
fn a_wheel_without_tension_is_as_stiff_as_finite_elements_say() {
    let bench = Bench::with(&[BARE]);
    bench.put("reference.toml", reference_wheel(0.0).as_bytes());
    let said = bench.run(&[
        "analyse",
        "reference.toml",
        "--json",
        "--ride",
        "700,0@spoke_1",
    ]);
    assert!(
        said.out
            .starts_with("{\n  \"schema\": \"rimwright.analyse/1\""),
        "{}",
        said.out
    );
    let json = said.json();
    let loose = &json["stiffness"]["at_zero_tension"];
    for (key, load_n, shift_mm) in [
        ("radial_at_spoke_1_n_per_mm", 1000.0, 0.214_580),
        ("lateral_at_spoke_1_n_per_mm", 100.0, 0.714_407),
        ("tangential_at_spoke_1_n_per_mm", 100.0, 0.450_411),
    ] {
        let found_mm = load_n / number(&loose[key]);
        assert!(
            (found_mm / shift_mm - 1.0).abs() < 5e-4,
            "{key}: {found_mm} mm"
        );
    }
    for key in ["first_slack_n", "buckling"] {
        assert!(json[key].is_null(), "{key} needs tension");
    }
    assert!(json["stiffness"]["at_tension"].is_null());
    assert!(json["ride"][0]["tension_change_n"].is_null());
    assert!(
        json["findings"].to_string().contains("no spoke tension"),
        "{}",
        json["findings"]
    );
}

#[test]
fn a_tensioned_wheel_answers_everything_others_read() {
    let bench = Bench::with(&[BARE]);
    bench.put("reference.toml", reference_wheel(1000.0).as_bytes());
    let json = bench
        .run(&[
            "analyse",
            "reference.toml",
            "--json",
            "--ride",
            "700,-50@mid_gap",
        ])
        .json();
    let (tight, loose) = (
        &json["stiffness"]["at_tension"],
        &json["stiffness"]["at_zero_tension"],
    );
    for key in [
        "radial_at_spoke_1_n_per_mm",
        "radial_mid_gap_n_per_mm",
        "lateral_at_spoke_1_n_per_mm",
        "lateral_mid_gap_n_per_mm",
        "tangential_at_spoke_1_n_per_mm",
    ] {
        assert!(
            number(&tight[key]) > 0.0 && number(&loose[key]) > 0.0,
            "{key}"
        );
    }
    // Tension softens a wheel sideways (published for spoked wheels in general).
    assert!(
        number(&tight["lateral_at_spoke_1_n_per_mm"])
            < number(&loose["lateral_at_spoke_1_n_per_mm"])
    );
    for key in ["tension_n_per_mm", "lateral_mm_per_mm", "radial_mm_per_mm"] {
        assert_eq!(
            json["influence"][key].as_array().map(Vec::len),
            Some(36),
            "{key}"
        );
    }
    for key in ["tension_change_n", "radial_mm", "lateral_mm"] {
        assert_eq!(
            json["line_load"][key].as_array().map(Vec::len),
            Some(36),
            "{key}"
        );
    }
    assert_eq!(json["ride"][0]["at"], "mid_gap");
    assert_eq!(
        json["ride"][0]["tension_change_n"].as_array().map(Vec::len),
        Some(36)
    );
    assert!(number(&json["first_slack_n"]) > 1000.0);
    assert!(
        number(&json["buckling"]["tension_multiplier"]) > 1.0 && json["buckling"]["waves"].is_u64()
    );
    let text = bench.run(&["analyse", "reference.toml"]);
    assert!(text.out.contains("A quarter turn tighter"), "{}", text.out);
    assert!(text.out.contains("Evidence, not permission to ride"));
}

#[test]
fn a_wheel_whose_rim_is_unknown_gets_an_error_that_names_every_key_that_is_missing() {
    let bench = Bench::with(&[BARE]);
    let said = bench.run(&["analyse", "wheel.toml"]);
    assert_eq!((said.code, said.out.as_str()), (3, ""));
    for word in [
        "wheel.toml",
        "centroid_radius_mm, axial_stiffness_n, in_plane_bending_n_mm2, lateral_bending_n_mm2, torsion_n_mm2",
        "--rim-box",
    ] {
        assert!(said.err.contains(word), "{word} in {}", said.err);
    }
    let boxed = [
        "analyse",
        "wheel.toml",
        "--rim-mass",
        "430",
        "--rim-box",
        "20x25",
    ];
    let spokes = bench.run(&boxed);
    assert_eq!(spokes.code, 3);
    assert!(
        spokes
            .err
            .contains("axial_stiffness_n is not known for plain"),
        "{}",
        spokes.err
    );
    let json = bench
        .run(&[&boxed[..], &["--steel-spokes", "--json"]].concat())
        .json();
    assert_eq!(json["assumed"].as_array().map(Vec::len), Some(6));
    assert!(
        json["findings"]
            .to_string()
            .contains("torsion_n_mm2 is assumed")
    );
    // 2.0 mm wire of 185 GPa.
    assert!((number(&json["assumed"][5]["value"]) / (185e3 * PI) - 1.0).abs() < 1e-12);
    assert!(json["ring_frequencies"].is_array());
}

/// Law: spoke 1 has one answer, whether it is asked for by its name or by its angle; braking mirrors driving
/// on a wheel whose lacing is its own mirror image, left and right and spokes 1 and 4 changing places.
#[test]
fn a_place_may_be_named_by_its_angle_and_a_load_may_push_along_the_rim() {
    let bench = Bench::with(&[BARE]);
    bench.put("reference.toml", reference_wheel(900.0).as_bytes());
    let json = bench
        .run(&[
            "analyse",
            "reference.toml",
            "--at=0,5",
            "--ride=600,0,150@spoke_1",
            "--ride=600,0,150@0",
            "--ride=600,0,-150@30",
            "--patch=40",
            "--json",
        ])
        .json();
    let places = json["places"].as_array().expect("two places");
    for (place, of) in places.iter().zip(["at_spoke_1", "mid_gap"]) {
        for axis in ["radial", "lateral"] {
            let named = number(&json["stiffness"]["at_tension"][format!("{axis}_{of}_n_per_mm")]);
            let asked = number(&place[format!("{axis}_n_per_mm")]);
            assert!(
                (named / asked - 1.0).abs() < 1e-9,
                "{axis} {of}: {named} {asked}"
            );
        }
    }
    let here = places[0]["lateral_mm_per_mm"]
        .as_array()
        .expect("a spoke each");
    for (spoke, effect) in here.iter().enumerate() {
        let named = number(&json["influence"]["lateral_mm_per_mm"][0][spoke]);
        assert!(
            (named - number(effect)).abs() < 1e-9,
            "nipple {}",
            spoke + 1
        );
    }
    let changes: Vec<Vec<f64>> = (0..3)
        .map(|ride| {
            let all = json["ride"][ride]["tension_change_n"]
                .as_array()
                .expect("a spoke each");
            all.iter().map(number).collect()
        })
        .collect();
    for spoke in 0..36 {
        assert!(
            (changes[0][spoke] - changes[1][spoke]).abs() < 1e-6,
            "{}",
            spoke + 1
        );
        let mirrored = changes[2][(39 - spoke) % 36];
        assert!(
            (changes[0][spoke] - mirrored).abs() < 1e-4,
            "spoke {}: {} and {mirrored}",
            spoke + 1,
            changes[0][spoke]
        );
    }
    assert_eq!(json["ride"][2]["at"], "30");
    assert!((number(&json["ride"][2]["tangential_n"]) + 150.0).abs() < 1e-12);
}

#[test]
fn what_cannot_be_asked_is_wrong_usage() {
    let bench = Bench::with(&[BARE]);
    for wrong in [
        &["--ride", "700@spoke_1"][..],
        &["--ride", "inf,0@spoke_1"],
        &["--ride", "700,0@spoke_2"],
        &["--rider", "0"],
        &["--share", "50"],
        &["--rim-box", "20x25"],
        &["--rim-box", "20", "--rim-mass", "430"],
    ] {
        let said = bench.run(&[&["analyse", "wheel.toml"], wrong].concat());
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{wrong:?}");
    }
}

#[test]
fn tensions_that_do_not_balance_are_refused_with_what_they_leave_on_the_hub() {
    let bench = Bench::with(&[BARE]);
    let uneven = reference_wheel(1000.0).replacen("tension_n = 1000.0", "tension_n = 3000.0", 1);
    bench.put("uneven.toml", uneven.as_bytes());
    let uneven = bench.run(&["analyse", "uneven.toml"]);
    assert_eq!((uneven.code, uneven.out.as_str()), (3, ""));
    assert!(uneven.err.contains("do not balance"), "{}", uneven.err);
    let a_little = reference_wheel(1000.0).replacen("tension_n = 1000.0", "tension_n = 1060.0", 1);
    bench.put("a-little.toml", a_little.as_bytes());
    let json = bench.run(&["analyse", "a-little.toml", "--json"]).json();
    assert!(json["findings"].to_string().contains("used as given"));
    assert_eq!(number(&json["tension_n"][0]), 1060.0);
}

/// A symmetric wheel whose right spokes alone are given a tension has the same on its left.
#[test]
fn one_side_s_tension_is_completed_to_what_balances() {
    let bench = Bench::with(&[BARE]);
    let mut one_side = String::new();
    for (place, block) in reference_wheel(900.0).split("[[spoke]]").enumerate() {
        if place > 0 {
            one_side += "[[spoke]]";
        }
        if place > 0 && place % 2 == 0 {
            one_side += &block.replace("tension_n = 900.0\n", "");
        } else {
            one_side += block;
        }
    }
    bench.put("one-side.toml", one_side.as_bytes());
    let json = bench.run(&["analyse", "one-side.toml", "--json"]).json();
    let tensions = json["tension_n"].as_array().expect("tensions");
    assert!(
        tensions
            .iter()
            .all(|one| (number(one) - 900.0).abs() < 1e-6),
        "{tensions:?}"
    );
    assert!(json["findings"].to_string().contains("18 of 36 spokes"));
}

/// Law: the multiplier is inverse to the tension it multiplies, on either side of buckling.
#[test]
fn a_wheel_tensioned_above_buckling_says_by_how_much_and_leaves_the_rest_open() {
    let bench = Bench::with(&[BARE]);
    bench.put("sound.toml", reference_wheel(1000.0).as_bytes());
    let sound = bench.run(&["analyse", "sound.toml", "--json"]).json();
    let multiplier = number(&sound["buckling"]["tension_multiplier"]);
    bench.put(
        "folding.toml",
        reference_wheel(1250.0 * multiplier).as_bytes(),
    );
    let said = bench.run(&[
        "analyse",
        "folding.toml",
        "--json",
        "--ride",
        "700,0@spoke_1",
    ]);
    let json = said.json();
    let found = number(&json["buckling"]["tension_multiplier"]);
    assert!((found / 0.8 - 1.0).abs() < 1e-6, "{found}");
    for null in [
        &json["stiffness"]["at_tension"],
        &json["influence"],
        &json["line_load"],
        &json["first_slack_n"],
        &json["ride"][0]["tension_change_n"],
    ] {
        assert!(null.is_null());
    }
    assert!(number(&json["stiffness"]["at_zero_tension"]["radial_at_spoke_1_n_per_mm"]) > 0.0);
    assert!(
        json["findings"]
            .to_string()
            .contains("above the tension at which the wheel buckles")
    );
}

#[test]
fn a_load_that_folds_the_wheel_is_null_with_a_finding() {
    let bench = Bench::with(&[BARE]);
    bench.put("reference.toml", reference_wheel(1000.0).as_bytes());
    let asked = ["analyse", "reference.toml", "--ride", "60000,9000@spoke_1"];
    let json = bench.run(&[&asked[..], &["--json"]].concat()).json();
    assert!(json["ride"][0]["tension_change_n"].is_null());
    assert!(json["ride"][0]["turn"].is_null());
    assert!(json["findings"].to_string().contains("folds under it"));
    assert!(number(&json["first_slack_n"]) > 1000.0);
    let text = bench.run(&asked).out;
    let words: Vec<&str> = text.split_whitespace().collect();
    assert!(
        words.join(" ").contains("not told: see the findings"),
        "{text}"
    );
}

#[test]
fn an_all_radial_wheel_without_tension_turns_freely_and_answers_the_rest() {
    let bench = Bench::with(&[BARE]);
    let radial = reference_wheel_laced(0.0, 0.0);
    bench.put("radial.toml", radial.as_bytes());
    let json = bench.run(&["analyse", "radial.toml", "--json"]).json();
    let loose = &json["stiffness"]["at_zero_tension"];
    assert_eq!(number(&loose["tangential_at_spoke_1_n_per_mm"]), 0.0);
    assert_eq!(number(&loose["torsional_n_m_per_rad"]), 0.0);
    assert!(number(&loose["radial_at_spoke_1_n_per_mm"]) > 1000.0);
    assert!(
        json["findings"]
            .to_string()
            .contains("turning about the axle")
    );
}

#[test]
fn a_rider_is_a_stated_share_of_a_mass_and_the_page_shows_the_turn() {
    let bench = Bench::with(&[BARE]);
    bench.put("reference.toml", reference_wheel(1000.0).as_bytes());
    let asked = [
        "analyse",
        "reference.toml",
        "--rider",
        "100",
        "--share",
        "50",
        "-o",
        "page.html",
    ];
    let json = bench.run(&[&asked[..], &["--json"]].concat()).json();
    let ride = &json["ride"][0];
    assert!((number(&ride["radial_n"]) - 490.3325).abs() < 1e-9);
    assert!(
        ride["from"]
            .as_str()
            .is_some_and(|from| from.contains("50 %"))
    );
    assert_eq!(
        ride["turn"]["angles_deg"].as_array().map(Vec::len),
        Some(72)
    );
    assert!(number(&ride["turn"]["smallest_n"]) <= number(&ride["smallest_n"]));
    let seats = ride["at_seats_mm"].as_array().expect("seats");
    assert_eq!((seats.len(), &seats[0]), (36, &ride["displacement_mm"]));
    // The rim sinks most where the load stands, as deep as its stiffness says: small motions.
    let sunk = |seat: usize| -number(&seats[seat][0]);
    assert!((1..36).all(|seat| sunk(seat) < sunk(0)));
    let stiffness = number(&json["stiffness"]["at_tension"]["radial_at_spoke_1_n_per_mm"]);
    assert!((sunk(0) * stiffness / 490.3325 - 1.0).abs() < 0.01);
    let off = json["if_30_percent_off"].as_array().expect("variants");
    assert_eq!(off.len(), 8);
    let radial = |place: usize| number(&off[place]["radial_at_spoke_1_n_per_mm"]);
    let now = number(&json["stiffness"]["at_tension"]["radial_at_spoke_1_n_per_mm"]);
    // Stiffer in its plane is stiffer toward the hub.
    assert!(
        radial(2) < now && now < radial(3),
        "{} {now} {}",
        radial(2),
        radial(3)
    );
    let page = std::fs::read_to_string(bench.path("page.html")).expect("a page");
    for words in [
        "<!DOCTYPE html>",
        "A quarter turn tighter at nipple 1",
        "Through a turn under the load",
        "If a constant of the rim is 30 % off",
        "Evidence, not permission to ride",
        "Carbon",
    ] {
        assert!(page.contains(words), "{words}");
    }
    let text = bench.run(&asked);
    assert!(text.out.contains("50 % of it"), "{}", text.out);
}

/// Source: OpenSeesPy 3.7.1 and PyNiteFEA 3.2.0 on the same wheel, 4 straight pieces between spokes:
/// one turn of 0.4535714 mm at the first spoke. Tolerance 0.3 % of the largest, what straight pieces
/// leave of an arc.
#[test]
fn a_nipple_does_what_finite_elements_say() {
    let bench = Bench::with(&[BARE]);
    bench.put("reference.toml", reference_wheel(0.0).as_bytes());
    let json = bench.run(&["analyse", "reference.toml", "--json"]).json();
    for (key, largest, expected) in [
        (
            "tension_n_per_mm",
            384.251,
            &[
                (0, 384.251),
                (1, -117.631),
                (2, -110.888),
                (3, 142.833),
                (35, -82.993),
                (18, 32.897),
            ][..],
        ),
        (
            "lateral_mm_per_mm",
            0.65288,
            &[
                (0, 0.65288),
                (1, 0.61868),
                (2, 0.52821),
                (9, -0.05101),
                (18, 0.01831),
                (35, 0.61734),
            ],
        ),
        (
            "radial_mm_per_mm",
            0.19055,
            &[
                (0, -0.19055),
                (1, -0.10649),
                (2, -0.01401),
                (18, 0.00523),
                (35, -0.11525),
            ],
        ),
    ] {
        for (spoke, one_turn) in expected {
            let found = number(&json["influence"][key][spoke][0]) * 0.453_571_4;
            assert!(
                (found - one_turn).abs() < 3e-3 * largest,
                "{key}[{spoke}]: {found} for {one_turn}"
            );
        }
    }
}
