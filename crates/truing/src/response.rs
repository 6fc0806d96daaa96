//! How a wheel answers its nipples, about the even state in which it is to end.

use crate::error::Error;
use crate::objective::add;
use mechanics::self_stress::self_stress;
use mechanics::{Finding, State, Structure};
use quantity::{Angle, Force, Length};
use std::f64::consts::TAU;
use wheel::{KindIndex, Side, Wheel};

/// Angles closer than this are one place of the rim, in radians.
const SAME_PLACE: f64 = 1e-6;

/// The mean tension that one side is to have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mean {
    /// The side whose mean is stated; the other follows by the hub's statics.
    pub side: Side,
    /// Its mean tension.
    pub tension: Force,
}

/// Spokes that are compared with one another: one side, one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Their side.
    pub side: Side,
    /// Their kind.
    pub kind: KindIndex,
    /// Their places in the wheel's order.
    pub spokes: Vec<usize>,
    /// Their mean tension in the even state, N.
    pub even_n: f64,
}

/// Tensions and rim as the followed shape has them, less what eq. 7.1 says of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Beyond {
    /// For the shortenings of which it was asked, mm.
    pub(crate) shorter_mm: Vec<f64>,
    /// Whether the shape was found; all else is zero where it was not.
    pub(crate) is_found: bool,
    pub(crate) tension_n: Vec<f64>,
    /// At every place.
    pub(crate) lateral_mm: Vec<f64>,
    pub(crate) radial_mm: Vec<f64>,
}

impl Beyond {
    /// Nothing, where the shape was not found.
    fn none(response: &Response, shorter_mm: &[f64]) -> Self {
        Self {
            shorter_mm: shorter_mm.to_vec(),
            is_found: false,
            tension_n: vec![0.0; response.spokes()],
            lateral_mm: vec![0.0; response.places.len()],
            radial_mm: vec![0.0; response.places.len()],
        }
    }

    /// How much less another one is; nothing where either was not found.
    pub(crate) fn less(mut self, response: &Response, other: &Self) -> Self {
        if !(self.is_found && other.is_found) {
            return Self::none(response, &other.shorter_mm);
        }
        add(&mut self.tension_n, &other.tension_n, -1.0);
        add(&mut self.lateral_mm, &other.lateral_mm, -1.0);
        add(&mut self.radial_mm, &other.radial_mm, -1.0);
        self
    }

    /// Of a tension, N; nothing where it was not asked.
    pub(crate) fn of_tension(&self, spoke: usize) -> f64 {
        self.tension_n.get(spoke).copied().unwrap_or(0.0)
    }

    /// Of the rim's place to the side, or in and out, mm; nothing where it was not asked.
    pub(crate) fn of_rim(&self, place: usize, sideways: bool) -> f64 {
        let rim_mm = if sideways {
            &self.lateral_mm
        } else {
            &self.radial_mm
        };
        rim_mm.get(place).copied().unwrap_or(0.0)
    }
}

/// Tensions and rim of the even wheel, and what shortening each spoke by a millimetre changes (eq. 7.1).
#[derive(Debug, Clone)]
pub struct Response {
    structure: Structure,
    /// Places of the rim in radians: first those at which it is judged, then the others that were asked.
    pub(crate) places: Vec<f64>,
    /// How many of them it is judged at: every seat and the middle of every gap.
    pub(crate) stations: usize,
    /// Tension of each spoke in the even state, N.
    pub(crate) even_n: Vec<f64>,
    /// Spoke by spoke: on every tension.
    pub(crate) tension_n: Vec<Vec<f64>>,
    /// Spoke by spoke: on the rim's place to the right, mm, at every place.
    pub(crate) lateral_mm: Vec<Vec<f64>>,
    /// Spoke by spoke: on the rim's place outward, mm, at every place.
    pub(crate) radial_mm: Vec<Vec<f64>>,
    pub(crate) groups: Vec<Group>,
    pub(crate) kinds: Vec<KindIndex>,
    pub(crate) sides: Vec<Side>,
    /// The seat of every spoke, in radians.
    pub(crate) seats: Vec<f64>,
}

impl Response {
    /// The response of a wheel about the even tensions of this mean, also at the places measured.
    ///
    /// Without a mean the wheel's own stated tensions serve; without those the slack wheel's answer, and every
    /// even tension is zero.
    ///
    /// # Errors
    /// [`Error::Structure`] when the wheel has no structural answer.
    pub fn about(
        wheel: &Wheel,
        mean: Option<Mean>,
        measured: impl IntoIterator<Item = Angle>,
    ) -> Result<(Self, Vec<Finding>), Error> {
        let mut even = wheel.clone();
        if let Some(mean) = mean {
            for spoke in &mut even.spokes {
                spoke.tension = (spoke.side == mean.side).then_some(mean.tension);
            }
        }
        let has_tension = even
            .spokes
            .iter()
            .any(|spoke| spoke.tension.is_some_and(|t| t.to_n() > 0.0));
        let state = if has_tension {
            State::Tensioned
        } else {
            State::ZeroTension
        };
        if has_tension {
            let (tensions, _) = self_stress(&even)?;
            for (spoke, tension) in even.spokes.iter_mut().zip(tensions) {
                spoke.tension = Some(tension);
            }
        }
        let (structure, findings) = Structure::about(&even, state)?;
        let seats: Vec<f64> = even
            .spokes
            .iter()
            .map(|spoke| spoke.seat_angle().to_rad())
            .collect();
        let mut places = stations(&seats);
        let stations = places.len();
        for angle in measured {
            let angle = angle.to_rad().rem_euclid(TAU);
            if find(&places, angle).is_none() {
                places.push(angle);
            }
        }
        let asked: Vec<Angle> = places.iter().map(|&place| Angle::rad(place)).collect();
        let influence = structure.influence(&asked)?;
        let even_n: Vec<f64> = even
            .spokes
            .iter()
            .map(|spoke| spoke.tension.map_or(0.0, Force::to_n))
            .collect();
        let by_spoke = |rows: &[Vec<f64>]| -> Vec<Vec<f64>> {
            (0..seats.len())
                .map(|spoke| rows.iter().map(|row| row[spoke]).collect())
                .collect()
        };
        let groups = wheel.groups().into_iter().map(|(side, kind, spokes)| {
            let spokes: Vec<usize> = spokes.iter().map(|spoke| spoke.0).collect();
            let sum: f64 = spokes.iter().map(|&spoke| even_n[spoke]).sum();
            Group {
                side,
                kind,
                even_n: sum / spokes.len() as f64,
                spokes,
            }
        });
        let response = Self {
            structure,
            groups: groups.collect(),
            tension_n: by_spoke(&influence.tension_n_per_mm),
            lateral_mm: by_spoke(&influence.lateral_mm_per_mm),
            radial_mm: by_spoke(&influence.radial_mm_per_mm),
            kinds: wheel.spokes.iter().map(|spoke| spoke.kind).collect(),
            sides: wheel.spokes.iter().map(|spoke| spoke.side).collect(),
            places,
            stations,
            even_n,
            seats,
        };
        Ok((response, findings))
    }

    /// What eq. 7.1 leaves out when the spokes are this much shorter than in the even wheel; nothing where the shape is
    /// not found: lengths that nobody knows may be absurd.
    pub(crate) fn beyond(&self, shorter_mm: &[f64]) -> Beyond {
        self.followed(shorter_mm)
            .unwrap_or_else(|| Beyond::none(self, shorter_mm))
    }

    /// Every tension with the spokes this much shorter, the shape followed; none where it is not found.
    pub(crate) fn followed_n(&self, shorter_mm: &[f64]) -> Option<Vec<f64>> {
        let turned = self.structure.turned(&lengths(shorter_mm), &[]);
        turned.ok().map(|turned| turned.tension_n)
    }

    fn followed(&self, shorter_mm: &[f64]) -> Option<Beyond> {
        let asked: Vec<Angle> = self.places.iter().map(|&place| Angle::rad(place)).collect();
        let shorter = lengths(shorter_mm);
        let mut turned = self.structure.turned(&shorter, &asked).ok()?;
        let take_away = |from: &mut [f64], by_spoke: &[Vec<f64>]| {
            for (of, &shorter_mm) in by_spoke.iter().zip(shorter_mm) {
                add(from, of, -shorter_mm);
            }
        };
        add(&mut turned.tension_n, &self.even_n, -1.0);
        take_away(&mut turned.tension_n, &self.tension_n);
        take_away(&mut turned.lateral_mm, &self.lateral_mm);
        take_away(&mut turned.radial_mm, &self.radial_mm);
        Some(Beyond {
            shorter_mm: shorter_mm.to_vec(),
            is_found: true,
            tension_n: turned.tension_n,
            lateral_mm: turned.lateral_mm,
            radial_mm: turned.radial_mm,
        })
    }

    /// How many spokes there are.
    #[must_use]
    pub fn spokes(&self) -> usize {
        self.even_n.len()
    }

    /// The places at which the rim is judged: seats and the middles of the gaps, in order of the seats.
    #[must_use]
    pub fn stations(&self) -> Vec<Angle> {
        self.places[..self.stations]
            .iter()
            .map(|&place| Angle::rad(place))
            .collect()
    }

    /// Tension of each spoke in the even state.
    #[must_use]
    pub fn even(&self) -> Vec<Force> {
        self.even_n
            .iter()
            .map(|&tension| Force::n(tension))
            .collect()
    }

    /// The place of an angle among those asked.
    pub(crate) fn place(&self, angle: Angle) -> Option<usize> {
        find(&self.places, angle.to_rad().rem_euclid(TAU))
    }

    /// Whether tensions mean anything here.
    pub(crate) fn is_tensioned(&self) -> bool {
        self.even_n.iter().any(|tension| *tension > 0.0)
    }
}

fn lengths(of_mm: &[f64]) -> Vec<Length> {
    of_mm.iter().map(|&mm| Length::mm(mm)).collect()
}

/// Every seat and the middle of every gap, seats that share a place once.
fn stations(seats: &[f64]) -> Vec<f64> {
    let mut places: Vec<f64> = Vec::new();
    for (spoke, &seat) in seats.iter().enumerate() {
        let ahead = (seats[(spoke + 1) % seats.len()] - seat).rem_euclid(TAU);
        for place in [seat, (seat + ahead / 2.0).rem_euclid(TAU)] {
            if find(&places, place).is_none() {
                places.push(place);
            }
        }
    }
    places
}

fn find(places: &[f64], angle: f64) -> Option<usize> {
    places.iter().position(|place| {
        let apart = (place - angle).rem_euclid(TAU);
        apart.min(TAU - apart) <= SAME_PLACE
    })
}
