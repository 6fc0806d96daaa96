//! Where each unknown stands, and how what is read hangs on them (eq. 7.2).

use crate::response::{Beyond, Response};

/// Waves round the rim that its own shape is given; what is finer belongs to a joint.
pub(crate) const WAVES: usize = 8;

/// The unknowns: shortenings (mm), lateral shape, radial shape (mm), gains, what is off the share of the second order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Layout {
    pub(crate) spokes: usize,
    pub(crate) kinds: usize,
}

impl Layout {
    pub(crate) fn of(response: &Response) -> Self {
        let kinds = response
            .kinds
            .iter()
            .map(|kind| kind.0 + 1)
            .max()
            .unwrap_or(0);
        Self {
            spokes: response.spokes(),
            kinds,
        }
    }

    pub(crate) fn unknowns(self) -> usize {
        self.share() + 1
    }

    /// The rim's own offset to the right.
    pub(crate) fn offset(self) -> usize {
        self.spokes
    }

    /// The cosine of a wave's lateral shape; its sine stands next.
    pub(crate) fn lateral(self, waves: usize) -> usize {
        self.spokes + 1 + 2 * (waves - 1)
    }

    /// The cosine of a wave's radial shape; its sine stands next.
    pub(crate) fn radial(self, waves: usize) -> usize {
        self.lateral(WAVES + 1) + 2 * (waves - 1)
    }

    pub(crate) fn gain(self, kind: usize) -> usize {
        self.radial(WAVES + 1) + kind
    }

    /// By how much the share of what eq. 7.1 leaves out that the wheel shows is more than one.
    pub(crate) fn share(self) -> usize {
        self.gain(self.kinds)
    }

    /// Change of a tension with the unknowns, N per mm; with the share, N.
    pub(crate) fn tension_row(
        self,
        response: &Response,
        beyond: &Beyond,
        spoke: usize,
    ) -> Vec<f64> {
        let mut row = vec![0.0; self.unknowns()];
        for (entry, of) in row.iter_mut().zip(&response.tension_n) {
            *entry = of[spoke];
        }
        row[self.share()] = beyond.of_tension(spoke);
        row
    }

    /// Change of the rim's place with the unknowns, to the right or outward.
    pub(crate) fn rim_row(
        self,
        response: &Response,
        beyond: &Beyond,
        place: usize,
        sideways: bool,
    ) -> Vec<f64> {
        let mut row = vec![0.0; self.unknowns()];
        let by_spoke = if sideways {
            &response.lateral_mm
        } else {
            &response.radial_mm
        };
        for (entry, of) in row.iter_mut().zip(by_spoke) {
            *entry = of[place];
        }
        if sideways {
            row[self.offset()] = 1.0;
        }
        for waves in 1..=WAVES {
            let first = if sideways {
                self.lateral(waves)
            } else {
                self.radial(waves)
            };
            let (sine, cosine) = (waves as f64 * response.places[place]).sin_cos();
            (row[first], row[first + 1]) = (cosine, sine);
        }
        row[self.share()] = beyond.of_rim(place, sideways);
        row
    }

    /// Change of the dish: the mean of the rim's place to the right over the stations.
    pub(crate) fn dish_row(self, response: &Response, beyond: &Beyond) -> Vec<f64> {
        let mut row = vec![0.0; self.unknowns()];
        for place in 0..response.stations {
            for (entry, of) in row
                .iter_mut()
                .zip(self.rim_row(response, beyond, place, true))
            {
                *entry += of / response.stations as f64;
            }
        }
        row
    }
}
