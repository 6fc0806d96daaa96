//! Measured tensions held against the hub's statics: the ratio to expect, the test of a lap, and the
//! tensions that statics and readings together make likeliest (theory §5.2).

use crate::evenness::Value;
use crate::tension::Tensions;
use mechanics::statics::{Equilibrium, GeometryError};
use nalgebra::{DMatrix, DVector, SMatrix};
use quantity::distribution::chi_squared_tail;
use wheel::{Side, Wheel};

/// Eigenvalues of the resultants' covariance below this share of the largest carry nothing.
const RANK_TOLERANCE: f64 = 1e-12;

/// A complete lap against statics.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Mean tension left over mean tension right that the geometry asks for.
    pub ratio_expected: Option<Value>,
    /// The same as read.
    pub ratio_found: Option<Value>,
    /// χ² of the resultants.
    pub chi_squared: f64,
    /// How many of the six count.
    pub degrees_of_freedom: usize,
    /// Probability of resultants this large or larger from noise, curve and geometry alone.
    pub p_value: f64,
    /// What the readings leave on the hub: forces x, y, z in newtons, moments in newton metres.
    pub resultants: [f64; 6],
    /// Tensions reconciled with statics, with their standard uncertainties, in newtons.
    pub reconciled_n: Vec<Value>,
}

/// Variances of the geometry's errors, in m², in the order of [`GeometryError::ALL`].
#[must_use]
pub fn geometry_variances(wheel: &Wheel) -> [f64; 3] {
    GeometryError::ALL.map(|error| {
        let u = match error {
            GeometryError::FlangeOffset(_) => wheel.doubt.flange_offset_u,
            GeometryError::Dish => wheel.doubt.dish_u,
        };
        u.to_m() * u.to_m()
    })
}

/// Holds a lap against statics; none unless every spoke of the wheel has a force.
#[must_use]
pub fn balance(wheel: &Wheel, tensions: &Tensions) -> Option<Balance> {
    let tensions_n = tensions.in_newtons()?;
    let covariance = tensions.covariance()?;
    let count = tensions_n.len();
    let equilibrium = Equilibrium::of(wheel);
    let found = equilibrium.resultants(&tensions_n);
    let rows = DMatrix::from_fn(6, count, |row, spoke| {
        equilibrium.column(wheel::SpokeIndex(spoke))[row]
    });
    let readings = DMatrix::from_fn(count, count, |row, column| covariance.get(row, column));
    let carried = &readings * rows.transpose();
    let mut spread: SMatrix<f64, 6, 6> = (&rows * &carried).fixed_view::<6, 6>(0, 0).into();
    let sensitivity = Equilibrium::geometry_sensitivity(wheel, &tensions_n);
    for (change, variance) in sensitivity.iter().zip(geometry_variances(wheel)) {
        let change = SMatrix::<f64, 6, 1>::from_row_slice(change);
        spread += change * change.transpose() * variance;
    }
    let covariance_rows: [[f64; 6]; 6] =
        std::array::from_fn(|row| std::array::from_fn(|column| spread[(row, column)]));
    let (chi_squared, degrees_of_freedom) = Equilibrium::chi_squared(found, covariance_rows);
    let inverse = pseudo_inverse(&spread);
    let gain = &carried * DMatrix::from_fn(6, 6, |row, column| inverse[(row, column)]); // C Gᵀ V⁺
    let correction = &gain * DVector::from_row_slice(&found);
    let less = &gain * carried.transpose();
    let reconciled_n = (0..count)
        .map(|spoke| Value {
            value: tensions_n[spoke] - correction[spoke],
            u: (readings[(spoke, spoke)] - less[(spoke, spoke)])
                .max(0.0)
                .sqrt(),
        })
        .collect();
    Some(Balance {
        ratio_expected: expected_ratio(wheel, &equilibrium),
        ratio_found: found_ratio(wheel, &tensions_n, &readings),
        chi_squared,
        degrees_of_freedom,
        p_value: if degrees_of_freedom == 0 {
            1.0
        } else {
            chi_squared_tail(chi_squared, degrees_of_freedom as f64)
        },
        resultants: found,
        reconciled_n,
    })
}

/// V⁺ with moments levelled against forces by a flange's radius, as in the statics.
fn pseudo_inverse(spread: &SMatrix<f64, 6, 6>) -> SMatrix<f64, 6, 6> {
    let level = SMatrix::<f64, 6, 6>::from_diagonal(&SMatrix::<f64, 6, 1>::from_row_slice(&[
        1.0,
        1.0,
        1.0,
        1.0 / 0.03,
        1.0 / 0.03,
        1.0 / 0.03,
    ]));
    let eigen = (level * spread * level).symmetric_eigen();
    let threshold = RANK_TOLERANCE * eigen.eigenvalues.max();
    let mut inverse = SMatrix::<f64, 6, 6>::zeros();
    for (value, vector) in eigen
        .eigenvalues
        .iter()
        .zip(eigen.eigenvectors.column_iter())
    {
        if *value > threshold {
            inverse += vector * vector.transpose() / *value;
        }
    }
    level * inverse * level
}

/// The ratio that geometry asks for, with what flange offsets and dish leave open.
#[must_use]
pub fn expected_ratio(wheel: &Wheel, equilibrium: &Equilibrium) -> Option<Value> {
    let ratio = equilibrium.left_to_right(wheel)?;
    let only = |side: Side| -> Vec<f64> {
        wheel
            .spokes
            .iter()
            .map(|spoke| f64::from(u8::from(spoke.side == side)))
            .collect()
    };
    // Axial pull of one newton in every spoke of a side, and how the geometry's errors move it.
    let (right, left) = (only(Side::Right), only(Side::Left));
    let left_axial = equilibrium.resultants(&left)[2];
    let (by_right, by_left) = (
        Equilibrium::geometry_sensitivity(wheel, &right),
        Equilibrium::geometry_sensitivity(wheel, &left),
    );
    let variance: f64 = geometry_variances(wheel)
        .iter()
        .enumerate()
        .map(|(error, variance)| {
            let change = -(by_right[error][2] + ratio * by_left[error][2]) / left_axial;
            change * change * variance
        })
        .sum();
    // Left over right takes the sides' counts into account through the sums of unit tensions.
    Some(Value {
        value: ratio,
        u: variance.sqrt(),
    })
}

fn found_ratio(wheel: &Wheel, tensions_n: &[f64], covariance: &DMatrix<f64>) -> Option<Value> {
    let places = |side: Side| -> Vec<usize> {
        wheel
            .placed()
            .filter(|(_, spoke)| spoke.side == side)
            .map(|(place, _)| place.0)
            .collect()
    };
    let (right, left) = (places(Side::Right), places(Side::Left));
    if right.is_empty() || left.is_empty() {
        return None;
    }
    let mean = |some: &[usize]| {
        some.iter().map(|place| tensions_n[*place]).sum::<f64>() / some.len() as f64
    };
    let (right_n, left_n) = (mean(&right), mean(&left));
    let ratio = left_n / right_n;
    let mut slope = DVector::zeros(tensions_n.len());
    for place in &left {
        slope[*place] = 1.0 / (left.len() as f64 * right_n);
    }
    for place in &right {
        slope[*place] = -ratio / (right.len() as f64 * right_n);
    }
    let variance = (slope.transpose() * covariance * &slope)[0];
    Some(Value {
        value: ratio,
        u: variance.max(0.0).sqrt(),
    })
}
