//! Which nipple did not move its spoke as it was told (eq. 7.6).

use super::filter::{After, Filter, Said};
use super::{PITCH_MM, Unmoved};
use wheel::SpokeIndex;

/// A nipple did not move its spoke when less than this share of its turns came through …
const UNMOVED_SHARE: f64 = 0.5;

/// … and the rest is missed by this many standard deviations: one false alarm in thousands of nipples.
const UNMOVED_SIGMAS: f64 = 4.0;

impl Filter<'_> {
    /// The nipple that least did what it was told, if any did not (eq. 7.6).
    pub(super) fn unmoved_by(
        &self,
        said: &Said,
        after: &After,
        turned: &[f64],
        place: usize,
    ) -> Option<Unmoved> {
        let surprise = &said.pull - &said.information * &self.mean;
        // S⁻¹ in the unknowns: information less what the unknowns take up of it.
        let taken = &said.information * &after.covariance;
        let left = &surprise - &taken * &surprise;
        let sharp = &said.information - &taken * &said.information;
        let mut worst: Option<(f64, Unmoved)> = None;
        for (spoke, &turns) in turned
            .iter()
            .enumerate()
            .filter(|(_, turns)| **turns != 0.0)
        {
            let already = |one: &Unmoved| one.spoke.0 == spoke && one.round == place;
            if self.unmoved.iter().any(already) {
                continue;
            }
            let told_mm = PITCH_MM * turns;
            let curvature = told_mm * told_mm * sharp[(spoke, spoke)];
            if curvature <= 0.0 {
                continue;
            }
            let missing = -told_mm * left[spoke] / curvature;
            let u = 1.0 / curvature.sqrt();
            let is_worse = worst.is_none_or(|(sigmas, _)| sigmas < missing / u);
            if 1.0 - UNMOVED_SHARE < missing && UNMOVED_SIGMAS < missing / u && is_worse {
                let unmoved = Unmoved {
                    spoke: SpokeIndex(spoke),
                    round: place,
                    turned: turns,
                    share: 1.0 - missing,
                    u,
                };
                worst = Some((missing / u, unmoved));
            }
        }
        worst.map(|(_, unmoved)| unmoved)
    }
}
