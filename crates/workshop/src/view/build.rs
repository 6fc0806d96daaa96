//! The build sheet, shown.

use super::{BucklingView, FindingView, Quantity};
use serde::Serialize;

/// `rimwright.build/1`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Build {
    /// Name and version of this form.
    pub schema: &'static str,
    /// One sheet for every wheel, in the order asked.
    pub builds: Vec<BuildSheet>,
}

/// One wheel to build.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BuildSheet {
    /// The wheel's name.
    pub wheel: String,
    /// Which hole every spoke goes to, in the wheel's order.
    pub spokes: Vec<LacedView>,
    /// The spoke to begin with, by number.
    pub key_spoke: usize,
    /// Lengths to order: one side, kind, head and length each.
    pub lengths: Vec<LengthView>,
    /// The step in which lengths can be bought.
    pub step_mm: f64,
    /// What is expected of each side and kind; empty without tension.
    pub tensions: Vec<TensionView>,
    /// Mean tension on the left for one on the right that the geometry asks for.
    pub left_to_right: Option<f64>,
    /// The note of a plucked spoke, bare, of each side and kind.
    pub pitch: Vec<PitchView>,
    /// What the parts weigh.
    pub mass: MassView,
    /// Who is in whose way.
    pub clashes: Vec<ClashView>,
    /// The wheel as a structure; null where constants or tensions are missing.
    pub structure: Option<BuildStructureView>,
    /// What hang tests say of the rim; null without any.
    pub hung: Option<HungView>,
    /// The tyre as reckoned with; null without one.
    pub tyre: Option<TyreView>,
    /// Limits of tension given, each against what is expected.
    pub limits: Vec<BuildLimitView>,
    /// Change of mean tension per kelvin; null where an expansion is not known.
    pub warmth: Option<WarmthView>,
    /// The rider's load through a turn; null where none was asked about or carried.
    pub ride: Option<BuildRideView>,
    /// The static side load on the hung wheel; null without structure.
    pub side_load: Option<SideLoadView>,
    /// How far the leading answers move with one input off; empty when several wheels stand side by side.
    pub if_off: Vec<InputOffView>,
    /// What must be known beside the answers.
    pub findings: Vec<FindingView>,
}

/// A spoke between seat and hole.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LacedView {
    /// Its number.
    pub spoke: usize,
    /// `right` or `left`.
    pub side: &'static str,
    /// Its kind's name.
    pub kind: String,
    /// `in`, `out` or `straight`.
    pub head: &'static str,
    /// Its seat, from the valve hole.
    pub seat_deg: f64,
    /// Its hole, from the valve hole.
    pub hole_deg: f64,
}

/// A length to order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LengthView {
    /// `right` or `left`.
    pub side: &'static str,
    /// Its kind's name.
    pub kind: String,
    /// `in`, `out` or `straight`.
    pub head: &'static str,
    /// Its spokes, by number.
    pub spokes: Vec<usize>,
    /// How many to order, spares included.
    pub order: usize,
    /// Bend or head to end, unstressed; u without the part of seats measured once.
    pub length_mm: Quantity,
    /// What the length is made of, for its first spoke.
    pub parts: LengthPartsView,
    /// Half of what the measured seat diameters differ by, as length; null when measured once.
    pub out_of_round_mm: Option<f64>,
    /// The lengths that can be bought below and above, and what each leaves.
    pub choices: Vec<ChoiceView>,
}

/// A length, piece by piece.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LengthPartsView {
    /// From the hole's middle to the nipple seat.
    pub to_seat_mm: f64,
    /// Half the hole, or what lies behind a straight-pull spoke's point.
    pub at_hub_mm: f64,
    /// The washer.
    pub washer_mm: f64,
    /// From the seat to where the spoke's end is wanted.
    pub into_nipple_mm: f64,
    /// The rim's shrink under tension.
    pub shrink_mm: f64,
    /// The spoke's stretch.
    pub stretch_mm: f64,
}

/// A length that can be bought.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChoiceView {
    /// The length.
    pub length_mm: f64,
    /// By how much it is longer than reckoned.
    pub longer_mm: f64,
    /// Whether it is the one advised.
    pub advised: bool,
    /// `below-slot`, `in-slot` or `proud`; null without a nipple.
    pub end: Option<&'static str>,
    /// How far below the nipple's top it ends; negative above.
    pub below_top_mm: Option<f64>,
    /// Thread that spoke and nipple share.
    pub engaged_mm: Option<f64>,
    /// Turns left before the nipple runs off the spoke's thread.
    pub turns_left: Option<f64>,
    /// Thread that shows below the nipple.
    pub thread_shown_mm: Option<f64>,
}

/// Expected tension of one side and kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TensionView {
    /// `right` or `left`.
    pub side: &'static str,
    /// Its kind's name.
    pub kind: String,
    /// Spokes.
    pub count: usize,
    /// Mean without tyre.
    pub bare_n: f64,
    /// Mean with the tyre; u is that of the tyre's load alone.
    pub tyred_n: Option<Quantity>,
    /// What the tyre takes away.
    pub drop_percent: Option<Quantity>,
}

/// The note of a spoke.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PitchView {
    /// `right` or `left`.
    pub side: &'static str,
    /// Its kind's name.
    pub kind: String,
    /// With ends that turn freely.
    pub hinged_hz: f64,
    /// With ends that cannot turn.
    pub held_hz: f64,
}

/// The parts' mass.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MassView {
    /// The bare rim.
    pub rim_g: Option<f64>,
    /// The hub.
    pub hub_g: Option<f64>,
    /// All spokes.
    pub spokes_g: Option<f64>,
    /// All nipples.
    pub nipples_g: Option<f64>,
    /// The sum, when all is known.
    pub total_g: Option<f64>,
}

/// Two bodies in one place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClashView {
    /// The spoke, by number.
    pub spoke: usize,
    /// The other spoke, by number; null for a flange.
    pub other_spoke: Option<usize>,
    /// The flange's side; null for a spoke.
    pub flange: Option<&'static str>,
    /// Whether one would have to pass through the other.
    pub passes_through: bool,
    /// By how much they overlap as straight bars.
    pub overlap_mm: f64,
    /// Distance of the place from the axle.
    pub radius_mm: f64,
}

/// The wheel as a structure, bare unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BuildStructureView {
    /// Toward the hub, at spoke 1.
    pub radial_n_per_mm: f64,
    /// Along the axle, at spoke 1.
    pub lateral_n_per_mm: f64,
    /// Torque about the axle per turn of the rim against the hub.
    pub torsional_n_m_per_rad: f64,
    /// Radial load at spoke 1 at which the first spoke goes slack: tyred where a tyre is reckoned with.
    pub first_slack_n: Option<f64>,
    /// How the wheel folds under its own tension.
    pub buckling: Option<BucklingView>,
}

/// What hang tests say of the rim, and how surely the answers follow from it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HungView {
    /// EI in the wheel's plane; null without a radial test.
    pub in_plane_bending_n_mm2: Option<Quantity>,
    /// EI out of it; null without a lateral test.
    pub lateral_bending_n_mm2: Option<Quantity>,
    /// GJ; null without a lateral test.
    pub torsion_n_mm2: Option<Quantity>,
    /// Weighted sum of squares that the tests leave.
    pub chi2: f64,
    /// Tests less constants found.
    pub degrees_of_freedom: usize,
    /// Standard uncertainty that the tests leave on the stiffness toward the hub.
    pub radial_u_n_per_mm: Option<f64>,
    /// The same along the axle.
    pub lateral_u_n_per_mm: Option<f64>,
    /// The same on the load that slackens the first spoke.
    pub first_slack_u_n: Option<f64>,
    /// The same on the tension multiplier at which the wheel folds.
    pub tension_multiplier_u: Option<f64>,
}

/// The tyre.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TyreView {
    /// Its inward load, all round.
    pub inward_n_per_mm: Quantity,
    /// At this pressure.
    pub pressure_bar: Option<f64>,
    /// What it rests on.
    pub from: String,
    /// What the bead squeezes without air; null without laps at two pressures.
    pub bead_n_per_mm: Option<Quantity>,
    /// What each bar adds; null likewise.
    pub per_bar_n_per_mm: Option<Quantity>,
    /// How far the rim's plane shifts when it goes on, positive to the right.
    pub dish_shift_mm: Quantity,
    /// What it was reckoned backward to, in words; null when the file's tension is the bare one.
    pub wanted: Option<String>,
}

/// A limit against what is expected.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BuildLimitView {
    /// The part it protects.
    pub part: &'static str,
    /// The most it allows.
    pub at_most_n: f64,
    /// `bare` or `tyred`.
    pub condition: &'static str,
    /// Where it stands.
    pub source: String,
    /// The tightest spoke it holds for; null when its state is not reckoned.
    pub highest_n: Option<f64>,
    /// Whether that is above it.
    pub over: Option<bool>,
}

/// What a kelvin does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WarmthView {
    /// To the mean tension on the right.
    pub right_n_per_k: f64,
    /// To the mean tension on the left.
    pub left_n_per_k: f64,
}

/// The rider's load through a turn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BuildRideView {
    /// Toward the hub.
    pub radial_n: f64,
    /// To the right.
    pub lateral_n: f64,
    /// Along the rim: driving positive, braking negative.
    pub tangential_n: f64,
    /// Length of rim that carries it.
    pub patch_mm: f64,
    /// What the load rests on.
    pub from: String,
    /// Whether the tensions before are those with the tyre on.
    pub tyred: bool,
    /// The smallest tension of the whole turn.
    pub smallest_n: f64,
    /// The spoke that has it, by number.
    pub smallest_spoke: usize,
    /// Where the load stands then: at that spoke or, with a lacing that repeats, at one like it.
    pub smallest_at_deg: f64,
    /// The largest.
    pub largest_n: f64,
    /// The spoke that has it, by number.
    pub largest_spoke: usize,
    /// Smallest and largest of every spoke, in the wheel's order.
    pub tension_n: Vec<[f64; 2]>,
    /// The swing of each kind's worst spoke.
    pub swings: Vec<SwingView>,
}

/// How the stress of a kind's worst spoke swings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwingView {
    /// The kind's name.
    pub kind: String,
    /// The spoke with the widest range, by number.
    pub spoke: usize,
    /// Its range.
    pub range_n: f64,
    /// Half way between its largest and smallest.
    pub mean_n: f64,
    /// The same as stress; null without a section.
    pub mean_mpa: Option<f64>,
    /// Half the range as stress.
    pub amplitude_mpa: Option<f64>,
    /// The share of Goodman's line that it uses; null where nobody published one.
    pub goodman_share: Option<f64>,
    /// Published strength, amplitude borne about no mean, and where they stand.
    pub goodman: Option<GoodmanView>,
}

/// A published line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GoodmanView {
    /// Tensile strength.
    pub strength_mpa: f64,
    /// Amplitude borne about no mean stress.
    pub amplitude_mpa: f64,
    /// Where both stand.
    pub source: String,
}

/// What a side load moves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SideLoadView {
    /// The force.
    pub force_n: f64,
    /// Whose test it is of.
    pub source: String,
    /// What the rim moves where it acts: the most of both ways, at spoke 1.
    pub at_spoke_1_mm: Option<f64>,
    /// The same half way to spoke 2.
    pub mid_gap_mm: Option<f64>,
}

/// What the leading answers change by with one input off, all else the same; null where there is no answer then.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InputOffView {
    /// What is off.
    pub input: &'static str,
    /// By how much.
    pub by: &'static str,
    /// Of the right spokes' lengths, in the mean.
    pub right_length_change_mm: Option<f64>,
    /// Of the left spokes' lengths, in the mean.
    pub left_length_change_mm: Option<f64>,
    /// Of the right side's mean tension, tyred where a tyre is reckoned with.
    pub right_tension_change_n: Option<f64>,
    /// The same on the left.
    pub left_tension_change_n: Option<f64>,
    /// Of the stiffness along the axle.
    pub lateral_change_n_per_mm: Option<f64>,
    /// Of the load that slackens the first spoke.
    pub first_slack_change_n: Option<f64>,
    /// Of the tension multiplier at which it folds.
    pub tension_multiplier_change: Option<f64>,
    /// Of the smallest tension under the rider, the load standing where that was.
    pub smallest_ridden_change_n: Option<f64>,
    /// What is to be said of the wheel then and is not to be said of it as it is: that it folds, that a spoke is slack.
    pub says: Vec<String>,
}
