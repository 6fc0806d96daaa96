//! What a store can say instead of doing what it was asked.

use sqlx::error::ErrorKind;

/// Why a store did not do it. What was acknowledged before is safe in each case.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Trouble {
    /// There is no room left.
    #[error(
        "the disk is full; nothing of this was recorded, and all that was before is safe\n  \
         Make room where the ledger lies, then enter it again. ({said})"
    )]
    Full {
        /// What the database says.
        said: String,
    },
    /// It may not be written.
    #[error(
        "the ledger cannot be written; nothing of this was recorded\n  \
         Is its folder read-only, its disk full or failing? ({said})"
    )]
    Unwritable {
        /// What the database says.
        said: String,
    },
    /// What lies there is not what was written.
    #[error(
        "the ledger is damaged: {said}\n  \
         Stop writing, copy the data folder as it is, then restore the last good backup."
    )]
    Damaged {
        /// What is wrong.
        said: String,
    },
    /// Another program holds it for longer than one waits.
    #[error("another program holds the ledger: {said}\n  End that program, then try again.")]
    Busy {
        /// What the database says.
        said: String,
    },
    /// More is asked of it at once than it answers.
    #[error(
        "more is asked of the ledger at once than it can answer; nothing of this was recorded\n  \
         Try again in a moment. ({said})"
    )]
    Crowded {
        /// What is known of it.
        said: String,
    },
    /// The server cannot be reached.
    #[error(
        "the ledger's server cannot be reached; what was not acknowledged may have to be entered again\n  \
         Is it running, and the network up? ({said})"
    )]
    Unreachable {
        /// What the connection says.
        said: String,
    },
    /// A value is where another is already, that must be the only one.
    #[error("somebody else was quicker: {said}")]
    Twice {
        /// What the database says.
        said: String,
    },
    /// It was opened for reading.
    #[error("the ledger was opened for reading; nothing of this was recorded")]
    ReadOnly,
    /// The ledger was closed while this was under way.
    #[error("the ledger is closed; nothing of this was recorded")]
    Closed,
    /// A statement was refused: a fault of this program.
    #[error("the ledger refused a statement, which is a fault of this program: {said}")]
    Refused {
        /// What the database says.
        said: String,
    },
}

impl From<sqlx::Error> for Trouble {
    fn from(error: sqlx::Error) -> Self {
        let said = error.to_string();
        match error {
            sqlx::Error::Database(database) => {
                let code = database.code().unwrap_or_default().into_owned();
                match database.kind() {
                    ErrorKind::UniqueViolation => Self::Twice { said },
                    _ if code.len() == 5 => of_sqlstate(&code, said),
                    _ => of_sqlite(&code, said),
                }
            }
            sqlx::Error::Io(_) | sqlx::Error::Tls(_) | sqlx::Error::Protocol(_) => {
                Self::Unreachable { said }
            }
            sqlx::Error::PoolTimedOut => Self::Crowded { said },
            sqlx::Error::PoolClosed | sqlx::Error::WorkerCrashed => Self::Closed,
            sqlx::Error::ColumnDecode { .. } | sqlx::Error::Decode(_) => Self::Damaged { said },
            _ => Self::Refused { said },
        }
    }
}

/// By SQLite's result codes: the last eight bits are the primary one (sqlite.org, "Result and Error Codes").
fn of_sqlite(code: &str, said: String) -> Trouble {
    match code.parse::<u32>().map(|code| code & 0xff) {
        Ok(13) => Trouble::Full { said },
        Ok(8 | 10 | 14) => Trouble::Unwritable { said }, // READONLY, IOERR, CANTOPEN
        Ok(11 | 26) => Trouble::Damaged { said },        // CORRUPT, NOTADB
        Ok(5 | 6) => Trouble::Busy { said },             // BUSY, LOCKED
        _ => Trouble::Refused { said },
    }
}

/// By the classes of SQLSTATE (PostgreSQL's manual, appendix A).
fn of_sqlstate(code: &str, said: String) -> Trouble {
    match (&code[..2], code) {
        (_, "53100") => Trouble::Full { said },
        (_, "25006") => Trouble::Unwritable { said },
        ("08" | "57" | "28" | "3D", _) => Trouble::Unreachable { said }, // connection, shutdown, login, no such database
        ("XX", _) => Trouble::Damaged { said },
        ("55" | "40" | "53", _) => Trouble::Busy { said }, // locks, serialisation, resources
        _ => Trouble::Refused { said },
    }
}
