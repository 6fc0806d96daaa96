//! A weight hung on the rim of a held wheel, and what its deflection says about the rim.

use crate::error::Error;
use crate::ride::RimLoad;
use crate::structure::{State, Structure};
use quantity::{Angle, Force, Length};
use wheel::{Rim, SpokeIndex, Wheel};

/// Which way the weight pulls and the dial reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    /// Within the wheel's plane, toward the hub.
    Radial,
    /// Along the axle, to the right.
    Lateral,
}

impl Way {
    /// Both ways, in the order of every pair here.
    pub const BOTH: [Self; 2] = [Self::Radial, Self::Lateral];

    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Radial => "radial",
            Self::Lateral => "lateral",
        }
    }
}

/// One weight and one reading, the hub held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hang {
    /// Which way.
    pub way: Way,
    /// The weight's pull.
    pub force: Force,
    /// Where it pulls.
    pub at: Angle,
    /// At the seat of which spoke the dial stands; at the weight when none is named.
    pub read_at: Option<SpokeIndex>,
    /// What the rim moved there, positive the way the weight pulls.
    pub moved: Length,
    /// Standard uncertainty of that.
    pub u: Length,
}

/// A pair of constants multiplied by one number, as the tests say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    /// By what.
    pub value: f64,
    /// Its relative standard uncertainty.
    pub u_relative: f64,
}

/// What the tests say of a rim.
#[derive(Debug, Clone, PartialEq)]
pub struct Hung {
    /// The rim with its constants so multiplied.
    pub rim: Rim,
    /// Of EI in the wheel's plane; none without a radial test.
    pub in_plane: Option<Factor>,
    /// Of EI out of the plane and of GJ, whose ratio is kept; none without a lateral test.
    pub lateral: Option<Factor>,
    /// Weighted sum of squares that is left.
    pub chi_squared: f64,
    /// Tests less constants found.
    pub degrees_of_freedom: usize,
}

/// Why tests say nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoFit {
    /// No test.
    #[error("no hang test is given")]
    NoTest,
    /// A number of a test means nothing.
    #[error("hang test {test}: {what} must be a number above zero")]
    Number {
        /// Its place, from 1.
        test: usize,
        /// Which number.
        what: &'static str,
    },
    /// The deflection hardly depends on the constant.
    #[error(
        "the {what} tests cannot tell the rim's {what} stiffness: their deflection is what spokes and hoop give alone. Read more finely, or at the weight itself"
    )]
    Blind {
        /// Which way.
        what: &'static str,
    },
    /// No rim within reason deflects like this.
    #[error(
        "no rim from a twentieth to twenty times as stiff as the file's deflects like this: is a weight, a place or a unit wrong?"
    )]
    OutOfReach,
    /// The wheel itself gives no answer.
    #[error(transparent)]
    Structure(#[from] Error),
}

/// Constants are believed up to this many times, and down to this part of, what the file gives.
const REACH: f64 = 20.0;

/// Steps of Gauss and Newton; from a sound start five do.
const ROUNDS: usize = 40;

/// A step this small (in the logarithm) is none.
const SETTLED: f64 = 1e-7;

/// Step of the logarithm for derivatives: errors of both kinds near 1e-6.
const DERIVATIVE_STEP: f64 = 1e-3;

/// A constant whose doubling would move every reading by less than this share of its u is not seen.
const SEEN: f64 = 0.3;

/// The rim that best explains hang tests of a wheel; eq. 8.16.
///
/// Least squares on the logarithms of two factors: of EI in the wheel's plane, and of EI out of it with GJ. The
/// wheel's other constants are taken as they are. About the tensions the wheel states; without any, both ways.
///
/// # Errors
/// See [`NoFit`].
pub fn rim_from_hangs(wheel: &Wheel, hangs: &[Hang]) -> Result<Hung, NoFit> {
    if hangs.is_empty() {
        return Err(NoFit::NoTest);
    }
    for (hang, test) in hangs.iter().zip(1..) {
        for (what, value) in [("the weight", hang.force.to_n()), ("u", hang.u.to_m())] {
            if !(value.is_finite() && 0.0 < value) {
                return Err(NoFit::Number { test, what });
            }
        }
        if !hang.moved.is_finite() {
            return Err(NoFit::Number {
                test,
                what: "the deflection",
            });
        }
    }
    let is_tested = Way::BOTH.map(|way| hangs.iter().any(|hang| hang.way == way));
    let mut logs = [0.0; 2];
    let mut seen = [0.0; 2];
    let mut residuals = misfits(wheel, hangs, logs)?;
    for round in 0..=ROUNDS {
        let mut largest = 0.0_f64;
        let mut next = logs;
        for place in (0..2).filter(|place| is_tested[*place]) {
            let (curvature, slope) = normal(wheel, hangs, logs, &residuals, place)?;
            seen[place] = curvature.sqrt();
            if seen[place] < SEEN {
                let what = Way::BOTH[place].word();
                return Err(NoFit::Blind { what });
            }
            let step = (-slope / curvature).clamp(-1.0, 1.0);
            next[place] += step;
            largest = largest.max(step.abs());
        }
        if largest < SETTLED {
            break;
        }
        let farthest = next.iter().fold(0.0_f64, |most, log| most.max(log.abs()));
        if REACH.ln() < farthest || round == ROUNDS {
            return Err(NoFit::OutOfReach);
        }
        logs = next;
        residuals = misfits(wheel, hangs, logs)?;
    }
    let factor = |place: usize| {
        is_tested[place].then(|| Factor {
            value: logs[place].exp(),
            u_relative: seen[place].recip(),
        })
    };
    let found = is_tested.iter().filter(|is_tested| **is_tested).count();
    Ok(Hung {
        rim: scaled(&wheel.rim, logs),
        in_plane: factor(0),
        lateral: factor(1),
        chi_squared: residuals.iter().map(|one| one * one).sum(),
        degrees_of_freedom: hangs.len() - found,
    })
}

/// Curvature and slope of half the sum of squares along one factor's logarithm. Only tests of its own way
/// count: the other way hardly shows this factor.
fn normal(
    wheel: &Wheel,
    hangs: &[Hang],
    logs: [f64; 2],
    residuals: &[f64],
    place: usize,
) -> Result<(f64, f64), Error> {
    let mut beside = logs;
    beside[place] += DERIVATIVE_STEP;
    let moved = misfits(wheel, hangs, beside)?;
    let own = hangs.iter().zip(residuals.iter().zip(&moved));
    let own = own.filter(|(hang, _)| hang.way == Way::BOTH[place]);
    Ok(
        own.fold((0.0, 0.0), |(curvature, slope), (_, (now, then))| {
            let derivative = (then - now) / DERIVATIVE_STEP;
            (
                curvature + derivative * derivative,
                slope + derivative * now,
            )
        }),
    )
}

fn scaled(rim: &Rim, logs: [f64; 2]) -> Rim {
    let [in_plane, lateral] = logs.map(f64::exp);
    Rim {
        in_plane_bending: rim.in_plane_bending.map(|one| one * in_plane),
        lateral_bending: rim.lateral_bending.map(|one| one * lateral),
        torsion: rim.torsion.map(|one| one * lateral),
        ..rim.clone()
    }
}

/// What the wheel with multiplied constants does less what was read, in standard uncertainties.
fn misfits(wheel: &Wheel, hangs: &[Hang], logs: [f64; 2]) -> Result<Vec<f64>, Error> {
    let mut wheel = wheel.clone();
    wheel.rim = scaled(&wheel.rim, logs);
    let pulls = |spoke: &wheel::Spoke| spoke.tension.is_some_and(|tension| Force::ZERO < tension);
    let state = if wheel.spokes.iter().all(pulls) {
        State::Tensioned
    } else {
        State::ZeroTension
    };
    let (structure, _) = Structure::about(&wheel, state)?;
    hangs
        .iter()
        .map(|hang| {
            let moved_mm = structure.moved_mm(hang)?;
            Ok((moved_mm - hang.moved.to_mm()) / hang.u.to_mm())
        })
        .collect()
}

impl Structure {
    /// What the rim moves at the dial of a hang test, mm, positive the way the weight pulls.
    ///
    /// # Errors
    /// As [`Structure::ride`].
    pub fn moved_mm(&self, hang: &Hang) -> Result<f64, Error> {
        let load = match hang.way {
            Way::Radial => RimLoad::point(hang.force, Force::ZERO),
            Way::Lateral => RimLoad::point(Force::ZERO, hang.force),
        };
        let ride = self.ride(&load, hang.at)?;
        let moved_mm = hang
            .read_at
            .map_or(ride.displacement_mm, |spoke| ride.at_seats_mm[spoke.0]);
        Ok(match hang.way {
            Way::Radial => -moved_mm[0],
            Way::Lateral => moved_mm[2],
        })
    }
}
