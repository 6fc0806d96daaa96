//! Propagation of distributions by draws, in blocks until the answer stands still (JCGM 101, 7.9).

mod block;
mod tail;

use crate::draws::Draws;
use crate::uncertain::COVERAGE;
use block::Block;
use tail::Tails;

/// The fewest draws that make a block: a hundred in what lies outside the interval (JCGM 101, 7.9.4 b).
pub const LEAST_BLOCK: usize = 2_000;

/// When to stop drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stopping {
    /// How many significant digits of u must stand still: 1 or 2, as it will be shown.
    pub digits: u8,
    /// Draws in a block; the standard takes 10,000 for a 95 % interval.
    pub block: usize,
    /// Blocks before stopping is thought of, two or more.
    pub least_blocks: usize,
    /// Draws, rejected ones included, after which it stops in any case.
    pub most_draws: usize,
}

impl Default for Stopping {
    /// Two digits of u, within a million draws.
    ///
    /// The standard looks from the second block on; the scatter of two numbers is so poorly known that it would
    /// often stop by luck, so five are drawn before.
    fn default() -> Self {
        Self {
            digits: 2,
            block: 10_000,
            least_blocks: 5,
            most_draws: 1_000_000,
        }
    }
}

/// What a model says of one draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Draw {
    /// The outputs are filled in.
    Kept,
    /// The inputs drawn are impossible together; the draw does not count.
    Rejected,
}

/// How a simulation ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// Every output stands still to the digits wanted.
    Stabilised,
    /// The draws were used up before.
    OutOfDraws,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// A block is too small to tell the ends of an interval.
    #[error(
        "a block of {block} draws cannot tell the ends of an interval; take at least {LEAST_BLOCK}"
    )]
    BlockTooSmall {
        /// Draws in a block.
        block: usize,
    },
    /// The bound on draws was reached before two blocks were full.
    #[error(
        "{kept} of {tried} draws were kept, two blocks take {needed}: allow more draws or mend what is rejected"
    )]
    TooFewKept {
        /// Draws kept.
        kept: usize,
        /// Draws made.
        tried: usize,
        /// Draws needed for two blocks.
        needed: usize,
    },
    /// The model gave no number.
    #[error(
        "output {output} of draw {draw} is {value}; the model must reject what it cannot answer"
    )]
    NotFinite {
        /// Which output, counted from 0.
        output: usize,
        /// Which draw, counted from 0.
        draw: usize,
        /// What it gave.
        value: f64,
    },
}

/// The distribution of every output.
#[derive(Debug, Clone, PartialEq)]
pub struct Simulation {
    /// One for each output of the model.
    pub outputs: Vec<Output>,
    /// Draws that count.
    pub kept: usize,
    /// Draws that the model rejected, those of an unfinished last block included.
    pub rejected: usize,
    /// How it ended.
    pub ending: Ending,
}

/// The distribution of one output, in its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Output {
    /// The mean of the draws, which is the estimate.
    pub mean: f64,
    /// Their standard deviation, which is the standard uncertainty.
    pub u: f64,
    /// The lower end of the interval at [`COVERAGE`] with equal probability on either side (eq. 1.21).
    pub low: f64,
    /// Its upper end.
    pub high: f64,
    /// Twice the standard deviation of the least steady of the four numbers above (eq. 1.22).
    pub wander: f64,
    /// What it may wander by for the digits wanted (eq. 1.23).
    pub tolerance: f64,
}

impl Output {
    /// Whether it stands still to the digits wanted.
    #[must_use]
    pub fn has_stabilised(&self) -> bool {
        self.wander <= self.tolerance
    }
}

/// The distribution of a model's outputs, by the adaptive procedure of JCGM 101, 7.9.
///
/// The model draws its inputs and fills one number for each output. It ends when all outputs have stabilised; draws
/// of a block that was not filled when the draws ran out do not count. Only what may belong to an interval's end is
/// stored, a tenth of all draws, and the ends are still those of all draws together.
///
/// # Errors
/// [`Error::BlockTooSmall`], [`Error::TooFewKept`], [`Error::NotFinite`].
pub fn simulate(
    outputs: usize,
    stopping: &Stopping,
    draws: &mut Draws,
    mut model: impl FnMut(&mut Draws, &mut [f64]) -> Draw,
) -> Result<Simulation, Error> {
    if stopping.block < LEAST_BLOCK {
        return Err(Error::BlockTooSmall {
            block: stopping.block,
        });
    }
    let mut block = Block::new(stopping.block, outputs);
    let mut progress: Vec<Progress> = Vec::with_capacity(outputs);
    let (mut tried, mut rejected, mut blocks) = (0, 0, 0);
    loop {
        while !block.is_full() && tried < stopping.most_draws {
            let row = block.next();
            let draw = model(draws, row);
            tried += 1;
            if draw == Draw::Rejected {
                rejected += 1;
                continue;
            }
            if !row.iter().fold(true, |all, value| all & value.is_finite()) {
                return Err(not_finite(row, tried - 1));
            }
            block.keep();
        }
        if !block.is_full() {
            break;
        }
        if blocks == 0 {
            progress.extend(block.columns().iter().map(|column| Progress::new(column)));
        }
        for (one, column) in progress.iter_mut().zip(block.columns()) {
            one.take(column);
        }
        block.clear();
        blocks += 1;
        let enough = blocks >= stopping.least_blocks.max(2);
        if enough
            && progress
                .iter()
                .all(|one| one.has_stabilised(stopping.digits))
        {
            break;
        }
    }
    let kept = blocks * stopping.block;
    if blocks < 2 {
        return Err(Error::TooFewKept {
            kept: tried - rejected,
            tried,
            needed: 2 * stopping.block,
        });
    }
    let outputs: Vec<Output> = progress
        .into_iter()
        .map(|one| one.output(stopping.digits))
        .collect();
    let stable = blocks >= stopping.least_blocks && outputs.iter().all(Output::has_stabilised);
    let ending = if stable {
        Ending::Stabilised
    } else {
        Ending::OutOfDraws
    };
    Ok(Simulation {
        outputs,
        kept,
        rejected,
        ending,
    })
}

fn not_finite(row: &[f64], draw: usize) -> Error {
    let output = row
        .iter()
        .position(|value| !value.is_finite())
        .unwrap_or_default();
    Error::NotFinite {
        output,
        draw,
        value: row[output],
    }
}

/// Half a unit in the last of `digits` significant digits of u (eq. 1.23); zero for an exact value.
#[must_use]
pub fn numerical_tolerance(u: f64, digits: u8) -> f64 {
    let after_first = i32::from(digits.max(1)) - 1;
    let text = format!("{u:.*e}", after_first as usize);
    let exponent = text
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse::<i32>().ok());
    match exponent {
        Some(exponent) if u > 0.0 => 0.5 * 10.0_f64.powi(exponent - after_first),
        _ => 0.0,
    }
}

/// What the blocks so far say of one output.
struct Progress {
    all: Moments,
    tails: Tails,
    /// Over the blocks: mean, standard deviation, lower and upper end.
    blocks: [Moments; 4],
}

impl Progress {
    fn new(first_block: &[f64]) -> Self {
        Self {
            all: Moments::default(),
            tails: Tails::new(first_block, COVERAGE),
            blocks: Default::default(),
        }
    }

    fn take(&mut self, block: &[f64]) {
        let moments = Moments::of(block);
        let (low, high) = self.tails.take(block);
        self.all.join(moments);
        for (series, value) in self
            .blocks
            .iter_mut()
            .zip([moments.mean, moments.sd(), low, high])
        {
            series.join(Moments {
                count: 1.0,
                mean: value,
                squares: 0.0,
            });
        }
    }

    /// Twice the standard deviation of the least steady average over the blocks (eq. 1.22).
    fn wander(&self) -> f64 {
        self.blocks
            .iter()
            .map(|series| 2.0 * series.sd() / series.count.sqrt())
            .fold(0.0, f64::max)
    }

    fn has_stabilised(&self, digits: u8) -> bool {
        self.wander() <= numerical_tolerance(self.all.sd(), digits)
    }

    fn output(mut self, digits: u8) -> Output {
        let (low, high) = self.tails.ends();
        let u = self.all.sd();
        Output {
            mean: self.all.mean,
            u,
            low,
            high,
            wander: self.wander(),
            tolerance: numerical_tolerance(u, digits),
        }
    }
}

/// Count, mean and sum of squared deviations, joined without loss of digits.
#[derive(Debug, Clone, Copy, Default)]
struct Moments {
    count: f64,
    mean: f64,
    squares: f64,
}

impl Moments {
    fn of(values: &[f64]) -> Self {
        let count = values.len() as f64;
        let origin = values.first().copied().unwrap_or_default();
        let mean = origin + sum(values, |value| value - origin) / count;
        Self {
            count,
            mean,
            squares: sum(values, |value| (value - mean) * (value - mean)),
        }
    }

    fn join(&mut self, other: Self) {
        let count = self.count + other.count;
        let apart = other.mean - self.mean;
        self.squares += other.squares + apart * apart * self.count * other.count / count;
        self.mean += apart * other.count / count;
        self.count = count;
    }

    fn sd(&self) -> f64 {
        (self.squares / (self.count - 1.0)).sqrt()
    }
}

/// A sum in eight lanes: always in the same order, and the lanes do not wait for each other.
fn sum(values: &[f64], term: impl Fn(f64) -> f64) -> f64 {
    let (eights, rest) = values.as_chunks::<8>();
    let mut lanes = [0.0; 8];
    for eight in eights {
        for (lane, &value) in lanes.iter_mut().zip(eight) {
            *lane += term(value);
        }
    }
    lanes.iter().sum::<f64>() + rest.iter().map(|&value| term(value)).sum::<f64>()
}

#[cfg(test)]
mod tests;
