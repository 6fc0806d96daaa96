//! One line of an export: the first, an entry, bytes that are kept, the last.

use super::SCHEMA;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use jiff::Timestamp;
use ledger::entry::{Body, Correction, Entry, Origin, Stamp};
use ledger::{Cell, Column, Hash, Id, Kind, Moment, Sort};
use serde_json::{Map, Value};

/// What a line says.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Line {
    /// The format.
    First,
    /// An entry.
    Entry(Box<Entry>),
    /// The bytes of a photo or a report.
    Kept(Vec<u8>),
    /// How many entries there were, and how many bytes of photos and reports.
    Last { entries: u64, kept: u64 },
}

/// Columns that hold a moment, told as an instant of UTC.
const MOMENTS: [&str; 1] = ["taken"];

/// Why a line says nothing: the character it stands at, when that is known, and what is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Wrong {
    pub(super) column: usize,
    pub(super) what: String,
}

fn wrong(what: impl Into<String>) -> Wrong {
    Wrong {
        column: 1,
        what: what.into(),
    }
}

impl Line {
    /// The line, with its line break.
    pub(super) fn text(&self) -> String {
        let members = match self {
            Self::First => vec![("schema", text(SCHEMA))],
            Self::Entry(entry) => members(entry),
            Self::Kept(bytes) => vec![
                ("kept", text(&Hash::of(bytes).to_string())),
                ("base64", text(&STANDARD.encode(bytes))),
            ],
            Self::Last { entries, kept } => {
                vec![("entries", entries.to_string()), ("kept", kept.to_string())]
            }
        };
        object(members) + "\n"
    }

    /// What a line says.
    pub(super) fn read(line: &str) -> Result<Self, Wrong> {
        let value: Value = serde_json::from_str(line).map_err(|error| Wrong {
            column: error.column(),
            what: format!("this is no JSON: {error}"),
        })?;
        let Value::Object(mut members) = value else {
            return Err(wrong("a line holds one JSON object"));
        };
        if let Some(schema) = members.remove("schema") {
            return match schema.as_str() {
                Some(SCHEMA) => Ok(Self::First),
                _ => Err(wrong(format!(
                    "the format is {schema}, and this program reads {SCHEMA}"
                ))),
            };
        }
        if members.contains_key("base64") {
            return kept(&mut members);
        }
        if members.contains_key("entries") {
            let mut count = |key: &str| {
                let number = members.remove(key).and_then(|value| value.as_u64());
                number.ok_or_else(|| wrong(format!("`{key}` is no number")))
            };
            return Ok(Self::Last {
                entries: count("entries")?,
                kept: count("kept")?,
            });
        }
        Ok(Self::Entry(Box::new(entry(members)?)))
    }
}

/// A JSON object of members that are JSON already, in this order.
fn object(members: Vec<(&str, String)>) -> String {
    let members: Vec<String> = members
        .into_iter()
        .map(|(key, value)| format!("{}:{value}", text(key)))
        .collect();
    format!("{{{}}}", members.join(","))
}

fn text(text: &str) -> String {
    Value::from(text).to_string()
}

fn members(entry: &Entry) -> Vec<(&'static str, String)> {
    let Stamp {
        at,
        zone,
        by,
        origin,
    } = &entry.stamp;
    let mut members = vec![
        ("id", text(&entry.id.to_string())),
        ("at", instant(*at)),
        ("zone", text(zone)),
        ("by", text(by)),
        ("origin", text(origin.word())),
    ];
    if let Some(Correction { supersedes, why }) = &entry.correction {
        members.push(("supersedes", text(&supersedes.to_string())));
        members.push(("why", text(why)));
    }
    let kind = entry.body.kind();
    let columns = kind.columns().iter().zip(entry.body.cells());
    let content =
        columns.filter_map(|(column, cell)| Some((column.name, cell_text(column, cell)?)));
    members.push((kind.word(), object(content.collect())));
    members
}

/// A cell as JSON; nothing where it is empty.
fn cell_text(column: &Column, cell: Cell) -> Option<String> {
    match cell {
        Cell::Id(id) => id.map(|id| text(&id.to_string())),
        Cell::Whole(number) if MOMENTS.contains(&column.name) => {
            number.map(|micros| instant(Moment::from_micros(micros)))
        }
        Cell::Whole(number) => number.map(|number| number.to_string()),
        Cell::Number(number) => number.map(|number| Value::from(number).to_string()),
        Cell::Text(content) => content.map(|content| text(&content)),
    }
}

/// An instant of UTC; beyond the calendar the microseconds since 1970.
fn instant(at: Moment) -> String {
    let told = Timestamp::from_microsecond(at.to_micros());
    told.map_or_else(
        |_| at.to_micros().to_string(),
        |told| text(&told.to_string()),
    )
}

fn moment(key: &str, value: &Value) -> Result<Moment, Wrong> {
    let told = value
        .as_str()
        .and_then(|text| text.parse::<Timestamp>().ok());
    let micros = told.map(Timestamp::as_microsecond).or(value.as_i64());
    micros.map(Moment::from_micros).ok_or_else(|| {
        wrong(format!(
            "`{key}` is {value}, and is to be an instant such as \"2026-03-04T09:20:00Z\""
        ))
    })
}

fn kept(members: &mut Map<String, Value>) -> Result<Line, Wrong> {
    let hash: Hash = taken(members, "kept")?.parse().map_err(wrong)?;
    let bytes = STANDARD
        .decode(taken(members, "base64")?)
        .map_err(|why| wrong(format!("`base64` cannot be read: {why}")))?;
    if Hash::of(&bytes) != hash {
        return Err(wrong(format!("the bytes are others than those of {hash}")));
    }
    Ok(Line::Kept(bytes))
}

fn entry(mut members: Map<String, Value>) -> Result<Entry, Wrong> {
    let id = id("id", &taken(&mut members, "id")?)?;
    let at = members
        .remove("at")
        .ok_or_else(|| wrong("`at` is missing"))?;
    let origin = taken(&mut members, "origin")?;
    let stamp = Stamp {
        at: moment("at", &at)?,
        zone: taken(&mut members, "zone")?,
        by: taken(&mut members, "by")?,
        origin: Origin::of_word(&origin)
            .ok_or_else(|| wrong(format!("`origin` is `{origin}`, and may be shop or demo")))?,
    };
    let correction = match members.remove("supersedes") {
        None => None,
        Some(value) => Some(Correction {
            supersedes: self::id("supersedes", value.as_str().unwrap_or_default())?,
            why: taken(&mut members, "why")?,
        }),
    };
    let mut rest = members.into_iter();
    let (Some((word, content)), None) = (rest.next(), rest.next()) else {
        return Err(wrong(
            "beside id, at, zone, by, origin, supersedes and why an entry has one member: what it tells",
        ));
    };
    let kind = Kind::of_word(&word).ok_or_else(|| {
        let known: Vec<_> = Kind::ALL.iter().map(|kind| kind.word()).collect();
        wrong(format!(
            "`{word}` is no kind of entry; there are {}",
            known.join(", ")
        ))
    })?;
    let Value::Object(mut content) = content else {
        return Err(wrong(format!("`{word}` is to be a JSON object")));
    };
    let cells: Vec<Cell> = kind
        .columns()
        .iter()
        .map(|column| cell(column, content.remove(column.name)))
        .collect::<Result<_, _>>()?;
    if let Some(unknown) = content.keys().next() {
        return Err(wrong(format!("a {word} has no `{unknown}`")));
    }
    let body = Body::of(kind, cells).map_err(|misfit| wrong(format!("a {word}, {misfit}")))?;
    Ok(Entry {
        id,
        stamp,
        correction,
        body,
    })
}

fn cell(column: &Column, value: Option<Value>) -> Result<Cell, Wrong> {
    let Some(value) = value.filter(|value| !value.is_null()) else {
        return Ok(Cell::empty(column.sort));
    };
    let name = column.name;
    let misfit = |wanted: &str| wrong(format!("`{name}` is {value}, and is to be {wanted}"));
    Ok(match column.sort {
        Sort::Id => Cell::Id(Some(id(name, value.as_str().unwrap_or_default())?)),
        Sort::Whole if MOMENTS.contains(&name) => {
            Cell::Whole(Some(moment(name, &value)?.to_micros()))
        }
        Sort::Whole => Cell::Whole(Some(
            value.as_i64().ok_or_else(|| misfit("a whole number"))?,
        )),
        Sort::Number => Cell::Number(Some(value.as_f64().ok_or_else(|| misfit("a number"))?)),
        Sort::Text => {
            let content = value.as_str().ok_or_else(|| misfit("a text"))?;
            Cell::Text(Some(content.into()))
        }
    })
}

fn id(key: &str, text: &str) -> Result<Id, Wrong> {
    text.parse()
        .map_err(|why: ledger::NoId| wrong(format!("`{key}`: {why}")))
}

/// The text of a member, taken out.
fn taken(members: &mut Map<String, Value>, key: &str) -> Result<String, Wrong> {
    match members.remove(key) {
        Some(Value::String(text)) => Ok(text),
        Some(other) => Err(wrong(format!("`{key}` is {other}, and is to be a text"))),
        None => Err(wrong(format!("`{key}` is missing"))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const ID: &str = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";

    /// A cell that a column may hold, as random as its sort allows.
    fn any_cell(column: &'static Column) -> BoxedStrategy<Cell> {
        let id: Id = ID.parse().expect("an id");
        let some = match column.sort {
            Sort::Id => Just(Cell::Id(Some(id))).boxed(),
            Sort::Whole => any::<i64>().prop_map(|one| Cell::Whole(Some(one))).boxed(),
            Sort::Number => prop::num::f64::NORMAL
                .prop_union(prop::num::f64::ZERO)
                .prop_map(|one| Cell::Number(Some(one)))
                .boxed(),
            Sort::Text => "\\PC{0,12}\n?"
                .prop_map(|one| Cell::Text(Some(one)))
                .boxed(),
        };
        match column.optional {
            true => prop_oneof![Just(Cell::empty(column.sort)), some].boxed(),
            false => some,
        }
    }

    fn any_entry() -> impl Strategy<Value = Option<Entry>> {
        let kind = prop::sample::select(Kind::ALL);
        let content = kind.prop_flat_map(|kind| {
            let cells: Vec<_> = kind.columns().iter().map(any_cell).collect();
            (Just(kind), cells)
        });
        let head = ("\\PC{1,8}", "\\PC{1,8}", any::<i64>(), any::<bool>());
        (content, head).prop_map(|((kind, cells), (zone, by, at, corrects))| {
            let id: Id = ID.parse().expect("an id");
            Some(Entry {
                id,
                stamp: Stamp {
                    at: Moment::from_micros(at),
                    zone,
                    by,
                    origin: Origin::Demo,
                },
                correction: corrects.then(|| Correction {
                    supersedes: id,
                    why: "a slip".into(),
                }),
                // Words, labels and hashes are not made up here: such cells fit no body.
                body: Body::of(kind, cells).ok()?,
            })
        })
    }

    proptest! {
        #[test]
        fn entry_reads_as_it_was_written(entry in any_entry()) {
            if let Some(entry) = entry {
                let line = Line::Entry(Box::new(entry));
                let text = line.text();
                prop_assert_eq!(text.matches('\n').count(), 1);
                let read = Line::read(text.trim_end_matches('\n'));
                prop_assert_eq!(read.as_ref(), Ok(&line));
                prop_assert_eq!(read.map(|line| line.text()), Ok(text));
            }
        }

        #[test]
        fn bytes_read_as_they_were_written(bytes in prop::collection::vec(any::<u8>(), 0..50)) {
            let line = Line::Kept(bytes);
            prop_assert_eq!(Line::read(line.text().trim_end()), Ok(line));
        }

        #[test]
        fn whatever_the_line_there_is_no_panic(text in "\\PC{0,60}") {
            let _ = Line::read(&text);
        }
    }

    fn said(line: &str) -> String {
        Line::read(line).expect_err("wrong").what
    }

    #[test]
    fn what_is_wrong_in_a_line_is_named() {
        assert_eq!(Line::read("{\"id\":}").expect_err("wrong").column, 7);
        assert!(said("[]").contains("one JSON object"));
        assert!(said("{\"schema\":\"rimwright.ledger/9\"}").contains("rimwright.ledger/1"));
        assert!(said("{\"id\":\"7\"}").contains("`id`"));
        let head = format!(
            "\"id\":\"{ID}\",\"at\":\"2026-03-04T09:20:00Z\",\"zone\":\"UTC\",\"by\":\"M\""
        );
        let line = |rest: &str| format!("{{{head},\"origin\":\"shop\"{rest}}}");
        assert!(said(&line("")).contains("one member"));
        assert!(
            said(&line(",\"lathe\":{}")).contains("no kind of entry; there are mechanic, wheel")
        );
        assert!(said(&line(",\"rig\":{}")).contains("column `name`"));
        assert!(said(&line(",\"rig\":{\"name\":7}")).contains("`name` is 7, and is to be a text"));
        let extra = said(&line(",\"rig\":{\"name\":\"screw\",\"colour\":\"red\"}"));
        assert_eq!(extra, "a rig has no `colour`");
        assert!(Line::read(&line(",\"rig\":{\"name\":\"screw\",\"note\":null}")).is_ok());
        let other = format!("{{\"kept\":\"{}\",\"base64\":\"YQ==\"}}", Hash::of(b"b"));
        assert!(said(&other).contains("others"));
    }
}
