//! Finding wheels: by a word, by when they were here, by a part that is called back.

pub(crate) mod shelf;
pub(crate) mod trace;

pub use shelf::{OnShelf, ShelfMark, ShelfPage, ShelfVisit};
pub use trace::{Certainty, Trace, Traced, Which};

pub(crate) use shelf::shelf;
pub(crate) use trace::trace;

use crate::aids::words;
use crate::cell::{Cell, Sort};
use crate::id::Id;
use crate::store::{Connection, Trouble};

/// That the entry `$entry` was not superseded.
macro_rules! stands {
    ($entry:literal) => {
        concat!(
            r#"NOT EXISTS (SELECT 1 FROM entry later WHERE later."supersedes" = "#,
            $entry,
            ")"
        )
    };
}

/// That the thing `$thing` was not withdrawn.
macro_rules! in_view {
    ($thing:literal) => {
        concat!(
            r#"NOT EXISTS (
                SELECT 1 FROM entry gone CROSS JOIN withdrawals w
                WHERE gone."about" = "#,
            $thing,
            r#" AND gone."kind" = 'withdrawal' AND w."id" = gone."id" AND w."standing" = 'withdrawn'
                AND "#,
            stands!(r#"gone."id""#),
            ")"
        )
    };
}

use {in_view, stands};

/// Beyond every word that begins with a text.
const BEYOND: char = '\u{10ffff}';

/// Wheels of which every word of `text` begins a word: of label, name or owner, or of a part's maker, model, lot
/// or serial. The order is that of the first wheels that have the longest word.
pub(crate) async fn wheels(
    connection: &mut Connection<'_>,
    text: &str,
    most: usize,
) -> Result<Vec<OnShelf>, Trouble> {
    let mut words = words(text);
    words.sort_by_key(|word| std::cmp::Reverse(word.chars().count())); // the longest leads to the fewest
    if words.is_empty() {
        return Ok(Vec::new());
    }
    let mut values = vec![limit(most)];
    for word in &words {
        values.push(Cell::Text(Some(word.clone())));
        values.push(Cell::Text(Some(format!("{word}{BEYOND}"))));
    }
    let rows = connection
        .rows(wheels_sql(words.len()), values, &[Sort::Id])
        .await?;
    let found: Vec<Id> = rows.into_iter().filter_map(first_id).collect();
    shelf::on_shelf(connection, &found).await
}

/// The question that [`wheels`] asks for so many words.
pub(crate) fn wheels_sql(words: usize) -> String {
    let mut sql = String::from(concat!(
        r#"SELECT DISTINCT f."wheel" FROM find_words f
        WHERE f."word" >= $2 AND f."word" < $3 AND "#,
        stands!(r#"f."entry""#),
        " AND ",
        in_view!(r#"f."wheel""#)
    ));
    for number in 1..words {
        let (from, to) = (2 + 2 * number, 3 + 2 * number);
        sql += &format!(
            r#" AND EXISTS (SELECT 1 FROM find_words o WHERE o."wheel" = f."wheel"
                AND o."word" >= ${from} AND o."word" < ${to} AND {})"#,
            stands!(r#"o."entry""#)
        );
    }
    sql + " LIMIT $1"
}

/// The things of the invented workshop that are about nothing else and in view.
pub(crate) async fn demo(connection: &mut Connection<'_>) -> Result<Vec<Id>, Trouble> {
    let rows = connection.rows(DEMO.into(), vec![], &[Sort::Id]).await?;
    Ok(rows.into_iter().filter_map(first_id).collect())
}

/// The question that [`demo`] asks.
pub(crate) const DEMO: &str = concat!(
    r#"SELECT e."id" FROM entry e
    WHERE e."origin" = 'demo' AND e."about" IS NULL AND e."supersedes" IS NULL AND "#,
    in_view!(r#"e."id""#)
);

fn limit(most: usize) -> Cell {
    Cell::Whole(Some(i64::try_from(most).unwrap_or(i64::MAX)))
}

fn first_id(row: Vec<Cell>) -> Option<Id> {
    match row.first() {
        Some(Cell::Id(id)) => *id,
        _ => None,
    }
}
