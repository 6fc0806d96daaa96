//! That every question is answered by an index: SQLite tells how it would go about it.

use crate::append::{rows, seen};
use crate::entry::Kind;
use crate::find;
use crate::ledger::{Access, Ledger, Place};
use crate::read;
use crate::store::{Reader, places};
use sqlx::{AssertSqlSafe, Row};

/// How SQLite would answer, a line a step.
async fn plan(reader: &mut Reader, sql: &str) -> Vec<String> {
    let Reader::Sqlite(connection) = reader else {
        panic!("only SQLite is asked")
    };
    let rows = sqlx::query(AssertSqlSafe(format!("EXPLAIN QUERY PLAN {sql}")))
        .fetch_all(&mut **connection)
        .await
        .expect("a plan");
    rows.iter().map(|row| row.get("detail")).collect()
}

#[tokio::test]
async fn every_question_is_answered_by_an_index() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = Place::Folder(folder.path().into());
    let ledger = Ledger::open(&place, Access::Write).await.expect("a ledger");
    let mut reader = ledger.reader().await.expect("a reader");
    let list = places(1, 4);
    // A walk goes along a key from its end until a page is full, or through what the step before yields.
    let entries = "SCAN entry";
    let visits = "SCAN v USING COVERING INDEX visits_taken";
    let (few, all, none) = ("SCAN b", "SCAN e", "");
    let mut questions = vec![
        (read::life_sql(), few),
        (read::without_laps_sql(&list), few),
        (read::versions_sql(), none),
        (seen::COUNT.into(), "SCAN CONSTANT ROW"),
        (read::after_sql(false), all),
        (read::after_sql(true), none),
        (read::kind_sql(), none),
        (read::laps_with_sql(), none),
        (read::withdrawals_sql(), "SCAN w"), // all of them: they are few
        (read::NEWEST.to_string(), entries),
        (read::heads_sql(&list), none),
        (rows::superseding_sql(&list), none),
        (rows::LABELLED.to_string(), none),
        (find::wheels_sql(1), none),
        (find::wheels_sql(3), none),
        (find::shelf::visited_sql(false), visits),
        (find::shelf::visited_sql(true), none),
        (find::shelf::unvisited_sql(), none),
        (find::shelf::cards_sql(&list), none),
        (find::shelf::visits_sql(&list), none),
        (find::trace::trace_sql("maker"), none),
        (find::trace::trace_sql("lot"), none),
        (find::trace::trace_sql("serial"), none),
        (find::DEMO.to_string(), "SCAN e USING INDEX entry_demo"),
    ];
    let bodies = Kind::ALL
        .iter()
        .map(|kind| (read::bodies_sql(*kind, &list), none));
    questions.extend(bodies);
    for (sql, walk) in questions {
        let plan = plan(&mut reader, &sql).await;
        assert!(!plan.is_empty());
        let through_all = |step: &&String| {
            let walks = !walk.is_empty() && step.starts_with(walk);
            step.contains("SCAN") && !walks
                || step.contains("AUTOMATIC")
                || step.contains("TEMP B-TREE FOR ORDER BY")
        };
        let scans: Vec<_> = plan.iter().filter(through_all).collect();
        assert!(scans.is_empty(), "{sql}\n{plan:#?}");
    }
}

#[tokio::test]
async fn question_without_an_index_would_be_noticed() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = Place::Folder(folder.path().into());
    let ledger = Ledger::open(&place, Access::Write).await.expect("a ledger");
    let mut reader = ledger.reader().await.expect("a reader");
    let plan = plan(
        &mut reader,
        r#"SELECT "id" FROM entry WHERE "by_whom" = $1"#,
    )
    .await;
    assert!(plan.iter().any(|step| step.contains("SCAN")), "{plan:?}");
}
