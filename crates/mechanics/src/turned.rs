//! The wheel after its nipples were turned, by as much as anybody likes: the shape followed.

use crate::bay::Bay;
use crate::error::Error;
use crate::follow::Shape;
use crate::mesh::Mesh;
use crate::structure::{Structure, on_tangent};
use nalgebra::Vector3;
use quantity::{Angle, Length};
use std::f64::consts::TAU;

/// An angle so little ahead of a node is the node: a third of a micrometre on a rim.
const ON_NODE: f64 = 1e-6;

/// Tensions and rim after turns.
#[derive(Debug, Clone, PartialEq)]
pub struct Turned {
    /// Tension of every spoke; zero when slack.
    pub tension_n: Vec<f64>,
    /// Rim centroid at every angle asked, positive to the right.
    pub lateral_mm: Vec<f64>,
    /// Rim centroid at every angle asked, positive outward.
    pub radial_mm: Vec<f64>,
    /// Force (N) and moment about the hub's centre (N m) of all spokes on the hub, x, y, z each.
    pub on_hub: [f64; 6],
}

impl Structure {
    /// The wheel once the natural length of every spoke is `shorter`, in the order of the wheel; theory §3.7.
    ///
    /// Displacements are from the perfect circle. What is of the first order is [`Structure::influence`].
    ///
    /// # Errors
    /// [`Error::Folds`] when no stable equilibrium is found, [`Error::RimOverloaded`] when an arc alone would collapse.
    pub fn turned(&self, shorter: &[Length], angles: &[Angle]) -> Result<Turned, Error> {
        on_tangent!(self, tangent => self.turned_on(&tangent.mesh, shorter, angles))
    }

    fn turned_on<const N: usize>(
        &self,
        mesh: &Mesh<N>,
        shorter: &[Length],
        angles: &[Angle],
    ) -> Result<Turned, Error> {
        let mut mesh = mesh.clone();
        for (spring, shorter) in mesh.springs.iter_mut().zip(shorter) {
            spring.shorter_m = shorter.to_m();
        }
        let shape = Shape::of(&mesh, self.spokes_act()).under(&[], 1.0)?;
        let mut shifts = Vec::with_capacity(angles.len());
        for angle in angles {
            let angle = angle.to_rad();
            let (sin, cos) = angle.sin_cos();
            let radius_m = mesh.section.radius_m;
            let before = Vector3::new(radius_m * cos, radius_m * sin, mesh.plane_m);
            let shift = (centroid(&mesh, &shape, angle)? - before) * 1e3;
            shifts.push([shift[0] * cos + shift[1] * sin, shift[2]]);
        }
        Ok(Turned {
            tension_n: shape.tensions_n(),
            lateral_mm: shifts.iter().map(|[_, right]| *right).collect(),
            radial_mm: shifts.iter().map(|[outward, _]| *outward).collect(),
            on_hub: shape.on_hub(),
        })
    }
}

/// Where a point of the rim is once the shape has settled, in the wheel's axes: on the exact curve of its arc, which
/// needs no node there.
fn centroid<const N: usize>(
    mesh: &Mesh<N>,
    shape: &Shape<'_, N>,
    angle: f64,
) -> Result<Vector3<f64>, Error> {
    let ahead = |node: usize| (angle - mesh.angles[node]).rem_euclid(TAU);
    let nodes = 0..mesh.angles.len();
    let node = nodes
        .min_by(|one, other| ahead(*one).total_cmp(&ahead(*other)))
        .unwrap_or_default();
    let start = shape.centroids[node];
    if ahead(node) < ON_NODE {
        return Ok(start);
    }
    let part = Bay::<N>::new(mesh.section, ahead(node), mesh.bays[node].stress)?;
    let curve = part.curve(shape.carried[node])?;
    Ok(start + shape.axes[node] * curve.reach.chord)
}
