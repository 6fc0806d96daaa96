//! Warping and the shear centre against Vlasov's shaft and curved bar.
//!
//! Sources: Vlasov, Thin-Walled Elastic Beams (1961), for the shaft whose ends warp freely or not and the curved bar;
//! Timoshenko & Gere, Theory of Elastic Stability, for the shaft and the ring. All from memory; a ring of n waves
//! resists twist with GJ + EC_w n²/R² wherever its textbook without warping has GJ.

use super::{Load, RADIUS_M, buckles_at, moved, near, ring, section};
use crate::bay::{Bay, EndLoad, Reach};
use crate::section::Section;
use crate::unknowns::{Part, WARPING};
use nalgebra::{DMatrix, DVector};
use std::f64::consts::TAU;

/// Bars of this length on a circle so wide that they are straight.
const LENGTH_M: f64 = 0.5;
const WIDE_M: f64 = 1e7;

/// The movement of a bar's far end under a force, a moment and a bimoment there, its start held against everything;
/// `free` says whether the far end may warp.
fn cantilever(section: Section, load: &Part<WARPING>, free: bool) -> (Part<WARPING>, EndLoad) {
    let angle = LENGTH_M / section.radius_m;
    let bay = Bay::<WARPING>::new(section, angle, EndLoad::NONE).expect("an arc");
    let reach = Reach::of_circle(section.radius_m, angle);
    let rows = if free { 7 } else { 6 };
    let block = bay.rigidity.stiffness(&bay.stress, &reach);
    let end = DMatrix::from_fn(rows, rows, |row, column| block.end[(row, column)]);
    let side = DVector::from_fn(rows, |row, _| load[row]);
    let solved = end.lu().solve(&side).expect("held");
    let mut moved = Part::<WARPING>::zeros();
    moved.rows_mut(0, rows).copy_from(&solved);
    let opening = bay.rigidity.opening(&reach, &Part::zeros(), &moved);
    (
        moved,
        EndLoad::NONE.plus(&(bay.rigidity.of_opening * opening)),
    )
}

/// A bar whose torsion fades within `fading_m` of a held end.
fn bar(fading_m: f64) -> Section {
    let section = section(100.0);
    Section {
        radius_m: WIDE_M,
        warping_n_m4: section.torsion_n_m2 * fading_m * fading_m,
        ..section
    }
}

/// φ = T/GJ (L − tanh(kL)/k) and B = T tanh(kL)/k at the held end, k = √(GJ/EC_w); with both ends held against warping
/// φ = T/GJ (L − 2/k tanh(kL/2)). Tolerance 1e-7: what is left of the circle.
#[test]
fn shaft_held_against_warping_twists_as_vlasov_says() {
    let mut torque = Part::zeros();
    torque[4] = 3.0;
    for fading_m in [0.14, 0.5, 5.0] {
        let section = bar(fading_m);
        let free = LENGTH_M - fading_m * (LENGTH_M / fading_m).tanh();
        let (end, start) = cantilever(section, &torque, true);
        near(end[4], 3.0 / 80.0 * free, 1e-7);
        near(
            start.bimoment.abs(),
            3.0 * fading_m * (LENGTH_M / fading_m).tanh(),
            1e-7,
        );
        let (end, _) = cantilever(section, &torque, false);
        let held = LENGTH_M - 2.0 * fading_m * (LENGTH_M / (2.0 * fading_m)).tanh();
        near(end[4], 3.0 / 80.0 * held, 1e-7);
    }
}

/// Without GJ the flanges alone bend: φ = T L³/(3 EC_w), and a quarter of it when the far end cannot warp.
/// Tolerance 1e-6: the GJ that is left.
#[test]
fn shaft_without_gj_twists_by_warping_alone() {
    let section = Section {
        torsion_n_m2: 1e-6,
        warping_n_m4: 2.0,
        ..bar(0.0)
    };
    let mut torque = Part::zeros();
    torque[4] = 3.0;
    let expected = 3.0 * LENGTH_M.powi(3) / (3.0 * 2.0);
    near(cantilever(section, &torque, true).0[4], expected, 1e-6);
    near(
        cantilever(section, &torque, false).0[4],
        expected / 4.0,
        1e-6,
    );
}

/// A bar pushed sideways through its centroid is pushed beside its shear centre: it twists under the torque F y. Through
/// the shear centre it does not twist, and bends as F L³/(3EI). Tolerance 1e-5: what is left of the circle.
#[test]
fn channel_pushed_through_its_centroid_twists() {
    let beside_m = 0.02;
    for fading_m in [0.2, 1.0] {
        let section = Section {
            shear_centre_m: beside_m,
            ..bar(fading_m)
        };
        let mut push = Part::zeros();
        push[2] = 10.0;
        let bent = 10.0 * LENGTH_M.powi(3) / (3.0 * section.lateral_n_m2);
        let free = LENGTH_M - fading_m * (LENGTH_M / fading_m).tanh();
        let twisted = 10.0 * beside_m / section.torsion_n_m2 * free;
        let (end, _) = cantilever(section, &push, true);
        near(end[4], twisted, 1e-5);
        near(end[2], bent + beside_m * twisted, 1e-5);
        push[4] = -10.0 * beside_m; // through the shear centre, which lies outward
        let (end, _) = cantilever(section, &push, true);
        near(end[2], bent, 1e-5);
        assert!(end[4].abs() < 1e-5 * twisted, "twists by {}", end[4]);
    }
}

/// What a uniform ring yields to lateral line loads of n waves, by the energy of bending, twist and warping about its
/// shear centre; the elastic part of eq. 3.24, derived there. Tolerance 4e-5: 360 point loads for a line load.
#[test]
fn ring_warps_out_of_plane_by_its_waves_as_the_curved_bar_says() {
    let nodes = 360;
    for (shear_centre_m, warping_n_m4) in [(0.0, 0.4), (0.015, 0.0), (0.015, 0.4), (-0.02, 3.0)] {
        let section = Section {
            shear_centre_m,
            warping_n_m4: f64::max(warping_n_m4, 1e-3),
            ..section(100.0)
        };
        for waves in [2, 3, 5] {
            let n = f64::from(waves);
            let mesh = ring::<WARPING>(section, nodes);
            let mut loads = mesh.empty();
            for (load, angle) in loads.iter_mut().zip(&mesh.angles) {
                load[2] = (n * angle).cos() * RADIUS_M * TAU / nodes as f64;
            }
            let moved = moved(&mesh, &loads);
            // Of the held node's motion nothing of n waves is left in the projection.
            let amplitude: f64 = moved
                .iter()
                .zip(&mesh.angles)
                .map(|(node, angle)| node[2] * (n * angle).cos() * 2.0 / nodes as f64)
                .sum();
            let torsion = section.torsion_n_m2 + section.warping_n_m4 * (n / RADIUS_M).powi(2);
            let lever = 1.0 - (n * n - 1.0) * shear_centre_m / RADIUS_M;
            let soft = n * n + section.lateral_n_m2 / torsion * lever * lever;
            let expected =
                RADIUS_M.powi(4) * soft / (section.lateral_n_m2 * (n * (n * n - 1.0)).powi(2));
            near(amplitude, expected, 4e-5);
        }
    }
}

/// Out of plane a ring under radial loads buckles at 9 and 12 EI/(R³(4 + EI/G)) by the kind of load, G = GJ + 4 EC_w/R².
/// Tolerance 0.2 %: 72 point loads for a line load.
#[test]
fn ring_that_resists_warping_buckles_out_of_its_plane_later() {
    for warping_n_m4 in [0.5, 20.0] {
        let section = Section {
            warping_n_m4,
            ..section(100.0)
        };
        let torsion = section.torsion_n_m2 + 4.0 * warping_n_m4 / RADIUS_M.powi(2);
        let lateral = section.lateral_n_m2;
        let unit = lateral / (RADIUS_M.powi(3) * (4.0 + lateral / torsion));
        let at = |load, rigid| buckles_at::<WARPING>(section, unit, load, true, rigid);
        near(at(Load::KeepsDirection, 2), 9.0, 2e-3);
        near(at(Load::PointsToCentre, 0), 12.0, 2e-3);
    }
}
