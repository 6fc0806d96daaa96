//! Virtual wheels whose truth is known: hidden rim shapes and length errors, noisy readings, turns that come out off.
#![allow(dead_code, reason = "every test file takes what it needs")]

#[path = "../../../mechanics/tests/wheels/mod.rs"]
pub(crate) mod wheels;

use mechanics::{State, Structure};
use metrology::lap::RunoutPoint;
use quantity::draws::Draws;
use quantity::{Angle, Force, Length};
use std::f64::consts::TAU;
use std::rc::Rc;
use truing::estimator::{PITCH_MM, TensionReading};
use truing::{Mean, Readings};
use wheel::{Side, SpokeIndex, Wheel};
use wheels::{Constants, Half, laced, wire_n};

pub(crate) mod baselines;
pub(crate) mod trued;

/// The five kinds of wheel.
pub(crate) fn kinds() -> Vec<(&'static str, Wheel)> {
    vec![
        ("symmetric 32", symmetric()),
        ("dished 28", wheels::offset_rear(1100.0)),
        ("two to one 24", wheels::two_to_one(1100.0)),
        ("two to one 21", two_to_one_21()),
        ("slender 36", slender()),
    ]
}

fn in_turn(spokes: u32, sides: &[Side]) -> Vec<(Side, f64)> {
    (0..spokes)
        .map(|place| {
            (
                sides[place as usize % sides.len()],
                360.0 * f64::from(place) / f64::from(spokes),
            )
        })
        .collect()
}

fn symmetric() -> Wheel {
    evenly(32)
}

/// A symmetric wheel, laced as far crossed as its spokes allow, three times at the most.
pub(crate) fn evenly(spokes: u32) -> Wheel {
    let crosses = f64::from((spokes / 9).min(3));
    let half = Half {
        flange: [0.0225, 0.030],
        seat_offset: 0.0,
        swing: TAU * crosses / f64::from(spokes / 2),
        axial_n: wire_n(195e9, 1.8e-3),
    };
    let seats = in_turn(spokes, &[Side::Right, Side::Left]);
    laced(
        Constants(0.301, 8.0e6, 180.0, 210.0, 70.0),
        0.298,
        half,
        half,
        &seats,
        1000.0,
    )
}

fn two_to_one_21() -> Wheel {
    let right = Half {
        flange: [0.024, 0.0175],
        seat_offset: 0.0,
        swing: TAU * 2.0 / 14.0,
        axial_n: 4.4e5,
    };
    let left = Half {
        flange: [0.021, 0.036],
        seat_offset: 0.0,
        swing: 0.0,
        axial_n: 4.0e5,
    };
    let seats = in_turn(21, &[Side::Right, Side::Left, Side::Right]);
    laced(
        Constants(0.300, 9.5e6, 300.0, 260.0, 110.0),
        0.295,
        right,
        left,
        &seats,
        1150.0,
    )
}

fn slender() -> Wheel {
    let half = Half {
        flange: [0.0225, 0.030],
        seat_offset: 0.0,
        swing: TAU * 3.0 / 18.0,
        axial_n: wire_n(195e9, 2.0e-3),
    };
    let seats = in_turn(36, &[Side::Right, Side::Left]);
    laced(
        Constants(0.306, 4.5e6, 55.0, 90.0, 18.0),
        0.306,
        half,
        half,
        &seats,
        900.0,
    )
}

/// Amplitudes of waves 1 to 8, cosine and sine.
type Waves = [[f64; 2]; 8];

/// A wheel on the stand with all that its mechanic does not know.
#[derive(Clone)]
pub(crate) struct Hidden {
    pub(crate) wheel: Wheel,
    pub(crate) mean: Mean,
    even_n: Vec<f64>,
    lateral_shape: Waves,
    radial_shape: Waves,
    /// How much shorter than in the even wheel each spoke is, mm.
    shortened_mm: Vec<f64>,
    /// Places at which the truth is judged: every seat and three more in every gap.
    places: Vec<f64>,
    pub(crate) influence: mechanics::influence::Influence,
    seats: Vec<f64>,
    /// Behind the wheel whose shape is followed; without it the turns act by the influence.
    followed: Option<Rc<Structure>>,
}

/// The truth.
pub(crate) struct Truth {
    pub(crate) tension_n: Vec<f64>,
    pub(crate) lateral_mm: Vec<f64>,
    pub(crate) radial_mm: Vec<f64>,
}

impl Truth {
    pub(crate) fn lateral_fir(&self) -> f64 {
        fir(&self.lateral_mm)
    }
    pub(crate) fn radial_fir(&self) -> f64 {
        fir(&self.radial_mm)
    }
    /// Of the worse side, per cent of its mean.
    pub(crate) fn sd_percent(&self, wheel: &Wheel) -> f64 {
        Side::BOTH
            .map(|side| {
                let members: Vec<f64> = of_side(wheel, &self.tension_n, side);
                let mean = members.iter().sum::<f64>() / members.len() as f64;
                let squares: f64 = members.iter().map(|t| (t / mean - 1.0).powi(2)).sum();
                100.0 * (squares / (members.len() as f64 - 1.0)).sqrt()
            })
            .into_iter()
            .fold(0.0, f64::max)
    }
    pub(crate) fn mean_n(&self, wheel: &Wheel, side: Side) -> f64 {
        let members = of_side(wheel, &self.tension_n, side);
        members.iter().sum::<f64>() / members.len() as f64
    }
}

fn of_side(wheel: &Wheel, of: &[f64], side: Side) -> Vec<f64> {
    wheel
        .spokes
        .iter()
        .zip(of)
        .filter(|(spoke, _)| spoke.side == side)
        .map(|(_, t)| *t)
        .collect()
}

pub(crate) fn fir(of: &[f64]) -> f64 {
    let most = of.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = of.iter().copied().fold(f64::INFINITY, f64::min);
    most - least
}

fn wave(of: &Waves, angle: f64) -> f64 {
    of.iter()
        .enumerate()
        .map(|(place, [cosine, sine])| {
            let (s, c) = ((place + 1) as f64 * angle).sin_cos();
            cosine * c + sine * s
        })
        .sum()
}

/// Waves 1 to 8 that fall as 1/n, scaled to a peak.
fn waves(draws: &mut Draws, peak_mm: f64) -> Waves {
    let mut all: Waves = std::array::from_fn(|place| {
        let phase = TAU * draws.unit();
        let amplitude = 1.0 / (place + 1) as f64;
        [amplitude * phase.cos(), amplitude * phase.sin()]
    });
    let peak = (0..720)
        .map(|deg| wave(&all, TAU * f64::from(deg) / 720.0).abs())
        .fold(0.0, f64::max);
    for one in all.iter_mut().flatten() {
        *one *= peak_mm / peak;
    }
    all
}

impl Hidden {
    /// A wheel with a rim of these peaks each way, and lengths that make tension uneven by 10 to 20 %.
    pub(crate) fn new(wheel: &Wheel, lateral_mm: f64, radial_mm: f64, seed: u64) -> Self {
        let mut draws = Draws::new(seed);
        let (structure, _) =
            Structure::about(wheel, State::Tensioned).expect("a wheel that stands");
        let seats: Vec<f64> = wheel
            .spokes
            .iter()
            .map(|spoke| spoke.seat_angle().to_rad())
            .collect();
        let places: Vec<f64> = (0..seats.len())
            .flat_map(|spoke| {
                let ahead = (seats[(spoke + 1) % seats.len()] - seats[spoke]).rem_euclid(TAU);
                (0..4).map(move |part| (spoke, ahead * f64::from(part) / 4.0))
            })
            .map(|(spoke, ahead)| seats[spoke] + ahead)
            .collect();
        let asked: Vec<Angle> = places.iter().map(|&place| Angle::rad(place)).collect();
        let influence = structure.influence(&asked).expect("an influence");
        let mut hidden = Self {
            mean: Mean {
                side: Side::Right,
                tension: wheel
                    .spokes
                    .iter()
                    .find(|s| s.side == Side::Right)
                    .and_then(|s| s.tension)
                    .expect("tension"),
            },
            even_n: wheel
                .spokes
                .iter()
                .map(|spoke| spoke.tension.expect("tension").to_n())
                .collect(),
            lateral_shape: waves(&mut draws, lateral_mm),
            radial_shape: waves(&mut draws, radial_mm),
            shortened_mm: vec![0.0; seats.len()],
            wheel: wheel.clone(),
            places,
            influence,
            seats,
            followed: None,
        };
        let wanted = 10.0 + 10.0 * draws.unit();
        let off: Vec<f64> = hidden.seats.iter().map(|_| draws.normal()).collect();
        hidden.shortened_mm.clone_from(&off);
        let sd = hidden.truth().sd_percent(wheel);
        for (shortened, off) in hidden.shortened_mm.iter_mut().zip(off) {
            *shortened = off * wanted / sd;
        }
        hidden
    }

    /// The same wheel with its loaded shape followed, whatever its lengths do.
    pub(crate) fn followed(self) -> Self {
        let (structure, _) =
            Structure::about(&self.wheel, State::Tensioned).expect("a wheel that stands");
        Self {
            followed: Some(Rc::new(structure)),
            ..self
        }
    }

    /// The same wheel with this share of its length errors.
    pub(crate) fn with_lengths(mut self, share: f64) -> Self {
        for shortened in &mut self.shortened_mm {
            *shortened *= share;
        }
        self
    }

    /// The same wheel as its influence has it.
    pub(crate) fn by_influence(&self) -> Self {
        Self {
            followed: None,
            ..self.clone()
        }
    }

    fn shorter(&self) -> Vec<Length> {
        self.shortened_mm.iter().map(|&mm| Length::mm(mm)).collect()
    }

    pub(crate) fn truth(&self) -> Truth {
        let angles: Vec<Angle> = self.places.iter().map(|&place| Angle::rad(place)).collect();
        let with_shape = |moved_mm: Vec<f64>, shape: &Waves| {
            let places = self.places.iter().zip(moved_mm);
            places
                .map(|(&place, moved)| wave(shape, place) + moved)
                .collect()
        };
        let (tension_n, lateral_mm, radial_mm) = match &self.followed {
            Some(structure) => {
                let now = structure
                    .turned(&self.shorter(), &angles)
                    .expect("a wheel that stands");
                (now.tension_n, now.lateral_mm, now.radial_mm)
            }
            None => {
                let sums = |rows: &[Vec<f64>]| rows.iter().map(|row| self.sum(row)).collect();
                let influence = &self.influence;
                let (lateral, radial) = (
                    sums(&influence.lateral_mm_per_mm),
                    sums(&influence.radial_mm_per_mm),
                );
                (self.tensions_n(), lateral, radial)
            }
        };
        Truth {
            tension_n,
            lateral_mm: with_shape(lateral_mm, &self.lateral_shape),
            radial_mm: with_shape(radial_mm, &self.radial_shape),
        }
    }

    fn sum(&self, row: &[f64]) -> f64 {
        row.iter().zip(&self.shortened_mm).map(|(a, b)| a * b).sum()
    }

    /// The tensions alone.
    pub(crate) fn tensions_n(&self) -> Vec<f64> {
        match &self.followed {
            Some(structure) => {
                let now = structure.turned(&self.shorter(), &[]);
                now.expect("a wheel that stands").tension_n
            }
            None => {
                let rows = self.influence.tension_n_per_mm.iter().zip(&self.even_n);
                rows.map(|(row, even)| even + self.sum(row)).collect()
            }
        }
    }

    /// Readings of every spoke, and of the rim at every seat.
    pub(crate) fn read(&self, draws: &mut Draws, gauge: f64, dial_mm: f64) -> Readings {
        let truth = self.truth();
        let mut dial = |of: &[f64]| -> Vec<RunoutPoint> {
            let zero = 0.3 * draws.normal();
            self.seats
                .iter()
                .enumerate()
                .map(|(spoke, &seat)| RunoutPoint {
                    at: Angle::rad(seat),
                    displacement: Length::mm(of[4 * spoke] + zero + dial_mm * draws.normal()),
                })
                .collect()
        };
        let (lateral, radial) = (dial(&truth.lateral_mm), dial(&truth.radial_mm));
        let tensions = truth
            .tension_n
            .iter()
            .enumerate()
            .map(|(spoke, &tension)| TensionReading {
                spoke: SpokeIndex(spoke),
                force: Force::n(tension * (1.0 + gauge * draws.normal())),
                u: None,
            })
            .collect();
        Readings {
            tensions,
            lateral,
            radial,
            dish: None,
        }
    }

    /// Turns one nipple; it comes out off by this share of it.
    pub(crate) fn turn(&mut self, spoke: usize, turns: f64, off: f64) {
        self.shortened_mm[spoke] += PITCH_MM * turns * (1.0 + off);
    }
}
