//! The ledger as it is at one moment, while others go on writing.

use crate::entry::Entry;
use crate::id::{Id, Ids};
use crate::ledger::Ledger;
use crate::read;
use crate::store::{Held, Trouble};
use std::sync::Arc;

/// All entries as they stood when this was taken, page by page, in their order.
///
/// What others put in meanwhile is not among them, whatever its id: a second workshop's entry may be committed
/// after one with a later id. Both stores keep that state for as long as the snapshot is held.
#[derive(Debug)]
pub struct Snapshot {
    /// Until all was read.
    held: Option<Held>,
    ids: Arc<Ids>,
    last: Option<Id>,
}

/// A connection that sees the ledger as it is now, whatever is put in meanwhile.
pub(crate) async fn one_state(ledger: &Ledger) -> Result<Held, Trouble> {
    let mut held = ledger.reader().await?.held();
    let begin = held.begins_snapshot();
    let mut connection = held.connection();
    connection.run(begin.into(), vec![]).await?;
    read::newest(&mut connection).await?; // the first question fixes the state
    Ok(held)
}

impl Snapshot {
    pub(crate) async fn of(ledger: &Ledger) -> Result<Self, Trouble> {
        Ok(Self {
            held: Some(one_state(ledger).await?),
            ids: ledger.ids(),
            last: None,
        })
    }

    /// At most `most` entries after those that were read; none when there are no more, and the connection is given
    /// back then.
    ///
    /// # Errors
    /// [`Trouble`] when the store cannot be read.
    pub async fn next(&mut self, most: usize) -> Result<Vec<Entry>, Trouble> {
        let Some(held) = &mut self.held else {
            return Ok(Vec::new());
        };
        let page = read::after(&mut held.connection(), self.last, most).await?;
        if let Some(last) = page.last() {
            self.ids.saw(last.id);
            self.last = Some(last.id);
        } else if let Some(held) = self.held.take() {
            held.close().await?;
        }
        Ok(page)
    }
}
