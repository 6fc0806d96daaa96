//! Entries out of the store, whole and in their order.

use crate::cell::{Cell, Misfit, Sort};
use crate::entry::{Body, Correction, Entry, Kind, Origin, Stamp};
use crate::id::{Id, Moment};
use crate::store::{Connection, Trouble, places};
use std::collections::{BTreeMap, HashMap};

/// The columns of an entry's head, of a table called `e`.
const HEAD: &str =
    r#"e."id", e."kind", e."at", e."zone", e."by_whom", e."origin", e."supersedes", e."why""#;

const HEAD_SORTS: [Sort; 8] = [
    Sort::Id,
    Sort::Text,
    Sort::Whole,
    Sort::Text,
    Sort::Text,
    Sort::Text,
    Sort::Id,
    Sort::Text,
];

/// Values in one list of a statement: a power of two, so that few different statements are prepared.
const LIST: usize = 256;

/// Every entry about a thing and about what is about it, its own versions included.
pub(crate) async fn life(
    connection: &mut Connection<'_>,
    thing: Id,
) -> Result<Vec<Entry>, Trouble> {
    let sql = life_sql();
    whole(connection, sql, vec![Cell::Id(Some(thing))]).await
}

/// The question that [`life`] asks.
pub(crate) fn life_sql() -> String {
    below_sql("$1", "")
}

/// Every entry about some things and about what is about them, their own versions included, but for laps and
/// what is about those: little, however much was measured.
pub(crate) async fn without_laps(
    connection: &mut Connection<'_>,
    things: &[Id],
) -> Result<Vec<Entry>, Trouble> {
    let mut found = Vec::new();
    for (list, values) in lists(things) {
        found.extend(whole(connection, without_laps_sql(&list), values).await?);
    }
    found.sort_by_key(|entry| entry.id);
    Ok(found)
}

/// The question that [`without_laps`] asks of the things in a list.
pub(crate) fn without_laps_sql(list: &str) -> String {
    below_sql(list, r#"AND e."kind" <> 'lap'"#)
}

/// The things in a list with all that is about them, and all that is about that, as far as it `goes_on`, in every
/// version there is. `CROSS JOIN` holds SQLite to the order in which the indexes serve.
fn below_sql(list: &str, goes_on: &str) -> String {
    format!(
        r#"WITH RECURSIVE below ("thing") AS (
            SELECT "thing" FROM entry WHERE "id" IN ({list})
            UNION
            SELECT e."thing" FROM below b CROSS JOIN entry e WHERE e."about" = b."thing" {goes_on}
        )
        SELECT {HEAD} FROM below b CROSS JOIN entry e WHERE e."id" = b."thing"
        UNION ALL
        SELECT {HEAD} FROM below b CROSS JOIN entry e
        WHERE e."thing" = b."thing" AND e."supersedes" IS NOT NULL"#
    )
}

/// What was said of a thing, first and later, without what is about it.
pub(crate) async fn versions(
    connection: &mut Connection<'_>,
    thing: Id,
) -> Result<Vec<Entry>, Trouble> {
    whole(connection, versions_sql(), vec![Cell::Id(Some(thing))]).await
}

/// The question that [`versions`] asks; any version tells of which thing it is.
pub(crate) fn versions_sql() -> String {
    format!(
        r#"SELECT {HEAD} FROM entry named CROSS JOIN entry e
        WHERE named."id" = $1 AND e."id" = named."thing"
        UNION ALL
        SELECT {HEAD} FROM entry named CROSS JOIN entry e
        WHERE named."id" = $1 AND e."thing" = named."thing" AND e."supersedes" IS NOT NULL"#
    )
}

/// The next entries after an id, in their order.
pub(crate) async fn after(
    connection: &mut Connection<'_>,
    after: Option<Id>,
    most: usize,
) -> Result<Vec<Entry>, Trouble> {
    let mut values = vec![whole_number(most)];
    values.extend(after.map(|id| Cell::Id(Some(id))));
    whole(connection, after_sql(after.is_some()), values).await
}

/// The question that [`after`] asks.
pub(crate) fn after_sql(after: bool) -> String {
    let beyond = if after { r#"WHERE e."id" > $2"# } else { "" };
    format!(r#"SELECT {HEAD} FROM entry e {beyond} ORDER BY e."id" LIMIT $1"#)
}

/// Everything of a kind that is about nothing else, each in every version.
pub(crate) async fn kind(
    connection: &mut Connection<'_>,
    kind: Kind,
) -> Result<Vec<Entry>, Trouble> {
    let values = vec![Cell::Text(Some(kind.word().into()))];
    whole(connection, kind_sql(), values).await
}

/// The question that [`kind`] asks.
pub(crate) fn kind_sql() -> String {
    format!(r#"SELECT {HEAD} FROM entry e WHERE e."kind" = $1 AND e."about" IS NULL"#)
}

/// The laps that were taken with a gauge, in every version.
pub(crate) async fn laps_with(
    connection: &mut Connection<'_>,
    gauge: Id,
) -> Result<Vec<Entry>, Trouble> {
    whole(connection, laps_with_sql(), vec![Cell::Id(Some(gauge))]).await
}

/// The question that [`laps_with`] asks.
pub(crate) fn laps_with_sql() -> String {
    format!(
        r#"SELECT {HEAD} FROM laps l CROSS JOIN entry e WHERE l."gauge" = $1 AND e."id" = l."id""#
    )
}

/// Everything that was taken out of view or brought back, in every version.
pub(crate) async fn withdrawals(connection: &mut Connection<'_>) -> Result<Vec<Entry>, Trouble> {
    whole(connection, withdrawals_sql(), vec![]).await
}

/// The question that [`withdrawals`] asks.
pub(crate) fn withdrawals_sql() -> String {
    format!(r#"SELECT {HEAD} FROM withdrawals w CROSS JOIN entry e WHERE e."id" = w."id""#)
}

/// The entries with these ids, as far as they are in the ledger.
pub(crate) async fn entries(
    connection: &mut Connection<'_>,
    ids: &[Id],
) -> Result<Vec<Entry>, Trouble> {
    let mut found = Vec::new();
    for (list, values) in lists(ids) {
        found.extend(whole(connection, heads_sql(&list), values).await?);
    }
    found.sort_by_key(|entry| entry.id);
    Ok(found)
}

/// The heads of the entries in a list.
pub(crate) fn heads_sql(list: &str) -> String {
    format!(r#"SELECT {HEAD} FROM entry e WHERE e."id" IN ({list})"#)
}

/// The question that [`newest`] asks.
pub(crate) const NEWEST: &str = r#"SELECT "id", "at" FROM entry ORDER BY "id" DESC LIMIT 1"#;

/// The newest entry's id and moment.
pub(crate) async fn newest(
    connection: &mut Connection<'_>,
) -> Result<Option<(Id, Moment)>, Trouble> {
    let rows = connection
        .rows(NEWEST.into(), vec![], &[Sort::Id, Sort::Whole])
        .await?;
    Ok(match rows.first().map(Vec::as_slice) {
        Some([Cell::Id(Some(id)), Cell::Whole(Some(at))]) => Some((*id, Moment::from_micros(*at))),
        _ => None,
    })
}

/// Lists of at most [`LIST`] ids with their places; the last id is repeated to fill a list up.
pub(crate) fn lists(ids: &[Id]) -> impl Iterator<Item = (String, Vec<Cell>)> {
    ids.chunks(LIST).map(|chunk| {
        let length = chunk.len().next_power_of_two();
        let filled = chunk
            .iter()
            .chain(std::iter::repeat(&chunk[chunk.len() - 1]));
        let values = filled.take(length).map(|id| Cell::Id(Some(*id))).collect();
        (places(1, length), values)
    })
}

fn whole_number(number: usize) -> Cell {
    Cell::Whole(Some(i64::try_from(number).unwrap_or(i64::MAX)))
}

/// The entries whose heads a question yields, in the order of their ids.
async fn whole(
    connection: &mut Connection<'_>,
    sql: String,
    values: Vec<Cell>,
) -> Result<Vec<Entry>, Trouble> {
    let rows = connection.rows(sql, values, &HEAD_SORTS).await?;
    let mut heads = rows
        .into_iter()
        .map(head)
        .collect::<Result<Vec<Head>, Trouble>>()?;
    heads.sort_by_key(|head| head.id);
    let mut bodies = bodies(connection, &heads).await?;
    let entry = |head: Head| {
        let body = bodies.remove(&head.id).ok_or_else(|| Trouble::Damaged {
            said: format!("entry {} has no row in `{}`", head.id, head.kind.table()),
        })?;
        Ok(Entry {
            id: head.id,
            stamp: head.stamp,
            correction: head.correction,
            body,
        })
    };
    heads.into_iter().map(entry).collect()
}

/// What stands of an entry in the table of all.
struct Head {
    id: Id,
    kind: Kind,
    stamp: Stamp,
    correction: Option<Correction>,
}

fn head(cells: Vec<Cell>) -> Result<Head, Trouble> {
    let damaged = |said: String| Trouble::Damaged { said };
    let cells: [Cell; 8] = cells
        .try_into()
        .map_err(|_| damaged("the head of an entry has another number of columns".into()))?;
    match cells {
        [
            Cell::Id(Some(id)),
            Cell::Text(Some(kind)),
            Cell::Whole(Some(at)),
            Cell::Text(Some(zone)),
            Cell::Text(Some(by)),
            Cell::Text(Some(origin)),
            Cell::Id(supersedes),
            Cell::Text(why),
        ] => Ok(Head {
            id,
            kind: Kind::of_word(&kind)
                .ok_or_else(|| damaged(format!("entry {id} is of no known kind: `{kind}`")))?,
            stamp: Stamp {
                at: Moment::from_micros(at),
                zone,
                by,
                origin: Origin::of_word(&origin).ok_or_else(|| {
                    damaged(format!("entry {id} is of no known origin: `{origin}`"))
                })?,
            },
            correction: supersedes
                .zip(why)
                .map(|(supersedes, why)| Correction { supersedes, why }),
        }),
        cells => Err(damaged(format!(
            "the head of an entry is incomplete: {cells:?}"
        ))),
    }
}

/// The content of entries by their ids.
async fn bodies(
    connection: &mut Connection<'_>,
    heads: &[Head],
) -> Result<HashMap<Id, Body>, Trouble> {
    let mut by_kind: BTreeMap<Kind, Vec<Id>> = BTreeMap::new();
    for head in heads {
        by_kind.entry(head.kind).or_default().push(head.id);
    }
    let mut bodies = HashMap::new();
    for (kind, ids) in by_kind {
        let mut sorts = vec![Sort::Id];
        sorts.extend(kind.columns().iter().map(|column| column.sort));
        for (list, values) in lists(&ids) {
            for mut cells in connection
                .rows(bodies_sql(kind, &list), values, &sorts)
                .await?
            {
                let content = cells.split_off(1);
                if let [Cell::Id(Some(id))] = cells[..] {
                    let body =
                        Body::of(kind, content).map_err(|misfit| damaged(id, kind, &misfit))?;
                    bodies.insert(id, body);
                }
            }
        }
    }
    Ok(bodies)
}

/// The content of the entries in a list.
pub(crate) fn bodies_sql(kind: Kind, list: &str) -> String {
    let columns = kind.columns().iter();
    let columns: Vec<String> = columns
        .map(|column| format!(r#""{}""#, column.name))
        .collect();
    let (columns, table) = (columns.join(", "), kind.table());
    format!(r#"SELECT "id", {columns} FROM {table} WHERE "id" IN ({list})"#)
}

fn damaged(id: Id, kind: Kind, misfit: &Misfit) -> Trouble {
    Trouble::Damaged {
        said: format!("entry {id} in `{}`: {misfit}", kind.table()),
    }
}
