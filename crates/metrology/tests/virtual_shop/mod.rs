//! A shop that exists only in the tests: true wheels, true gauges, noisy hands.
//!
//! It draws the truth from the gauge's physics and hands the tool only what a person could state.

#![allow(dead_code, reason = "each test file takes what it needs")]

use metrology::calibration::deflection::felt;
use metrology::gauge::Gauge;
use metrology::lap::{Counted, Lap, Reading, State, Taken};
use metrology::visit::{Calibration, RigPoint, ShopSettings, Visit};
use quantity::draws::Draws;
use quantity::{Angle, Force, Length, Pressure, Stiffness};
use wheel::{
    Fittings, GeometryDoubt, Head, KindIndex, Point, Role, Side, Spoke, SpokeIndex, SpokeKind,
    Wheel,
};

/// A gauge as it truly is.
pub(crate) struct TrueGauge {
    pub(crate) zero: f64,
    pub(crate) span_divisions: f64,
    pub(crate) half_span_m: f64,
    pub(crate) bending_n_m2: f64,
    /// k_s a/2.
    pub(crate) spring_n: f64,
    pub(crate) resolution: f64,
    pub(crate) repeatability: f64,
}

impl TrueGauge {
    /// Ranges: span 80 to 140 mm, EI 0.02 to 0.16 N m², spring pull 100 to 1500 N, 12 to 30 divisions
    /// between 400 and 1500 N, rising or falling, steps of 0.1 to 0.5, repeatability 0.1 to 0.4.
    pub(crate) fn drawn(draws: &mut Draws) -> Self {
        let between = |draws: &mut Draws, low: f64, high: f64| low + (high - low) * draws.unit();
        let size = between(draws, 12.0, 30.0);
        Self {
            zero: between(draws, 0.0, 10.0),
            span_divisions: if draws.unit() < 0.5 { size } else { -size },
            half_span_m: between(draws, 0.040, 0.070),
            bending_n_m2: between(draws, 0.02, 0.16),
            spring_n: between(draws, 100.0, 1500.0),
            resolution: [0.1, 0.25, 0.5][(3.0 * draws.unit()) as usize],
            repeatability: between(draws, 0.1, 0.4),
        }
    }

    /// Reading without noise: the dial is straight in the deflection F₀/(K + k_s).
    pub(crate) fn reading(&self, force_n: f64) -> f64 {
        let stiffness_n = self.bending_n_m2 / (self.half_span_m * self.half_span_m);
        let deflection = |force_n: f64| 1.0 / (felt(force_n, stiffness_n).force_n + self.spring_n);
        let share =
            (deflection(400.0) - deflection(force_n)) / (deflection(400.0) - deflection(1500.0));
        self.zero + self.span_divisions.abs() + self.span_divisions * share
    }

    /// Reading as the hand gets it: noise, then the step of the dial.
    pub(crate) fn shown(&self, force_n: f64, draws: &mut Draws) -> f64 {
        let noisy = self.reading(force_n) + self.repeatability * draws.normal();
        (noisy / self.resolution).round() * self.resolution
    }

    /// What its owner writes down: steps and repeatability to a digit, and the span when `knows_span`.
    pub(crate) fn stated(&self, knows_span: bool) -> Gauge {
        Gauge {
            label: "G".into(),
            support_span: knows_span.then(|| Length::mm((2e3 * self.half_span_m).round())),
            spring: None::<Stiffness>,
            resolution: self.resolution,
            repeatability: (self.repeatability * 20.0).round() / 20.0,
            rises_with_tension: None,
        }
    }
}

/// A wheel of crossed spokes, both sides alike in number, flanges at their own offsets.
pub(crate) fn crossed_wheel(per_side: usize, right_mm: f64, left_mm: f64, crosses: f64) -> Wheel {
    let count = 2 * per_side;
    let spokes = (0..count)
        .map(|place| {
            let side = if place % 2 == 0 {
                Side::Right
            } else {
                Side::Left
            };
            let seat_angle = Angle::deg((place as f64 + 0.5) * 360.0 / count as f64);
            let trailing = (place / 2) % 2 == 0;
            let turn = Angle::deg(crosses * 360.0 / per_side as f64);
            let hub_angle = if trailing {
                seat_angle - turn
            } else {
                seat_angle + turn
            };
            let z = match side {
                Side::Right => Length::mm(right_mm),
                Side::Left => Length::mm(-left_mm),
            };
            let at = |radius: Length, angle: Angle, z: Length| Point {
                x: radius * angle.to_rad().cos(),
                y: radius * angle.to_rad().sin(),
                z,
            };
            Spoke {
                side,
                kind: KindIndex(0),
                hub: at(Length::mm(22.0), hub_angle, z),
                seat: at(Length::mm(297.0), seat_angle, Length::ZERO),
                role: if trailing {
                    Role::Trailing
                } else {
                    Role::Leading
                },
                head: Head::Straight,
                axial_stiffness: None,
                tension: None,
            }
        })
        .collect();
    wheel_of(spokes, 1)
}

pub(crate) fn wheel_of(spokes: Vec<Spoke>, kinds: usize) -> Wheel {
    let kind = |place: usize| SpokeKind::named(format!("kind {place}"));
    Wheel {
        name: "virtual".into(),
        rim: wheel::Rim::default(),
        kinds: (0..kinds).map(kind).collect(),
        spokes,
        doubt: GeometryDoubt {
            flange_offset_u: Length::mm(0.3),
            dish: Some(Length::ZERO),
            dish_u: Length::mm(0.2),
        },
        fittings: Fittings::default(),
    }
}

pub(crate) fn visit_of(wheel: Wheel, gauge: Gauge, points: Vec<RigPoint>, laps: Vec<Lap>) -> Visit {
    let calibrations = (0..wheel.kinds.len())
        .map(|kind| Calibration {
            kind: KindIndex(kind),
            gauge: gauge.clone(),
            points_name: format!("points {kind}"),
            points: points.clone(),
        })
        .collect();
    Visit {
        wheel,
        taken: "2026-03-04T10:20:00+01:00".into(),
        by: "M".into(),
        asked: None,
        bearing_play: Some(false),
        gauges: vec![gauge],
        calibrations,
        laps,
        weighings: Vec::new(),
        limits: Vec::new(),
        pressure_limits: Vec::new(),
        claims: Vec::new(),
        advice: Vec::new(),
        not_checked: Vec::new(),
        settings: ShopSettings::default(),
    }
}

pub(crate) fn lap_of(state: State, readings: &[f64]) -> Lap {
    Lap {
        state,
        pressure: (state == State::Tyred).then(|| Pressure::bar(5.0)),
        by: None,
        start: SpokeIndex(0),
        counted: Counted::Up,
        temperature_c: None,
        taken: Taken::Readings {
            gauge: "G".into(),
            readings: readings
                .iter()
                .enumerate()
                .map(|(place, divisions)| Reading {
                    spoke: SpokeIndex(place),
                    divisions: *divisions,
                })
                .collect(),
        },
    }
}

/// Rig points at these forces, the load cell off by its own noise of `u_force_n`.
pub(crate) fn rig(
    gauge: &TrueGauge,
    forces_n: &[f64],
    u_force_n: f64,
    draws: &mut Draws,
) -> Vec<RigPoint> {
    forces_n
        .iter()
        .map(|force_n| RigPoint {
            reading: gauge.shown(*force_n, draws),
            force: Force::n(force_n + u_force_n * draws.normal()),
            loading: None,
            u_reading: None,
            u_force: Some(Force::n(u_force_n)),
        })
        .collect()
}
