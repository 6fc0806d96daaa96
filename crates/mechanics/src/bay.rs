//! The arc of rim between two neighbouring nodes, solved as an exact elastic curve.
//!
//! The arc is a rod that follows any rotation (theory §3.2). All it knows of a mesh is its two ends, so
//! its length does not matter to the answer. Nodes have N unknowns: on a rim that resists warping
//! the rate of twist is one of them.

use crate::curve::{Curve, FreeArc};
use crate::error::Error;
use crate::growth::{Column, Grown, StressedArc};
use crate::section::Section;
use crate::twisting::Twisting;
use crate::unknowns::{
    Block, PLAIN, Part, TWIST, WARPING, lower, set_twist, stacked, twist, upper,
};
use nalgebra::{ArrayStorage, Matrix3, Vector3};

/// Load changes by which a flexibility is measured: the answer is straight over them to nine digits, and
/// far above rounding.
const MEASURING_FORCE_N: f64 = 1.0;
const MEASURING_MOMENT_N_M: f64 = 0.05;
const MEASURING_TWIST_PER_M: f64 = 1e-3;

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

/// How an arc's two ends push back when they move; eq. 3.11.
#[derive(Debug, Clone)]
pub(crate) struct BayStiffness<const N: usize> {
    pub(crate) start: Block<N>,
    pub(crate) coupling: Block<N>,
    pub(crate) end: Block<N>,
}

/// What the load at an arc's start answers to movements of its ends.
#[derive(Debug, Clone)]
pub(crate) struct Rigidity<const N: usize> {
    /// Change of the start's load per opening (eq. 3.9).
    pub(crate) of_opening: Block<N>,
    /// Opening per rate of twist of the start under an unchanged load (eq. 3.26).
    pub(crate) from_twist: Part<N>,
    /// Far end's bimoment per change of the start's load (eq. 3.27).
    pub(crate) far_bimoment: Part<N>,
}

/// What an arc's far end answers to changes at its start while that is held.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Response<const N: usize> {
    /// Opening per change of the start's load, whose inverse is the rigidity.
    pub(crate) flexibility: Block<N>,
    /// As in [`Rigidity`].
    pub(crate) from_twist: Part<N>,
    pub(crate) far_bimoment: Part<N>,
}

impl<const N: usize> Response<N> {
    pub(crate) const NONE: Self = Self {
        flexibility: Block::from_array_storage(ArrayStorage([[0.0; N]; N])),
        from_twist: Part::from_array_storage(ArrayStorage([[0.0; N]; 1])),
        far_bimoment: Part::from_array_storage(ArrayStorage([[0.0; N]; 1])),
    };

    /// Both together, the other `share` times.
    fn plus(&self, other: &Self, share: f64) -> Self {
        Self {
            flexibility: self.flexibility + other.flexibility * share,
            from_twist: self.from_twist + other.from_twist * share,
            far_bimoment: self.far_bimoment + other.far_bimoment * share,
        }
    }

    fn rigidity(&self) -> Option<Rigidity<N>> {
        Some(Rigidity {
            of_opening: self.flexibility.try_inverse()?,
            from_twist: self.from_twist,
            far_bimoment: self.far_bimoment,
        })
    }
}

impl<const N: usize> Rigidity<N> {
    /// Movement of the far end seen from the start, when both ends move (eq. 3.10, 3.26).
    pub(crate) fn opening(&self, reach: &Reach, start: &Part<N>, end: &Part<N>) -> Part<N> {
        let (shift, spin) = (start.fixed_rows::<3>(0), lower(start));
        let moved = reach.turn * end.fixed_rows::<3>(0) - shift + reach.chord.cross(&spin);
        let spun = reach.turn * end.fixed_rows::<3>(3) - spin;
        let mut opening = stacked(&moved, &spun);
        if N == WARPING {
            opening[TWIST] = end[TWIST];
            opening -= self.from_twist * start[TWIST];
        }
        opening
    }

    /// Change of what the far end carries in its own axes, when the start's load changes and no end moves.
    pub(crate) fn far_end(&self, load: &Part<N>, reach: &Reach) -> Part<N> {
        let bimoment = if N == WARPING {
            self.far_bimoment.dot(load)
        } else {
            0.0
        };
        far_end(&upper(load), &lower(load), bimoment, reach)
    }

    /// The ends' stiffness when the start carries `load` and the far end lies at `reach`; eq. 3.11.
    pub(crate) fn stiffness(&self, load: &EndLoad, reach: &Reach) -> BayStiffness<N> {
        let mut from_start = -Block::<N>::identity();
        from_start
            .fixed_view_mut::<3, 3>(0, 3)
            .copy_from(&reach.chord.cross_matrix());
        let mut from_end = Block::<N>::zeros();
        from_end.fixed_view_mut::<3, 3>(0, 0).copy_from(&reach.turn);
        from_end.fixed_view_mut::<3, 3>(3, 3).copy_from(&reach.turn);

        let moment = load.moment - reach.chord.cross(&load.force);
        let mut carried = self.of_opening;
        let lever = reach.chord.cross_matrix() * self.of_opening.fixed_view::<3, N>(0, 0);
        let mut lower = carried.fixed_view_mut::<3, N>(3, 0);
        lower -= lever;
        let force_turned = load.force.cross_matrix();
        let mut upper = carried.fixed_view_mut::<3, 3>(0, 3);
        upper += force_turned;
        let mut lower_left = carried.fixed_view_mut::<3, 3>(3, 0);
        lower_left += force_turned;
        let mut lower_right = carried.fixed_view_mut::<3, 3>(3, 3);
        lower_right += moment.cross_matrix();
        if N == WARPING {
            from_start.set_column(TWIST, &-self.from_twist);
            from_end[(TWIST, TWIST)] = 1.0;
            carried.set_row(TWIST, &self.far_bimoment.tr_mul(&self.of_opening));
        }

        let start_push = self.of_opening * from_end;
        BayStiffness {
            start: -(self.of_opening * from_start),
            coupling: -start_push,
            end: from_end.tr_mul(&(carried * from_end)),
        }
    }
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
    /// What the quadrature of [`Curve`] leaves out of the exact flexibility in the reference state.
    beyond_quadrature: Response<N>,
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
        let mut bay = Self {
            section,
            angle,
            stress,
            free_curvature,
            free_stretch,
            rigidity,
            beyond_quadrature: Response::NONE,
            twisting,
            line_load,
        };
        bay.beyond_quadrature = answer.response.plus(&bay.curve(stress)?.response, -1.0);
        Ok(bay)
    }

    /// The exact curve of the arc when its start carries `load`.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when the series do not settle.
    pub(crate) fn curve(&self, load: EndLoad) -> Result<Curve<N>, Error> {
        let free = FreeArc {
            section: &self.section,
            angle: self.angle,
            curvature: &self.free_curvature,
            stretch: &self.free_stretch,
            twisting: &self.twisting,
        };
        free.under(load)
    }

    /// The rigidity to the last digits, measured on the exact curve by small changes at the start: for the rounds
    /// in which the wheel is so near to turning over that less would not converge.
    pub(crate) fn rigidity_measured(&self, load: EndLoad) -> Option<Rigidity<N>> {
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
        response.rigidity()
    }

    /// The rigidity about any curve: to the accuracy at which thrust softens a bent arc, which is all that a
    /// round of following needs.
    pub(crate) fn rigidity_on(&self, curve: &Curve<N>) -> Option<Rigidity<N>> {
        self.beyond_quadrature.plus(&curve.response, 1.0).rigidity()
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
        let grow = |column: Column| -> Result<[Part<N>; 2], Error> {
            let end: Grown = arc.grow::<N>(column, carried)?;
            let mut opening = stacked(&(turn * end.shift), &(turn * end.spin));
            set_twist(&mut opening, end.twist);
            let mut load = stacked(&end.force, &end.moment);
            set_twist(&mut load, end.bimoment);
            Ok([opening, load])
        };
        let mut answer = Self {
            response: Response::NONE,
            far: [Part::zeros(); N],
            loaded: grow(Column::LineLoad)?,
        };
        for row in 0..N {
            let [opening, load] = grow(Column::Load(row))?;
            answer.response.flexibility.set_column(row, &opening);
            answer.response.far_bimoment[row] = twist(&load);
            answer.far[row] = load;
        }
        if N == WARPING {
            answer.response.from_twist = grow(Column::Twist)?[0];
        }
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

/// What an arc's far end carries in its own axes.
pub(crate) fn far_end<const N: usize>(
    force: &Vector3<f64>,
    moment: &Vector3<f64>,
    bimoment: f64,
    reach: &Reach,
) -> Part<N> {
    let moment = moment - reach.chord.cross(force);
    let mut part = stacked(&reach.turn.tr_mul(force), &reach.turn.tr_mul(&moment));
    set_twist(&mut part, bimoment);
    part
}
