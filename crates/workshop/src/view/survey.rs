//! A survey, shown.

use super::{FindingView, Quantity};
use serde::Serialize;

/// `rimwright.survey/1`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SurveyView {
    /// Name and version of this form.
    pub schema: &'static str,
    /// The wheel's name.
    pub wheel: String,
    /// When it was taken, RFC 3339.
    pub taken: String,
    /// By whom.
    pub by: String,
    /// The verdict in one sentence.
    pub verdict: String,
    /// Each spoke, in the wheel's order.
    pub spokes: Vec<SpokeView>,
    /// The sides.
    pub sides: Sides,
    /// One side and kind each.
    pub groups: Vec<GroupView>,
    /// What the tyre takes away; null without both states.
    pub tyre_effect: TyreEffect,
    /// The hub's statics.
    pub statics: StaticsStates,
    /// The verdict on each claim.
    pub claims: Vec<ClaimView>,
    /// The verdict on each limit of tension.
    pub limits: Vec<LimitView>,
    /// The verdict on each limit of pressure.
    pub pressure_limits: Vec<PressureView>,
    /// Runout.
    pub runout: RunoutView,
    /// Weighings.
    pub weighings: Vec<WeighingView>,
    /// Differences between weighings whose dress tells them apart.
    pub dress_differences: Vec<DressDifferenceView>,
    /// What the builder must know.
    pub findings: Vec<FindingView>,
    /// Probability from which a verdict falls.
    pub decide_at: f64,
    /// Draws that counted.
    pub draws: usize,
    /// Their seed.
    pub seed: u64,
}

/// A reading beyond its curve's range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bound {
    /// `more` or `less` than the bound.
    pub than: &'static str,
    /// The bound, newtons.
    pub bound_n: f64,
}

/// One spoke.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpokeView {
    /// Its number.
    pub spoke: usize,
    /// Its side.
    pub side: &'static str,
    /// Its kind.
    pub kind: String,
    /// Angle of its seat from the valve hole, degrees.
    pub seat_angle_deg: f64,
    /// Tension without a tyre; null when unread, beyond the range or without a curve.
    pub bare_n: Option<Quantity>,
    /// Tension with the tyre on.
    pub tyred_n: Option<Quantity>,
    /// Beyond the range, bare.
    pub bare_bound: Option<Bound>,
    /// Beyond the range, tyred.
    pub tyred_bound: Option<Bound>,
    /// Mean reading bare, divisions.
    pub bare_divisions: Option<f64>,
    /// Mean reading tyred, divisions.
    pub tyred_divisions: Option<f64>,
    /// Tension reconciled with the hub's statics, bare.
    pub bare_reconciled_n: Option<Quantity>,
    /// Tension reconciled with the hub's statics, tyred.
    pub tyred_reconciled_n: Option<Quantity>,
}

/// Both sides.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sides {
    /// The right side.
    pub right: SideStates,
    /// The left side.
    pub left: SideStates,
}

/// One side or group in both states.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct SideStates {
    /// Without a tyre.
    pub bare: Option<StateNumbers>,
    /// With the tyre on.
    pub tyred: Option<StateNumbers>,
}

/// The numbers of one group in one state.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StateNumbers {
    /// Mean tension.
    pub mean_n: Option<Quantity>,
    /// Standard deviation within side and kind as measured, per cent of the mean.
    pub sd_percent: Option<f64>,
    /// The same with the reading noise taken out.
    pub sd_without_noise_percent: Option<Quantity>,
    /// Standard deviation of the readings, divisions.
    pub sd_divisions: Option<f64>,
    /// Smallest tension.
    pub min_n: Option<f64>,
    /// Largest tension.
    pub max_n: Option<f64>,
    /// Spokes with a force.
    pub read: usize,
    /// All its spokes.
    pub spokes: usize,
}

/// One side and kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GroupView {
    /// The side.
    pub side: &'static str,
    /// The kind.
    pub kind: String,
    /// Both states.
    #[serde(flatten)]
    pub states: SideStates,
}

/// What the tyre takes away.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct TyreEffect {
    /// All spokes.
    pub whole: Option<DropView>,
    /// The right side.
    pub right: Option<DropView>,
    /// The left side.
    pub left: Option<DropView>,
    /// Pressure of the tyred laps, bar.
    pub pressure_bar: Option<f64>,
    /// Even load on the rim, toward the hub, that explains the loss by the structural model; null where
    /// the wheel file lacks the rim's constants.
    pub line_load_n_per_mm: Option<Quantity>,
}

/// One drop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DropView {
    /// Loss of mean tension, per cent.
    pub drop_percent: Quantity,
    /// Part of its u that the curves leave, per cent.
    pub curve_u_percent: f64,
    /// Part of its u that the readings leave, per cent.
    pub readings_u_percent: f64,
}

/// The hub's statics in both states.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct StaticsStates {
    /// Without a tyre.
    pub bare: Option<Statics>,
    /// With the tyre on.
    pub tyred: Option<Statics>,
}

/// The hub's statics in one state.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Statics {
    /// Left:right ratio of mean tensions that the geometry asks for.
    pub ratio_expected: Option<Quantity>,
    /// The same as read.
    pub ratio_found: Option<Quantity>,
    /// χ² of the six resultants; null when not every spoke has a force.
    pub chi2: Option<f64>,
    /// How many of them count.
    pub degrees_of_freedom: Option<usize>,
    /// Probability of resultants this large or larger.
    pub p_value: Option<f64>,
    /// Spokes to take again, by number, the most doubtful first.
    pub suspicious: Vec<usize>,
    /// The same with how far they stand out.
    pub suspicions: Vec<SuspicionView>,
    /// Per cent by which the right side's (positive) or left side's curve seems wrong, when it does.
    pub curve_doubt: Option<CurveDoubtView>,
}

/// One side's curve seems wrong by a factor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CurveDoubtView {
    /// The side.
    pub side: &'static str,
    /// Per cent by which its tensions look too high.
    pub percent: f64,
    /// In standard deviations.
    pub deviations: f64,
}

/// A reading to take again.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SuspicionView {
    /// The spoke.
    pub spoke: usize,
    /// By how much its tension looks too high, newtons.
    pub off_n: f64,
    /// In standard deviations.
    pub deviations: f64,
}

/// A claim.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClaimView {
    /// The claim as it was made.
    pub text: String,
    /// Probability that it holds: the worst part's.
    pub probability: Option<f64>,
    /// `shown`, `undecided`, `refuted`.
    pub verdict: &'static str,
    /// What would settle it, when it is undecided.
    pub settle: Option<String>,
    /// What that takes, minutes.
    pub settle_minutes: Option<f64>,
    /// The parts it was judged on.
    pub parts: Vec<ClaimPartView>,
}

/// One part of the wheel against a claim.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClaimPartView {
    /// The part.
    pub part: String,
    /// The number, in the claim's unit.
    pub value: Quantity,
    /// The number in words.
    pub words: String,
    /// Probability that the claim holds for it.
    pub probability: f64,
    /// Its verdict.
    pub verdict: &'static str,
}

/// A limit of tension.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitView {
    /// The limit in words.
    pub text: String,
    /// The limit, newtons.
    pub limit_n: f64,
    /// Where it stands.
    pub source: String,
    /// When it was noted.
    pub noted: String,
    /// Joint probability that no spoke is above it.
    pub probability: Option<f64>,
    /// `under`, `cannot tell`, `over`.
    pub verdict: &'static str,
    /// Spokes that are not surely under it, by number, the surest over first.
    pub spokes: Vec<usize>,
    /// Every spoke it holds for.
    pub each: Vec<LimitSpokeView>,
    /// What would settle it, when it cannot be told.
    pub settle: Option<String>,
}

/// One spoke against a limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitSpokeView {
    /// The spoke.
    pub spoke: usize,
    /// Probability that it is not above.
    pub probability: Option<f64>,
    /// Its verdict.
    pub verdict: &'static str,
}

/// A limit of pressure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PressureView {
    /// The part.
    pub part: String,
    /// The limit, bar.
    pub limit_bar: f64,
    /// The highest pressure noted, bar.
    pub highest_bar: Option<f64>,
    /// The verdict.
    pub verdict: &'static str,
    /// Where it stands.
    pub source: String,
}

/// Runout of the worse face.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunoutView {
    /// Sideways, full indicator reading.
    pub lateral_fir_mm: Option<Quantity>,
    /// In and out, full indicator reading.
    pub radial_fir_mm: Option<Quantity>,
    /// Offset of the rim's plane, positive to the right; null when nobody measured it.
    pub dish_mm: Option<Quantity>,
    /// Each lap.
    pub laps: Vec<RunoutLapView>,
}

/// One runout lap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunoutLapView {
    /// `lateral` or `radial`.
    pub axis: &'static str,
    /// The rim face.
    pub face: &'static str,
    /// `bare` or `tyred`.
    pub state: &'static str,
    /// Full indicator reading.
    pub fir_mm: Quantity,
    /// Where it is highest, degrees from the valve hole.
    pub highest_deg: f64,
    /// Where it is lowest.
    pub lowest_deg: f64,
    /// Its harmonics.
    pub harmonics: Vec<HarmonicView>,
}

/// One harmonic.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HarmonicView {
    /// Waves round the rim.
    pub waves: usize,
    /// Amplitude, millimetres.
    pub amplitude_mm: f64,
    /// Where its first crest lies, degrees.
    pub peak_deg: f64,
}

/// A weighing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeighingView {
    /// What was on the wheel.
    pub dress: Vec<String>,
    /// Grams.
    pub mass_g: Quantity,
}

/// A difference of two weighings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DressDifferenceView {
    /// What makes it.
    pub of: Vec<String>,
    /// Grams.
    pub mass_g: Quantity,
}
