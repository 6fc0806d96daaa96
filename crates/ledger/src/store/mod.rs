//! The two stores, and the seam that lets one text of SQL serve both.
//!
//! A statement has its values as `$1`, `$2` …, which both databases number alike. Values go in and rows come
//! out as [`Cell`]s, so every statement is written once. Identifiers made of column names are quoted.

mod migrations;
pub(crate) mod postgres;
pub(crate) mod sqlite;
mod trouble;
mod unopened;

pub use trouble::Trouble;
pub use unopened::Unopened;

use crate::cell::{Cell, Sort};
use crate::id::Id;
use sqlx::pool::PoolConnection;
use sqlx::postgres::PgArguments;
use sqlx::sqlite::SqliteArguments;
use sqlx::{
    Arguments, AssertSqlSafe, ColumnIndex, Connection as _, Decode, Encode, PgConnection, PgPool,
    Postgres, Row, Sqlite, SqliteConnection, SqlitePool, Type,
};
use std::path::PathBuf;

/// Where entries are read from.
#[derive(Debug, Clone)]
pub(crate) enum Readers {
    /// Connections to the file in a data folder, that can only read.
    Sqlite { pool: SqlitePool, folder: PathBuf },
    /// Connections to the server.
    Postgres(PgPool),
}

impl Readers {
    /// A connection for reading.
    pub(crate) async fn reader(&self) -> Result<Reader, Trouble> {
        Ok(match self {
            Self::Sqlite { pool, .. } => Reader::Sqlite(pool.acquire().await?),
            Self::Postgres(pool) => Reader::Postgres(postgres::acquired(pool).await?),
        })
    }

    pub(crate) async fn close(&self) {
        match self {
            Self::Sqlite { pool, .. } => pool.close().await,
            Self::Postgres(pool) => pool.close().await,
        }
    }
}

/// A connection out of [`Readers`].
#[derive(Debug)]
pub(crate) enum Reader {
    Sqlite(PoolConnection<Sqlite>),
    Postgres(PoolConnection<Postgres>),
}

impl Reader {
    pub(crate) fn connection(&mut self) -> Connection<'_> {
        match self {
            Self::Sqlite(held) => Connection::Sqlite(held),
            Self::Postgres(held) => Connection::Postgres(held),
        }
    }
}

impl Reader {
    /// The connection out of the pool, so that what is under way on it ends with it and is nobody else's.
    pub(crate) fn held(self) -> Held {
        match self {
            Self::Sqlite(held) => Held::Sqlite(Box::new(held.detach())),
            Self::Postgres(held) => Held::Postgres(Box::new(held.detach())),
        }
    }
}

/// A connection of one's own. Whoever has done with it closes it; let go, it is broken off.
#[derive(Debug)]
pub(crate) enum Held {
    Sqlite(Box<SqliteConnection>),
    Postgres(Box<PgConnection>),
}

impl Held {
    pub(crate) fn connection(&mut self) -> Connection<'_> {
        match self {
            Self::Sqlite(own) => Connection::Sqlite(own),
            Self::Postgres(own) => Connection::Postgres(own),
        }
    }

    /// Takes leave of the store.
    pub(crate) async fn close(self) -> Result<(), Trouble> {
        match self {
            Self::Sqlite(own) => own.close().await?,
            Self::Postgres(own) => own.close().await?,
        }
        Ok(())
    }

    /// How a transaction begins that sees one state from its first question on.
    pub(crate) fn begins_snapshot(&self) -> &'static str {
        match self {
            Self::Sqlite(_) => "BEGIN",
            Self::Postgres(_) => "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
        }
    }
}

/// A connection to either store.
#[derive(Debug)]
pub(crate) enum Connection<'a> {
    Sqlite(&'a mut SqliteConnection),
    Postgres(&'a mut PgConnection),
}

impl Connection<'_> {
    /// Carries out a statement.
    pub(crate) async fn run(&mut self, sql: String, values: Vec<Cell>) -> Result<(), Trouble> {
        let sql = AssertSqlSafe(sql); // made of our own words and numbered places only
        match self {
            Self::Sqlite(connection) => {
                let query = sqlx::query_with::<Sqlite, SqliteArguments>(sql, bound(values)?);
                query.execute(&mut **connection).await?;
            }
            Self::Postgres(connection) => {
                let query = sqlx::query_with::<Postgres, PgArguments>(sql, bound(values)?);
                query.execute(&mut **connection).await?;
            }
        }
        Ok(())
    }

    /// The rows that a question yields, their columns being of these sorts.
    pub(crate) async fn rows(
        &mut self,
        sql: String,
        values: Vec<Cell>,
        sorts: &[Sort],
    ) -> Result<Vec<Vec<Cell>>, Trouble> {
        let sql = AssertSqlSafe(sql); // made of our own words and numbered places only
        match self {
            Self::Sqlite(connection) => {
                let query = sqlx::query_with::<Sqlite, SqliteArguments>(sql, bound(values)?);
                let rows = query.fetch_all(&mut **connection).await?;
                rows.iter().map(|row| cells(row, sorts)).collect()
            }
            Self::Postgres(connection) => {
                let query = sqlx::query_with::<Postgres, PgArguments>(sql, bound(values)?);
                let rows = query.fetch_all(&mut **connection).await?;
                rows.iter().map(|row| cells(row, sorts)).collect()
            }
        }
    }
}

/// Values in the order of their places.
fn bound<A: Arguments>(values: Vec<Cell>) -> Result<A, Trouble>
where
    for<'t> Option<Vec<u8>>: Encode<'t, A::Database> + Type<A::Database>,
    for<'t> Option<i64>: Encode<'t, A::Database> + Type<A::Database>,
    for<'t> Option<f64>: Encode<'t, A::Database> + Type<A::Database>,
    for<'t> Option<String>: Encode<'t, A::Database> + Type<A::Database>,
{
    let mut bound = A::default();
    for value in values {
        match value {
            Cell::Id(id) => bound.add(id.map(|id| id.to_bytes().to_vec())),
            Cell::Whole(number) => bound.add(number),
            Cell::Number(number) => bound.add(number),
            Cell::Text(text) => bound.add(text),
        }
        .map_err(sqlx::Error::Encode)?;
    }
    Ok(bound)
}

/// A row as cells.
fn cells<R: Row>(row: &R, sorts: &[Sort]) -> Result<Vec<Cell>, Trouble>
where
    usize: ColumnIndex<R>,
    for<'r> Option<Vec<u8>>: Decode<'r, R::Database> + Type<R::Database>,
    for<'r> Option<i64>: Decode<'r, R::Database> + Type<R::Database>,
    for<'r> Option<f64>: Decode<'r, R::Database> + Type<R::Database>,
    for<'r> Option<String>: Decode<'r, R::Database> + Type<R::Database>,
{
    let cell = |(place, sort): (usize, &Sort)| {
        Ok(match sort {
            Sort::Id => {
                let bytes: Option<Vec<u8>> = row.try_get(place)?;
                let id = bytes.map(|bytes| Id::from_bytes(&bytes)).transpose();
                Cell::Id(id.map_err(|why| Trouble::Damaged {
                    said: why.to_string(),
                })?)
            }
            Sort::Whole => Cell::Whole(row.try_get(place)?),
            Sort::Number => Cell::Number(row.try_get(place)?),
            Sort::Text => Cell::Text(row.try_get(place)?),
        })
    };
    sorts.iter().enumerate().map(cell).collect()
}

/// Places for so many values, the first one numbered `first`: `$3, $4`.
pub(crate) fn places(first: usize, count: usize) -> String {
    let places: Vec<String> = (first..first + count)
        .map(|number| format!("${number}"))
        .collect();
    places.join(", ")
}
