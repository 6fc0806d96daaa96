//! `rimwright backup`: a copy of the records that can be relied on.

use crate::data::{self, DataFolder};
use crate::ending;
use crate::progress;
use crate::table::item;
use std::path::PathBuf;
use workshop::records::Access;
use workshop::view::{BackupView, json};

/// Copies the workshop's records, photos and reports into a folder, and looks the copy through.
///
/// The records may be in use meanwhile. Without a folder the copy goes into the data folder, under
/// backups/; a copy on another disk survives more. `rimwright restore` comes back from it. Of records on a
/// server the copy is a data folder too, with every entry, photo and report in it.
///
/// Example: rimwright backup /media/stick/records-of-march
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The folder that is made; nothing may be there yet.
    to: Option<PathBuf>,
    #[command(flatten)]
    records: DataFolder,
    /// One JSON object instead of text.
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    data::run(async {
        let shop = arguments.records.open(Access::Read).await?;
        let folder = arguments.records.folder().ok();
        let made = shop.backup(folder.as_deref(), arguments.to.as_deref());
        let view = progress::beside("copying and looking through", made).await?;
        ending::print(&if arguments.json {
            json(&view)?
        } else {
            text(&view)
        })
    })
}

fn text(view: &BackupView) -> String {
    let mut text = format!(
        "{}\n{} entries and {} photos and reports, looked through: all is whole.\n",
        view.place, view.entries, view.kept
    );
    for finding in &view.findings {
        text += &item("?", finding);
    }
    text
}
