//! The rows that entries need and become.

use super::{Batch, Named};
use crate::cell::{Cell, Sort};
use crate::entry::{Body, Entry, Kind};
use crate::id::{Id, Moment};
use crate::label::Label;
use crate::read::{self, lists};
use crate::store::{Connection, Trouble, places};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Rows in one statement; with the widest table that is well below what either database binds at once.
const ROWS: usize = 128;

/// The columns of the table of all entries.
const HEAD: [&str; 10] = [
    "id",
    "kind",
    "thing",
    "about",
    "at",
    "zone",
    "by_whom",
    "origin",
    "supersedes",
    "why",
];

/// Those of the entries that are in the ledger already, as they stand there.
pub(super) async fn there(
    connection: &mut Connection<'_>,
    entries: &[Entry],
) -> Result<HashMap<Id, Entry>, Trouble> {
    let ids: Vec<Id> = entries.iter().map(|entry| entry.id).collect();
    let found = read::entries(connection, &ids).await?;
    Ok(found.into_iter().map(|entry| (entry.id, entry)).collect())
}

/// What the ledger knows of all that these entries name.
pub(super) async fn known(
    connection: &mut Connection<'_>,
    entries: &[Entry],
) -> Result<Batch, Trouble> {
    let mut batch = Batch::default();
    let corrections = entries.iter().filter_map(|entry| entry.correction.as_ref());
    let superseded: BTreeSet<Id> = corrections
        .map(|correction| correction.supersedes)
        .collect();
    let mut ids = superseded.clone();
    for entry in entries {
        ids.extend(entry.body.references().iter().map(|reference| reference.id));
    }
    for (list, values) in lists(&ids.into_iter().collect::<Vec<_>>()) {
        let sql = format!(r#"SELECT "id", "kind", "thing" FROM entry WHERE "id" IN ({list})"#);
        let sorts = [Sort::Id, Sort::Text, Sort::Id];
        for row in connection.rows(sql, values, &sorts).await? {
            if let [
                Cell::Id(Some(id)),
                Cell::Text(Some(kind)),
                Cell::Id(Some(thing)),
            ] = &row[..]
            {
                let kind = Kind::of_word(kind).ok_or_else(|| Trouble::Damaged {
                    said: format!("entry {id} is of no known kind: `{kind}`"),
                })?;
                let thing = *thing;
                batch.named.insert(*id, Named { kind, thing });
            }
        }
    }
    for (list, values) in lists(&superseded.into_iter().collect::<Vec<_>>()) {
        let sorts = [Sort::Id, Sort::Id, Sort::Text, Sort::Whole];
        for row in connection
            .rows(superseding_sql(&list), values, &sorts)
            .await?
        {
            if let [
                Cell::Id(Some(superseded)),
                Cell::Id(Some(by)),
                Cell::Text(Some(who)),
                Cell::Whole(Some(at)),
            ] = &row[..]
            {
                let by = (*by, who.clone(), Moment::from_micros(*at));
                batch.superseded.insert(*superseded, by);
            }
        }
    }
    batch.labels = labels(connection, entries).await?;
    Ok(batch)
}

/// Who took the place of the entries in a list.
pub(crate) fn superseding_sql(list: &str) -> String {
    format!(
        r#"SELECT "supersedes", "id", "by_whom", "at" FROM entry WHERE "supersedes" IN ({list})"#
    )
}

/// Which wheels have the labels that these entries give.
async fn labels(
    connection: &mut Connection<'_>,
    entries: &[Entry],
) -> Result<BTreeMap<Label, Id>, Trouble> {
    let mut labels = BTreeMap::new();
    for entry in entries {
        if let Body::Wheel(wheel) = &entry.body {
            labels.extend(
                labelled(connection, wheel.label)
                    .await?
                    .map(|id| (wheel.label, id)),
            );
        }
    }
    Ok(labels)
}

/// The question that [`labelled`] asks.
pub(crate) const LABELLED: &str = r#"SELECT "wheel" FROM find_labels WHERE "label" = $1"#;

/// The wheel that has a label.
pub(crate) async fn labelled(
    connection: &mut Connection<'_>,
    label: Label,
) -> Result<Option<Id>, Trouble> {
    let values = vec![Cell::Text(Some(label.to_string()))];
    let rows = connection
        .rows(LABELLED.into(), values, &[Sort::Id])
        .await?;
    Ok(match rows.first().map(Vec::as_slice) {
        Some([Cell::Id(wheel)]) => *wheel,
        _ => None,
    })
}

/// An entry's row in the table of all.
pub(super) fn head(entry: &Entry, thing: Id, about: Option<Id>) -> Vec<Cell> {
    let text = |text: &str| Cell::Text(Some(text.into()));
    let correction = entry.correction.as_ref();
    vec![
        Cell::Id(Some(entry.id)),
        text(entry.body.kind().word()),
        Cell::Id(Some(thing)),
        Cell::Id(about),
        Cell::Whole(Some(entry.stamp.at.to_micros())),
        text(&entry.stamp.zone),
        text(&entry.stamp.by),
        text(entry.stamp.origin.word()),
        Cell::Id(correction.map(|correction| correction.supersedes)),
        Cell::Text(correction.map(|correction| correction.why.clone())),
    ]
}

/// Writes what was taken up: heads before bodies, bodies before the aids that lead to them.
pub(super) async fn write(connection: &mut Connection<'_>, batch: Batch) -> Result<(), Trouble> {
    insert(connection, "entry", &HEAD, batch.heads).await?;
    for (kind, rows) in batch.bodies {
        let mut columns = vec!["id"];
        columns.extend(kind.columns().iter().map(|column| column.name));
        insert(connection, kind.table(), &columns, rows).await?;
    }
    let mut aids: BTreeMap<&str, (&[&str], Vec<Vec<Cell>>)> = BTreeMap::new();
    for aid in batch.aids {
        let (_, rows) = aids.entry(aid.table).or_insert((aid.columns, Vec::new()));
        rows.push(aid.cells);
    }
    for (table, (columns, rows)) in aids {
        insert(connection, table, columns, rows).await?;
    }
    Ok(())
}

/// Puts rows into a table.
async fn insert(
    connection: &mut Connection<'_>,
    table: &str,
    columns: &[&str],
    rows: Vec<Vec<Cell>>,
) -> Result<(), Trouble> {
    let names: Vec<String> = columns.iter().map(|name| format!(r#""{name}""#)).collect();
    let names = names.join(", ");
    let mut rows = rows.into_iter().peekable();
    while rows.peek().is_some() {
        let chunk: Vec<Vec<Cell>> = rows.by_ref().take(ROWS).collect();
        let row =
            |number: usize| format!("({})", places(1 + number * columns.len(), columns.len()));
        let all: Vec<String> = (0..chunk.len()).map(row).collect();
        let sql = format!("INSERT INTO {table} ({names}) VALUES {}", all.join(", "));
        connection
            .run(sql, chunk.into_iter().flatten().collect())
            .await?;
    }
    Ok(())
}
