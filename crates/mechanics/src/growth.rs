//! What a small change at the start of a stressed arc of the circle grows into along it.
//!
//! Nothing is sampled: every quantity is a power series in the share of the arc, carried until its terms
//! vanish (theory §3.2).

use crate::bay::EndLoad;
use crate::error::Error;
use crate::section::Section;
use crate::unknowns::WARPING;
use nalgebra::Vector3;

/// Series stop once two terms running fall below this share of their sum: rounding itself.
pub(crate) const SERIES_TOLERANCE: f64 = 1e-16;

/// Terms at most; an arc of 30° under any load short of collapse needs about 16, one along which warping
/// fades by [`crate::mesh::LONGEST_FADING`] about 32.
pub(crate) const SERIES_TERMS: usize = 40;

/// Direction along the rim in local axes.
const ALONG: Vector3<f64> = Vector3::new(0.0, 1.0, 0.0);

/// What changes at the start, or along the arc.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Column {
    /// One of force, moment and bimoment at the start, by one.
    Load(usize),
    /// The start's rate of twist, by one.
    Twist,
    /// The uniform inward line load, by 1 N/m.
    LineLoad,
}

/// What is found at the far end, in its axes.
pub(crate) struct Grown {
    pub(crate) force: Vector3<f64>,
    pub(crate) moment: Vector3<f64>,
    pub(crate) spin: Vector3<f64>,
    pub(crate) shift: Vector3<f64>,
    pub(crate) twist: f64,
    pub(crate) bimoment: f64,
}

/// An arc of the circle under stress.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StressedArc<'bay> {
    pub(crate) section: &'bay Section,
    pub(crate) angle: f64,
}

/// Force, moment, spin and shift along the arc.
type Rows = [[Vector3<f64>; SERIES_TERMS + 1]; 4];

/// Rate of twist and bimoment along the arc.
pub(crate) type WarpingRows = [[f64; SERIES_TERMS + 1]; 2];

impl StressedArc<'_> {
    /// Linear growth of one column about a state that carries the series `carried` (none without stress); eq. 3.8.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn grow<const N: usize>(
        &self,
        column: Column,
        carried: &[EndLoad],
    ) -> Result<Grown, Error> {
        let zero = Vector3::zeros();
        let length_m = self.section.radius_m * self.angle;
        let about = Vector3::new(0.0, 0.0, self.angle);
        let mut rows: Rows = [[zero; SERIES_TERMS + 1]; 4];
        let mut warping: WarpingRows = [[0.0; SERIES_TERMS + 1]; 2];
        let (mut bent, mut strained) = ([zero; SERIES_TERMS + 1], [zero; SERIES_TERMS + 1]);
        match column {
            Column::Load(row) if row < 6 => rows[row / 3][0][row % 3] = 1.0,
            Column::Load(_) => warping[1][0] = 1.0,
            Column::Twist => warping[0][0] = 1.0,
            Column::LineLoad => {}
        }
        let mut sums = [rows[0][0], rows[1][0], zero, zero];
        let mut peaks = sums.map(|sum| sum.amax());
        let mut warped = [warping[0][0], warping[1][0]];
        let mut warped_peaks = warped;
        let mut vanishing = 0;
        for order in 0..SERIES_TERMS {
            let [force, moment, spin, shift] = [0, 1, 2, 3].map(|row: usize| rows[row][order]);
            let twist = if N == WARPING {
                warping[0][order]
            } else {
                self.section.free_twist(&force, &moment)
            };
            let (stretch, curvature) = self.section.strain(&force, &moment, twist);
            bent[order] = curvature * length_m;
            strained[order] = stretch * length_m;
            let mut next = [
                force.cross(&about),
                moment.cross(&about) + force.cross(&ALONG) * length_m,
                spin.cross(&about) + bent[order],
                shift.cross(&about) + spin.cross(&ALONG) * length_m + strained[order],
            ];
            if column == Column::LineLoad && order == 0 {
                next[0][0] += length_m; // the load per length is −1 outward, and force' = −load
            }
            for (back, state) in carried.iter().take(order + 1).enumerate() {
                next[0] += state.force.cross(&bent[order - back]);
                next[1] += state.moment.cross(&bent[order - back])
                    + state.force.cross(&strained[order - back]);
            }
            let mut settled = true;
            for (((row, sum), peak), grown) in
                rows.iter_mut().zip(&mut sums).zip(&mut peaks).zip(next)
            {
                let term = grown / (order + 1) as f64;
                row[order + 1] = term;
                *sum += term;
                *peak = peak.max(term.amax());
                settled &= term.amax() <= SERIES_TOLERANCE * *peak;
            }
            if N == WARPING {
                self.warp(&mut warping, order, self.section.torque(&force, &moment));
                for ((row, sum), peak) in warping.iter().zip(&mut warped).zip(&mut warped_peaks) {
                    let term = row[order + 1];
                    *sum += term;
                    *peak = peak.max(term.abs());
                    settled &= term.abs() <= SERIES_TOLERANCE * *peak;
                }
            }
            vanishing = if settled { vanishing + 1 } else { 0 };
            if vanishing == 2 && 3 <= order {
                let [force, moment, spin, shift] = sums;
                let [twist, bimoment] = warped;
                return Ok(Grown {
                    force,
                    moment,
                    spin,
                    shift,
                    twist,
                    bimoment,
                });
            }
        }
        Err(Error::RimOverloaded {
            arc_deg: self.angle.to_degrees(),
        })
    }

    /// The next coefficients of rate of twist and bimoment under the torque's coefficient; eq. 3.25.
    pub(crate) fn warp(&self, rows: &mut WarpingRows, order: usize, torque: f64) {
        let share = self.section.radius_m * self.angle / (order + 1) as f64;
        let [twist, bimoment] = [rows[0][order], rows[1][order]];
        rows[0][order + 1] = bimoment / self.section.warping_n_m4 * share;
        rows[1][order + 1] = (self.section.torsion_n_m2 * twist - torque) * share;
    }

    /// What the circle carries from `stress` at its start on, as series in the share of the arc (eq. 3.7).
    pub(crate) fn carried<const N: usize>(&self, stress: EndLoad) -> Vec<EndLoad> {
        let length_m = self.section.radius_m * self.angle;
        let about = Vector3::new(0.0, 0.0, self.angle);
        let size = |state: &EndLoad| {
            let plain = state.force.amax().max(state.moment.amax() / length_m);
            if N == WARPING {
                let twisting = self.section.torsion_n_m2 * state.twist / length_m;
                plain
                    .max(twisting.abs())
                    .max(state.bimoment.abs() / length_m.powi(2))
            } else {
                plain
            }
        };
        let largest = size(&stress);
        let mut warping: WarpingRows = [[0.0; SERIES_TERMS + 1]; 2];
        (warping[0][0], warping[1][0]) = (stress.twist, stress.bimoment);
        let mut series = vec![stress];
        let mut state = stress;
        while SERIES_TOLERANCE * largest < size(&state) && series.len() < SERIES_TERMS {
            let order = series.len();
            let share = 1.0 / order as f64;
            if N == WARPING {
                let torque = self.section.torque(&state.force, &state.moment);
                self.warp(&mut warping, order - 1, torque);
            }
            state = EndLoad {
                force: state.force.cross(&about) * share,
                moment: (state.moment.cross(&about) + state.force.cross(&ALONG) * length_m) * share,
                twist: warping[0][order],
                bimoment: warping[1][order],
            };
            series.push(state);
        }
        series
    }
}
