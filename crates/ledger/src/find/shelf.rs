//! The shelf: wheels in short, the one that was here last first.

use super::{first_id, in_view, limit, stands};
use crate::cell::{Cell, Sort};
use crate::id::{Id, Moment};
use crate::label::Label;
use crate::read::lists;
use crate::store::{Connection, Trouble};
use std::collections::BTreeMap;

/// A wheel as it stands on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct OnShelf {
    /// The wheel.
    pub wheel: Id,
    /// Its label.
    pub label: Label,
    /// What it is called.
    pub name: String,
    /// Whose it is.
    pub owner: Option<String>,
    /// How the owner is reached.
    pub contact: Option<String>,
    /// Its visits, the newest one first.
    pub visits: Vec<ShelfVisit>,
}

/// A visit in short.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfVisit {
    /// The visit.
    pub visit: Id,
    /// When it took place.
    pub taken: Moment,
    /// The zone that was read in.
    pub taken_zone: String,
    /// What was asked of the shop.
    pub asked: Option<String>,
}

/// Where the next page of the shelf begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct ShelfMark {
    at: Moment,
    entry: Id,
}

/// A page of the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfPage {
    /// Wheels, the one that was here last first.
    pub wheels: Vec<OnShelf>,
    /// Where the next page begins, when there is one.
    pub next: Option<ShelfMark>,
}

/// A page of the shelf: the wheel that was here last first, after a mark when one is given. A wheel that had no
/// visit yet stands where it was entered.
pub(crate) async fn shelf(
    connection: &mut Connection<'_>,
    after: Option<ShelfMark>,
    most: usize,
) -> Result<ShelfPage, Trouble> {
    let mut places = visited(connection, after, most + 1).await?; // one more tells whether there is another page
    let last = places.get(most).map(|(mark, _)| *mark);
    places.extend(unvisited(connection, after, last, most + 1).await?);
    places.sort_by(|one, other| other.cmp(one));
    let more = places.len() > most;
    places.truncate(most);
    let wheels: Vec<Id> = places.iter().map(|(_, wheel)| *wheel).collect();
    Ok(ShelfPage {
        next: places.last().filter(|_| more).map(|(mark, _)| *mark),
        wheels: on_shelf(connection, &wheels).await?,
    })
}

/// Wheels by their newest visit, the newest first.
async fn visited(
    connection: &mut Connection<'_>,
    after: Option<ShelfMark>,
    most: usize,
) -> Result<Vec<(ShelfMark, Id)>, Trouble> {
    let mut values = vec![limit(most)];
    if let Some(mark) = after {
        values.push(Cell::Whole(Some(mark.at.to_micros())));
        values.push(Cell::Id(Some(mark.entry)));
    }
    let sorts = [Sort::Id, Sort::Whole, Sort::Id];
    let rows = connection
        .rows(visited_sql(after.is_some()), values, &sorts)
        .await?;
    let place = |row: Vec<Cell>| match row[..] {
        [
            Cell::Id(Some(wheel)),
            Cell::Whole(Some(at)),
            Cell::Id(Some(entry)),
        ] => {
            let at = Moment::from_micros(at);
            Some((ShelfMark { at, entry }, wheel))
        }
        _ => None,
    };
    Ok(rows.into_iter().filter_map(place).collect())
}

/// The question that [`visited`] asks.
pub(crate) fn visited_sql(after: bool) -> String {
    let before = match after {
        true => r#"(v."taken", v."id") < ($2, $3) AND"#,
        false => "",
    };
    format!(
        r#"SELECT e."about", v."taken", v."id" FROM visits v CROSS JOIN entry e
        WHERE {before} e."id" = v."id" AND {} AND {} AND {}
        AND NOT EXISTS (
            SELECT 1 FROM entry n CROSS JOIN visits nv
            WHERE n."about" = e."about" AND n."kind" = 'visit' AND nv."id" = n."id"
            AND (nv."taken", nv."id") > (v."taken", v."id") AND {} AND {}
        )
        ORDER BY v."taken" DESC, v."id" DESC LIMIT $1"#,
        stands!(r#"e."id""#),
        in_view!(r#"e."thing""#),
        in_view!(r#"e."about""#),
        stands!(r#"n."id""#),
        in_view!(r#"n."thing""#),
    )
}

/// Wheels without a visit, by when they were entered, between two marks: as far as visits are shown.
async fn unvisited(
    connection: &mut Connection<'_>,
    after: Option<ShelfMark>,
    last: Option<ShelfMark>,
    most: usize,
) -> Result<Vec<(ShelfMark, Id)>, Trouble> {
    const MILLISECOND: i64 = 1000;
    let next = |at: Moment| Moment::from_micros(at.to_micros().saturating_add(MILLISECOND));
    let above = after.map_or(Id::greatest(), |mark| Id::least_at(next(mark.at)));
    let from = last.map_or(Moment::from_micros(0), |mark| mark.at);
    let values = vec![
        limit(most),
        Cell::Id(Some(Id::least_at(from))),
        Cell::Id(Some(above)),
    ];
    let rows = connection
        .rows(unvisited_sql(), values, &[Sort::Id])
        .await?;
    let place = |wheel: Id| {
        let (at, entry) = (wheel.moment(), wheel);
        (ShelfMark { at, entry }, wheel)
    };
    let places = rows.into_iter().filter_map(first_id).map(place);
    Ok(places
        .filter(|(mark, _)| after.is_none_or(|after| *mark < after))
        .collect())
}

/// The question that [`unvisited`] asks.
pub(crate) fn unvisited_sql() -> String {
    format!(
        r#"SELECT e."id" FROM entry e
        WHERE e."kind" = 'wheel' AND e."about" IS NULL AND e."supersedes" IS NULL
        AND e."id" >= $2 AND e."id" < $3 AND {}
        AND NOT EXISTS (
            SELECT 1 FROM entry n WHERE n."about" = e."id" AND n."kind" = 'visit' AND {} AND {}
        )
        ORDER BY e."id" DESC LIMIT $1"#,
        in_view!(r#"e."id""#),
        stands!(r#"n."id""#),
        in_view!(r#"n."thing""#),
    )
}

/// What stands of these wheels on the shelf, in the order given, each once.
pub(super) async fn on_shelf(
    connection: &mut Connection<'_>,
    wheels: &[Id],
) -> Result<Vec<OnShelf>, Trouble> {
    let mut cards: BTreeMap<Id, OnShelf> = BTreeMap::new();
    let damaged = |said: String| Trouble::Damaged { said };
    for (list, values) in lists(wheels) {
        let sorts = [Sort::Id, Sort::Text, Sort::Text, Sort::Text, Sort::Text];
        let rows = connection
            .rows(cards_sql(&list), values.clone(), &sorts)
            .await?;
        for row in rows {
            if let [
                Cell::Id(Some(wheel)),
                Cell::Text(Some(label)),
                Cell::Text(Some(name)),
                Cell::Text(owner),
                Cell::Text(contact),
            ] = row.as_slice()
            {
                let card = OnShelf {
                    wheel: *wheel,
                    label: label.parse().map_err(|why| damaged(format!("{why}")))?,
                    name: name.clone(),
                    owner: owner.clone(),
                    contact: contact.clone(),
                    visits: Vec::new(),
                };
                cards.insert(*wheel, card);
            }
        }
        let sorts = [Sort::Id, Sort::Id, Sort::Whole, Sort::Text, Sort::Text];
        for row in connection.rows(visits_sql(&list), values, &sorts).await? {
            if let [
                Cell::Id(Some(wheel)),
                Cell::Id(Some(visit)),
                Cell::Whole(Some(taken)),
                Cell::Text(Some(zone)),
                Cell::Text(asked),
            ] = row.as_slice()
                && let Some(card) = cards.get_mut(wheel)
            {
                card.visits.push(ShelfVisit {
                    visit: *visit,
                    taken: Moment::from_micros(*taken),
                    taken_zone: zone.clone(),
                    asked: asked.clone(),
                });
            }
        }
    }
    let mut shelf: Vec<OnShelf> = wheels
        .iter()
        .filter_map(|wheel| cards.remove(wheel))
        .collect();
    for card in &mut shelf {
        card.visits
            .sort_by_key(|visit| std::cmp::Reverse((visit.taken, visit.visit)));
    }
    Ok(shelf)
}

/// The standing entries of wheels: the first one when it stands, else the last of the later ones.
pub(crate) fn cards_sql(list: &str) -> String {
    let columns = r#"e."thing", w."label", w."name", w."owner", w."contact""#;
    format!(
        r#"SELECT {columns} FROM entry e CROSS JOIN wheels w
        WHERE e."id" IN ({list}) AND w."id" = e."id" AND {stands}
        UNION ALL
        SELECT {columns} FROM entry e CROSS JOIN wheels w
        WHERE e."thing" IN ({list}) AND e."supersedes" IS NOT NULL AND w."id" = e."id" AND {stands}"#,
        stands = stands!(r#"e."id""#)
    )
}

/// The visits of wheels.
pub(crate) fn visits_sql(list: &str) -> String {
    format!(
        r#"SELECT e."about", e."thing", v."taken", v."taken_zone", v."asked"
        FROM entry e CROSS JOIN visits v
        WHERE e."about" IN ({list}) AND e."kind" = 'visit' AND v."id" = e."id" AND {} AND {}"#,
        stands!(r#"e."id""#),
        in_view!(r#"e."thing""#),
    )
}
