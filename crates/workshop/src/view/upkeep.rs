//! What the verbs on the records say.

use super::ShelfWheelView;
use serde::Serialize;

/// What was taken into the ledger.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ImportView {
    /// `rimwright.import/1`.
    pub schema: &'static str,
    /// Each file in the order in which it was named.
    pub files: Vec<ImportedFileView>,
}

/// What became of one file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ImportedFileView {
    /// As it was named.
    pub file: String,
    /// `wheel`, `gauge`, `points`, `visit` or `export`.
    pub kind: &'static str,
    /// Entries that were written.
    pub written: u64,
    /// Entries that were there already.
    pub known: u64,
    /// What is written on the wheel, where there is one.
    pub wheel: Option<String>,
    /// The id of what was taken in, where it is one thing.
    pub id: Option<String>,
    /// Entries that the ledger contradicts: they were left out, or all of the file was refused for them.
    pub conflicts: Vec<ConflictView>,
    /// What must be known about it.
    pub findings: Vec<String>,
}

/// An entry that the ledger contradicts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ConflictView {
    /// Its line in the export.
    pub line: usize,
    /// Its id.
    pub id: String,
    /// What it tells of.
    pub kind: &'static str,
    /// What stands against it.
    pub says: String,
}

/// What was exported.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ExportView {
    /// `rimwright.export/1`.
    pub schema: &'static str,
    /// Where it went; null when it was printed.
    pub file: Option<String>,
    /// `entries` or `readings`.
    pub what: &'static str,
    /// Entries, or rows.
    pub count: u64,
    /// Photos and reports by their bytes.
    pub kept: u64,
    /// Hashes of photos and reports whose bytes are not there.
    pub missing: Vec<String>,
}

/// A backup that was made and looked through.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BackupView {
    /// `rimwright.backup/1`.
    pub schema: &'static str,
    /// Where it lies.
    pub place: String,
    /// Entries in it.
    pub entries: i64,
    /// Photos and reports in it.
    pub kept: usize,
    /// When the newest entry was made.
    pub newest: Option<String>,
    /// What must be known about it.
    pub findings: Vec<String>,
}

/// Records that came back from a backup.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RestoreView {
    /// `rimwright.restore/1`.
    pub schema: &'static str,
    /// The data folder, or the database and its server.
    pub place: String,
    /// Entries that are there now.
    pub entries: i64,
    /// Photos and reports that are there now.
    pub kept: usize,
    /// When the newest entry was made.
    pub newest: Option<String>,
    /// Where the records that were there before are kept.
    pub replaced: Option<String>,
}

/// Parts that are called back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TraceView {
    /// `rimwright.trace/1`.
    pub schema: &'static str,
    /// The maker.
    pub maker: String,
    /// `lot` or `serial`; null when all of the maker's parts were asked for.
    pub by: Option<&'static str>,
    /// The first lot or serial.
    pub first: Option<String>,
    /// The last one.
    pub last: Option<String>,
    /// The parts: those in the range first, then those of which it is not known.
    pub found: Vec<TracedView>,
}

/// A part that was traced.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TracedView {
    /// `in range`, or `unknown`: to be taken for affected until somebody looks.
    pub certainty: &'static str,
    /// Rim, hub, spoke …
    pub what: String,
    /// Its model.
    pub model: Option<String>,
    /// Its lot.
    pub lot: Option<String>,
    /// Its serial.
    pub serial: Option<String>,
    /// What was noted with it.
    pub note: Option<String>,
    /// The wheel it is on, and whose that is.
    pub wheel: ShelfWheelView,
    /// What was done with the wheel, visit by visit.
    pub done: Vec<TracedVisitView>,
}

/// What was done in a visit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TracedVisitView {
    /// Its id.
    pub id: String,
    /// When it took place, RFC 3339.
    pub taken: String,
    /// By whom.
    pub by: String,
    /// What was asked of the shop.
    pub asked: Option<String>,
    /// What was seen.
    pub looks: Vec<String>,
    /// How many turns of nipples were made.
    pub turns: usize,
    /// Advice with its answer.
    pub advice: Vec<String>,
    /// Titles of reports that were issued.
    pub reports: Vec<String>,
}

/// Whether all is well with the records.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DoctorView {
    /// `rimwright.doctor/1`.
    pub schema: &'static str,
    /// Where they lie.
    pub place: String,
    /// Entries.
    pub entries: i64,
    /// Photos and reports.
    pub kept: usize,
    /// When the newest entry was made.
    pub newest: Option<String>,
    /// Whether nothing was found wrong.
    pub is_well: bool,
    /// What was looked at.
    pub checks: Vec<CheckView>,
}

/// One thing that was looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckView {
    /// `integrity`, `clock`, `room`, `backup` or `gauge`.
    pub about: &'static str,
    /// `well`, `look` or `wrong`; `unknown` where it cannot be told from here.
    pub verdict: &'static str,
    /// What was found and what to do.
    pub says: String,
}
