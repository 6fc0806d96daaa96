//! Two vectors worked on at once: what a processor does with two numbers in the time of one.

use nalgebra::Vector3;

/// Two vectors, by component.
pub(crate) type Pair = [[f64; 2]; 3];

pub(crate) const NONE: Pair = [[0.0; 2]; 3];

/// The two of them, one beside the other.
pub(crate) fn pair(one: &Vector3<f64>, other: &Vector3<f64>) -> Pair {
    [0, 1, 2].map(|axis| [one[axis], other[axis]])
}

/// One of the two.
pub(crate) fn of(pair: &Pair, which: usize) -> Vector3<f64> {
    Vector3::new(pair[0][which], pair[1][which], pair[2][which])
}

/// Adds the cross products of both with the two others, each with its own.
#[inline(always)]
pub(crate) fn add_crossed(sum: &mut Pair, a: &Pair, b: &Pair) {
    for lane in 0..2 {
        sum[0][lane] += a[1][lane] * b[2][lane] - a[2][lane] * b[1][lane];
        sum[1][lane] += a[2][lane] * b[0][lane] - a[0][lane] * b[2][lane];
        sum[2][lane] += a[0][lane] * b[1][lane] - a[1][lane] * b[0][lane];
    }
}

/// Adds both.
#[inline(always)]
pub(crate) fn add(sum: &mut Pair, other: &Pair) {
    for axis in 0..3 {
        for lane in 0..2 {
            sum[axis][lane] += other[axis][lane];
        }
    }
}

/// Both times a number.
#[inline(always)]
pub(crate) fn scaled(pair: &Pair, factor: f64) -> Pair {
    pair.map(|axis| axis.map(|one| one * factor))
}

/// The larger of each one's components.
#[inline(always)]
pub(crate) fn sizes([a, b, c]: &Pair) -> [f64; 2] {
    [0, 1].map(|lane: usize| a[lane].abs().max(b[lane].abs()).max(c[lane].abs()))
}
