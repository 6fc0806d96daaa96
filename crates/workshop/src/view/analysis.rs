//! The structural answers, shown.

use super::FindingView;
use serde::Serialize;

/// `rimwright.analyse/1`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Analysis {
    /// Name and version of this form.
    pub schema: &'static str,
    /// The wheel's name.
    pub wheel: String,
    /// Stiffness about both states.
    pub stiffness: StiffnessStates,
    /// What shortening each spoke does, about the tensioned state where there is one.
    pub influence: InfluenceView,
    /// What 1 N/mm all round toward the hub does.
    pub line_load: LineLoadView,
    /// The rides asked for; null entries needed tension.
    pub ride: Vec<RideView>,
    /// Radial load at spoke 1 at which the first spoke goes slack.
    pub first_slack_n: Option<f64>,
    /// Buckling under the wheel's own tension.
    pub buckling: Option<BucklingView>,
    /// Tension of every spoke in the state asked about; null without tension.
    pub tension_n: Option<Vec<f64>>,
    /// What must be known beside the answers.
    pub findings: Vec<FindingView>,
}

/// Stiffness about both states.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StiffnessStates {
    /// As tensioned; null for a wheel without tension.
    pub at_tension: Option<StiffnessView>,
    /// Without tension, spokes acting both ways.
    pub at_zero_tension: StiffnessView,
}

/// Stiffness under a point load at the rim's centroid, displacement there.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StiffnessView {
    /// Toward the hub, at spoke 1.
    pub radial_at_spoke_1_n_per_mm: f64,
    /// Toward the hub, half way from spoke 1 to spoke 2.
    pub radial_mid_gap_n_per_mm: f64,
    /// Along the axle, at spoke 1.
    pub lateral_at_spoke_1_n_per_mm: f64,
    /// Along the axle, half way from spoke 1 to spoke 2.
    pub lateral_mid_gap_n_per_mm: f64,
    /// Along the rim, at spoke 1.
    pub tangential_at_spoke_1_n_per_mm: f64,
    /// Torque about the axle per turn of the rim against the hub.
    pub torsional_n_m_per_rad: f64,
}

/// Effect at spoke i of shortening spoke j by a millimetre.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InfluenceView {
    /// On its tension.
    pub tension_n_per_mm: Vec<Vec<f64>>,
    /// On the rim there, positive to the right.
    pub lateral_mm_per_mm: Vec<Vec<f64>>,
    /// On the rim there, positive outward.
    pub radial_mm_per_mm: Vec<Vec<f64>>,
}

/// Per 1 N/mm inward.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineLoadView {
    /// Change of each tension.
    pub tension_change_n: Vec<f64>,
    /// Rim at each seat, positive outward.
    pub radial_mm: Vec<f64>,
    /// Rim at each seat, positive to the right.
    pub lateral_mm: Vec<f64>,
}

/// The wheel under one load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RideView {
    /// Toward the hub.
    pub radial_n: f64,
    /// To the right.
    pub lateral_n: f64,
    /// `spoke_1` or `mid_gap`.
    pub at: &'static str,
    /// Change of each tension; null where it needed tension.
    pub tension_change_n: Option<Vec<f64>>,
    /// Smallest tension.
    pub smallest_n: Option<f64>,
    /// Shift of the rim at the load: outward, along the rim, to the right.
    pub displacement_mm: Option<[f64; 3]>,
    /// Spokes that are slack, by number.
    pub slack: Vec<usize>,
}

/// Buckling.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BucklingView {
    /// All tensions multiplied by this, the wheel buckles.
    pub tension_multiplier: f64,
    /// Full waves round the rim.
    pub waves: usize,
    /// Whether it folds sideways more than in its plane.
    pub sideways: bool,
}
