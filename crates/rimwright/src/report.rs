//! `rimwright report`: the document that is handed over.

use crate::{Units, ending};
use std::path::PathBuf;
use workshop::survey::{SEED, survey};
use workshop::{report, take_in};

/// The report on a visit: one self-contained page, verdict first, to be printed and signed.
///
/// Example: rimwright report visit.toml -o report.html
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The visit's file; the files it names are looked for beside it.
    visit: PathBuf,
    /// Where the page goes; `-` prints it.
    #[arg(short, long, value_name = "REPORT.html")]
    output: PathBuf,
    /// Unit of the forces shown.
    #[arg(long, default_value = "kgf")]
    units: Units,
    /// Seed of the draws; the same seed gives the same digits.
    #[arg(long, default_value_t = SEED)]
    seed: u64,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let (visit, findings) = take_in::visit(&arguments.visit)?;
    let unit = arguments.units.into();
    let (survey, view) = survey(&visit, findings, arguments.seed, unit);
    let page = report::page(&visit, &survey, unit)?;
    if arguments.output.as_os_str() == "-" {
        return ending::print(&page);
    }
    ending::write(&arguments.output, &page)?;
    ending::print(&format!(
        "{}\n{}\n",
        view.verdict,
        arguments.output.display()
    ))
}
