//! The store in a folder: one SQLite file, written by one connection of one process.

use super::migrations::{self, FORM};
use super::trouble::Trouble;
use super::unopened::Unopened;
use sqlx::sqlite::{SqliteConnectOptions, SqlitePoolOptions, SqliteSynchronous};
use sqlx::{AssertSqlSafe, ConnectOptions, Row, SqliteConnection, SqlitePool};
use std::fs::{File, TryLockError};
use std::path::Path;
use std::time::Duration;

/// The database's name in its folder.
pub(crate) const FILE: &str = "rimwright.sqlite3";
/// Held by the one process that may write.
const LOCK: &str = "rimwright.lock";
/// How long a connection waits for another before it says so: far above any flush.
const PATIENCE: Duration = Duration::from_secs(10);
/// Connections that can read at once: as many as hands at the stand's tablets.
const READERS: u32 = 4;

/// A folder opened for writing: its connection, and the lock that keeps other processes from writing.
#[derive(Debug)]
pub(crate) struct Writable {
    pub(crate) connection: SqliteConnection,
    pub(crate) lock: File,
}

/// Opens the database of a folder for writing, making both when they are missing.
pub(crate) async fn writable(folder: &Path) -> Result<Writable, Unopened> {
    let place = folder.display().to_string();
    let lock = lock(folder)?;
    let cannot = |error| Unopened::of(&place, error);
    legible(folder)?;
    let options = options(folder).create_if_missing(true);
    let mut connection = options.connect().await.map_err(cannot)?;
    let is_foreign: bool = sqlx::query_scalar(IS_FOREIGN)
        .fetch_one(&mut connection)
        .await
        .map_err(cannot)?;
    if is_foreign {
        return Err(no_ledger(folder));
    }
    sqlx::query("PRAGMA journal_mode = WAL")
        .execute(&mut connection)
        .await
        .map_err(cannot)?;
    migrations::of_sqlite()
        .run_direct(None, &mut connection, false)
        .await
        .map_err(|error| migrations::failed(&place, error))?;
    holds(&place, &mut connection, &FLUSHES).await?;
    Ok(Writable { connection, lock })
}

/// Whether there are tables, and none of them notes the steps that made them: somebody else's. A file without any
/// is one of which this program was killed before it wrote.
const IS_FOREIGN: &str =
    "SELECT count(*) > 0 AND sum(name = '_sqlx_migrations') = 0 FROM sqlite_schema";

/// That the file is there and is none of ours.
fn no_ledger(folder: &Path) -> Unopened {
    let file = folder.join(FILE).display().to_string();
    Unopened::NoLedger { file }
}

/// Whether the database can be read, when there is one. It says only that it cannot be opened, for whatever reason.
fn legible(folder: &Path) -> Result<(), Unopened> {
    let file = folder.join(FILE);
    match File::open(&file) {
        Err(why) if why.kind() != std::io::ErrorKind::NotFound => Err(Unopened::Illegible {
            file: file.display().to_string(),
            why: why.to_string(),
        }),
        _ => Ok(()),
    }
}

/// Connections that read the database of a folder and cannot write.
pub(crate) async fn readers(folder: &Path) -> Result<SqlitePool, Unopened> {
    let place = folder.display().to_string();
    legible(folder)?;
    if !folder.join(FILE).is_file() {
        return Err(Unopened::Missing { place });
    }
    let pool = SqlitePoolOptions::new()
        .max_connections(READERS)
        .acquire_timeout(PATIENCE)
        .after_connect(|connection, _| {
            Box::pin(async move {
                let whole = holds("", connection, &FLUSHES[1..]).await; // a copy may have no log
                whole.map_err(|why| sqlx::Error::Configuration(why.into()))
            })
        })
        .connect_with(options(folder).read_only(true))
        .await
        .map_err(|error| match wants_to_write(&error) {
            true => Unopened::OnlyToRead {
                folder: place.clone(),
            },
            false => Unopened::of(&place, error),
        })?;
    let form = sqlx::query_scalar(FORM).fetch_one(&pool).await;
    migrations::known(&place, form, no_ledger(folder))?;
    Ok(pool)
}

/// Whether a connection failed for want of a place to write: a log is read by an index beside it.
///
/// Source: sqlite.org, "Write-Ahead Logging", read-only databases; "Result and Error Codes", READONLY and CANTOPEN.
fn wants_to_write(error: &sqlx::Error) -> bool {
    let code = error.as_database_error().and_then(|error| error.code());
    let code = code.and_then(|code| code.parse::<u32>().ok());
    code.is_some_and(|code| matches!(code & 0xff, 8 | 14))
}

/// What every connection is opened with.
fn options(folder: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(folder.join(FILE))
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(PATIENCE)
        .statement_cache_capacity(400) // statements for many rows differ by their number
        .disable_statement_logging()
}

/// The settings on which safety rests.
///
/// Source: SQLite's documentation of `PRAGMA synchronous`: with WAL, FULL (2) syncs the log at every commit.
const FLUSHES: [(&str, &str); 3] = [
    ("journal_mode", "wal"),
    ("synchronous", "2"),
    ("foreign_keys", "1"),
];

/// Whether a connection has these settings.
async fn holds(
    place: &str,
    connection: &mut SqliteConnection,
    settings: &[(&'static str, &'static str)],
) -> Result<(), Unopened> {
    for &(setting, wanted) in settings {
        let row = sqlx::query(AssertSqlSafe(format!("PRAGMA {setting}")))
            .fetch_one(&mut *connection)
            .await
            .map_err(|error| Unopened::of(place, error))?;
        let found = row.try_get::<String, _>(0);
        let found = found.or_else(|_| row.try_get::<i64, _>(0).map(|number| number.to_string()));
        let found = found.map_err(|error| Unopened::of(place, error))?;
        if found != wanted {
            return Err(Unopened::Unsafe {
                place: place.into(),
                setting,
                found,
                wanted,
            });
        }
    }
    Ok(())
}

/// Copies the database as it stands now into a new file, while others read and write.
pub(crate) async fn vacuum_into(
    connection: &mut SqliteConnection,
    file: &Path,
) -> Result<(), Trouble> {
    let file = file.to_str().ok_or_else(|| Trouble::Unwritable {
        said: format!("{} is no name that the database can take", file.display()),
    })?;
    sqlx::query("VACUUM INTO $1")
        .bind(file)
        .execute(connection)
        .await?;
    Ok(())
}

/// Makes the folder and takes the lock that one process at a time holds.
pub(crate) fn lock(folder: &Path) -> Result<File, Unopened> {
    let cannot = |why: std::io::Error| Unopened::Folder {
        folder: folder.display().to_string(),
        why: why.to_string(),
    };
    std::fs::create_dir_all(folder).map_err(cannot)?;
    let lock = File::options()
        .create(true)
        .truncate(false)
        .write(true)
        .open(folder.join(LOCK))
        .map_err(cannot)?;
    match lock.try_lock() {
        Ok(()) => Ok(lock),
        Err(TryLockError::WouldBlock) => Err(Unopened::InUse {
            folder: folder.display().to_string(),
        }),
        Err(TryLockError::Error(why)) => Err(cannot(why)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same is looked for whenever a connection is opened; here by a question of the test's own.
    #[tokio::test]
    async fn every_connection_flushes_what_is_acknowledged() {
        let folder = tempfile::tempdir().expect("a folder");
        let mut writable = writable(folder.path()).await.expect("to be written");
        let pool = readers(folder.path()).await.expect("to be read");
        let mut held = Vec::new();
        for _ in 0..READERS {
            held.push(pool.acquire().await.expect("a connection"));
        }
        let readers = held.iter_mut().map(|held| &mut **held);
        for connection in readers.chain([&mut writable.connection]) {
            for (sql, wanted) in [("PRAGMA synchronous", 2), ("PRAGMA foreign_keys", 1)] {
                let found: i64 = sqlx::query_scalar(sql)
                    .fetch_one(&mut *connection)
                    .await
                    .expect("an answer");
                assert_eq!(found, wanted, "{sql}");
            }
            let journal: String = sqlx::query_scalar("PRAGMA journal_mode")
                .fetch_one(&mut *connection)
                .await
                .expect("an answer");
            assert_eq!(journal, "wal");
        }
        for reader in &mut held {
            let refused = sqlx::query("INSERT INTO find_labels VALUES ('222222', x'00')")
                .execute(&mut **reader)
                .await;
            assert!(refused.is_err(), "readers write nothing");
        }
    }

    #[tokio::test]
    async fn crowd_is_told_as_one() {
        let folder = tempfile::tempdir().expect("a folder");
        let _writable = writable(folder.path()).await.expect("to be written");
        let pool = SqlitePoolOptions::new()
            .max_connections(1)
            .acquire_timeout(Duration::from_millis(50))
            .connect_with(options(folder.path()))
            .await
            .expect("to be read");
        let _only = pool.acquire().await.expect("a connection");
        let told = Trouble::from(pool.acquire().await.expect_err("there is no other"));
        assert!(matches!(told, Trouble::Crowded { .. }), "{told}");
        assert!(told.to_string().contains("Try again in a moment"), "{told}");
    }

    #[tokio::test]
    async fn connection_that_does_not_flush_is_refused() {
        let folder = tempfile::tempdir().expect("a folder");
        let Writable { mut connection, .. } = writable(folder.path()).await.expect("to be written");
        let off = sqlx::query("PRAGMA synchronous = NORMAL")
            .execute(&mut connection)
            .await;
        off.expect("set");
        let refused = holds("here", &mut connection, &FLUSHES)
            .await
            .expect_err("unsafe");
        let Unopened::Unsafe { setting, found, .. } = &refused else {
            panic!("{refused}")
        };
        assert_eq!((*setting, &**found), ("synchronous", "1"));
    }
}
