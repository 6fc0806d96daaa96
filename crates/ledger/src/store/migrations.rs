//! The steps from one form of the database to the next, numbered alike for both stores.

use super::unopened::Unopened;
use sqlx::SqlSafeStr;
use sqlx::migrate::{MigrateError, Migration, MigrationType, Migrator};

/// Number, name, and the texts for SQLite and PostgreSQL.
type Step = (i64, &'static str, &'static str, &'static str);

/// Every step there is. One that was released is never changed: another follows it.
const STEPS: [Step; 1] = [(
    1,
    "entries",
    include_str!("../../migrations/sqlite/0001_entries.sql"),
    include_str!("../../migrations/postgres/0001_entries.sql"),
)];

/// The form of the database: the last step that was made.
pub(super) const FORM: &str = "SELECT max(version) FROM _sqlx_migrations WHERE success";

/// What the databases answer to a question about a table that is not there: no step was ever made.
///
/// Sources: PostgreSQL's manual, appendix A, `undefined_table`; sqlite.org, "Result and Error Codes", `SQLITE_ERROR`,
/// which [`FORM`] can meet for no other reason.
const NO_TABLE: [&str; 2] = ["42P01", "1"];

pub(super) fn of_sqlite() -> Migrator {
    migrator(|(_, _, sqlite, _)| sqlite)
}

pub(super) fn of_postgres() -> Migrator {
    migrator(|(_, _, _, postgres)| postgres)
}

fn migrator(text: impl Fn(Step) -> &'static str) -> Migrator {
    let migration = |step: Step| {
        let sql = text(step).into_sql_str();
        Migration::new(step.0, step.1.into(), MigrationType::Simple, sql, false)
    };
    Migrator::with_migrations(STEPS.map(migration).into())
}

/// Whether this program knows the form that a database was found to have; `none` says that it has none.
pub(super) fn known(
    place: &str,
    form: Result<Option<i64>, sqlx::Error>,
    none: Unopened,
) -> Result<(), Unopened> {
    let place = place.to_string();
    let found = match form {
        Ok(form) => form.unwrap_or(0),
        Err(sqlx::Error::Database(error))
            if error.code().is_some_and(|code| NO_TABLE.contains(&&*code)) =>
        {
            return Err(none);
        }
        Err(error) => return Err(Unopened::of(&place, error)),
    };
    match (found, newest()) {
        (found, known) if found == known => Ok(()),
        (found, known) if found > known => Err(Unopened::Newer {
            place,
            found,
            known,
        }),
        (found, known) => Err(Unopened::Older {
            place,
            found,
            known,
        }),
    }
}

/// Why the steps were not made.
pub(super) fn failed(place: &str, error: MigrateError) -> Unopened {
    let place = place.to_string();
    match error {
        MigrateError::VersionMissing(found) => Unopened::Newer {
            place,
            found,
            known: newest(),
        },
        MigrateError::VersionMismatch(form) | MigrateError::Dirty(form) => {
            Unopened::Foreign { place, form }
        }
        MigrateError::Execute(error) | MigrateError::ExecuteMigration(error, _) => {
            Unopened::of(&place, error)
        }
        other => Unopened::Store {
            place,
            trouble: super::Trouble::Refused {
                said: other.to_string(),
            },
        },
    }
}

/// The form that the last step leaves.
fn newest() -> i64 {
    STEPS.iter().map(|step| step.0).max().unwrap_or(0)
}
