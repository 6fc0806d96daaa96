//! What the rounds so far taught: the rim's own shape, every length, the gain of a turn, the noises.
//!
//! Linear and Gaussian (theory §7.2). The unknowns are the shortening of every spoke from the even wheel, the rim's
//! shape as harmonics, and for each spoke kind how far a turn comes out otherwise than its thread says. Readings and
//! turns of all rounds are gone through anew each time, so that whatever a person corrects in them counts.

mod filter;
mod hop;
mod layout;
mod readings;
mod unmoved;

pub use readings::{Noise, Readings, Round, TensionReading};

use crate::error::Error;
use crate::response::{Beyond, Response};
pub(crate) use filter::variances;
use filter::{Filter, Scales};
use layout::Layout;
use nalgebra::{DMatrix, DVector};
use quantity::{Angle, Length};
use wheel::{KindIndex, SpokeIndex};

/// One turn of a spoke's thread, mm: 56 threads to the inch.
///
/// Source: DIN 79012, the spoke threads FG 2, FG 2.3 and FG 2.6.
pub const PITCH_MM: f64 = 25.4 / 56.0;

/// Passes through the rounds: noises and scales of one are what the next rests on. They stand after three.
const PASSES: usize = 4;

/// As many where what eq. 7.1 leaves out still moves.
const MOST_PASSES: usize = 8;

/// Passes in which the second order is taken to be all shown, where they begin so.
const HELD_PASSES: usize = 4;

/// Shortenings that moved by less leave eq. 7.1 as good as it was, mm.
const SAME_MM: f64 = 2e-3;

/// Runout that the smooth shape misses by more than this is a step in the rim, mm.
///
/// Common practice, no source: a hop of a fifth of a millimetre at the joint is seen and left alone.
const HOP_MM: f64 = 0.12;

/// Dial noises by which a step must stand out.
const HOP_NOISES: f64 = 5.0;

/// What is known of a wheel on the stand.
#[derive(Debug, Clone)]
pub struct Estimate {
    pub(crate) layout: Layout,
    /// Mean of the unknowns, mm and shares.
    pub(crate) mean: DVector<f64>,
    pub(crate) covariance: DMatrix<f64>,
    /// Standard uncertainty of one nipple's turns, as a share.
    pub(crate) turn_noise: f64,
    /// What eq. 7.1 leaves out of the wheel as it stands.
    pub(crate) beyond: Beyond,
    /// Full indicator reading of the last laps, to the side and in and out, mm: as read, noise and all.
    pub(crate) read_fir_mm: [Option<f64>; 2],
    /// Whether any nipple was turned in these rounds.
    pub(crate) was_turned: bool,
    /// What was learned on the way.
    pub learned: Learned,
    /// What the readings could not tell.
    pub unknown: Vec<Unknown>,
}

/// What the rounds taught beside the wheel's state.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Learned {
    /// For each spoke kind: what a whole turn shortens the spoke by, in turns of its thread.
    pub gains: Vec<Gain>,
    /// Standard uncertainty of a gauge reading, as a share, with the number of readings it rests on.
    pub gauge: f64,
    /// Standard uncertainty of a dial reading.
    pub dial: Length,
    /// Spokes whose nipple was turned and whose length did not follow.
    pub unmoved: Vec<Unmoved>,
    /// Places where the rim steps out of its smooth shape.
    pub hops: Vec<Hop>,
}

/// What a turn of one kind's nipples comes out at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// The kind.
    pub kind: KindIndex,
    /// Share of a turn that reaches the spoke.
    pub share: f64,
    /// Its standard uncertainty.
    pub u: f64,
}

/// A nipple that was turned to less effect than it should have had.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unmoved {
    /// Its spoke.
    pub spoke: SpokeIndex,
    /// The round after which it was turned, from 1.
    pub round: usize,
    /// Turns asked.
    pub turned: f64,
    /// Share of them that came through.
    pub share: f64,
    /// Its standard uncertainty.
    pub u: f64,
}

/// A step of the rim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hop {
    /// Where.
    pub at: Angle,
    /// By how much the reading there stands out of the smooth shape.
    pub by: Length,
    /// Sideways; in and out otherwise.
    pub sideways: bool,
}

/// What cannot be known from the readings there are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unknown {
    /// No tension was read: evenness and level are only what runout tells of them.
    Tension,
    /// These spokes' tension was never read.
    TensionOf(Vec<SpokeIndex>),
    /// No runout to the side was read.
    Lateral,
    /// No runout in and out was read.
    Radial,
    /// Too few places to tell the rim's shape between them.
    FewPlaces {
        /// Sideways; in and out otherwise.
        sideways: bool,
        /// How many were read.
        places: usize,
    },
    /// The dish was not measured: it is left where it is.
    Dish,
    /// No shape of the wheel was found at the lengths that the readings ask for: what is of the second order is left
    /// out of everything.
    Shape,
}

impl Unknown {
    /// Whether it leaves a part of the class unjudged.
    #[must_use]
    pub const fn is_of_the_class(&self) -> bool {
        match self {
            Self::Tension
            | Self::TensionOf(_)
            | Self::Lateral
            | Self::Radial
            | Self::FewPlaces { .. }
            | Self::Dish => true,
            Self::Shape => false,
        }
    }
}

/// Fewest places that carry a shape: two to each of four waves.
const FEW_PLACES: usize = 8;

impl Estimate {
    /// What all rounds together say; the last one's `turned` is ignored.
    ///
    /// # Errors
    /// [`Error::NothingRead`], and readings that are no numbers or of no spoke or place.
    pub fn of(response: &Response, rounds: &[Round], noise: &Noise) -> Result<Self, Error> {
        noise.check()?;
        for round in rounds {
            round.check(response)?;
        }
        if rounds.iter().all(|round| round.readings.is_empty()) {
            return Err(Error::NothingRead);
        }
        let layout = Layout::of(response);
        let mut unknown = unknown(response, rounds);
        // Lengths that no tension tells of may be absurd, and so would be the shape that follows them.
        let is_told = !unknown.contains(&Unknown::Tension);
        let settled = |held| settled(response, rounds, noise, is_told, held);
        let mut found = settled(0)?;
        if is_told {
            // What is left out changes with the lengths found by it: beginning elsewhere it may settle elsewhere.
            let other = settled(HELD_PASSES)?;
            if other.filter.unlikely < found.filter.unlikely {
                found = other;
            }
        }
        let Settled {
            filter,
            scales,
            beyond,
        } = found;
        let gains = (0..layout.kinds).map(|kind| {
            let at = layout.gain(kind);
            Gain {
                kind: KindIndex(kind),
                share: 1.0 + filter.mean[at],
                u: filter.covariance[(at, at)].max(0.0).sqrt(),
            }
        });
        if response.is_tensioned() && is_told && !beyond.is_found {
            unknown.push(Unknown::Shape);
        }
        let learned = Learned {
            gains: gains.collect(),
            gauge: scales.gauge,
            dial: Length::mm(scales.dial_mm),
            unmoved: filter.unmoved.clone(),
            hops: filter.hops(HOP_MM.max(HOP_NOISES * noise.dial.to_mm()), &beyond),
        };
        Ok(Self {
            layout,
            mean: filter.mean,
            covariance: filter.covariance,
            turn_noise: noise.turn,
            beyond,
            read_fir_mm: [true, false].map(|sideways| read_fir_mm(rounds, sideways)),
            was_turned: filter.was_turned,
            learned,
            unknown,
        })
    }

    /// The share of what eq. 7.1 leaves out that the wheel shows.
    pub(crate) fn share(&self) -> f64 {
        1.0 + self.mean[self.layout.share()]
    }

    /// The largest standard uncertainty of the share of a turn that reaches a spoke.
    pub(crate) fn gain_doubt(&self) -> f64 {
        let gains = self.learned.gains.iter();
        gains.map(|gain| gain.u).fold(0.0, f64::max)
    }

    /// The share of a turn that reaches a spoke.
    pub(crate) fn gain_of(&self, response: &Response, spoke: usize) -> f64 {
        1.0 + self.mean[self.layout.gain(response.kinds[spoke].0)]
    }
}

/// Passes through the rounds that have come to stand.
struct Settled<'a> {
    filter: Filter<'a>,
    scales: Scales,
    /// What eq. 7.1 leaves out of the wheel as it stands.
    beyond: Beyond,
}

/// Passes through the rounds until what is left out stands; in the first ones after that by eq. 7.1 alone, as many as
/// `held`, the second order is taken to be all shown.
fn settled<'a>(
    response: &'a Response,
    rounds: &'a [Round],
    noise: &Noise,
    is_told: bool,
    held: usize,
) -> Result<Settled<'a>, Error> {
    let layout = Layout::of(response);
    let mut scales = Scales::of(noise);
    let mut beyond = vec![Beyond::default(); rounds.len()];
    let mut filter = Filter::through(response, layout, rounds, scales, &beyond)?;
    for pass in 1..held + MOST_PASSES {
        scales = filter.scales(&Scales::of(noise));
        if pass <= held {
            scales = scales.all_shown();
        }
        let is_followed = is_told && follow(response, &filter.stood, &mut beyond);
        if held + PASSES <= pass && !is_followed {
            break;
        }
        filter = Filter::through(response, layout, rounds, scales, &beyond)?;
    }
    Ok(Settled {
        filter,
        scales,
        beyond: beyond.pop().unwrap_or_default(),
    })
}

/// Asks anew what eq. 7.1 leaves out in every round whose shortenings found have moved: whether there was one.
fn follow(response: &Response, stood: &[Vec<f64>], beyond: &mut [Beyond]) -> bool {
    let mut any = false;
    for (shorter_mm, beyond) in stood.iter().zip(beyond) {
        let moved = shorter_mm.iter().zip(&beyond.shorter_mm);
        let is_known = !beyond.shorter_mm.is_empty()
            && moved.fold(0.0_f64, |most, (now, then)| most.max((now - then).abs())) < SAME_MM;
        if !is_known {
            *beyond = response.beyond(shorter_mm);
            any = true;
        }
    }
    any
}

/// Most less least of the last lap there is, once it went round.
fn read_fir_mm(rounds: &[Round], sideways: bool) -> Option<f64> {
    let last = rounds.last()?.readings.points(sideways);
    let read: Vec<f64> = last
        .iter()
        .map(|point| point.displacement.to_mm())
        .collect();
    (FEW_PLACES <= read.len()).then(|| crate::objective::fir(&read))
}

fn unknown(response: &Response, rounds: &[Round]) -> Vec<Unknown> {
    let mut unknown = Vec::new();
    let read = |spoke: &usize| {
        rounds.iter().any(|round| {
            round
                .readings
                .tensions
                .iter()
                .any(|one| one.spoke.0 == *spoke)
        })
    };
    let unread: Vec<SpokeIndex> = (0..response.spokes())
        .filter(|spoke| !read(spoke))
        .map(SpokeIndex)
        .collect();
    if unread.len() == response.spokes() {
        unknown.push(Unknown::Tension);
    } else if !unread.is_empty() {
        unknown.push(Unknown::TensionOf(unread));
    }
    for sideways in [true, false] {
        let places = rounds
            .iter()
            .map(|round| round.readings.points(sideways).len())
            .max();
        match places.unwrap_or(0) {
            0 if sideways => unknown.push(Unknown::Lateral),
            0 => unknown.push(Unknown::Radial),
            places if places < FEW_PLACES => unknown.push(Unknown::FewPlaces { sideways, places }),
            _ => {}
        }
    }
    if rounds.iter().all(|round| round.readings.dish.is_none()) {
        unknown.push(Unknown::Dish);
    }
    unknown
}
