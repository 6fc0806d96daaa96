//! Through the rounds: what was turned widens and shifts, what was read narrows (eqs. 7.3–7.6).

use super::layout::{Layout, WAVES};
use super::{Noise, PITCH_MM, Round, Unmoved};
use crate::error::Error;
use crate::response::{Beyond, Response};
use metrology::lap::RunoutPoint;
use nalgebra::{Cholesky, DMatrix, DVector};
use quantity::Force;
use wheel::Side;

/// Scatter of the lengths beforehand, mm: about half a turn.
const LENGTH_MM: f64 = 0.25;

/// What all lengths of a side may be off together, mm: nothing is known of the level.
const LEVEL_MM: f64 = 3.0;

/// Amplitude of one wave of the rim's shape beforehand, mm; n waves have an nth of it.
const SHAPE_MM: f64 = 0.3;

/// Offset of a rim's plane that nobody measured, mm.
const OFFSET_MM: f64 = 1.0;

/// How far a kind's turns may come out otherwise than its thread says, as a share.
const GAIN: f64 = 0.08;

/// A small turn is set no more surely than this one, in turns.
const SURELY_SET: f64 = 0.25;

/// Noises below these leave no sum to be inverted; no instrument has them.
const LEAST_GAUGE: f64 = 1e-5;
const LEAST_DIAL_MM: f64 = 1e-4;

/// How far the share of what eq. 7.1 leaves out may be off one: a wheel that shows none of it is two of these away.
const SHARE: f64 = 0.5;

/// As good as not off at all.
const ALL_SHOWN: f64 = 1e-4;

/// Share of what eq. 7.1 leaves out by which that may be otherwise from place to place: no wheel is quite its model.
const DOUBT_BEYOND: f64 = 0.1;

/// Readings that a stated noise is worth against what the rounds show of it.
const WORTH_OF_STATED: f64 = 30.0;

/// Lengths and waves that the scatter assumed beforehand is worth.
const WORTH_OF_ASSUMED: f64 = 6.0;

/// Spokes at most that are named as unmoved in one round.
const MOST_UNMOVED: usize = 4;

/// Noises and scatters that the readings themselves correct.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scales {
    pub(super) gauge: f64,
    pub(super) dial_mm: f64,
    dish_mm: f64,
    turn: f64,
    share: f64,
    length_mm: f64,
    lateral_mm: f64,
    radial_mm: f64,
}

impl Scales {
    /// The same where the second order is taken to be all shown.
    pub(super) fn all_shown(self) -> Self {
        Self {
            share: ALL_SHOWN,
            ..self
        }
    }

    pub(super) fn of(noise: &Noise) -> Self {
        Self {
            gauge: noise.gauge.max(LEAST_GAUGE),
            dial_mm: noise.dial.to_mm().max(LEAST_DIAL_MM),
            dish_mm: noise.dish.to_mm().max(LEAST_DIAL_MM),
            turn: noise.turn,
            share: SHARE,
            length_mm: LENGTH_MM,
            lateral_mm: SHAPE_MM,
            radial_mm: SHAPE_MM,
        }
    }
}

/// Σ of squared misfits in units of the stated noise, and what the unknowns leave of their number.
#[derive(Debug, Clone, Copy, Default)]
struct Misfit {
    squares: f64,
    freedom: f64,
}

pub(super) struct Filter<'a> {
    pub(super) response: &'a Response,
    pub(super) layout: Layout,
    scales: Scales,
    pub(super) mean: DVector<f64>,
    pub(super) covariance: DMatrix<f64>,
    /// What was told to be turned so far, mm of shortening.
    told_mm: Vec<f64>,
    pub(super) was_turned: bool,
    gauge: Misfit,
    dial: Misfit,
    /// −2 ln of how likely the readings are, but for a constant.
    pub(super) unlikely: f64,
    pub(super) unmoved: Vec<Unmoved>,
    pub(super) last: &'a [RunoutPoint],
    pub(super) last_radial: &'a [RunoutPoint],
    /// The shortenings found in every round, mm.
    pub(super) stood: Vec<Vec<f64>>,
}

/// What one round's readings say: Hᵀ R⁻¹ H and Hᵀ R⁻¹ z, and the readings for their misfits.
pub(super) struct Said {
    pub(super) information: DMatrix<f64>,
    pub(super) pull: DVector<f64>,
    blocks: Vec<Block>,
}

/// Readings of one instrument: rows, values, weights 1/σ²; a lap's own zero is taken out.
struct Block {
    rows: DMatrix<f64>,
    values: DVector<f64>,
    weights: DVector<f64>,
    kind: BlockKind,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum BlockKind {
    Gauge,
    Dial,
    Dish,
}

impl<'a> Filter<'a> {
    /// Goes through all rounds; `beyond` is what eq. 7.1 leaves out of each.
    pub(super) fn through(
        response: &'a Response,
        layout: Layout,
        rounds: &'a [Round],
        scales: Scales,
        beyond: &[Beyond],
    ) -> Result<Self, Error> {
        let mut filter = Self::before(response, layout, scales);
        for (place, round) in rounds.iter().enumerate() {
            let turned = match place {
                0 => &[][..],
                _ => &rounds[place - 1].turned,
            };
            filter.turn(turned);
            filter.read(round, turned, place, &beyond[place])?;
            let lengths = filter.mean.rows(0, layout.spokes);
            filter.stood.push(lengths.iter().copied().collect());
        }
        Ok(filter)
    }

    /// What is known before anything is read (eq. 7.3).
    fn before(response: &'a Response, layout: Layout, scales: Scales) -> Self {
        let unknowns = layout.unknowns();
        let mut covariance = DMatrix::zeros(unknowns, unknowns);
        for (row, side) in response.sides.iter().enumerate() {
            covariance[(row, row)] += scales.length_mm.powi(2);
            for (column, other) in response.sides.iter().enumerate() {
                if side == other {
                    covariance[(row, column)] += LEVEL_MM.powi(2);
                }
            }
        }
        covariance[(layout.offset(), layout.offset())] = OFFSET_MM.powi(2);
        for waves in 1..=WAVES {
            let share = 1.0 / (waves as f64).powi(2);
            for at in [layout.lateral(waves), layout.lateral(waves) + 1] {
                covariance[(at, at)] = scales.lateral_mm.powi(2) * share;
            }
            for at in [layout.radial(waves), layout.radial(waves) + 1] {
                covariance[(at, at)] = scales.radial_mm.powi(2) * share;
            }
        }
        for kind in 0..layout.kinds {
            covariance[(layout.gain(kind), layout.gain(kind))] = GAIN * GAIN;
        }
        covariance[(layout.share(), layout.share())] = scales.share.powi(2);
        Self {
            response,
            layout,
            scales,
            mean: DVector::zeros(unknowns),
            covariance,
            told_mm: vec![0.0; layout.spokes],
            was_turned: false,
            unlikely: 0.0,
            gauge: Misfit::default(),
            dial: Misfit::default(),
            unmoved: Vec::new(),
            last: &[],
            last_radial: &[],
            stood: Vec::new(),
        }
    }

    /// Every nipple turned: its spoke is shorter by the gain, and less surely known (eq. 7.4).
    fn turn(&mut self, turned: &[f64]) {
        let unknowns = self.layout.unknowns();
        for (spoke, &turns) in turned
            .iter()
            .enumerate()
            .filter(|(_, turns)| **turns != 0.0)
        {
            let told_mm = PITCH_MM * turns;
            let gain = self.layout.gain(self.response.kinds[spoke].0);
            self.told_mm[spoke] += told_mm;
            self.was_turned = true;
            self.mean[spoke] += told_mm * (1.0 + self.mean[gain]);
            // Row and column of the spoke take the gain's, told times.
            for column in 0..unknowns {
                let of_gain = self.covariance[(gain, column)];
                self.covariance[(spoke, column)] += told_mm * of_gain;
            }
            for row in 0..unknowns {
                let of_gain = self.covariance[(row, gain)];
                self.covariance[(row, spoke)] += told_mm * of_gain;
            }
            let own = self.scales.turn * told_mm.abs().max(SURELY_SET * PITCH_MM);
            self.covariance[(spoke, spoke)] += own * own;
        }
    }

    /// Takes in one round's readings (eq. 7.5), and asks whether what was turned did move.
    fn read(
        &mut self,
        round: &'a Round,
        turned: &[f64],
        place: usize,
        beyond: &Beyond,
    ) -> Result<(), Error> {
        if round.readings.is_empty() {
            return Ok(());
        }
        self.last = &round.readings.lateral;
        self.last_radial = &round.readings.radial;
        let said = self.said(round, beyond);
        let mut after = self.after(&said)?;
        for _ in 0..MOST_UNMOVED {
            let Some(unmoved) = self.unmoved_by(&said, &after, turned, place) else {
                break;
            };
            let spoke = unmoved.spoke.0;
            let told_mm = PITCH_MM * unmoved.turned;
            self.mean[spoke] -= told_mm * (1.0 - unmoved.share);
            self.covariance[(spoke, spoke)] += (told_mm * unmoved.u).powi(2);
            self.unmoved.push(unmoved);
            after = self.after(&said)?;
        }
        self.unlikely += said.unlikely(&self.mean, &after);
        self.mean = after.mean(&self.mean, &said);
        self.covariance = after.covariance;
        for block in &said.blocks {
            let misfit = match block.kind {
                BlockKind::Gauge => &mut self.gauge,
                BlockKind::Dial => &mut self.dial,
                BlockKind::Dish => continue,
            };
            let rest = &block.values - &block.rows * &self.mean;
            let known = variances(&block.rows, &self.covariance);
            for ((rest, known), weight) in rest.iter().zip(known).zip(&block.weights) {
                misfit.squares += rest * rest * weight;
                misfit.freedom += 1.0 - known * weight;
            }
            if block.kind == BlockKind::Dial {
                misfit.freedom -= 1.0; // the lap's own zero
            }
        }
        Ok(())
    }

    fn said(&self, round: &Round, beyond: &Beyond) -> Said {
        let (response, layout, readings) = (self.response, self.layout, &round.readings);
        let mut blocks = Vec::new();
        if !readings.tensions.is_empty() {
            let said = readings.tensions.iter().map(|one| {
                let even_n = response.even_n[one.spoke.0];
                // A slack spoke is not read more surely than a tenth of the even tension would be.
                let by_gauge = self.scales.gauge * one.force.to_n().max(0.1 * even_n).max(1.0);
                let row = layout.tension_row(response, beyond, one.spoke.0);
                let u_n = one.u.map_or(by_gauge, Force::to_n);
                (row, one.force.to_n() - even_n, u_n)
            });
            blocks.push(Block::new(layout, said, BlockKind::Gauge));
        }
        for sideways in [true, false] {
            let points = readings.points(sideways);
            if points.is_empty() {
                continue;
            }
            let said = points.iter().filter_map(|point| {
                let place = response.place(point.at)?;
                let row = layout.rim_row(response, beyond, place, sideways);
                Some((row, point.displacement.to_mm(), self.scales.dial_mm))
            });
            let mut block = Block::new(layout, said, BlockKind::Dial);
            block.take_out_zero();
            blocks.push(block);
        }
        if let Some(dish) = readings.dish {
            let row = layout.dish_row(response, beyond);
            let said = std::iter::once((row, dish.to_mm(), self.scales.dish_mm));
            blocks.push(Block::new(layout, said, BlockKind::Dish));
        }
        let unknowns = layout.unknowns();
        let mut information = DMatrix::zeros(unknowns, unknowns);
        let mut pull = DVector::zeros(unknowns);
        for block in &blocks {
            let mut weighed = block.rows.clone();
            for (mut row, weight) in weighed.row_iter_mut().zip(&block.weights) {
                row *= *weight;
            }
            information += weighed.transpose() * &block.rows;
            pull += weighed.transpose() * &block.values;
        }
        Said {
            information,
            pull,
            blocks,
        }
    }

    /// The covariance once the readings are in.
    fn after(&self, said: &Said) -> Result<After, Error> {
        let before = Cholesky::new(self.covariance.clone()).ok_or(Error::NoEstimate)?;
        let sum = before.inverse() + &said.information;
        let sum = Cholesky::new(sum).ok_or(Error::NoEstimate)?;
        Ok(After {
            covariance: sum.inverse(),
            narrowed: before.ln_determinant() + sum.ln_determinant(),
        })
    }

    /// Noises and scatters as the rounds show them, held to `stated` by what that is worth.
    pub(super) fn scales(&self, stated: &Scales) -> Scales {
        let noise = |stated: f64, now: f64, misfit: &Misfit| {
            let shown = misfit.squares * now * now;
            let worth = WORTH_OF_STATED + misfit.freedom.max(0.0);
            ((WORTH_OF_STATED * stated * stated + shown) / worth).sqrt()
        };
        let scatter = |stated: f64, squares: f64, count: usize| {
            let worth = WORTH_OF_ASSUMED + count as f64;
            ((WORTH_OF_ASSUMED * stated * stated + squares) / worth).sqrt()
        };
        let shape = |first: &dyn Fn(usize) -> usize| -> f64 {
            (1..=WAVES)
                .flat_map(|waves| [(waves, first(waves)), (waves, first(waves) + 1)])
                .map(|(waves, at)| {
                    (waves as f64).powi(2) * (self.mean[at].powi(2) + self.covariance[(at, at)])
                })
                .sum()
        };
        Scales {
            gauge: noise(stated.gauge, self.scales.gauge, &self.gauge),
            dial_mm: noise(stated.dial_mm, self.scales.dial_mm, &self.dial),
            length_mm: scatter(stated.length_mm, self.length_squares(), self.layout.spokes),
            lateral_mm: scatter(
                stated.lateral_mm,
                shape(&|waves| self.layout.lateral(waves)),
                2 * WAVES,
            ),
            radial_mm: scatter(
                stated.radial_mm,
                shape(&|waves| self.layout.radial(waves)),
                2 * WAVES,
            ),
            ..*stated
        }
    }

    /// Σ of the squared length errors as they were at first, each side about its mean, and their variances.
    fn length_squares(&self) -> f64 {
        let mut squares = 0.0;
        for side in Side::BOTH {
            let members: Vec<usize> = (0..self.layout.spokes)
                .filter(|spoke| self.response.sides[*spoke] == side)
                .collect();
            let count = members.len().max(1) as f64;
            let at_first = |spoke: usize| self.mean[spoke] - self.told_mm[spoke];
            let mean = members.iter().map(|&spoke| at_first(spoke)).sum::<f64>() / count;
            for &spoke in &members {
                let common: f64 = members
                    .iter()
                    .map(|&other| self.covariance[(spoke, other)])
                    .sum::<f64>()
                    / count;
                let own = (self.covariance[(spoke, spoke)] - common).max(0.0);
                squares += (at_first(spoke) - mean).powi(2) + own;
            }
        }
        squares
    }
}

/// Covariance once a round's readings are in.
pub(super) struct After {
    pub(super) covariance: DMatrix<f64>,
    /// ln of by how much the readings narrow what is known, its volume squared.
    narrowed: f64,
}

impl Said {
    /// −2 ln of how likely these readings were by what was known before them, but for a constant: vᵀ S⁻¹ v + ln |S|.
    fn unlikely(&self, before: &DVector<f64>, after: &After) -> f64 {
        let pull = &self.pull - &self.information * before;
        let explained = pull.dot(&(&after.covariance * &pull));
        let block = |block: &Block| -> f64 {
            let surprise = &block.values - &block.rows * before;
            let read = surprise.iter().zip(&block.weights);
            read.map(|(surprise, weight)| surprise.powi(2) * weight - weight.ln())
                .sum()
        };
        self.blocks.iter().map(block).sum::<f64>() + after.narrowed - explained
    }
}

impl After {
    /// The mean that goes with it.
    fn mean(&self, before: &DVector<f64>, said: &Said) -> DVector<f64> {
        before + &self.covariance * (&said.pull - &said.information * before)
    }
}

/// The variance of every row's sum.
pub(crate) fn variances(rows: &DMatrix<f64>, covariance: &DMatrix<f64>) -> Vec<f64> {
    let known = rows * covariance;
    let pairs = known.row_iter().zip(rows.row_iter());
    pairs.map(|(known, row)| known.dot(&row)).collect()
}

impl Block {
    /// Of rows, values and uncertainties. A row's share of the second order is taken from its value, and is off by its doubt.
    fn new(
        layout: Layout,
        said: impl Iterator<Item = (Vec<f64>, f64, f64)>,
        kind: BlockKind,
    ) -> Self {
        let (mut rows, mut values, mut weights) = (Vec::new(), Vec::new(), Vec::new());
        for (row, value, u) in said {
            let beyond = row[layout.share()];
            values.push(value - beyond);
            weights.push(u.hypot(DOUBT_BEYOND * beyond).powi(-2));
            rows.extend(row);
        }
        Self {
            rows: DMatrix::from_row_slice(values.len(), layout.unknowns(), &rows),
            values: DVector::from_vec(values),
            weights: DVector::from_vec(weights),
            kind,
        }
    }

    /// Rows and values less their means: what is left when the dial's zero may be anywhere.
    fn take_out_zero(&mut self) {
        let mean = self.rows.row_mean();
        for mut row in self.rows.row_iter_mut() {
            row -= &mean;
        }
        let mean = self.values.mean();
        self.values.add_scalar_mut(-mean);
    }
}
