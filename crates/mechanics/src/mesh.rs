//! Rim and spokes put together: nodes where spokes hang or somebody asks, exact arcs between them.

use crate::bay::{Bay, EndLoad, Reach, Within};
use crate::cyclic::CyclicMatrix;
use crate::error::Error;
use crate::section::Section;
use crate::spring::Spring;
use crate::unknowns::{Block, PLAIN, Part, WARPING, lower, stacked, twist};
use nalgebra::{Matrix3, Vector3};
use std::f64::consts::TAU;
use wheel::Wheel;

/// Longest arc between nodes; longer gaps get nodes of their own so that the series stay short.
const LONGEST_ARC: f64 = TAU / 12.0;

/// Lengths of fading √(EC_w/GJ) in the longest arc along which twist and bimoment die away exponentially: its
/// two ends still feel each other to 13 digits, and the series settle.
pub(crate) const LONGEST_FADING: f64 = 4.0;

/// Arcs are not made shorter than this for warping's sake: it would have to fade within less than a hundredth of
/// the radius, which moves no answer by more than 0.1 %, while ever shorter arcs would lose more to rounding.
const SHORTEST_FADING_ARC: f64 = 0.03;

/// Angles closer than this (0.3 mm on a rim) share a node, rigidly joined: far below any spoke's
/// footprint, far above what would make the arc between them numerically stiff.
const SAME_NODE: f64 = 1e-3;

/// A seat farther from the centroid circle than this share of its radius belongs to another rim.
const SEAT_REACH: f64 = 0.25;

/// The rim's nodes in order of angle, the arcs between them and the spokes on them.
#[derive(Debug, Clone)]
pub(crate) struct Mesh<const N: usize> {
    pub(crate) section: Section,
    /// Where the rim's plane stands on the axle.
    pub(crate) plane_m: f64,
    pub(crate) angles: Vec<f64>,
    /// Arc `i` runs from node `i` to the next one round.
    pub(crate) bays: Vec<Bay<N>>,
    /// In the order of the wheel.
    pub(crate) springs: Vec<Spring>,
    /// What the tensions as given leave unbalanced at each node, in its axes; held by dead loads.
    pub(crate) held: Vec<Part<N>>,
}

/// A point of the centroid circle: on a node, or a hair beside it and rigidly joined.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) node: usize,
    axes: Matrix3<f64>,
    pub(crate) arm: Vector3<f64>,
}

impl Place {
    /// Load on the node for a force in the place's own axes.
    pub(crate) fn load<const N: usize>(&self, force: &Vector3<f64>) -> Part<N> {
        let turned = self.axes * force;
        stacked(&turned, &self.arm.cross(&turned))
    }

    /// Displacement in the place's own axes when the node moves.
    pub(crate) fn displacement<const N: usize>(&self, moved: &Part<N>) -> Vector3<f64> {
        self.axes
            .tr_mul(&(moved.fixed_rows::<3>(0) + lower(moved).cross(&self.arm)))
    }
}

/// A point of the rim that is asked about and needs no node: it follows those at the ends of its arc.
#[derive(Debug, Clone)]
pub(crate) struct Follower<const N: usize> {
    node: usize,
    after: usize,
    within: Within<N>,
}

impl<const N: usize> Follower<N> {
    /// Displacement in the place's own axes when the nodes move and `line_load` (N/m, inward) lies on the rim.
    pub(crate) fn displacement(&self, moved: &[Part<N>], line_load: f64) -> Vector3<f64> {
        self.within.per_start * moved[self.node]
            + self.within.per_end * moved[self.after]
            + self.within.per_line_load * line_load
    }

    /// Adds what a force at the place, in its own axes, puts on the nodes: by reciprocity, what they move it by.
    pub(crate) fn load(&self, force: &Vector3<f64>, loads: &mut [Part<N>]) {
        loads[self.node] += self.within.per_start.tr_mul(force);
        loads[self.after] += self.within.per_end.tr_mul(force);
    }
}

impl Section {
    /// The longest arc between nodes.
    fn longest_arc(&self) -> f64 {
        let fading_m = (self.warping_n_m4 / self.torsion_n_m2).sqrt();
        if fading_m == 0.0 {
            LONGEST_ARC
        } else {
            LONGEST_ARC.min(LONGEST_FADING * fading_m / self.radius_m)
        }
    }

    /// Whether it resists warping over lengths that a mesh tells apart.
    pub(crate) fn resists_warping(&self) -> bool {
        0.0 < self.warping_n_m4 && SHORTEST_FADING_ARC <= self.longest_arc()
    }
}

impl<const N: usize> Mesh<N> {
    /// The wheel with these tensions; `balanced_n` are what the rim's own stress is computed from.
    ///
    /// # Errors
    /// When a constant is missing or no positive number, or a seat does not lie on the rim.
    pub(crate) fn new(
        wheel: &Wheel,
        section: Section,
        tensions_n: &[f64],
        balanced_n: &[f64],
    ) -> Result<Self, Error> {
        let plane_m = wheel.doubt.dish.map_or(0.0, |dish| dish.to_m());
        let seats: Vec<_> = wheel
            .spokes
            .iter()
            .map(|spoke| spoke.seat_angle().to_rad())
            .collect();
        let longest = if N == WARPING {
            section.longest_arc()
        } else {
            LONGEST_ARC
        };
        let angles = nodes(&seats, longest);
        let mut mesh = Self {
            section,
            plane_m,
            angles,
            bays: Vec::new(),
            springs: Vec::new(),
            held: Vec::new(),
        };
        for ((place, spoke), (&seat, &tension_n)) in
            wheel.placed().zip(seats.iter().zip(tensions_n))
        {
            let (node, _) = mesh.nearest(seat);
            let (centroid, axes) = mesh.pose(node);
            let axial = wheel.axial_stiffness_of(spoke);
            let at = (node, centroid, axes);
            let spring = Spring::new(place, spoke, axial, plane_m, at, tension_n)?;
            let off_m = spring.arm.norm();
            if SEAT_REACH * section.radius_m < off_m {
                return Err(Error::SeatOffRim {
                    spoke: place,
                    distance_mm: off_m * 1e3,
                });
            }
            mesh.springs.push(spring);
        }
        mesh.bays = mesh.arcs(|_| EndLoad::NONE)?;
        let (mut pulls, mut balanced) = (mesh.empty(), mesh.empty());
        for (spring, &balanced_n) in mesh.springs.iter().zip(balanced_n) {
            let pull = spring.pull();
            pulls[spring.node] += pull * spring.tension_n;
            balanced[spring.node] += pull * balanced_n;
        }
        mesh.held = balanced
            .iter()
            .zip(&pulls)
            .map(|(whole, part)| whole - part)
            .collect();
        if balanced_n.iter().any(|tension_n| *tension_n != 0.0) {
            let stress = mesh.free_ring_stress(&balanced);
            mesh.bays = mesh.arcs(|node| stress[node])?;
        }
        Ok(mesh)
    }

    /// The same wheel with every tension, and the rim's stress, multiplied.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub(crate) fn bays_at(&self, multiplier: f64) -> Result<Vec<Bay<N>>, Error> {
        self.arcs(|node| self.bays[node].stress.scaled(multiplier))
    }

    /// The same wheel with nodes at these angles too.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub(crate) fn refined(&self, wanted: &[f64]) -> Result<Self, Error> {
        let mut cuts: Vec<f64> = wanted.iter().map(|angle| angle.rem_euclid(TAU)).collect();
        cuts.sort_by(f64::total_cmp);
        let old = self.angles.len();
        let mut mesh = Self {
            section: self.section,
            plane_m: self.plane_m,
            angles: Vec::with_capacity(old + cuts.len()),
            bays: Vec::with_capacity(old + cuts.len()),
            springs: self.springs.clone(),
            held: Vec::with_capacity(old + cuts.len()),
        };
        let mut moved = vec![0; old];
        for (node, bay) in self.bays.iter().enumerate() {
            moved[node] = mesh.angles.len();
            let from = self.angles[node];
            mesh.angles.push(from);
            mesh.held.push(self.held[node]);
            let mut inside: Vec<f64> = cuts
                .iter()
                .map(|cut| (cut - from).rem_euclid(TAU))
                .filter(|ahead| SAME_NODE < *ahead && *ahead < bay.angle() - SAME_NODE)
                .collect();
            inside.sort_by(f64::total_cmp);
            inside.dedup_by(|later, earlier| *later - *earlier < SAME_NODE);
            if inside.is_empty() {
                mesh.bays.push(bay.clone());
                continue;
            }
            let mut start = 0.0;
            for end in inside.iter().copied().chain([bay.angle()]) {
                mesh.bays
                    .push(Bay::new(self.section, end - start, bay.stress_at(start))?);
                if end < bay.angle() {
                    mesh.angles.push(from + end);
                    mesh.held.push(Part::zeros());
                }
                start = end;
            }
        }
        for spring in &mut mesh.springs {
            spring.node = moved[spring.node];
        }
        Ok(mesh)
    }

    /// Centroid and axes of a node in the reference state, in the wheel's axes.
    pub(crate) fn pose(&self, node: usize) -> (Vector3<f64>, Matrix3<f64>) {
        let (sin, cos) = self.angles[node].sin_cos();
        (
            Vector3::new(
                self.section.radius_m * cos,
                self.section.radius_m * sin,
                self.plane_m,
            ),
            Matrix3::new(cos, -sin, 0.0, sin, cos, 0.0, 0.0, 0.0, 1.0),
        )
    }

    /// A point of the rim at an angle for which the mesh has a node.
    pub(crate) fn place(&self, angle: f64) -> Place {
        let (node, beside) = self.nearest(angle.rem_euclid(TAU));
        let Reach { turn, chord } = Reach::of_circle(self.section.radius_m, beside);
        Place {
            node,
            axes: turn,
            arm: chord,
        }
    }

    /// How the rim at these angles follows the nodes; no node is needed there.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub(crate) fn followers(&self, angles: &[f64]) -> Result<Vec<Follower<N>>, Error> {
        let mut followers = Vec::with_capacity(angles.len());
        let mut inside = vec![Vec::new(); self.bays.len()];
        for &angle in angles {
            let (nearest, beside) = self.nearest(angle.rem_euclid(TAU));
            let mut node = nearest;
            if SAME_NODE <= beside.abs() {
                if beside < 0.0 {
                    node = (nearest + self.bays.len() - 1) % self.bays.len();
                }
                let ahead = (angle - self.angles[node]).rem_euclid(TAU);
                inside[node].push((followers.len(), ahead / self.bays[node].angle()));
            }
            followers.push(Follower {
                node,
                after: (node + 1) % self.bays.len(),
                within: Within::rigid(self.section.radius_m, beside),
            });
        }
        for (bay, inside) in self.bays.iter().zip(inside) {
            if inside.is_empty() {
                continue;
            }
            let (places, shares): (Vec<_>, Vec<_>) = inside.into_iter().unzip();
            for (place, within) in places.into_iter().zip(bay.within(&shares)?) {
                followers[place].within = within;
            }
        }
        Ok(followers)
    }

    /// A vector of the ring, all zero.
    pub(crate) fn empty(&self) -> Vec<Part<N>> {
        vec![Part::zeros(); self.angles.len()]
    }

    /// The tangent stiffness with every tension multiplied, `bays` being the arcs in that state.
    pub(crate) fn stiffness(&self, bays: &[Bay<N>], multiplier: f64) -> CyclicMatrix<N> {
        let mut matrix = self.tangent_as_derived(bays, multiplier);
        symmetrise(&mut matrix);
        matrix
    }

    /// The same as the derivation leaves it: symmetric to rounding when the tensions balance.
    pub(crate) fn tangent_as_derived(&self, bays: &[Bay<N>], multiplier: f64) -> CyclicMatrix<N> {
        let mut matrix = ring_stiffness(self.section.radius_m, bays);
        for spring in &self.springs {
            let stiffness = spring.stiffness(multiplier);
            let mut corner = matrix.diagonal[spring.node].fixed_view_mut::<PLAIN, PLAIN>(0, 0);
            corner += stiffness;
        }
        matrix
    }

    /// What the rim carries in every arc when only these balanced loads act on it.
    fn free_ring_stress(&self, loads: &[Part<N>]) -> Vec<EndLoad> {
        let mut matrix = ring_stiffness(self.section.radius_m, &self.bays);
        symmetrise(&mut matrix);
        // The loads balance, so whatever holds shift and spin of the first node takes nothing and changes nothing.
        hold(&mut matrix.diagonal[0]);
        let moved = match matrix.factor() {
            Some(factor) => matrix.solved_closely(&factor, loads),
            None => loads.to_vec(),
        };
        let nodes = self.bays.len();
        self.bays
            .iter()
            .enumerate()
            .map(|(node, bay)| {
                let reach = Reach::of_circle(self.section.radius_m, bay.angle());
                let (start, end) = (&moved[node], &moved[(node + 1) % nodes]);
                let opening = bay.rigidity.opening(&reach, start, end);
                EndLoad::NONE
                    .twisted(twist(start))
                    .plus(&(bay.rigidity.of_opening * opening))
            })
            .collect()
    }

    fn arcs(&self, stress: impl Fn(usize) -> EndLoad) -> Result<Vec<Bay<N>>, Error> {
        let nodes = self.angles.len();
        let arc = |node: usize| {
            let next = if node + 1 == nodes {
                self.angles[0] + TAU
            } else {
                self.angles[node + 1]
            };
            next - self.angles[node]
        };
        // Arcs that differ by rounding alone are grown once: a wheel as drawn has but a few.
        let mut bays: Vec<Bay<N>> = Vec::with_capacity(nodes);
        for node in 0..nodes {
            let (angle, stress) = (arc(node), stress(node));
            let alike = bays.iter().find(|bay| bay.is_alike(angle, &stress));
            bays.push(match alike {
                Some(bay) => bay.clone(),
                None => Bay::new(self.section, angle, stress)?,
            });
        }
        Ok(bays)
    }

    /// The nearest node and how far ahead of it the angle lies.
    fn nearest(&self, angle: f64) -> (usize, f64) {
        let ahead = |node: usize| {
            let turn = (angle - self.angles[node]).rem_euclid(TAU);
            if TAU / 2.0 < turn { turn - TAU } else { turn }
        };
        let after = self.angles.partition_point(|node| *node <= angle);
        let before = if after == 0 {
            self.angles.len() - 1
        } else {
            after - 1
        };
        let after = after % self.angles.len();
        if ahead(before).abs() <= ahead(after).abs() {
            (before, ahead(before))
        } else {
            (after, ahead(after))
        }
    }
}

/// The rim's own tangent stiffness.
fn ring_stiffness<const N: usize>(radius_m: f64, bays: &[Bay<N>]) -> CyclicMatrix<N> {
    let nodes = bays.len();
    let mut matrix = CyclicMatrix::zeros(nodes);
    for (node, bay) in bays.iter().enumerate() {
        let reach = Reach::of_circle(radius_m, bay.angle());
        let block = bay.rigidity.stiffness(&bay.stress, &reach);
        matrix.diagonal[node] += block.start;
        matrix.next[node] += block.coupling;
        matrix.diagonal[(node + 1) % nodes] += block.end;
    }
    matrix
}

/// Holds a node by springs as stiff as it is, save against twisting.
pub(crate) fn hold<const N: usize>(diagonal: &mut Block<N>) {
    let ground = diagonal.fixed_view::<PLAIN, PLAIN>(0, 0).into_owned();
    let mut held = diagonal.fixed_view_mut::<PLAIN, PLAIN>(0, 0);
    held += ground;
}

/// In equilibrium the blocks are symmetric already; what the held imbalance leaves is halved away.
pub(crate) fn symmetrise<const N: usize>(matrix: &mut CyclicMatrix<N>) {
    for block in &mut matrix.diagonal {
        *block = (*block + block.transpose()) * 0.5;
    }
}

/// Nodes for these seat angles, gaps filled that are longer than `longest`.
fn nodes(seats: &[f64], longest: f64) -> Vec<f64> {
    let mut sorted = seats.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup_by(|later, earlier| *later - *earlier < SAME_NODE);
    if 1 < sorted.len() && sorted[0] + TAU - sorted[sorted.len() - 1] < SAME_NODE {
        sorted.pop();
    }
    let mut angles = Vec::with_capacity(sorted.len());
    for (place, &angle) in sorted.iter().enumerate() {
        let next = sorted.get(place + 1).copied().unwrap_or(sorted[0] + TAU);
        let pieces = ((next - angle) / longest - 1e-9).ceil().max(1.0);
        let step = (next - angle) / pieces;
        angles.extend((0..pieces as usize).map(|piece| angle + step * piece as f64));
    }
    for angle in &mut angles {
        if TAU <= *angle {
            *angle -= TAU;
        }
    }
    angles.sort_by(f64::total_cmp);
    angles
}
