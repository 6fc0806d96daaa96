//! Whatever is not as it was written is found when the ledger is looked through.

mod shop;

use ledger::check::Fault;
use ledger::{Hash, Kind, Label, Place};
use sqlx::{AssertSqlSafe, Connection, SqliteConnection};
use std::path::Path;

/// A closed ledger in a folder, with a wheel, a visit with a photo, and a gauge that was described anew.
async fn a_ledger() -> tempfile::TempDir {
    let desk = tempfile::tempdir().expect("a folder");
    let ledger = shop::open(&Place::Folder(desk.path().into())).await;
    let now = shop::stamp(0);
    let wheel = shop::wheel(Label::numbered(1), "rear", "Ines");
    let wheel = shop::put(&ledger, &now, wheel).await;
    let visit = shop::put(&ledger, &now, shop::visit(wheel, 0)).await;
    ledger.keep(PHOTO.into(), now.at).await.expect("kept");
    shop::put(&ledger, &now, shop::photo(visit, PHOTO)).await;
    let gauge = shop::put(&ledger, &now, shop::gauge("G1")).await;
    shop::correct(&ledger, gauge, "anew", &now, shop::gauge("G2")).await;
    assert_eq!(ledger.check().await.expect("looked through").faults, []);
    ledger.close().await;
    desk
}

const PHOTO: &[u8] = b"a rim, cracked at the seat";

/// What is found after somebody has been at the file with other tools, past all that guards it.
async fn after(statements: &[&str]) -> Vec<Fault> {
    let desk = a_ledger().await;
    let file = desk.path().join("rimwright.sqlite3");
    let mut outside = SqliteConnection::connect(&format!("sqlite://{}", file.display()))
        .await
        .expect("the file");
    let guards = "SELECT name FROM sqlite_schema WHERE type = 'trigger'";
    let guards: Vec<String> = sqlx::query_scalar(guards)
        .fetch_all(&mut outside)
        .await
        .expect("the guards");
    let taken_off = guards.iter().map(|name| format!("DROP TRIGGER \"{name}\""));
    let bold = [
        "PRAGMA foreign_keys = OFF",
        "PRAGMA ignore_check_constraints = ON",
    ];
    let done = statements.iter().map(ToString::to_string);
    for sql in taken_off.chain(bold.map(String::from)).chain(done) {
        sqlx::query(AssertSqlSafe(sql.clone()))
            .execute(&mut outside)
            .await
            .unwrap_or_else(|why| panic!("{sql}: {why}"));
    }
    outside.close().await.expect("closed");
    faults(desk.path()).await
}

async fn faults(folder: &Path) -> Vec<Fault> {
    let ledger = shop::open(&Place::Folder(folder.into())).await;
    let health = ledger.check().await.expect("looked through");
    ledger.close().await;
    health.faults
}

#[tokio::test]
async fn entry_without_its_content_is_found() {
    let found = after(&["DELETE FROM visits"]).await;
    let half = Fault::HalfWritten {
        kind: Kind::Visit,
        entries: 1,
        rows: 0,
    };
    assert_eq!(found, [half]);
}

#[tokio::test]
async fn content_without_its_entry_is_found() {
    let found = after(&["DELETE FROM entry WHERE \"kind\" = 'wheel'"]).await;
    assert!(
        found
            .iter()
            .any(|fault| matches!(fault, Fault::Loose { .. })),
        "{found:?}"
    );
    assert!(
        found.iter().any(|fault| matches!(
            fault,
            Fault::HalfWritten {
                kind: Kind::Wheel,
                ..
            }
        )),
        "{found:?}"
    );
}

#[tokio::test]
async fn correction_of_something_else_is_found() {
    let of_a_wheel = "UPDATE entry SET \"supersedes\" = (SELECT \"id\" FROM entry WHERE \"kind\" = 'wheel') \
                      WHERE \"supersedes\" IS NOT NULL";
    assert_eq!(after(&[of_a_wheel]).await, [Fault::Chain { rows: 1 }]);
    let of_itself = "UPDATE entry SET \"supersedes\" = \"id\" WHERE \"supersedes\" IS NOT NULL";
    assert_eq!(after(&[of_itself]).await, [Fault::Chain { rows: 1 }]);
}

#[tokio::test]
async fn bytes_that_are_others_or_gone_are_found() {
    let desk = a_ledger().await;
    let hash = Hash::of(PHOTO);
    let photo = desk.path().join("kept").join(hash.to_string());
    std::fs::write(&photo, "another rim").expect("written");
    assert_eq!(faults(desk.path()).await, [Fault::BytesChanged { hash }]);
    std::fs::remove_file(&photo).expect("removed");
    assert_eq!(faults(desk.path()).await, [Fault::BytesMissing { hash }]);
}

/// A doctor comes while work goes on.
#[tokio::test(flavor = "multi_thread")]
async fn ledger_in_use_is_looked_through_without_false_alarm() {
    // Entries, put in while one looks: each time through meets some, and all of it is done in a second.
    const ENOUGH: i64 = 60;
    let desk = tempfile::tempdir().expect("a folder");
    let ledger = shop::open(&Place::Folder(desk.path().into())).await;
    let hand = {
        let ledger = ledger.clone();
        tokio::spawn(async move {
            loop {
                shop::put(&ledger, &shop::stamp(0), shop::gauge("G1")).await;
            }
        })
    };
    loop {
        let health = ledger.check().await.expect("looked through");
        assert_eq!(health.faults, []);
        if health.entries > ENOUGH {
            break hand.abort();
        }
    }
}
