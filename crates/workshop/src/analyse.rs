//! What a wheel answers as a structure.

use crate::view::{
    Analysis, BucklingView, FindingView, InfluenceView, LineLoadView, RideView, StiffnessStates,
    StiffnessView,
};
use mechanics::ride::RimLoad;
use mechanics::{State, Structure};
use quantity::{Angle, Force};
use wheel::Wheel;

pub use mechanics::Error;

/// Where a load stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// At the seat of spoke 1.
    Spoke1,
    /// Half way from spoke 1 to spoke 2.
    MidGap,
}

impl Place {
    /// Its word in files and on the command line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Spoke1 => "spoke_1",
            Self::MidGap => "mid_gap",
        }
    }

    fn angle(self, structure: &Structure) -> Angle {
        match self {
            Self::Spoke1 => structure.at_spoke_1(),
            Self::MidGap => structure.mid_gap(),
        }
    }
}

/// A load that a person wants to see.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// Toward the hub.
    pub radial: Force,
    /// To the right.
    pub lateral: Force,
    /// Where.
    pub at: Place,
}

/// The structural answers about a wheel, tensioned where it gives tensions.
///
/// What needs tension is absent, with a finding, on a wheel that gives none.
///
/// # Errors
/// [`Error`] for missing or absurd constants, a mechanism, tensions that do not balance, a state that
/// cannot stand.
pub fn analyse(
    wheel: &Wheel,
    asked: &[Asked],
    of_file: &[files::wheel_file::Finding],
) -> Result<Analysis, Error> {
    let mut findings: Vec<FindingView> =
        of_file.iter().map(|one| said("wheel-file", one)).collect();
    let (loose, of_loose) = Structure::about(wheel, State::ZeroTension)?;
    let has_tension = wheel
        .spokes
        .iter()
        .any(|spoke| spoke.tension.is_some_and(|tension| tension > Force::ZERO));
    let tensioned = if has_tension {
        let (structure, of_state) = Structure::about(wheel, State::Tensioned)?;
        findings.extend(of_state.iter().map(|one| said("tensioned", one)));
        Some(structure)
    } else {
        findings.extend(of_loose.iter().map(|one| said("zero-tension", one)));
        None
    };
    let state = tensioned.as_ref().unwrap_or(&loose);
    let influence = state.influence_at_spokes()?;
    let line_load = state.line_load()?;
    let (slack, of_slack) = state.first_slack(state.at_spoke_1())?;
    let (buckling, of_buckling) = state.buckling()?;
    for one in of_slack.iter().chain(&of_buckling) {
        let finding = said("needs-tension", one);
        if !findings.contains(&finding) {
            findings.push(finding);
        }
    }
    let mut rides = Vec::new();
    for one in asked {
        rides.push(ride(tensioned.as_ref(), one)?);
    }
    Ok(Analysis {
        schema: "rimwright.analyse/1",
        wheel: wheel.name.clone(),
        stiffness: StiffnessStates {
            at_tension: tensioned.as_ref().map(stiffness).transpose()?,
            at_zero_tension: stiffness(&loose)?,
        },
        influence: InfluenceView {
            tension_n_per_mm: influence.tension_n_per_mm,
            lateral_mm_per_mm: influence.lateral_mm_per_mm,
            radial_mm_per_mm: influence.radial_mm_per_mm,
        },
        line_load: LineLoadView {
            tension_change_n: line_load.tension_change_n,
            radial_mm: line_load.radial_mm,
            lateral_mm: line_load.lateral_mm,
        },
        ride: rides,
        first_slack_n: slack.map(|slack| slack.load_n),
        buckling: buckling.map(|buckling| BucklingView {
            tension_multiplier: buckling.tension_multiplier,
            waves: buckling.waves,
            sideways: buckling.sideways,
        }),
        tension_n: tensioned.as_ref().and_then(|_| {
            wheel
                .spokes
                .iter()
                .map(|spoke| spoke.tension.map(Force::to_n))
                .collect()
        }),
        findings,
    })
}

fn said(about: &'static str, finding: &impl std::fmt::Display) -> FindingView {
    FindingView {
        weight: "question",
        about,
        says: finding.to_string(),
        spokes: Vec::new(),
    }
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
    })
}

fn ride(structure: Option<&Structure>, asked: &Asked) -> Result<RideView, Error> {
    let found = structure
        .map(|structure| {
            let load = RimLoad::point(asked.radial, asked.lateral);
            structure.ride(&load, asked.at.angle(structure))
        })
        .transpose()?;
    let smallest = |tensions_n: &[f64]| tensions_n.iter().copied().fold(f64::INFINITY, f64::min);
    Ok(RideView {
        radial_n: asked.radial.to_n(),
        lateral_n: asked.lateral.to_n(),
        at: asked.at.word(),
        smallest_n: found.as_ref().map(|ride| smallest(&ride.tension_n)),
        displacement_mm: found.as_ref().map(|ride| ride.displacement_mm),
        slack: found
            .iter()
            .flat_map(|ride| &ride.slack)
            .map(|spoke| spoke.number())
            .collect(),
        tension_change_n: found.map(|ride| ride.tension_change_n),
    })
}
