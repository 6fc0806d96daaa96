//! The exact curve of one loaded arc, as power series in its length.

use crate::bay::{EndLoad, Reach, Response};
use crate::error::Error;
use crate::growth::{SERIES_TERMS, SERIES_TOLERANCE, StressedArc, WarpingRows};
use crate::section::Section;
use crate::twisting::{GAUSS, Twisting};
use crate::unknowns::{Part, TWIST, WARPING, set_twist, stacked};
use nalgebra::{Matrix3, Vector3};

/// An arc and the shape it would take if nothing loaded it, as series in the share of its length.
pub(crate) struct FreeArc<'bay> {
    pub(crate) section: &'bay Section,
    pub(crate) angle: f64,
    pub(crate) curvature: &'bay [Vector3<f64>],
    pub(crate) stretch: &'bay [Vector3<f64>],
    pub(crate) twisting: &'bay Twisting,
}

/// Where a loaded arc ends, and how it yields there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Curve<const N: usize> {
    pub(crate) reach: Reach,
    /// Rate of twist and bimoment at the far end; nothing unless the rim resists warping.
    pub(crate) twist: f64,
    pub(crate) bimoment: f64,
    /// The far end's answer to changes at the start, by virtual forces on this curve; eq. 3.9, 3.26, 3.27.
    pub(crate) response: Response<N>,
}

impl<const N: usize> Curve<N> {
    /// How far this end lies from the other: shift, then small turn, in the start's axes, and rate of twist.
    pub(crate) fn departure_from(&self, other: &Self) -> Part<N> {
        let mut departure = self.reach.departure_from(&other.reach);
        set_twist(&mut departure, self.twist - other.twist);
        departure
    }
}

/// Force, moment, the start's first two axes and its place, all seen from the moving axes: series along the arc.
type Rows = [[Vector3<f64>; SERIES_TERMS + 1]; 5];

impl FreeArc<'_> {
    /// The curve when the start carries `load`; eq. 3.6.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn under<const N: usize>(&self, load: EndLoad) -> Result<Curve<N>, Error> {
        let zero = Vector3::zeros();
        let length_m = self.section.radius_m * self.angle;
        let mut rows: Rows = [[zero; SERIES_TERMS + 1]; 5];
        let mut warping: WarpingRows = [[0.0; SERIES_TERMS + 1]; 2];
        let (mut curvature, mut stretch) = ([zero; SERIES_TERMS + 1], [zero; SERIES_TERMS + 1]);
        rows[0][0] = load.force;
        rows[1][0] = load.moment;
        rows[2][0][0] = 1.0;
        rows[3][0][1] = 1.0;
        (warping[0][0], warping[1][0]) = (load.twist, load.bimoment);
        let mut vanishing = 0;
        for order in 0..SERIES_TERMS {
            let (force, moment) = (rows[0][order], rows[1][order]);
            let twist = if N == WARPING {
                warping[0][order]
            } else {
                self.section.free_twist(&force, &moment)
            };
            let (strained, bent) = self.section.strain(&force, &moment, twist);
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
            let mut largest = rows[2][order + 1]
                .amax()
                .max(rows[3][order + 1].amax())
                .max(rows[4][order + 1].amax() / length_m);
            if N == WARPING {
                let arc = StressedArc {
                    section: self.section,
                    angle: self.angle,
                };
                arc.warp(&mut warping, order, self.section.torque(&force, &moment));
                let [turned, bimoment] = [warping[0][order + 1], warping[1][order + 1]];
                let grown = bimoment / self.section.warping_n_m4 * length_m;
                largest = largest
                    .max(turned.abs() * length_m)
                    .max(grown.abs() * length_m);
            }
            vanishing = if largest < SERIES_TOLERANCE {
                vanishing + 1
            } else {
                0
            };
            if vanishing == 2 {
                return Ok(self.ended(&rows, &warping, order + 1));
            }
        }
        Err(Error::RimOverloaded {
            arc_deg: self.angle.to_degrees(),
        })
    }

    /// The end of a curve whose series stop at `last`.
    fn ended<const N: usize>(&self, rows: &Rows, warping: &WarpingRows, last: usize) -> Curve<N> {
        let (turn, chord) = point(rows, last, 1.0);
        let [twist, bimoment] = if N == WARPING {
            warping.map(|row| row[..=last].iter().rev().sum())
        } else {
            [0.0; 2]
        };
        Curve {
            reach: Reach { turn, chord },
            twist,
            bimoment,
            response: self.response(rows, last, &chord),
        }
    }

    /// Virtual forces on a curve whose series stop at `last` and that ends at `chord`.
    fn response<const N: usize>(
        &self,
        rows: &Rows,
        last: usize,
        chord: &Vector3<f64>,
    ) -> Response<N> {
        let length_m = self.section.radius_m * self.angle;
        let Section {
            axial_n,
            in_plane_n_m2,
            lateral_n_m2,
            torsion_n_m2,
            shear_centre_m,
            ..
        } = *self.section;
        let mut response = Response::<N>::NONE;
        let (mut twisted, mut torques) = ([Part::<N>::zeros(); 3], [Part::<N>::zeros(); 3]);
        for (mark, (share, weight)) in GAUSS.into_iter().enumerate() {
            let (axes, place) = point(rows, last, share);
            let [outward, along, right] = [0, 1, 2].map(|axis| axes.column(axis).into_owned());
            let mut add = |reached: Part<N>, carried: Part<N>, stiffness: f64| {
                response.flexibility +=
                    reached * carried.transpose() * (weight * length_m / stiffness);
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
                if N == WARPING && axis == along {
                    (twisted[mark], torques[mark]) = (reached, carried);
                } else {
                    add(reached, carried, rigidity);
                }
            }
        }
        if N == WARPING {
            self.twist(&mut response, &twisted, &torques);
        }
        response
    }

    /// Adds what twist does, which hangs on the torque of the whole arc: `twisted` is the movement of the far end per
    /// twist at each Gauss point, `torques` the torque there per start load.
    fn twist<const N: usize>(
        &self,
        response: &mut Response<N>,
        twisted: &[Part<N>; 3],
        torques: &[Part<N>; 3],
    ) {
        let Twisting {
            torque,
            bimoment,
            twist,
            far_per_torque,
            far_per_bimoment,
            far_per_twist,
        } = self.twisting;
        let mut per_bimoment = Part::<N>::zeros();
        let mut far_twist = Part::<N>::zeros();
        for (place, moved) in twisted.iter().enumerate() {
            let mut total = Part::<N>::zeros();
            for (carried, share) in torques.iter().zip(&torque[place]) {
                total += carried * *share;
            }
            response.flexibility += moved * total.transpose();
            per_bimoment += moved * bimoment[place];
            response.from_twist += moved * twist[place];
            far_twist += torques[place] * far_per_torque[0][place];
            response.far_bimoment += torques[place] * far_per_torque[1][place];
        }
        far_twist[TWIST] = far_per_bimoment[0];
        response.flexibility.set_column(TWIST, &per_bimoment);
        response.flexibility.set_row(TWIST, &far_twist.transpose());
        response.far_bimoment[TWIST] = far_per_bimoment[1];
        response.from_twist[TWIST] = far_per_twist[0];
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

/// The coefficient of a series that was cut where it vanishes.
fn term(series: &[Vector3<f64>], order: usize) -> Vector3<f64> {
    series.get(order).copied().unwrap_or_else(Vector3::zeros)
}
