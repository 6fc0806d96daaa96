//! What a rider does to the wheel: a load on the rim at one angle, or at every angle of a turn.

use crate::bay::Reach;
use crate::error::Error;
use crate::follow::{DeadLoad, Shape, Spokes};
use crate::mesh::Mesh;
use crate::structure::{State, Structure, on_tangent};
use crate::tangent::Tangent;
use nalgebra::Vector3;
use quantity::{Angle, Force, Length};
use wheel::SpokeIndex;

/// Gauss points and weights that spread a load evenly over a patch (exact to the ninth power).
const PATCH: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.118_463_442_528_094_54),
    (-0.538_469_310_105_683_1, 0.239_314_335_249_683_23),
    (0.0, 0.284_444_444_444_444_44),
    (0.538_469_310_105_683_1, 0.239_314_335_249_683_23),
    (0.906_179_845_938_664, 0.118_463_442_528_094_54),
];

/// A load on the rim's centroid; its directions are those at its middle and stay fixed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RimLoad {
    /// Positive toward the hub.
    pub radial: Force,
    /// Positive to the right.
    pub lateral: Force,
    /// Positive toward rising angles.
    pub tangential: Force,
    /// Length of rim over which it is spread evenly; zero for a point.
    pub patch: Length,
}

impl RimLoad {
    /// A load at one point, toward the hub and to the right.
    #[must_use]
    pub fn point(radial: Force, lateral: Force) -> Self {
        Self {
            radial,
            lateral,
            tangential: Force::ZERO,
            patch: Length::ZERO,
        }
    }
}

/// The wheel under one load.
#[derive(Debug, Clone, PartialEq)]
pub struct Ride {
    /// Where the load's middle stands.
    pub at: Angle,
    /// Tension of every spoke; zero when slack.
    pub tension_n: Vec<f64>,
    /// Against the tension without load.
    pub tension_change_n: Vec<f64>,
    /// Spokes that are slack.
    pub slack: Vec<SpokeIndex>,
    /// Shift of the rim at the load's middle: outward, toward rising angles, to the right.
    pub displacement_mm: [f64; 3],
    /// The same at every seat, each by its own directions.
    pub at_seats_mm: Vec<[f64; 3]>,
    /// Force (N) and moment about the hub's centre (N m) of all spokes on the hub, x, y, z each.
    pub on_hub: [f64; 6],
}

/// One spoke's tension at one angle of a turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// Which spoke.
    pub spoke: SpokeIndex,
    /// Where the load stood.
    pub at: Angle,
    /// Its tension there.
    pub tension_n: f64,
}

/// Every spoke through a full turn under a load that travels round the rim.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// Where the load stood.
    pub angles: Vec<Angle>,
    /// `[a][i]`: tension of spoke `i` with the load at angle `a`.
    pub tension_n: Vec<Vec<f64>>,
    /// The smallest of all.
    pub smallest: Extreme,
    /// The largest of all.
    pub largest: Extreme,
    /// Largest less smallest of each spoke.
    pub range_n: Vec<f64>,
}

impl Structure {
    /// The wheel under a load at one angle, its loaded shape followed and its spokes pulling only.
    ///
    /// About zero tension spokes act both ways.
    ///
    /// # Errors
    /// [`Error::Folds`] when no stable equilibrium is found.
    pub fn ride(&self, load: &RimLoad, at: Angle) -> Result<Ride, Error> {
        on_tangent!(self, tangent => self.ride_on(&tangent.mesh, load, at))
    }

    fn ride_on<const N: usize>(
        &self,
        mesh: &Mesh<N>,
        load: &RimLoad,
        at: Angle,
    ) -> Result<Ride, Error> {
        let mesh = mesh.refined(&points(mesh, load, at))?;
        let shape = Shape::of(&mesh, self.spokes_act()).under(&dead_loads(&mesh, load, at), 1.0)?;
        let tension_n = shape.tensions_n();
        let shift_mm = |angle: f64| {
            let moved = shape.displacement(&mesh.place(angle)) * 1e3;
            let (sin, cos) = angle.sin_cos();
            let outward = moved[0] * cos + moved[1] * sin;
            let along = moved[1] * cos - moved[0] * sin;
            [outward, along, moved[2]]
        };
        Ok(Ride {
            at,
            tension_change_n: mesh
                .springs
                .iter()
                .zip(&tension_n)
                .map(|(spring, now_n)| now_n - spring.tension_n)
                .collect(),
            slack: tension_n
                .iter()
                .enumerate()
                .filter(|(_, now_n)| **now_n <= 0.0 && self.state == State::Tensioned)
                .map(|(spoke, _)| SpokeIndex(spoke))
                .collect(),
            tension_n,
            displacement_mm: shift_mm(at.to_rad()),
            at_seats_mm: self.seats.iter().map(|&seat| shift_mm(seat)).collect(),
            on_hub: shape.on_hub(),
        })
    }

    /// The same load at every one of these angles, each shape followed.
    ///
    /// # Errors
    /// As [`Structure::ride`].
    pub fn turn(&self, load: &RimLoad, angles: &[Angle]) -> Result<Turn, Error> {
        on_tangent!(self, tangent => self.turn_on(&tangent.mesh, load, angles))
    }

    fn turn_on<const N: usize>(
        &self,
        mesh: &Mesh<N>,
        load: &RimLoad,
        angles: &[Angle],
    ) -> Result<Turn, Error> {
        let tension_n: Result<Vec<_>, _> = angles
            .iter()
            .map(|&at| {
                let mesh = mesh.refined(&points(mesh, load, at))?;
                let shape = Shape::of(&mesh, self.spokes_act());
                Ok(shape.under(&dead_loads(&mesh, load, at), 1.0)?.tensions_n())
            })
            .collect();
        Ok(Turn::of(angles, tension_n?))
    }

    /// The same turn by the tangent alone: quick, and wrong once spokes slacken or a side load acts.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub fn turn_by_tangent(&self, load: &RimLoad, angles: &[Angle]) -> Result<Turn, Error> {
        on_tangent!(self, tangent => tangent.turn(load, angles))
    }

    pub(crate) fn spokes_act(&self) -> Spokes {
        match self.state {
            State::Tensioned => Spokes::PullOnly,
            State::ZeroTension => Spokes::BothWays,
        }
    }
}

impl<const N: usize> Tangent<N> {
    fn turn(&self, load: &RimLoad, angles: &[Angle]) -> Result<Turn, Error> {
        let points: Vec<_> = angles
            .iter()
            .flat_map(|&at| points(&self.mesh, load, at))
            .collect();
        let followers = self.mesh.followers(&points)?;
        let of_each = (points.len() / angles.len().max(1)).max(1);
        let tension_n = angles
            .iter()
            .zip(points.chunks(of_each).zip(followers.chunks(of_each)))
            .map(|(&at, (points, followers))| {
                let mut loads = self.mesh.empty();
                let dead = dead_loads(&self.mesh, load, at);
                for ((dead, &point), follower) in dead.iter().zip(points).zip(followers) {
                    let axes = Reach::of_circle(self.mesh.section.radius_m, point).turn;
                    follower.load(&axes.tr_mul(&dead.force), &mut loads);
                }
                let changes_n = self.tension_changes_n(&self.answer(loads));
                let springs = self.mesh.springs.iter();
                springs
                    .zip(changes_n)
                    .map(|(spring, change_n)| spring.tension_n + change_n)
                    .collect()
            })
            .collect();
        Ok(Turn::of(angles, tension_n))
    }
}

/// Angles at which the mesh needs nodes for a load.
fn points<const N: usize>(mesh: &Mesh<N>, load: &RimLoad, at: Angle) -> Vec<f64> {
    let half = load.patch.to_m() / (2.0 * mesh.section.radius_m);
    if half == 0.0 {
        return vec![at.to_rad()];
    }
    PATCH
        .iter()
        .map(|(point, _)| at.to_rad() + point * half)
        .collect()
}

/// The load as forces on the mesh.
pub(crate) fn dead_loads<const N: usize>(
    mesh: &Mesh<N>,
    load: &RimLoad,
    at: Angle,
) -> Vec<DeadLoad> {
    let (sin, cos) = at.to_rad().sin_cos();
    let (inward, along) = (load.radial.to_n(), load.tangential.to_n());
    let force = Vector3::new(
        -inward * cos - along * sin,
        -inward * sin + along * cos,
        load.lateral.to_n(),
    );
    let points = points(mesh, load, at);
    let weight = |point: usize| {
        if points.len() == 1 {
            1.0
        } else {
            PATCH[point].1
        }
    };
    points
        .iter()
        .enumerate()
        .map(|(point, &angle)| DeadLoad {
            place: mesh.place(angle),
            force: force * weight(point),
        })
        .collect()
}

impl Turn {
    fn of(angles: &[Angle], tension_n: Vec<Vec<f64>>) -> Self {
        let extreme = |wins: fn(f64, f64) -> bool| {
            let mut best = Extreme {
                spoke: SpokeIndex(0),
                at: Angle::ZERO,
                tension_n: f64::NAN,
            };
            for (&at, row) in angles.iter().zip(&tension_n) {
                for (spoke, &now_n) in row.iter().enumerate() {
                    if best.tension_n.is_nan() || wins(now_n, best.tension_n) {
                        best = Extreme {
                            spoke: SpokeIndex(spoke),
                            at,
                            tension_n: now_n,
                        };
                    }
                }
            }
            best
        };
        let spokes = tension_n.first().map_or(0, Vec::len);
        let range = |spoke: usize| {
            let of_spoke = || tension_n.iter().map(|row| row[spoke]);
            of_spoke().fold(f64::NEG_INFINITY, f64::max) - of_spoke().fold(f64::INFINITY, f64::min)
        };
        Self {
            angles: angles.to_vec(),
            smallest: extreme(|now, best| now < best),
            largest: extreme(|now, best| best < now),
            range_n: (0..spokes).map(range).collect(),
            tension_n,
        }
    }
}
