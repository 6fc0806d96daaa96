//! A visit: all that was taken of one wheel at one time, as TOML with the files it names.

mod bench;
mod calibration;
mod desk;
mod judged;
mod lap;
mod order;
mod write;

pub use write::{Written, write};

use crate::error::Error;
use crate::source::Source;
use crate::toml_reader::{self, Read, Table, Value};
use crate::wheel_file;
use desk::Desk;
use jiff::Timestamp;
use metrology::visit::Visit;
use metrology::{Finding, Weight};
use std::collections::BTreeMap;
use wheel::{KindIndex, Wheel};

/// The newest format of visit files.
pub const FORMAT: u32 = 1;

/// The files that a visit names: wheel, gauges, rig points, laps.
///
/// Whoever implements it knows where they lie; here they are only names.
pub trait Attachments {
    /// The bytes of the file called `name` in the visit.
    ///
    /// # Errors
    /// Why there are none, in words that can follow "cannot be read:".
    fn text(&mut self, name: &str) -> Result<Vec<u8>, String>;
}

/// Files held in memory, by their names.
impl Attachments for BTreeMap<String, Vec<u8>> {
    fn text(&mut self, name: &str) -> Result<Vec<u8>, String> {
        self.get(name)
            .cloned()
            .ok_or_else(|| "there is no such file".into())
    }
}

/// The visit in `source` with the files it names, and what the mechanic must know about it.
///
/// `now` is the instant after which nothing can have been taken or noted.
///
/// # Errors
/// When the visit or one of its files is wrong: the error names the file it stands in. A file that is
/// wrong in itself comes first.
pub fn read(
    source: &Source,
    now: Timestamp,
    attachments: &mut impl Attachments,
) -> Result<(Visit, Vec<Finding>), Error> {
    let mut desk = Desk {
        now,
        attachments,
        gauges: Vec::new(),
        findings: Vec::new(),
        refused: None,
    };
    let visit = toml_reader::read(source, FORMAT, |root| visit(root, &mut desk));
    match (desk.refused, visit) {
        (Some(refused), _) | (None, Err(refused)) => Err(refused),
        (None, Ok(visit)) => Ok((visit, desk.findings)),
    }
}

/// The visit of the file's outermost table.
fn visit<A: Attachments>(root: &Table<'_>, desk: &mut Desk<'_, A>) -> Read<Visit> {
    let taken = root
        .required("taken")
        .and_then(|value| desk.instant(&value));
    let by = root.text("by");
    let asked = root.optional_text("asked");
    let bearing_play = root.optional_choice("bearing_play", &[("none", false), ("some", true)]);
    let not_checked = root
        .optional("not_checked")
        .map(|value| texts(&value))
        .transpose();
    let settings = bench::settings(root);
    let weighings = bench::weighings(root);
    let advice = bench::advice(root);
    let claims = judged::claims(root, &mut desk.findings);
    let wheel = root.required("wheel");
    for key in ["limit", "calibration", "lap"] {
        let _: Option<Value<'_>> = root.optional(key);
    }
    root.close();
    // Limits, calibrations and laps mean nothing without their wheel.
    let (file, (wheel, of_wheel)) = desk.attached(&wheel?, wheel_file::read)?;
    desk.findings
        .extend(of_wheel.iter().map(|finding| about_wheel(&file, finding)));
    let limits = judged::limits(root, &wheel, desk);
    let calibrations = calibration::calibrations(root, &wheel, desk);
    let laps = lap::laps(root, &wheel, desk);
    let (limits, pressure_limits) = limits?;
    let (calibrations, laps) = (calibrations?, laps?);
    desk.findings
        .extend(calibration::uncalibrated(&laps, &calibrations, &wheel));
    Ok(Visit {
        wheel,
        taken: taken?,
        by: by?,
        asked: asked?,
        bearing_play: bearing_play?,
        gauges: desk.gauges.iter().map(|(_, gauge)| gauge.clone()).collect(),
        calibrations,
        laps,
        weighings: weighings?,
        limits,
        pressure_limits,
        claims: claims?,
        advice: advice?,
        not_checked: not_checked?.unwrap_or_default(),
        settings: settings?,
    })
}

/// What the wheel's file leaves the builder to know, as a finding of the visit.
fn about_wheel(file: &str, finding: &wheel_file::Finding) -> Finding {
    use wheel::Finding as Of;
    use wheel_file::Finding as In;
    let (weight, about, spokes) = match finding {
        In::Wheel(Of::PastTangent { spokes }) => {
            (Weight::Question, "past-the-tangent", spokes.clone())
        }
        In::Wheel(Of::TensionsMissing { spokes }) => {
            (Weight::Note, "tensions-missing", spokes.clone())
        }
        In::Wheel(Of::SeatsFarFromCentroid { .. }) => {
            (Weight::Question, "seats-far-from-centroid", Vec::new())
        }
        In::Wheel(Of::KindUnused { .. }) => (Weight::Note, "kind-unused", Vec::new()),
        In::DishHalved { .. } => (Weight::Note, "dish-halved", Vec::new()),
        In::FlangeOffsetAssumed { .. } => (Weight::Note, "flange-offset-assumed", Vec::new()),
    };
    Finding {
        weight,
        about,
        says: format!("{file}: {finding}"),
        spokes,
    }
}

/// What `each` makes of every `[[key]]`, told of all troubles before it gives up.
fn all<'d, T>(
    root: &Table<'d>,
    key: &str,
    each: impl FnMut(&Table<'d>) -> Read<T>,
) -> Read<Vec<T>> {
    let read: Vec<Read<T>> = root.tables(key)?.iter().map(each).collect();
    read.into_iter().collect()
}

/// The spoke kind a value names.
fn kind(value: &Value<'_>, wheel: &Wheel) -> Read<KindIndex> {
    let kinds: Vec<_> = wheel
        .kinds
        .iter()
        .enumerate()
        .map(|(place, kind)| (kind.name.as_str(), KindIndex(place)))
        .collect();
    value.choice(&kinds)
}

/// The texts of an array.
fn texts(value: &Value<'_>) -> Read<Vec<String>> {
    let texts: Vec<_> = value.items()?.iter().map(Value::text).collect();
    texts.into_iter().collect()
}
