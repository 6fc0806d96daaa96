//! Putting entries into the ledger: what is refused, and what is written.

use crate::aids::{Aid, aids};
use crate::cell::Cell;
use crate::entry::{Body, Entry, Kind};
use crate::id::{Id, Moment};
use crate::label::Label;
use crate::store::{Connection, Trouble};
use std::collections::{BTreeMap, HashMap};

mod rehearsal;
pub(crate) mod rows;
pub(crate) mod seen;

pub use rehearsal::Rehearsal;
pub use seen::Seen;

/// Why entries were not put in. None of those handed in together was.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// An entry that nobody made, or at no place.
    #[error(
        "entry {id} does not say `{missing}`: every row says who entered it, and in which zone"
    )]
    Nobody {
        /// The entry.
        id: Id,
        /// `by` or `zone`.
        missing: &'static str,
    },
    /// A correction without a reason.
    #[error("entry {id} takes the place of {supersedes} and does not say why")]
    NoReason {
        /// The entry.
        id: Id,
        /// Whose place it takes.
        supersedes: Id,
    },
    /// A number that is none.
    #[error("entry {id}, `{column}`: {value} cannot be kept as a number")]
    NoNumber {
        /// The entry.
        id: Id,
        /// The column.
        column: &'static str,
        /// What was given.
        value: f64,
    },
    /// A character that a database cannot keep.
    #[error(
        "entry {id}, `{column}`: the text holds the character U+0000, which cannot be kept; leave it out"
    )]
    NoText {
        /// The entry.
        id: Id,
        /// The column.
        column: &'static str,
    },
    /// It names an entry that is not there.
    #[error("entry {id} names {named} in `{column}`, which is not in the ledger")]
    Unknown {
        /// The entry.
        id: Id,
        /// The column, or `supersedes`.
        column: &'static str,
        /// What it names.
        named: Id,
    },
    /// It names an entry of another kind.
    #[error("entry {id} names {named} in `{column}`: that is a {}, and may be {}", found.word(), listed(wanted))]
    WrongKind {
        /// The entry.
        id: Id,
        /// The column, or `supersedes`.
        column: &'static str,
        /// What it names.
        named: Id,
        /// The kind that has.
        found: Kind,
        /// The kinds it may have.
        wanted: Vec<Kind>,
    },
    /// It names an entry with a greater id, which cannot have been known when it was made.
    #[error("entry {id} names {named} in `{column}`, whose id is later than its own")]
    NotEarlier {
        /// The entry.
        id: Id,
        /// The column, or `supersedes`.
        column: &'static str,
        /// What it names.
        named: Id,
    },
    /// Somebody else took its place already.
    #[error(
        "{superseded} was changed meanwhile by {who}: {by} took its place\n  \
         Look at what stands there now, then decide again. Nothing was lost."
    )]
    AlreadySuperseded {
        /// The entry that both wanted to take the place of.
        superseded: Id,
        /// The entry that did.
        by: Id,
        /// Who entered that.
        who: String,
        /// When.
        at: Moment,
    },
    /// Something came in about a thing since it was looked at.
    #[error(
        "{thing} was changed while this was decided\n  \
         Look at what stands there now, then decide again. Nothing was lost."
    )]
    NotAsSeen {
        /// The thing.
        thing: Id,
    },
    /// Another entry has the same id.
    #[error("entry {id} is in the ledger with other content; an entry is never changed")]
    OtherContent {
        /// The id of both.
        id: Id,
    },
    /// Another wheel has the label.
    #[error("the label {label} is on another wheel")]
    LabelTaken {
        /// The label.
        label: Label,
        /// The wheel that has it.
        wheel: Id,
    },
    /// A wheel keeps its label.
    #[error("the wheel {wheel} cannot get the label {label}: a wheel keeps the one it has")]
    LabelChanged {
        /// The wheel.
        wheel: Id,
        /// The label it was to get.
        label: Label,
    },
    /// The store could not.
    #[error(transparent)]
    Store(#[from] Trouble),
}

fn listed(kinds: &[Kind]) -> String {
    let words: Vec<_> = kinds.iter().map(|kind| kind.word()).collect();
    words.join(" or ")
}

/// Something that must be known about what was put in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finding {
    /// The clock tells an earlier time than when the newest entry was made. The entry is kept with the time
    /// as it was told; its place is after the others, by its id.
    ClockBehind {
        /// When the newest entry was made.
        newest: Moment,
        /// What the clock tells now.
        told: Moment,
    },
}

/// What became of entries that were handed in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Receipt {
    /// How many were written; all of them are on the disk.
    pub written: usize,
    /// How many were there already, word for word.
    pub known: usize,
    /// What must be known about them.
    pub findings: Vec<Finding>,
}

/// An entry as far as others that name it must know it.
#[derive(Debug, Clone, Copy)]
struct Named {
    kind: Kind,
    thing: Id,
}

/// Entries on their way into the ledger, and what is known of those they name.
#[derive(Debug, Default)]
struct Batch {
    named: HashMap<Id, Named>,
    superseded: HashMap<Id, (Id, String, Moment)>,
    labels: BTreeMap<Label, Id>,
    heads: Vec<Vec<Cell>>,
    bodies: BTreeMap<Kind, Vec<Vec<Cell>>>,
    aids: Vec<Aid>,
}

/// Writes entries that are handed in together, in the order given, within the transaction that is under way.
/// Yields the ones that were not there before.
pub(crate) async fn append(
    connection: &mut Connection<'_>,
    entries: &[Entry],
) -> Result<Vec<Entry>, Refusal> {
    entries.iter().try_for_each(sound)?;
    let mut there = rows::there(connection, entries).await?;
    let mut fresh: Vec<Entry> = Vec::new();
    for entry in entries {
        match there.get(&entry.id) {
            None => {
                there.insert(entry.id, entry.clone());
                fresh.push(entry.clone());
            }
            Some(same) if same == entry => {}
            Some(_) => return Err(Refusal::OtherContent { id: entry.id }),
        }
    }
    let mut batch = rows::known(connection, &fresh).await?;
    for entry in &fresh {
        batch.put(entry)?;
    }
    rows::write(connection, batch).await?;
    Ok(fresh)
}

/// Whether an entry can be kept and read back as it is.
fn sound(entry: &Entry) -> Result<(), Refusal> {
    let id = entry.id;
    for (missing, given) in [("by", &entry.stamp.by), ("zone", &entry.stamp.zone)] {
        if given.trim().is_empty() {
            return Err(Refusal::Nobody { id, missing });
        }
    }
    let mut texts = vec![("by", &*entry.stamp.by), ("zone", &*entry.stamp.zone)];
    if let Some(correction) = &entry.correction {
        let supersedes = correction.supersedes;
        if correction.why.trim().is_empty() {
            return Err(Refusal::NoReason { id, supersedes });
        }
        texts.push(("why", &correction.why));
    }
    let cells = entry.body.cells();
    for (column, cell) in entry.body.kind().columns().iter().zip(&cells) {
        match cell {
            Cell::Number(Some(value)) if !value.is_finite() => {
                return Err(Refusal::NoNumber {
                    id,
                    column: column.name,
                    value: *value,
                });
            }
            Cell::Text(Some(text)) => texts.push((column.name, text)),
            _ => {}
        }
    }
    match texts.iter().find(|(_, text)| text.contains('\0')) {
        Some(&(column, _)) => Err(Refusal::NoText { id, column }),
        None => Ok(()),
    }
}

impl Batch {
    /// Takes up an entry that is not in the ledger, after those before it.
    fn put(&mut self, entry: &Entry) -> Result<(), Refusal> {
        let id = entry.id;
        let kind = entry.body.kind();
        for reference in entry.body.references() {
            self.find(id, reference.column, reference.id, reference.kinds)?;
        }
        let about = entry.body.about();
        let about = about
            .and_then(|about| self.named.get(&about))
            .map(|about| about.thing);
        let thing = match &entry.correction {
            None => id,
            Some(correction) => {
                let superseded = correction.supersedes;
                let thing = self.find(id, "supersedes", superseded, &[kind])?.thing;
                if let Some((by, who, at)) = self.superseded.get(&superseded) {
                    return Err(Refusal::AlreadySuperseded {
                        superseded,
                        by: *by,
                        who: who.clone(),
                        at: *at,
                    });
                }
                let by = (id, entry.stamp.by.clone(), entry.stamp.at);
                self.superseded.insert(superseded, by);
                thing
            }
        };
        if let Body::Wheel(wheel) = &entry.body {
            self.label(wheel.label, thing, entry.correction.is_some())?;
        }
        self.named.insert(id, Named { kind, thing });
        self.heads.push(rows::head(entry, thing, about));
        let mut body = vec![Cell::Id(Some(id))];
        body.extend(entry.body.cells());
        self.bodies.entry(kind).or_default().push(body);
        self.aids.extend(aids(entry, thing, about));
        Ok(())
    }

    /// The entry that another names.
    fn find(
        &self,
        id: Id,
        column: &'static str,
        named: Id,
        wanted: &[Kind],
    ) -> Result<Named, Refusal> {
        let found = *self
            .named
            .get(&named)
            .ok_or(Refusal::Unknown { id, column, named })?;
        if !wanted.contains(&found.kind) {
            return Err(Refusal::WrongKind {
                id,
                column,
                named,
                found: found.kind,
                wanted: wanted.to_vec(),
            });
        }
        if named >= id {
            return Err(Refusal::NotEarlier { id, column, named });
        }
        Ok(found)
    }

    /// Gives a new wheel its label, and sees to it that a known one keeps its own.
    fn label(&mut self, label: Label, thing: Id, corrects: bool) -> Result<(), Refusal> {
        match self.labels.get(&label) {
            Some(&wheel) if wheel == thing => Ok(()),
            Some(&wheel) => Err(Refusal::LabelTaken { label, wheel }),
            None if corrects => Err(Refusal::LabelChanged {
                wheel: thing,
                label,
            }),
            None => {
                self.labels.insert(label, thing);
                Ok(())
            }
        }
    }
}
