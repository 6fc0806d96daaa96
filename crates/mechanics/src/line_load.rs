//! A uniform inward load round the rim, which is what a tyre does to it; and the load that explains a drop.

use crate::error::Error;
use crate::mesh::Follower;
use crate::structure::{Structure, on_tangent};
use crate::tangent::Tangent;
use nalgebra::Vector3;
use quantity::Force;
use std::f64::consts::TAU;
use wheel::SpokeIndex;

/// The wheel's answer to 1 N/mm all round, toward the hub.
#[derive(Debug, Clone, PartialEq)]
pub struct LineLoad {
    /// Change of each tension, N per N/mm.
    pub tension_change_n: Vec<f64>,
    /// Rim centroid at each seat, positive outward, mm per N/mm.
    pub radial_mm: Vec<f64>,
    /// Rim centroid at each seat, positive to the right, mm per N/mm.
    pub lateral_mm: Vec<f64>,
    /// Mean radial shift of the rim, positive outward, mm per N/mm.
    pub mean_radial_mm: f64,
    /// Shift of the rim's plane, positive to the right, mm per N/mm.
    pub dish_shift_mm: f64,
}

/// A measured loss of one spoke's tension.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredDrop {
    /// Which spoke.
    pub spoke: SpokeIndex,
    /// By how much its tension fell.
    pub drop: Force,
    /// Private standard uncertainty of the drop, not shared with other spokes.
    pub u: Force,
    /// Its change per standard deviation of each source that the drops share, in one order for all.
    pub shared: Vec<Force>,
}

/// A line load with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExplainingLoad {
    /// Toward the hub, N/mm.
    pub inward_n_per_mm: f64,
    /// Its standard uncertainty, N/mm.
    pub u_n_per_mm: f64,
    /// Weighted sum of squares that the load leaves unexplained.
    pub chi_squared: f64,
    /// Number of drops less one.
    pub degrees_of_freedom: usize,
}

impl Structure {
    /// The answer to a uniform inward line load; eq. 3.19.
    ///
    /// Means are over the whole rim, between the spokes too.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub fn line_load(&self) -> Result<LineLoad, Error> {
        on_tangent!(self, tangent => self.line_load_by(tangent))
    }

    fn line_load_by<const N: usize>(&self, tangent: &Tangent<N>) -> Result<LineLoad, Error> {
        let mesh = &tangent.mesh;
        let nodes = mesh.bays.len();
        let mut loads = mesh.empty();
        for (node, bay) in mesh.bays.iter().enumerate() {
            loads[node] += bay.line_load[0];
            loads[(node + 1) % nodes] += bay.line_load[1];
        }
        let moved = tangent.answer(loads);
        let shifts = |angles: &[f64]| -> Result<Vec<Vector3<f64>>, Error> {
            let followers = mesh.followers(angles)?;
            let shift = |follower: &Follower<N>| follower.displacement(&moved, 1.0);
            Ok(followers.iter().map(shift).collect())
        };
        let middles: Vec<_> = mesh
            .angles
            .iter()
            .zip(&mesh.bays)
            .map(|(from, bay)| from + bay.angle() / 2.0)
            .collect();
        let (at_seats, at_nodes, at_middles) = (
            shifts(&self.seats)?,
            shifts(&mesh.angles)?,
            shifts(&middles)?,
        );
        let mean = |axis: usize| -> f64 {
            // Simpson's rule over every arc.
            let arcs = mesh.bays.iter().enumerate().map(|(node, bay)| {
                let ends = at_nodes[node][axis] + at_nodes[(node + 1) % nodes][axis];
                (ends + 4.0 * at_middles[node][axis]) * bay.angle() / (6.0 * TAU)
            });
            arcs.sum()
        };
        // The answer above is to 1 N/m: a thousandth of 1 N/mm, as the metre is a thousand millimetres.
        let per_n_per_mm = 1e3;
        let to_mm = 1e3 * per_n_per_mm;
        Ok(LineLoad {
            tension_change_n: tangent
                .tension_changes_n(&moved)
                .into_iter()
                .map(|change_n| change_n * per_n_per_mm)
                .collect(),
            radial_mm: at_seats.iter().map(|shift| shift[0] * to_mm).collect(),
            lateral_mm: at_seats.iter().map(|shift| shift[2] * to_mm).collect(),
            mean_radial_mm: mean(0) * to_mm,
            dish_shift_mm: mean(2) * to_mm,
        })
    }
}

impl LineLoad {
    /// The line load that best explains measured drops, weighed by their private uncertainties; eq. 3.20.
    ///
    /// None when there is no drop with a positive uncertainty of a spoke that the load would ease.
    #[must_use]
    pub fn explaining(&self, drops: &[MeasuredDrop]) -> Option<ExplainingLoad> {
        let eased = |drop: &MeasuredDrop| -self.tension_change_n[drop.spoke.0];
        let weight = |drop: &MeasuredDrop| eased(drop) * drop.u.to_n().powi(-2);
        let precision: f64 = drops.iter().map(|drop| weight(drop) * eased(drop)).sum();
        if !(precision.is_finite() && 0.0 < precision) {
            return None;
        }
        let weighed = |of: &dyn Fn(&MeasuredDrop) -> f64| -> f64 {
            drops
                .iter()
                .map(|drop| weight(drop) * of(drop))
                .sum::<f64>()
                / precision
        };
        let inward_n_per_mm = weighed(&|drop| drop.drop.to_n());
        let sources = drops
            .iter()
            .map(|drop| drop.shared.len())
            .max()
            .unwrap_or(0);
        let shared = (0..sources)
            .map(|source| weighed(&|drop| drop.shared.get(source).map_or(0.0, |one| one.to_n())))
            .map(|part| part * part)
            .sum::<f64>();
        let misfit = |drop: &MeasuredDrop| {
            ((drop.drop.to_n() - eased(drop) * inward_n_per_mm) / drop.u.to_n()).powi(2)
        };
        Some(ExplainingLoad {
            inward_n_per_mm,
            u_n_per_mm: (1.0 / precision + shared).sqrt(),
            chi_squared: drops.iter().map(misfit).sum(),
            degrees_of_freedom: drops.len() - 1,
        })
    }
}
