//! Loads on the rim: what a person asks, and what the wheel does under it.

use super::{Error, finding};
use crate::view::{FindingView, RideView, TurnView};
use mechanics::ride::{Ride, RimLoad, Turn};
use mechanics::{Error as NoAnswer, Structure};
use quantity::force::NEWTONS_PER_KGF;
use quantity::{Angle, Force, Length, Mass};
use std::f64::consts::TAU;
use wheel::Wheel;

/// Seats nearer than this along the rim are one place for a load.
const SAME_ANGLE_RAD: f64 = 1e-6;

/// Share of rider and bicycle that a wheel is taken to carry when nobody says.
///
/// Common practice, no source: a rear wheel carries about 60 % of a road bicycle's load.
pub const STANDARD_SHARE: f64 = 0.6;

/// Where a load stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Place {
    /// At the seat of spoke 1.
    Spoke1,
    /// Half way from spoke 1 to spoke 2.
    MidGap,
    /// At this angle from the valve hole.
    At(Angle),
}

impl Place {
    /// Its word in files and on the command line: a name, or degrees.
    #[must_use]
    pub fn word(self) -> String {
        match self {
            Self::Spoke1 => "spoke_1".into(),
            Self::MidGap => "mid_gap".into(),
            Self::At(angle) => format!("{}", (angle.to_deg() * 1e9).round() / 1e9),
        }
    }

    /// The place as a builder says it.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Spoke1 => "at spoke 1".into(),
            Self::MidGap => "between spokes 1 and 2".into(),
            Self::At(angle) => format!("{:.1}° from the valve hole", angle.to_deg()),
        }
    }

    pub(super) fn angle(self, structure: &Structure) -> Angle {
        match self {
            Self::Spoke1 => structure.at_spoke_1(),
            Self::MidGap => structure.mid_gap(),
            Self::At(angle) => angle,
        }
    }
}

/// A load that a person wants to see.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// Toward the hub.
    pub radial: Force,
    /// To the right.
    pub lateral: Force,
    /// Along the rim toward rising angles: what the ground does to a driven wheel; braking is negative.
    pub tangential: Force,
    /// Length of rim over which it is spread evenly; zero for a point.
    pub patch: Length,
    /// Where.
    pub at: Place,
    /// What the load rests on.
    pub from: String,
}

impl Asked {
    /// Rider and bicycle standing still, `share` of their weight on this wheel.
    #[must_use]
    pub fn standing(mass: Mass, share: f64) -> Self {
        Self {
            radial: Force::n(mass.to_kg() * NEWTONS_PER_KGF * share),
            lateral: Force::ZERO,
            tangential: Force::ZERO,
            patch: Length::ZERO,
            at: Place::Spoke1,
            from: format!(
                "{:.0} kg of rider and bicycle, {:.0} % of it on this wheel, standing still; a pothole or a corner is far more",
                mass.to_kg(),
                share * 100.0
            ),
        }
    }

    pub(super) fn load(&self) -> RimLoad {
        RimLoad {
            radial: self.radial,
            lateral: self.lateral,
            tangential: self.tangential,
            patch: self.patch,
        }
    }
}

/// The wheel under a load, at its place and through a turn; nulls where it needed tension or folds.
pub(super) fn under(
    wheel: &Wheel,
    structure: Option<&Structure>,
    asked: &Asked,
) -> Result<(RideView, Vec<FindingView>), Error> {
    let mut findings = Vec::new();
    let (mut ride, mut turn) = (None, None);
    if let Some(structure) = structure {
        let load = asked.load();
        let mut carried = |place: &str, error: NoAnswer| match error {
            NoAnswer::Folds { .. } | NoAnswer::RimOverloaded { .. } => {
                let [radial_n, lateral_n, tangential_n] =
                    [asked.radial, asked.lateral, asked.tangential].map(Force::to_n);
                let says = format!(
                    "{radial_n:.0} N toward the hub, {lateral_n:.0} N to the right, {tangential_n:.0} N \
                     along the rim, {place}: {error}"
                );
                findings.push(finding("folds", says));
                Ok(())
            }
            other => Err(Error::from(other)),
        };
        match structure.ride(&load, asked.at.angle(structure)) {
            Ok(found) => ride = Some(found),
            Err(error) => carried(&asked.at.words(), error)?,
        }
        match structure.turn(&load, &contacts(wheel)) {
            Ok(found) => turn = Some(found),
            Err(error) => carried("somewhere in a turn", error)?,
        }
    }
    Ok((shown(asked, ride, turn.as_ref()), findings))
}

/// Where the load stands through a turn: at every seat and half way to the next.
fn contacts(wheel: &Wheel) -> Vec<Angle> {
    let seats = wheel.spokes.iter().map(|spoke| spoke.seat_angle().to_rad());
    let mut seats_rad: Vec<f64> = seats.collect();
    seats_rad.dedup_by(|one, other| (*one - *other).abs() < SAME_ANGLE_RAD);
    let next_turn = seats_rad.first().map(|first| first + TAU);
    let ahead = seats_rad.iter().skip(1).copied().chain(next_turn);
    let places = seats_rad.iter().zip(ahead);
    places
        .flat_map(|(&seat, next)| [seat, f64::midpoint(seat, next)])
        .map(Angle::rad)
        .collect()
}

fn shown(asked: &Asked, ride: Option<Ride>, turn: Option<&Turn>) -> RideView {
    let smallest = ride.as_ref().and_then(|ride| {
        let numbered = ride.tension_n.iter().copied().zip(1..);
        numbered.min_by(|one, other| one.0.total_cmp(&other.0))
    });
    RideView {
        radial_n: asked.radial.to_n(),
        lateral_n: asked.lateral.to_n(),
        tangential_n: asked.tangential.to_n(),
        patch_mm: asked.patch.to_mm(),
        at: asked.at.word(),
        at_words: asked.at.words(),
        from: asked.from.clone(),
        smallest_n: smallest.map(|(tension_n, _)| tension_n),
        smallest_spoke: smallest.map(|(_, spoke)| spoke),
        displacement_mm: ride.as_ref().map(|ride| ride.displacement_mm),
        at_seats_mm: ride.as_ref().map(|ride| ride.at_seats_mm.clone()),
        slack: ride
            .iter()
            .flat_map(|ride| &ride.slack)
            .map(|spoke| spoke.number())
            .collect(),
        tension_change_n: ride.map(|ride| ride.tension_change_n),
        turn: turn.map(|turn| TurnView {
            angles_deg: turn.angles.iter().map(|at| at.to_deg()).collect(),
            tension_n: turn.tension_n.clone(),
            smallest_n: turn.smallest.tension_n,
            smallest_spoke: turn.smallest.spoke.number(),
            largest_n: turn.largest.tension_n,
            largest_spoke: turn.largest.spoke.number(),
            range_n: turn.range_n.clone(),
        }),
    }
}
