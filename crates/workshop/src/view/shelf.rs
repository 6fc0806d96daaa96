//! What the records show: wheels on the shelf, a wheel's life, a visit, a lap.

use super::PlanNoteView;
use ledger::state::Order;
use serde::Serialize;

/// Who entered something, and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct EntryView {
    /// The thing: the id by which others name it.
    pub id: String,
    /// The entry that stands; the one that a correction has to name as seen.
    pub entry: String,
    /// When that was entered, RFC 3339.
    pub at: String,
    /// When the thing was entered at first: a correction makes it no newer.
    pub since: String,
    /// By whom.
    pub by: String,
    /// Whether it is of the invented workshop.
    pub is_demo: bool,
    /// Why it took the place of another, when it did.
    pub why: Option<String>,
    /// When it was written, among all that was; an id may have been given out long before.
    #[serde(skip)]
    pub order: Order,
}

/// Wheels, the one that was here last first, or as they were found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShelfView {
    /// The wheels.
    pub wheels: Vec<ShelfWheelView>,
}

/// A wheel as it stands on the shelf.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShelfWheelView {
    /// Its id.
    pub id: String,
    /// What is written on it.
    pub label: String,
    /// What it is called.
    pub name: String,
    /// Whose it is.
    pub owner: Option<String>,
    /// How the owner is reached.
    pub contact: Option<String>,
    /// Its visits, the newest one first.
    pub visits: Vec<ShelfVisitView>,
}

/// A visit in short.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShelfVisitView {
    /// Its id.
    pub id: String,
    /// When it took place, RFC 3339.
    pub taken: String,
    /// What was asked of the shop.
    pub asked: Option<String>,
}

/// Something that was taken out of view.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WithdrawnView {
    /// Who took it out, and when; the entry that brings it back names this one.
    pub entry: EntryView,
    /// What it is: `wheel`, `limit`, `weighing` …
    pub kind: &'static str,
    /// In the words by which somebody knows it again.
    pub says: String,
    /// The wheel or gauge it is about, when it is about one.
    pub of: Option<String>,
}

/// Everything about a wheel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LifeView {
    /// Who and when.
    pub entry: EntryView,
    /// What is written on it.
    pub label: String,
    /// What it is called.
    pub name: String,
    /// Whose it is.
    pub owner: Option<String>,
    /// How the owner is reached.
    pub contact: Option<String>,
    /// The text of its wheel file.
    pub file: String,
    /// Anything else.
    pub note: Option<String>,
    /// Whether it is in view.
    pub is_in_view: bool,
    /// Its parts.
    pub parts: Vec<PartView>,
    /// Limits of the whole wheel.
    pub limits: Vec<LimitNoteView>,
    /// Claims about it.
    pub claims: Vec<ClaimNoteView>,
    /// Its visits, in the order in which they took place.
    pub visits: Vec<VisitView>,
}

/// A part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartView {
    /// Who and when.
    pub entry: EntryView,
    /// Rim, hub, spoke …
    pub what: String,
    /// Its maker.
    pub maker: Option<String>,
    /// Its model.
    pub model: Option<String>,
    /// Its lot.
    pub lot: Option<String>,
    /// Its serial.
    pub serial: Option<String>,
    /// Anything else.
    pub note: Option<String>,
    /// Its limits.
    pub limits: Vec<LimitNoteView>,
}

/// A limit as it was noted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitNoteView {
    /// Who and when.
    pub entry: EntryView,
    /// The part it protects.
    pub part: String,
    /// `tension` or `pressure`.
    pub quantity: String,
    /// The number, in `unit`.
    pub value: f64,
    /// The unit it was stated in.
    pub unit: String,
    /// `bare` or `tyred`.
    pub state: Option<&'static str>,
    /// The side it is for, when for one.
    pub side: Option<&'static str>,
    /// The spoke kind it is for, when for one.
    pub spoke_kind: Option<String>,
    /// Where it stands.
    pub source: String,
    /// When it was noted, `YYYY-MM-DD`.
    pub noted: String,
}

/// A claim as it was noted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClaimNoteView {
    /// Who and when.
    pub entry: EntryView,
    /// In the words of who claims it.
    pub text: String,
    /// What is claimed.
    pub quantity: String,
    /// The most it may be.
    pub at_most: Option<f64>,
    /// The least it may be.
    pub at_least: Option<f64>,
    /// `right`, `left` or `whole`, when it names one.
    pub of_what: Option<String>,
    /// What is on the wheel, when it is about a mass.
    pub dress: Option<Vec<String>>,
    /// Where it stands.
    pub source: Option<String>,
}

/// A visit with all that was taken in it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VisitView {
    /// Who and when.
    pub entry: EntryView,
    /// The wheel's id.
    pub wheel: String,
    /// The wheel's label.
    pub wheel_label: String,
    /// The wheel's name.
    pub wheel_name: String,
    /// When it took place, RFC 3339.
    pub taken: String,
    /// What was asked of the shop.
    pub asked: Option<String>,
    /// `none` or `some`, when it was looked at.
    pub bearing_play: Option<&'static str>,
    /// What was not looked at.
    pub not_checked: Vec<String>,
    /// Anything else.
    pub note: Option<String>,
    /// Its laps, in the order in which they were begun.
    pub laps: Vec<LapInShortView>,
    /// Weighings.
    pub weighings: Vec<WeighingNoteView>,
    /// What was seen.
    pub looks: Vec<LookView>,
    /// Photos.
    pub photos: Vec<PhotoView>,
    /// Limits noted for this visit.
    pub limits: Vec<LimitNoteView>,
    /// Claims to be judged in it.
    pub claims: Vec<ClaimNoteView>,
    /// Plans of truing, in the order in which they were made.
    pub plans: Vec<PlanNoteView>,
    /// Turns that were made.
    pub turns: Vec<TurnNoteView>,
    /// Those of them that were made without a plan and stand.
    pub turned_without_plan: Vec<TurnNoteView>,
    /// Advice.
    pub advice: Vec<AdviceView>,
    /// Reports that were issued.
    pub reports: Vec<ReportView>,
}

/// A lap as its visit shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LapInShortView {
    /// Who and when.
    pub entry: EntryView,
    /// `reading`, `lateral`, `radial` or `pitch`.
    pub takes: &'static str,
    /// `bare` or `tyred`.
    pub state: &'static str,
    /// The rim's face, when a dial touched one.
    pub face: Option<&'static str>,
    /// The gauge's id, when one took it.
    pub gauge: Option<String>,
    /// First spoke taken.
    pub start: i64,
    /// `up` or `down`.
    pub counted: &'static str,
    /// The tyre, in words.
    pub tyre: Option<String>,
    /// Its pressure as it was typed.
    pub pressure: Option<String>,
    /// Temperature of the wheel in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// Anything else.
    pub note: Option<String>,
    /// What was read and passed over, in the order of the lap.
    pub readings: Vec<ReadingView>,
}

/// A reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadingView {
    /// Who and when.
    pub entry: EntryView,
    /// Its place in the lap, from 1.
    pub number: usize,
    /// The spoke, from 1, when it was taken at one.
    pub spoke: Option<usize>,
    /// The angle from the valve hole in degrees, when it was taken at one.
    pub angle_deg: Option<f64>,
    /// `taken` or `skipped`.
    pub outcome: &'static str,
    /// What was typed.
    pub raw: String,
    /// The number in it.
    pub value: Option<f64>,
}

/// A lap place by place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LapView {
    /// Who and when.
    pub entry: EntryView,
    /// The visit's id.
    pub visit: String,
    /// The wheel's id.
    pub wheel: String,
    /// The wheel's label.
    pub wheel_label: String,
    /// The wheel's name.
    pub wheel_name: String,
    /// `reading`, `lateral`, `radial` or `pitch`.
    pub takes: &'static str,
    /// `bare` or `tyred`.
    pub state: &'static str,
    /// The rim's face, when a dial touches one.
    pub face: Option<&'static str>,
    /// The gauge's label, when one takes it.
    pub gauge: Option<String>,
    /// First spoke taken.
    pub start: usize,
    /// `up` or `down`.
    pub counted: &'static str,
    /// The tyre, in words.
    pub tyre: Option<String>,
    /// Its pressure as it was typed.
    pub pressure: Option<String>,
    /// Temperature of the wheel in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// Anything else.
    pub note: Option<String>,
    /// Its places in the order in which they are taken: once round the wheel.
    pub places: Vec<LapPlaceView>,
    /// Whether nipples were turned in its visit after the last that was read into it.
    pub is_turned_since: bool,
    /// Readings taken at angles of the rim instead of spokes.
    pub at_angles: Vec<ReadingView>,
    /// The first place where nothing stands; none when the lap is whole.
    pub due: Option<usize>,
}

/// A place of a lap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LapPlaceView {
    /// Its place in the lap, from 1.
    pub number: usize,
    /// The spoke there.
    pub spoke: usize,
    /// The spoke's side.
    pub side: &'static str,
    /// The spoke's kind.
    pub kind: String,
    /// The angle of its seat from the valve hole.
    pub seat_angle_deg: f64,
    /// What stands there: a reading, or that it was passed over.
    pub reading: Option<ReadingView>,
}

/// A weighing as it was noted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeighingNoteView {
    /// Who and when.
    pub entry: EntryView,
    /// What was on the wheel.
    pub dress: Vec<String>,
    /// What was typed.
    pub raw: String,
    /// The mass.
    pub mass_g: f64,
    /// Smallest step of the scale.
    pub step_g: Option<f64>,
}

/// What was seen.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LookView {
    /// Who and when.
    pub entry: EntryView,
    /// The spoke or its hole, when it is about one.
    pub spoke: Option<i64>,
    /// The finding.
    pub finding: String,
    /// The hash of its photo.
    pub photo: Option<String>,
}

/// A photo.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PhotoView {
    /// Who and when.
    pub entry: EntryView,
    /// The hash its bytes are kept by.
    pub hash: String,
    /// What kind of picture it is.
    pub media_type: String,
    /// Its size.
    pub bytes: i64,
    /// What it shows.
    pub caption: Option<String>,
}

/// A turn as it was made.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TurnNoteView {
    /// Who and when.
    pub entry: EntryView,
    /// The spoke.
    pub spoke: i64,
    /// Turns; tightening is positive.
    pub turns: f64,
    /// `done` or `undone`.
    pub state: &'static str,
}

/// Advice, and what was said to it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AdviceView {
    /// Who and when.
    pub entry: EntryView,
    /// What is advised.
    pub text: String,
    /// `open`, `taken` or `refused`.
    pub answer: &'static str,
    /// The answer in the customer's words.
    pub reply: Option<String>,
}

/// Somebody who works here.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MechanicView {
    /// Who and when.
    pub entry: EntryView,
    /// The name.
    pub name: String,
    /// What is written on a row.
    pub initials: String,
}

/// A report that was issued.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportView {
    /// Who and when.
    pub entry: EntryView,
    /// Its title.
    pub title: String,
    /// The hash its page is kept by.
    pub hash: String,
}
