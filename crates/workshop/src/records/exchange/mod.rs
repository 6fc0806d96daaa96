//! The whole ledger as lines of JSON, out of one ledger and into another.
//!
//! The format is `rimwright.ledger/1`; the guide's page on the ledger describes it. What is exported and
//! imported is exported again to the same bytes.

mod line;
mod read;
mod write;

use crate::records;

pub use read::{Conflict, Conflicts, Handed, Imported};
pub use write::Exported;

/// What the first line names: the format and its version.
const SCHEMA: &str = "rimwright.ledger/1";
/// Entries that are read or put in at once.
const PAGE: usize = 500;

/// Why lines give no ledger.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// A line is wrong.
    #[error("{file}:{line}:{column}: {what}\n  {mend}")]
    Line {
        /// As the file was named.
        file: String,
        /// The line, from 1.
        line: usize,
        /// The character in it, from 1.
        column: usize,
        /// What is wrong.
        what: String,
        /// What can be done.
        mend: String,
    },
    /// The export cannot be written.
    #[error(
        "the export cannot be written; what there is of it is broken off, and import refuses it"
    )]
    Unwritten(#[source] std::io::Error),
    /// The file cannot be read.
    #[error("{file}: {why}")]
    File {
        /// As it was named.
        file: String,
        /// What the system says.
        why: String,
    },
    /// The file says something else than when it was looked through.
    #[error("{file} was changed while it was imported")]
    Changed {
        /// As it was named.
        file: String,
    },
    /// The ledger could take no more, or the file could not be read to its end.
    #[error(
        "{why}\n  {written} entries of the export went in before that and stay. Import it again then: \
         what is there is passed over."
    )]
    BrokenOff {
        /// Entries that were written.
        written: u64,
        /// Why it broke off.
        why: Box<records::Error>,
    },
    /// What is in the ledger already says otherwise; nothing was written.
    #[error("{}", told(conflicts))]
    Conflicts {
        /// Each of them.
        conflicts: Vec<Conflict>,
    },
}

fn told(conflicts: &[Conflict]) -> String {
    let mut text: Vec<String> = conflicts
        .iter()
        .map(|one| format!("line {}, {} {}: {}", one.line, one.kind, one.id, one.says))
        .collect();
    text.push(
        "The ledger says otherwise already. Nothing was written; `--leave-conflicts` takes all the rest in."
            .into(),
    );
    text.join("\n")
}
