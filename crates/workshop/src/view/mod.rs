//! What a use-case shows: plain public fields, and the JSON of the verbs.
//!
//! Every number carries its unit in its name; `{value, u}` has the standard uncertainty in the same
//! unit; a number that cannot be told is null, with its reason in `findings`.

mod analysis;
mod bench;
mod build;
mod calibration;
mod plan;
mod planned_limit;
mod round;
mod shelf;
mod survey;
mod upkeep;

pub use analysis::{
    Analysis, AssumedView, BucklingView, FrequencyView, IfOffView, InfluenceView, LineLoadView,
    PlaceView, RideView, SeatView, StiffnessStates, StiffnessView, TurnView,
};
pub use bench::{
    CalibrationRecordView, GaugeRecordView, PointView, RigView, RodCheckView, RodRunView,
};
pub use build::{
    Build, BuildLimitView, BuildRideView, BuildSheet, BuildStructureView, ChoiceView, ClashView,
    GoodmanView, HungView, InputOffView, LacedView, LengthPartsView, LengthView, MassView,
    PitchView, SideLoadView, SwingView, TensionView, TyreView, WarmthView,
};
pub use calibration::{
    At, Calibration, CurveView, HysteresisView, KnownView, ResidualView, TrialView,
};
pub use plan::{
    ClassView, FewView, FoundView, GainView, LearnedView, PlanView, PlannedSpokeView, RimPointView,
    ShownView, SparseTurnView, TurnedView, UnmovedView,
};
pub use planned_limit::PlannedLimitView;
pub use round::{
    AskedView, EnteredPlanView, LapKindView, PlanNoteView, RoundView, SideMeanView, WorkView,
};
pub use shelf::{
    AdviceView, ClaimNoteView, EntryView, LapInShortView, LapPlaceView, LapView, LifeView,
    LimitNoteView, LookView, MechanicView, PartView, PhotoView, ReadingView, ReportView, ShelfView,
    ShelfVisitView, ShelfWheelView, TurnNoteView, VisitView, WeighingNoteView, WithdrawnView,
};
pub use survey::{
    Bound, ClaimPartView, ClaimView, CurveDoubtView, DressDifferenceView, DropView, GroupView,
    HarmonicView, LimitSpokeView, LimitView, PressureView, RunoutLapView, RunoutView, SideStates,
    Sides, SpokeView, StateNumbers, Statics, StaticsStates, SurveyView, SuspicionView, TyreEffect,
    WeighingView,
};
pub use upkeep::{
    BackupView, CheckView, ConflictView, DoctorView, ExportView, ImportView, ImportedFileView,
    RestoreView, TraceView, TracedView, TracedVisitView,
};

use metrology::{Finding, Weight};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// A fixed word; of what was kept, the word as it was kept.
pub type Word = Cow<'static, str>;

/// A value with its standard uncertainty in the same unit, and its 95 % interval where it was drawn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Quantity {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
    /// Lower end of the 95 % interval.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// Its upper end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
}

impl From<metrology::evenness::Value> for Quantity {
    fn from(of: metrology::evenness::Value) -> Self {
        Self {
            value: of.value,
            u: of.u,
            low: None,
            high: None,
        }
    }
}

impl From<metrology::chances::Spread> for Quantity {
    fn from(of: metrology::chances::Spread) -> Self {
        Self {
            value: of.value,
            u: of.u,
            low: Some(of.low),
            high: Some(of.high),
        }
    }
}

impl Quantity {
    /// A value and its standard uncertainty.
    #[must_use]
    pub const fn new(value: f64, u: f64) -> Self {
        Self {
            value,
            u,
            low: None,
            high: None,
        }
    }

    /// Half its 95 % interval.
    #[must_use]
    pub fn expanded(&self) -> f64 {
        match (self.low, self.high) {
            (Some(low), Some(high)) => (high - low) / 2.0,
            _ => crate::words::K * self.u,
        }
    }
}

/// Something the builder must know.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FindingView {
    /// `note`, `question` or `doubt`.
    pub weight: Word,
    /// A fixed word for it.
    pub about: Word,
    /// What was seen and what to do.
    pub says: String,
    /// The spokes it concerns, by number.
    pub spokes: Vec<usize>,
}

impl From<&Finding> for FindingView {
    fn from(finding: &Finding) -> Self {
        Self {
            weight: match finding.weight {
                Weight::Note => "note",
                Weight::Question => "question",
                Weight::Doubt => "doubt",
            }
            .into(),
            about: finding.about.into(),
            says: finding.says.clone(),
            spokes: finding.spokes.iter().map(|spoke| spoke.number()).collect(),
        }
    }
}

/// The findings of an answer.
#[must_use]
pub fn findings(of: &[Finding]) -> Vec<FindingView> {
    of.iter().map(FindingView::from).collect()
}

/// A view as JSON text, ended by a line break.
///
/// # Errors
/// When a view holds what JSON cannot say.
pub fn json(view: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(view)?;
    text.push('\n');
    Ok(text)
}
