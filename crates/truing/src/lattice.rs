//! Columns that span the same lattice, nearly orthogonal: what makes the nearest point quick to find.

/// Lovász's factor: near 1 reduces most; beyond 0.99 the work grows faster than the search shrinks.
const LOVASZ: f64 = 0.99;

/// Coefficients below this are left alone: half, and rounding on top.
const SIZE_REDUCED: f64 = 0.5 + 1e-9;

/// An upper triangle R whose columns are a lattice's basis, and how its coordinates give the first ones.
///
/// The squared distance of turns t from a target is |R u − y|² with t = Z u, Z unimodular and exact.
#[derive(Debug, Clone)]
pub(crate) struct Basis {
    pub(crate) size: usize,
    /// R, column after column, the diagonal positive.
    pub(crate) triangle: Vec<f64>,
    /// Z, column after column.
    pub(crate) transform: Vec<i64>,
    /// Qᵀ b: the target in the triangle's axes.
    pub(crate) target: Vec<f64>,
    /// Squared distance that no coordinates take away.
    pub(crate) beyond: f64,
}

impl Basis {
    /// Triangle and target of the least-squares problem |A t − b|², A by columns of `rows`; eq. 7.7.
    pub(crate) fn of(mut columns: Vec<f64>, rows: usize, mut target: Vec<f64>) -> Self {
        let size = columns.len() / rows.max(1);
        for pivot in 0..size.min(rows) {
            let (head, tail) = columns.split_at_mut((pivot + 1) * rows);
            let mirror = &mut head[pivot * rows + pivot..];
            let norm = mirror.iter().map(|entry| entry * entry).sum::<f64>().sqrt();
            if norm == 0.0 {
                continue;
            }
            // The reflection that sends the column to +norm or −norm, whichever loses no digits.
            let image = if mirror[0] > 0.0 { -norm } else { norm };
            mirror[0] -= image;
            let scale = -1.0 / (image * mirror[0]);
            let reflect = |vector: &mut [f64], mirror: &[f64]| {
                let dot: f64 = vector
                    .iter()
                    .zip(mirror)
                    .map(|(one, other)| one * other)
                    .sum();
                for (entry, of) in vector.iter_mut().zip(mirror) {
                    *entry -= scale * dot * of;
                }
            };
            for column in tail.chunks_exact_mut(rows) {
                reflect(&mut column[pivot..], mirror);
            }
            reflect(&mut target[pivot..], mirror);
            mirror[0] = image;
        }
        let mut basis = Self {
            size,
            triangle: vec![0.0; size * size],
            transform: vec![0; size * size],
            target: vec![0.0; size],
            beyond: target.iter().skip(size).map(|entry| entry * entry).sum(),
        };
        for row in 0..size.min(rows) {
            let sign = columns[row * rows + row].signum();
            basis.target[row] = sign * target[row];
            for column in row..size {
                basis.triangle[column * size + row] = sign * columns[column * rows + row];
            }
        }
        for place in 0..size {
            basis.transform[place * size + place] = 1;
        }
        basis
    }

    /// The same lattice with its columns in this order: the last ones are searched first.
    pub(crate) fn ordered(&self, order: &[usize]) -> Self {
        let size = self.size;
        let columns = order
            .iter()
            .flat_map(|&column| &self.triangle[column * size..(column + 1) * size])
            .copied()
            .collect();
        let mut basis = Self::of(columns, size, self.target.clone());
        basis.beyond = self.beyond;
        for (place, &column) in order.iter().enumerate() {
            let (from, to) = (column * size, place * size);
            basis.transform[to..to + size].copy_from_slice(&self.transform[from..from + size]);
        }
        basis
    }

    /// Reduces the first `free` columns among themselves (Lenstra, Lenstra and Lovász, with Schnorr and Euchner's deep
    /// insertions), eq. 7.8; the others only by them, so that their coordinates stay what they are.
    pub(crate) fn reduce(&mut self, free: usize) {
        let mut place = 1;
        while place < free {
            for other in (0..place).rev() {
                self.take_away(other, place);
            }
            match self.better_place(place) {
                None => place += 1,
                Some(better) => {
                    for swapped in (better + 1..=place).rev() {
                        self.swap(swapped);
                    }
                    place = better.max(1);
                }
            }
        }
        for place in free..self.size {
            for other in (0..free).rev() {
                self.take_away(other, place);
            }
        }
    }

    /// The same as if every step counted by these rows too, one entry for each first column: so that the basis suits what is
    /// thin along them. Triangle and target stay those of the squares alone.
    pub(crate) fn reduce_beside(&mut self, free: usize, rows: &[Vec<f64>]) {
        if rows.is_empty() {
            return self.reduce(free);
        }
        let size = self.size;
        let mut longer = Vec::with_capacity(size * (size + rows.len()));
        for (column, turns) in self
            .triangle
            .chunks_exact(size)
            .zip(self.transform.chunks_exact(size))
        {
            longer.extend_from_slice(column);
            let along = |row: &Vec<f64>| {
                row.iter()
                    .zip(turns)
                    .map(|(one, of)| one * *of as f64)
                    .sum::<f64>()
            };
            longer.extend(rows.iter().map(along));
        }
        let height = size + rows.len();
        let mut beside = Self::of(longer, height, vec![0.0; height]);
        beside.reduce(free);
        let mut columns = vec![0.0; size * size];
        let mut transform = vec![0; size * size];
        for (place, shares) in beside.transform.chunks_exact(size).enumerate() {
            for (from, &share) in shares.iter().enumerate().filter(|(_, share)| **share != 0) {
                for row in 0..size {
                    columns[place * size + row] += share as f64 * self.triangle[from * size + row];
                    transform[place * size + row] += share * self.transform[from * size + row];
                }
            }
        }
        let beyond = self.beyond;
        *self = Self::of(columns, size, std::mem::take(&mut self.target));
        (self.transform, self.beyond) = (transform, beyond);
    }

    /// The coordinates beside the target: the last rounded first, each then as the later ones leave it.
    pub(crate) fn beside(&self) -> Vec<f64> {
        let size = self.size;
        let mut left = self.target.clone();
        let mut coordinates = vec![0.0; size];
        for place in (0..size).rev() {
            let column = &self.triangle[place * size..(place + 1) * size];
            coordinates[place] = (left[place] / column[place]).round();
            for (entry, of) in left.iter_mut().zip(column) {
                *entry -= coordinates[place] * of;
            }
        }
        coordinates
    }

    /// The first place at which a column would stand shorter than the one that stands there.
    fn better_place(&self, place: usize) -> Option<usize> {
        let column = &self.triangle[place * self.size..place * self.size + place + 1];
        let mut left: f64 = column.iter().map(|entry| entry * entry).sum();
        for (earlier, entry) in column[..place].iter().enumerate() {
            let own = self.triangle[earlier * self.size + earlier];
            if LOVASZ * own * own > left {
                return Some(earlier);
            }
            left -= entry * entry;
        }
        None
    }

    /// Takes the nearest whole multiple of one column away from a later one.
    fn take_away(&mut self, other: usize, place: usize) {
        let size = self.size;
        let share = self.triangle[place * size + other] / self.triangle[other * size + other];
        if share.abs() <= SIZE_REDUCED {
            return;
        }
        let multiple = share.round();
        let (head, tail) = self.triangle.split_at_mut(place * size);
        let from = &head[other * size..other * size + other + 1];
        for (entry, of) in tail.iter_mut().zip(from) {
            *entry -= multiple * of;
        }
        let whole = multiple as i64;
        let (head, tail) = self.transform.split_at_mut(place * size);
        for (entry, of) in tail[..size].iter_mut().zip(&head[other * size..]) {
            *entry -= whole * of;
        }
    }

    /// Swaps a column with the one before and makes the triangle one again.
    fn swap(&mut self, place: usize) {
        let size = self.size;
        for row in 0..size {
            self.triangle
                .swap((place - 1) * size + row, place * size + row);
            self.transform
                .swap((place - 1) * size + row, place * size + row);
        }
        let (upper, lower) = (place - 1, place);
        let (along, across) = (
            self.triangle[upper * size + upper],
            self.triangle[upper * size + lower],
        );
        let norm = along.hypot(across);
        let (cosine, sine) = (along / norm, across / norm);
        for column in self.triangle[upper * size..].chunks_exact_mut(size) {
            let (one, other) = (column[upper], column[lower]);
            column[upper] = cosine * one + sine * other;
            column[lower] = cosine * other - sine * one;
        }
        self.triangle[upper * size + lower] = 0.0;
        let (one, other) = (self.target[upper], self.target[lower]);
        self.target[upper] = cosine * one + sine * other;
        self.target[lower] = cosine * other - sine * one;
        if self.triangle[lower * size + lower] < 0.0 {
            for column in self.triangle[lower * size..].chunks_exact_mut(size) {
                column[lower] = -column[lower];
            }
            self.target[lower] = -self.target[lower];
        }
    }

    /// Side of the cube that is as large as a cell of the lattice: the geometric mean of the diagonal.
    pub(crate) fn spacing(&self) -> f64 {
        let diagonal = (0..self.size).map(|row| self.triangle[row * self.size + row]);
        let sum: f64 = diagonal.map(f64::ln).sum();
        (sum / self.size.max(1) as f64).exp()
    }

    /// The sum of squares at a point of the triangle's axes.
    pub(crate) fn floor(&self, point: &[f64]) -> f64 {
        let apart = point
            .iter()
            .zip(&self.target)
            .map(|(at, of)| (at - of).powi(2));
        self.beyond + apart.sum::<f64>()
    }

    /// The normal g of slopes over the coordinates: gᵀ R = slopes.
    pub(crate) fn normal(&self, slopes: &[f64]) -> Vec<f64> {
        let mut normal = vec![0.0; self.size];
        for (place, slope) in slopes.iter().enumerate() {
            let column = &self.triangle[place * self.size..place * self.size + place + 1];
            let known: f64 = column
                .iter()
                .zip(&normal[..place])
                .map(|(one, other)| one * other)
                .sum();
            normal[place] = (slope - known) / column[place];
        }
        normal
    }

    /// The coordinates of a point: R u = point.
    pub(crate) fn coordinates(&self, point: &[f64]) -> Vec<f64> {
        let mut rest = point.to_vec();
        for place in (0..self.size).rev() {
            let column = &self.triangle[place * self.size..place * self.size + place + 1];
            let coordinate = rest[place] / column[place];
            for (entry, of) in rest[..place].iter_mut().zip(column) {
                *entry -= coordinate * of;
            }
            rest[place] = coordinate;
        }
        rest
    }

    /// The turns that coordinates stand for.
    pub(crate) fn turns(&self, coordinates: &[f64], turns: &mut [i64]) {
        turns.fill(0);
        for (column, &coordinate) in self.transform.chunks_exact(self.size).zip(coordinates) {
            let whole = coordinate as i64;
            if whole != 0 {
                for (turn, of) in turns.iter_mut().zip(column) {
                    *turn += whole * of;
                }
            }
        }
    }
}
