//! Laws that the statics of the hub keeps on lacings of every sort.
//!
//! Source: Newton's laws; the counts of self-stress from linear algebra. The dish ratio is that of two
//! flanges at 37 and 21 mm, computed from a published spoke-length formula (law of cosines in three
//! dimensions, hole circle 45 mm, seats 602 mm, 32 spokes crossed three times): 0.570608710.

use mechanics::statics::{Equilibrium, GeometryError};
use quantity::draws::Draws;
use quantity::{Angle, Length};
use wheel::lacing::{Hole, Lay, SideLacing};
use wheel::{
    Drilling, Flange, GeometryDoubt, Head, KindIndex, Lacing, Rim, Role, Side, SpokeKind, Wheel,
};

fn side(hole_circle_mm: f64, offset_mm: f64, crosses: f64) -> SideLacing {
    let flange = Flange {
        hole_circle_radius: Length::mm(hole_circle_mm / 2.0),
        offset: Length::mm(offset_mm),
        thickness: Length::ZERO,
    };
    let roles = if crosses == 0.0 {
        vec![Role::Radial]
    } else {
        vec![Role::Trailing, Role::Leading]
    };
    let lay = |role: Role| Lay {
        hole: Hole::Crosses { role, crosses },
        head: Head::Straight,
        elbow: Length::ZERO,
        kind: KindIndex(0),
    };
    SideLacing {
        flange,
        lays: roles.into_iter().map(lay).collect(),
    }
}

fn laced(drilling: &Drilling, right: SideLacing, left: SideLacing) -> Wheel {
    let seats = drilling.seats().expect("seats");
    let spokes = Lacing { seats, right, left }.spokes().expect("a lacing");
    let doubt = GeometryDoubt {
        flange_offset_u: Length::mm(0.3),
        dish: None,
        dish_u: Length::mm(1.0),
    };
    Wheel::new(
        "drawn".into(),
        Rim::default(),
        vec![SpokeKind::named("plain")],
        spokes,
        doubt,
    )
    .expect("a wheel")
    .0
}

/// Twenty wheels: both sides crossed, radial against crossed, two to one, paired, offset seats, dish.
fn drawn(number: u64) -> Wheel {
    let mut draws = Draws::stream(612, number);
    let mut between = |low: f64, high: f64| low + (high - low) * draws.unit();
    let sides = match number % 3 {
        0 => vec![Side::Right, Side::Right, Side::Left],
        _ => vec![Side::Right, Side::Left],
    };
    let periods = 8 + 2 * (between(0.0, 5.0) as usize);
    let drilling = Drilling {
        count: periods * sides.len(),
        seat_radius: Length::mm(between(260.0, 305.0)),
        gaps: if number % 4 == 1 {
            vec![0.6, 1.4]
        } else {
            vec![1.0]
        },
        sides,
        first: number.is_multiple_of(2).then_some(Angle::ZERO),
        right_offset: Length::mm(between(-2.5, 2.5)),
        left_offset: Length::mm(between(-2.5, 2.5)),
    };
    let crosses = |pick: f64| [0.0, 1.0, 2.0, 3.0][pick as usize];
    // A wheel of nothing but radial spokes has a law of its own below.
    let (right, left) = (crosses(between(1.0, 4.0)), crosses(between(0.0, 4.0)));
    let right = side(between(38.0, 60.0), between(16.0, 36.0), right);
    let left = side(between(38.0, 60.0), between(30.0, 38.0), left);
    laced(&drilling, right, left)
}

fn all_radial() -> Wheel {
    let drilling = Drilling {
        count: 24,
        seat_radius: Length::mm(297.0),
        sides: vec![Side::Right, Side::Left],
        gaps: vec![1.0],
        first: None,
        right_offset: Length::ZERO,
        left_offset: Length::ZERO,
    };
    laced(&drilling, side(40.0, 30.0, 0.0), side(40.0, 36.0, 0.0))
}

fn uneven_n(wheel: &Wheel, number: u64) -> Vec<f64> {
    let mut draws = Draws::stream(613, number);
    wheel
        .spokes
        .iter()
        .map(|_| 1000.0 * (1.0 + 0.2 * draws.normal()))
        .collect()
}

fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |most, value| most.max(value.abs()))
}

/// Tolerance 1e-9 of the largest force: rounding of sums over some thirty spokes is below 1e-12.
#[test]
fn a_self_stressed_wheel_leaves_nothing_on_its_hub() {
    for number in 0..20 {
        let wheel = drawn(number);
        let equilibrium = Equilibrium::of(&wheel);
        let balanced = equilibrium.balanced(&uneven_n(&wheel, number));
        assert_eq!(equilibrium.rank(), 6, "wheel {number}");
        let left = largest(&equilibrium.resultants(&balanced));
        assert!(
            left < 1e-9 * largest(&balanced),
            "wheel {number} leaves {left} N"
        );
        let again = equilibrium.balanced(&balanced);
        for (once, twice) in balanced.iter().zip(&again) {
            assert!(
                (once - twice).abs() < 1e-9 * 1000.0,
                "balancing twice changes nothing"
            );
        }
    }
}

#[test]
fn a_wheel_of_radial_spokes_cannot_be_twisted_into_balance() {
    let wheel = all_radial();
    let equilibrium = Equilibrium::of(&wheel);
    assert_eq!(equilibrium.rank(), 5);
    let torque = equilibrium.resultants(&uneven_n(&wheel, 0))[5];
    assert!(
        torque.abs() < 1e-9,
        "whatever the tensions, the torque is {torque} N m"
    );
}

#[test]
fn the_states_of_self_stress_are_as_many_as_spokes_less_rank() {
    for wheel in [drawn(0), drawn(1), drawn(5), all_radial()] {
        let equilibrium = Equilibrium::of(&wheel);
        let states = equilibrium.self_stress();
        assert_eq!(states.len(), wheel.spokes.len() - equilibrium.rank());
        for (place, one) in states.iter().enumerate() {
            assert!(largest(&equilibrium.resultants(one)) < 1e-9);
            for (other_place, other) in states.iter().enumerate() {
                let product: f64 = one.iter().zip(other).map(|(a, b)| a * b).sum();
                let wanted = f64::from(u8::from(place == other_place));
                assert!(
                    (product - wanted).abs() < 1e-9,
                    "{place} {other_place}: {product}"
                );
            }
        }
    }
}

/// Source: see the head of this file; tolerance half the last digit given.
#[test]
fn the_slack_side_of_a_dished_wheel_has_the_ratio_of_the_braces() {
    let drilling = Drilling {
        count: 32,
        seat_radius: Length::mm(301.0),
        sides: vec![Side::Right, Side::Left],
        gaps: vec![1.0],
        first: None,
        right_offset: Length::ZERO,
        left_offset: Length::ZERO,
    };
    let wheel = laced(&drilling, side(45.0, 21.0, 3.0), side(45.0, 37.0, 3.0));
    let ratio = Equilibrium::of(&wheel)
        .left_to_right(&wheel)
        .expect("two sides");
    assert!((ratio - 0.570_608_710).abs() < 5e-10, "{ratio}");
}

/// Central differences over 0.01 mm; their own error is below 1e-7 of the largest entry.
#[test]
fn the_resultants_move_with_the_geometry_as_their_sensitivity_says() {
    let step = Length::mm(0.01);
    for number in [0, 3, 7] {
        let wheel = drawn(number);
        let tensions_n = uneven_n(&wheel, number);
        let sensitivity = Equilibrium::geometry_sensitivity(&wheel, &tensions_n);
        for (error, stated) in GeometryError::ALL.into_iter().zip(sensitivity) {
            let moved = |by: Length| {
                let mut there = wheel.clone();
                match error {
                    GeometryError::Dish => there.doubt.dish = Some(by),
                    GeometryError::FlangeOffset(side) => {
                        for spoke in there.spokes.iter_mut().filter(|spoke| spoke.side == side) {
                            spoke.hub.z = spoke.hub.z + by * side.sign();
                        }
                    }
                }
                Equilibrium::of(&there).resultants(&tensions_n)
            };
            let (ahead, behind) = (moved(step), moved(-step));
            let scale = largest(&stated);
            for row in 0..6 {
                let difference = (ahead[row] - behind[row]) / (2.0 * step.to_m());
                assert!(
                    (difference - stated[row]).abs() < 1e-6 * scale,
                    "wheel {number}, {error:?}, row {row}: {difference} against {}",
                    stated[row]
                );
            }
        }
    }
}
