//! What moves at a node of the rim, and what is laid on it: three shifts or forces, three spins or
//! moments and, on a rim that resists warping, the rate of twist or bimoment.

use nalgebra::{SMatrix, SVector, Vector3};

/// Unknowns of a node where twist meets GJ alone.
pub(crate) const PLAIN: usize = 6;

/// Unknowns of a node on a rim that resists warping.
pub(crate) const WARPING: usize = 7;

/// Row of the rate of twist, and of the bimoment.
pub(crate) const TWIST: usize = 6;

/// The movement of one node, or the load on it.
pub(crate) type Part<const N: usize> = SVector<f64, N>;

/// Binds two movements or loads.
pub(crate) type Block<const N: usize> = SMatrix<f64, N, N>;

/// Shift over spin, or force over moment; nothing in the last row, if there is one.
pub(crate) fn stacked<const N: usize>(upper: &Vector3<f64>, lower: &Vector3<f64>) -> Part<N> {
    let mut part = Part::<N>::zeros();
    part.fixed_rows_mut::<3>(0).copy_from(upper);
    part.fixed_rows_mut::<3>(3).copy_from(lower);
    part
}

/// Shift or force.
pub(crate) fn upper<const N: usize>(part: &Part<N>) -> Vector3<f64> {
    part.fixed_rows::<3>(0).into_owned()
}

/// Spin or moment.
pub(crate) fn lower<const N: usize>(part: &Part<N>) -> Vector3<f64> {
    part.fixed_rows::<3>(3).into_owned()
}

/// The last row, nothing where there is none.
pub(crate) fn twist<const N: usize>(part: &Part<N>) -> f64 {
    if N == WARPING { part[TWIST] } else { 0.0 }
}

/// Sets the last row, if there is one.
pub(crate) fn set_twist<const N: usize>(part: &mut Part<N>, value: f64) {
    if N == WARPING {
        part[TWIST] = value;
    }
}
