//! Whether a ledger is whole.

use crate::cell::{Cell, Hash, Sort};
use crate::entry::Kind;
use crate::id::{Id, Moment};
use crate::ledger::Ledger;
use crate::read;
use crate::snapshot::one_state;
use crate::store::{Connection, Trouble};

/// Something in a ledger that is not as it was written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// The database finds its own file damaged.
    #[error("the database is damaged: {said}")]
    Database {
        /// What it says.
        said: String,
    },
    /// A row names another that is not there.
    #[error("{rows} rows of `{table}` name entries that are not there")]
    Loose {
        /// The table.
        table: String,
        /// How many.
        rows: i64,
    },
    /// Entries without their content, or content without its entry.
    #[error("there are {entries} entries of the kind {}, and {rows} rows of content", kind.word())]
    HalfWritten {
        /// The kind.
        kind: Kind,
        /// Entries in the table of all.
        entries: i64,
        /// Rows in the kind's own table.
        rows: i64,
    },
    /// A correction that corrects nothing it could have seen.
    #[error(
        "{rows} corrections take the place of an entry of another kind, of another thing, or of a later one"
    )]
    Chain {
        /// How many.
        rows: i64,
    },
    /// Bytes that an entry names are not there.
    #[error("the bytes of a photo or report are missing: {hash}")]
    BytesMissing {
        /// Their hash.
        hash: Hash,
    },
    /// Bytes that an entry names are others.
    #[error("the bytes of a photo or report were changed: {hash}")]
    BytesChanged {
        /// Their hash.
        hash: Hash,
    },
}

/// What was found on looking through a ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Health {
    /// How many entries there are.
    pub entries: i64,
    /// The newest one's id and moment.
    pub newest: Option<(Id, Moment)>,
    /// The latest moment that stands on any of them: later than the newest one's where a clock was set back.
    pub latest: Option<Moment>,
    /// How many photos and reports are kept by their bytes, as far as entries name them.
    pub kept: usize,
    /// What is not as it was written; empty when all is well.
    pub faults: Vec<Fault>,
}

impl Ledger {
    /// Looks through the whole ledger: the database's own integrity, names that lead nowhere, entries without
    /// content, corrections that follow on nothing, and the bytes of every photo and report.
    ///
    /// # Errors
    /// [`Trouble`] when the store cannot be read at all.
    pub async fn check(&self) -> Result<Health, Trouble> {
        // One state: what is counted here and what is counted there may not differ by what was put in between.
        let mut held = one_state(self).await?;
        let mut connection = held.connection();
        let mut faults = of_the_database(&mut connection).await?;
        let (of_kinds, latest) = of_kinds(&mut connection).await?;
        for (kind, entries) in Kind::ALL.iter().copied().zip(of_kinds.iter().copied()) {
            let rows = count(&mut connection, Counted::Rows(kind)).await?;
            if entries != rows {
                faults.push(Fault::HalfWritten {
                    kind,
                    entries,
                    rows,
                });
            }
        }
        let entries = of_kinds.iter().sum();
        match count(&mut connection, Counted::BrokenChains).await? {
            0 => {}
            rows => faults.push(Fault::Chain { rows }),
        }
        let newest = read::newest(&mut connection).await?;
        let named = named_bytes(&mut connection).await?;
        held.close().await?;
        let mut kept = 0;
        for hash in named {
            match self.kept(hash).await {
                Ok(Some(_)) => kept += 1,
                Ok(None) => faults.push(Fault::BytesMissing { hash }),
                Err(Trouble::Damaged { .. }) => faults.push(Fault::BytesChanged { hash }),
                Err(trouble) => return Err(trouble),
            }
        }
        Ok(Health {
            entries,
            newest,
            latest,
            kept,
            faults,
        })
    }
}

impl Ledger {
    /// How many entries there are.
    pub(crate) async fn counted(&self) -> Result<i64, Trouble> {
        let mut reader = self.reader().await?;
        count(&mut reader.connection(), Counted::AllEntries).await
    }
}

/// SQLite looks through its own file and its references; PostgreSQL sees to both by itself, and its files are
/// checked where the server stands.
async fn of_the_database(connection: &mut Connection<'_>) -> Result<Vec<Fault>, Trouble> {
    let mut faults = Vec::new();
    if let Connection::Sqlite(_) = connection {
        let rows = connection
            .rows("PRAGMA integrity_check".into(), vec![], &[Sort::Text])
            .await?;
        for row in rows {
            match &row[..] {
                [Cell::Text(Some(said))] if said == "ok" => {}
                row => faults.push(Fault::Database {
                    said: format!("{row:?}"),
                }),
            }
        }
        let sql = r#"SELECT "table", count(*) FROM pragma_foreign_key_check() GROUP BY "table""#;
        let sorts = [Sort::Text, Sort::Whole];
        for row in connection.rows(sql.into(), vec![], &sorts).await? {
            if let [Cell::Text(Some(table)), Cell::Whole(Some(rows))] = &row[..] {
                faults.push(Fault::Loose {
                    table: table.clone(),
                    rows: *rows,
                });
            }
        }
    }
    Ok(faults)
}

/// How many entries there are of each of [`Kind::ALL`], and the latest moment on any: once through all of them.
async fn of_kinds(connection: &mut Connection<'_>) -> Result<(Vec<i64>, Option<Moment>), Trouble> {
    let kinds = Kind::ALL.iter();
    let counted = |kind: &Kind| format!(r#"count(*) FILTER (WHERE "kind" = '{}')"#, kind.word());
    let counted: Vec<String> = kinds.map(counted).collect();
    let sql = format!(r#"SELECT max("at"), {} FROM entry"#, counted.join(", "));
    let sorts = vec![Sort::Whole; 1 + counted.len()];
    let rows = connection.rows(sql, vec![], &sorts).await?;
    let mut numbers = rows.into_iter().flatten().map(|cell| match cell {
        Cell::Whole(number) => number,
        _ => None,
    });
    let latest = numbers.next().flatten().map(Moment::from_micros);
    Ok((numbers.map(Option::unwrap_or_default).collect(), latest))
}

/// What is counted.
enum Counted {
    AllEntries,
    Rows(Kind),
    BrokenChains,
}

/// Corrections that do not follow on an earlier entry of the same kind about the same thing.
const BROKEN_CHAINS: &str = r#"SELECT count(*) FROM entry c LEFT JOIN entry o ON o."id" = c."supersedes"
    WHERE c."supersedes" IS NOT NULL AND (
        o."id" IS NULL OR o."id" >= c."id" OR o."kind" <> c."kind" OR o."thing" <> c."thing"
    )"#;

async fn count(connection: &mut Connection<'_>, what: Counted) -> Result<i64, Trouble> {
    let sql = match what {
        Counted::AllEntries => "SELECT count(*) FROM entry".to_string(),
        Counted::BrokenChains => BROKEN_CHAINS.to_string(),
        Counted::Rows(kind) => format!("SELECT count(*) FROM {}", kind.table()),
    };
    let rows = connection.rows(sql, vec![], &[Sort::Whole]).await?;
    Ok(match rows.first().map(Vec::as_slice) {
        Some([Cell::Whole(Some(count))]) => *count,
        _ => 0,
    })
}

/// The hashes that entries name, each once.
pub(crate) async fn named_bytes(connection: &mut Connection<'_>) -> Result<Vec<Hash>, Trouble> {
    let sql = r#"SELECT "hash" FROM photos
        UNION SELECT "hash" FROM reports
        UNION SELECT "photo" FROM looks WHERE "photo" IS NOT NULL"#;
    let rows = connection.rows(sql.into(), vec![], &[Sort::Text]).await?;
    let hash = |row: Vec<Cell>| match &row[..] {
        [Cell::Text(Some(text))] => text.parse().map_err(|said| Trouble::Damaged { said }),
        row => Err(Trouble::Damaged {
            said: format!("a hash is no text: {row:?}"),
        }),
    };
    rows.into_iter().map(hash).collect()
}
