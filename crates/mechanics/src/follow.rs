//! The loaded shape, followed until nothing is left over.
//!
//! Places and axes of all nodes and the load every arc carries are improved together (theory §3.7):
//! the arcs' exact curves say what is left of fit, the nodes what is left of balance.

use crate::bay::{EndLoad, Reach};
use crate::curve::Curve;
use crate::cyclic::{CyclicFactor, CyclicMatrix};
use crate::error::Error;
use crate::mesh::{Mesh, Place, symmetrise};
use crate::rigidity::{Response, Rigidity, far_end};
use crate::tangent::hold_turning;
use crate::unknowns::{PLAIN, Part, lower, set_twist, stacked, twist, upper};
use nalgebra::{Matrix3, Vector3};

/// What may be left of balance at one node, as a share of the largest force: the whole rim keeps 1e-9.
const BALANCE_TOLERANCE: f64 = 2e-10;

/// What may be left of fit between an arc's curve and its ends, as a share of the radius and in radians.
const FIT_TOLERANCE: f64 = 1e-12;

/// A spoke is slack when it carries less than this share of the largest force.
const SLACK_TOLERANCE: f64 = 1e-10;

/// Below this a misfit is rounding, and chasing it would only stir short, stiff arcs.
const FIT_ROUNDING: f64 = 1e-15;

/// Rounds at most for one step of load; sound wheels take five.
const ROUNDS: usize = 24;

/// Rounds at most before which the arcs' answers are measured: from a step that is short enough one does.
const MEASURINGS: usize = 4;

/// Rounds whose moves are no smaller than this share of those before do not close in: near to folding the arcs' answers
/// must be measured. In sound wheels every round is a tenth of the one before or less.
const CLOSING_IN: f64 = 0.3;

/// The load grows by no less than this share of the whole: what lies between two steps of it that far apart, one with an
/// equilibrium and one without, is where the wheel folds.
pub(crate) const SHORTEST_STEP: f64 = 0.005;

/// No node turns by more, in radians, from one shape to the next, all rounds together: more would be a leap to a shape
/// that does not follow on the one before, or a wheel that is folding.
const LARGEST_SPIN: f64 = 0.1;

/// Whether spokes go slack or push back when shortened past their natural length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Spokes {
    PullOnly,
    BothWays,
}

/// A force that keeps its direction, on a point of the rim.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DeadLoad {
    pub(crate) place: Place,
    /// In the wheel's axes.
    pub(crate) force: Vector3<f64>,
}

/// Rim and spokes in a loaded shape.
#[derive(Debug, Clone)]
pub(crate) struct Shape<'mesh, const N: usize> {
    mesh: &'mesh Mesh<N>,
    spokes: Spokes,
    pub(crate) centroids: Vec<Vector3<f64>>,
    pub(crate) axes: Vec<Matrix3<f64>>,
    /// What every arc's start carries, and the rate of twist of its node.
    pub(crate) carried: Vec<EndLoad>,
    far_bimoments: Vec<f64>,
    reaches: Vec<Reach>,
    misfits: Vec<Part<N>>,
    rigidities: Vec<Rigidity<N>>,
    /// What the quadrature of every arc's answer leaves out, once it was measured; else nothing.
    beyond_quadrature: Vec<Response<N>>,
    /// How much of loads and turns it has taken.
    pub(crate) share: f64,
}

/// Where the first spoke has no tension left.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Slackened {
    pub(crate) share: f64,
    pub(crate) spoke: usize,
    /// Whether the shape is stable when that spoke bears nothing either way.
    pub(crate) stands_without: bool,
}

impl<'mesh, const N: usize> Shape<'mesh, N> {
    /// The reference state.
    pub(crate) fn of(mesh: &'mesh Mesh<N>, spokes: Spokes) -> Self {
        let (centroids, axes) = (0..mesh.angles.len()).map(|node| mesh.pose(node)).unzip();
        let reaches = mesh
            .bays
            .iter()
            .map(|bay| Reach::of_circle(mesh.section.radius_m, bay.angle()))
            .collect();
        Self {
            mesh,
            spokes,
            centroids,
            axes,
            carried: mesh.bays.iter().map(|bay| bay.stress).collect(),
            far_bimoments: mesh
                .bays
                .iter()
                .map(|bay| bay.stress_at(bay.angle()).bimoment)
                .collect(),
            reaches,
            misfits: mesh.empty(),
            rigidities: mesh.bays.iter().map(|bay| bay.rigidity.clone()).collect(),
            beyond_quadrature: Vec::new(),
            share: 0.0,
        }
    }

    /// The shape under a multiple of these loads and of the turns of the mesh's spokes, reached from the one it is under
    /// in as many steps as it takes.
    ///
    /// # Errors
    /// [`Error::Folds`] when no stable equilibrium is found for so much of the load.
    pub(crate) fn under(self, loads: &[DeadLoad], multiple: f64) -> Result<Self, Error> {
        let mut step = multiple - self.share;
        let mut shape = self;
        while shape.share < multiple {
            let share = f64::min(multiple, shape.share + step);
            match shape.settled(loads, share) {
                Some(settled) => shape = settled,
                None if step < SHORTEST_STEP => return Err(Error::Folds { share: shape.share }),
                None => step *= 0.5,
            }
        }
        Ok(shape)
    }

    /// Every spoke's tension.
    pub(crate) fn tensions_n(&self) -> Vec<f64> {
        (0..self.mesh.springs.len())
            .map(|spoke| self.pull(spoke).2)
            .collect()
    }

    /// Displacement of a point of the rim, in the wheel's axes.
    pub(crate) fn displacement(&self, place: &Place) -> Vector3<f64> {
        let (centroid, axes) = self.mesh.pose(place.node);
        self.centroids[place.node] + self.axes[place.node] * place.arm
            - (centroid + axes * place.arm)
    }

    /// Force (N) and moment about its centre (N m) of all spokes on the hub.
    pub(crate) fn on_hub(&self) -> [f64; 6] {
        let mut sum = [0.0; 6];
        for (spoke, spring) in self.mesh.springs.iter().enumerate() {
            let (along, _, tension_n) = self.pull(spoke);
            let force = self.axes[spring.node] * along * tension_n;
            let moment = spring.hub.cross(&force);
            for axis in 0..3 {
                sum[axis] += force[axis];
                sum[axis + 3] += moment[axis];
            }
        }
        sum
    }

    /// Direction from hub to seat in the node's axes, length and tension of a spoke.
    fn pull(&self, spoke: usize) -> (Vector3<f64>, f64, f64) {
        let spring = &self.mesh.springs[spoke];
        let axes = &self.axes[spring.node];
        let reach = axes.tr_mul(&(self.centroids[spring.node] - spring.hub)) + spring.arm;
        let length_m = reach.norm();
        let tension_n = spring.tension_at_n(length_m, self.share);
        let tension_n = if self.spokes == Spokes::PullOnly {
            tension_n.max(0.0)
        } else {
            tension_n
        };
        (reach / length_m, length_m, tension_n)
    }

    /// The equilibrium under a share of the loads and turns, if one is found and stable.
    ///
    /// Sought with spokes that push as well first: where all of them pull it is the same one, and a spoke that has no
    /// tension in one round only does not stir the others.
    pub(crate) fn settled(&self, loads: &[DeadLoad], share: f64) -> Option<Self> {
        if self.spokes == Spokes::BothWays || !self.is_taut() {
            return self.clone().at_rest(loads, share);
        }
        match self.clone().with(Spokes::BothWays).at_rest(loads, share) {
            Some(found) if found.is_taut() => Some(found.with(Spokes::PullOnly)),
            _ => self.clone().at_rest(loads, share),
        }
    }

    /// The same shape with other spokes.
    pub(crate) const fn with(mut self, spokes: Spokes) -> Self {
        self.spokes = spokes;
        self
    }

    /// Whether every spoke pulls.
    pub(crate) fn is_taut(&self) -> bool {
        (0..self.mesh.springs.len()).all(|spoke| 0.0 < self.pull(spoke).2)
    }

    fn at_rest(mut self, loads: &[DeadLoad], share: f64) -> Option<Self> {
        self.share = share;
        let mut pace = Pace::default();
        loop {
            let (left, matrix) = self.balance(loads);
            if self.rests(&left, loads) {
                return self.is_stable(matrix)?.then_some(self);
            }
            let moves = self.moves(left, &matrix.factor()?);
            let is_measured = pace.is_slow(&moves)?;
            self.take(&moves, is_measured)?;
        }
    }

    /// The stable equilibrium under that multiple of the loads at which one spoke is slack and all others pull, if one is
    /// found: the multiple is one more unknown, no tension left in that spoke one more equation.
    pub(crate) fn slackened(mut self, loads: &[DeadLoad]) -> Option<Slackened> {
        let mut slackest = None;
        let mut pace = Pace::default();
        loop {
            let (left, matrix) = self.balance(loads);
            let largest_n = self.largest_n(loads);
            let is_slack = |spoke: usize| self.pull(spoke).2.abs() <= SLACK_TOLERANCE * largest_n;
            if let Some(spoke) =
                slackest.filter(|spoke| is_slack(*spoke) && self.rests(&left, loads))
            {
                let is_first = (0..self.mesh.springs.len())
                    .all(|other| 0.0 < self.pull(other).2 || is_slack(other));
                let stands_without = self.is_stable(self.without(spoke, matrix.clone()))?;
                return (is_first && self.is_stable(matrix)?).then_some(Slackened {
                    share: self.share,
                    spoke,
                    stands_without,
                });
            }
            let factor = matrix.factor()?;
            let mut moves = self.moves(left, &factor);
            let mut push = self.mesh.empty();
            for load in loads {
                push[load.place.node] += self.laid(load, 1.0);
            }
            factor.solve(&mut push);
            let (more, spoke) = self.more_to_slack(&moves, &push)?;
            slackest = Some(spoke);
            self.share += more;
            for (moved, push) in moves.iter_mut().zip(&push) {
                *moved += push * more;
            }
            let is_measured = pace.is_slow(&moves)?;
            self.take(&moves, is_measured)?;
        }
    }

    /// The tangent without a spoke.
    fn without(&self, spoke: usize, mut matrix: CyclicMatrix<N>) -> CyclicMatrix<N> {
        let spring = &self.mesh.springs[spoke];
        let (along, length_m, tension_n) = self.pull(spoke);
        let mut corner = matrix.diagonal[spring.node].fixed_view_mut::<PLAIN, PLAIN>(0, 0);
        corner -= spring.stiffness_at(&along, length_m, tension_n);
        matrix
    }

    /// How much more of the loads slackens the first spoke, and which, by the tangent: `moves` balances what is on now,
    /// `push` is the answer to the whole loads. None when they slacken nothing.
    fn more_to_slack(&self, moves: &[Part<N>], push: &[Part<N>]) -> Option<(f64, usize)> {
        let slackens = self
            .mesh
            .springs
            .iter()
            .enumerate()
            .filter_map(|(spoke, spring)| {
                let (along, _, tension_n) = self.pull(spoke);
                let lever = spring.arm.cross(&along);
                let change_n = |moved: &Part<N>| {
                    spring.rate_n_per_m() * (along.dot(&upper(moved)) + lever.dot(&lower(moved)))
                };
                let per_load_n = change_n(&push[spring.node]);
                let left_n = tension_n + change_n(&moves[spring.node]);
                (per_load_n < 0.0).then(|| (-left_n / per_load_n, spoke))
            });
        slackens.min_by(|(one, _), (other, _)| one.total_cmp(other))
    }

    /// What makes up for the imbalance and the misfits, by the tangent.
    fn moves(&self, left: Vec<Part<N>>, factor: &CyclicFactor<N>) -> Vec<Part<N>> {
        let mut moves = left;
        for (node, (rigidity, misfit)) in self.rigidities.iter().zip(&self.misfits).enumerate() {
            let load = rigidity.of_opening * misfit;
            moves[node] += load;
            moves[(node + 1) % self.rigidities.len()] -=
                rigidity.far_end(&load, &self.reaches[node]);
        }
        factor.solve(&mut moves);
        moves
    }

    fn largest_n(&self, loads: &[DeadLoad]) -> f64 {
        let tensions_n = self.mesh.springs.iter().map(|spring| spring.tension_n);
        let loads_n = loads.iter().map(|load| load.force.norm() * self.share);
        tensions_n.chain(loads_n).fold(0.0, f64::max)
    }

    /// Whether nothing is left over, of fit and of balance.
    fn rests(&self, left: &[Part<N>], loads: &[DeadLoad]) -> bool {
        self.fits() && balanced(left, self.largest_n(loads), self.mesh.section.radius_m)
    }

    fn is_stable(&self, mut matrix: CyclicMatrix<N>) -> Option<bool> {
        // A load that keeps its direction topples an all-radial wheel about a hub that is held; on the
        // road the hub turns freely and stays above the load, so that motion does not count.
        hold_turning(&mut matrix, self.mesh.section.radius_m);
        Some(matrix.factor()?.negative == 0)
    }

    /// A share of a load, on its node in the node's axes.
    fn laid(&self, load: &DeadLoad, share: f64) -> Part<N> {
        let force = self.axes[load.place.node].tr_mul(&(load.force * share));
        stacked(&force, &load.place.arm.cross(&force))
    }

    fn fits(&self) -> bool {
        let radius_m = self.mesh.section.radius_m;
        self.misfits
            .iter()
            .all(|misfit| within(misfit, FIT_TOLERANCE, radius_m))
    }

    /// What is left of balance at every node in its axes, and the tangent there.
    fn balance(&self, loads: &[DeadLoad]) -> (Vec<Part<N>>, CyclicMatrix<N>) {
        let nodes = self.mesh.bays.len();
        let mut left = self.mesh.held.clone();
        let mut matrix = CyclicMatrix::zeros(nodes);
        for (node, rigidity) in self.rigidities.iter().enumerate() {
            let (carried, reach) = (self.carried[node], &self.reaches[node]);
            let after = (node + 1) % nodes;
            left[node] += carried.part::<N>();
            let bimoment = self.far_bimoments[node];
            left[after] -= far_end::<N>(&carried.force, &carried.moment, bimoment, reach);
            let block = rigidity.stiffness(&carried, reach);
            matrix.diagonal[node] += block.start;
            matrix.next[node] += block.coupling;
            matrix.diagonal[after] += block.end;
        }
        for (spoke, spring) in self.mesh.springs.iter().enumerate() {
            let (along, length_m, tension_n) = self.pull(spoke);
            let force = along * -tension_n;
            left[spring.node] += stacked::<N>(&force, &spring.arm.cross(&force));
            if self.spokes == Spokes::BothWays || 0.0 < tension_n {
                let stiffness = spring.stiffness_at(&along, length_m, tension_n);
                let mut corner = matrix.diagonal[spring.node].fixed_view_mut::<PLAIN, PLAIN>(0, 0);
                corner += stiffness;
            }
        }
        for load in loads {
            let node = load.place.node;
            let laid = self.laid(load, self.share);
            left[node] += laid;
            let mut corner = matrix.diagonal[node].fixed_view_mut::<3, 3>(0, 3);
            corner -= upper(&laid).cross_matrix();
        }
        symmetrise(&mut matrix);
        (left, matrix)
    }

    /// Moves every node, updates what the arcs carry and how well they fit; none when an arc collapses.
    fn take(&mut self, moves: &[Part<N>], is_measured: bool) -> Option<()> {
        let nodes = self.mesh.bays.len();
        if is_measured {
            self.beyond_quadrature.resize(nodes, Response::NONE);
        }
        for (node, rigidity) in self.rigidities.iter().enumerate() {
            let (start, end) = (&moves[node], &moves[(node + 1) % nodes]);
            let opening = rigidity.opening(&self.reaches[node], start, end);
            self.carried[node] = self.carried[node]
                .twisted(twist(start))
                .plus(&(rigidity.of_opening * (opening + self.misfits[node])));
        }
        for (node, moved) in moves.iter().enumerate() {
            let spin = lower(moved);
            let turn = spin.norm();
            self.centroids[node] += self.axes[node] * moved.fixed_rows::<3>(0);
            self.axes[node] *= rotation(&spin, turn);
        }
        for (node, bay) in self.mesh.bays.iter().enumerate() {
            let after = (node + 1) % nodes;
            let from = &self.axes[node];
            let reach = Reach {
                turn: from.tr_mul(&self.axes[after]),
                chord: from.tr_mul(&(self.centroids[after] - self.centroids[node])),
            };
            let curve = bay.curve(self.carried[node]).ok()?;
            self.misfits[node] = misfit(
                &reach,
                self.carried[after].twist,
                &curve,
                self.mesh.section.radius_m,
            );
            self.far_bimoments[node] = curve.bimoment;
            if is_measured {
                let measured = bay.response_measured(self.carried[node])?;
                self.beyond_quadrature[node] = measured.plus(&curve.response, -1.0);
            }
            self.rigidities[node] = bay.rigidity_on(&curve, self.beyond_quadrature.get(node))?;
            self.reaches[node] = reach;
        }
        Some(())
    }
}

/// How fast the rounds close in.
#[derive(Debug, Default)]
struct Pace {
    rounds: usize,
    measurings: usize,
    last_spin: Option<f64>,
    spun: f64,
}

impl Pace {
    /// Whether the moves of one round more are hardly smaller than those before; none when they run away or go on for
    /// too long.
    fn is_slow<const N: usize>(&mut self, moves: &[Part<N>]) -> Option<bool> {
        let is_finite = moves.iter().all(|moved| moved.amax().is_finite());
        let spins = moves.iter().map(|moved| lower(moved).norm());
        let spin = spins.fold(0.0, f64::max);
        let before = self.last_spin.replace(spin);
        self.spun += spin;
        let is_slow = before.is_some_and(|before| CLOSING_IN * before < spin);
        self.rounds += 1;
        self.measurings += usize::from(is_slow);
        let goes_on = self.rounds <= ROUNDS && self.measurings <= MEASURINGS;
        (goes_on && is_finite && self.spun <= LARGEST_SPIN).then_some(is_slow)
    }
}

/// Whether what is left is nothing beside the largest force.
fn balanced<const N: usize>(left: &[Part<N>], largest_n: f64, radius_m: f64) -> bool {
    left.iter().all(|node| {
        let (force, moment) = (upper(node).amax(), lower(node).amax());
        let bimoment = twist(node).abs();
        force <= BALANCE_TOLERANCE * largest_n
            && moment <= BALANCE_TOLERANCE * largest_n * radius_m
            && bimoment <= BALANCE_TOLERANCE * largest_n * radius_m * radius_m
    })
}

/// Whether a misfit is at most `share` of the radius, of a radian and of a radian in the radius.
fn within<const N: usize>(misfit: &Part<N>, share: f64, radius_m: f64) -> bool {
    upper(misfit).amax() <= share * radius_m
        && lower(misfit).amax() <= share
        && twist(misfit).abs() * radius_m <= share
}

/// How far the far end lies from where the arc's own curve ends, rounding aside.
fn misfit<const N: usize>(
    reach: &Reach,
    far_twist: f64,
    curve: &Curve<N>,
    radius_m: f64,
) -> Part<N> {
    let mut apart = reach.departure_from(&curve.reach);
    set_twist(&mut apart, far_twist - curve.twist);
    if within(&apart, FIT_ROUNDING, radius_m) {
        return Part::zeros();
    }
    apart
}

/// Rotation by a spin whose size is `turn`.
fn rotation(spin: &Vector3<f64>, turn: f64) -> Matrix3<f64> {
    if turn == 0.0 {
        return Matrix3::identity();
    }
    let cross = spin.cross_matrix();
    Matrix3::identity()
        + cross * (turn.sin() / turn)
        + cross * cross * ((1.0 - turn.cos()) / (turn * turn))
}
