//! What a wheel answers as a structure.

mod assumed;
mod error;
mod figures;
mod if_off;
mod page;
mod ride;
mod standing;
pub mod told;

use crate::view::{
    Analysis, FindingView, FrequencyView, InfluenceView, LineLoadView, PlaceView, SeatView,
    StiffnessStates, StiffnessView,
};
use mechanics::Structure;
use mechanics::frequency::ring_frequencies;
use mechanics::influence::Influence;
use mechanics::line_load::LineLoad;
use quantity::{Angle, Mass};
use wheel::Wheel;

pub use assumed::{Assume, RimBox};
pub use error::Error;
pub use figures::quarter_turn;
pub use page::{document, page};
pub use ride::{Asked, Place, STANDARD_SHARE};

use standing::Standing;

/// Waves round the rim up to which the bare rim's notes are told.
const MOST_WAVES: usize = 6;

/// What is asked about a wheel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Question {
    /// Places of the rim whose stiffness and answer to every nipple are wanted.
    pub places: Vec<Angle>,
    /// Loads on the rim.
    pub rides: Vec<Asked>,
    /// Mass of the bare rim, when weighed.
    pub rim_mass: Option<Mass>,
    /// What may stand in for missing constants.
    pub assume: Assume,
}

/// The structural answers about a wheel, tensioned where it gives tensions.
///
/// Tensions of some spokes only are completed to a set that balances. What needs tension is absent,
/// with a finding, on a wheel that gives none or that cannot stand under what it gives.
///
/// # Errors
/// [`Error`] for missing or absurd constants, a mechanism, tensions that do not balance.
pub fn analyse(
    wheel: &Wheel,
    question: &Question,
    of_file: &[files::wheel_file::Finding],
) -> Result<Analysis, Error> {
    let mut findings: Vec<FindingView> =
        of_file.iter().map(|one| told("wheel-file", one)).collect();
    let (wheel, assumed) = assumed::completed(wheel, &question.assume);
    error::refuse_unknown(&wheel)?;
    findings.extend(assumed.iter().map(|one| {
        let says = format!("{} is assumed: {}", one.constant, one.from);
        finding("assumed", says)
    }));
    let standing = Standing::of(&wheel)?;
    for one in &standing.findings {
        push(&mut findings, told("state", one));
    }
    findings.extend(
        standing
            .completed
            .clone()
            .map(|says| finding("tensions", says)),
    );
    let state = standing.tensioned.as_ref();
    let asked_about = standing.asked_about();
    let influence = asked_about
        .map(Structure::influence_at_spokes)
        .transpose()?;
    let line_load = asked_about.map(Structure::line_load).transpose()?;
    let places = asked_about
        .map(|structure| places(structure, &question.places))
        .transpose()?;
    let slack = match state {
        Some(structure) => {
            let (slack, of_slack) = structure.first_slack(structure.at_spoke_1())?;
            findings.extend(of_slack.iter().map(|one| told("first-slack", one)));
            slack
        }
        None => None,
    };
    let mut rides = Vec::new();
    for one in &question.rides {
        let (ride, of_ride) = ride::under(&standing.wheel, state, one)?;
        findings.extend(of_ride);
        rides.push(ride);
    }
    let notes = question
        .rim_mass
        .or(wheel.rim.mass)
        .map(|mass| ring_frequencies(&wheel.rim, mass, MOST_WAVES))
        .transpose()?;
    Ok(Analysis {
        schema: "rimwright.analyse/1",
        wheel: wheel.name.clone(),
        spokes: seats(&wheel),
        stiffness: StiffnessStates {
            at_tension: state.map(stiffness).transpose()?,
            at_zero_tension: stiffness(&standing.loose)?,
        },
        influence: influence.map(InfluenceView::from),
        line_load: line_load.map(LineLoadView::from),
        places,
        ride: rides,
        first_slack_n: slack.map(|slack| slack.load_n),
        first_slack_spoke: slack.map(|slack| slack.spoke.number()),
        buckling: standing.buckling,
        tension_n: standing.tension_n.clone(),
        ring_frequencies: notes.map(|notes| notes.into_iter().map(FrequencyView::from).collect()),
        if_30_percent_off: if_off::answers(&standing.wheel, question.rides.first()),
        assumed,
        findings,
    })
}

fn finding(about: &'static str, says: String) -> FindingView {
    FindingView {
        weight: "question".into(),
        about: about.into(),
        says,
        spokes: Vec::new(),
    }
}

fn told(about: &'static str, one: &impl std::fmt::Display) -> FindingView {
    finding(about, one.to_string())
}

/// Adds what was not said before.
fn push(findings: &mut Vec<FindingView>, one: FindingView) {
    if !findings.contains(&one) {
        findings.push(one);
    }
}

fn seats(wheel: &Wheel) -> Vec<SeatView> {
    let placed = wheel.placed().map(|(place, spoke)| SeatView {
        spoke: place.number(),
        side: spoke.side.word(),
        kind: wheel.kind_of(spoke).name.clone(),
        seat_deg: spoke.seat_angle().to_deg(),
    });
    placed.collect()
}

fn stiffness(structure: &Structure) -> Result<StiffnessView, Error> {
    let at = structure.point_stiffness(&[structure.at_spoke_1(), structure.mid_gap()])?;
    Ok(StiffnessView {
        radial_at_spoke_1_n_per_mm: at[0].radial_n_per_mm,
        radial_mid_gap_n_per_mm: at[1].radial_n_per_mm,
        lateral_at_spoke_1_n_per_mm: at[0].lateral_n_per_mm,
        lateral_mid_gap_n_per_mm: at[1].lateral_n_per_mm,
        tangential_at_spoke_1_n_per_mm: at[0].tangential_n_per_mm,
        torsional_n_m_per_rad: structure.torsional_n_m_per_rad(),
        hub_against_held_rim_si: structure.hub_against_held_rim(),
    })
}

/// Stiffness, and what every nipple does, at these angles.
fn places(structure: &Structure, angles: &[Angle]) -> Result<Vec<PlaceView>, Error> {
    let stiffness = structure.point_stiffness(angles)?;
    let influence = structure.influence(angles)?;
    let effects = influence
        .lateral_mm_per_mm
        .into_iter()
        .zip(influence.radial_mm_per_mm);
    let all = angles.iter().zip(stiffness).zip(effects);
    Ok(all
        .map(|((angle, stiffness), (lateral, radial))| PlaceView {
            angle_deg: angle.to_deg(),
            radial_n_per_mm: stiffness.radial_n_per_mm,
            lateral_n_per_mm: stiffness.lateral_n_per_mm,
            tangential_n_per_mm: stiffness.tangential_n_per_mm,
            lateral_mm_per_mm: lateral,
            radial_mm_per_mm: radial,
        })
        .collect())
}

impl From<Influence> for InfluenceView {
    fn from(of: Influence) -> Self {
        Self {
            tension_n_per_mm: of.tension_n_per_mm,
            lateral_mm_per_mm: of.lateral_mm_per_mm,
            radial_mm_per_mm: of.radial_mm_per_mm,
        }
    }
}

impl From<LineLoad> for LineLoadView {
    fn from(of: LineLoad) -> Self {
        Self {
            tension_change_n: of.tension_change_n,
            radial_mm: of.radial_mm,
            lateral_mm: of.lateral_mm,
            mean_radial_mm: of.mean_radial_mm,
            dish_shift_mm: of.dish_shift_mm,
        }
    }
}

impl From<mechanics::frequency::RingFrequency> for FrequencyView {
    fn from(of: mechanics::frequency::RingFrequency) -> Self {
        Self {
            waves: of.waves,
            in_plane_hz: of.in_plane_hz,
            out_of_plane_hz: of.out_of_plane_hz,
        }
    }
}
