//! Wheels for the tests and benches, made from coordinates.
#![allow(dead_code, reason = "every test file takes the wheels it needs")]

use quantity::{Force, Length, Rigidity};
use std::f64::consts::{PI, TAU};
use wheel::{
    Fittings, GeometryDoubt, Head, KindIndex, Point, Rim, Role, Side, Spoke, SpokeKind, Wheel,
};

/// Rim constants in SI: centroid radius, EA, EI in plane, EI lateral, GJ.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Constants(
    pub(crate) f64,
    pub(crate) f64,
    pub(crate) f64,
    pub(crate) f64,
    pub(crate) f64,
);

/// One spoke: side, hub hole (radius, angle, z), seat (radius, angle, z), EA and tension, in SI and radians.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bar {
    pub(crate) side: Side,
    pub(crate) hub: [f64; 3],
    pub(crate) seat: [f64; 3],
    pub(crate) axial_n: f64,
    pub(crate) tension_n: f64,
}

pub(crate) fn assemble(constants: Constants, bars: &[Bar]) -> Wheel {
    let point = |[radius, angle, z]: [f64; 3]| Point {
        x: Length::m(radius * angle.cos()),
        y: Length::m(radius * angle.sin()),
        z: Length::m(z),
    };
    let Constants(radius, axial, in_plane, lateral, torsion) = constants;
    Wheel {
        name: "made for a test".into(),
        rim: Rim {
            centroid_radius: Some(Length::m(radius)),
            axial_stiffness: Some(Force::n(axial)),
            in_plane_bending: Some(Rigidity::n_m2(in_plane)),
            lateral_bending: Some(Rigidity::n_m2(lateral)),
            torsion: Some(Rigidity::n_m2(torsion)),
            ..Rim::default()
        },
        kinds: vec![SpokeKind::named("wire")],
        spokes: bars
            .iter()
            .map(|bar| Spoke {
                side: bar.side,
                kind: KindIndex(0),
                hub: point(bar.hub),
                seat: point(bar.seat),
                role: Role::Radial,
                head: Head::Straight,
                axial_stiffness: Some(Force::n(bar.axial_n)),
                tension: Some(Force::n(bar.tension_n)),
            })
            .collect(),
        doubt: GeometryDoubt {
            flange_offset_u: Length::ZERO,
            dish: None,
            dish_u: Length::ZERO,
        },
        fittings: Fittings::default(),
    }
}

/// EA of round wire.
pub(crate) fn wire_n(modulus_pa: f64, diameter_m: f64) -> f64 {
    modulus_pa * PI / 4.0 * diameter_m * diameter_m
}

/// The neutral reference wheel N1: 36 spokes of 2.0 mm, three times crossed, `tension_n` in each.
pub(crate) fn n1(tension_n: f64) -> Wheel {
    let bars: Vec<_> = (0..36)
        .map(|place| {
            let seat = TAU * f64::from(place) / 36.0;
            let right = place % 2 == 0;
            let swing = if (place / 2) % 2 == 0 {
                PI / 3.0
            } else {
                -PI / 3.0
            };
            Bar {
                side: if right { Side::Right } else { Side::Left },
                hub: [0.0225, seat + swing, if right { 0.030 } else { -0.030 }],
                seat: [0.3, seat, 0.0],
                axial_n: wire_n(193e9, 2.0e-3),
                tension_n,
            }
        })
        .collect();
    assemble(Constants(0.3, 69e9 * 140e-6, 103.5, 207.0, 52.0), &bars)
}

/// A symmetric radial wheel: flanges at ±`offset_m` on a 22.5 mm circle, rim radius 300 mm.
pub(crate) fn radial(
    spokes: u32,
    axial_n: f64,
    offset_m: f64,
    rim: Constants,
    tension_n: f64,
) -> Wheel {
    let bars: Vec<_> = (0..spokes)
        .map(|place| {
            let seat = TAU * f64::from(place) / f64::from(spokes);
            let right = place % 2 == 0;
            Bar {
                side: if right { Side::Right } else { Side::Left },
                hub: [0.0225, seat, if right { offset_m } else { -offset_m }],
                seat: [rim.0, seat, 0.0],
                axial_n,
                tension_n,
            }
        })
        .collect();
    assemble(rim, &bars)
}

/// The six wheels of the comparison with finite-element codes, and their names.
pub(crate) fn compared() -> Vec<(&'static str, Wheel)> {
    vec![
        ("symmetric", n1(1000.0)),
        ("dished", dished_rear(1100.0)),
        ("two-to-one-radial", two_to_one(1100.0)),
        ("mixed-crosses", mixed_crosses(1000.0)),
        ("paired", paired(1100.0)),
        ("offset-seats", offset_rear(1100.0)),
    ]
}

/// How the spokes of one side are laid.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Half {
    /// Flange: hole circle radius and distance from the centre, both positive.
    pub(crate) flange: [f64; 2],
    /// Distance of the seats from the rim's plane, positive to the right.
    pub(crate) seat_offset: f64,
    /// Swing of the flange hole against the seat, alternately forward and back.
    pub(crate) swing: f64,
    pub(crate) axial_n: f64,
}

/// A wheel with seats of the given sides and angles (degrees), balanced with the right side's mean stated.
pub(crate) fn laced(
    rim: Constants,
    seat_radius: f64,
    right: Half,
    left: Half,
    seats: &[(Side, f64)],
    right_n: f64,
) -> Wheel {
    try_laced(rim, seat_radius, right, left, seats, right_n).expect("a wheel that balances")
}

/// The same, none when nothing balances.
pub(crate) fn try_laced(
    rim: Constants,
    seat_radius: f64,
    right: Half,
    left: Half,
    seats: &[(Side, f64)],
    right_n: f64,
) -> Option<Wheel> {
    let mut laid = [0, 0];
    let bars: Vec<_> = seats
        .iter()
        .map(|&(side, degrees)| {
            let half = if side == Side::Right { right } else { left };
            let turn = &mut laid[usize::from(side == Side::Left)];
            let swing = if *turn % 2 == 0 {
                half.swing
            } else {
                -half.swing
            };
            *turn += 1;
            let seat = degrees.to_radians();
            Bar {
                side,
                hub: [half.flange[0], seat + swing, side.sign() * half.flange[1]],
                seat: [seat_radius, seat, half.seat_offset],
                axial_n: half.axial_n,
                tension_n: 0.0,
            }
        })
        .collect();
    let mut wheel = assemble(rim, &bars);
    for spoke in &mut wheel.spokes {
        spoke.tension = (spoke.side == Side::Right).then(|| Force::n(right_n));
    }
    let (tensions, _) = mechanics::self_stress::self_stress(&wheel).ok()?;
    for (spoke, tension) in wheel.spokes.iter_mut().zip(tensions) {
        spoke.tension = Some(tension);
    }
    Some(wheel)
}

/// Seats evenly round the rim, right first, sides in turn.
fn alternate(spokes: u32) -> Vec<(Side, f64)> {
    let side = |place| {
        if place % 2 == 0 {
            Side::Right
        } else {
            Side::Left
        }
    };
    (0..spokes)
        .map(|place| (side(place), 360.0 * f64::from(place) / f64::from(spokes)))
        .collect()
}

/// 32 spokes, three times crossed, unequal flanges.
pub(crate) fn dished_rear(right_n: f64) -> Wheel {
    let swing = TAU * 3.0 / 16.0;
    let right = Half {
        flange: [0.0225, 0.018],
        seat_offset: 0.0,
        swing,
        axial_n: wire_n(195e9, 1.8e-3),
    };
    let left = Half {
        flange: [0.0225, 0.036],
        seat_offset: 0.0,
        swing,
        axial_n: wire_n(195e9, 1.8e-3),
    };
    laced(
        Constants(0.303, 7.5e6, 200.0, 160.0, 50.0),
        0.303,
        right,
        left,
        &alternate(32),
        right_n,
    )
}

/// 24 spokes all radial, two on the right for one on the left, bladed; the rim carries some bending.
pub(crate) fn two_to_one(right_n: f64) -> Wheel {
    let right = Half {
        flange: [0.026, 0.0175],
        seat_offset: 0.0,
        swing: 0.0,
        axial_n: 4.2e5,
    };
    let left = Half {
        flange: [0.021, 0.035],
        seat_offset: 0.0,
        swing: 0.0,
        axial_n: 4.2e5,
    };
    let side = |place| {
        if place % 3 == 1 {
            Side::Left
        } else {
            Side::Right
        }
    };
    let seats: Vec<_> = (0..24)
        .map(|place| (side(place), 15.0 * f64::from(place)))
        .collect();
    laced(
        Constants(0.298, 9.0e6, 320.0, 260.0, 90.0),
        0.298,
        right,
        left,
        &seats,
        right_n,
    )
}

/// 28 spokes, right twice crossed, left radial, two kinds of wire.
pub(crate) fn mixed_crosses(right_n: f64) -> Wheel {
    let right = Half {
        flange: [0.024, 0.019],
        seat_offset: 0.0,
        swing: TAU * 2.0 / 14.0,
        axial_n: wire_n(195e9, 2.0e-3),
    };
    let left = Half {
        flange: [0.020, 0.036],
        seat_offset: 0.0,
        swing: 0.0,
        axial_n: wire_n(195e9, 1.6e-3),
    };
    laced(
        Constants(0.305, 8.2e6, 150.0, 210.0, 70.0),
        0.305,
        right,
        left,
        &alternate(28),
        right_n,
    )
}

/// 20 spokes in pairs 4° apart, so long gaps of bare rim between.
pub(crate) fn paired(right_n: f64) -> Wheel {
    let right = Half {
        flange: [0.022, 0.020],
        seat_offset: 0.0,
        swing: TAU / 10.0,
        axial_n: 3.6e5,
    };
    let left = Half {
        flange: [0.020, 0.033],
        seat_offset: 0.0,
        swing: TAU / 10.0,
        axial_n: 3.6e5,
    };
    let seats: Vec<_> = (0..10)
        .flat_map(|pair| {
            let middle = 36.0 * f64::from(pair);
            [(Side::Right, middle + 1.0), (Side::Left, middle + 5.0)]
        })
        .collect();
    laced(
        Constants(0.300, 9.5e6, 420.0, 300.0, 160.0),
        0.300,
        right,
        left,
        &seats,
        right_n,
    )
}

/// 28 spokes, twice crossed, seats 2.5 mm off the rim's plane toward the other side and 8 mm within its centroid.
pub(crate) fn offset_rear(right_n: f64) -> Wheel {
    let swing = TAU * 2.0 / 14.0;
    let right = Half {
        flange: [0.0225, 0.018],
        seat_offset: -0.0025,
        swing,
        axial_n: wire_n(195e9, 1.8e-3),
    };
    let left = Half {
        flange: [0.0225, 0.036],
        seat_offset: -0.0025,
        swing,
        axial_n: wire_n(195e9, 1.8e-3),
    };
    laced(
        Constants(0.304, 7.5e6, 180.0, 190.0, 60.0),
        0.296,
        right,
        left,
        &alternate(28),
        right_n,
    )
}
