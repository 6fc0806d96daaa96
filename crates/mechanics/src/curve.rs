//! The exact curve of one loaded arc, as power series in its length.

use crate::bay::{EndLoad, Reach, SERIES_TERMS, SERIES_TOLERANCE};
use crate::error::Error;
use crate::section::Section;
use nalgebra::{Matrix3, Matrix6, Vector3, Vector6};

/// Gauss points (share of the arc) and weights for the flexibility about a curve.
const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258_31, 0.277_777_777_777_777_8),
    (0.5, 0.444_444_444_444_444_4),
    (0.887_298_334_620_741_7, 0.277_777_777_777_777_8),
];

/// An arc and the shape it would take if nothing loaded it, as series in the share of its length.
pub(crate) struct FreeArc<'bay> {
    pub(crate) section: &'bay Section,
    pub(crate) angle: f64,
    pub(crate) curvature: &'bay [Vector3<f64>],
    pub(crate) stretch: &'bay [Vector3<f64>],
}

/// Where a loaded arc ends, and how it yields there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Curve {
    pub(crate) reach: Reach,
    /// Movement of the far end per change of the start's load by virtual forces on this curve; eq. 3.9.
    pub(crate) flexibility: Matrix6<f64>,
}

/// The start's first two axes and its place, seen from the moving axes: series along the arc.
type Rows = [[Vector3<f64>; SERIES_TERMS + 1]; 5];

impl FreeArc<'_> {
    /// The curve when the start carries `load`; eq. 3.6.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn under(&self, load: EndLoad) -> Result<Curve, Error> {
        let zero = Vector3::zeros();
        let length_m = self.section.radius_m * self.angle;
        // Rows: force, moment, then those of `Rows`' description, all in the moving axes.
        let mut rows: Rows = [[zero; SERIES_TERMS + 1]; 5];
        let (mut curvature, mut stretch) = ([zero; SERIES_TERMS + 1], [zero; SERIES_TERMS + 1]);
        rows[0][0] = load.force;
        rows[1][0] = load.moment;
        rows[2][0][0] = 1.0;
        rows[3][0][1] = 1.0;
        let mut vanishing = 0;
        for order in 0..SERIES_TERMS {
            let (strained, bent) = self.section.strain(&rows[0][order], &rows[1][order]);
            curvature[order] = bent * length_m + term(self.curvature, order);
            stretch[order] = strained * length_m + term(self.stretch, order);
            let mut next = [zero; 5];
            for back in 0..=order {
                for (row, grown) in rows.iter().zip(&mut next) {
                    *grown += row[order - back].cross(&curvature[back]);
                }
                next[1] += rows[0][order - back].cross(&stretch[back]);
            }
            next[4] += stretch[order];
            for (row, grown) in rows.iter_mut().zip(next) {
                row[order + 1] = grown / (order + 1) as f64;
            }
            let largest = rows[2][order + 1]
                .amax()
                .max(rows[3][order + 1].amax())
                .max(rows[4][order + 1].amax() / length_m);
            vanishing = if largest < SERIES_TOLERANCE {
                vanishing + 1
            } else {
                0
            };
            if vanishing == 2 {
                return Ok(self.measured(&rows, order + 1));
            }
        }
        Err(Error::RimOverloaded {
            arc_deg: self.angle.to_degrees(),
        })
    }

    /// End and flexibility of a curve whose series stop at `last`.
    fn measured(&self, rows: &Rows, last: usize) -> Curve {
        let (turn, chord) = point(rows, last, 1.0);
        let length_m = self.section.radius_m * self.angle;
        let Section {
            axial_n,
            in_plane_n_m2,
            lateral_n_m2,
            torsion_n_m2,
            shear_centre_m,
            ..
        } = *self.section;
        let mut flexibility = Matrix6::zeros();
        for (share, weight) in GAUSS {
            let (axes, place) = point(rows, last, share);
            let [outward, along, right] = [0, 1, 2].map(|axis| axes.column(axis).into_owned());
            let mut add = |reached: Vector6<f64>, carried: Vector6<f64>, stiffness: f64| {
                flexibility += reached * carried.transpose() * (weight * length_m / stiffness);
            };
            let stretched = stacked(&along, &Vector3::zeros());
            add(stretched, stretched, axial_n);
            for (axis, rigidity, beside) in [
                (outward, lateral_n_m2, 0.0),
                (along, torsion_n_m2, shear_centre_m),
                (right, in_plane_n_m2, 0.0),
            ] {
                let shear = right * beside;
                let reached = stacked(&(axis.cross(&(chord - place)) + shear), &axis);
                let carried = stacked(&(place.cross(&axis) + shear), &axis);
                add(reached, carried, rigidity);
            }
        }
        Curve {
            reach: Reach { turn, chord },
            flexibility,
        }
    }
}

/// Axes (as columns) and place at a share of the arc, in the start's axes.
fn point(rows: &Rows, last: usize, share: f64) -> (Matrix3<f64>, Vector3<f64>) {
    let [first, second, place] = [2, 3, 4].map(|row: usize| {
        rows[row][..=last]
            .iter()
            .rev()
            .fold(Vector3::zeros(), |sum, term| sum * share + term)
    });
    let third = first.cross(&second);
    let axes = Matrix3::from_rows(&[first.transpose(), second.transpose(), third.transpose()]);
    (axes, axes * place)
}

fn stacked(upper: &Vector3<f64>, lower: &Vector3<f64>) -> Vector6<f64> {
    Vector6::new(upper[0], upper[1], upper[2], lower[0], lower[1], lower[2])
}

/// The coefficient of a series that was cut where it vanishes.
fn term(series: &[Vector3<f64>], order: usize) -> Vector3<f64> {
    series.get(order).copied().unwrap_or_else(Vector3::zeros)
}
