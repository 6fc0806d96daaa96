//! `rimwright doctor`: whether all is well with the records.

use crate::data::{self, DataFolder};
use crate::ending::{self, Unwell};
use crate::progress;
use crate::table::item;
use workshop::records::Access;
use workshop::view::{DoctorView, json};

/// Looks through the workshop's records: whether they are whole, how much room is left, how old the last
/// backup is, whether the clock is right, and which gauges are due for a check or a calibration.
///
/// What is marked ! is wrong and ends with exit code 3; what is marked ? wants to be looked at, and what is
/// marked – cannot be told from here (the room and the files of a server). The settings
/// backup_days, rod_check_days and calibration_days say what is due (common practice: 7, 30, 365).
///
/// Example: rimwright doctor
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
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
        let view = progress::beside("looking through", shop.doctor(folder.as_deref())).await?;
        ending::print(&if arguments.json {
            json(&view)?
        } else {
            text(&view)
        })?;
        match view.is_well {
            true => Ok(()),
            false => Err(Unwell.into()),
        }
    })
}

fn text(view: &DoctorView) -> String {
    let mut text = format!("{}\n", view.place);
    for check in &view.checks {
        let mark = match check.verdict {
            "wrong" => "!",
            "look" => "?",
            "unknown" => "–",
            _ => "·",
        };
        text += &item(mark, &format!("{}: {}", check.about, check.says));
    }
    text
}
