//! What the ledger does not take, and what it does not let go.

mod shop;

use ledger::entry::{Kind, Reading};
use ledger::{Access, Column, Entry, Label, Ledger, Place, Refusal, Sort, Unopened};
use sqlx::{AssertSqlSafe, Connection, Row, SqliteConnection};

async fn desk() -> (tempfile::TempDir, Ledger) {
    let desk = tempfile::tempdir().expect("a folder");
    let ledger = shop::open(&Place::Folder(desk.path().into())).await;
    (desk, ledger)
}

/// Tries one entry beside a good one; neither may be there afterwards.
async fn refused(ledger: &Ledger, entry: Entry) -> Refusal {
    let good = Entry::new(
        ledger.next_id(shop::at(0)),
        &shop::stamp(0),
        shop::gauge("G9"),
    );
    let ids = [good.id, entry.id];
    let refusal = ledger.append(vec![good, entry]).await.expect_err("refused");
    let there = ledger.entries(&ids).await.expect("read");
    assert!(there.is_empty(), "all of them or none: {refusal}");
    assert!(!refusal.to_string().is_empty());
    refusal
}

#[tokio::test]
async fn what_could_not_be_read_back_or_answered_for_is_refused() {
    let (_desk, ledger) = desk().await;
    let now = shop::stamp(0);
    let gauge = shop::put(&ledger, &now, shop::gauge("G1")).await;
    let make = |body: ledger::entry::RodCheck| Entry::new(ledger.next_id(now.at), &now, body);
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let refusal = refused(&ledger, make(shop::rod_check(gauge, number))).await;
        assert!(
            matches!(
                refusal,
                Refusal::NoNumber {
                    column: "reading",
                    ..
                }
            ),
            "{refusal}"
        );
    }
    let mut with_nul = shop::rod_check(gauge, 25.0);
    with_nul.raw = "25\0".into();
    let refusal = refused(&ledger, make(with_nul)).await;
    assert!(
        matches!(refusal, Refusal::NoText { column: "raw", .. }),
        "{refusal}"
    );
    let mut by_nobody = make(shop::rod_check(gauge, 25.0));
    by_nobody.stamp.by = " ".into();
    let refusal = refused(&ledger, by_nobody).await;
    assert!(
        matches!(refusal, Refusal::Nobody { missing: "by", .. }),
        "{refusal}"
    );
    let mut nowhere = make(shop::rod_check(gauge, 25.0));
    nowhere.stamp.zone = String::new();
    let refusal = refused(&ledger, nowhere).await;
    assert!(
        matches!(
            refusal,
            Refusal::Nobody {
                missing: "zone",
                ..
            }
        ),
        "{refusal}"
    );
    let id = ledger.next_id(now.at);
    let without_why = Entry::correcting(gauge, " ", id, &now, shop::gauge("G1b"));
    let refusal = refused(&ledger, without_why).await;
    assert_eq!(
        refusal,
        Refusal::NoReason {
            id,
            supersedes: gauge
        }
    );
}

#[tokio::test]
async fn what_leads_nowhere_is_refused() {
    let (_desk, ledger) = desk().await;
    let now = shop::stamp(0);
    let early = ledger.next_id(now.at);
    let gauge = shop::put(&ledger, &now, shop::gauge("G1")).await;
    let absent = ledger.next_id(now.at);
    let make = |body: Reading| Entry::new(ledger.next_id(now.at), &now, body);
    let refusal = refused(&ledger, make(shop::reading(absent, 1, "22"))).await;
    let Refusal::Unknown { column, named, .. } = refusal else {
        panic!("{refusal}")
    };
    assert_eq!((column, named), ("lap", absent));
    let refusal = refused(&ledger, make(shop::reading(gauge, 1, "22"))).await;
    let Refusal::WrongKind { found, wanted, .. } = &refusal else {
        panic!("{refusal}")
    };
    assert_eq!((*found, &wanted[..]), (Kind::Gauge, &[Kind::Lap][..]));
    let before = Entry::new(early, &now, shop::rod_check(gauge, 25.0));
    let refusal = refused(&ledger, before).await;
    assert!(matches!(refusal, Refusal::NotEarlier { .. }), "{refusal}");
    let id = ledger.next_id(now.at);
    let another_kind = Entry::correcting(gauge, "a rig", id, &now, shop::rod_check(gauge, 25.0));
    let refusal = refused(&ledger, another_kind).await;
    assert!(
        matches!(
            refusal,
            Refusal::WrongKind {
                column: "supersedes",
                ..
            }
        ),
        "{refusal}"
    );
    let id = ledger.next_id(now.at);
    let of_nothing = Entry::correcting(absent, "gone", id, &now, shop::gauge("G1"));
    let refusal = refused(&ledger, of_nothing).await;
    assert!(
        matches!(
            refusal,
            Refusal::Unknown {
                column: "supersedes",
                ..
            }
        ),
        "{refusal}"
    );
    // Two corrections of one entry, handed in together.
    let [a, b] = [(); 2].map(|()| ledger.next_id(now.at));
    let one = Entry::correcting(gauge, "one", a, &now, shop::gauge("G1"));
    let two = Entry::correcting(gauge, "two", b, &now, shop::gauge("G1"));
    let refusal = ledger.append(vec![one, two]).await.expect_err("refused");
    assert!(
        matches!(refusal, Refusal::AlreadySuperseded { by, .. } if by == a),
        "{refusal}"
    );
}

#[tokio::test]
async fn label_is_on_one_wheel_and_stays() {
    let (_desk, ledger) = desk().await;
    let now = shop::stamp(0);
    let label = Label::numbered(1);
    let wheel = shop::put(&ledger, &now, shop::wheel(label, "rear", "Ines")).await;
    let make = |label| Entry::new(ledger.next_id(now.at), &now, shop::wheel(label, "x", "Oda"));
    assert_eq!(
        refused(&ledger, make(label)).await,
        Refusal::LabelTaken { label, wheel }
    );
    let other = Label::numbered(2);
    let id = ledger.next_id(now.at);
    let relabelled = Entry::correcting(wheel, "lost", id, &now, shop::wheel(other, "rear", "Ines"));
    assert_eq!(
        refused(&ledger, relabelled).await,
        Refusal::LabelChanged {
            wheel,
            label: other
        }
    );
    let twice = vec![make(other), make(other)];
    let refusal = ledger.append(twice).await.expect_err("refused");
    assert!(matches!(refusal, Refusal::LabelTaken { .. }));
    assert_ne!(ledger.free_label(now.at).await.expect("one"), label);
}

/// The tables of entries in a data folder, looked at from outside.
async fn from_outside(folder: &std::path::Path) -> SqliteConnection {
    let file = folder.join("rimwright.sqlite3");
    SqliteConnection::connect(&format!("sqlite://{}", file.display()))
        .await
        .expect("the file")
}

async fn tables(connection: &mut SqliteConnection) -> Vec<String> {
    let sql = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE '\\_%' ESCAPE '\\' \
               AND name NOT LIKE 'sqlite%' ORDER BY name";
    let rows = sqlx::query(sql)
        .fetch_all(connection)
        .await
        .expect("the tables");
    rows.iter().map(|row| row.get(0)).collect()
}

#[tokio::test]
async fn file_that_holds_no_ledger_is_told_and_left_alone() {
    let desk = tempfile::tempdir().expect("a folder");
    let (place, file) = (
        Place::Folder(desk.path().into()),
        desk.path().join("rimwright.sqlite3"),
    );
    let told = async |access| match Ledger::open(&place, access).await {
        Err(Unopened::NoLedger { file }) => file,
        other => panic!("{access:?}: {other:?}"),
    };
    std::fs::write(&file, "").expect("emptied");
    assert!(told(Access::Read).await.ends_with("rimwright.sqlite3"));
    let mut outside = from_outside(desk.path()).await;
    let tides = sqlx::query("CREATE TABLE tides (\"hour\" INTEGER)");
    tides.execute(&mut outside).await.expect("somebody else's");
    outside.close().await.expect("closed");
    let before = std::fs::read(&file).expect("read");
    for access in [Access::Read, Access::Write] {
        told(access).await;
    }
    assert!(std::fs::read(&file).expect("read") == before);
}

#[tokio::test]
async fn no_row_is_changed_or_deleted_by_whoever_tries() {
    let (desk, ledger) = desk().await;
    let wheel = shop::wheel(Label::numbered(1), "rear", "Ines");
    let wheel = shop::put(&ledger, &shop::stamp(0), wheel).await;
    shop::put(&ledger, &shop::stamp(0), shop::visit(wheel, 0)).await;
    let before = shop::everything(&ledger).await;
    let mut outside = from_outside(desk.path()).await;
    let mut tried = 0;
    for table in tables(&mut outside).await {
        if table.starts_with("find_") {
            continue; // aids, which could be made anew
        }
        tried += 1;
        let rows: i64 = sqlx::query_scalar(AssertSqlSafe(format!("SELECT count(*) FROM {table}")))
            .fetch_one(&mut outside)
            .await
            .expect("counted");
        for sql in [
            format!("UPDATE {table} SET \"id\" = \"id\""),
            format!("DELETE FROM {table}"),
        ] {
            let done = sqlx::query(AssertSqlSafe(sql.clone()))
                .execute(&mut outside)
                .await;
            match rows {
                0 => assert!(done.is_ok()), // there is nothing to refuse
                _ => {
                    let refused = done.expect_err(&sql).to_string();
                    assert!(refused.contains("the ledger is append-only"), "{refused}");
                }
            }
        }
        let triggers: i64 = sqlx::query_scalar(
            "SELECT count(*) FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = $1",
        )
        .bind(&table)
        .fetch_one(&mut outside)
        .await
        .expect("counted");
        assert_eq!(triggers, 2, "{table}");
    }
    assert_eq!(tried, 1 + Kind::ALL.len());
    assert_eq!(shop::everything(&ledger).await, before);
}

/// The migrations are written by hand: their columns are the ones that entries have.
#[tokio::test]
async fn tables_have_the_columns_of_their_kinds() {
    let (desk, _ledger) = desk().await;
    let mut outside = from_outside(desk.path()).await;
    let mut seen = 0;
    for table in tables(&mut outside).await {
        let sql = format!("SELECT name, type, \"notnull\" FROM pragma_table_info('{table}')");
        let rows = sqlx::query(AssertSqlSafe(sql))
            .fetch_all(&mut outside)
            .await
            .expect("columns");
        let found: Vec<(String, String, bool)> = rows
            .iter()
            .map(|row| (row.get(0), row.get(1), row.get(2)))
            .collect();
        let wanted = |columns: &[Column]| {
            let id = ("id".to_string(), "BLOB".to_string(), true);
            let own = columns.iter().map(|column| {
                let sort = match column.sort {
                    Sort::Id => "BLOB",
                    Sort::Whole => "INTEGER",
                    Sort::Number => "REAL",
                    Sort::Text => "TEXT",
                };
                (column.name.to_string(), sort.to_string(), !column.optional)
            });
            [id].into_iter().chain(own).collect::<Vec<_>>()
        };
        seen += Kind::ALL
            .iter()
            .filter(|kind| found == wanted(kind.columns()))
            .count();
    }
    assert_eq!(
        seen,
        Kind::ALL.len(),
        "each kind has a table with its columns"
    );
}
