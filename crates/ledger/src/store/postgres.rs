//! The store on a server: PostgreSQL, for several workshops on one record.

use super::migrations;
use super::trouble::Trouble;
use super::unopened::Unopened;
use crate::cell::Hash;
use crate::id::Moment;
use sqlx::pool::PoolConnection;
use sqlx::postgres::{PgConnectOptions, PgPoolOptions};
use sqlx::{ConnectOptions, Connection, PgConnection, PgPool, Postgres, Row};
use std::str::FromStr;
use std::time::Duration;

/// How long one waits for the server before one says so.
const PATIENCE: Duration = Duration::from_secs(10);
/// Connections that read at once, for one process.
const READERS: u32 = 4;

/// Where the server is and how one gets in; never shown, since it holds the password.
#[derive(Clone)]
pub(crate) struct Server(PgConnectOptions);

impl std::fmt::Debug for Server {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.place())
    }
}

impl Server {
    /// The server at this address.
    pub(crate) fn at(address: &str) -> Result<Self, Unopened> {
        let options = PgConnectOptions::from_str(address).map_err(|why| Unopened::Address {
            why: why.to_string(),
        })?;
        let options = options
            .options([("synchronous_commit", "on")])
            .statement_cache_capacity(400) // statements for many rows differ by their number
            .disable_statement_logging();
        Ok(Self(options))
    }

    /// The server and the database in words, without the password.
    pub(crate) fn place(&self) -> String {
        let database = self.0.get_database().unwrap_or("its default");
        let (host, port) = (self.0.get_host(), self.0.get_port());
        format!("database {database} on {host}:{port}")
    }

    /// A connection that brings the database to the form this program knows, and writes.
    pub(crate) async fn writable(&self) -> Result<PgConnection, Unopened> {
        let place = self.place();
        let mut connection = self.connect().await?;
        migrations::of_postgres()
            .run_direct(None, &mut connection, false)
            .await
            .map_err(|error| migrations::failed(&place, error))?;
        Ok(connection)
    }

    /// A connection that writes to a database of the right form.
    pub(crate) async fn connect(&self) -> Result<PgConnection, Unopened> {
        let place = self.place();
        let connected = self.0.connect().await;
        let mut connection = connected.map_err(|error| Unopened::of(&place, error))?;
        flushes(&place, &mut connection).await?;
        Ok(connection)
    }

    /// Connections that read.
    pub(crate) async fn readers(&self) -> Result<PgPool, Unopened> {
        let place = self.place();
        // The pool would try for as long as its patience lasts, and then know no reason.
        let mut first = self.connect().await?;
        let form = sqlx::query_scalar(migrations::FORM)
            .fetch_one(&mut first)
            .await;
        let none = Unopened::Missing {
            place: place.clone(),
        };
        migrations::known(&place, form, none)?;
        let _ = first.close().await; // it has said what it was asked
        Ok(PgPoolOptions::new()
            .max_connections(READERS + 1) // one listens
            .acquire_timeout(PATIENCE)
            .after_connect(|connection, _| {
                Box::pin(async move {
                    let flushes = flushes("", connection).await;
                    flushes.map_err(|why| sqlx::Error::Configuration(why.into()))
                })
            })
            .connect_lazy_with(self.0.clone()))
    }
}

/// Whether what is acknowledged on this connection is on the server's disk.
///
/// Source: PostgreSQL's manual, "Write Ahead Log": `synchronous_commit` on waits for the local flush, and
/// `fsync` off would make that flush an empty word.
async fn flushes(place: &str, connection: &mut PgConnection) -> Result<(), Unopened> {
    for (setting, sql, wanted) in [
        ("synchronous_commit", "SHOW synchronous_commit", "on"),
        ("fsync", "SHOW fsync", "on"),
    ] {
        let found: String = sqlx::query_scalar(sql)
            .fetch_one(&mut *connection)
            .await
            .map_err(|error| Unopened::of(place, error))?;
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

/// A connection out of the pool.
pub(crate) async fn acquired(pool: &PgPool) -> Result<PoolConnection<Postgres>, Trouble> {
    match pool.acquire().await {
        // The pool tried for as long as one waits and knows no reason: whoever asks the server itself learns one.
        Err(sqlx::Error::PoolTimedOut) => Err(why_none(pool).await),
        acquired => Ok(acquired?),
    }
}

async fn why_none(pool: &PgPool) -> Trouble {
    let options = pool.connect_options();
    match tokio::time::timeout(PATIENCE, options.connect()).await {
        Ok(Ok(connection)) => {
            let _ = connection.close().await; // it has said what it was asked
            let said = format!("its {} connections are all at work", pool.size());
            Trouble::Crowded { said }
        }
        Ok(Err(error)) => error.into(),
        Err(_) => Trouble::Unreachable {
            said: "it does not answer".into(),
        },
    }
}

/// What the server's clock tells.
pub(crate) async fn clock(pool: &PgPool) -> Result<Moment, Trouble> {
    let sql = "SELECT (extract(epoch FROM clock_timestamp()) * 1000000)::bigint";
    let micros: i64 = sqlx::query_scalar(sql)
        .fetch_one(&mut *acquired(pool).await?)
        .await?;
    Ok(Moment::from_micros(micros))
}

/// Keeps bytes under their hash.
pub(crate) async fn keep(pool: &PgPool, hash: Hash, bytes: &[u8]) -> Result<(), Trouble> {
    sqlx::query(r#"INSERT INTO kept ("hash", "bytes") VALUES ($1, $2) ON CONFLICT DO NOTHING"#)
        .bind(hash.to_string())
        .bind(bytes)
        .execute(&mut *acquired(pool).await?)
        .await?;
    Ok(())
}

/// The bytes kept under a hash.
pub(crate) async fn kept(pool: &PgPool, hash: Hash) -> Result<Option<Vec<u8>>, Trouble> {
    let row = sqlx::query(r#"SELECT "bytes" FROM kept WHERE "hash" = $1"#)
        .bind(hash.to_string())
        .fetch_optional(&mut *acquired(pool).await?)
        .await?;
    Ok(row.map(|row| row.try_get(0)).transpose()?)
}

#[cfg(all(test, feature = "server"))]
mod tests {
    use super::*;
    use sqlx::AssertSqlSafe;

    /// An empty database of its own.
    async fn server(name: &str) -> Server {
        let server = std::env::var("RIMWRIGHT_TEST_SERVER").expect("run `cargo xtask ledger`");
        let mut connection = PgConnection::connect(&format!("{server}/postgres"))
            .await
            .expect("the server");
        for sql in [
            format!("DROP DATABASE IF EXISTS {name}"),
            format!("CREATE DATABASE {name}"),
            format!("ALTER DATABASE {name} SET synchronous_commit = off"),
        ] {
            let done = sqlx::query(AssertSqlSafe(sql))
                .execute(&mut connection)
                .await;
            done.expect("made");
        }
        Server::at(&format!("{server}/{name}")).expect("an address")
    }

    #[tokio::test]
    async fn crowd_is_told_from_a_server_that_is_away() {
        let pool_at = |options| {
            let pool = PgPoolOptions::new().max_connections(1);
            pool.acquire_timeout(Duration::from_millis(500))
                .connect_lazy_with(options)
        };
        let pool = pool_at(server("crowded").await.0);
        let only = acquired(&pool).await.expect("a connection");
        let told = acquired(&pool).await.expect_err("there is no other");
        assert!(matches!(told, Trouble::Crowded { .. }), "{told}");
        drop(only);
        acquired(&pool).await.expect("free again");
        let nobody = Server::at("postgres://mara@127.0.0.1:9/ledger").expect("an address");
        let told = acquired(&pool_at(nobody.0)).await.expect_err("away");
        assert!(matches!(told, Trouble::Unreachable { .. }), "{told}");
    }

    /// Even where the database says otherwise.
    #[tokio::test]
    async fn every_connection_waits_for_the_flush() {
        let server = server("flushes").await;
        let mut held = vec![server.writable().await.expect("to be written")];
        let pool = server.readers().await.expect("to be read");
        for _ in 0..READERS {
            held.push(pool.acquire().await.expect("a connection").detach());
        }
        held.push(server.connect().await.expect("a way back"));
        for connection in &mut held {
            for (sql, wanted) in [("SHOW synchronous_commit", "on"), ("SHOW fsync", "on")] {
                let found: String = sqlx::query_scalar(sql)
                    .fetch_one(&mut *connection)
                    .await
                    .expect("an answer");
                assert_eq!(found, wanted, "{sql}");
            }
        }
        let off = sqlx::query("SET synchronous_commit = off")
            .execute(&mut held[0])
            .await;
        off.expect("set");
        let refused = flushes("here", &mut held[0]).await.expect_err("unsafe");
        assert!(matches!(refused, Unopened::Unsafe { .. }), "{refused}");
    }
}
