//! Files into the ledger: a wheel, a gauge, rig points, or a whole visit with all it names.
//!
//! What one file gives is put in together or not at all. Nothing that is in the ledger is taken for the same
//! thing unless it says the same.

mod batch;
mod visit;

use super::bench::begun;
use super::pen::findings;
use super::{CalibrationAsked, Error, Id, Pen, Shop, WheelAsked, Written};
use crate::take_in;
use batch::Batch;
use files::gauge_file;
use ledger::entry::Gauge;
use std::path::Path;

/// Which wheel a visit is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhichWheel {
    /// A new one, unless the ledger has one that reads like it: then that is asked.
    Unsaid,
    /// A new one.
    New,
    /// This one.
    This(Id),
}

/// What came into the ledger with a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitIn {
    /// The wheel.
    pub wheel: Id,
    /// The visit.
    pub visit: Id,
    /// Entries that were written.
    pub written: usize,
    /// What must be known about it, in words.
    pub findings: Vec<String>,
}

impl Shop {
    /// Takes in the wheel of a file.
    ///
    /// # Errors
    /// [`Error::TakeIn`] when the file cannot be read, [`Error::Wrong`] when it describes no wheel.
    pub async fn import_wheel(
        &self,
        pen: &Pen,
        path: &Path,
        asked: WheelAsked,
    ) -> Result<(super::Label, Written), Error> {
        let source = take_in::source(path)?;
        files::wheel_file::read(&source)?;
        let file = source.text().into();
        self.take_in_wheel(pen, WheelAsked { file, ..asked }).await
    }

    /// Takes in the gauge of a file. With a reason it takes the place of the one with the same label.
    ///
    /// # Errors
    /// As [`Shop::take_in_gauge`].
    pub async fn import_gauge(
        &self,
        pen: &Pen,
        path: &Path,
        why: Option<&str>,
    ) -> Result<Written, Error> {
        let source = take_in::source(path)?;
        let label = gauge_file::read(&source)?.label;
        match (why, self.gauge_called(&label).await) {
            (Some(why), Ok(known)) => {
                let standing: ledger::state::Current<Gauge> = self.current(known).await?;
                self.correct_gauge(pen, standing.entry, why, source.text(), standing.body.note)
                    .await
            }
            _ => self.take_in_gauge(pen, source.text(), None).await,
        }
    }

    /// Takes in rig points of a gauge as a calibration.
    ///
    /// # Errors
    /// [`Error::TakeIn`] when the file cannot be read or is wrong.
    pub async fn import_points(
        &self,
        pen: &Pen,
        path: &Path,
        gauge: Id,
        asked: CalibrationAsked,
    ) -> Result<Written, Error> {
        let points = take_in::rig_points(path)?;
        let calibration = begun(gauge, asked)?;
        let mut batch = Batch::new(self, pen.stamp());
        let id = batch.add_calibration(calibration, &points);
        let receipt = self.ledger.append(batch.entries).await?;
        Ok(Written {
            id,
            findings: findings(&receipt, &pen.stamp().zone),
        })
    }

    /// Takes in the visit of a file with all that it names.
    ///
    /// # Errors
    /// [`Error::TakeIn`] when a file is wrong; [`Error::WhichWheel`], [`Error::Otherwise`] when the ledger has
    /// what may be the same or is not; [`Error::VisitThere`] when it was taken in before.
    pub async fn import_visit(
        &self,
        pen: &Pen,
        path: &Path,
        which: WhichWheel,
    ) -> Result<VisitIn, Error> {
        self.put_visit(pen, take_in::visit_with_files(path)?, which)
            .await
    }
}
