//! The load at which the first spoke goes slack.

use crate::error::{Error, Finding};
use crate::follow::{Shape, Spokes};
use crate::ride::{RimLoad, dead_loads};
use crate::structure::{State, Structure, on_tangent};
use crate::tangent::Tangent;
use nalgebra::Vector3;
use quantity::{Angle, Force};
use wheel::SpokeIndex;

/// The chord's load is taken once it moves by less than this share: its next move would be as small as the product of
/// the last two, and nine digits stand.
const LOAD_TOLERANCE: f64 = 1e-5;

/// Loads are tried up to this multiple of the tangent's estimate.
const LARGEST_MULTIPLE: f64 = 4.0;

/// Steps of the search; the curve is nearly straight.
const ROUNDS: usize = 60;

/// The first spoke to go slack under a growing radial load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstSlack {
    /// The load, toward the hub.
    pub load_n: f64,
    /// The spoke that has no tension left.
    pub spoke: SpokeIndex,
}

impl Structure {
    /// The radial load at an angle at which the first spoke goes slack, the loaded shape followed.
    ///
    /// None, with a finding, when the state has no tension, when the load slackens nothing or when the
    /// wheel folds first.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub fn first_slack(&self, at: Angle) -> Result<(Option<FirstSlack>, Vec<Finding>), Error> {
        if self.state == State::ZeroTension {
            return Ok((None, vec![Finding::NoTension]));
        }
        on_tangent!(self, tangent => self.first_slack_by(tangent, at))
    }

    fn first_slack_by<const N: usize>(
        &self,
        tangent: &Tangent<N>,
        at: Angle,
    ) -> Result<(Option<FirstSlack>, Vec<Finding>), Error> {
        let tangent = tangent.refined(&[at.to_rad()])?;
        let moved = tangent.answer_to_force(at.to_rad(), Vector3::new(-1.0, 0.0, 0.0));
        let estimate_n = tangent
            .tension_changes_n(&moved)
            .iter()
            .zip(&tangent.mesh.springs)
            .filter(|(change, _)| **change < 0.0)
            .map(|(change, spring)| -spring.tension_n / change)
            .fold(f64::INFINITY, f64::min);
        if !estimate_n.is_finite() {
            return Ok((None, vec![Finding::NoSlackBelow { load_n: f64::MAX }]));
        }
        let least = |shape: &Shape<'_, N>| -> (usize, f64) {
            let tensions_n = shape.tensions_n();
            let pick = |best: (usize, f64), (spoke, &now_n): (usize, &f64)| {
                if now_n < best.1 { (spoke, now_n) } else { best }
            };
            tensions_n.iter().enumerate().fold((0, f64::INFINITY), pick)
        };
        let mut shape = Shape::of(&tangent.mesh, Spokes::BothWays);
        // The chord through the last two loads, kept between a load that leaves tension and one that leaves none.
        let mut before = (0.0, least(&shape).1);
        let (mut low_n, mut high_n) = (0.0, f64::INFINITY);
        let mut load_n = estimate_n;
        for _ in 0..ROUNDS {
            let load = RimLoad::point(Force::n(load_n), Force::ZERO);
            let loads = dead_loads(&tangent.mesh, &load, at);
            let (spoke, left_n) = match shape.under(&loads) {
                Ok(found) => {
                    shape = found;
                    least(&shape)
                }
                Err(Error::Folds { share }) => return Ok((None, vec![Finding::Folds { share }])),
                Err(other) => return Err(other),
            };
            if 0.0 < left_n {
                low_n = load_n
            } else {
                high_n = load_n
            }
            if LARGEST_MULTIPLE * estimate_n < low_n {
                return Ok((None, vec![Finding::NoSlackBelow { load_n }]));
            }
            let chord_n = load_n - left_n * (load_n - before.0) / (left_n - before.1);
            if (chord_n - load_n).abs() <= LOAD_TOLERANCE * load_n {
                return Ok((
                    Some(FirstSlack {
                        load_n: chord_n,
                        spoke: SpokeIndex(spoke),
                    }),
                    Vec::new(),
                ));
            }
            before = (load_n, left_n);
            let farthest_n = high_n.min(1.5 * load_n);
            load_n = if low_n < chord_n && chord_n < farthest_n {
                chord_n
            } else {
                f64::midpoint(low_n, farthest_n)
            };
        }
        Ok((None, vec![Finding::NoSlackBelow { load_n }]))
    }
}
