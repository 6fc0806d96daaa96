//! The loaded shape, followed until nothing is left over.
//!
//! Places and axes of all nodes and the load every arc carries are improved together (theory §3.7):
//! the arcs' exact curves say what is left of fit, the nodes what is left of balance.

use crate::bay::{Bay, EndLoad, Reach};
use crate::cyclic::CyclicMatrix;
use crate::error::Error;
use crate::mesh::{Mesh, Place, symmetrise};
use crate::tangent::hold_turning;
use nalgebra::{Matrix3, Matrix6, Vector3, Vector6};

/// What may be left of balance at one node, as a share of the largest force: the whole rim keeps 1e-9.
const BALANCE_TOLERANCE: f64 = 2e-10;

/// What may be left of fit between an arc's curve and its ends, as a share of the radius and in radians.
const FIT_TOLERANCE: f64 = 1e-12;

/// Below this a misfit is rounding, and chasing it would only stir short, stiff arcs.
const FIT_ROUNDING: f64 = 1e-15;

/// Rounds at most for one step of load; sound wheels take five.
const ROUNDS: usize = 40;

/// Rounds after which the arcs' rigidity is measured exactly: sound wheels are through by then.
const PATIENCE: usize = 8;

/// A node may turn by so much in one round; more means that the wheel is folding.
const LARGEST_SPIN: f64 = 0.5;

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
pub(crate) struct Shape<'mesh> {
    mesh: &'mesh Mesh,
    spokes: Spokes,
    centroids: Vec<Vector3<f64>>,
    axes: Vec<Matrix3<f64>>,
    carried: Vec<EndLoad>,
    reaches: Vec<Reach>,
    misfits: Vec<Vector6<f64>>,
    rigidities: Vec<Matrix6<f64>>,
}

impl<'mesh> Shape<'mesh> {
    /// The reference state.
    pub(crate) fn of(mesh: &'mesh Mesh, spokes: Spokes) -> Self {
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
            reaches,
            misfits: mesh.empty(),
            rigidities: mesh.bays.iter().map(|bay| bay.rigidity).collect(),
        }
    }

    /// The shape under these loads, reached from here in as many steps as it takes.
    ///
    /// # Errors
    /// [`Error::Folds`] when no stable equilibrium is found for the whole load.
    pub(crate) fn under(self, loads: &[DeadLoad]) -> Result<Self, Error> {
        let (mut shape, mut carried, mut step) = (self, 0.0, 1.0);
        while carried < 1.0 {
            let share = f64::min(1.0, carried + step);
            match shape.clone().settled(loads, share) {
                Some(settled) => (shape, carried) = (settled, share),
                None if step < 0.02 => return Err(Error::Folds { share: carried }),
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
        let tension_n = spring.tension_at_n(length_m);
        let tension_n = if self.spokes == Spokes::PullOnly {
            tension_n.max(0.0)
        } else {
            tension_n
        };
        (reach / length_m, length_m, tension_n)
    }

    /// The equilibrium under a share of the loads, if one is found and stable.
    fn settled(mut self, loads: &[DeadLoad], share: f64) -> Option<Self> {
        let largest_n = self
            .mesh
            .springs
            .iter()
            .map(|spring| spring.tension_n)
            .chain(loads.iter().map(|load| load.force.norm()))
            .fold(0.0, f64::max);
        for round in 0..ROUNDS {
            let (left, mut matrix) = self.balance(loads, share);
            if self.fits() && balanced(&left, largest_n, self.mesh.section.radius_m) {
                // A load that keeps its direction topples an all-radial wheel about a hub that is held; on the
                // road the hub turns freely and stays above the load, so that motion does not count.
                hold_turning(&mut matrix, self.mesh.section.radius_m);
                return (matrix.factor()?.negative == 0).then_some(self);
            }
            let factor = matrix.factor()?;
            let mut moves = left;
            for (node, (rigidity, misfit)) in self.rigidities.iter().zip(&self.misfits).enumerate()
            {
                let load = rigidity * misfit;
                moves[node] += load;
                moves[(node + 1) % self.rigidities.len()] -=
                    far_end(&EndLoad::NONE.plus(&load), &self.reaches[node]);
            }
            factor.solve(&mut moves);
            self.take(&moves, PATIENCE <= round)?;
        }
        None
    }

    fn fits(&self) -> bool {
        let radius_m = self.mesh.section.radius_m;
        self.misfits.iter().all(|misfit| {
            let (shift, spin) = (
                misfit.fixed_rows::<3>(0).amax(),
                misfit.fixed_rows::<3>(3).amax(),
            );
            shift <= FIT_TOLERANCE * radius_m && spin <= FIT_TOLERANCE
        })
    }

    /// What is left of balance at every node in its axes, and the tangent there.
    fn balance(&self, loads: &[DeadLoad], share: f64) -> (Vec<Vector6<f64>>, CyclicMatrix) {
        let nodes = self.mesh.bays.len();
        let mut left = self.mesh.held.clone();
        let mut matrix = CyclicMatrix::zeros(nodes);
        for (node, rigidity) in self.rigidities.iter().enumerate() {
            let (carried, reach) = (self.carried[node], &self.reaches[node]);
            let after = (node + 1) % nodes;
            left[node] += stacked(&carried.force, &carried.moment);
            left[after] -= far_end(&carried, reach);
            let block = Bay::stiffness(carried, reach, rigidity);
            matrix.diagonal[node] += block.start;
            matrix.next[node] += block.coupling;
            matrix.diagonal[after] += block.end;
        }
        for (spoke, spring) in self.mesh.springs.iter().enumerate() {
            let (along, length_m, tension_n) = self.pull(spoke);
            let force = along * -tension_n;
            left[spring.node] += stacked(&force, &spring.arm.cross(&force));
            if self.spokes == Spokes::BothWays || 0.0 < tension_n {
                matrix.diagonal[spring.node] += spring.stiffness_at(&along, length_m, tension_n);
            }
        }
        for load in loads {
            let node = load.place.node;
            let force = self.axes[node].tr_mul(&(load.force * share));
            left[node] += stacked(&force, &load.place.arm.cross(&force));
            let mut corner = matrix.diagonal[node].fixed_view_mut::<3, 3>(0, 3);
            corner -= force.cross_matrix();
        }
        symmetrise(&mut matrix);
        (left, matrix)
    }

    /// Moves every node, updates what the arcs carry and how well they fit; none when it runs away.
    fn take(&mut self, moves: &[Vector6<f64>], exactly: bool) -> Option<()> {
        let nodes = self.mesh.bays.len();
        for (node, rigidity) in self.rigidities.iter().enumerate() {
            let opening = Bay::opening(
                &self.reaches[node],
                &moves[node],
                &moves[(node + 1) % nodes],
            );
            self.carried[node] =
                self.carried[node].plus(&(rigidity * (opening + self.misfits[node])));
        }
        for (node, moved) in moves.iter().enumerate() {
            let spin = moved.fixed_rows::<3>(3).into_owned();
            let turn = spin.norm();
            if !turn.is_finite() || LARGEST_SPIN < turn {
                return None;
            }
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
            self.misfits[node] = misfit(&reach, &curve.reach, self.mesh.section.radius_m);
            self.rigidities[node] = if exactly {
                bay.rigidity_measured(self.carried[node])?
            } else {
                bay.rigidity_on(&curve)?
            };
            self.reaches[node] = reach;
        }
        Some(())
    }
}

/// Whether what is left is nothing beside the largest force.
fn balanced(left: &[Vector6<f64>], largest_n: f64, radius_m: f64) -> bool {
    left.iter().all(|node| {
        let (force, moment) = (
            node.fixed_rows::<3>(0).amax(),
            node.fixed_rows::<3>(3).amax(),
        );
        force <= BALANCE_TOLERANCE * largest_n && moment <= BALANCE_TOLERANCE * largest_n * radius_m
    })
}

/// What an arc's far end carries, in its own axes.
fn far_end(carried: &EndLoad, reach: &Reach) -> Vector6<f64> {
    let moment = carried.moment - reach.chord.cross(&carried.force);
    stacked(
        &reach.turn.tr_mul(&carried.force),
        &reach.turn.tr_mul(&moment),
    )
}

/// How far the far end lies from where the arc's own curve ends, rounding aside.
fn misfit(reach: &Reach, curve: &Reach, radius_m: f64) -> Vector6<f64> {
    let apart = reach.departure_from(curve);
    let (shift, spin) = (
        apart.fixed_rows::<3>(0).amax(),
        apart.fixed_rows::<3>(3).amax(),
    );
    if shift < FIT_ROUNDING * radius_m && spin < FIT_ROUNDING {
        return Vector6::zeros();
    }
    apart
}

fn stacked(upper: &Vector3<f64>, lower: &Vector3<f64>) -> Vector6<f64> {
    Vector6::new(upper[0], upper[1], upper[2], lower[0], lower[1], lower[2])
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
