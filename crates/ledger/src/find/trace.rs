//! Which wheels have a part that is called back.

use super::shelf::{OnShelf, on_shelf};
use super::{in_view, stands};
use crate::aids::counted;
use crate::cell::{Cell, Sort};
use crate::id::Id;
use crate::store::{Connection, Trouble};
use std::collections::BTreeMap;

/// What to trace: the parts of a maker, by lot, by serial, or all of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trace {
    /// The maker.
    pub maker: String,
    /// Which of its parts.
    pub which: Which,
}

/// Which parts of a maker.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Which {
    /// All of them.
    All,
    /// Those with a lot from the first to the last, both included.
    Lots(String, String),
    /// Those with a serial from the first to the last, both included.
    Serials(String, String),
}

/// A part that was traced.
#[derive(Debug, Clone, PartialEq)]
pub struct Traced {
    /// The part: its standing entry.
    pub part: Id,
    /// Whether it is one of those.
    pub certainty: Certainty,
    /// The wheel it is on.
    pub wheel: OnShelf,
}

/// Whether a part is one of those that are traced.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    /// Its lot or serial is in the range.
    InRange,
    /// Its lot or serial was not noted: to be taken for one of them until somebody looks.
    Unknown,
}

/// The parts of a maker in a range, and those of which nobody knows.
pub(crate) async fn trace(
    connection: &mut Connection<'_>,
    trace: &Trace,
) -> Result<Vec<Traced>, Trouble> {
    let text = |text: String| Cell::Text(Some(text));
    let maker = text(counted(&trace.maker));
    let questions = match &trace.which {
        Which::All => vec![(Certainty::InRange, trace_sql("maker"), vec![maker])],
        Which::Lots(first, last) | Which::Serials(first, last) => {
            let column = match &trace.which {
                Which::Lots(..) => "lot",
                _ => "serial",
            };
            let range = [text(counted(first)), text(counted(last))];
            let unknown = [text(String::new()), text(String::new())];
            [(Certainty::InRange, range), (Certainty::Unknown, unknown)]
                .map(|(certainty, [from, to])| {
                    (certainty, trace_sql(column), vec![maker.clone(), from, to])
                })
                .into()
        }
    };
    let mut parts: Vec<(Certainty, Id, Id)> = Vec::new();
    for (certainty, sql, values) in questions {
        for row in connection.rows(sql, values, &[Sort::Id, Sort::Id]).await? {
            if let [Cell::Id(Some(part)), Cell::Id(Some(wheel))] = row[..] {
                parts.push((certainty, part, wheel));
            }
        }
    }
    parts.sort();
    let wheels: Vec<Id> = parts.iter().map(|(_, _, wheel)| *wheel).collect();
    let cards = on_shelf(connection, &wheels).await?;
    let cards: BTreeMap<Id, OnShelf> = cards.into_iter().map(|card| (card.wheel, card)).collect();
    let traced = parts.into_iter().filter_map(|(certainty, part, wheel)| {
        let wheel = cards.get(&wheel)?.clone();
        Some(Traced {
            part,
            certainty,
            wheel,
        })
    });
    Ok(traced.collect())
}

/// The question that [`trace`] asks, by `lot`, `serial` or the `maker` alone.
pub(crate) fn trace_sql(column: &str) -> String {
    let range = match column {
        "maker" => String::new(),
        column => format!(r#"AND p."{column}" >= $2 AND p."{column}" <= $3"#),
    };
    format!(
        r#"SELECT e."id", e."about" FROM find_parts p CROSS JOIN entry e
        WHERE p."maker" = $1 {range} AND e."id" = p."entry" AND {} AND {} AND {}"#,
        stands!(r#"e."id""#),
        in_view!(r#"e."thing""#),
        in_view!(r#"e."about""#),
    )
}
