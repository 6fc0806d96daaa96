//! The load at which the first spoke goes slack.

use crate::error::{Error, Finding};
use crate::follow::{Shape, Spokes};
use crate::ride::{RimLoad, dead_loads};
use crate::structure::{State, Structure, on_tangent};
use crate::tangent::Tangent;
use nalgebra::Vector3;
use quantity::{Angle, Force};
use wheel::SpokeIndex;

/// The load is sought until it moves by less than this share.
const LOAD_TOLERANCE: f64 = 1e-9;

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
        let start = Shape::of(&tangent.mesh, Spokes::BothWays);
        let under = |load_n: f64| {
            let load = RimLoad::point(Force::n(load_n), Force::ZERO);
            start.clone().under(&dead_loads(&tangent.mesh, &load, at))
        };
        // Bracket: tension left below, none left above; then the chord, halved when it crawls.
        let mut low = (0.0, least(&start).1);
        let mut load_n = estimate_n;
        let mut high: Option<(f64, f64)> = None;
        for _ in 0..ROUNDS {
            let (spoke, left_n) = match under(load_n) {
                Ok(shape) => least(&shape),
                Err(Error::Folds { share }) => return Ok((None, vec![Finding::Folds { share }])),
                Err(other) => return Err(other),
            };
            if 0.0 < left_n {
                low = (load_n, left_n)
            } else {
                high = Some((load_n, left_n))
            }
            let next_n = match high {
                None if LARGEST_MULTIPLE * estimate_n < load_n => {
                    return Ok((None, vec![Finding::NoSlackBelow { load_n }]));
                }
                None => load_n * 1.2,
                Some(high) => low.0 + (high.0 - low.0) * low.1 / (low.1 - high.1),
            };
            if (next_n - load_n).abs() <= LOAD_TOLERANCE * load_n {
                return Ok((
                    Some(FirstSlack {
                        load_n: next_n,
                        spoke: SpokeIndex(spoke),
                    }),
                    Vec::new(),
                ));
            }
            load_n = next_n;
        }
        Ok((None, vec![Finding::NoSlackBelow { load_n }]))
    }
}
