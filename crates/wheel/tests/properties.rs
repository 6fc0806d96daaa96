//! Laws that every lacing keeps.

use proptest::prelude::*;
use quantity::{Angle, Length};
use wheel::lacing::{Hole, Lay, SideLacing};
use wheel::{
    Drilling, Error, Finding, Flange, GeometryDoubt, Head, KindIndex, Lacing, Point, Rim, Role,
    Side, Spoke, SpokeKind, Wheel,
};

const ROLES: [Role; 2] = [Role::Trailing, Role::Leading];

fn crossed(crosses: f64, heads: [Head; 2], flange: Flange) -> SideLacing {
    let lay = |(role, head)| Lay {
        hole: Hole::Crosses { role, crosses },
        head,
        elbow: Length::mm(2.0),
        kind: KindIndex(0),
    };
    SideLacing {
        flange,
        lays: ROLES.into_iter().zip(heads).map(lay).collect(),
    }
}

fn flange() -> impl Strategy<Value = Flange> {
    (15.0..35.0_f64, 12.0..40.0_f64, 2.0..4.0_f64).prop_map(|(radius, offset, thickness)| Flange {
        hole_circle_radius: Length::mm(radius),
        offset: Length::mm(offset),
        thickness: Length::mm(thickness),
    })
}

fn heads() -> impl Strategy<Value = [Head; 2]> {
    prop_oneof![
        Just([Head::In, Head::Out]),
        Just([Head::Out, Head::In]),
        Just([Head::Straight, Head::Straight])
    ]
}

fn side_lacing() -> impl Strategy<Value = SideLacing> {
    (0..4_u32, heads(), flange())
        .prop_map(|(crosses, heads, flange)| crossed(f64::from(crosses), heads, flange))
}

/// Even, paired, offset and two-to-one rims with an even number of spokes on each side.
fn drilling() -> impl Strategy<Value = Drilling> {
    let patterns = prop_oneof![
        Just(vec![Side::Right, Side::Left]),
        Just(vec![Side::Left, Side::Right]),
        Just(vec![Side::Right, Side::Left, Side::Right]),
    ];
    let gaps = prop_oneof![
        Just(vec![1.0]),
        (0.7..1.5_f64).prop_map(|gap| vec![1.0, gap])
    ];
    (
        6..9_usize,
        270.0..320.0_f64,
        patterns,
        gaps,
        -4.0..4.0_f64,
        -3.0..3.0_f64,
    )
        .prop_map(
            |(repeats, radius_mm, sides, gaps, rim_mm, stagger_mm)| Drilling {
                count: repeats * 2 * sides.len(),
                seat_radius: Length::mm(radius_mm),
                sides,
                gaps,
                first: None,
                right_offset: Length::mm(rim_mm + stagger_mm),
                left_offset: Length::mm(rim_mm - stagger_mm),
            },
        )
}

prop_compose! {
    fn lacing()(drilling in drilling(), right in side_lacing(), left in side_lacing()) -> Lacing {
        Lacing { seats: drilling.seats().expect("seats"), right, left }
    }
}

fn built(spokes: Vec<Spoke>) -> Result<(Wheel, Vec<Finding>), Error> {
    let doubt = GeometryDoubt::unmeasured(Length::ZERO);
    let kinds = vec![SpokeKind::named("plain")];
    Wheel::new("law".into(), Rim::default(), kinds, spokes, doubt)
}

/// Moment about the axle of a pull of 1 N on the hub, in N m, positive counter-clockwise from the right.
fn torque(spoke: &Spoke) -> f64 {
    let [x, y, _] = spoke.pull_direction();
    spoke.hub.x.to_m() * y - spoke.hub.y.to_m() * x
}

fn turned(point: Point, angle: Angle) -> Point {
    Point::polar(point.radius(), point.angle() + angle, point.z)
}

proptest! {
    #[test]
    fn every_lacing_is_a_wheel_with_a_hole_and_a_seat_for_each_spoke(lacing in lacing()) {
        let spokes = lacing.spokes().expect("spokes");
        prop_assert_eq!(spokes.len(), lacing.seats.len());
        for (place, spoke) in spokes.iter().enumerate() {
            for other in &spokes[..place] {
                prop_assert!(spoke.hub.distance(other.hub) > Length::mm(1.0));
                prop_assert!(spoke.seat.distance(other.seat) > Length::mm(1.0));
            }
        }
        prop_assert!(built(spokes).is_ok());
    }

    /// The drive turns the hub clockwise seen from the right. A trailing spoke holds it back and gets
    /// longer when the hub runs ahead of the rim; a leading one helps and gets shorter.
    #[test]
    fn the_drive_tightens_trailing_spokes_and_eases_leading_ones(lacing in lacing()) {
        for spoke in lacing.spokes().expect("spokes") {
            let ahead = Spoke { hub: turned(spoke.hub, Angle::deg(-0.01)), ..spoke.clone() };
            let stretch_mm = (ahead.length() - spoke.length()).to_mm();
            match spoke.role {
                Role::Trailing => prop_assert!(torque(&spoke) > 0.0 && stretch_mm > 0.0),
                Role::Leading => prop_assert!(torque(&spoke) < 0.0 && stretch_mm < 0.0),
                Role::Radial => prop_assert!(torque(&spoke).abs() < 0.01),
            }
            if spoke.role != Role::Radial {
                prop_assert_eq!(Role::of(spoke.hub, spoke.seat), spoke.role);
            }
        }
    }

    /// Seen in a mirror across the rim's plane, right is left and everything else stays.
    #[test]
    fn swapping_the_sides_mirrors_the_wheel(drilling in drilling(), right in side_lacing(), left in side_lacing()) {
        let mut mirrored = drilling.clone();
        mirrored.sides = drilling.sides.iter().map(|side| side.opposite()).collect();
        (mirrored.right_offset, mirrored.left_offset) = (-drilling.left_offset, -drilling.right_offset);
        let seats = drilling.seats().expect("seats");
        let here = Lacing { seats, right: right.clone(), left: left.clone() };
        let there = Lacing { seats: mirrored.seats().expect("seats"), right: left, left: right };
        let mirror = |point: Point| Point { z: -point.z, ..point };
        for (spoke, image) in here.spokes().expect("spokes").iter().zip(there.spokes().expect("spokes")) {
            prop_assert_eq!(mirror(spoke.hub), image.hub);
            prop_assert_eq!(mirror(spoke.seat), image.seat);
            prop_assert_eq!((spoke.side.opposite(), spoke.role, spoke.head), (image.side, image.role, image.head));
        }
    }

    /// Roles come in twos, so the pattern begins anew after two seats of each side.
    #[test]
    fn turning_by_a_lacing_period_permutes_the_spokes(lacing in lacing(), sides in 2..4_usize) {
        let spokes = lacing.spokes().expect("spokes");
        let count = spokes.len();
        let rights = lacing.seats.iter().filter(|seat| seat.side == Side::Right).count();
        let is_two_to_one = 2 * rights != count;
        prop_assume!(is_two_to_one == (sides == 3));
        // Gaps repeat after one or two seats, sides after two or three, roles after two of a side.
        let period = if is_two_to_one { 6 } else { 4 };
        let turn = Angle::deg(360.0 * period as f64 / count as f64);
        for (place, spoke) in spokes.iter().enumerate() {
            let next = &spokes[(place + period) % count];
            prop_assert!(turned(spoke.hub, turn).distance(next.hub) < Length::mm(1e-9));
            prop_assert!(turned(spoke.seat, turn).distance(next.seat) < Length::mm(1e-9));
            prop_assert_eq!((spoke.side, spoke.role, spoke.head), (next.side, next.role, next.head));
        }
    }

    /// Whatever numbers come in, an answer comes out: a wheel or the reason why not.
    #[test]
    fn no_numbers_make_the_lacing_panic(
        count in 0..40_usize,
        radius in proptest::num::f64::ANY,
        gap in proptest::num::f64::ANY,
        crosses in proptest::num::f64::ANY,
        offset in proptest::num::f64::ANY,
    ) {
        let flange = Flange {
            hole_circle_radius: Length::mm(22.0),
            offset: Length::mm(offset),
            thickness: Length::mm(3.0),
        };
        let drilling = Drilling {
            count,
            seat_radius: Length::mm(radius),
            sides: vec![Side::Right, Side::Left],
            gaps: vec![1.0, gap],
            first: Some(Angle::deg(offset)),
            right_offset: Length::mm(gap),
            left_offset: Length::ZERO,
        };
        if let Ok(seats) = drilling.seats() {
            let side = crossed(crosses, [Head::In, Head::Out], flange);
            if let Ok(spokes) = (Lacing { seats, right: side.clone(), left: side }).spokes() {
                let _ = built(spokes);
            }
        }
    }
}

fn plain(count: usize, right: SideLacing, left: SideLacing) -> Result<Vec<Spoke>, Error> {
    let drilling = Drilling {
        count,
        seat_radius: Length::mm(300.0),
        sides: vec![Side::Right, Side::Left],
        gaps: vec![1.0],
        first: None,
        right_offset: Length::ZERO,
        left_offset: Length::ZERO,
    };
    Lacing {
        seats: drilling.seats()?,
        right,
        left,
    }
    .spokes()
}

fn plain_flange() -> Flange {
    Flange {
        hole_circle_radius: Length::mm(22.5),
        offset: Length::mm(30.0),
        thickness: Length::mm(3.0),
    }
}

fn side(crosses: f64) -> SideLacing {
    crossed(crosses, [Head::In, Head::Out], plain_flange())
}

#[test]
fn counts_that_do_not_fit_are_refused() {
    let odd = plain(33, side(3.0), side(3.0));
    assert_eq!(
        odd,
        Err(Error::SidePattern {
            seats: 33,
            period: 2
        })
    );
    let halves = plain(30, side(3.0), side(3.0));
    assert_eq!(
        halves,
        Err(Error::LayPattern {
            side: Side::Right,
            spokes: 15,
            period: 2
        })
    );
}

#[test]
fn crosses_that_cannot_be_laced_are_refused_and_past_the_tangent_is_said() {
    assert!(matches!(
        plain(32, side(6.0), side(3.0)),
        Err(Error::Crosses { crosses: 6.0, .. })
    ));
    assert!(matches!(
        plain(32, side(3.0), side(-1.0)),
        Err(Error::Crosses {
            side: Side::Left,
            ..
        })
    ));
    assert!(matches!(
        plain(32, side(2.5), side(3.0)),
        Err(Error::PartOfACross { .. })
    ));
    let (_, findings) = built(plain(32, side(4.0), side(3.0)).expect("spokes")).expect("a wheel");
    let [Finding::PastTangent { spokes }] = findings.as_slice() else {
        panic!("{findings:?}")
    };
    assert_eq!(spokes.len(), 16);
}

#[test]
fn two_spokes_in_one_hole_are_refused() {
    // All trailing but for one pattern in four: the leading one falls on a neighbour's hole.
    let mut uneven = side(3.0);
    uneven.lays = [
        uneven.lays[0],
        uneven.lays[0],
        uneven.lays[0],
        uneven.lays[1],
    ]
    .to_vec();
    let spokes = plain(32, uneven, side(3.0)).expect("spokes");
    assert!(matches!(
        built(spokes),
        Err(Error::TwoInOneHole {
            side: Side::Right,
            ..
        })
    ));
}

#[test]
fn a_hole_circle_larger_than_the_seats_and_swapped_flanges_are_refused() {
    let mut wide = side(0.0);
    wide.flange.hole_circle_radius = Length::mm(240.0);
    let mut spokes = plain(32, wide, side(0.0)).expect("spokes");
    for spoke in &mut spokes {
        spoke.seat = Point::polar(Length::mm(200.0), spoke.seat.angle(), spoke.seat.z);
    }
    assert!(matches!(built(spokes), Err(Error::HubOutsideRim { .. })));
    let mut swapped = side(3.0);
    swapped.flange.offset = Length::mm(-40.0);
    let spokes = plain(32, swapped, side(3.0)).expect("spokes");
    assert!(matches!(built(spokes), Err(Error::FlangesSwapped { .. })));
}

#[test]
fn spokes_out_of_order_are_refused_since_their_numbers_would_not_be_theirs() {
    let mut spokes = plain(32, side(3.0), side(3.0)).expect("spokes");
    spokes.swap(4, 5);
    assert!(matches!(built(spokes), Err(Error::OutOfOrder { .. })));
}

#[test]
fn seats_at_one_angle_put_the_right_spoke_first() {
    let mut spokes = plain(32, side(3.0), side(3.0)).expect("spokes");
    for pair in spokes.chunks_mut(2) {
        pair[1].seat = pair[0].seat;
    }
    assert!(built(spokes.clone()).is_ok());
    spokes.swap(0, 1);
    assert!(matches!(built(spokes), Err(Error::LeftBeforeRight { .. })));
}
