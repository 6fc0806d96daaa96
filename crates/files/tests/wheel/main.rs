//! Wheel files: what they say, what is refused and in which words, and that writing loses nothing.

mod fittings;
mod writing;

use files::wheel_file::{Finding, read, write};
use files::{Error, Source};
use proptest::prelude::*;
use quantity::{Force, Length, Mass, Rigidity, Stress, WarpingRigidity};
use wheel::{
    Endurance, Fitting, Fittings, Flange, FlangeBody, GeometryDoubt, Head, KindIndex, Lacing,
    Nipple, Rim, Role, Section, Side, SpokeKind, Wheel,
    lacing::{Hole, Lay, SideLacing},
};

fn read_text(text: &str) -> Result<(Wheel, Vec<Finding>), Error> {
    read(&Source::from_bytes("quay.toml", text.as_bytes())?)
}

fn wheel(text: &str) -> Wheel {
    read_text(text).unwrap_or_else(|error| panic!("{error}")).0
}

fn refused(text: &str) -> String {
    read_text(text).expect_err("refused").to_string()
}

/// A dished rear wheel of 32 spokes.
const REAR: &str = r#"format = 1
name = "Quay rear"

[rim]
seats = 32
seat_diameter_mm = 602.0
sides = ["right", "left"]

[[kind]]
name = "plain"
wire_mm = 2.0

[right]
flange_offset_mm = 17.5
hole_circle_mm = 45.0
flange_mm = 3.0
crosses = 3
roles = ["trailing", "leading"]
heads = ["in", "out"]

[left]
flange_offset_mm = 35.0
hole_circle_mm = 45.0
flange_mm = 3.0
crosses = 3
roles = ["trailing", "leading"]
heads = ["in", "out"]
"#;

/// Three spokes a side, each by its coordinates.
const EXPLICIT: &str = r#"format = 1
name = "explicit example"

[rim]
centroid_radius_mm = 303.0
axial_stiffness_n = 7.5e6            # EA
in_plane_bending_n_mm2 = 2.0e8       # EI, bending in the wheel's plane
lateral_bending_n_mm2 = 1.6e8        # EI, bending out of the plane
torsion_n_mm2 = 0.5e8                # GJ

[[spoke]]
side = "right"
hub_mm = [20.0, 5.0, 35.0]
seat_mm = [297.0, 0.0, 0.0]
axial_stiffness_n = 4.9e5
tension_n = 1000.0

[[spoke]]
side = "left"
hub_mm = [-10.0, 17.0, -35.0]
seat_mm = [-148.0, 257.0, 0.0]
axial_stiffness_n = 4.9e5
tension_kgf = 100

[[spoke]]
side = "right"
hub_mm = [-10.0, -17.0, 35.0]
seat_mm = [-148.0, -257.0, 0.0]
axial_stiffness_n = 4.9e5
tension_n = 1000
"#;

fn changed(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

#[test]
fn the_explicit_form_is_read_as_it_stands() {
    let wheel = wheel(EXPLICIT);
    assert_eq!(wheel.rim.centroid_radius, Some(Length::mm(303.0)));
    assert_eq!(wheel.rim.torsion, Some(Rigidity::n_mm2(0.5e8)));
    assert_eq!(wheel.spokes[0].hub.z, Length::mm(35.0));
    assert_eq!(wheel.spokes[0].axial_stiffness, Some(Force::n(4.9e5)));
    assert_eq!(wheel.spokes[1].tension, Some(Force::kgf(100.0)));
    assert_eq!(wheel.spokes[0].role, Role::Leading);
    assert_eq!(wheel.kinds, [SpokeKind::named("spoke")]);
    assert_eq!(wheel.doubt.dish, None);
    assert_eq!(wheel.doubt.dish_u, Length::mm(1.0));
}

/// Source: 3-D law of cosines, `crates/wheel/tests/validation.rs`; line of pull 17.5 ± 2.5 mm.
#[test]
fn the_laced_form_puts_every_spoke_in_its_place() {
    let wheel = wheel(REAR);
    assert_eq!(wheel.spokes.len(), 32);
    let first = &wheel.spokes[0];
    assert_eq!(
        (first.side, first.role, first.head),
        (Side::Right, Role::Trailing, Head::In)
    );
    assert!((first.seat_angle().to_deg() - 5.625).abs() < 1e-9);
    assert!((first.hub.angle().to_deg() - (5.625 + 360.0 - 67.5)).abs() < 1e-9);
    assert!((first.hub.z.to_mm() - 20.0).abs() < 1e-12);
    let length_mm = (301.0_f64.powi(2) + 22.5_f64.powi(2) + 20.0_f64.powi(2)
        - 2.0 * 301.0 * 22.5 * 67.5_f64.to_radians().cos())
    .sqrt();
    assert!((first.length().to_mm() - length_mm).abs() < 1e-9);
    assert!((wheel.spokes[3].hub.z.to_mm() + 32.5).abs() < 1e-12);
}

#[test]
fn twice_as_many_spokes_on_one_side_and_radial_on_the_other() {
    let text = changed(REAR, "seats = 32", "seats = 24");
    let text = changed(
        &text,
        r#"["right", "left"]"#,
        r#"["right", "left", "right"]"#,
    );
    let text = changed(&text, "crosses = 3", "crosses = 2");
    let text = text.rsplit_once("crosses = 3").expect("left").0.to_owned()
        + "crosses = 0\nheads = \"out\"\n";
    let wheel = wheel(&text);
    let counts: Vec<_> = wheel
        .groups()
        .iter()
        .map(|(side, _, spokes)| (*side, spokes.len()))
        .collect();
    assert_eq!(counts, [(Side::Right, 16), (Side::Left, 8)]);
    let is_radial = |side| {
        wheel
            .spokes
            .iter()
            .filter(|spoke| spoke.side == side)
            .all(|spoke| spoke.role == Role::Radial)
    };
    assert!(is_radial(Side::Left) && !is_radial(Side::Right));
}

#[test]
fn paired_seats_on_an_offset_rim_with_staggered_holes() {
    let text = changed(REAR, "sides =", "gaps = [1, 3]\nsides =");
    let text = changed(&text, "[right]\n", "[right]\nseat_offset_mm = 4.5\n");
    let text = changed(&text, "[left]\n", "[left]\nseat_offset_mm = 1.5\n");
    let wheel = wheel(&text);
    let gap_deg =
        |a: usize, b: usize| (wheel.spokes[b].seat_angle() - wheel.spokes[a].seat_angle()).to_deg();
    assert!((gap_deg(0, 1) - 22.5 / 4.0).abs() < 1e-9);
    assert!((gap_deg(1, 2) - 22.5 * 0.75).abs() < 1e-9);
    // The valve hole lies in the middle of a wide gap.
    assert!((wheel.spokes[0].seat_angle().to_deg() - 22.5 * 0.375).abs() < 1e-9);
    assert_eq!(wheel.spokes[0].seat.z, Length::mm(4.5));
    assert_eq!(wheel.spokes[1].seat.z, Length::mm(1.5));
}

#[test]
fn kinds_may_differ_between_the_sides_and_between_leading_and_trailing() {
    let thin = "\n[[kind]]\nname = \"thin\"\nblade_mm = [0.9, 2.2]\nbending_n_mm2 = 40e3\nbending_u_percent = 20\n";
    let text = changed(
        REAR,
        "\n[right]\n",
        &format!("{thin}\n[right]\nelbow_mm = 2.0\nkind = [\"plain\", \"thin\"]\n"),
    );
    let text = changed(&text, "[left]\n", "[left]\nkind = \"plain\"\n");
    let wheel = wheel(&text);
    let counts: Vec<_> = wheel
        .groups()
        .iter()
        .map(|(_, kind, spokes)| (kind.0, spokes.len()))
        .collect();
    assert_eq!(counts, [(0, 8), (1, 8), (0, 16)]);
    for spoke in wheel
        .spokes
        .iter()
        .filter(|spoke| spoke.side == Side::Right)
    {
        assert_eq!(spoke.role == Role::Leading, spoke.kind == KindIndex(1));
    }
    let section = Section::Blade {
        thin: Length::mm(0.9),
        wide: Length::mm(2.2),
    };
    assert_eq!(wheel.kinds[1].section, Some(section));
    assert_eq!(wheel.kinds[1].bending_u_relative, Some(0.2));
}

#[test]
fn straight_pull_spokes_go_to_the_holes_that_were_measured() {
    let side = "heads = \"straight\"\nholes_deg = [-52.0, 75.0]\n";
    let text: String = REAR
        .lines()
        .filter(|line| {
            !["crosses", "roles", "heads", "flange_mm"]
                .iter()
                .any(|key| line.starts_with(key))
        })
        .map(|line| {
            if line.starts_with("hole_circle") {
                format!("{line}\n{side}")
            } else {
                format!("{line}\n")
            }
        })
        .collect();
    let wheel = wheel(&text);
    let right: Vec<_> = wheel
        .spokes
        .iter()
        .filter(|spoke| spoke.side == Side::Right)
        .collect();
    assert_eq!(
        (right[0].role, right[1].role),
        (Role::Trailing, Role::Leading)
    );
    assert!((right[2].hub.angle().to_deg() - (360.0 - 52.0 + 45.0)).abs() < 1e-9);
    assert!((right[3].hub.angle().to_deg() - (75.0 + 45.0)).abs() < 1e-9);
    assert_eq!(right[0].hub.z, Length::mm(17.5));
}

#[test]
fn a_dish_read_off_a_flipping_tool_is_halved_once_and_says_so() {
    let text = format!(
        "{REAR}\n[measured]\nflange_offset_u_mm = 0.3\ndish_as_read_mm = 0.8\ndish_as_read_u_mm = 0.4\n"
    );
    let (wheel, findings) = read_text(&text).expect("read");
    assert_eq!(wheel.doubt.dish, Some(Length::mm(0.8) / 2.0));
    assert_eq!(wheel.doubt.dish_u, Length::mm(0.4) / 2.0);
    assert_eq!(wheel.doubt.flange_offset_u, Length::mm(0.3));
    let said: Vec<_> = findings.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        ["dish read as 0.8 mm on a flipping tool, which shows twice the offset: 0.4 mm"]
    );
}

#[test]
fn flange_offsets_of_unsaid_quality_are_a_finding() {
    let (wheel, findings) = read_text(REAR).expect("read");
    assert_eq!(wheel.doubt.flange_offset_u, Length::mm(0.5));
    assert_eq!(
        findings.iter().map(ToString::to_string).collect::<Vec<_>>(),
        ["flange offsets taken as known to 0.5 mm: the wheel file does not say"]
    );
}

#[test]
fn an_unknown_key_names_the_one_that_was_meant() {
    assert_eq!(
        refused(&changed(REAR, "crosses = 3", "croses = 3")),
        "quay.toml:17:1: unknown key `croses` in [right]\n    \
         croses = 3\n    \
         ^^^^^^\n    \
         Did you mean `crosses`?"
    );
}

#[test]
fn a_tension_in_kg_is_refused_with_the_question_which_is_meant() {
    assert_eq!(
        refused(&changed(
            EXPLICIT,
            "tension_n = 1000.0",
            "tension_kg = 100.0"
        )),
        "quay.toml:16:1: `tension_kg` gives a force in kg, but kg is a mass\n    \
         tension_kg = 100.0\n    \
         ^^^^^^^^^^\n    \
         kgf or N? Write `tension_kgf` or `tension_n`, whichever the number is."
    );
}

#[test]
fn counts_that_do_not_fit_the_seats_are_refused() {
    assert_eq!(
        refused(&changed(REAR, "seats = 32", "seats = 33")),
        "quay.toml:7:9: a list of 2 does not go a whole number of times into the 33 seats of [rim]\n    \
         sides = [\"right\", \"left\"]\n            \
         ^^^^^^^^^^^^^^^^^\n    \
         A list begins anew when it ends; these lengths fit: 1, 3, 11, 33."
    );
    let shown = refused(&changed(REAR, "seats = 32", "seats = 30"));
    assert!(
        shown.contains(
            "a list of 2 does not go a whole number of times into the 15 spokes of [right]"
        ),
        "{shown}"
    );
    assert!(shown.contains("into the 15 spokes of [left]"), "{shown}");
}

#[test]
fn two_spokes_in_one_hole_are_refused_in_either_form() {
    let roles = r#"roles = ["trailing", "leading"]"#;
    assert_eq!(
        refused(&changed(
            REAR,
            roles,
            r#"roles = ["trailing", "trailing", "trailing", "leading"]"#
        )),
        "quay.toml:18:9: spokes 7 and 19 are in one hole of the right flange\n    \
         roles = [\"trailing\", \"trailing\", \"trailing\", \"leading\"]\n            \
         ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n    \
         With these crosses and roles (or `holes_deg`) two spokes meet in one hole. Crossed spokes trail and lead in turn."
    );
    let shown = refused(&changed(
        EXPLICIT,
        "[-10.0, -17.0, 35.0]",
        "[20.0, 5.0, 35.0]",
    ));
    assert_eq!(
        shown,
        "quay.toml:27:10: spokes 1 and 3 are in one hole of the right flange\n    \
         hub_mm = [20.0, 5.0, 35.0]\n             \
         ^^^^^^^^^^^^^^^^^\n    \
         Give each spoke its own hole. Was a block copied and not changed?"
    );
}

#[test]
fn impossible_geometry_is_refused_where_it_stands() {
    assert_eq!(
        refused(&changed(
            REAR,
            "flange_offset_mm = 17.5",
            "flange_offset_mm = -45.0"
        )),
        "quay.toml:14:20: the right spoke 3 leaves the hub at -47.5 mm, left of the left spoke 4 at -32.5 mm (positive to the right)\n    \
         flange_offset_mm = -45.0\n                       \
         ^^^^^\n    \
         On both sides the offset counts outward from the hub's centre. Is a sign wrong?"
    );
    let cases = [
        (
            changed(REAR, "seat_diameter_mm = 602.0", "seat_diameter_mm = 160.0"),
            "hole_circle_mm = 45.0",
            "hole_circle_mm = 190.0",
            "The hole circle must be smaller than `seat_diameter_mm`.",
        ),
        (
            REAR.into(),
            "seat_diameter_mm = 602.0",
            "seat_diameter_mm = 60.2",
            "Is a digit missing",
        ),
        (
            REAR.into(),
            "crosses = 3",
            "crosses = 6",
            "6 crosses among 16 spokes on the right side turn a spoke by 135° at the hub",
        ),
        (
            REAR.into(),
            "crosses = 3",
            "crosses = 2.5",
            "only straight-pull spokes can do that",
        ),
        (
            REAR.into(),
            "sides = [\"right\", \"left\"]",
            "sides = \"right\"",
            "no seat of the rim belongs to the left side",
        ),
        (
            REAR.into(),
            "name = \"plain\"\nwire_mm = 2.0",
            "name = \"plain\"",
            "`elbow_mm` is missing in [right]",
        ),
        (
            REAR.into(),
            "flange_mm = 3.0\n",
            "",
            "`flange_mm` is missing in [right]",
        ),
        (
            REAR.into(),
            "heads = [\"in\", \"out\"]\n",
            "",
            "`heads` is missing in [right]",
        ),
        (
            REAR.into(),
            "roles = [\"trailing\", \"leading\"]\n",
            "",
            "`roles` is missing in [right]",
        ),
        (REAR.into(), "[left]", "[lefd]", "Did you mean `left`?"),
        (
            EXPLICIT.into(),
            "hub_mm = [20.0, 5.0, 35.0]",
            "hub_mm = [20.0, 5.0, -75.0]",
            "z is positive to the right.",
        ),
        (
            EXPLICIT.into(),
            "hub_mm = [20.0, 5.0, 35.0]",
            "hub_mm = [320.0, 5.0, 35.0]",
            "spoke 1 leaves its flange at a radius of 320.0 mm",
        ),
        (
            EXPLICIT.into(),
            "hub_mm = [20.0, 5.0, 35.0]",
            "hub_mm = [20,0, 5,0, 35,0]",
            "`20,0` may be two numbers or one with a decimal comma",
        ),
        (
            EXPLICIT.into(),
            "seat_mm = [297.0, 0.0, 0.0]",
            "seat_mm = [297.0, -0.1, 0.0]",
            "move this block",
        ),
        (
            EXPLICIT.into(),
            "seat_mm = [297.0, 0.0, 0.0]",
            "seat_mm = [297.0, 0.0]",
            "has 2 numbers where 3 are wanted",
        ),
        (
            EXPLICIT.into(),
            "tension_n = 1000.0",
            "tension_n = -1000.0",
            "`tension_n` must be at least 0",
        ),
        (
            EXPLICIT.into(),
            "tension_n = 1000.0",
            "tension_n = nan",
            "`tension_n` is not a finite number",
        ),
        (
            EXPLICIT.into(),
            "tension_n = 1000.0",
            "tension_n = 1000\ntension_kgf = 102",
            "`tension` is given in two units",
        ),
        (
            EXPLICIT.into(),
            "side = \"right\"",
            "side = \"drive\"",
            "It is \"right\" or \"left\".",
        ),
        (
            EXPLICIT.into(),
            "side = \"right\"",
            "side = \"right\"\nkind = \"thin\"",
            "`kind` cannot be \"thin\"",
        ),
        (
            EXPLICIT.into(),
            "centroid_radius_mm = 303.0",
            "centroid_radius_mm = 303,0",
            "Numbers take a point: `303.0`.",
        ),
    ];
    for (text, from, to, said) in cases {
        let shown = refused(&changed(&text, from, to));
        assert!(shown.contains(said), "{to}: {shown}");
        assert!(
            shown.starts_with("quay.toml:") && shown.contains("\n    "),
            "{shown}"
        );
    }
}

#[test]
fn lists_with_nothing_in_them_and_sides_without_seats_are_refused() {
    for key in ["roles", "heads"] {
        let line = REAR
            .lines()
            .find(|line| line.starts_with(key))
            .expect("line");
        let shown = refused(
            &changed(REAR, line, &format!("{key} = []")).replace("seats = 32", "seats = 0"),
        );
        assert!(shown.contains("the list is empty"), "{shown}");
        assert!(
            shown.contains("`seats` must be a whole number from 3 to 144"),
            "{shown}"
        );
    }
    let text = changed(REAR, "sides = [\"right\", \"left\"]", "sides = [\"right\"]");
    let (head, left) = text.split_once("[left]").expect("left");
    let left = left.replace(
        "crosses = 3\nroles = [\"trailing\", \"leading\"]",
        "holes_deg = [10.0]",
    );
    let shown = refused(&format!("{head}[left]{left}"));
    assert!(
        shown.contains("no seat of the rim belongs to the left side"),
        "{shown}"
    );
}

#[test]
fn a_file_of_both_forms_or_of_none_is_refused() {
    let shown = refused("format = 1\nname = \"x\"\n");
    assert!(
        shown.contains("the file says of no spoke where it is"),
        "{shown}"
    );
    let spoke =
        "\n[[spoke]]\nside = \"right\"\nhub_mm = [20.0, 5.0, 35.0]\nseat_mm = [297.0, 0.0, 0.0]\n";
    let shown = refused(&format!("{REAR}{spoke}"));
    assert!(shown.contains("[[spoke]] blocks beside [right]"), "{shown}");
    let half = REAR.split("[left]").next().expect("right half");
    assert!(refused(half).contains("there is no [left] block"));
}

#[test]
fn contradictions_about_the_dish_and_the_kinds_are_refused() {
    let cases = [
        (
            "[measured]\ndish_mm = 0.4\n",
            "the dish was measured, but not how surely",
        ),
        (
            "[measured]\ndish_as_read_mm = 0.4\n",
            "the dish was read, but not how surely",
        ),
        (
            "[measured]\ndish_mm = 0.4\ndish_u_mm = 0.2\ndish_as_read_mm = 0.8\ndish_as_read_u_mm = 0.4\n",
            "given both as an offset and as read",
        ),
        (
            "[[kind]]\nname = \"plain\"\n",
            "a second kind is called \"plain\"",
        ),
        (
            "[[kind]]\nname = \"flat\"\nblade_mm = [2.2, 0.9]\n",
            "Write the thin side first",
        ),
        (
            "[[kind]]\nname = \"flat\"\nblade_mm = [0.9, 2.2]\nwire_mm = 2\n",
            "`blade_mm` beside `wire_mm`",
        ),
        (
            "[[kind]]\nname = \"flat\"\nbending_u_percent = 5\n",
            "`bending_u_percent` without `bending_n_mm2`",
        ),
        (
            "[[kind]]\nname = \"flat\"\n",
            "[right] does not say of which kind it is",
        ),
    ];
    for (more, said) in cases {
        let shown = refused(&format!("{REAR}\n{more}"));
        assert!(shown.contains(said), "{more}: {shown}");
    }
}

/// The builder's guide, whose examples a person will copy.
const GUIDE: &str = include_str!("../../../../docs/guide/wheel-file.md");

#[test]
fn every_example_of_the_guide_is_read_and_its_error_is_the_one_shown() {
    let examples: Vec<_> = GUIDE
        .split("```toml\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .collect();
    assert_eq!(examples.len(), 5);
    let spokes: Vec<_> = examples
        .iter()
        .map(|example| wheel(example).spokes.len())
        .collect();
    assert_eq!(spokes, [32, 24, 20, 24, 3]);
    let shown = refused(&changed(examples[0], "crosses = 3", "croses = 3"));
    let told = shown
        .split_once(": ")
        .expect("a place before what is wrong")
        .1;
    assert!(GUIDE.contains(told), "{shown}");
}
