//! `rimwright analyse` as a user meets it, held against two general-purpose finite-element codes.

mod shop;

use serde_json::Value;
use shop::{BARE, Bench};
use std::f64::consts::PI;
use std::fmt::Write;

/// The reference wheel: 36 spokes of 2.0 mm wire crossed three times, hub circle 22.5 mm at ± 30 mm,
/// rim of radius 300 mm; every tension as given.
fn reference_wheel(tension_n: f64) -> String {
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
        let hub = seat
            + if (place / 2) % 2 == 0 {
                PI / 3.0
            } else {
                -PI / 3.0
            };
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
    assert!(
        text.out.contains("A quarter turn tighter at spoke 1"),
        "{}",
        text.out
    );
    assert!(text.out.contains("Evidence, not permission to ride"));
}

#[test]
fn a_wheel_whose_rim_is_unknown_gets_an_error_that_names_what_is_missing() {
    let bench = Bench::with(&[BARE]);
    let said = bench.run(&["analyse", "wheel.toml"]);
    assert_eq!((said.code, said.out.as_str()), (3, ""));
    assert!(
        said.err.contains("wheel.toml") && said.err.contains("is not known"),
        "{}",
        said.err
    );
    assert_eq!(
        bench
            .run(&["analyse", "wheel.toml", "--ride", "700@spoke_1"])
            .code,
        2
    );
    bench.put(
        "uneven.toml",
        reference_wheel(1000.0)
            .replacen("tension_n = 1000.0", "tension_n = 3000.0", 1)
            .as_bytes(),
    );
    let uneven = bench.run(&["analyse", "uneven.toml"]);
    assert_eq!(uneven.code, 3);
    assert!(uneven.err.contains("do not balance"), "{}", uneven.err);
}
