//! `rimwright report`: the document that is handed over.

use crate::data::{self, DataFolder};
use crate::{Units, ending};
use std::io::Read;
use std::path::{Path, PathBuf};
use workshop::report;
use workshop::survey::{SEED, survey};

/// The report on a visit: one self-contained page, verdict first, to be printed and signed.
///
/// A visit is a file or, where no file has that name, something in the records: a wheel's label means its
/// newest visit, an id one visit.
///
/// Example: rimwright report visit.toml -o report.html
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The visit's file, the files it names beside it; or a label or id in the records.
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
    #[command(flatten)]
    records: DataFolder,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let (visit, findings) = data::visit(&arguments.visit, &arguments.records)?;
    refuse_to_replace(&arguments.output)?;
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

/// What every page begins with.
const PAGE: &[u8] = b"<!DOCTYPE html>";

/// A page takes the place of a page, never of something else: a slip of the hand would put it where
/// the visit was.
fn refuse_to_replace(path: &Path) -> anyhow::Result<()> {
    let is_there = path.as_os_str() != "-" && path.exists();
    if !is_there || path.is_file() && starts_a_page(path) {
        return Ok(());
    }
    Err(ending::WrongUse(format!(
        "{} is there already and is no page: nothing was written\n  Name another file for the report, or `-` to print it.",
        path.display()
    ))
    .into())
}

/// Whether a file begins as a page does, or has nothing in it.
fn starts_a_page(path: &Path) -> bool {
    let mut start = Vec::new();
    std::fs::File::open(path)
        .and_then(|file| file.take(PAGE.len() as u64).read_to_end(&mut start))
        .is_ok_and(|length| length == 0 || start == PAGE)
}
