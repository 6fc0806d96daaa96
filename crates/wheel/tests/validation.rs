//! Lengths and directions of spokes against numbers that do not come from this crate.

use quantity::{Angle, Length};
use wheel::lacing::{Hole, Lay, SideLacing};
use wheel::{
    Drilling, Flange, GeometryDoubt, Head, KindIndex, Lacing, Rim, Role, Side, Spoke, SpokeKind,
    Wheel,
};

/// A side of straight-pull spokes, whose line of pull lies in the flange's middle.
fn side(hole_circle_mm: f64, offset_mm: f64, crosses: f64, roles: &[Role]) -> SideLacing {
    let flange = Flange {
        hole_circle_radius: Length::mm(hole_circle_mm / 2.0),
        offset: Length::mm(offset_mm),
        thickness: Length::ZERO,
    };
    let lay = |&role: &Role| Lay {
        hole: Hole::Crosses { role, crosses },
        head: Head::Straight,
        elbow: Length::ZERO,
        kind: KindIndex(0),
    };
    SideLacing {
        flange,
        lays: roles.iter().map(lay).collect(),
    }
}

fn drilling(count: usize, seat_diameter_mm: f64) -> Drilling {
    Drilling {
        count,
        seat_radius: Length::mm(seat_diameter_mm / 2.0),
        sides: vec![Side::Right, Side::Left],
        gaps: vec![1.0],
        first: None,
        right_offset: Length::ZERO,
        left_offset: Length::ZERO,
    }
}

fn wheel(spokes: Vec<Spoke>) -> Wheel {
    let doubt = GeometryDoubt::unmeasured(Length::ZERO);
    let kinds = vec![SpokeKind::named("plain")];
    Wheel::new("check".into(), Rim::default(), kinds, spokes, doubt)
        .expect("a wheel")
        .0
}

/// Source: reference wheel N1, solved by two general finite-element codes (OpenSeesPy 3.7.1, PyNiteFEA
/// 3.2.0), whose input states hub holes at the rim angle ± 60° and the length of every spoke.
/// Tolerance: the last digit stated, 1e-9 mm; observed 3e-10.
#[test]
fn every_spoke_of_the_reference_wheel_has_its_stated_length_and_hole() {
    let (leading, trailing) = (Role::Leading, Role::Trailing);
    let mut drilling = drilling(36, 600.0);
    drilling.first = Some(Angle::ZERO);
    let lacing = Lacing {
        seats: drilling.seats().expect("seats"),
        right: side(45.0, 30.0, 3.0, &[leading, trailing]),
        left: side(45.0, 30.0, 3.0, &[leading, trailing]),
    };
    let wheel = wheel(lacing.spokes().expect("spokes"));
    for (place, spoke) in wheel.placed() {
        let place = place.0;
        assert!(
            (spoke.length().to_mm() - 290.957_471_119).abs() < 1e-9,
            "{place}"
        );
        assert_eq!(spoke.side == Side::Right, place % 2 == 0);
        let turn_deg = if (place / 2) % 2 == 0 { 60.0 } else { -60.0 };
        let hole = Angle::deg(10.0 * place as f64 + turn_deg).within_turn();
        let off = (spoke.hub.angle() - hole + Angle::deg(180.0)).within_turn() - Angle::deg(180.0);
        assert!(off.to_deg().abs() < 1e-9, "{place}: {}", off.to_deg());
        assert!((spoke.hub.z.to_mm().abs() - 30.0).abs() < 1e-12);
    }
}

/// Source: law of cosines in three dimensions, as read in several general articles on spoke length;
/// the numbers were evaluated apart from this crate. Tolerance: the last digit stated, 1e-6 mm.
#[test]
fn spoke_lengths_agree_with_the_law_of_cosines() {
    // Seat diameter, hole circle diameter, flange offset, spokes of the wheel, crosses, length.
    let cases = [
        (602.0, 38.0, 35.0, 36, 3.0, 294.054_417),
        (602.0, 45.0, 37.0, 32, 3.0, 295.453_555),
        (602.0, 45.0, 21.0, 32, 3.0, 293.878_892),
        (602.0, 45.0, 37.0, 32, 2.0, 287.920_976),
        (595.0, 58.0, 33.0, 24, 2.0, 286.022_289),
        (602.0, 38.0, 36.0, 28, 0.0, 284.288_586),
        (602.0, 58.0, 35.0, 36, 4.0, 299.391_800),
        (600.0, 40.0, 96.0, 36, 0.0, 296.0),
        (600.0, 40.0, 96.0, 36, 3.0, 305.967_318_510),
        (600.0, 45.0, 30.0, 36, 3.0, 290.957_471_119),
    ];
    for (seat_mm, circle_mm, offset_mm, count, crosses, length_mm) in cases {
        let block = side(
            circle_mm,
            offset_mm,
            crosses,
            &[Role::Trailing, Role::Leading],
        );
        let seats = drilling(count, seat_mm).seats().expect("seats");
        let lacing = Lacing {
            seats,
            right: block.clone(),
            left: block,
        };
        for spoke in wheel(lacing.spokes().expect("spokes")).spokes {
            let found_mm = spoke.length().to_mm();
            assert!(
                (found_mm - length_mm).abs() < 1e-6,
                "{circle_mm}, {crosses}: {found_mm}"
            );
        }
    }
}

/// Source: the same articles for the two sides of a dished wheel; ratio of tensions from the balance
/// of the sideways pulls. Tolerance: the last digit stated.
#[test]
fn the_dish_of_a_rear_wheel_sets_the_ratio_of_its_tensions() {
    let roles = [Role::Trailing, Role::Leading];
    let lacing = Lacing {
        seats: drilling(32, 602.0).seats().expect("seats"),
        right: side(45.0, 21.0, 3.0, &roles),
        left: side(45.0, 37.0, 3.0, &roles),
    };
    let wheel = wheel(lacing.spokes().expect("spokes"));
    let sideways = |side| {
        let pulls = wheel.spokes.iter().filter(|spoke| spoke.side == side);
        pulls
            .map(|spoke| spoke.pull_direction()[2].abs())
            .sum::<f64>()
    };
    let left_to_right = sideways(Side::Right) / sideways(Side::Left);
    assert!(
        (left_to_right - 0.570_608_710).abs() < 1e-9,
        "{left_to_right}"
    );
}

/// Source: the same law of cosines with the angle of a 2:1 wheel, 360° × crosses / spokes on the side.
#[test]
fn the_sides_of_a_two_to_one_wheel_count_their_own_spokes() {
    let mut drilling = drilling(24, 600.0);
    drilling.sides = vec![Side::Right, Side::Left, Side::Right];
    let lacing = Lacing {
        seats: drilling.seats().expect("seats"),
        right: side(45.0, 20.0, 2.0, &[Role::Trailing, Role::Leading]),
        left: side(40.0, 35.0, 0.0, &[Role::Radial]),
    };
    let wheel = wheel(lacing.spokes().expect("spokes"));
    assert_eq!(
        wheel
            .groups()
            .iter()
            .map(|(_, _, spokes)| spokes.len())
            .collect::<Vec<_>>(),
        [16, 8]
    );
    let lengths_mm = |side| {
        let spokes = wheel.spokes.iter().filter(move |spoke| spoke.side == side);
        spokes
            .map(|spoke| spoke.length().to_mm())
            .collect::<Vec<_>>()
    };
    // The left side is even: each spoke is (300 − 20, 35) mm.
    for length_mm in lengths_mm(Side::Left) {
        assert!(
            (length_mm - 280.0_f64.hypot(35.0)).abs() < 1e-9,
            "{length_mm}"
        );
    }
    // The right seats lie 15° and 30° apart where the holes are 22.5° apart: the best turn leaves
    // each seat 3.75° from its hole, to one side or the other.
    let found = |turn_deg: f64| {
        let cosine = turn_deg.to_radians().cos();
        (300.0_f64.powi(2) + 22.5_f64.powi(2) + 20.0_f64.powi(2) - 2.0 * 300.0 * 22.5 * cosine)
            .sqrt()
    };
    for length_mm in lengths_mm(Side::Right) {
        let [near, far] = [found(45.0 - 3.75), found(45.0 + 3.75)];
        let off = (length_mm - near).abs().min((length_mm - far).abs());
        assert!(off < 1e-9, "{length_mm}: {near} or {far}");
    }
}

/// Heads in pull outside the flange, heads out inside it, by half the flange and half the wire
/// (common practice, no source).
#[test]
fn heads_in_and_out_shift_the_line_of_pull() {
    let mut block = side(45.0, 35.0, 3.0, &[Role::Trailing, Role::Leading]);
    block.flange.thickness = Length::mm(3.0);
    block.lays[0] = Lay {
        head: Head::In,
        elbow: Length::mm(2.0),
        ..block.lays[0]
    };
    block.lays[1] = Lay {
        head: Head::Out,
        elbow: Length::mm(2.0),
        ..block.lays[1]
    };
    let seats = drilling(32, 602.0).seats().expect("seats");
    let lacing = Lacing {
        seats,
        right: block.clone(),
        left: block,
    };
    for spoke in wheel(lacing.spokes().expect("spokes")).spokes {
        let offset_mm = if spoke.head == Head::In { 37.5 } else { 32.5 };
        assert!((spoke.hub.z.to_mm() - spoke.side.sign() * offset_mm).abs() < 1e-12);
    }
}
