//! `rimwright restore`: back to a backup.

use crate::data::{self, DataFolder};
use crate::ending;
use crate::progress;
use std::path::PathBuf;
use workshop::records::restore;
use workshop::view::{RestoreView, json};

/// Puts a backup in the place of the workshop's records.
///
/// The backup is looked through before anything is moved; a broken one changes nothing. The records that
/// were there are moved aside, not deleted, and the answer says where. On a server nothing is moved: there a
/// backup goes into a database that holds no other records, so make a new one and name it with --ledger.
///
/// Example: rimwright restore /media/stick/records-of-march
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The folder that `rimwright backup` made.
    backup: PathBuf,
    #[command(flatten)]
    records: DataFolder,
    /// One JSON object instead of text.
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let place = arguments.records.place()?;
    data::run(async {
        let restored = restore(&arguments.backup, &place);
        let view = progress::beside("looking through and copying", restored).await?;
        ending::print(&if arguments.json {
            json(&view)?
        } else {
            text(&view)
        })
    })
}

fn text(view: &RestoreView) -> String {
    let mut text = format!(
        "{}: {} entries and {} photos and reports are back",
        view.place, view.entries, view.kept
    );
    if let Some(newest) = &view.newest {
        text += &format!(", the newest of {newest}");
    }
    text += ".\n";
    if let Some(replaced) = &view.replaced {
        text += &format!("What was there before is kept in {replaced}\n");
    }
    text
}
