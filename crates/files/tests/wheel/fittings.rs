//! What joins spokes to hub and rim, what was measured of a rim, and a section that is drawn.

use super::*;

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
