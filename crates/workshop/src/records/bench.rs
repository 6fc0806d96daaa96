//! The bench: gauges, rigs, and calibrations with their points.

use super::compose::{calibration_name, gauge_of};
use super::pen::{time_said, told};
use super::rod_check::{check_view, rod_runs};
use super::seen::{entry_view, missing};
use super::wheel::said;
use super::{Error, Id, Pen, Shop, Written};
use crate::calibrate::{self, Stated};
use crate::view::{self, CalibrationRecordView, GaugeRecordView, RigView};
use files::{Source, points};
use ledger::Kind;
use ledger::entry::{Calibration, Gauge, Loading, Point, Rig};
use ledger::state::{CalibrationRecord, Current, GaugeRecord};
use metrology::visit::RigPoint;
use quantity::Force;

/// A calibration as a person begins it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CalibrationAsked {
    /// The spoke kind on the rig.
    pub spoke_kind: String,
    /// The batch the spoke is of.
    pub batch: Option<String>,
    /// When, RFC 3339 with its offset; now when left empty.
    pub taken: Option<String>,
    /// Who takes it, when that is not who enters it.
    pub operator: Option<String>,
    /// Temperature in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// The rig.
    pub rig: Option<Id>,
    /// Anything else.
    pub note: Option<String>,
}

/// A rig point as a person enters it, each field as it was typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PointAsked {
    /// The reading in divisions.
    pub reading: String,
    /// The force with the gauge off, without its unit.
    pub force: String,
    /// The force's unit: `kgf`, `n`, `lbf`.
    pub unit: String,
    /// `up` or `down`, when noted.
    pub direction: Option<String>,
    /// Standard uncertainty of the reading.
    pub u_reading: Option<String>,
    /// Standard uncertainty of the force, in its unit.
    pub u_force: Option<String>,
}

impl Shop {
    /// Takes a gauge in by the text of its file.
    ///
    /// # Errors
    /// [`Error::Wrong`] when the text describes no gauge, [`Error::Otherwise`] when another has its label.
    pub async fn take_in_gauge(
        &self,
        pen: &Pen,
        file: &str,
        note: Option<String>,
    ) -> Result<Written, Error> {
        let gauge = gauge(file, note)?;
        let others = self.standing(Kind::Gauge).await?.all::<Gauge>();
        let same = |other: &Current<Gauge>| other.body.label == gauge.label;
        if others
            .iter()
            .any(|other| same(other) && pen.id != Some(other.entry))
        {
            return Err(Error::Otherwise {
                what: "gauge",
                name: gauge.label,
                mend: "Correct its entry and say why, or give the new gauge a label of its own.",
            });
        }
        self.enter(pen, gauge).await
    }

    /// Describes a gauge otherwise; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// [`Error::Wrong`] when the text describes no gauge, [`Error::Refused`] when somebody was quicker.
    pub async fn correct_gauge(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        file: &str,
        note: Option<String>,
    ) -> Result<Written, Error> {
        self.correct(pen, seen, why, gauge(file, note)?).await
    }

    /// Enters a rig: its name, its load cell and how that was checked.
    ///
    /// # Errors
    /// [`Error::Unsaid`] without a name.
    pub async fn enter_rig(
        &self,
        pen: &Pen,
        name: &str,
        note: Option<String>,
    ) -> Result<Written, Error> {
        self.enter(pen, rig(name, note)?).await
    }

    /// Enters a rig otherwise; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// As [`Shop::enter_rig`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_rig(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        name: &str,
        note: Option<String>,
    ) -> Result<Written, Error> {
        self.correct(pen, seen, why, rig(name, note)?).await
    }

    /// Begins a calibration of a gauge; its points follow.
    ///
    /// # Errors
    /// [`Error::Unsaid`] without a spoke kind.
    pub async fn begin_calibration(
        &self,
        pen: &Pen,
        gauge: Id,
        asked: CalibrationAsked,
    ) -> Result<Written, Error> {
        let calibration = begun(gauge, asked)?;
        self.enter(pen, calibration).await
    }

    /// Says otherwise what a calibration is; `seen` is the entry that was shown. Its points stay, and where `asked`
    /// leaves them empty the rig and when it was taken.
    ///
    /// # Errors
    /// As [`Shop::begin_calibration`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_calibration(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        asked: CalibrationAsked,
    ) -> Result<Written, Error> {
        let standing = self.current::<Calibration>(seen).await?.body;
        let is_dated = asked.taken.is_some();
        let mut changed = begun(standing.gauge, asked)?;
        if !is_dated {
            (changed.taken, changed.taken_zone) = (standing.taken, standing.taken_zone);
        }
        changed.rig = changed.rig.or(standing.rig);
        self.correct(pen, seen, why, changed).await
    }

    /// Enters a rig point behind those that a calibration has.
    ///
    /// # Errors
    /// [`Error::Wrong`] when no rig shows that.
    pub async fn enter_point(
        &self,
        pen: &Pen,
        calibration: Id,
        asked: &PointAsked,
    ) -> Result<Written, Error> {
        let calibration = self.current::<Calibration>(calibration).await?.thing; // whichever entry of it was named
        let _alone = self.alone.at(calibration).await;
        let things = self.things(calibration).await?;
        let standing: Vec<Current<Point>> = things.about(calibration);
        let again = standing.iter().find(|point| pen.id == Some(point.entry));
        let last = standing.iter().map(|point| point.body.number).max();
        let number = again.map_or(last.unwrap_or(0) + 1, |point| point.body.number);
        self.enter(pen, point(calibration, number, asked)?).await
    }

    /// Enters a rig point anew; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// As [`Shop::enter_point`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_point(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        asked: &PointAsked,
    ) -> Result<Written, Error> {
        let standing: Current<Point> = self.current(seen).await?;
        let of = standing.body;
        self.correct(pen, seen, why, point(of.calibration, of.number, asked)?)
            .await
    }

    /// Every gauge in view with its life.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn gauges(&self) -> Result<Vec<GaugeRecordView>, Error> {
        let mut views = Vec::new();
        for gauge in self.standing(Kind::Gauge).await?.all::<Gauge>() {
            let record = self.gauge_record(gauge.thing).await?;
            if record.in_view {
                views.push(gauge_view(&record));
            }
        }
        Ok(views)
    }

    /// A gauge with its calibrations and checks.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such gauge.
    pub async fn gauge(&self, gauge: Id) -> Result<GaugeRecordView, Error> {
        Ok(gauge_view(&self.gauge_record(gauge).await?))
    }

    /// The curve of a calibration in the ledger, asked at some readings.
    ///
    /// # Errors
    /// [`Error::Calibrate`] where its points give no curve.
    pub async fn calibrate(&self, calibration: Id, at: &[f64]) -> Result<view::Calibration, Error> {
        let of: Current<Calibration> = self.current(calibration).await?;
        let record = self.gauge_record(of.body.gauge).await?;
        let found = record.calibrations.iter();
        let found = found.clone().find(|one| one.calibration.thing == of.thing);
        let found = found.ok_or_else(|| missing("calibration", calibration))?;
        let points: Vec<RigPoint> = found.points.iter().map(super::compose::rig_point).collect();
        let stated = Stated {
            gauge: Some(gauge_of(&record.gauge.body)?),
            bending: None,
            family: None,
            rig: None,
        };
        Ok(calibrate::calibrate(&points, &stated, at)?.1)
    }

    /// The rigs that are in view.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn rigs(&self) -> Result<Vec<RigView>, Error> {
        let rigs = self.in_view::<Rig>().await?;
        let shown = |rig: &Current<Rig>| RigView {
            entry: entry_view(rig),
            name: rig.body.name.clone(),
            note: rig.body.note.clone(),
        };
        Ok(rigs.iter().map(shown).collect())
    }
}

/// A rig as it was asked for.
fn rig(name: &str, note: Option<String>) -> Result<Rig, Error> {
    if name.trim().is_empty() {
        return Err(Error::Unsaid {
            what: "the rig's name",
            mend: "Any name by which the shop knows it.",
        });
    }
    Ok(Rig {
        name: name.trim().into(),
        note: said(note),
    })
}

/// A calibration as it was asked for.
pub(super) fn begun(gauge: Id, asked: CalibrationAsked) -> Result<Calibration, Error> {
    if asked.spoke_kind.trim().is_empty() {
        return Err(Error::Unsaid {
            what: "the spoke kind on the rig",
            mend: "Name it as the wheel files do: a curve holds for one kind only.",
        });
    }
    let (taken, taken_zone) = time_said(asked.taken)?;
    Ok(Calibration {
        gauge,
        spoke_kind: asked.spoke_kind.trim().into(),
        batch: said(asked.batch),
        taken,
        taken_zone,
        operator: said(asked.operator),
        temperature_c: asked.temperature_c,
        rig: asked.rig,
        note: said(asked.note),
    })
}

/// The gauge that a file describes, as an entry.
pub(super) fn gauge(file: &str, note: Option<String>) -> Result<Gauge, Error> {
    let mut gauge = Gauge {
        label: "as handed in".into(),
        file: file.into(),
        note: said(note),
    };
    gauge.label = gauge_of(&gauge)?.label;
    Ok(gauge)
}

/// A point as typed, read by the reader of points.
fn point(calibration: Id, number: i64, asked: &PointAsked) -> Result<Point, Error> {
    let optional = |text: &Option<String>| text.clone().unwrap_or_default();
    let unit = asked.unit.trim().to_lowercase();
    let header = format!("reading;force_{unit};direction;u_reading;u_force");
    let row = [
        asked.reading.clone(),
        asked.force.clone(),
        optional(&asked.direction),
        optional(&asked.u_reading),
        optional(&asked.u_force),
    ];
    let cells: Vec<String> = row
        .iter()
        .map(|cell| cell.replace([';', '"', '\n'], " "))
        .collect();
    let text = format!("{header}\n{}\n", cells.join(";"));
    let read = points::read(&Source::from_bytes("the point", text.as_bytes())?)?;
    let only = read.into_iter().next().ok_or(Error::Unsaid {
        what: "the point",
        mend: "Write a reading and a force.",
    })?;
    let raw_force = format!("{} {unit}", asked.force.trim());
    Ok(entered(
        calibration,
        number,
        &only,
        asked.reading.trim().into(),
        raw_force,
    ))
}

/// A point as an entry.
pub(super) fn entered(
    calibration: Id,
    number: i64,
    point: &RigPoint,
    raw_reading: String,
    raw_force: String,
) -> Point {
    Point {
        calibration,
        number,
        raw_reading,
        reading: point.reading,
        raw_force,
        force_n: point.force.to_n(),
        direction: point.loading.map(|loading| match loading {
            metrology::visit::Loading::Up => Loading::Up,
            metrology::visit::Loading::Down => Loading::Down,
        }),
        u_reading: point.u_reading,
        u_force_n: point.u_force.map(Force::to_n),
    }
}

fn gauge_view(record: &GaugeRecord) -> GaugeRecordView {
    GaugeRecordView {
        entry: entry_view(&record.gauge),
        label: record.gauge.body.label.clone(),
        file: record.gauge.body.file.clone(),
        note: record.gauge.body.note.clone(),
        calibrations: record
            .calibrations
            .iter()
            .map(|one| calibration_view(&record.gauge.body.label, one))
            .collect(),
        rod_checks: record.rod_checks.iter().map(check_view).collect(),
        rod_runs: rod_runs(record),
    }
}

fn calibration_view(label: &str, record: &CalibrationRecord) -> CalibrationRecordView {
    let of = &record.calibration.body;
    CalibrationRecordView {
        entry: entry_view(&record.calibration),
        name: calibration_name(label, record),
        spoke_kind: of.spoke_kind.clone(),
        batch: of.batch.clone(),
        taken: told(of.taken, &of.taken_zone),
        operator: of.operator.clone(),
        temperature_c: of.temperature_c,
        rig: of.rig.map(|rig| rig.to_string()),
        note: of.note.clone(),
        points: record
            .points
            .iter()
            .map(|point| view::PointView {
                entry: entry_view(point),
                number: point.body.number,
                raw_reading: point.body.raw_reading.clone(),
                raw_force: point.body.raw_force.clone(),
                reading: point.body.reading,
                force_n: point.body.force_n,
                direction: point.body.direction.map(Loading::word),
            })
            .collect(),
    }
}
