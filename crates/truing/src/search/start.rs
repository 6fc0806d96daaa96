//! Turns to begin with: whole ones within bounds and limits, so that the search has a bound from the first.

use super::Problem;
use super::tree::Best;
use crate::lattice::Basis;
use crate::relaxation::{Face, Nearest, nearest};

/// How far within the limits turns are rounded where those beside the continuous optimum break one: in standard
/// deviations of what rounding does to a limit.
const WITHIN: [f64; 6] = [0.0, 0.5, 1.0, 1.5, 2.0, 3.0];

impl Problem {
    /// The best of the turns known, of no turns, and of the continuous optimum rounded; where none of these keep bounds and
    /// limits, of points within the limits rounded. None where these do not either.
    pub(super) fn start(
        &self,
        known: &[&[i64]],
        basis: &Basis,
        faces: &[Face],
        relaxed: &Nearest,
    ) -> Option<Best> {
        let still = vec![0; self.nipples()];
        let known = known.iter().copied().chain([&still[..]]);
        let kept = known.filter(|steps| self.keeps(steps));
        let all = kept.map(|steps| self.best(steps.to_vec()));
        let best = all.min_by(|one, other| one.value.total_cmp(&other.value));
        let spacing = basis.spacing();
        best.or_else(|| {
            let within = |share: &f64| {
                let tightened: Vec<Face> = faces
                    .iter()
                    .enumerate()
                    .map(|(place, face)| self.tightened(place, face, share * spacing))
                    .collect();
                let point = match *share {
                    0.0 => relaxed.point.clone(),
                    _ => nearest(&basis.target, &tightened).ok()?.point,
                };
                let steps = self.rounded(basis, point);
                self.keeps(&steps).then(|| self.best(steps))
            };
            WITHIN.iter().find_map(within)
        })
    }

    fn best(&self, steps: Vec<i64>) -> Best {
        Best {
            value: self.value(&steps),
            steps,
        }
    }

    /// A limit less what rounding by so much on every axis does to it; bounds are whole themselves.
    fn tightened(&self, place: usize, face: &Face, by: f64) -> Face {
        let size: f64 = face.normal.iter().map(|entry| entry * entry).sum();
        let is_limit = 2 * self.nipples() <= place;
        let less = if is_limit {
            by * (size / 12.0).sqrt()
        } else {
            0.0
        };
        Face {
            bound: face.bound - less,
            ..face.clone()
        }
    }

    /// The whole turns beside a point of the triangle's axes, one coordinate after another, within the bounds.
    fn rounded(&self, basis: &Basis, point: Vec<f64>) -> Vec<i64> {
        let mut basis = Basis {
            target: point,
            ..basis.clone()
        };
        basis.reduce(basis.size);
        let mut steps = vec![0; basis.size];
        basis.turns(&basis.beside(), &mut steps);
        for (step, (lower, upper)) in steps.iter_mut().zip(self.lower.iter().zip(&self.upper)) {
            *step = (*step).clamp(*lower, *upper);
        }
        steps
    }
}
