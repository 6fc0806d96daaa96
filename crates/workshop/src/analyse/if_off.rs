//! How far the answers move when a constant of the rim is not what the file says.

use super::{Asked, Error};
use crate::sweep::sweep;
use crate::view::IfOffView;
use mechanics::{State, Structure};
use quantity::Force;
use wheel::{Rim, Wheel};

/// By what a constant is multiplied.
const FACTORS: [f64; 2] = [0.7, 1.3];

/// A constant of the rim, and how to multiply it.
type Constant = (&'static str, fn(&mut Rim, f64));

const CONSTANTS: [Constant; 4] = [
    ("axial_stiffness_n", |rim, factor| {
        rim.axial_stiffness = rim.axial_stiffness.map(|one| one * factor);
    }),
    ("in_plane_bending_n_mm2", |rim, factor| {
        rim.in_plane_bending = rim.in_plane_bending.map(|one| one * factor);
    }),
    ("lateral_bending_n_mm2", |rim, factor| {
        rim.lateral_bending = rim.lateral_bending.map(|one| one * factor);
    }),
    ("torsion_n_mm2", |rim, factor| {
        rim.torsion = rim.torsion.map(|one| one * factor);
    }),
];

/// The leading answers with each constant of the rim 30 % less and 30 % more, all else the same.
pub(super) fn answers(wheel: &Wheel, ride: Option<&Asked>) -> Vec<IfOffView> {
    let variants: Vec<(&'static str, f64, Wheel)> = CONSTANTS
        .iter()
        .flat_map(|(name, multiply)| {
            FACTORS.map(|factor| {
                let mut variant = wheel.clone();
                multiply(&mut variant.rim, factor);
                (*name, factor, variant)
            })
        })
        .collect();
    sweep(
        &variants,
        |(constant, factor, variant)| {
            let nothing = IfOffView::nothing(constant, *factor);
            // A variant that has no answer says so by its nulls: the wheel itself has one.
            leading(variant, ride, nothing.clone()).unwrap_or(nothing)
        },
        |_| (),
    )
}

fn leading(wheel: &Wheel, ride: Option<&Asked>, mut row: IfOffView) -> Result<IfOffView, Error> {
    let pulls = |spoke: &wheel::Spoke| spoke.tension.is_some_and(|one| Force::ZERO < one);
    let state = if wheel.spokes.iter().any(pulls) {
        State::Tensioned
    } else {
        State::ZeroTension
    };
    let (structure, _) = Structure::about(wheel, state)?;
    let at = structure.point_stiffness(&[structure.at_spoke_1()])?;
    row.radial_at_spoke_1_n_per_mm = Some(at[0].radial_n_per_mm);
    row.lateral_at_spoke_1_n_per_mm = Some(at[0].lateral_n_per_mm);
    let influence = structure.influence_at_spokes()?;
    row.own_tension_n_per_mm = Some(influence.tension_n_per_mm[0][0]);
    row.own_lateral_mm_per_mm = Some(influence.lateral_mm_per_mm[0][0]);
    row.own_radial_mm_per_mm = Some(influence.radial_mm_per_mm[0][0]);
    if state == State::Tensioned {
        let (slack, _) = structure.first_slack(structure.at_spoke_1())?;
        row.first_slack_n = slack.map(|slack| slack.load_n);
        let (buckling, _) = structure.buckling()?;
        row.tension_multiplier = buckling.map(|buckling| buckling.tension_multiplier);
        row.ride_smallest_n = ride.and_then(|ride| {
            let under = structure
                .ride(&ride.load(), ride.at.angle(&structure))
                .ok()?;
            under.tension_n.into_iter().min_by(f64::total_cmp)
        });
    }
    Ok(row)
}
