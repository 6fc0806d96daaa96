//! The load at which the first spoke goes slack.

use crate::error::{Error, Finding};
use crate::follow::{Shape, Spokes};
use crate::ride::{RimLoad, dead_loads};
use crate::structure::{State, Structure, on_tangent};
use crate::tangent::Tangent;
use nalgebra::Vector3;
use quantity::{Angle, Force};
use wheel::SpokeIndex;

/// Steps, as shares of the tangent's estimate, in which the load grows where the tangent does not lead there: where it
/// does, the curve is nearly straight.
const STEP: f64 = 0.5;

/// The load is sought up to this multiple of the tangent's estimate.
const LARGEST_MULTIPLE: f64 = 4.0;

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
        let mut inward = tangent.mesh.empty();
        for follower in tangent.mesh.followers(&[at.to_rad()])? {
            follower.load(&Vector3::new(-1.0, 0.0, 0.0), &mut inward);
        }
        let estimate_n = tangent
            .tension_changes_n(&tangent.answer(inward))
            .iter()
            .zip(&tangent.mesh.springs)
            .filter(|(change, _)| **change < 0.0)
            .map(|(change, spring)| -spring.tension_n / change)
            .fold(f64::INFINITY, f64::min);
        if !estimate_n.is_finite() {
            return Ok((None, vec![Finding::NoSlackBelow { load_n: f64::MAX }]));
        }
        let mesh = tangent.mesh.refined(&[at.to_rad()])?;
        let load = RimLoad::point(Force::n(estimate_n), Force::ZERO);
        let loads = dead_loads(&mesh, &load, at);
        let mut shape = Shape::of(&mesh, Spokes::BothWays);
        let mut multiple = 0.0;
        while multiple < LARGEST_MULTIPLE {
            // What lies behind, or far beyond the tangent's, is not the first on this path.
            let ahead = multiple..f64::max(1.0, multiple) + STEP;
            let found = shape.clone().slackened(&loads);
            if let Some((found, spoke)) = found.filter(|(found, _)| ahead.contains(found)) {
                let load_n = found * estimate_n;
                let spoke = SpokeIndex(spoke);
                return Ok((Some(FirstSlack { load_n, spoke }), Vec::new()));
            }
            multiple += STEP;
            shape = match shape.under(&loads, multiple) {
                Ok(shape) => shape,
                Err(Error::Folds { share }) => return Ok((None, vec![Finding::Folds { share }])),
                Err(other) => return Err(other),
            };
        }
        let load_n = LARGEST_MULTIPLE * estimate_n;
        Ok((None, vec![Finding::NoSlackBelow { load_n }]))
    }
}
