//! What would be refused of entries, found out without writing any.

use super::{Batch, Named, Refusal, rows, sound};
use crate::entry::{Entry, Kind};
use crate::id::Id;
use crate::ledger::Ledger;
use crate::store::Trouble;

/// Entries on trial, page by page: each is held against the ledger and against those before it, and none is
/// written.
#[derive(Debug)]
pub struct Rehearsal {
    ledger: Ledger,
    batch: Batch,
    /// Readings are most of a ledger, and little need be known of them.
    readings: Vec<Id>,
}

impl Rehearsal {
    pub(crate) fn of(ledger: Ledger) -> Self {
        Self {
            ledger,
            batch: Batch::default(),
            readings: Vec::new(),
        }
    }

    /// Which of the next entries would be refused, by their place in the page. Pages come in the order of ids.
    /// What hangs on an entry that is refused is not refused for that.
    ///
    /// # Errors
    /// [`Trouble`] when the store cannot be read.
    pub async fn page(&mut self, entries: &[Entry]) -> Result<Vec<(usize, Refusal)>, Trouble> {
        let mut reader = self.ledger.reader().await?;
        let mut connection = reader.connection();
        let there = rows::there(&mut connection, entries).await?;
        let known = rows::known(&mut connection, entries).await?;
        self.batch.named.extend(known.named);
        for (superseded, by) in known.superseded {
            self.batch.superseded.entry(superseded).or_insert(by);
        }
        for (label, wheel) in known.labels {
            self.batch.labels.entry(label).or_insert(wheel);
        }
        let mut refused = Vec::new();
        for (place, entry) in entries.iter().enumerate() {
            let on_trial = match there.get(&entry.id) {
                Some(same) if same == entry => continue,
                Some(_) => Err(Refusal::OtherContent { id: entry.id }),
                None => self.put(entry),
            };
            refused.extend(on_trial.err().map(|refusal| (place, refusal)));
        }
        Ok(refused)
    }

    fn put(&mut self, entry: &Entry) -> Result<(), Refusal> {
        let (id, kind) = (entry.id, entry.body.kind());
        let named = Named { kind, thing: id };
        for reading in names(entry) {
            if self.readings.binary_search(&reading).is_ok() {
                let (kind, thing) = (Kind::Reading, reading);
                self.batch.named.insert(reading, Named { kind, thing });
            }
        }
        let on_trial = sound(entry).and_then(|()| self.batch.put(entry));
        self.batch.heads.clear();
        self.batch.bodies.clear();
        self.batch.aids.clear();
        match kind {
            Kind::Reading => {
                self.batch.named.remove(&id);
                self.readings.push(id);
            }
            _ => {
                self.batch.named.entry(id).or_insert(named);
            }
        }
        on_trial
    }
}

/// What an entry names.
fn names(entry: &Entry) -> impl Iterator<Item = Id> {
    let references = entry.body.references().into_iter();
    let superseded = entry.correction.iter().map(|of| of.supersedes);
    let superseded: Vec<Id> = superseded.collect();
    references.map(|reference| reference.id).chain(superseded)
}
