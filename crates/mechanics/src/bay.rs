//! The arc of rim between two neighbouring nodes, solved as an exact elastic curve.
//!
//! The arc is a rod that follows any rotation (theory §3.2). Nothing is sampled: force, moment and
//! place along it are power series in the arc's length, whose coefficients follow from one another
//! (eq. 3.6, 3.8) and which are carried until their terms vanish. All the arc knows of a mesh is its
//! two ends, so its length does not matter to the answer.

use crate::curve::{Curve, FreeArc};
use crate::error::Error;
use crate::section::Section;
use nalgebra::{Matrix3, Matrix6, SVector, Vector3, Vector6};

/// Series stop once two terms running fall below this share of their sum: rounding itself.
pub(crate) const SERIES_TOLERANCE: f64 = 1e-16;

/// Terms at most; an arc of 30° under any load short of collapse needs about 16.
pub(crate) const SERIES_TERMS: usize = 40;

/// Load changes by which a flexibility is measured: the answer is straight over them to nine digits, and
/// far above rounding.
const MEASURING_FORCE_N: f64 = 1.0;
const MEASURING_MOMENT_N_M: f64 = 0.05;

/// Direction along the rim in local axes.
const ALONG: Vector3<f64> = Vector3::new(0.0, 1.0, 0.0);

/// Six unit end loads, then the uniform inward line load.
const COLUMNS: usize = 7;

/// Force and moment with which the arc's start is held, in the axes of that end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct EndLoad {
    pub(crate) force: Vector3<f64>,
    pub(crate) moment: Vector3<f64>,
}

impl EndLoad {
    pub(crate) const NONE: Self = Self {
        force: Vector3::new(0.0, 0.0, 0.0),
        moment: Vector3::new(0.0, 0.0, 0.0),
    };

    pub(crate) fn plus(self, change: &Vector6<f64>) -> Self {
        Self {
            force: self.force + change.fixed_rows::<3>(0),
            moment: self.moment + change.fixed_rows::<3>(3),
        }
    }

    pub(crate) fn scaled(self, factor: f64) -> Self {
        Self {
            force: self.force * factor,
            moment: self.moment * factor,
        }
    }
}

/// Place and axes of the arc's far end, seen from its start.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reach {
    /// Columns are the far end's axes in those of the start.
    pub(crate) turn: Matrix3<f64>,
    /// From the start to the far end.
    pub(crate) chord: Vector3<f64>,
}

impl Reach {
    /// The undeformed arc of a circle.
    pub(crate) fn of_circle(radius_m: f64, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self {
            turn: Matrix3::new(cos, -sin, 0.0, sin, cos, 0.0, 0.0, 0.0, 1.0),
            chord: Vector3::new(radius_m * (cos - 1.0), radius_m * sin, 0.0),
        }
    }
}

impl Reach {
    /// How far this end lies from the other: shift, then small turn, in the start's axes.
    pub(crate) fn departure_from(&self, other: &Self) -> Vector6<f64> {
        let shift = self.chord - other.chord;
        let turn = self.turn * other.turn.transpose();
        Vector6::new(
            shift[0],
            shift[1],
            shift[2],
            0.5 * (turn[(2, 1)] - turn[(1, 2)]),
            0.5 * (turn[(0, 2)] - turn[(2, 0)]),
            0.5 * (turn[(1, 0)] - turn[(0, 1)]),
        )
    }
}

/// How an arc's two ends push back when they move; eq. 3.11.
#[derive(Debug, Clone)]
pub(crate) struct BayStiffness {
    pub(crate) start: Matrix6<f64>,
    pub(crate) coupling: Matrix6<f64>,
    pub(crate) end: Matrix6<f64>,
}

/// One arc of rim in its stressed reference state.
#[derive(Debug, Clone)]
pub(crate) struct Bay {
    section: Section,
    angle: f64,
    /// What the arc carries in the reference state.
    pub(crate) stress: EndLoad,
    /// The circle's curvature and stretch less what the reference stress accounts for, as series.
    free_curvature: Vec<Vector3<f64>>,
    free_stretch: Vec<Vector3<f64>>,
    /// Change of the start's load per movement of the far end seen from the start (eq. 3.9).
    pub(crate) rigidity: Matrix6<f64>,
    /// What the quadrature of [`Curve`] leaves out of the exact flexibility in the reference state.
    beyond_quadrature: Matrix6<f64>,
    /// What a uniform inward load of 1 N/m on this arc puts on its start and its end, both held.
    pub(crate) line_load: [Vector6<f64>; 2],
}

/// Growth of one column of the linear answer along the arc.
type Column = [[Vector3<f64>; SERIES_TERMS + 1]; 4];

impl Bay {
    /// The arc of `angle` radians that carries `stress` in the shape of the circle.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle: the arc alone would collapse.
    pub(crate) fn new(section: Section, angle: f64, stress: EndLoad) -> Result<Self, Error> {
        let length_m = section.radius_m * angle;
        let mut free_curvature = Vec::with_capacity(20);
        let mut free_stretch = Vec::with_capacity(20);
        for (order, carried) in circle_series(&section, angle, stress).iter().enumerate() {
            let (stretch, curvature) = section.strain(&carried.force, &carried.moment);
            free_curvature.push(-curvature * length_m);
            free_stretch.push(-stretch * length_m);
            if order == 0 {
                free_curvature[0][2] += angle;
                free_stretch[0] += ALONG * length_m;
            }
        }
        let mut bay = Self {
            section,
            angle,
            stress,
            free_curvature,
            free_stretch,
            rigidity: Matrix6::zeros(),
            beyond_quadrature: Matrix6::zeros(),
            line_load: [Vector6::zeros(); 2],
        };
        let flexibility = bay.answer_small_loads()?;
        bay.beyond_quadrature = flexibility - bay.curve(stress)?.flexibility;
        Ok(bay)
    }

    /// The exact curve of the arc when its start carries `load`.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn curve(&self, load: EndLoad) -> Result<Curve, Error> {
        let free = FreeArc {
            section: &self.section,
            angle: self.angle,
            curvature: &self.free_curvature,
            stretch: &self.free_stretch,
        };
        free.under(load)
    }

    /// The same to the last digits, measured on the exact curve by small changes of every load: for the rounds
    /// in which the wheel is so near to turning over that less would not converge.
    pub(crate) fn rigidity_measured(&self, load: EndLoad) -> Option<Matrix6<f64>> {
        let mut flexibility = Matrix6::zeros();
        for column in 0..6 {
            let step = if column < 3 {
                MEASURING_FORCE_N
            } else {
                MEASURING_MOMENT_N_M
            };
            let mut change = Vector6::zeros();
            change[column] = step;
            let ahead = self.curve(load.plus(&change)).ok()?.reach;
            let behind = self.curve(load.plus(&-change)).ok()?.reach;
            flexibility.set_column(column, &(ahead.departure_from(&behind) / (2.0 * step)));
        }
        flexibility.try_inverse()
    }

    /// Change of the start's load per movement of the far end, about any curve: to the accuracy at which
    /// thrust softens a bent arc, which is all that a round of following needs.
    pub(crate) fn rigidity_on(&self, curve: &Curve) -> Option<Matrix6<f64>> {
        (self.beyond_quadrature + curve.flexibility).try_inverse()
    }

    /// Its angle, in radians.
    pub(crate) fn angle(&self) -> f64 {
        self.angle
    }

    /// What the reference state carries at `angle` from the start; equilibrium on the circle.
    pub(crate) fn stress_at(&self, angle: f64) -> EndLoad {
        let reach = Reach::of_circle(self.section.radius_m, angle);
        let moment = self.stress.moment - reach.chord.cross(&self.stress.force);
        EndLoad {
            force: reach.turn.tr_mul(&self.stress.force),
            moment: reach.turn.tr_mul(&moment),
        }
    }

    /// The ends' stiffness when the start carries `load` and the far end lies at `reach`; eq. 3.11.
    pub(crate) fn stiffness(load: EndLoad, reach: &Reach, rigidity: &Matrix6<f64>) -> BayStiffness {
        let mut from_start = -Matrix6::<f64>::identity();
        from_start
            .fixed_view_mut::<3, 3>(0, 3)
            .copy_from(&reach.chord.cross_matrix());
        let mut from_end = Matrix6::zeros();
        from_end.fixed_view_mut::<3, 3>(0, 0).copy_from(&reach.turn);
        from_end.fixed_view_mut::<3, 3>(3, 3).copy_from(&reach.turn);

        let moment = load.moment - reach.chord.cross(&load.force);
        let mut carried = *rigidity;
        let lever = reach.chord.cross_matrix() * rigidity.fixed_view::<3, 6>(0, 0);
        let mut lower = carried.fixed_view_mut::<3, 6>(3, 0);
        lower -= lever;
        let force_turned = load.force.cross_matrix();
        let mut upper = carried.fixed_view_mut::<3, 3>(0, 3);
        upper += force_turned;
        let mut lower_left = carried.fixed_view_mut::<3, 3>(3, 0);
        lower_left += force_turned;
        let mut lower_right = carried.fixed_view_mut::<3, 3>(3, 3);
        lower_right += moment.cross_matrix();

        let start_push = rigidity * from_end;
        BayStiffness {
            start: -(rigidity * from_start),
            coupling: -start_push,
            end: from_end.tr_mul(&(carried * from_end)),
        }
    }

    /// Movement of the far end seen from the start, when both ends move (eq. 3.10).
    pub(crate) fn opening(reach: &Reach, start: &Vector6<f64>, end: &Vector6<f64>) -> Vector6<f64> {
        let (shift, spin) = (start.fixed_rows::<3>(0), start.fixed_rows::<3>(3));
        let moved =
            reach.turn * end.fixed_rows::<3>(0) - shift + reach.chord.cross(&spin.into_owned());
        let spun = reach.turn * end.fixed_rows::<3>(3) - spin;
        Vector6::new(moved[0], moved[1], moved[2], spun[0], spun[1], spun[2])
    }

    /// Sets the linear answer about the reference state: eq. 3.8 for seven columns at once.
    fn answer_small_loads(&mut self) -> Result<Matrix6<f64>, Error> {
        let length_m = self.section.radius_m * self.angle;
        let carried = circle_series(&self.section, self.angle, self.stress);
        let unstressed = self.stress == EndLoad::NONE;
        let reach = Reach::of_circle(self.section.radius_m, self.angle);
        let mut flexibility = Matrix6::zeros();
        let mut end_force = SVector::<[Vector3<f64>; 2], COLUMNS>::repeat([Vector3::zeros(); 2]);
        let mut loaded_opening = Vector6::zeros();
        for column in 0..COLUMNS {
            let end = self.grow(column, length_m, if unstressed { &[] } else { &carried })?;
            let moved = reach.turn * end[3];
            let spun = reach.turn * end[2];
            let opening = Vector6::new(moved[0], moved[1], moved[2], spun[0], spun[1], spun[2]);
            if column < 6 {
                flexibility.set_column(column, &opening);
            } else {
                loaded_opening = opening;
            }
            end_force[column] = [end[0], end[1]];
        }
        self.rigidity = flexibility.try_inverse().ok_or(Error::RimOverloaded {
            arc_deg: self.angle.to_degrees(),
        })?;
        // Both ends held: the start's load closes what the line load opened.
        let held = -(self.rigidity * loaded_opening);
        let mut at_end = Vector6::zeros();
        for (column, [force, moment]) in end_force.iter().enumerate() {
            let share = if column < 6 { held[column] } else { 1.0 };
            for axis in 0..3 {
                at_end[axis] -= share * force[axis];
                at_end[axis + 3] -= share * moment[axis];
            }
        }
        self.line_load = [held, at_end];
        Ok(flexibility)
    }

    /// Force, moment, spin and shift at the far end for one column; `carried` is empty without stress.
    fn grow(
        &self,
        column: usize,
        length_m: f64,
        carried: &[EndLoad],
    ) -> Result<[Vector3<f64>; 4], Error> {
        let zero = Vector3::zeros();
        let about = Vector3::new(0.0, 0.0, self.angle);
        let mut rows: Column = [[zero; SERIES_TERMS + 1]; 4];
        let (mut bent, mut strained) = ([zero; SERIES_TERMS + 1], [zero; SERIES_TERMS + 1]);
        if column < 6 {
            rows[column / 3][0][column % 3] = 1.0;
        }
        let mut sums = [rows[0][0], rows[1][0], zero, zero];
        let mut peaks = sums.map(|sum| sum.amax());
        let mut vanishing = 0;
        for order in 0..SERIES_TERMS {
            let [force, moment, spin, shift] = [0, 1, 2, 3].map(|row: usize| rows[row][order]);
            let (stretch, curvature) = self.section.strain(&force, &moment);
            bent[order] = curvature * length_m;
            strained[order] = stretch * length_m;
            let mut next = [
                force.cross(&about),
                moment.cross(&about) + force.cross(&ALONG) * length_m,
                spin.cross(&about) + bent[order],
                shift.cross(&about) + spin.cross(&ALONG) * length_m + strained[order],
            ];
            if column == 6 && order == 0 {
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
            vanishing = if settled { vanishing + 1 } else { 0 };
            if vanishing == 2 && 3 <= order {
                return Ok(sums);
            }
        }
        Err(Error::RimOverloaded {
            arc_deg: self.angle.to_degrees(),
        })
    }
}

/// Force and moment along the circle that carries `stress`, as series in the share of the arc (eq. 3.7).
fn circle_series(section: &Section, angle: f64, stress: EndLoad) -> Vec<EndLoad> {
    let length_m = section.radius_m * angle;
    let about = Vector3::new(0.0, 0.0, angle);
    let size = |state: &EndLoad| state.force.amax().max(state.moment.amax() / length_m);
    let largest = size(&stress);
    let mut series = vec![stress];
    let mut state = stress;
    while SERIES_TOLERANCE * largest < size(&state) && series.len() < SERIES_TERMS {
        let share = 1.0 / series.len() as f64;
        state = EndLoad {
            force: state.force.cross(&about) * share,
            moment: (state.moment.cross(&about) + state.force.cross(&ALONG) * length_m) * share,
        };
        series.push(state);
    }
    series
}
