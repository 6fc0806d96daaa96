//! `rimwright demo`: the invented workshop, to look around in.

use crate::data::{self, DataFolder};
use crate::ending;
use workshop::records::{Access, Pen};

/// Fills an invented workshop into the records, or takes it out of view again.
///
/// Its gauges, wheels and visits are marked as demo everywhere. Nothing of it is mixed with what is yours,
/// and `--remove` takes all of it out of view.
///
/// Example: rimwright demo --data try-it
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Takes the invented workshop out of view.
    #[arg(long)]
    remove: bool,
    #[command(flatten)]
    records: DataFolder,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    data::run(async {
        let shop = arguments.records.open(Access::Write).await?;
        let pen = Pen::of("demo");
        let done = match arguments.remove {
            true => shop.remove_demo(&pen).await,
            false => shop.fill_demo(&pen).await,
        };
        let shelf = shop.shelf(None, 50).await;
        shop.close().await;
        done?;
        let mut text = match arguments.remove {
            true => "The invented workshop is out of view.\n".to_owned(),
            false => "The invented workshop is filled in; `rimwright demo --remove` takes it out of view.\n".to_owned(),
        };
        for wheel in shelf?.0.wheels {
            text += &format!("  {}  {}\n", wheel.label, wheel.name);
        }
        ending::print(&text)
    })
}
