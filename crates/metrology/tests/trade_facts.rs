//! Facts of the trade: rig readings of a workshop, and what they allow to be said.
//!
//! Source: common practice, no source. Two rig points, 13 divisions at 95.8 kgf and 15 at 99.2 kgf; a
//! wheel of 18 spokes, all reading 15 bare and 13 tyred; the claim "at most 5 %".

mod virtual_shop;

use metrology::conformity::{Claim, ClaimQuantity, ClaimScope, ClaimVerdict};
use metrology::gauge::Gauge;
use metrology::lap::State;
use metrology::settle::Settle;
use metrology::survey::{STOPPING, Survey, survey};
use metrology::tyre_effect::Part;
use metrology::visit::{RigPoint, Visit};
use quantity::{Force, Length, Rigidity};
use std::f64::consts::TAU;
use virtual_shop::{crossed_wheel, lap_of, visit_of};

/// The visit, with a standard uncertainty of half a division on each reading of the wheel.
fn half_a_division_on_the_wheel(u_on_the_rig: f64) -> Survey {
    survey(
        &bare_and_tyred(crossed_wheel(9, 32.0, 32.0, 2.0), u_on_the_rig),
        1,
        &STOPPING,
    )
}

fn bare_and_tyred(wheel: wheel::Wheel, u_on_the_rig: f64) -> Visit {
    let gauge = Gauge {
        label: "G".into(),
        support_span: None,
        spring: None,
        resolution: 0.0,
        repeatability: 0.5,
        rises_with_tension: Some(true),
    };
    let point = |reading: f64, kgf: f64| RigPoint {
        reading,
        force: Force::kgf(kgf),
        loading: None,
        u_reading: Some(u_on_the_rig),
        u_force: Some(Force::ZERO),
    };
    let spokes = wheel.spokes.len();
    let laps = vec![
        lap_of(State::Bare, &vec![15.0; spokes]),
        lap_of(State::Tyred, &vec![13.0; spokes]),
    ];
    let points = vec![point(13.0, 95.8), point(15.0, 99.2)];
    let mut visit = visit_of(wheel, gauge, points, laps);
    visit.claims.push(Claim {
        text: "loses at most 5 % with a tyre on".into(),
        quantity: ClaimQuantity::TensionLossPercent,
        at_least: None,
        at_most: Some(5.0),
        scope: ClaimScope::Whole,
        dress: Vec::new(),
        source: None,
    });
    visit
}

/// Source: hoop on an even foundation of n spokes, q = ΔT (EA L/(R² E_s A_s cos α) + n cos α/(2πR)), the
/// membrane formula of a pressed ring (handbooks of strength of materials, from memory). Spokes radial, the
/// rim stiff against bending, so that its bending between spokes hardly counts. Tolerance
/// 0.2 %; observed 0.07 %. Its u is that of the readings alone, to 1 %: both rig points are exact and the laps lie on them.
#[test]
fn tyre_presses_as_hard_as_the_hoop_with_its_spokes_says() {
    let (rim_n, spoke_n, radius_m) = (7.5e6, 4.9e5, 0.297);
    let mut wheel = crossed_wheel(18, 30.0, 30.0, 0.0);
    let rim = &mut wheel.rim;
    rim.centroid_radius = Some(Length::m(radius_m));
    rim.axial_stiffness = Some(Force::n(rim_n));
    rim.in_plane_bending = Some(Rigidity::n_m2(400.0));
    rim.lateral_bending = Some(Rigidity::n_m2(400.0));
    rim.torsion = Some(Rigidity::n_m2(100.0));
    for spoke in &mut wheel.spokes {
        spoke.axial_stiffness = Some(Force::n(spoke_n));
    }
    let (length_m, spokes) = (wheel.spokes[0].length().to_m(), 36.0);
    let cosine = 0.275 / length_m;
    let drop_n = Force::kgf(99.2 - 95.8).to_n();
    let expected = 1e-3
        * drop_n
        * (rim_n * length_m / (radius_m * radius_m * spoke_n * cosine)
            + spokes * cosine / (TAU * radius_m));
    let found = survey(&bare_and_tyred(wheel.clone(), 0.0), 1, &STOPPING)
        .line_load_n_per_mm
        .expect("constants are known");
    assert!(
        (found.value / expected - 1.0).abs() < 2e-3,
        "{found:?}, hoop {expected}"
    );
    // Both laps' noise, half a division of 1.7 kgf each, averages over 36 spokes.
    let u = expected * 0.5 * 2.0_f64.sqrt() * 1.7 / 3.4 / 6.0;
    assert!(
        (found.u / u - 1.0).abs() < 1e-2,
        "{found:?}, expected u {u}"
    );
    wheel.rim.torsion = None;
    assert!(
        survey(&bare_and_tyred(wheel, 0.0), 1, &STOPPING)
            .line_load_n_per_mm
            .is_none()
    );
}

#[test]
fn two_exact_rig_points_show_that_the_wheel_loses_less_than_a_twentieth() {
    let survey = half_a_division_on_the_wheel(0.0);
    let drop = survey.drop_of(Part::Whole).expect("both states");
    assert!(
        (drop.percent.value - 3.4).abs() < 0.05,
        "{:?}",
        drop.percent
    );
    assert!((drop.percent.u - 0.28).abs() < 0.03, "{:?}", drop.percent);
    let claim = &survey.claims[0];
    assert!(
        claim.probability.is_some_and(|p| p > 0.99),
        "{:?}",
        claim.probability
    );
    assert_eq!(claim.verdict, ClaimVerdict::Shown);
}

#[test]
fn the_same_doubt_on_the_rig_leaves_it_undecided_and_asks_for_a_rig_point() {
    let survey = half_a_division_on_the_wheel(0.5);
    let claim = &survey.claims[0];
    assert!(
        claim.probability.is_some_and(|p| (p - 0.82).abs() < 0.03),
        "{:?}",
        claim.probability
    );
    assert_eq!(claim.verdict, ClaimVerdict::Undecided);
    match &claim.settle {
        Some(Settle::By(next)) => {
            assert!(!next.rig_points.is_empty(), "{next:?}");
            assert_eq!((next.bare_laps, next.tyred_laps), (0, 0), "{next:?}");
        }
        other => panic!("a rig point would settle it, not {other:?}"),
    }
}

/// Source: common practice, no source: 840 g and 982 g make a pair of 1822 g.
#[test]
fn two_wheels_on_the_scale_make_their_pair() {
    let pair = quantity::Mass::g(840.0) + quantity::Mass::g(982.0);
    assert!((pair.to_g() - 1822.0).abs() < 1e-9);
}

/// An undecided claim always names something to do: a drawn verdict may be undecided where a normal one
/// is not, and then nothing at all would have been asked.
#[test]
fn an_undecided_claim_never_asks_for_nothing() {
    for hundredths in 0..60 {
        let survey = half_a_division_on_the_wheel(0.01 * f64::from(hundredths));
        if let Some(Settle::By(next)) = &survey.claims[0].settle {
            let asked = next.rig_points.len() + next.bare_laps + next.tyred_laps;
            assert!(asked > 0 && next.minutes > 0.0, "{hundredths}: {next:?}");
        }
    }
}
