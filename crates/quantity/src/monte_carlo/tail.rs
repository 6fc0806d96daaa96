//! The two ends of a distribution, block by block, without keeping or sorting what lies between.

/// How many times the draws outside an end are kept of it.
///
/// Reason: that twice as many are expected beyond the first block's cut puts the end some ten standard deviations
/// inside what is kept, whatever the later blocks bring.
const SPARE: usize = 2;

/// The lower and the upper end of one output.
pub(super) struct Tails {
    coverage: f64,
    low: Tail,
    /// With all signs turned, so that it is a lower end too.
    high: Tail,
    scratch: Vec<f64>,
    count: usize,
}

/// What lies below a cut.
struct Tail {
    sign: f64,
    cut: f64,
    kept: Vec<f64>,
}

impl Tails {
    /// The cuts that the first block suggests.
    pub(super) fn new(first_block: &[f64], coverage: f64) -> Self {
        let outside = outside(first_block.len(), coverage);
        let tail = |sign: f64, rank: usize| {
            let mut turned: Vec<f64> = first_block.iter().map(|value| sign * value).collect();
            Tail {
                sign,
                cut: smallest(&mut turned, SPARE * rank),
                kept: Vec::new(),
            }
        };
        let (low, high) = (tail(1.0, outside.0 + 1), tail(-1.0, outside.1 + 1));
        Self {
            coverage,
            low,
            high,
            scratch: Vec::new(),
            count: 0,
        }
    }

    /// Takes a block in; its own two ends.
    pub(super) fn take(&mut self, block: &[f64]) -> (f64, f64) {
        self.count += block.len();
        let (below, above) = outside(block.len(), self.coverage);
        let low = self.low.take(block, below, &mut self.scratch);
        let high = self.high.take(block, above, &mut self.scratch);
        (low, -high)
    }

    /// The two ends of all blocks together.
    pub(super) fn ends(&mut self) -> (f64, f64) {
        let (below, above) = outside(self.count, self.coverage);
        (
            smallest(&mut self.low.kept, below),
            -smallest(&mut self.high.kept, above),
        )
    }
}

impl Tail {
    /// Keeps what a block has below the cut; the block's value with `rank` others below it.
    fn take(&mut self, block: &[f64], rank: usize, scratch: &mut Vec<f64>) -> f64 {
        scratch.resize(block.len(), 0.0);
        let mut below = 0;
        for value in block {
            // Written in any case and counted if it stays: no branch to mispredict.
            scratch[below] = self.sign * value;
            below += usize::from(scratch[below] <= self.cut);
        }
        if below <= rank {
            // This block lies far from the first; all of it is kept.
            scratch
                .iter_mut()
                .zip(block)
                .for_each(|(turned, value)| *turned = self.sign * value);
            below = block.len();
        }
        self.kept.extend_from_slice(&scratch[..below]);
        smallest(&mut scratch[..below], rank)
    }
}

/// How many of `count` values lie below the lower end and how many above the upper one (eq. 1.21).
fn outside(count: usize, coverage: f64) -> (usize, usize) {
    let inside = (coverage * count as f64 + 0.5).floor() as usize;
    let first = (count - inside).div_ceil(2); // the lower end's place, counted from 1
    (first - 1, count - (first + inside))
}

/// The value with `rank` others below it.
fn smallest(values: &mut [f64], rank: usize) -> f64 {
    *values.select_nth_unstable_by(rank, f64::total_cmp).1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: JCGM 101:2008, 7.7.2 with M = 10,000 and p = 0.95: q = 9500, r = 250, ends y(250) and y(9750).
    #[test]
    fn the_ends_stand_where_the_standard_places_them() {
        assert_eq!(outside(10_000, 0.95), (249, 250));
    }

    #[test]
    fn the_ends_of_all_blocks_are_those_of_all_values_sorted() {
        let value = |index: usize| ((index * 7_919) % 30_011) as f64;
        let all: Vec<f64> = (0..30_000).map(value).collect();
        let mut tails = Tails::new(&all[..10_000], 0.95);
        for block in all.chunks(10_000) {
            tails.take(block);
        }
        let mut sorted = all;
        sorted.sort_by(f64::total_cmp);
        assert_eq!(tails.ends(), (sorted[749], sorted[30_000 - 1 - 750]));
    }

    #[test]
    fn a_block_far_from_the_first_still_has_its_ends() {
        let first: Vec<f64> = (0..2_000).map(f64::from).collect();
        let later: Vec<f64> = (5_000..7_000).map(f64::from).collect();
        let mut tails = Tails::new(&first, 0.95);
        assert_eq!(tails.take(&first), (49.0, 1_949.0));
        assert_eq!(tails.take(&later), (5_049.0, 6_949.0));
        assert_eq!(tails.ends().0, 99.0);
    }
}
