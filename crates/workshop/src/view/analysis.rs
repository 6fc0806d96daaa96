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
    /// The spokes in the order of every list here.
    pub spokes: Vec<SeatView>,
    /// Stiffness about both states.
    pub stiffness: StiffnessStates,
    /// What shortening each spoke does, about the tensioned state where there is one; null for a wheel
    /// that cannot stand under its tension.
    pub influence: Option<InfluenceView>,
    /// What 1 N/mm all round toward the hub does; null likewise.
    pub line_load: Option<LineLoadView>,
    /// The places of the rim asked for, about the same state; null likewise.
    pub places: Option<Vec<PlaceView>>,
    /// The rides asked for; null entries needed tension.
    pub ride: Vec<RideView>,
    /// Radial load at spoke 1 at which the first spoke goes slack.
    pub first_slack_n: Option<f64>,
    /// The spoke that then has no tension left, by number.
    pub first_slack_spoke: Option<usize>,
    /// Buckling under the wheel's own tension.
    pub buckling: Option<BucklingView>,
    /// Tension of every spoke in the state asked about; null without tension.
    pub tension_n: Option<Vec<f64>>,
    /// Notes of the bare rim hung free, when its mass is given.
    pub ring_frequencies: Option<Vec<FrequencyView>>,
    /// The leading answers with each constant of the rim 30 % off, all else the same.
    pub if_30_percent_off: Vec<IfOffView>,
    /// What stood in for constants that the file does not give.
    pub assumed: Vec<AssumedView>,
    /// What must be known beside the answers.
    pub findings: Vec<FindingView>,
}

/// A spoke in its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeatView {
    /// Its number.
    pub spoke: usize,
    /// `right` or `left`.
    pub side: &'static str,
    /// Its kind's name.
    pub kind: String,
    /// Its seat, from the valve hole.
    pub seat_deg: f64,
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
    /// Force (N) and moment (N m) on the hub per shift (m) and turn (rad) of it, the rim held: x, y, z each.
    pub hub_against_held_rim_si: [[f64; 6]; 6],
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
    /// Mean shift of the rim, positive outward.
    pub mean_radial_mm: f64,
    /// Shift of the rim's plane, positive to the right.
    pub dish_shift_mm: f64,
}

/// The rim at one angle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaceView {
    /// From the valve hole.
    pub angle_deg: f64,
    /// Stiffness toward the hub.
    pub radial_n_per_mm: f64,
    /// Stiffness along the axle.
    pub lateral_n_per_mm: f64,
    /// Stiffness along the rim.
    pub tangential_n_per_mm: f64,
    /// Effect here of shortening spoke j by a millimetre, positive to the right.
    pub lateral_mm_per_mm: Vec<f64>,
    /// The same, positive outward.
    pub radial_mm_per_mm: Vec<f64>,
}

/// The wheel under one load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RideView {
    /// Toward the hub.
    pub radial_n: f64,
    /// To the right.
    pub lateral_n: f64,
    /// Along the rim toward rising angles: driving; braking is negative.
    pub tangential_n: f64,
    /// Length of rim over which it is spread evenly; zero for a point.
    pub patch_mm: f64,
    /// `spoke_1`, `mid_gap`, or degrees from the valve hole.
    pub at: String,
    /// The place as a builder says it.
    #[serde(skip)]
    pub at_words: String,
    /// What the load rests on.
    pub from: String,
    /// Change of each tension; null where it needed tension or the wheel folds.
    pub tension_change_n: Option<Vec<f64>>,
    /// Smallest tension.
    pub smallest_n: Option<f64>,
    /// The spoke that has it, by number.
    pub smallest_spoke: Option<usize>,
    /// Shift of the rim at the load: outward, along the rim, to the right.
    pub displacement_mm: Option<[f64; 3]>,
    /// The same at every seat.
    pub at_seats_mm: Option<Vec<[f64; 3]>>,
    /// Spokes that are slack, by number.
    pub slack: Vec<usize>,
    /// The same load at every seat and half way to the next; null likewise.
    pub turn: Option<TurnView>,
}

/// Every spoke through a full turn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TurnView {
    /// Where the load stood.
    pub angles_deg: Vec<f64>,
    /// Tension of spoke i with the load at angle a.
    pub tension_n: Vec<Vec<f64>>,
    /// The smallest of all.
    pub smallest_n: f64,
    /// The spoke that has it, by number.
    pub smallest_spoke: usize,
    /// The largest of all.
    pub largest_n: f64,
    /// The spoke that has it, by number.
    pub largest_spoke: usize,
    /// Largest less smallest of each spoke.
    pub range_n: Vec<f64>,
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

/// A pair of notes of the bare rim.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FrequencyView {
    /// Full waves round the rim.
    pub waves: usize,
    /// Bending within the wheel's plane.
    pub in_plane_hz: f64,
    /// Bending and twisting out of it.
    pub out_of_plane_hz: f64,
}

/// The leading answers with one constant of the rim off; null where there is none.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct IfOffView {
    /// Its key in the wheel file.
    pub constant: &'static str,
    /// By what it was multiplied.
    pub factor: f64,
    /// Stiffness toward the hub, in the state asked about.
    pub radial_at_spoke_1_n_per_mm: Option<f64>,
    /// Stiffness along the axle.
    pub lateral_at_spoke_1_n_per_mm: Option<f64>,
    /// Effect of shortening spoke 1 on its own tension.
    pub own_tension_n_per_mm: Option<f64>,
    /// Effect on the rim there, positive to the right.
    pub own_lateral_mm_per_mm: Option<f64>,
    /// Effect on the rim there, positive outward.
    pub own_radial_mm_per_mm: Option<f64>,
    /// Smallest tension under the first ride asked for.
    pub ride_smallest_n: Option<f64>,
    /// Radial load at spoke 1 at which the first spoke goes slack.
    pub first_slack_n: Option<f64>,
    /// Tension multiplier at which the wheel buckles.
    pub tension_multiplier: Option<f64>,
}

impl IfOffView {
    /// A row without answers.
    #[must_use]
    pub const fn nothing(constant: &'static str, factor: f64) -> Self {
        Self {
            constant,
            factor,
            radial_at_spoke_1_n_per_mm: None,
            lateral_at_spoke_1_n_per_mm: None,
            own_tension_n_per_mm: None,
            own_lateral_mm_per_mm: None,
            own_radial_mm_per_mm: None,
            ride_smallest_n: None,
            first_slack_n: None,
            tension_multiplier: None,
        }
    }
}

/// A constant that stood in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AssumedView {
    /// Its key in the wheel file.
    pub constant: String,
    /// The value taken, in the key's unit.
    pub value: f64,
    /// What it rests on.
    pub from: String,
}
