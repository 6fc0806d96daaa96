//! `rimwright export`: the records as text.

use crate::data::{self, DataFolder};
use crate::ending;
use crate::progress::Progress;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::PathBuf;
use workshop::records::{Access, Shop};
use workshop::view::{ExportView, json};

/// Writes the workshop's records as text: everything as lines of JSON, or the readings as CSV.
///
/// The lines of JSON hold every entry, photos and reports too, and go into other records with
/// `rimwright import`; docs/guide/ledger.md describes them. The CSV has a row for each reading of every
/// wheel, those that were taken back or superseded among them.
///
/// Example: rimwright export -o records.jsonl
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Only readings, as rows of CSV.
    #[arg(long)]
    readings: bool,
    /// Where it goes; printed when left out. A file that is there is replaced when all is written.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    #[command(flatten)]
    records: DataFolder,
    /// One JSON object on what was written, instead of text; wants `-o`.
    #[arg(long, requires = "output")]
    json: bool,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    data::run(async {
        let shop = arguments.records.open(Access::Read).await?;
        let Some(output) = arguments
            .output
            .as_ref()
            .filter(|path| path.as_os_str() != "-")
        else {
            let mut out = BufWriter::new(std::io::stdout().lock());
            written(arguments, &shop, &mut out, None).await?;
            return Ok(out.flush()?);
        };
        let view = ending::write_through(output, async |file: &mut BufWriter<File>| {
            written(arguments, &shop, file, Some(output.display().to_string())).await
        })
        .await?;
        ending::print(&if arguments.json {
            json(&view)?
        } else {
            text(&view)
        })
    })
}

async fn written(
    arguments: &Arguments,
    shop: &Shop,
    out: &mut impl Write,
    file: Option<String>,
) -> anyhow::Result<ExportView> {
    let mut view = ExportView {
        schema: "rimwright.export/1",
        file,
        what: "readings",
        count: 0,
        kept: 0,
        missing: Vec::new(),
    };
    if arguments.readings {
        let mut progress = Progress::of("readings");
        view.count = shop
            .export_readings(out, |done| progress.heard(done))
            .await?;
        return Ok(view);
    }
    let mut progress = Progress::of("entries");
    let done = shop.export(out, |done| progress.heard(done)).await?;
    view.what = "entries";
    view.count = done.entries;
    view.kept = done.kept;
    view.missing = done.missing.iter().map(ToString::to_string).collect();
    Ok(view)
}

fn text(view: &ExportView) -> String {
    let file = view.file.as_deref().unwrap_or_default();
    let mut text = format!("{file}: {} {}", view.count, view.what);
    if view.what == "entries" {
        text += &format!(", {} photos and reports", view.kept);
    }
    text += "\n";
    for hash in &view.missing {
        text += &crate::table::item(
            "!",
            &format!("The bytes of {hash} are not there: run `rimwright doctor`."),
        );
    }
    text
}
