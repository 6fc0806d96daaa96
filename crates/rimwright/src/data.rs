//! Where the workshop's records are, and how they are opened.

use crate::ending::WrongUse;
use std::env;
use std::future::Future;
use std::path::{Path, PathBuf};
use workshop::records::{Access, Finding, OfWheel, Pen, Place, Shop, Visit, Wheel};
use workshop::take_in;

/// Where the records are.
#[derive(Debug, Clone, Default, clap::Args)]
pub(crate) struct DataFolder {
    /// The workshop's data folder; else RIMWRIGHT_DATA, else the usual folder of this system.
    #[arg(long, value_name = "DIR", help_heading = "Records")]
    data: Option<PathBuf>,
    /// A file with the address of a PostgreSQL ledger; else RIMWRIGHT_LEDGER holds the address itself.
    #[arg(long, value_name = "FILE", help_heading = "Records")]
    ledger: Option<PathBuf>,
}

impl DataFolder {
    /// The data folder.
    pub(crate) fn folder(&self) -> anyhow::Result<PathBuf> {
        let named = self.data.clone().or_else(|| set("RIMWRIGHT_DATA"));
        named.or_else(usual).ok_or_else(|| {
            WrongUse(
                "it is not known where the records are\n  Say `--data DIR`, or set RIMWRIGHT_DATA."
                    .into(),
            )
            .into()
        })
    }

    /// The place of the ledger.
    pub(crate) fn place(&self) -> anyhow::Result<Place> {
        if let Some(file) = &self.ledger {
            return Ok(Place::Server(address(file)?));
        }
        match env::var("RIMWRIGHT_LEDGER") {
            Ok(address) if !address.trim().is_empty() => Ok(Place::Server(address.trim().into())),
            _ => Ok(Place::Folder(self.folder()?)),
        }
    }

    /// The records, open.
    pub(crate) async fn open(&self, access: Access) -> anyhow::Result<Shop> {
        Ok(Shop::open(&self.place()?, access).await?)
    }
}

/// The address in a file; one that is given in its place would stand in the list of processes.
fn address(file: &Path) -> anyhow::Result<String> {
    let given = file.to_string_lossy();
    if given.starts_with("postgres:") || given.starts_with("postgresql:") {
        let says = "`--ledger` names a file, so that no password stands in the list of processes\n  \
                    Put the address into a file that only you may read, or into RIMWRIGHT_LEDGER.";
        return Err(WrongUse(says.into()).into());
    }
    match std::fs::read_to_string(file) {
        Ok(text) => Ok(text.trim().into()),
        Err(why) => Err(WrongUse(format!(
            "{} cannot be read: {why}\n  It is to hold the address of the ledger, one line.",
            file.display()
        ))
        .into()),
    }
}

/// A folder out of the environment, when it is set.
fn set(name: &str) -> Option<PathBuf> {
    let folder = env::var_os(name).filter(|folder| !folder.is_empty());
    folder.map(PathBuf::from)
}

/// Where programs of this system keep what is theirs.
fn usual() -> Option<PathBuf> {
    let home = || set("HOME");
    let folder = if cfg!(windows) {
        set("LOCALAPPDATA").or_else(|| set("APPDATA"))
    } else if cfg!(target_os = "macos") {
        home().map(|home| home.join("Library/Application Support"))
    } else {
        set("XDG_DATA_HOME").or_else(|| home().map(|home| home.join(".local/share")))
    };
    folder.map(|folder| folder.join("rimwright"))
}

/// Whether a word names something in the records and not a file: no such file is there, and no file's name
/// looks like that.
pub(crate) fn is_of_records(word: &Path) -> bool {
    let text = word.to_string_lossy();
    text != "-" && !word.exists() && !text.contains(['.', '/', '\\'])
}

/// The visit that a word names, a file or something in the records, and what must be known about it.
pub(crate) fn visit(word: &Path, records: &DataFolder) -> anyhow::Result<(Visit, Vec<Finding>)> {
    if !is_of_records(word) {
        return Ok(take_in::visit(word)?);
    }
    run(async {
        let shop = records.open(Access::Read).await?;
        let visit = shop.visit_called(&word.to_string_lossy()).await?;
        Ok(shop.measured(visit).await?)
    })
}

/// The wheel that a word names, a file or something in the records, and what must be known about it.
pub(crate) fn wheel(word: &Path, records: &DataFolder) -> anyhow::Result<(Wheel, Vec<OfWheel>)> {
    if !is_of_records(word) {
        return Ok(take_in::wheel(word)?);
    }
    run(async {
        let shop = records.open(Access::Read).await?;
        let wheel = shop.wheel_called(&word.to_string_lossy()).await?;
        Ok(shop.wheel(wheel).await?)
    })
}

/// The pen of whoever enters something: named with `--by`, else in the environment.
pub(crate) fn pen(by: Option<&str>) -> anyhow::Result<Pen> {
    let named = by.map(str::to_owned);
    let named = named.or_else(|| env::var("RIMWRIGHT_BY").ok());
    match named.filter(|by| !by.trim().is_empty()) {
        Some(by) => Ok(Pen::of(by.trim())),
        None => Err(WrongUse(
            "it is not said who enters this\n  Say `--by INITIALS`, or set RIMWRIGHT_BY: every row of the records has a name."
                .into(),
        )
        .into()),
    }
}

/// Does what waits for the disk or a server.
pub(crate) fn run<T>(work: impl Future<Output = anyhow::Result<T>>) -> anyhow::Result<T> {
    tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?
        .block_on(work)
}
