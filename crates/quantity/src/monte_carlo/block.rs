//! One block of draws: filled draw by draw, read output by output.

/// Draws that are gathered before they are sorted into columns.
///
/// Reason: a tile of a hundred outputs stays in the nearest cache, and each column is met once for many draws.
const TILE: usize = 32;

/// The outputs of the draws of one block.
pub(super) struct Block {
    size: usize,
    filled: usize,
    outputs: usize,
    /// The last draws, one after another.
    tile: Vec<f64>,
    waiting: usize,
    columns: Vec<Vec<f64>>,
}

impl Block {
    pub(super) fn new(size: usize, outputs: usize) -> Self {
        let columns = vec![vec![0.0; size]; outputs];
        Self {
            size,
            filled: 0,
            outputs,
            tile: vec![0.0; TILE * outputs],
            waiting: 0,
            columns,
        }
    }

    /// Where the next draw's outputs go; what stands there counts once it is kept.
    pub(super) fn next(&mut self) -> &mut [f64] {
        &mut self.tile[self.waiting * self.outputs..(self.waiting + 1) * self.outputs]
    }

    /// Counts the draw that was filled in last.
    pub(super) fn keep(&mut self) {
        self.waiting += 1;
        if self.waiting == TILE || self.filled + self.waiting == self.size {
            for (output, column) in self.columns.iter_mut().enumerate() {
                let values = self.tile[output..].iter().step_by(self.outputs);
                let places = &mut column[self.filled..self.filled + self.waiting];
                places
                    .iter_mut()
                    .zip(values)
                    .for_each(|(place, value)| *place = *value);
            }
            self.filled += self.waiting;
            self.waiting = 0;
        }
    }

    pub(super) fn is_full(&self) -> bool {
        self.filled == self.size
    }

    /// Each output's values, when the block is full.
    pub(super) fn columns(&self) -> &[Vec<f64>] {
        &self.columns
    }

    /// Begins the next block.
    pub(super) fn clear(&mut self) {
        self.filled = 0;
        self.waiting = 0;
    }
}
