//! The load at which the first spoke goes slack.

use crate::error::{Error, Finding};
use crate::follow::{SHORTEST_STEP, Shape, Spokes};
use crate::ride::{RimLoad, dead_loads};
use crate::structure::{State, Structure, on_tangent};
use crate::tangent::Tangent;
use nalgebra::Vector3;
use quantity::{Angle, Force};
use wheel::SpokeIndex;

/// Steps at most, as shares of the tangent's estimate, in which the load grows where the tangent does not lead there:
/// where it does, the curve is nearly straight.
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
    /// wheel folds first; a finding beside it when the wheel folds as soon as that spoke is slack.
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
        let mut step = STEP;
        let mut has_grown = true;
        while shape.share < LARGEST_MULTIPLE {
            // What lies behind, or far beyond the tangent's, is not the first on this path.
            let ahead = shape.share..f64::max(1.0, shape.share) + STEP;
            let found = has_grown.then(|| shape.clone().slackened(&loads)).flatten();
            if let Some(slack) = found.filter(|slack| ahead.contains(&slack.share)) {
                let load_n = slack.share * estimate_n;
                let spoke = SpokeIndex(slack.spoke);
                let folds = (!slack.stands_without).then_some(Finding::FoldsOnceSlack { load_n });
                return Ok((
                    Some(FirstSlack { load_n, spoke }),
                    folds.into_iter().collect(),
                ));
            }
            // A step is no longer than keeps every spoke pulling: beyond, spokes that push would carry what no spoke does.
            match shape.settled(&loads, shape.share + step) {
                Some(grown) if grown.is_taut() => {
                    (shape, has_grown) = (grown, true);
                    step = f64::min(2.0 * step, STEP);
                }
                _ if step < SHORTEST_STEP => {
                    let load_n = shape.share * estimate_n;
                    return Ok((None, vec![Finding::FoldsTaut { load_n }]));
                }
                _ => (step, has_grown) = (0.5 * step, false),
            }
        }
        let load_n = LARGEST_MULTIPLE * estimate_n;
        Ok((None, vec![Finding::NoSlackBelow { load_n }]))
    }
}
