//! Stiffness: what a load at the rim moves, and what turning the hub takes.

use crate::error::Error;
use crate::structure::{Structure, on_tangent};
use crate::tangent::Tangent;
use crate::unknowns::Part;
use nalgebra::{Matrix6, Vector3};
use quantity::Angle;

/// Stiffness at one point of the rim's centroid: the load over the displacement there in its direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointStiffness {
    /// Toward the hub.
    pub radial_n_per_mm: f64,
    /// Along the axle.
    pub lateral_n_per_mm: f64,
    /// Along the rim; zero when nothing holds the rim against turning.
    pub tangential_n_per_mm: f64,
}

impl Structure {
    /// Stiffness under a point load at each of these angles, with the hub held.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub fn point_stiffness(&self, angles: &[Angle]) -> Result<Vec<PointStiffness>, Error> {
        let angles: Vec<_> = angles.iter().map(|angle| angle.to_rad()).collect();
        on_tangent!(self, tangent => tangent.point_stiffness(&angles))
    }

    /// Torque about the axle, spread evenly round the rim, per mean turn of the rim against the hub.
    #[must_use]
    pub fn torsional_n_m_per_rad(&self) -> f64 {
        on_tangent!(self, tangent => tangent.torsional_n_m_per_rad())
    }

    /// Force (N) and moment (N m) on the hub per shift (m) and turn (rad) of the hub about its centre,
    /// x, y, z each, with the whole rim held still; eq. 3.17.
    #[must_use]
    pub fn hub_against_held_rim(&self) -> [[f64; 6]; 6] {
        on_tangent!(self, tangent => tangent.hub_against_held_rim())
    }
}

impl<const N: usize> Tangent<N> {
    fn point_stiffness(&self, angles: &[f64]) -> Result<Vec<PointStiffness>, Error> {
        let tangent = self.refined(angles)?;
        let along = |angle: f64, axis: usize| {
            let mut force = Vector3::zeros();
            force[axis] = 1.0;
            let moved = tangent.answer_to_force(angle, force);
            1e-3 / tangent.displacement(&moved, angle)[axis]
        };
        Ok(angles
            .iter()
            .map(|&angle| PointStiffness {
                radial_n_per_mm: along(angle, 0),
                lateral_n_per_mm: along(angle, 2),
                tangential_n_per_mm: if tangent.turns_freely {
                    0.0
                } else {
                    along(angle, 1)
                },
            })
            .collect())
    }

    fn torsional_n_m_per_rad(&self) -> f64 {
        if self.turns_freely {
            return 0.0;
        }
        let radius_m = self.mesh.section.radius_m;
        let shares = self.tributary_shares();
        let loads = shares.iter().map(|share| {
            let mut load = Part::zeros();
            load[1] = share / radius_m;
            load
        });
        let moved = self.answer(loads.collect());
        let turn: f64 = moved
            .iter()
            .zip(&shares)
            .map(|(node, share)| share * node[1] / radius_m)
            .sum();
        1.0 / turn
    }

    fn hub_against_held_rim(&self) -> [[f64; 6]; 6] {
        let mut sum = Matrix6::zeros();
        for spring in &self.mesh.springs {
            let (centroid, axes) = self.mesh.pose(spring.node);
            let seat = centroid + axes * spring.arm;
            let along = (seat - spring.hub) / spring.length_m;
            sum += spring.stiffness_on_hub(&along);
        }
        sum = (sum + sum.transpose()) * 0.5;
        std::array::from_fn(|row| std::array::from_fn(|column| sum[(row, column)]))
    }

    /// Each node's share of the rim: half the arcs on both sides over the whole turn.
    pub(crate) fn tributary_shares(&self) -> Vec<f64> {
        let bays = &self.mesh.bays;
        let before = |node: usize| &bays[(node + bays.len() - 1) % bays.len()];
        bays.iter()
            .enumerate()
            .map(|(node, after)| {
                (after.angle() + before(node).angle()) / (2.0 * std::f64::consts::TAU)
            })
            .collect()
    }
}
