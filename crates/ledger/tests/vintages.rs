//! Ledgers of every released form are brought to the present one, and say what they said.

mod shop;

use ledger::find::{Trace, Which};
use ledger::state::{Things, WheelRecord};
use ledger::{Kind, Ledger, Place};
use std::collections::BTreeSet;
use std::path::Path;

/// Where the old ledgers lie.
fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/vintages")
}

/// What every vintage says: it is the year that the story told.
async fn says_what_it_said(ledger: &Ledger) {
    let all = shop::everything(ledger).await;
    let kinds: BTreeSet<Kind> = all.iter().map(|entry| entry.body.kind()).collect();
    assert!(kinds.len() >= 22, "of every kind that there was: {kinds:?}");
    let card = ledger
        .find("slipway rear", 9)
        .await
        .expect("read")
        .remove(0);
    let things: Things = ledger
        .life(card.wheel)
        .await
        .expect("read")
        .into_iter()
        .collect();
    let record = WheelRecord::of(&things, card.wheel).expect("the wheel");
    assert_eq!(record.wheel.body.owner.as_deref(), Some("Ines Maran"));
    assert_eq!(record.parts[0].part.body.serial.as_deref(), Some("FL-0042"));
    let readings = &record.visits[0].laps[0].readings;
    let raws: Vec<&str> = readings.iter().map(|reading| &*reading.body.raw).collect();
    assert_eq!(
        raws,
        ["22,5", "23", "22,5", "22,5", "22,5", "22,5", "22,5", ""]
    );
    let maker = "Fjordline".into();
    let which = Which::Serials("FL-10".into(), "FL-100".into());
    assert_eq!(
        ledger
            .trace(&Trace { maker, which })
            .await
            .expect("read")
            .len(),
        3
    );
    let faults = ledger.check().await.expect("looked through").faults;
    let beside =
        |fault: &ledger::check::Fault| matches!(fault, ledger::check::Fault::BytesMissing { .. });
    assert!(
        faults.iter().all(beside),
        "only the kept bytes are not committed: {faults:?}"
    );
    // And one can go on in it.
    let now = shop::stamp(1_000_000);
    shop::put(ledger, &now, shop::visit(card.wheel, 1_000_000)).await;
    let newest = ledger.shelf(None, 1).await.expect("read").wheels;
    assert_eq!(newest[0].wheel, card.wheel);
}

#[tokio::test]
async fn every_folder_of_old_can_be_used() {
    let mut tried = 0;
    for file in std::fs::read_dir(folder()).expect("the vintages") {
        let file = file.expect("a file").path();
        if file.extension().is_none_or(|ending| ending != "sqlite3") {
            continue;
        }
        let desk = tempfile::tempdir().expect("a folder");
        std::fs::copy(&file, desk.path().join("rimwright.sqlite3")).expect("copied");
        let ledger = shop::open(&Place::Folder(desk.path().into())).await;
        says_what_it_said(&ledger).await;
        tried += 1;
    }
    let steps = std::fs::read_dir(folder().join("../../migrations/sqlite")).expect("the steps");
    assert_eq!(tried, steps.count(), "a vintage for each form");
}

/// A database that a newer program has left says so, and is not touched.
#[tokio::test]
async fn ledger_of_a_newer_program_is_told_and_left_alone() {
    use ledger::{Access, Unopened};
    use sqlx::Connection;
    let desk = tempfile::tempdir().expect("a folder");
    let file = desk.path().join("rimwright.sqlite3");
    std::fs::copy(folder().join("0001.sqlite3"), &file).expect("copied");
    let address = format!("sqlite://{}", file.display());
    let mut outside = sqlx::SqliteConnection::connect(&address)
        .await
        .expect("the file");
    let step = "INSERT INTO _sqlx_migrations SELECT 999, 'of tomorrow', installed_on, success, checksum, \
                execution_time FROM _sqlx_migrations LIMIT 1";
    sqlx::query(step)
        .execute(&mut outside)
        .await
        .expect("made newer");
    outside.close().await.expect("closed");
    for access in [Access::Read, Access::Write] {
        let place = Place::Folder(desk.path().into());
        let refused = Ledger::open(&place, access).await.expect_err("newer");
        let Unopened::Newer { found, .. } = &refused else {
            panic!("{refused}")
        };
        assert_eq!(*found, 999);
        assert!(refused.to_string().contains("newer program"), "{refused}");
    }
}

#[cfg(feature = "server")]
#[tokio::test]
async fn every_server_of_old_can_be_used() {
    use sqlx::{Connection, PgConnection};
    let server = std::env::var("RIMWRIGHT_TEST_SERVER").expect("run `cargo xtask ledger`");
    let mut tried = 0;
    for file in std::fs::read_dir(folder()).expect("the vintages") {
        let file = file.expect("a file").path();
        if file.extension().is_none_or(|ending| ending != "sql") {
            continue;
        }
        let dump = std::fs::read_to_string(&file).expect("read");
        let mut maker = PgConnection::connect(&format!("{server}/postgres"))
            .await
            .expect("the server");
        let name = format!("vintage_{tried}");
        for sql in [
            format!("DROP DATABASE IF EXISTS {name}"),
            format!("CREATE DATABASE {name}"),
        ] {
            sqlx::raw_sql(sqlx::AssertSqlSafe(sql))
                .execute(&mut maker)
                .await
                .expect("made");
        }
        let address = format!("{server}/{name}");
        let mut old = PgConnection::connect(&address).await.expect("the server");
        sqlx::raw_sql(sqlx::AssertSqlSafe(dump))
            .execute(&mut old)
            .await
            .expect("filled");
        old.close().await.expect("closed");
        let ledger = shop::open(&Place::Server(address)).await;
        says_what_it_said(&ledger).await;
        tried += 1;
    }
    let steps = std::fs::read_dir(folder().join("../../migrations/postgres")).expect("the steps");
    assert_eq!(tried, steps.count(), "a vintage for each form");
}
