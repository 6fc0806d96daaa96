//! The arc of rim between two neighbouring nodes, solved as an exact elastic curve.
//!
//! The arc is a rod that follows any rotation (theory §3.2). All it knows of a mesh is its two ends, so
//! its length does not matter to the answer. Nodes have N unknowns: on a rim that resists warping
//! the rate of twist is one of them.

use crate::curve::{Curve, FreeArc, Yielding};
use crate::error::Error;
use crate::growth::{self, Column, Growth, StressedArc};
use crate::rigidity::{Response, Rigidity};
use crate::section::Section;
use crate::twisting::{GAUSS, Twisting};
use crate::unknowns::{Block, PLAIN, Part, TWIST, WARPING, set_twist, stacked, twist};
use nalgebra::{Matrix3, SMatrix, Vector3};
use std::sync::{Arc, OnceLock};

/// Load changes by which a flexibility is measured: the answer is straight over them to nine digits, and
/// far above rounding.
const MEASURING_FORCE_N: f64 = 1.0;
const MEASURING_MOMENT_N_M: f64 = 0.05;
const MEASURING_TWIST_PER_M: f64 = 1e-3;

/// Arcs nearer than this share of their angle and stress are one: what solving for the stress rounds.
const ROUNDING: f64 = 1e-12;

/// Direction along the rim in local axes.
const ALONG: Vector3<f64> = Vector3::new(0.0, 1.0, 0.0);

/// With what the arc's start is held in the axes of that end, and its rate of twist. Bimoment and
/// rate of twist are nothing unless the rim resists warping.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct EndLoad {
    pub(crate) force: Vector3<f64>,
    pub(crate) moment: Vector3<f64>,
    pub(crate) bimoment: f64,
    pub(crate) twist: f64,
}

impl EndLoad {
    pub(crate) const NONE: Self = Self {
        force: Vector3::new(0.0, 0.0, 0.0),
        moment: Vector3::new(0.0, 0.0, 0.0),
        bimoment: 0.0,
        twist: 0.0,
    };

    /// With more force, moment and bimoment.
    pub(crate) fn plus<const N: usize>(self, change: &Part<N>) -> Self {
        Self {
            force: self.force + change.fixed_rows::<3>(0),
            moment: self.moment + change.fixed_rows::<3>(3),
            bimoment: self.bimoment + twist(change),
            twist: self.twist,
        }
    }

    /// With a greater rate of twist.
    pub(crate) fn twisted(self, change: f64) -> Self {
        Self {
            twist: self.twist + change,
            ..self
        }
    }

    fn less(&self, other: &Self) -> Self {
        Self {
            force: self.force - other.force,
            moment: self.moment - other.moment,
            bimoment: self.bimoment - other.bimoment,
            twist: self.twist - other.twist,
        }
    }

    pub(crate) fn scaled(self, factor: f64) -> Self {
        Self {
            force: self.force * factor,
            moment: self.moment * factor,
            bimoment: self.bimoment * factor,
            twist: self.twist * factor,
        }
    }

    /// Force, moment and bimoment.
    pub(crate) fn part<const N: usize>(&self) -> Part<N> {
        let mut part = stacked(&self.force, &self.moment);
        set_twist(&mut part, self.bimoment);
        part
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

    /// How far this end lies from the other: shift, then small turn, in the start's axes.
    pub(crate) fn departure_from<const N: usize>(&self, other: &Self) -> Part<N> {
        let shift = self.chord - other.chord;
        let turn = self.turn * other.turn.transpose();
        let spin = Vector3::new(
            0.5 * (turn[(2, 1)] - turn[(1, 2)]),
            0.5 * (turn[(0, 2)] - turn[(2, 0)]),
            0.5 * (turn[(1, 0)] - turn[(0, 1)]),
        );
        stacked(&shift, &spin)
    }
}

/// Displacement of a point of the rim, in the axes of its place, when the ends of its arc move.
#[derive(Debug, Clone)]
pub(crate) struct Within<const N: usize> {
    pub(crate) per_start: SMatrix<f64, 3, N>,
    pub(crate) per_end: SMatrix<f64, 3, N>,
    /// Per uniform inward load of 1 N/m on the arc, both ends held.
    pub(crate) per_line_load: Vector3<f64>,
}

impl<const N: usize> Within<N> {
    /// A point at `angle` from the start that moves as the start does.
    pub(crate) fn rigid(radius_m: f64, angle: f64) -> Self {
        let Reach { turn, chord } = Reach::of_circle(radius_m, angle);
        let mut per_start = SMatrix::<f64, 3, N>::zeros();
        let mut shift = per_start.fixed_view_mut::<3, 3>(0, 0);
        shift.copy_from(&turn.transpose());
        let mut spin = per_start.fixed_view_mut::<3, 3>(0, 3);
        spin.copy_from(&-turn.tr_mul(&chord.cross_matrix()));
        Self {
            per_start,
            per_end: SMatrix::zeros(),
            per_line_load: Vector3::zeros(),
        }
    }
}

/// What following a loaded shape needs of the reference state.
#[derive(Debug, Clone)]
struct Followed<const N: usize> {
    yielding: [Yielding<N>; 3],
    /// What the quadrature of [`Curve`] leaves out of the exact flexibility.
    beyond_quadrature: Response<N>,
}

/// One arc of rim in its stressed reference state.
#[derive(Debug, Clone)]
pub(crate) struct Bay<const N: usize> {
    section: Section,
    angle: f64,
    /// What the arc carries in the reference state.
    pub(crate) stress: EndLoad,
    /// The circle's curvature and stretch less what the reference stress accounts for, as series.
    free_curvature: Vec<Vector3<f64>>,
    free_stretch: Vec<Vector3<f64>>,
    /// In the reference state.
    pub(crate) rigidity: Rigidity<N>,
    /// Its inverse.
    response: Response<N>,
    /// Found when a loaded shape is first followed, once for all that are alike.
    followed: Arc<OnceLock<Followed<N>>>,
    twisting: Twisting,
    /// What a uniform inward load of 1 N/m on this arc puts on its start and its end, both held.
    pub(crate) line_load: [Part<N>; 2],
}

impl<const N: usize> Bay<N> {
    /// The arc of `angle` radians that carries `stress` in the shape of the circle.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle: the arc alone would collapse.
    pub(crate) fn new(section: Section, angle: f64, stress: EndLoad) -> Result<Self, Error> {
        let length_m = section.radius_m * angle;
        let mut free_curvature = Vec::with_capacity(20);
        let mut free_stretch = Vec::with_capacity(20);
        let arc = StressedArc {
            section: &section,
            angle,
        };
        let carried = arc.carried::<N>(stress);
        for (order, carried) in carried.iter().enumerate() {
            let twist = if N == WARPING {
                carried.twist
            } else {
                section.free_twist(&carried.force, &carried.moment)
            };
            let (stretch, curvature) = section.strain(&carried.force, &carried.moment, twist);
            free_curvature.push(-curvature * length_m);
            free_stretch.push(-stretch * length_m);
            if order == 0 {
                free_curvature[0][2] += angle;
                free_stretch[0] += ALONG * length_m;
            }
        }
        let answer = SmallLoads::on(
            &arc,
            if stress == EndLoad::NONE {
                &[]
            } else {
                &carried
            },
        )?;
        let rigidity = answer.response.rigidity().ok_or(Error::RimOverloaded {
            arc_deg: angle.to_degrees(),
        })?;
        let line_load = answer.line_load(&rigidity);
        let twisting = if N == WARPING {
            Twisting::of(&arc)
        } else {
            Twisting::default()
        };
        Ok(Self {
            section,
            angle,
            stress,
            free_curvature,
            free_stretch,
            rigidity,
            response: answer.response,
            followed: Arc::new(OnceLock::new()),
            twisting,
            line_load,
        })
    }

    /// The exact curve of the arc when its start carries `load`.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn curve(&self, load: EndLoad) -> Result<Curve<N>, Error> {
        self.free().under(load, &self.followed()?.yielding)
    }

    fn free(&self) -> FreeArc<'_> {
        FreeArc {
            section: &self.section,
            angle: self.angle,
            curvature: &self.free_curvature,
            stretch: &self.free_stretch,
            twisting: &self.twisting,
        }
    }

    fn followed(&self) -> Result<&Followed<N>, Error> {
        if let Some(known) = self.followed.get() {
            return Ok(known);
        }
        let mut yielding: [Yielding<N>; 3] = GAUSS.map(|(share, _)| {
            let stress = self.stress_at(share * self.angle);
            Yielding {
                force: stress.force,
                moment: stress.moment,
                spin: SMatrix::zeros(),
                shift: SMatrix::zeros(),
            }
        });
        // Where warping is resisted the columns grow exponentially between the points, and three of them say too
        // little: there the arc is taken to yield as in its reference state, which costs rounds, not accuracy.
        let columns = |column: Column, growth: Growth| {
            if let Column::Load(row) = column {
                for (yielding, (share, _)) in yielding.iter_mut().zip(GAUSS) {
                    yielding
                        .spin
                        .set_column(row, &growth::at(&growth.spin, share));
                    yielding
                        .shift
                        .set_column(row, &growth::at(&growth.shift, share));
                }
            }
        };
        if N == PLAIN {
            self.arc().grow::<N>(&self.carried(), columns)?;
        }
        let here = self.free().under(self.stress, &yielding)?;
        let beyond_quadrature = self.response.plus(&here.response, -1.0);
        Ok(self.followed.get_or_init(|| Followed {
            yielding,
            beyond_quadrature,
        }))
    }

    fn arc(&self) -> StressedArc<'_> {
        StressedArc {
            section: &self.section,
            angle: self.angle,
        }
    }

    /// What the reference state carries along, as series; none without stress.
    fn carried(&self) -> Vec<EndLoad> {
        if self.stress == EndLoad::NONE {
            return Vec::new();
        }
        self.arc().carried::<N>(self.stress)
    }

    /// The far end's answer to the last digits, measured on the exact curve by small changes at the start: for the
    /// rounds in which the wheel is so near to turning over that less would not converge.
    pub(crate) fn response_measured(&self, load: EndLoad) -> Option<Response<N>> {
        let slope = |ahead: EndLoad, behind: EndLoad, step: f64| -> Option<(Part<N>, f64)> {
            let (ahead, behind) = (self.curve(ahead).ok()?, self.curve(behind).ok()?);
            let bimoment = (ahead.bimoment - behind.bimoment) / (2.0 * step);
            Some((ahead.departure_from(&behind) / (2.0 * step), bimoment))
        };
        let length_m = self.section.radius_m * self.angle;
        let mut response = Response::<N>::NONE;
        for column in 0..N {
            let step = match column {
                0..3 => MEASURING_FORCE_N,
                3..PLAIN => MEASURING_MOMENT_N_M,
                _ => MEASURING_TWIST_PER_M * self.section.warping_n_m4 / length_m,
            };
            let mut change = Part::<N>::zeros();
            change[column] = step;
            let (opening, bimoment) = slope(load.plus(&change), load.plus(&-change), step)?;
            response.flexibility.set_column(column, &opening);
            response.far_bimoment[column] = bimoment;
        }
        if N == WARPING {
            let step = MEASURING_TWIST_PER_M;
            response.from_twist = slope(load.twisted(step), load.twisted(-step), step)?.0;
        }
        Some(response)
    }

    /// The rigidity about any curve with what its quadrature leaves out: as measured nearby, or as it is in the
    /// reference state, which is right to the second order of what the loads differ from those of it.
    pub(crate) fn rigidity_on(
        &self,
        curve: &Curve<N>,
        beyond_quadrature: Option<&Response<N>>,
    ) -> Option<Rigidity<N>> {
        let beyond_quadrature = match beyond_quadrature {
            Some(measured) => measured,
            None => &self.followed().ok()?.beyond_quadrature,
        };
        beyond_quadrature.plus(&curve.response, 1.0).rigidity()
    }

    /// How points of the rim within it follow its ends about the reference state, each at a share of the arc;
    /// eq. 3.8, 3.9.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn within(&self, shares: &[f64]) -> Result<Vec<Within<N>>, Error> {
        let mut within: Vec<_> = shares
            .iter()
            .map(|share| Within::rigid(self.section.radius_m, share * self.angle))
            .collect();
        let reach = Reach::of_circle(self.section.radius_m, self.angle);
        let [start, end] = self
            .rigidity
            .openings(&reach)
            .map(|opening| self.rigidity.of_opening * opening);
        let (none, twisted) = (Block::<N>::zeros(), Block::<N>::identity());
        self.arc().grow::<N>(&self.carried(), |column, growth| {
            let (start, end, line_load) = match column {
                Column::Load(row) => (start.row(row), end.row(row), self.line_load[0][row]),
                Column::Twist => (twisted.row(TWIST), none.row(0), 0.0),
                Column::LineLoad => (none.row(0), none.row(0), 1.0),
            };
            for (within, share) in within.iter_mut().zip(shares) {
                let shift = growth::at(&growth.shift, *share);
                within.per_start += shift * start;
                within.per_end += shift * end;
                within.per_line_load += shift * line_load;
            }
        })?;
        Ok(within)
    }

    /// Whether an arc of this angle under this stress differs from it by rounding alone.
    pub(crate) fn is_alike(&self, angle: f64, stress: &EndLoad) -> bool {
        let length_m = self.section.radius_m * self.angle;
        let size = |load: &EndLoad| load.force.amax().max(load.moment.amax() / length_m);
        let near = |one: f64, other: f64, size: f64| (one - other).abs() <= ROUNDING * size;
        // Where warping is weak it makes much of little, so each part of twisting is held against itself.
        near(angle, self.angle, self.angle)
            && near(size(&stress.less(&self.stress)), 0.0, size(stress))
            && near(stress.twist, self.stress.twist, stress.twist.abs())
            && near(stress.bimoment, self.stress.bimoment, stress.bimoment.abs())
    }

    /// Its angle, in radians.
    pub(crate) fn angle(&self) -> f64 {
        self.angle
    }

    /// What the reference state carries at `angle` from the start; equilibrium on the circle.
    pub(crate) fn stress_at(&self, angle: f64) -> EndLoad {
        let reach = Reach::of_circle(self.section.radius_m, angle);
        let moment = self.stress.moment - reach.chord.cross(&self.stress.force);
        let mut stress = EndLoad {
            force: reach.turn.tr_mul(&self.stress.force),
            moment: reach.turn.tr_mul(&moment),
            ..EndLoad::NONE
        };
        if N == WARPING {
            // What the free shape lacks of the circle's straightness in twist is what the stress twists (eq. 3.25).
            let (share, length_m) = (angle / self.angle, self.section.radius_m * self.angle);
            let mut slope = 0.0;
            for free in self.free_curvature.iter().rev() {
                slope = slope * share + stress.twist;
                stress.twist = stress.twist * share - free[1] / length_m;
            }
            stress.bimoment = slope * self.section.warping_n_m4 / length_m;
        }
        stress
    }
}

/// The exact answer of an arc to small loads, its start held.
struct SmallLoads<const N: usize> {
    response: Response<N>,
    /// What every unit load leaves at the far end, and what the line load does.
    far: [Part<N>; N],
    loaded: [Part<N>; 2],
}

impl<const N: usize> SmallLoads<N> {
    /// Eq. 3.8 for every column; `carried` is empty without stress.
    fn on(arc: &StressedArc<'_>, carried: &[EndLoad]) -> Result<Self, Error> {
        let turn = Reach::of_circle(arc.section.radius_m, arc.angle).turn;
        let mut answer = Self {
            response: Response::NONE,
            far: [Part::zeros(); N],
            loaded: [Part::zeros(); 2],
        };
        arc.grow::<N>(carried, |column, Growth { end, .. }| {
            let mut opening = stacked(&(turn * end.shift), &(turn * end.spin));
            set_twist(&mut opening, end.twist);
            let mut load = stacked(&end.force, &end.moment);
            set_twist(&mut load, end.bimoment);
            match column {
                Column::Load(row) => {
                    answer.response.flexibility.set_column(row, &opening);
                    answer.response.far_bimoment[row] = twist(&load);
                    answer.far[row] = load;
                }
                Column::Twist => answer.response.from_twist = opening,
                Column::LineLoad => answer.loaded = [opening, load],
            }
        })?;
        Ok(answer)
    }

    /// Both ends held, the start's load closes what the line load opened.
    fn line_load(&self, rigidity: &Rigidity<N>) -> [Part<N>; 2] {
        let [opened, left] = self.loaded;
        let held = -(rigidity.of_opening * opened);
        let mut at_end = Part::zeros();
        for (far, share) in self.far.iter().zip(&held) {
            at_end -= far * *share;
        }
        [held, at_end - left]
    }
}
