//! What is put in while somebody looks on.

use super::pen::told;
use super::{Id, Shop};
use ledger::Entry;
use std::sync::Arc;
use tokio::sync::broadcast;
use tokio::sync::broadcast::error::RecvError;

/// What is put in from now on, as it is.
#[derive(Debug)]
pub struct Feed(broadcast::Receiver<Arc<[Entry]>>);

/// Something that was put in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum News {
    /// An entry.
    Entered {
        /// The entry.
        entry: Id,
        /// What it tells of: `reading`, `lap` …
        kind: &'static str,
        /// What it is about, when it is about something.
        about: Option<Id>,
        /// Whose place it takes, when it does.
        supersedes: Option<Id>,
        /// Who entered it.
        by: String,
        /// When.
        at: String,
    },
    /// More was put in than was listened to: whatever is shown is to be read anew.
    Missed,
}

impl Shop {
    /// What is put in from now on, by any hand of this program.
    #[must_use]
    pub fn feed(&self) -> Feed {
        Feed(self.ledger.feed())
    }
}

impl Feed {
    /// The next that is put in together; none when the records are closed.
    pub async fn next(&mut self) -> Option<Vec<News>> {
        match self.0.recv().await {
            Ok(entries) => Some(entries.iter().map(news).collect()),
            Err(RecvError::Lagged(_)) => Some(vec![News::Missed]),
            Err(RecvError::Closed) => None,
        }
    }
}

fn news(entry: &Entry) -> News {
    News::Entered {
        entry: entry.id,
        kind: entry.body.kind().word(),
        about: entry.body.about(),
        supersedes: entry.correction.as_ref().map(|of| of.supersedes),
        by: entry.stamp.by.clone(),
        at: told(entry.stamp.at, &entry.stamp.zone),
    }
}
