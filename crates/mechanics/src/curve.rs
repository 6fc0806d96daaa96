//! The exact curve of one loaded arc, as power series in its length.

use crate::bay::{EndLoad, Reach};
use crate::error::Error;
use crate::growth::{SERIES_TERMS, SERIES_TOLERANCE, StressedArc, WarpingRows};
use crate::pairs::{self, Pair, pair};
use crate::rigidity::Response;
use crate::section::Section;
use crate::twisting::{GAUSS, Twisting};
use crate::unknowns::{Part, TWIST, WARPING, set_twist, stacked};
use nalgebra::{Matrix3, SMatrix, Vector3};

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

/// How the arc yields in its reference state at a Gauss point, in the axes of that place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Yielding<const N: usize> {
    /// What is carried there.
    pub(crate) force: Vector3<f64>,
    pub(crate) moment: Vector3<f64>,
    /// Spin and shift per change of the start's load.
    pub(crate) spin: SMatrix<f64, 3, N>,
    pub(crate) shift: SMatrix<f64, 3, N>,
}

impl<const N: usize> Yielding<N> {
    /// What is carried more when the place yields under other loads than those of the reference state: force and
    /// moment per change of the start's load (δn × … of eq. 3.8).
    fn turned(&self, force: &Vector3<f64>, moment: &Vector3<f64>) -> [SMatrix<f64, 3, N>; 2] {
        let force = (force - self.force).cross_matrix();
        let moment = (moment - self.moment).cross_matrix();
        [force * self.spin, force * self.shift + moment * self.spin]
    }
}

/// One coefficient of the series along the arc, all seen from the moving axes.
#[derive(Debug, Clone, Copy)]
struct Term {
    force_and_moment: Pair,
    /// The start's first two axes.
    axes: Pair,
    /// The start's place, and the force again, which the stretch turns into moment.
    place_and_force: Pair,
}

impl Term {
    const NONE: Self = Self {
        force_and_moment: pairs::NONE,
        axes: pairs::NONE,
        place_and_force: pairs::NONE,
    };

    /// The sum of the series at a share of the arc.
    fn at(rows: &[Self], share: f64) -> Self {
        let mut sum = Self::NONE;
        for term in rows.iter().rev() {
            for (sum, term) in [
                (&mut sum.force_and_moment, &term.force_and_moment),
                (&mut sum.axes, &term.axes),
                (&mut sum.place_and_force, &term.place_and_force),
            ] {
                *sum = pairs::scaled(sum, share);
                pairs::add(sum, term);
            }
        }
        sum
    }

    /// Axes (as columns) and place, in the start's axes.
    fn place(&self) -> (Matrix3<f64>, Vector3<f64>) {
        let [first, second] = [0, 1].map(|which| pairs::of(&self.axes, which));
        let third = first.cross(&second);
        let axes = Matrix3::from_rows(&[first.transpose(), second.transpose(), third.transpose()]);
        (axes, axes * pairs::of(&self.place_and_force, 0))
    }
}

type Rows = [Term; SERIES_TERMS + 1];

impl FreeArc<'_> {
    /// The curve when the start carries `load`; eq. 3.6.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn under<const N: usize>(
        &self,
        load: EndLoad,
        yielding: &[Yielding<N>; 3],
    ) -> Result<Curve<N>, Error> {
        let length_m = self.section.radius_m * self.angle;
        let mut rows: Rows = [Term::NONE; SERIES_TERMS + 1];
        let mut warping: WarpingRows = [[0.0; SERIES_TERMS + 1]; 2];
        let mut curvature = [pairs::NONE; SERIES_TERMS + 1];
        let mut curvature_and_stretch = [pairs::NONE; SERIES_TERMS + 1];
        rows[0] = Term {
            force_and_moment: pair(&load.force, &load.moment),
            axes: pair(&Vector3::x(), &Vector3::y()),
            place_and_force: pair(&Vector3::zeros(), &load.force),
        };
        (warping[0][0], warping[1][0]) = (load.twist, load.bimoment);
        let mut vanishing = 0;
        for order in 0..SERIES_TERMS {
            let [force, moment] =
                [0, 1].map(|which| pairs::of(&rows[order].force_and_moment, which));
            let twist = if N == WARPING {
                warping[0][order]
            } else {
                self.section.free_twist(&force, &moment)
            };
            let (strained, bent) = self.section.strain(&force, &moment, twist);
            let bent = bent * length_m + term(self.curvature, order);
            let stretch = strained * length_m + term(self.stretch, order);
            curvature[order] = pair(&bent, &bent);
            curvature_and_stretch[order] = pair(&bent, &stretch);
            let mut next = Term::NONE;
            let turns = curvature[..=order].iter().zip(&curvature_and_stretch);
            for (row, (curvature, curvature_and_stretch)) in rows[..=order].iter().rev().zip(turns)
            {
                pairs::add_crossed(&mut next.force_and_moment, &row.force_and_moment, curvature);
                pairs::add_crossed(&mut next.axes, &row.axes, curvature);
                pairs::add_crossed(
                    &mut next.place_and_force,
                    &row.place_and_force,
                    curvature_and_stretch,
                );
            }
            // The last product is what stretch makes of force: moment. The force's own goes in its place.
            for axis in 0..3 {
                next.force_and_moment[axis][1] += next.place_and_force[axis][1];
                next.place_and_force[axis][0] += stretch[axis];
                next.place_and_force[axis][1] = next.force_and_moment[axis][0];
            }
            let share = 1.0 / (order + 1) as f64;
            let next = Term {
                force_and_moment: pairs::scaled(&next.force_and_moment, share),
                axes: pairs::scaled(&next.axes, share),
                place_and_force: pairs::scaled(&next.place_and_force, share),
            };
            rows[order + 1] = next;
            let [first, second] = pairs::sizes(&next.axes);
            let [place, _] = pairs::sizes(&next.place_and_force);
            let mut largest = first.max(second).max(place / length_m);
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
                return Ok(self.ended(&rows[..=order + 1], &warping, yielding));
            }
        }
        Err(Error::RimOverloaded {
            arc_deg: self.angle.to_degrees(),
        })
    }

    /// The end of a curve with these series.
    fn ended<const N: usize>(
        &self,
        rows: &[Term],
        warping: &WarpingRows,
        yielding: &[Yielding<N>; 3],
    ) -> Curve<N> {
        let (turn, chord) = Term::at(rows, 1.0).place();
        let [twist, bimoment] = if N == WARPING {
            warping.map(|row| row[..rows.len()].iter().rev().sum())
        } else {
            [0.0; 2]
        };
        Curve {
            reach: Reach { turn, chord },
            twist,
            bimoment,
            response: self.response(rows, &chord, yielding),
        }
    }

    /// Virtual forces on a curve that ends at `chord`.
    fn response<const N: usize>(
        &self,
        rows: &[Term],
        chord: &Vector3<f64>,
        yielding: &[Yielding<N>; 3],
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
        for (mark, ((share, weight), yielding)) in GAUSS.into_iter().zip(yielding).enumerate() {
            let here = Term::at(rows, share);
            let (axes, place) = here.place();
            let [force, moment] = [0, 1].map(|which| pairs::of(&here.force_and_moment, which));
            let [more_force, more_moment] = yielding.turned(&force, &moment);
            let [outward, along, right] = [0, 1, 2].map(|axis| axes.column(axis).into_owned());
            let mut add = |reached: Part<N>, carried: Part<N>, stiffness: f64| {
                response.flexibility +=
                    reached * carried.transpose() * (weight * length_m / stiffness);
            };
            let stretched = stacked(&along, &Vector3::zeros());
            add(
                stretched,
                stretched + more_force.row(1).transpose(),
                axial_n,
            );
            for (row, axis, rigidity, beside) in [
                (0, outward, lateral_n_m2, 0.0),
                (1, along, torsion_n_m2, shear_centre_m),
                (2, right, in_plane_n_m2, 0.0),
            ] {
                let shear = right * beside;
                let reached = stacked(&(axis.cross(&(chord - place)) + shear), &axis);
                let more = more_moment.row(row) + more_force.row(2) * beside;
                let carried = stacked(&(place.cross(&axis) + shear), &axis) + more.transpose();
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

/// The coefficient of a series that was cut where it vanishes.
fn term(series: &[Vector3<f64>], order: usize) -> Vector3<f64> {
    series.get(order).copied().unwrap_or_else(Vector3::zeros)
}
