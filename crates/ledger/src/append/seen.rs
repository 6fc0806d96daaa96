//! That nothing came in about a thing between the look at it and the writing that rests on that look.

use crate::cell::{Cell, Sort};
use crate::id::Id;
use crate::store::{Connection, Trouble};

/// How much there was about a thing, and about what is about it, when somebody looked.
///
/// Taken before the look, it tells of whatever came later, whichever program on the record put that in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    thing: Id,
    entries: i64,
}

/// The question how many entries there are about a thing and about what is about it.
pub(crate) const COUNT: &str = r#"SELECT (SELECT count(*) FROM entry WHERE "about" = $1)
        + (SELECT count(*) FROM entry near CROSS JOIN entry e
           WHERE near."about" = $1 AND near."supersedes" IS NULL AND e."about" = near."id")"#;

/// The question that holds a thing until the transaction ends: whoever holds it too waits. What only names it does not.
const HOLD: &str = r#"SELECT "id" FROM entry WHERE "id" = $1 FOR NO KEY UPDATE"#;

/// How much there is about a thing.
pub(crate) async fn of_thing(connection: &mut Connection<'_>, thing: Id) -> Result<Seen, Trouble> {
    let values = vec![Cell::Id(Some(thing))];
    let rows = connection
        .rows(COUNT.into(), values, &[Sort::Whole])
        .await?;
    let entries = match rows.first().map(Vec::as_slice) {
        Some([Cell::Whole(Some(entries))]) => *entries,
        _ => 0,
    };
    Ok(Seen { thing, entries })
}

impl Seen {
    /// The thing.
    pub(crate) fn thing(self) -> Id {
        self.thing
    }
}

/// Whether a thing is as it was seen, and stays so until the transaction that is under way ends.
pub(crate) async fn is_as_seen(
    connection: &mut Connection<'_>,
    seen: Seen,
) -> Result<bool, Trouble> {
    // A file is written by one hand at a time anyway.
    if let Connection::Postgres(_) = connection {
        let values = vec![Cell::Id(Some(seen.thing))];
        connection.rows(HOLD.into(), values, &[Sort::Id]).await?;
    }
    Ok(of_thing(connection, seen.thing).await? == seen)
}
