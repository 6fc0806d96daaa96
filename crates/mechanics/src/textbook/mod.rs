//! The ring and the arc against textbooks, and the tangent's own consistency.
//!
//! Handbook coefficients are from memory and re-derived by series or integrals; sources beside each.

use crate::bay::{Bay, EndLoad, Reach};
use crate::cyclic::CyclicMatrix;
use crate::mesh::{Mesh, hold};
use crate::rigidity::Rigidity;
use crate::section::Section;
use crate::unknowns::{PLAIN, Part, WARPING};
use nalgebra::{DMatrix, Vector3};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

mod warping;

#[path = "../../tests/wheels/mod.rs"]
mod wheels;

const RADIUS_M: f64 = 0.3;

fn section(in_plane_n_m2: f64) -> Section {
    Section {
        radius_m: RADIUS_M,
        axial_n: 1e11, // practically inextensible, as the textbook's ring
        in_plane_n_m2,
        lateral_n_m2: 200.0,
        torsion_n_m2: 80.0,
        shear_centre_m: 0.0,
        warping_n_m4: 0.0,
    }
}

/// A ring of this many equal arcs without spokes.
fn ring<const N: usize>(section: Section, nodes: usize) -> Mesh<N> {
    let arc = TAU / nodes as f64;
    Mesh {
        section,
        plane_m: 0.0,
        angles: (0..nodes).map(|node| arc * node as f64).collect(),
        bays: (0..nodes)
            .map(|_| Bay::new(section, arc, EndLoad::NONE).expect("an arc"))
            .collect(),
        springs: Vec::new(),
        held: vec![Part::zeros(); nodes],
    }
}

/// Movement of a free ring under balanced loads; its first node stays where it is.
fn moved<const N: usize>(mesh: &Mesh<N>, loads: &[Part<N>]) -> Vec<Part<N>> {
    let mut matrix = mesh.stiffness(&mesh.bays, 1.0);
    hold(&mut matrix.diagonal[0]);
    let mut moved = loads.to_vec();
    matrix.factor().expect("regular").solve(&mut moved);
    moved
}

fn near(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "found {found}, expected {expected}"
    );
}

/// Source: handbook ring table, case 1 (diametral pair); coefficients π/4 − 2/π, 2/π − 1/2, 1/π, 1/2 − 1/π.
/// Example EI 100 N m², R 0.3 m, W 100 N. Tolerance 1e-6: what the finite EA still stretches.
#[test]
fn pinched_ring_moves_and_bends_as_the_handbook_says() {
    let mesh = ring::<PLAIN>(section(100.0), 12);
    let mut loads = mesh.empty();
    loads[0][0] = -100.0;
    loads[6][0] = -100.0;
    let moved = moved(&mesh, &loads);
    near((moved[0][0] + moved[6][0]) * 1e3, -4.017016558, 1e-6);
    near((moved[3][0] + moved[9][0]) * 1e3, 3.688733854, 1e-6);
    let moment = |node: usize| {
        let reach = Reach::of_circle(RADIUS_M, mesh.bays[node].angle());
        let rigidity = &mesh.bays[node].rigidity;
        let opening = rigidity.opening(&reach, &moved[node], &moved[node + 1]);
        (rigidity.of_opening * opening)[5]
    };
    near(moment(0).abs(), 9.549296586, 1e-6);
    near(moment(3).abs(), 5.450703414, 1e-6);
}

/// Source: handbook curved-beam table / strain-energy integrals; π/4, 3π/4 − 2 for a quarter, π/2, 3π/2 for a half.
/// One arc of 180°: the series do not need short arcs. Tolerance 1e-9.
#[test]
fn curved_cantilever_sinks_out_of_plane_as_the_handbook_says() {
    for (angle, expected_mm) in [(FRAC_PI_2, 2.262443925), (PI, 18.02488785)] {
        let bay = Bay::<PLAIN>::new(section(100.0), angle, EndLoad::NONE).expect("an arc");
        let reach = Reach::of_circle(RADIUS_M, angle);
        let force = Vector3::new(0.0, 0.0, 10.0);
        let moment = reach.chord.cross(&force);
        let load = Part::<PLAIN>::new(0.0, 0.0, 10.0, moment[0], moment[1], moment[2]);
        let opening = bay.rigidity.of_opening.try_inverse().expect("flexible") * load;
        near(opening[2] * 1e3, expected_mm, 1e-9);
    }
}

/// Source: modal energy of the ring (theory of 1.3's series), c1 = 0.0353981634, c2 = 0.1426990817.
#[test]
fn bare_rim_twists_under_four_alternate_forces_as_its_series_says() {
    let mesh = ring::<PLAIN>(section(100.0), 8);
    let mut loads = mesh.empty();
    for (place, node) in [0, 2, 4, 6].into_iter().enumerate() {
        loads[node][2] = if place % 2 == 0 { 10.0 } else { -10.0 };
    }
    let moved = moved(&mesh, &loads);
    // Half the difference of neighbours is free of how the ring was held.
    let warp: f64 = [0, 2, 4, 6]
        .iter()
        .zip([1.0, -1.0, 1.0, -1.0])
        .map(|(&n, s)| moved[n][2] * s / 4.0)
        .sum();
    near(warp * 1e3, 0.3121125618, 1e-9);
}

/// Source: Hetényi, Beams on Elastic Foundation (ring chapter); S from series and closed form.
/// 180 discrete springs. Tolerance 0.1 %: what discrete springs differ from a continuous bed.
#[test]
fn ring_on_an_elastic_bed_yields_as_hetenyi_says() {
    for (beta, s) in [
        (10.0, 0.1741476943),
        (1000.0, 0.005842897555),
        (10000.0, 0.001066237342),
    ] {
        let nodes = 180;
        let mesh = ring::<PLAIN>(section(100.0), nodes);
        let bed = beta * 100.0 / RADIUS_M.powi(4) * RADIUS_M * TAU / nodes as f64;
        let mut matrix = mesh.stiffness(&mesh.bays, 1.0);
        for block in &mut matrix.diagonal {
            block[(0, 0)] += bed;
            block[(2, 2)] += bed; // keeps the sums regular and has no part in the plane
        }
        matrix.diagonal[0][(1, 1)] += bed;
        let mut loads = mesh.empty();
        loads[0][0] = -1000.0;
        matrix.factor().expect("regular").solve(&mut loads);
        near(
            -loads[0][0],
            1000.0 * RADIUS_M.powi(3) / (PI * 100.0) * s,
            1e-3,
        );
    }
}

/// How a load on the rim turns when the rim moves.
#[derive(Clone, Copy, PartialEq)]
enum Load {
    KeepsDirection,
    PointsToCentre,
    StaysNormal,
}

/// The tangent of a ring of radial point loads that amount to `line` N/m, out of plane or within.
fn pressed<const N: usize>(
    mut section: Section,
    line: f64,
    load: Load,
    out_of_plane: bool,
) -> CyclicMatrix<N> {
    let nodes = 72;
    section.axial_n = 1e9; // leaves the counting of eigenvalues clear of rounding
    let mut mesh = ring::<N>(section, nodes);
    let point = line * RADIUS_M * TAU / nodes as f64;
    // Thrust along the arcs with the small bending that point loads bring.
    let arc = TAU / nodes as f64;
    let thrust = point / (2.0 * (arc / 2.0).sin());
    let half = arc / 2.0;
    // The mean moment along each arc vanishes: the thrust line crosses the arc.
    let mean_rise = RADIUS_M * (half.sin() / half - half.cos());
    let force = Vector3::new(thrust * half.sin(), -thrust * half.cos(), 0.0);
    let moment = Vector3::new(0.0, 0.0, -thrust * mean_rise);
    let stress = EndLoad {
        force,
        moment,
        ..EndLoad::NONE
    };
    mesh.bays = (0..nodes)
        .map(|_| Bay::new(section, arc, stress).expect("an arc"))
        .collect();
    let mut matrix = mesh.stiffness(&mesh.bays, 1.0);
    for block in &mut matrix.diagonal {
        let pull = Vector3::new(-point, 0.0, 0.0);
        if load != Load::StaysNormal {
            let turned = -pull.cross_matrix();
            let mut corner = block.fixed_view_mut::<3, 3>(0, 3);
            // The diagonal blocks were symmetrised, which already holds one half of this.
            corner += turned * 0.5;
            let mut other = block.fixed_view_mut::<3, 3>(3, 0);
            other += turned.transpose() * 0.5;
        }
        if load == Load::PointsToCentre {
            block[(1, 1)] += point / RADIUS_M;
            block[(2, 2)] += point / RADIUS_M;
        }
        // Holds what is not asked about, and a hair of every shift against rounding of rigid motions.
        let (first, second) = if out_of_plane { (0, 1) } else { (2, 2) };
        for (axis, spring) in [(first, 1e7), (second, 1e7), (0, 0.5), (1, 0.5), (2, 0.5)] {
            block[(axis, axis)] += spring;
        }
    }
    matrix
}

/// The smallest multiple of `unit` at which the ring bends away; `rigid` motions are unstable before.
fn buckles_at<const N: usize>(
    section: Section,
    unit: f64,
    load: Load,
    out_of_plane: bool,
    rigid: usize,
) -> f64 {
    let negative = |multiple: f64| {
        pressed::<N>(section, multiple * unit, load, out_of_plane)
            .factor()
            .map_or(0, |factor| factor.negative)
    };
    let (mut low, mut high) = (1.0, 13.0);
    assert_eq!(negative(low), rigid, "stable at {low}");
    assert!(rigid < negative(high), "unstable at {high}");
    while 1e-6 * high < high - low {
        let middle = 0.5 * (low + high);
        if negative(middle) == rigid {
            low = middle
        } else {
            high = middle
        }
    }
    low
}

/// Source: Timoshenko & Gere, Theory of Elastic Stability; Boresi 1955 (3 and 4.5 from memory; 4 and 4.5 by an
/// independent eigenvalue sum). Tolerance 0.2 %: 72 point loads for a line load.
#[test]
fn ring_buckles_in_its_plane_by_the_kind_of_load() {
    let unit = 100.0 / RADIUS_M.powi(3);
    // Loads that keep their direction let a free ring turn about its axis: one rigid motion.
    near(
        buckles_at::<PLAIN>(section(100.0), unit, Load::KeepsDirection, false, 1),
        4.0,
        2e-3,
    );
    near(
        buckles_at::<PLAIN>(section(100.0), unit, Load::PointsToCentre, false, 0),
        4.5,
        2e-3,
    );
    near(
        buckles_at::<PLAIN>(section(100.0), unit, Load::StaysNormal, false, 0),
        3.0,
        2e-3,
    );
}

/// Source: Timoshenko & Gere (from memory), 9 and 12 EI₂/(R³(4 + EI₂/GJ)). Tolerance 0.2 %.
#[test]
fn ring_buckles_out_of_its_plane_by_the_kind_of_load() {
    let unit = 200.0 / (RADIUS_M.powi(3) * (4.0 + 200.0 / 80.0));
    // Loads that keep their direction let a free ring tilt: two rigid motions.
    near(
        buckles_at::<PLAIN>(section(100.0), unit, Load::KeepsDirection, true, 2),
        9.0,
        2e-3,
    );
    near(
        buckles_at::<PLAIN>(section(100.0), unit, Load::PointsToCentre, true, 0),
        12.0,
        2e-3,
    );
}

/// A strongly stressed arc's start.
const STRESSED: EndLoad = EndLoad {
    force: Vector3::new(300.0, -5000.0, 120.0),
    moment: Vector3::new(9.0, -7.0, 14.0),
    bimoment: 0.0,
    twist: 0.0,
};

/// A section of which everything counts.
fn full() -> Section {
    Section {
        axial_n: 1e7,
        shear_centre_m: 0.012,
        warping_n_m4: 0.3,
        ..section(100.0)
    }
}

/// The linear answer is the derivative of the exact one, at a strongly stressed state; where nothing resists
/// warping, and where something does.
#[test]
fn small_loads_move_an_arc_as_its_exact_curve_does() {
    fn moves<const N: usize>() {
        let bay = Bay::<N>::new(full(), 0.4, STRESSED).expect("an arc");
        let straight = Reach::of_circle(RADIUS_M, 0.4);
        let still = bay.curve(STRESSED).expect("a curve").reach;
        assert!((still.turn - straight.turn).amax() < 1e-14);
        assert!((still.chord - straight.chord).amax() < 1e-15);
        let measured = bay.response_measured(STRESSED).expect("a curve");
        let measured = measured.rigidity().expect("flexible");
        let flexibility = |of: &Rigidity<N>| of.of_opening.try_inverse().expect("flexible");
        let (one, other) = (flexibility(&bay.rigidity), flexibility(&measured));
        for column in 0..N {
            alike(one.column(column), other.column(column));
        }
        alike(&bay.rigidity.from_twist, &measured.from_twist);
        alike(&bay.rigidity.far_bimoment, &measured.far_bimoment);
    }
    fn alike<'a>(one: impl IntoIterator<Item = &'a f64>, other: impl IntoIterator<Item = &'a f64>) {
        let pairs: Vec<_> = one.into_iter().zip(other).collect();
        let scale = pairs.iter().fold(0.0_f64, |most, (a, _)| most.max(a.abs()));
        for (a, b) in pairs {
            assert!((a - b).abs() <= 1e-6 * scale, "{a} and {b} beside {scale}");
        }
    }
    moves::<PLAIN>();
    moves::<WARPING>();
}

/// Two ends of a stressed arc push back reciprocally once the loads that hold them are counted.
#[test]
fn split_arc_answers_as_the_whole() {
    fn answers<const N: usize>() {
        let whole = Bay::<N>::new(full(), 0.4, STRESSED).expect("an arc");
        let first = Bay::<N>::new(full(), 0.15, STRESSED).expect("an arc");
        let second = Bay::<N>::new(full(), 0.25, whole.stress_at(0.15)).expect("an arc");
        let block = |bay: &Bay<N>| {
            let reach = Reach::of_circle(RADIUS_M, bay.angle());
            bay.rigidity.stiffness(&bay.stress, &reach)
        };
        let (a, b, c) = (block(&first), block(&second), block(&whole));
        let middle = (a.end + b.start).try_inverse().expect("regular");
        let coupling = -a.coupling * middle * b.coupling;
        assert!((coupling - c.coupling).amax() < 1e-8 * c.coupling.amax());
        let (end, far) = (whole.stress_at(0.4), second.stress_at(0.25));
        assert!((end.part::<N>() - far.part::<N>()).amax() < 1e-10);
        assert!((end.twist - far.twist).abs() < 1e-12);
    }
    answers::<PLAIN>();
    answers::<WARPING>();
}

/// In balance the tangent is symmetric before anything is symmetrised: rim stress, strings and seat arms
/// (here off the centroid both ways) belong together.
#[test]
fn balanced_stress_leaves_the_tangent_symmetric() {
    fn skew<const N: usize>(section: Section, wheel: &wheel::Wheel) -> f64 {
        let tensions: Vec<_> = wheel
            .spokes
            .iter()
            .map(|spoke| spoke.tension.expect("given").to_n())
            .collect();
        let balanced = crate::statics::Equilibrium::of(wheel).balanced(&tensions);
        let mesh = Mesh::<N>::new(wheel, section, &balanced, &balanced).expect("a mesh");
        let blocks = mesh.tangent_as_derived(&mesh.bays, 1.0).diagonal;
        blocks.iter().fold(0.0, |most, block| {
            f64::max(most, (block - block.transpose()).amax() / block.amax())
        })
    }
    let wheel = wheels::offset_rear(1000.0);
    let plain = Section::of(&wheel.rim).expect("known");
    let warping = Section {
        shear_centre_m: 0.012,
        warping_n_m4: 0.02,
        ..plain
    };
    for apart in [
        skew::<PLAIN>(plain, &wheel),
        skew::<WARPING>(warping, &wheel),
    ] {
        // What stress and seat arms put into the moments is 4e-8 of the largest stiffness.
        assert!(apart < 2e-12, "apart by {apart} of the largest stiffness");
    }
}

fn dense<const N: usize>(matrix: &CyclicMatrix<N>) -> DMatrix<f64> {
    let nodes = matrix.diagonal.len();
    let mut dense = DMatrix::zeros(N * nodes, N * nodes);
    for node in 0..nodes {
        let after = (node + 1) % nodes;
        for row in 0..N {
            for column in 0..N {
                dense[(N * node + row, N * node + column)] += matrix.diagonal[node][(row, column)];
                dense[(N * node + row, N * after + column)] += matrix.next[node][(row, column)];
                dense[(N * after + column, N * node + row)] += matrix.next[node][(row, column)];
            }
        }
    }
    dense
}

/// Elimination round the ring solves what a dense solver solves, and counts the same signs.
#[test]
fn elimination_round_the_ring_is_elimination() {
    let matrix = pressed::<PLAIN>(
        section(100.0),
        3.0 * 200.0 / RADIUS_M.powi(3),
        Load::PointsToCentre,
        true,
    );
    let dense = dense(&matrix);
    let factor = matrix.factor().expect("regular");
    let negative = dense
        .clone()
        .symmetric_eigenvalues()
        .iter()
        .filter(|value| **value < 0.0)
        .count();
    assert_eq!(factor.negative, negative);
    let mut side = vec![Part::zeros(); matrix.diagonal.len()];
    for (node, part) in side.iter_mut().enumerate() {
        part[node % 6] = 1.0 + node as f64;
    }
    let load = side.clone();
    factor.solve(&mut side);
    let back = matrix.times(&side);
    let scale = dense.amax()
        * side
            .iter()
            .fold(0.0_f64, |most, node| most.max(node.amax()));
    assert!(
        back.iter()
            .zip(&load)
            .all(|(a, b)| (a - b).amax() < 1e-13 * scale)
    );
}
