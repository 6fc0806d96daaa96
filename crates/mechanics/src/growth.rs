//! What a small change at the start of a stressed arc of the circle grows into along it.
//!
//! Nothing is sampled: every quantity is a power series in the share of the arc, carried until its terms
//! vanish (theory §3.2).

use crate::bay::EndLoad;
use crate::error::Error;
use crate::pairs::{self, Pair, pair};
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

/// A column grown along the arc.
pub(crate) struct Growth {
    pub(crate) end: Grown,
    /// Spin and shift along the arc in the axes of each place: series in the share of the arc.
    pub(crate) spin: Vec<Vector3<f64>>,
    pub(crate) shift: Vec<Vector3<f64>>,
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

/// One coefficient of the series of two columns.
#[derive(Debug, Clone, Copy)]
struct Term {
    force: Pair,
    moment: Pair,
    spin: Pair,
    shift: Pair,
    twist: [f64; 2],
    bimoment: [f64; 2],
}

/// An arc of the circle under stress.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StressedArc<'bay> {
    pub(crate) section: &'bay Section,
    pub(crate) angle: f64,
}

/// Rate of twist and bimoment along the arc.
pub(crate) type WarpingRows = [[f64; SERIES_TERMS + 1]; 2];

/// A series at a share of the arc.
pub(crate) fn at(series: &[Vector3<f64>], share: f64) -> Vector3<f64> {
    let powers = series.iter().rev();
    powers.fold(Vector3::zeros(), |sum, term| sum * share + term)
}

impl StressedArc<'_> {
    /// Linear growth of every column about a state that carries the series `carried` (none without stress); eq. 3.8.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn grow<const N: usize>(
        &self,
        carried: &[EndLoad],
        grown: impl FnMut(Column, Growth),
    ) -> Result<(), Error> {
        use Column::{LineLoad, Load, Twist};
        if N == WARPING {
            self.grow_pairs::<N, 5>(
                [
                    [Load(0), Load(1)],
                    [Load(2), Load(3)],
                    [Load(4), Load(5)],
                    [Load(6), Twist],
                    [LineLoad; 2],
                ],
                carried,
                grown,
            )
        } else {
            self.grow_pairs::<N, 4>(
                [
                    [Load(0), Load(1)],
                    [Load(2), Load(3)],
                    [Load(4), Load(5)],
                    [LineLoad; 2],
                ],
                carried,
                grown,
            )
        }
    }

    fn grow_pairs<const N: usize, const P: usize>(
        &self,
        columns: [[Column; 2]; P],
        carried: &[EndLoad],
        mut grown: impl FnMut(Column, Growth),
    ) -> Result<(), Error> {
        let carried: Vec<[Pair; 2]> = carried
            .iter()
            .map(|state| {
                [
                    pair(&state.force, &state.force),
                    pair(&state.moment, &state.moment),
                ]
            })
            .collect();
        for columns in columns {
            let (end, moved) = self.grow_pair::<N>(columns, &carried)?;
            for (lane, column) in columns.into_iter().enumerate() {
                if lane == 0 || column != columns[0] {
                    let series = |which: usize| {
                        let terms = moved.iter().map(|term| pairs::of(&term[which], lane));
                        terms.collect()
                    };
                    let [spin, shift] = [series(0), series(1)];
                    let end = end.of(lane);
                    grown(column, Growth { end, spin, shift });
                }
            }
        }
        Ok(())
    }

    /// The sums of the series of two columns, and the series of their spins and shifts.
    fn grow_pair<const N: usize>(
        &self,
        columns: [Column; 2],
        carried: &[[Pair; 2]],
    ) -> Result<(Term, Vec<[Pair; 2]>), Error> {
        let length_m = self.section.radius_m * self.angle;
        let [about, along] = [Vector3::new(0.0, 0.0, self.angle), ALONG * length_m]
            .map(|vector| pair(&vector, &vector));
        let mut term = Term::starting(columns);
        let mut sum = term;
        let mut peaks = term.sizes();
        let (mut bent, mut strained) = ([pairs::NONE; SERIES_TERMS], [pairs::NONE; SERIES_TERMS]);
        let mut moved = Vec::with_capacity(SERIES_TERMS / 2);
        moved.push([term.spin, term.shift]);
        let mut vanishing = 0;
        for order in 0..SERIES_TERMS {
            (strained[order], bent[order]) = self.strained::<N>(&term);
            let mut next = Term {
                spin: bent[order],
                shift: strained[order],
                ..Term::NONE
            };
            pairs::add_crossed(&mut next.force, &term.force, &about);
            pairs::add_crossed(&mut next.moment, &term.moment, &about);
            pairs::add_crossed(&mut next.moment, &term.force, &along);
            pairs::add_crossed(&mut next.spin, &term.spin, &about);
            pairs::add_crossed(&mut next.shift, &term.shift, &about);
            pairs::add_crossed(&mut next.shift, &term.spin, &along);
            if columns[0] == Column::LineLoad && order == 0 {
                next.force[0][0] += length_m; // the load per length is −1 outward, and force' = −load
            }
            let history = bent[..=order]
                .iter()
                .rev()
                .zip(strained[..=order].iter().rev());
            for ([force, moment], (bent, strained)) in carried.iter().zip(history) {
                pairs::add_crossed(&mut next.force, force, bent);
                pairs::add_crossed(&mut next.moment, moment, bent);
                pairs::add_crossed(&mut next.moment, force, strained);
            }
            let share = 1.0 / (order + 1) as f64;
            next.scale(share);
            if N == WARPING {
                for lane in 0..2 {
                    let [force, moment] =
                        [term.force, term.moment].map(|one| pairs::of(&one, lane));
                    let torque = self.section.torque(&force, &moment);
                    [next.twist[lane], next.bimoment[lane]] =
                        self.warped([term.twist[lane], term.bimoment[lane]], order, torque);
                }
            }
            term = next;
            sum.add(&term);
            moved.push([term.spin, term.shift]);
            let mut settled = true;
            for (peaks, sizes) in peaks.iter_mut().zip(term.sizes()) {
                for (peak, size) in peaks.iter_mut().zip(sizes) {
                    *peak = peak.max(size);
                    settled &= size <= SERIES_TOLERANCE * *peak;
                }
            }
            vanishing = if settled { vanishing + 1 } else { 0 };
            if vanishing == 2 && 3 <= order {
                return Ok((sum, moved));
            }
        }
        Err(Error::RimOverloaded {
            arc_deg: self.angle.to_degrees(),
        })
    }

    /// Stretch and change of curvature over the length.
    fn strained<const N: usize>(&self, term: &Term) -> (Pair, Pair) {
        let length_m = self.section.radius_m * self.angle;
        let of_lane = |lane: usize| {
            let [force, moment] = [term.force, term.moment].map(|one| pairs::of(&one, lane));
            let twist = if N == WARPING {
                term.twist[lane]
            } else {
                self.section.free_twist(&force, &moment)
            };
            self.section.strain(&force, &moment, twist)
        };
        let [(stretch, curvature), (other_stretch, other_curvature)] = [0, 1].map(of_lane);
        (
            pairs::scaled(&pair(&stretch, &other_stretch), length_m),
            pairs::scaled(&pair(&curvature, &other_curvature), length_m),
        )
    }

    /// The next coefficients of rate of twist and bimoment under the torque's coefficient; eq. 3.25.
    pub(crate) fn warp(&self, rows: &mut WarpingRows, order: usize, torque: f64) {
        [rows[0][order + 1], rows[1][order + 1]] =
            self.warped([rows[0][order], rows[1][order]], order, torque);
    }

    fn warped(&self, [twist, bimoment]: [f64; 2], order: usize, torque: f64) -> [f64; 2] {
        let share = self.section.radius_m * self.angle / (order + 1) as f64;
        [
            bimoment / self.section.warping_n_m4 * share,
            (self.section.torsion_n_m2 * twist - torque) * share,
        ]
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

impl Term {
    const NONE: Self = Self {
        force: pairs::NONE,
        moment: pairs::NONE,
        spin: pairs::NONE,
        shift: pairs::NONE,
        twist: [0.0; 2],
        bimoment: [0.0; 2],
    };

    /// What the two columns have at the start.
    fn starting(columns: [Column; 2]) -> Self {
        let mut term = Self::NONE;
        for (lane, column) in columns.into_iter().enumerate() {
            match column {
                Column::Load(row) if row < 3 => term.force[row][lane] = 1.0,
                Column::Load(row) if row < 6 => term.moment[row - 3][lane] = 1.0,
                Column::Load(_) => term.bimoment[lane] = 1.0,
                Column::Twist => term.twist[lane] = 1.0,
                Column::LineLoad => {}
            }
        }
        term
    }

    fn scale(&mut self, factor: f64) {
        for pair in [
            &mut self.force,
            &mut self.moment,
            &mut self.spin,
            &mut self.shift,
        ] {
            *pair = pairs::scaled(pair, factor);
        }
    }

    fn add(&mut self, other: &Self) {
        pairs::add(&mut self.force, &other.force);
        pairs::add(&mut self.moment, &other.moment);
        pairs::add(&mut self.spin, &other.spin);
        pairs::add(&mut self.shift, &other.shift);
        for lane in 0..2 {
            self.twist[lane] += other.twist[lane];
            self.bimoment[lane] += other.bimoment[lane];
        }
    }

    /// The largest component of each of the six, column by column.
    fn sizes(&self) -> [[f64; 2]; 6] {
        [
            pairs::sizes(&self.force),
            pairs::sizes(&self.moment),
            pairs::sizes(&self.spin),
            pairs::sizes(&self.shift),
            self.twist.map(f64::abs),
            self.bimoment.map(f64::abs),
        ]
    }

    fn of(&self, lane: usize) -> Grown {
        Grown {
            force: pairs::of(&self.force, lane),
            moment: pairs::of(&self.moment, lane),
            spin: pairs::of(&self.spin, lane),
            shift: pairs::of(&self.shift, lane),
            twist: self.twist[lane],
            bimoment: self.bimoment[lane],
        }
    }
}
