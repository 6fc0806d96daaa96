//! What to order for a wheel, and what is in whose way, against numbers and laws from outside.

use proptest::prelude::*;
use quantity::{Angle, Force, Length, Sources};
use wheel::clash::{Clash, Contact, Obstacle, clashes};
use wheel::lacing::{Hole, Lay, SideLacing};
use wheel::length::{LengthParts, Tautness, groups, uncertain_mm};
use wheel::{
    Drilling, Flange, FlangeBody, GeometryDoubt, Head, KindIndex, Lacing, Nipple, Rim, Role,
    Section, Side, SpokeIndex, SpokeKind, Wheel,
};

/// One side: hole circle and offset, flange and wire thickness, crosses, and the heads that take turns.
#[derive(Clone, Copy)]
struct Half {
    circle_mm: f64,
    offset_mm: f64,
    flange_mm: f64,
    wire_mm: f64,
    crosses: f64,
    heads: [Head; 2],
}

impl Half {
    fn lacing(self) -> SideLacing {
        let roles = [Role::Trailing, Role::Leading];
        let lay = |(role, head)| Lay {
            hole: Hole::Crosses {
                role,
                crosses: self.crosses,
            },
            head,
            elbow: Length::mm(self.wire_mm),
            kind: KindIndex(0),
        };
        SideLacing {
            flange: Flange {
                hole_circle_radius: Length::mm(self.circle_mm / 2.0),
                offset: Length::mm(self.offset_mm),
                thickness: Length::mm(self.flange_mm),
            },
            lays: roles.into_iter().zip(self.heads).map(lay).collect(),
        }
    }
}

fn wheel(seat_mm: f64, count: usize, right: Half, left: Half) -> Wheel {
    let drilling = Drilling {
        count,
        seat_radius: Length::mm(seat_mm / 2.0),
        sides: vec![Side::Right, Side::Left],
        gaps: vec![1.0],
        first: None,
        right_offset: Length::ZERO,
        left_offset: Length::ZERO,
    };
    let lacing = Lacing {
        seats: drilling.seats().expect("seats"),
        right: right.lacing(),
        left: left.lacing(),
    };
    let mut kind = SpokeKind::named("plain");
    kind.section = Some(Section::Wire(Length::mm(2.0)));
    let doubt = GeometryDoubt::unmeasured(Length::ZERO);
    let spokes = lacing.spokes().expect("spokes");
    Wheel::new("check".into(), Rim::default(), vec![kind], spokes, doubt)
        .expect("a wheel")
        .0
}

const HALF: Half = Half {
    circle_mm: 45.0,
    offset_mm: 35.0,
    flange_mm: 3.0,
    wire_mm: 2.0,
    crosses: 3.0,
    heads: [Head::In, Head::Out],
};

fn drilled(mut wheel: Wheel, hole_mm: f64) -> Wheel {
    wheel.fittings.right.hole = Some(Length::mm(hole_mm));
    wheel.fittings.left.hole = Some(Length::mm(hole_mm));
    wheel
}

/// Source: L = √(R² + r² + w² − 2 R r cos φ) − d/2, the law of cosines in three dimensions less half the
/// flange hole, as read in several general articles on spoke length; evaluated apart from this crate.
/// Tolerance: the last digit stated, 1e-6 mm.
#[test]
fn lengths_to_order_agree_with_the_law_of_cosines_less_half_the_hole() {
    // Seat diameter, hole circle diameter, flange offset, spokes of the wheel, crosses, hole, length.
    let cases = [
        (602.0, 38.0, 35.0, 36, 3.0, 2.6, 292.754_417),
        (602.0, 45.0, 37.0, 32, 3.0, 2.6, 294.153_555),
        (602.0, 45.0, 21.0, 32, 3.0, 2.6, 292.578_892),
        (602.0, 45.0, 37.0, 32, 2.0, 2.6, 286.620_976),
        (595.0, 58.0, 33.0, 24, 2.0, 2.6, 284.722_289),
        (602.0, 38.0, 36.0, 28, 0.0, 2.6, 282.988_586),
        (602.0, 58.0, 35.0, 36, 4.0, 2.6, 298.091_800),
        (600.0, 40.0, 96.0, 36, 0.0, 0.0, 296.0),
        (600.0, 40.0, 96.0, 36, 3.0, 0.0, 305.967_318_510),
        (600.0, 45.0, 30.0, 36, 3.0, 0.0, 290.957_471_119),
    ];
    for (seat_mm, circle_mm, offset_mm, count, crosses, hole_mm, length_mm) in cases {
        let half = Half {
            circle_mm,
            offset_mm,
            flange_mm: 0.0,
            wire_mm: 0.0,
            crosses,
            heads: [Head::In, Head::Out],
        };
        let wheel = drilled(wheel(seat_mm, count, half, half), hole_mm);
        for spoke in &wheel.spokes {
            let found_mm = LengthParts::of(&wheel, spoke, Tautness::default())
                .total()
                .to_mm();
            assert!(
                (found_mm - length_mm).abs() < 1e-6,
                "{circle_mm}, {crosses}: {found_mm}"
            );
        }
    }
}

/// Source: closed limits. A radial spoke is the hypotenuse of R − r and w; a spoke that leaves its hole
/// circle as a tangent has √(R² − r²) in the wheel's plane.
#[test]
fn radial_and_tangential_spokes_have_their_closed_lengths() {
    let flat = Half {
        flange_mm: 0.0,
        wire_mm: 0.0,
        ..HALF
    };
    let radial = wheel(
        600.0,
        32,
        Half {
            crosses: 0.0,
            ..flat
        },
        flat,
    );
    let length_mm = radial.spokes[0].length().to_mm();
    assert!((length_mm - (300.0_f64 - 22.5).hypot(35.0)).abs() < 1e-9);
    // cos φ = r/R at the tangent; straight-pull spokes may cross a part of a spoke.
    let turn = (22.5_f64 / 300.0).acos().to_degrees();
    let tangent = Half {
        crosses: turn * 16.0 / 360.0,
        heads: [Head::Straight, Head::Straight],
        ..flat
    };
    let tangential = wheel(600.0, 32, tangent, flat);
    let length_mm = tangential.spokes[0].length().to_mm();
    let wanted_mm = (300.0_f64.powi(2) - 22.5_f64.powi(2)).sqrt().hypot(35.0);
    assert!((length_mm - wanted_mm).abs() < 1e-9);
}

/// Source: handbook chain (a university course's note after a textbook of materials): 300 mm of 2 mm wire, E
/// 210 GPa, under 630 N stretches by 0.29 mm (0.286 to three digits). Washer, nipple and shrink add up by eye.
#[test]
fn every_piece_of_a_length_is_its_own() {
    let half = Half {
        circle_mm: 40.0,
        offset_mm: 96.0,
        flange_mm: 0.0,
        wire_mm: 0.0,
        crosses: 0.0,
        heads: [Head::In, Head::Out],
    };
    let mut wheel = drilled(wheel(600.0, 36, half, half), 2.6);
    wheel.fittings.right.washer = Length::mm(0.5);
    wheel.fittings.right.nipple = Some(Nipple {
        head: Length::mm(3.3),
        slot: Length::mm(1.0),
        end: Length::mm(1.0),
        length: None,
        thread: None,
        mass: None,
    });
    let strain = 630.0 / (210e9 * std::f64::consts::FRAC_PI_4 * 0.002 * 0.002);
    let taut = Tautness {
        strain,
        shrink: Length::mm(0.1),
    };
    let parts = LengthParts::of(&wheel, &wheel.spokes[0], taut);
    // The spoke is 280 out and 96 across: 0.28/0.296 of a shrink shows along it.
    let shrink_mm = 0.1 * 280.0 / 296.0;
    let taut_mm = 296.0 - 1.3 + 0.5 + 2.3 - shrink_mm;
    let wanted = [
        296.0,
        -1.3,
        0.5,
        2.3,
        -shrink_mm,
        -taut_mm * strain / (1.0 + strain),
    ];
    let found = [
        parts.to_seat,
        parts.at_hub,
        parts.washer,
        parts.into_nipple,
        parts.shrink,
        parts.stretch,
    ];
    for (found, wanted_mm) in found.into_iter().zip(wanted) {
        assert!(
            (found.to_mm() - wanted_mm).abs() < 1e-9,
            "{} {wanted_mm}",
            found.to_mm()
        );
    }
    let stretch_mm = strain * 300.0;
    assert!((stretch_mm - 0.286).abs() < 5e-4, "{stretch_mm}");
    let total_mm = parts.total().to_mm();
    assert!((total_mm * (1.0 + strain) - taut_mm).abs() < 1e-9);
}

/// Source: JCGM 100, 4.2.3: the mean of n observations has u = s/√n with n − 1 degrees of freedom.
#[test]
fn few_and_scattered_seat_diameters_make_a_length_doubtful() {
    let half = Half {
        crosses: 0.0,
        ..HALF
    };
    let wheel = wheel(600.0, 32, half, half);
    let diameters: Vec<Length> = [599.4, 600.0, 600.6].map(Length::mm).into();
    let doubt = GeometryDoubt::unmeasured(Length::mm(0.3));
    let spoke = &wheel.spokes[0];
    let mut sources = Sources::new();
    let length = uncertain_mm(&mut sources, spoke, spoke.length(), &diameters, &doubt)
        .expect("sound numbers");
    let [_, _, sideways] = spoke.pull_direction();
    let outward = (1.0 - sideways * sideways).sqrt();
    let u_radius = 0.3 / 3.0_f64.sqrt(); // s of the radii is 0.3 mm
    let u = (outward * u_radius).hypot(sideways * 0.3);
    assert!((length.u() - u).abs() < 1e-12, "{} {u}", length.u());
    assert!((length.value() - spoke.length().to_mm()).abs() < 1e-12);
    let factor = sources.expanded(&length).factor;
    assert!(
        (3.0..4.31).contains(&factor),
        "{factor}: t of two degrees of freedom is 4.303"
    );
}

#[test]
fn a_side_whose_heads_take_turns_is_ordered_in_two_lengths() {
    let wheel = wheel(
        602.0,
        32,
        HALF,
        Half {
            offset_mm: 21.0,
            ..HALF
        },
    );
    let lengths: Vec<Length> = wheel.spokes.iter().map(wheel::Spoke::length).collect();
    let groups = groups(&wheel, &lengths);
    assert_eq!(groups.len(), 4);
    for group in &groups {
        assert_eq!(group.spokes.len(), 8);
        let first = &wheel.spokes[group.spokes[0].0];
        assert!(group.spokes.iter().all(|spoke| {
            let spoke = &wheel.spokes[spoke.0];
            (spoke.side, spoke.head) == (first.side, first.head)
        }));
        assert!((group.mean() - group.lengths[0]).abs() < Length::mm(1e-9));
    }
    assert!(
        groups[0].mean() > groups[1].mean(),
        "heads in run outside and are longer"
    );
}

/// Pairs that clash, with how.
fn met(wheel: &Wheel) -> Vec<(usize, usize, Contact)> {
    let (found, unknown) = clashes(wheel);
    assert!(unknown.is_empty());
    let pair = |clash: &Clash| match clash.with {
        Obstacle::Spoke(other) => Some((clash.spoke.number(), other.number(), clash.contact)),
        Obstacle::Flange(_) => None,
    };
    found.iter().filter_map(pair).collect()
}

#[test]
fn radial_spokes_are_in_nobodys_way() {
    let radial = Half {
        crosses: 0.0,
        ..HALF
    };
    assert!(met(&wheel(600.0, 32, radial, radial)).is_empty());
}

/// Two spokes that leave one plane and cross in it meet in a point: closed geometry.
#[test]
fn spokes_that_cross_in_one_plane_would_pass_through_each_other() {
    let flat = Half {
        heads: [Head::Straight, Head::Straight],
        flange_mm: 0.0,
        ..HALF
    };
    let found = met(&wheel(
        600.0,
        32,
        flat,
        Half {
            crosses: 0.0,
            ..flat
        },
    ));
    // Sixteen spokes, each crossing three of the other role: twenty-four pairs, all in one cone.
    assert_eq!(found.len(), 24, "{found:?}");
    assert!(
        found
            .iter()
            .all(|(.., contact)| *contact == Contact::PassesThrough)
    );
}

#[test]
fn heads_in_and_out_on_a_thick_flange_pass_clear_of_each_other_near_the_hub() {
    let found = met(&wheel(600.0, 32, HALF, HALF));
    assert!(
        found
            .iter()
            .all(|(.., contact)| *contact == Contact::Touches),
        "{found:?}"
    );
    let (clashes, _) = clashes(&wheel(600.0, 32, HALF, HALF));
    assert!(
        clashes.iter().all(|clash| clash.radius > Length::mm(60.0)),
        "{clashes:?}"
    );
}

/// Source: closed geometry. A spoke with its head in, w outside the middle at the hole and straight to a seat in
/// the rim's plane, has come nearer by w times its share of the way when it leaves the flange's edge.
#[test]
fn a_spoke_outside_a_wide_flange_has_to_bend_round_its_edge() {
    let half = Half {
        crosses: 0.0,
        heads: [Head::In, Head::In],
        ..HALF
    };
    let mut wheel = wheel(
        600.0,
        32,
        half,
        Half {
            heads: [Head::Out, Head::Out],
            ..half
        },
    );
    let body = FlangeBody {
        offset: Length::mm(35.0),
        thickness: Length::mm(3.0),
        radius: Length::mm(45.0),
    };
    wheel.fittings.right.flange = Some(body);
    wheel.fittings.left.flange = Some(body);
    let (found, _) = clashes(&wheel);
    let nearer_mm = 37.5 * 22.5 / 277.5;
    assert_eq!(found.len(), 16, "only the right side's heads are in");
    for clash in found {
        assert_eq!(clash.with, Obstacle::Flange(Side::Right));
        assert!(
            (clash.overlap.to_mm() - nearer_mm).abs() < 1e-9,
            "{}",
            clash.overlap.to_mm()
        );
        assert_eq!(clash.contact, Contact::PassesThrough);
    }
    let narrow = FlangeBody {
        radius: Length::mm(27.0),
        ..body
    };
    wheel.fittings.right.flange = Some(narrow);
    assert!(
        clashes(&wheel).0.is_empty(),
        "0.6 mm is less than half a spoke"
    );
}

/// Crossed spokes whose heads and roles take turns repeat after four; radial ones after two; nothing repeats
/// where one spoke is tighter.
#[test]
fn a_wheel_begins_anew_after_its_lacing_period() {
    let crossed = wheel(600.0, 32, HALF, HALF);
    assert_eq!(crossed.period(), 4);
    let radial = Half {
        crosses: 0.0,
        heads: [Head::In, Head::In],
        ..HALF
    };
    let mut radial = wheel(600.0, 32, radial, radial);
    assert_eq!(radial.period(), 2);
    for spoke in &mut radial.spokes {
        spoke.tension = Some(Force::n(1000.0));
    }
    radial.spokes[5].tension = Some(Force::n(1001.0));
    assert_eq!(radial.period(), 32);
}

#[test]
fn a_kind_of_unknown_section_is_named_and_takes_no_part() {
    let mut wheel = wheel(600.0, 32, HALF, HALF);
    wheel.kinds[0].section = None;
    let (found, unknown) = clashes(&wheel);
    assert!(found.is_empty());
    assert_eq!(unknown.len(), 1);
}

proptest! {
    /// Turning the whole wheel, or swapping its sides in a mirror, changes no length.
    #[test]
    fn lengths_do_not_hang_on_where_the_wheel_is_looked_at_from(
        seat_mm in 540.0..640.0_f64, circle_mm in 30.0..70.0_f64, right_mm in 15.0..40.0_f64,
        left_mm in 15.0..40.0_f64, crosses in 0..4_u32, turn_deg in 0.0..360.0_f64, strain in 0.0..0.005_f64,
    ) {
        let half = Half { circle_mm, offset_mm: right_mm, crosses: f64::from(crosses), ..HALF };
        let wheel = drilled(wheel(seat_mm, 32, half, Half { offset_mm: left_mm, ..half }), 2.5);
        let taut = Tautness { strain, shrink: Length::mm(0.1) };
        for spoke in &wheel.spokes {
            let here = LengthParts::of(&wheel, spoke, taut).total();
            let turned = |point: wheel::Point| wheel::Point::polar(point.radius(), point.angle() + Angle::deg(turn_deg), point.z);
            let mirrored = |point: wheel::Point| wheel::Point { z: -point.z, ..point };
            let away = wheel::Spoke { hub: turned(spoke.hub), seat: turned(spoke.seat), ..spoke.clone() };
            let over = wheel::Spoke {
                side: spoke.side.opposite(), hub: mirrored(spoke.hub), seat: mirrored(spoke.seat), ..spoke.clone()
            };
            for other in [away, over] {
                prop_assert!((LengthParts::of(&wheel, &other, taut).total() - here).abs() < Length::mm(1e-9));
            }
            prop_assert!(here < LengthParts::of(&wheel, spoke, Tautness::default()).total());
        }
    }

    /// Whoever meets whom, the wheel turned by one lacing period meets likewise.
    #[test]
    fn clashes_repeat_with_the_lacing(seat_mm in 540.0..640.0_f64, circle_mm in 30.0..70.0_f64, crosses in 1..4_u32) {
        let half = Half { circle_mm, crosses: f64::from(crosses), ..HALF };
        let (found, _) = clashes(&wheel(seat_mm, 32, half, half));
        let pair = |clash: &Clash, by: usize| {
            let Obstacle::Spoke(other) = clash.with else { return None };
            let turned = [clash.spoke.0, other.0].map(|place| SpokeIndex((place + by) % 32));
            Some((turned[0].min(turned[1]), turned[0].max(turned[1])))
        };
        let mut here: Vec<_> = found.iter().filter_map(|clash| pair(clash, 0)).collect();
        let mut turned: Vec<_> = found.iter().filter_map(|clash| pair(clash, 4)).collect();
        here.sort_unstable();
        turned.sort_unstable();
        prop_assert_eq!(here, turned);
    }
}
