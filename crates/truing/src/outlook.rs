//! What to expect, and how surely: draws of the wheel as it may stand.

use crate::estimator::Estimate;
use crate::objective::{Objective, Standing, add};
use crate::response::{Beyond, Response};
use metrology::evenness::Value;
use nalgebra::DMatrix;
use quantity::draws::Draws;

/// Draws: a standard uncertainty from them is good to a twentieth.
const DRAWS: usize = 240;

/// Draws of rim and tensions as they may stand, before and after turns.
pub(crate) struct Outlook {
    drawn: Vec<Standing>,
    /// The share of what eq. 7.1 leaves out that each draw shows.
    shares: Vec<f64>,
}

/// What a wheel shows, or is expected to show.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// Runout to the side, mm.
    pub lateral_fir_mm: Value,
    /// Runout in and out, mm.
    pub radial_fir_mm: Value,
    /// Evenness of the worst group, %; none without tension.
    pub tension_sd_percent: Option<Value>,
    /// Mean tension of the side asked, or of all, N; none without tension.
    pub mean_tension_n: Option<Value>,
    /// Offset of the rim, mm.
    pub dish_mm: Value,
    /// Largest share of the class taken up.
    pub worst_share: Value,
    /// Each tension, N.
    pub tensions_n: Vec<Value>,
    /// Rim to the right at every station, mm.
    pub lateral_mm: Vec<f64>,
    /// Rim outward at every station, mm.
    pub radial_mm: Vec<f64>,
}

/// Everything that hangs on the unknowns, row by row: lateral, radial, tensions.
pub(crate) fn rows(response: &Response, estimate: &Estimate) -> DMatrix<f64> {
    let (layout, beyond) = (estimate.layout, &estimate.beyond);
    let rim = |sideways| {
        (0..response.stations).map(move |place| layout.rim_row(response, beyond, place, sideways))
    };
    let tensions = (0..response.spokes()).map(|spoke| layout.tension_row(response, beyond, spoke));
    let all: Vec<f64> = rim(true)
        .chain(rim(false))
        .chain(tensions)
        .flatten()
        .collect();
    DMatrix::from_row_slice(
        2 * response.stations + response.spokes(),
        layout.unknowns(),
        &all,
    )
}

/// Rim and tensions in one list, taken apart.
fn standing(response: &Response, list: &[f64]) -> Standing {
    let (lateral, rest) = list.split_at(response.stations);
    let (radial, tensions) = rest.split_at(response.stations);
    Standing {
        lateral_mm: lateral.to_vec(),
        radial_mm: radial.to_vec(),
        tension_n: tensions
            .iter()
            .zip(&response.even_n)
            .map(|(change, even)| even + change)
            .collect(),
    }
}

/// Rim and tensions as they most likely stand.
pub(crate) fn likeliest(response: &Response, estimate: &Estimate) -> Standing {
    standing(
        response,
        (rows(response, estimate) * &estimate.mean).as_slice(),
    )
    .with(&estimate.beyond, 1.0)
}

impl Outlook {
    pub(crate) fn of(response: &Response, estimate: &Estimate, seed: u64) -> Self {
        let rows = rows(response, estimate);
        let likeliest = &rows * &estimate.mean;
        // A covariance out of a sum of inverses is one but for rounding.
        let spread = nalgebra::Cholesky::new(estimate.covariance.clone())
            .map(|factor| factor.l())
            .unwrap_or_else(|| DMatrix::zeros(rows.ncols(), rows.ncols()));
        let of_share = spread.row(estimate.layout.share()).into_owned();
        let spread = &rows * spread;
        let mut draws = Draws::new(seed);
        let (drawn, shares) = (0..DRAWS)
            .map(|_| {
                let latent = nalgebra::DVector::from_fn(spread.ncols(), |_, _| draws.normal());
                let share = estimate.share() + (&of_share * &latent)[0];
                let drawn = (&likeliest + &spread * latent).as_slice().to_vec();
                (
                    standing(response, &drawn).with(&estimate.beyond, 1.0),
                    share,
                )
            })
            .unzip();
        Self { drawn, shares }
    }

    /// The same after turns that each come out with their own error, as a share of them; `melts` is how much less
    /// eq. 7.1 leaves out then.
    pub(crate) fn after(
        &self,
        step: &[Standing],
        steps: &[i64],
        melts: &Beyond,
        turn: f64,
        seed: u64,
    ) -> Self {
        let mut draws = Draws::stream(seed, 1);
        let drawn = self.drawn.iter().zip(&self.shares).map(|(one, share)| {
            let turned: Vec<f64> = steps
                .iter()
                .map(|&steps| {
                    steps as f64 * (1.0 + turn * if steps == 0 { 0.0 } else { draws.normal() })
                })
                .collect();
            one.after(step, &turned).with(melts, -share)
        });
        Self {
            drawn: drawn.collect(),
            shares: self.shares.clone(),
        }
    }

    /// The share of the draws of which something is so: its probability.
    pub(crate) fn share_of(&self, is_so: impl Fn(&Standing) -> bool) -> f64 {
        let so = self.drawn.iter().filter(|one| is_so(one)).count();
        so as f64 / self.drawn.len() as f64
    }

    /// By how much the largest share falls from here to there.
    pub(crate) fn gain(&self, after: &Self, objective: &Objective<'_>) -> Value {
        let pairs = self.drawn.iter().zip(&after.drawn);
        spread(pairs.map(|(now, then)| objective.worst_share(now) - objective.worst_share(then)))
    }

    /// What they show, in the mean and with their spread.
    pub(crate) fn shown(&self, objective: &Objective<'_>, response: &Response) -> Shown {
        let of = |value: &dyn Fn(&Standing) -> f64| spread(self.drawn.iter().map(value));
        let tensioned = response.is_tensioned();
        let uneven = |one: &Standing| {
            let groups = response
                .groups
                .iter()
                .filter(|group| group.spokes.len() > 1);
            let sds = groups.map(|group| {
                let members = group.spokes.iter().map(|&spoke| one.tension_n[spoke]);
                100.0 * crate::objective::sd(members) / group.even_n
            });
            sds.fold(0.0, f64::max)
        };
        let count = self.drawn.len() as f64;
        let centre = |list: &dyn Fn(&Standing) -> &Vec<f64>| {
            let mut sum = vec![0.0; self.drawn.first().map_or(0, |one| list(one).len())];
            for one in &self.drawn {
                add(&mut sum, list(one), 1.0 / count);
            }
            sum
        };
        Shown {
            lateral_fir_mm: of(&|one| crate::objective::fir(&one.lateral_mm)),
            radial_fir_mm: of(&|one| crate::objective::fir(&one.radial_mm)),
            tension_sd_percent: tensioned.then(|| of(&uneven)),
            mean_tension_n: tensioned.then(|| of(&|one| objective.mean_n(&one.tension_n))),
            dish_mm: of(&|one| crate::objective::mean(&one.lateral_mm)),
            worst_share: of(&|one| objective.worst_share(one)),
            tensions_n: (0..response.spokes())
                .map(|spoke| of(&|one| one.tension_n[spoke]))
                .collect(),
            lateral_mm: centre(&|one| &one.lateral_mm),
            radial_mm: centre(&|one| &one.radial_mm),
        }
    }
}

fn spread(of: impl Iterator<Item = f64>) -> Value {
    let of: Vec<f64> = of.collect();
    Value {
        value: crate::objective::mean(&of),
        u: crate::objective::sd(of.iter().copied()),
    }
}
