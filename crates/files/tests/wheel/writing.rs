//! Writing loses nothing: every wheel is read back as it was.

use super::*;

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
