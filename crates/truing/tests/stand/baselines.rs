//! What others would do with the same readings.

use super::trued::{Doing, Seen, Shape, Trued, class, worked};
use super::{Hidden, fir};
use mechanics::influence::Influence;
use nalgebra::{DMatrix, DVector};
use truing::estimator::PITCH_MM;
use truing::{Class, Readings};
use wheel::{Side, Wheel};

/// Steps of an eighth of a turn.
const STEP: f64 = 0.125;

/// A mechanic's patience: nipples in one round.
const MOST_IN_A_ROUND: usize = 120;

/// The wheel as the readings have it, at the seats.
struct Bench {
    wheel: Wheel,
    influence: Influence,
    class: Class,
    target_n: f64,
    lateral_mm: Vec<f64>,
    radial_mm: Vec<f64>,
    tension_n: Vec<f64>,
}

impl Bench {
    fn new(hidden: &Hidden, shape: Shape, read: &Readings) -> Self {
        let at_seats =
            |rows: &[Vec<f64>]| -> Vec<Vec<f64>> { rows.iter().step_by(4).cloned().collect() };
        let influence = Influence {
            lateral_mm_per_mm: at_seats(&hidden.influence.lateral_mm_per_mm),
            radial_mm_per_mm: at_seats(&hidden.influence.radial_mm_per_mm),
            ..hidden.influence.clone()
        };
        Self {
            wheel: hidden.wheel.clone(),
            influence,
            class: class(shape),
            target_n: hidden.mean.tension.to_n(),
            lateral_mm: read
                .lateral
                .iter()
                .map(|point| point.displacement.to_mm())
                .collect(),
            radial_mm: read
                .radial
                .iter()
                .map(|point| point.displacement.to_mm())
                .collect(),
            tension_n: read.tensions.iter().map(|one| one.force.to_n()).collect(),
        }
    }

    fn turn(&mut self, spoke: usize, turns: f64) {
        let mm = PITCH_MM * turns;
        for (row, value) in self
            .influence
            .lateral_mm_per_mm
            .iter()
            .zip(&mut self.lateral_mm)
        {
            *value += row[spoke] * mm;
        }
        for (row, value) in self
            .influence
            .radial_mm_per_mm
            .iter()
            .zip(&mut self.radial_mm)
        {
            *value += row[spoke] * mm;
        }
        for (row, value) in self
            .influence
            .tension_n_per_mm
            .iter()
            .zip(&mut self.tension_n)
        {
            *value += row[spoke] * mm;
        }
    }

    /// The largest share of the class taken up, and the sum of all, so that a tie is broken.
    fn badness(&self) -> f64 {
        let mut sd: f64 = 0.0;
        for side in Side::BOTH {
            let of_side: Vec<f64> = (0..self.tension_n.len())
                .filter(|spoke| self.wheel.spokes[*spoke].side == side)
                .map(|spoke| self.tension_n[spoke])
                .collect();
            let mean = of_side.iter().sum::<f64>() / of_side.len() as f64;
            let squares: f64 = of_side.iter().map(|one| (one / mean - 1.0).powi(2)).sum();
            sd = sd.max(100.0 * (squares / (of_side.len() as f64 - 1.0)).sqrt());
        }
        let right: Vec<f64> = (0..self.tension_n.len())
            .filter(|spoke| self.wheel.spokes[*spoke].side == Side::Right)
            .map(|spoke| self.tension_n[spoke])
            .collect();
        let mean = right.iter().sum::<f64>() / right.len() as f64;
        let shares = [
            fir(&self.lateral_mm) / self.class.lateral_fir.to_mm(),
            fir(&self.radial_mm) / self.class.radial_fir.to_mm(),
            sd / self.class.tension_sd_percent,
            100.0 * (mean / self.target_n - 1.0).abs() / self.class.mean_percent,
        ];
        shares.iter().fold(0.0, |most: f64, share| most.max(*share))
            + 0.05 * shares.iter().sum::<f64>()
    }
}

/// Turns by somebody who does not look at limits.
fn blindly(turns: Vec<(usize, f64)>) -> Doing {
    Doing {
        turns,
        told_over_n: 0.0,
    }
}

/// One nipple at a time, as a careful mechanic works who sees all readings and knows his wheel: of all nipples the one
/// whose quarter or eighth of a turn helps most, then the next, until none helps or the class is met.
pub(crate) fn careful_mechanic(hidden: Hidden, shape: Shape, seed: u64) -> Trued {
    let wheel_of = hidden.clone();
    worked(hidden, seed, |Seen { read, .. }| {
        let mut bench = Bench::new(&wheel_of, shape, &read);
        let mut turns: Vec<(usize, f64)> = Vec::new();
        while turns.len() < MOST_IN_A_ROUND {
            let now = bench.badness();
            let mut best: Option<(f64, usize, f64)> = None;
            for spoke in 0..bench.tension_n.len() {
                for turned in [-2.0 * STEP, -STEP, STEP, 2.0 * STEP] {
                    bench.turn(spoke, turned);
                    let then = bench.badness();
                    bench.turn(spoke, -turned);
                    if then < now && best.is_none_or(|(least, ..)| then < least) {
                        best = Some((then, spoke, turned));
                    }
                }
            }
            let Some((_, spoke, turned)) = best else {
                break;
            };
            bench.turn(spoke, turned);
            turns.push((spoke, turned));
        }
        blindly(turns)
    })
}

/// The continuous least squares of rim and tension, each turn rounded by itself.
pub(crate) fn rounded(hidden: Hidden, shape: Shape, seed: u64) -> Trued {
    let wheel_of = hidden.clone();
    worked(hidden, seed, |Seen { read, .. }| {
        let bench = Bench::new(&wheel_of, shape, &read);
        let (spokes, class) = (bench.tension_n.len(), bench.class);
        let mut rows: Vec<(Vec<f64>, f64)> = Vec::new();
        for (of, now, scale) in [
            (
                &bench.influence.lateral_mm_per_mm,
                &bench.lateral_mm,
                class.lateral_fir.to_mm() / 2.0,
            ),
            (
                &bench.influence.radial_mm_per_mm,
                &bench.radial_mm,
                class.radial_fir.to_mm() / 2.0,
            ),
        ] {
            let mean = |values: &mut dyn Iterator<Item = f64>| values.sum::<f64>() / spokes as f64;
            let level = mean(&mut now.iter().copied());
            let slope: Vec<f64> = (0..spokes)
                .map(|spoke| mean(&mut of.iter().map(|row| row[spoke])))
                .collect();
            for (row, now) in of.iter().zip(now) {
                let centred = row.iter().zip(&slope).map(|(one, mean)| one - mean);
                rows.push((
                    centred.map(|one| one / scale).collect(),
                    -(now - level) / scale,
                ));
            }
        }
        for (spoke, row) in bench.influence.tension_n_per_mm.iter().enumerate() {
            let even = bench.wheel.spokes[spoke].tension.expect("tension").to_n();
            let scale = even * class.tension_sd_percent / 100.0;
            rows.push((
                row.iter().map(|one| one / scale).collect(),
                (even - bench.tension_n[spoke]) / scale,
            ));
        }
        let flat: Vec<f64> = rows.iter().flat_map(|(row, _)| row.clone()).collect();
        let matrix = DMatrix::from_row_slice(rows.len(), spokes, &flat);
        let target = DVector::from_iterator(rows.len(), rows.iter().map(|(_, target)| *target));
        let solved = matrix
            .svd(true, true)
            .solve(&target, 1e-9)
            .expect("a solution");
        let turns = solved
            .iter()
            .map(|mm| (mm / PITCH_MM / STEP).round() * STEP);
        let turns = turns.enumerate().filter(|(_, turns)| *turns != 0.0);
        blindly(turns.collect())
    })
}
