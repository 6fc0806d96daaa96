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
use metrology::visit::RigPoint;
use quantity::Force;
use virtual_shop::{crossed_wheel, lap_of, visit_of};

/// The visit, with a standard uncertainty of half a division on each reading of the wheel.
fn half_a_division_on_the_wheel(u_on_the_rig: f64) -> Survey {
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
    let laps = vec![
        lap_of(State::Bare, &[15.0; 18]),
        lap_of(State::Tyred, &[13.0; 18]),
    ];
    let points = vec![point(13.0, 95.8), point(15.0, 99.2)];
    let mut visit = visit_of(crossed_wheel(9, 32.0, 32.0, 2.0), gauge, points, laps);
    visit.claims.push(Claim {
        text: "loses at most 5 % with a tyre on".into(),
        quantity: ClaimQuantity::TensionLossPercent,
        at_least: None,
        at_most: Some(5.0),
        scope: ClaimScope::Whole,
        dress: Vec::new(),
        source: None,
    });
    survey(&visit, 1, &STOPPING)
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
