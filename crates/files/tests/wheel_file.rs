//! Wheel files: what they say, what is refused and in which words, and that writing loses nothing.

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

#[test]
fn section_data_that_few_makers_give_is_nothing_until_given() {
    let plain = wheel(EXPLICIT).rim;
    assert_eq!(plain.warping, WarpingRigidity::ZERO);
    assert_eq!(plain.shear_centre_outward, Length::ZERO);
    assert_eq!(plain.mass, None);
    let with = |keys: &str| changed(EXPLICIT, "[rim]\n", &format!("[rim]\n{keys}"));
    let open = wheel(&with(
        "warping_n_mm4 = 2.5e9\nshear_centre_outward_mm = -8.5\nmass_g = 412\n",
    ))
    .rim;
    assert_eq!(open.warping, WarpingRigidity::n_mm4(2.5e9));
    assert_eq!(open.shear_centre_outward, Length::mm(-8.5));
    assert_eq!(open.mass, Some(Mass::g(412.0)));
    for (keys, said) in [
        (
            "warping_n_mm4 = -1.0\n",
            "`warping_n_mm4` must be at least 0",
        ),
        ("warping_n_mm4 = 1e16\n", "at most 1000000000000000"),
        ("warping_n_mm2 = 1e9\n", "`warping_n_mm4`"),
        (
            "shear_centre_outward_mm = 75\n",
            "at least -60 and at most 60",
        ),
        ("mass_g = 0\n", "`mass_g` must be more than 0"),
    ] {
        let shown = refused(&with(keys));
        assert!(shown.contains(said), "{keys}: {shown}");
    }
}

/// What joins spokes to hub and rim, before the lacing of [`REAR`].
const FITTED: &str = r#"
[hub]
mass_g = 245
expansion_um_per_m_k = 23.6

[[fitting]]
side = "right"
hole_mm = 2.6
flange_diameter_mm = 56.0
nipple_head_mm = 3.2
nipple_slot_mm = 1.2
nipple_length_mm = 12.0
nipple_thread_mm = 6.0
nipple_mass_g = 0.32

[[fitting]]
side = "left"
hole_mm = 2.5
washer_mm = 0.5
"#;

#[test]
fn fittings_belong_to_their_side_and_take_the_flange_of_the_lacing() {
    let fitted = format!("{REAR}{FITTED}");
    let fittings = wheel(&fitted).fittings;
    let nipple = fittings.right.nipple.expect("a nipple");
    assert_eq!(
        (nipple.head, nipple.slot),
        (Length::mm(3.2), Length::mm(1.2))
    );
    assert_eq!(
        nipple.end, nipple.slot,
        "the bottom of the slot unless another place is wanted"
    );
    assert_eq!(fittings.right.hole, Some(Length::mm(2.6)));
    let flange = fittings.right.flange.expect("a body");
    assert_eq!(flange.radius, Length::mm(28.0));
    assert_eq!((fittings.left.flange, fittings.left.nipple), (None, None));
    assert_eq!(fittings.left.washer, Length::mm(0.5));
    assert_eq!(fittings.hub_mass, Some(Mass::g(245.0)));
    for (from, to, said) in [
        (
            "side = \"left\"",
            "side = \"right\"",
            "a second [[fitting]] of the right side",
        ),
        ("nipple_slot_mm = 1.2\n", "", "`nipple_slot_mm` is missing"),
        ("hole_mm = 2.5", "hole_mm = 25", "`hole_mm` must be"),
    ] {
        let shown = refused(&changed(&fitted, from, to));
        assert!(shown.contains(said), "{said}: {shown}");
    }
}

#[test]
fn seat_diameters_measured_at_several_places_give_their_mean() {
    let line = REAR
        .lines()
        .find(|line| line.starts_with("seat_diameter_mm"))
        .expect("a diameter");
    let measured = "\n[measured]\nseat_diameters_mm = [601.4, 602.0, 602.6]\n";
    let mean = wheel(&format!("{}{measured}", changed(REAR, line, "")));
    assert_eq!(mean.fittings.seat_diameters.len(), 3);
    assert!((mean.spokes[0].seat.radius() - Length::mm(301.0)).abs() < Length::mm(1e-9));
    let shown = refused(&format!("{REAR}{measured}"));
    assert!(shown.contains("given here and as measured"), "{shown}");
    let one = changed(REAR, line, "") + &measured.replace(", 602.0, 602.6", "");
    assert!(refused(&one).contains("shows no scatter"));
}

/// Source: hollow rectangle, A = B H − b h (handbook).
#[test]
fn a_drawn_section_stands_in_for_constants_that_nobody_measured() {
    let drawn = r#"
[rim.section]
modulus_gpa = 68.9
shear_modulus_gpa = 26.0
outline_mm = [[-12, 300], [12, 300], [12, 330], [-12, 330]]
cells_mm = [[[-10.5, 301.5], [10.5, 301.5], [10.5, 328.5], [-10.5, 328.5]]]
"#;
    let bare = REAR.lines().filter(|line| {
        ![
            "centroid_radius",
            "axial_stiffness_n",
            "in_plane",
            "lateral_b",
            "torsion",
        ]
        .iter()
        .any(|key| line.starts_with(key))
    });
    let bare: String = bare.map(|line| format!("{line}\n")).collect();
    let rim = wheel(&format!("{bare}{drawn}")).rim;
    let axial_n = rim.axial_stiffness.expect("EA").to_n();
    assert!(
        (axial_n / (68.9e3 * (24.0 * 30.0 - 21.0 * 27.0)) - 1.0).abs() < 1e-9,
        "{axial_n}"
    );
    assert!(
        (rim.centroid_radius.expect("a centroid") - Length::mm(315.0)).abs() < Length::mm(1e-9)
    );
    let shown = refused(&format!("{bare}{}", drawn.replace("328.5", "331")));
    assert!(shown.contains("cell 1 reaches out"), "{shown}");
    let measured = changed(&bare, "[rim]\n", "[rim]\ntorsion_n_mm2 = 1e8\n");
    assert_eq!(
        wheel(&format!("{measured}{drawn}")).rim.torsion,
        Some(Rigidity::n_mm2(1e8))
    );
}

/// The builder's guide, whose examples a person will copy.
const GUIDE: &str = include_str!("../../../docs/guide/wheel-file.md");

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

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let windows = format!("\u{FEFF}{}", REAR.replace('\n', "\r\n"));
    assert_eq!(wheel(&windows), wheel(REAR));
}

fn kinds() -> impl Strategy<Value = Vec<SpokeKind>> {
    let section = prop_oneof![
        (0.5..3.0_f64).prop_map(|wire| Section::Wire(Length::mm(wire))),
        (0.5..1.5_f64, 1.5..4.0_f64).prop_map(|(thin, wide)| Section::Blade {
            thin: Length::mm(thin),
            wide: Length::mm(wide)
        }),
    ];
    let bending = (1e3..1e6_f64, proptest::option::of(0.0..50.0_f64));
    let known = (
        "\\PC{0,8}",
        proptest::option::of(section),
        proptest::option::of("[a-zé輪]\\PC{0,8}"),
        proptest::option::of(1e5..1e6_f64),
        proptest::option::of(bending),
        proptest::option::of(1.0..20.0_f64),
    );
    let kind = known.prop_map(
        |(name, section, material, stiffness, bending, mass)| SpokeKind {
            name,
            section,
            material,
            axial_stiffness: stiffness.map(Force::n),
            bending: bending.map(|(bending, _)| Rigidity::n_mm2(bending)),
            bending_u_relative: bending.and_then(|(_, u)| u).map(|percent| percent / 100.0),
            mass: mass.map(Mass::g),
            thread: mass.map(|mass| Length::mm(2.0 * mass)),
            expansion_per_k: stiffness.map(|stiffness| stiffness / 1e5 / 1e6),
            endurance: stiffness.map(|stiffness| Endurance {
                strength: Stress::mpa(stiffness / 300.0),
                amplitude: Stress::mpa(stiffness / 1500.0),
                source: "the mill's sheet \"7\"".into(),
            }),
        },
    );
    proptest::collection::vec(kind, 1..3).prop_map(|mut kinds| {
        for (place, kind) in kinds.iter_mut().enumerate() {
            kind.name = format!("{place}{}", kind.name);
        }
        kinds
    })
}

prop_compose! {
    fn rim()(
        radius in proptest::option::of(290.0..310.0_f64),
        axial in proptest::option::of(1e6..1e7_f64),
        bending in proptest::option::of(1e7..1e9_f64),
        torsion in proptest::option::of(1e7..1e9_f64),
        shear_centre in prop_oneof![Just(0.0), -15.0..15.0_f64],
        warping in prop_oneof![Just(0.0), 1e6..1e11_f64],
        mass in proptest::option::of(250.0..700.0_f64),
    ) -> Rim {
        Rim {
            centroid_radius: radius.map(Length::mm),
            axial_stiffness: axial.map(Force::n),
            in_plane_bending: bending.map(Rigidity::n_mm2),
            lateral_bending: bending.map(|bending| Rigidity::n_mm2(0.8 * bending)),
            torsion: torsion.map(Rigidity::n_mm2),
            shear_centre_outward: Length::mm(shear_centre),
            warping: WarpingRigidity::n_mm4(warping),
            mass: mass.map(Mass::g),
            expansion_per_k: torsion.map(|torsion| torsion / 1e8 / 1e6),
            bead_seat: mass.map(Length::mm),
            inner_width: mass.map(|mass| Length::mm(mass / 20.0)),
        }
    }
}

fn fitting() -> impl Strategy<Value = Fitting> {
    let nipple = (
        2.0..4.0_f64,
        0.5..2.0_f64,
        proptest::option::of(10.0..16.0_f64),
    )
        .prop_map(|(head, slot, length)| Nipple {
            head: Length::mm(head),
            slot: Length::mm(slot),
            end: Length::mm(0.5 * slot),
            length: length.map(Length::mm),
            thread: length.map(|length| Length::mm(length / 2.0)),
            mass: length.map(|length| Mass::g(length / 15.0)),
        });
    let body =
        (20.0..40.0_f64, 2.0..4.0_f64, 20.0..40.0_f64).prop_map(|(offset, thickness, radius)| {
            FlangeBody {
                offset: Length::mm(offset),
                thickness: Length::mm(thickness),
                radius: Length::mm(radius),
            }
        });
    let seen = (
        proptest::option::of(2.0..3.0_f64),
        prop_oneof![Just(0.0), 0.3..1.0_f64],
        proptest::option::of(nipple),
        proptest::option::of(body),
    );
    seen.prop_map(|(hole, washer, nipple, flange)| Fitting {
        hole: hole.map(Length::mm),
        head_behind: Length::mm(3.0 * washer),
        flange,
        washer: Length::mm(washer),
        nipple,
    })
}

prop_compose! {
    fn fittings()(
        right in fitting(),
        left in fitting(),
        is_alike in any::<bool>(),
        diameters in prop_oneof![Just(vec![]), proptest::collection::vec(500.0..700.0_f64, 2..5)],
        hub in proptest::option::of(80.0..400.0_f64),
    ) -> Fittings {
        Fittings {
            right,
            left: if is_alike { right } else { left },
            seat_diameters: diameters.into_iter().map(Length::mm).collect(),
            hub_mass: hub.map(Mass::g),
            hub_expansion_per_k: hub.map(|hub| hub / 10.0 / 1e6),
        }
    }
}

prop_compose! {
    fn doubt()(
        flange_u in 0.0..1.0_f64,
        dish in proptest::option::of(-3.0..3.0_f64),
        dish_u in 0.0..1.0_f64,
    ) -> GeometryDoubt {
        GeometryDoubt {
            flange_offset_u: Length::mm(flange_u),
            dish: dish.map(Length::mm),
            dish_u: Length::mm(dish_u),
        }
    }
}

prop_compose! {
    fn random_wheel()(
        name in "[a-zé輪\"]\\PC{0,12}",
        (kinds, rim, doubt, fittings) in (kinds(), rim(), doubt(), fittings()),
        (pairs, crosses) in (6..10_usize, 0..4_u32),
        (radius, offset, circle) in (280.0..310.0_f64, 10.0..40.0_f64, 15.0..35.0_f64),
        (first, rim_offset) in (proptest::option::of(0.0..5.0_f64), -3.0..3.0_f64),
        heads in prop_oneof![Just([Head::In, Head::Out]), Just([Head::Straight; 2])],
        extras in proptest::collection::vec(
            (proptest::option::of(0.0..2000.0_f64), proptest::option::of(1e5..1e6_f64)), 40),
    ) -> Wheel {
        let drilling = wheel::Drilling {
            count: 4 * pairs,
            seat_radius: Length::mm(radius),
            sides: vec![Side::Right, Side::Left],
            gaps: vec![1.0],
            first: first.map(quantity::Angle::deg),
            right_offset: Length::mm(rim_offset),
            left_offset: Length::mm(-rim_offset),
        };
        let lay = |place: usize| Lay {
            hole: Hole::Crosses {
                role: [Role::Trailing, Role::Leading][place],
                crosses: f64::from(crosses),
            },
            head: heads[place],
            elbow: Length::mm(2.0),
            kind: KindIndex(place % kinds.len()),
        };
        let flange = Flange {
            hole_circle_radius: Length::mm(circle),
            offset: Length::mm(offset),
            thickness: Length::mm(3.0),
        };
        let side = SideLacing { flange, lays: vec![lay(0), lay(1)] };
        let seats = drilling.seats().expect("seats");
        let mut spokes = Lacing { seats, right: side.clone(), left: side }.spokes().expect("spokes");
        for (spoke, (tension, stiffness)) in spokes.iter_mut().zip(extras) {
            spoke.tension = tension.map(Force::n);
            spoke.axial_stiffness = stiffness.map(Force::n);
        }
        let (wheel, _) = Wheel::new(name, rim, kinds, spokes, doubt).expect("a wheel");
        Wheel { fittings, ..wheel }
    }
}

proptest! {
    #[test]
    fn what_is_written_reads_back_as_the_same_wheel(wheel in random_wheel()) {
        let text = write(&wheel);
        match read_text(&text) {
            Ok((again, _)) => prop_assert_eq!(again, wheel, "{}", text),
            Err(error) => prop_assert!(false, "{}", error),
        }
    }

    /// Good files with a piece cut out, doubled or replaced: a wheel or an error, never a panic; and
    /// what is read is what the text says, so writing and reading it again changes nothing.
    #[test]
    fn no_damage_to_a_file_makes_the_reader_panic_or_repair(
        is_laced in any::<bool>(),
        (from, length) in (0.0..1.0_f64, 0..40_usize),
        piece in "\\PC{0,6}|[-0-9.,e]{1,5}|\n[a-z_]{1,8} = [0-9]{1,3}\n|\\[\\[spoke\\]\\]\n",
    ) {
        let good = if is_laced { REAR } else { EXPLICIT };
        let start = (from * good.len() as f64) as usize;
        let end = (start + length).min(good.len());
        let text = format!("{}{piece}{}", &good[..start], &good[end..]);
        match read_text(&text) {
            Ok((wheel, _)) => prop_assert_eq!(read_text(&write(&wheel)).expect("read again").0, wheel),
            Err(error) => prop_assert!(!error.troubles().is_empty() && error.to_string().starts_with("quay.toml:")),
        }
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC*", lines in proptest::collection::vec(
        "(\\[{0,2}(rim|right|left|spoke|kind|measured)\\]{0,2}|(seats|sides|crosses|heads|hub_mm|name|format) = [\"\\[a-z0-9.,-]{0,9})\n", 0..20,
    )) {
        let _ = read_text(&text);
        let _ = read_text(&format!("format = 1\n{}", lines.concat()));
    }
}
