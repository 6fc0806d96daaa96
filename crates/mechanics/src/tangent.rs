//! The wheel's answer to small loads about one state: eliminated once, asked many times.

use crate::cyclic::{CyclicFactor, CyclicMatrix};
use crate::error::Error;
use crate::mesh::Mesh;
use crate::unknowns::{Part, WARPING, stacked};
use nalgebra::{Matrix6, SymmetricEigen, Vector3};

/// Rigid motions stiffer than this share of the stiffest are held by something: rounding leaves 1e-14.
const FREE_MOTION: f64 = 1e-10;

/// Rigid motions of the rim in words, in the order of [`rigid_motion`].
const MOTIONS: [&str; 6] = [
    "along its plane (x)",
    "along its plane (y)",
    "along the axle",
    "by tilting about x",
    "by tilting about y",
    "by turning about the axle",
];

/// A mesh with its eliminated tangent stiffness.
#[derive(Debug, Clone)]
pub(crate) struct Tangent<const N: usize> {
    pub(crate) mesh: Mesh<N>,
    pub(crate) matrix: CyclicMatrix<N>,
    factor: CyclicFactor<N>,
    /// Nothing holds the rim against turning about the axle; a helper spring keeps the sums regular.
    pub(crate) turns_freely: bool,
}

impl<const N: usize> Tangent<N> {
    /// The tangent of a mesh in its reference state.
    ///
    /// # Errors
    /// [`Error::Mechanism`] when the rim can move freely other than by turning about the axle,
    /// [`Error::AboveBuckling`] when the state is unstable.
    pub(crate) fn new(mesh: Mesh<N>) -> Result<Self, Error> {
        let mut matrix = mesh.stiffness(&mesh.bays, 1.0);
        let turns_freely = turns_freely(&mesh, &matrix)?;
        if turns_freely {
            hold_turning(&mut matrix, mesh.section.radius_m);
        }
        let factor = matrix.factor().ok_or(Error::AboveBuckling)?;
        if factor.negative != 0 {
            return Err(Error::AboveBuckling);
        }
        Ok(Self {
            mesh,
            matrix,
            factor,
            turns_freely,
        })
    }

    /// The same with nodes at these angles too.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub(crate) fn refined(&self, angles: &[f64]) -> Result<Self, Error> {
        Self::new(self.mesh.refined(angles)?)
    }

    /// The movement of every node under these loads, in node axes.
    pub(crate) fn answer(&self, mut loads: Vec<Part<N>>) -> Vec<Part<N>> {
        if N == WARPING {
            return self.matrix.solved_closely(&self.factor, &loads);
        }
        self.factor.solve(&mut loads);
        loads
    }

    /// The movement under a force at one angle for which the mesh has a node, in that place's axes.
    pub(crate) fn answer_to_force(&self, angle: f64, force: Vector3<f64>) -> Vec<Part<N>> {
        let place = self.mesh.place(angle);
        let mut loads = self.mesh.empty();
        loads[place.node] = place.load(&force);
        self.answer(loads)
    }

    /// The displacement at an angle for which the mesh has a node.
    pub(crate) fn displacement(&self, moved: &[Part<N>], angle: f64) -> Vector3<f64> {
        let place = self.mesh.place(angle);
        place.displacement(&moved[place.node])
    }

    /// Change of every tension, spokes keeping their natural length.
    pub(crate) fn tension_changes_n(&self, moved: &[Part<N>]) -> Vec<f64> {
        self.mesh
            .springs
            .iter()
            .map(|spring| spring.tension_change_n(&moved[spring.node]))
            .collect()
    }

    /// Loads that shortening one spoke's natural length by a metre puts on the rim held still.
    pub(crate) fn shortening(&self, spoke: usize) -> Vec<Part<N>> {
        let spring = &self.mesh.springs[spoke];
        let mut loads = self.mesh.empty();
        loads[spring.node] = spring.pull::<N>() * spring.shortening_n_per_m();
        loads
    }
}

/// Makes a wheel that turns freely solvable without touching any answer but the turning itself.
pub(crate) fn hold_turning<const N: usize>(matrix: &mut CyclicMatrix<N>, radius_m: f64) {
    let turning: Part<N> = stacked(
        &Vector3::new(0.0, radius_m, 0.0),
        &Vector3::new(0.0, 0.0, 1.0),
    );
    let strength = matrix.diagonal[0][(0, 0)] / (radius_m * radius_m);
    matrix.diagonal[0] += turning * turning.transpose() * strength;
}

/// Whether the rim turns freely about the axle.
///
/// # Errors
/// [`Error::Mechanism`] when any other motion is free.
fn turns_freely<const N: usize>(mesh: &Mesh<N>, matrix: &CyclicMatrix<N>) -> Result<bool, Error> {
    if mesh.springs.len() < 6 {
        return Err(Error::TooFewSpokes {
            spokes: mesh.springs.len(),
        });
    }
    let motions: Vec<_> = (0..6).map(|motion| rigid_motion(mesh, motion)).collect();
    let pushes: Vec<_> = motions.iter().map(|motion| matrix.times(motion)).collect();
    let energy: Matrix6<f64> = Matrix6::from_fn(|row, column| {
        motions[row]
            .iter()
            .zip(&pushes[column])
            .map(|(moved, push)| moved.dot(push))
            .sum()
    });
    let SymmetricEigen {
        eigenvalues,
        eigenvectors,
    } = energy.symmetric_eigen();
    let threshold = FREE_MOTION * eigenvalues.max();
    let mut free = false;
    for (value, motion) in eigenvalues.iter().zip(eigenvectors.column_iter()) {
        if value.abs() <= threshold {
            let main = motion.iamax();
            if main != 5 || 1e-6 < 1.0 - motion[5].abs() {
                return Err(Error::Mechanism {
                    motion: MOTIONS[main],
                });
            }
            free = true;
        }
    }
    Ok(free)
}

/// The rim moving as a whole by a metre, or turning so that its edge moves by a metre.
fn rigid_motion<const N: usize>(mesh: &Mesh<N>, motion: usize) -> Vec<Part<N>> {
    let mut direction = Vector3::zeros();
    direction[motion % 3] = 1.0;
    (0..mesh.angles.len())
        .map(|node| {
            let (centroid, axes) = mesh.pose(node);
            let (shift, spin) = if motion < 3 {
                (direction, Vector3::zeros())
            } else {
                let spin = direction / mesh.section.radius_m;
                (spin.cross(&centroid), spin)
            };
            stacked(&axes.tr_mul(&shift), &axes.tr_mul(&spin))
        })
        .collect()
}
