//! Why a place gives no ledger.

use super::trouble::Trouble;

/// Why a place gives no ledger. Nothing was changed there.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unopened {
    /// The folder cannot be made or written.
    #[error(
        "the data folder {folder} cannot be written: {why}\n  \
         Choose another with `--data`, or change who may write there. Nothing was changed."
    )]
    Folder {
        /// The folder.
        folder: String,
        /// What the system says.
        why: String,
    },
    /// Another process writes to it.
    #[error(
        "another program has the ledger in {folder} open for writing\n  \
         Use that one, or end it first. Reading beside it is no trouble."
    )]
    InUse {
        /// The folder.
        folder: String,
    },
    /// There is none.
    #[error(
        "there is no ledger in {place}\n  \
         Is that where it is meant to be? `--data` and `--ledger` name another place. A ledger is made when something is \
         first entered."
    )]
    Missing {
        /// Folder or server.
        place: String,
    },
    /// The file may not be read.
    #[error(
        "{file} cannot be read: {why}\n  \
         Change who may read it, or name another place with `--data`. Nothing was changed."
    )]
    Illegible {
        /// The database.
        file: String,
        /// What the system says.
        why: String,
    },
    /// The file is there and holds no ledger.
    #[error(
        "{file} holds no ledger: it is empty, or another program's\n  \
         If it held one, keep it as it is and `rimwright restore` the last backup. Nothing was changed."
    )]
    NoLedger {
        /// The database.
        file: String,
    },
    /// It was not closed down to one file, or is made to be written, and nothing may be written in its folder.
    #[error(
        "the ledger in {folder} cannot be read where nothing may be written beside it\n  \
         Copy the folder to where you may write and name that with `--data`, or read a backup: it needs nothing beside it."
    )]
    OnlyToRead {
        /// The folder.
        folder: String,
    },
    /// It was written by a newer program.
    #[error(
        "the ledger in {place} has form {found}, and this program knows none above {known}\n  \
         Use the newer program that wrote it. Nothing was changed."
    )]
    Newer {
        /// Folder or server.
        place: String,
        /// The form it has.
        found: i64,
        /// The newest that is known here.
        known: i64,
    },
    /// It was written by an older program, and is only to be read.
    #[error(
        "the ledger in {place} has form {found}; it is brought to form {known} when it is opened for writing\n  \
         Start the stand once, or enter something, then try again."
    )]
    Older {
        /// Folder or server.
        place: String,
        /// The form it has.
        found: i64,
        /// The form that is wanted.
        known: i64,
    },
    /// It has another form than this program gives it.
    #[error(
        "the ledger in {place} has form {form} otherwise than this program knows it\n  \
         Use the program that wrote it. Nothing was changed."
    )]
    Foreign {
        /// Folder or server.
        place: String,
        /// The form that differs.
        form: i64,
    },
    /// A setting on which safety rests did not take.
    #[error(
        "the ledger in {place} does not keep what it acknowledges: `{setting}` is {found}, not {wanted}"
    )]
    Unsafe {
        /// Folder or server.
        place: String,
        /// The setting.
        setting: &'static str,
        /// What it is.
        found: String,
        /// What it must be.
        wanted: &'static str,
    },
    /// The address of the server cannot be read as one.
    #[error(
        "the address of the ledger's server cannot be read: {why}\n  It begins with `postgres://`."
    )]
    Address {
        /// What is wrong with it.
        why: String,
    },
    /// The store said no.
    #[error("the ledger in {place}: {trouble}")]
    Store {
        /// Folder or server.
        place: String,
        /// Why.
        trouble: Trouble,
    },
}

impl Unopened {
    pub(crate) fn of(place: &str, error: sqlx::Error) -> Self {
        Self::Store {
            place: place.into(),
            trouble: error.into(),
        }
    }
}
