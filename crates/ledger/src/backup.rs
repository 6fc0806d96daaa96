//! Copies of a ledger that can be relied on, and coming back from one.
//!
//! A backup is a data folder: the database in one SQLite file and the kept bytes beside it, whichever store it
//! was made of. It can be opened, checked and read like any other.

use crate::cell::Hash;
use crate::check::{Fault, Health, named_bytes};
use crate::id::{Id, Moment};
use crate::kept;
use crate::ledger::{Access, Ledger, Place};
use crate::store::{Reader, Trouble, Unopened, sqlite};
use std::fs::{self, File};
use std::path::{Path, PathBuf};

/// Entries copied at once out of a server.
const PAGE: usize = 2000;

/// Why there is no backup, or nothing was restored. What was there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum Failed {
    /// Something lies already where the backup was to go.
    #[error(
        "{place} is there already\n  Name a place that is free: a backup takes the place of nothing."
    )]
    Occupied {
        /// The place.
        place: String,
    },
    /// A server's database has entries that the backup lacks.
    #[error(
        "{place} holds other records already\n  \
         Make a new database and restore into that: nothing on a server is moved aside."
    )]
    OtherRecords {
        /// The database and its server.
        place: String,
    },
    /// A file could not be copied, moved or made.
    #[error("{place}: {why}")]
    File {
        /// The file.
        place: String,
        /// What the system says.
        why: String,
    },
    /// The copy was looked through and is not whole.
    #[error("{place} is not whole: {fault}{}\n  It is not used.", more(*others))]
    NotWhole {
        /// The copy.
        place: String,
        /// The first fault.
        fault: Fault,
        /// How many others there are.
        others: usize,
    },
    /// The copy lacks what was there when it was begun.
    #[error(
        "{place} has {found} entries, and there were {wanted} when it was begun\n  It is not used."
    )]
    Short {
        /// The copy.
        place: String,
        /// Entries in it.
        found: i64,
        /// Entries that it must have.
        wanted: i64,
    },
    /// A ledger could not be opened.
    #[error(transparent)]
    Unopened(#[from] Unopened),
    /// A store refused.
    #[error(transparent)]
    Store(#[from] Trouble),
    /// Entries could not be put into the copy.
    #[error(transparent)]
    Refused(#[from] crate::append::Refusal),
}

fn more(others: usize) -> String {
    match others {
        0 => String::new(),
        others => format!(" (and {others} other faults)"),
    }
}

/// What became of the ledger that a backup took the place of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// The ledger that is there now.
    pub health: Health,
    /// Where the old one was moved to, when there was one.
    pub replaced: Option<PathBuf>,
}

impl Ledger {
    /// Copies the ledger into a new folder while it is in use, looks through the copy, and yields its health.
    ///
    /// What is put in meanwhile may or may not be in it; what was acknowledged before is. Out of a file the copy
    /// is one consistent state, made by `VACUUM INTO`; out of a server it is made of the entries. Either way the
    /// database is one file that can be read where nothing may be written.
    ///
    /// # Errors
    /// [`Failed`]; then there is no folder.
    pub async fn backup(&self, to: &Path) -> Result<Health, Failed> {
        if to.exists() {
            let place = to.display().to_string();
            return Err(Failed::Occupied { place });
        }
        let mut part = to.as_os_str().to_os_string();
        part.push(".part");
        let part = PathBuf::from(part);
        let made = self.copy_whole(&part).await;
        let made = made.and_then(|health| {
            sync(&part)?;
            fs::rename(&part, to).map_err(file(to))?;
            Ok(health)
        });
        if made.is_err() {
            let _ = fs::remove_dir_all(&part); // it may not even have been made
        }
        made
    }

    async fn copy_whole(&self, part: &Path) -> Result<Health, Failed> {
        if part.exists() {
            fs::remove_dir_all(part).map_err(file(part))?; // a backup that was interrupted
        }
        fs::create_dir_all(part).map_err(file(part))?;
        let before = self.counted().await?;
        let file = part.join(sqlite::FILE);
        match self.place() {
            Place::Folder(_) => vacuumed(self, &file).await?,
            Place::Server(_) => self.set_down(&file).await?,
        }
        let copy = Ledger::open(&Place::Folder(part.into()), Access::Read).await?;
        for hash in copy.named_bytes().await? {
            if let Some(bytes) = self.kept(hash).await? {
                kept::keep(part, copy.next_id(Moment::from_micros(0)), &bytes)?;
            }
        }
        let health = copy.check().await;
        copy.close().await;
        let health = whole(part, health?)?;
        if health.entries < before {
            return Err(Failed::Short {
                place: part.display().to_string(),
                found: health.entries,
                wanted: before,
            });
        }
        Ok(health)
    }

    /// Makes one file of every entry of this ledger, as it stands now.
    ///
    /// They are poured into a file that is made to be written, whose log wants room beside it. Out of that comes
    /// the other, as out of a folder: one that is read where nothing may be written.
    async fn set_down(&self, file: &Path) -> Result<(), Failed> {
        let folder = file.with_extension("pour");
        let poured = Ledger::open(&Place::Folder(folder.clone()), Access::Write).await?;
        let done = async {
            self.pour_into(&poured).await?;
            vacuumed(&poured, file).await
        };
        let done = done.await;
        poured.close().await;
        done?;
        fs::remove_dir_all(&folder).map_err(self::file(&folder))
    }

    /// Puts every entry of this ledger, as it stands now, into another one.
    async fn pour_into(&self, other: &Ledger) -> Result<(), Failed> {
        let mut snapshot = self.snapshot().await?;
        loop {
            let page = snapshot.next(PAGE).await?;
            if page.is_empty() {
                return Ok(());
            }
            other.take_over(page).await?;
        }
    }

    /// Whether every entry of this ledger is in another one too.
    async fn is_part_of(&self, other: &Ledger) -> Result<bool, Failed> {
        let mut snapshot = self.snapshot().await?;
        loop {
            let page = snapshot.next(PAGE).await?;
            if page.is_empty() {
                return Ok(true);
            }
            let ids: Vec<Id> = page.iter().map(|entry| entry.id).collect();
            if other.entries(&ids).await? != page {
                return Ok(false);
            }
        }
    }

    /// The hashes of the photos and reports that entries name.
    async fn named_bytes(&self) -> Result<Vec<Hash>, Trouble> {
        let mut reader = self.reader().await?;
        named_bytes(&mut reader.connection()).await
    }
}

/// Puts a backup in the place of the ledger in a data folder. The backup is copied, brought to the form of this
/// program and looked through before anything is moved; the old ledger is moved aside, not deleted.
///
/// # Errors
/// [`Failed`]; then the old ledger is where it was, or in the folder that the error names.
pub async fn restore(backup: &Path, data: &Path, now: Moment) -> Result<Restored, Failed> {
    if !backup.join(sqlite::FILE).is_file() {
        let place = backup.display().to_string();
        return Err(Unopened::Missing { place }.into());
    }
    let lock = sqlite::lock(data)?;
    let part = data.join("restore.part");
    let health = prepared(backup, &part).await;
    if health.is_err() {
        let _ = fs::remove_dir_all(&part); // it may not even have been made
    }
    let health = health?;
    let replaced = data.join(format!("replaced-{}", now.to_micros()));
    let mut moved = false;
    for name in names() {
        let old = data.join(&name);
        if old.exists() {
            fs::create_dir_all(&replaced).map_err(file(&replaced))?;
            fs::rename(&old, replaced.join(&name)).map_err(file(&replaced))?;
            moved = true;
        }
    }
    for name in names() {
        let new = part.join(&name);
        if new.exists() {
            fs::rename(&new, data.join(&name)).map_err(file(&replaced))?;
        }
    }
    sync(data)?;
    let _ = fs::remove_dir_all(&part); // what is left in it is empty
    drop(lock);
    Ok(Restored {
        health,
        replaced: moved.then_some(replaced),
    })
}

/// Fills a backup into the database of a server, where nothing else may be: nothing on a server is moved aside.
/// The backup is looked through before, the database after. What was interrupted goes on when it is done again.
///
/// # Errors
/// [`Failed`]. A database that has other records ([`Failed::OtherRecords`]) is as it was; any other has, page by
/// page, as much of the backup as went in, and nothing else.
pub async fn fill(backup: &Path, server: &Place) -> Result<Health, Failed> {
    let from = Ledger::open(&Place::Folder(backup.into()), Access::Read).await?;
    let health = whole(backup, from.check().await?)?;
    let to = Ledger::open(server, Access::Write).await?;
    let filled = filled(&from, &to, &health).await;
    from.close().await;
    to.close().await;
    filled
}

async fn filled(from: &Ledger, to: &Ledger, health: &Health) -> Result<Health, Failed> {
    let place = to.place().to_string();
    if !to.is_part_of(from).await? {
        return Err(Failed::OtherRecords { place });
    }
    for hash in from.named_bytes().await? {
        if let Some(bytes) = from.kept(hash).await? {
            to.keep(bytes, Moment::from_micros(0)).await?;
        }
    }
    from.pour_into(to).await?;
    let found = whole(Path::new(&place), to.check().await?)?;
    if (found.entries, found.kept) != (health.entries, health.kept) {
        return Err(Failed::Short {
            place,
            found: found.entries,
            wanted: health.entries,
        });
    }
    Ok(found)
}

/// Copies the ledger of a folder into a file.
async fn vacuumed(ledger: &Ledger, file: &Path) -> Result<(), Failed> {
    if let Reader::Sqlite(mut reader) = ledger.reader().await? {
        sqlite::vacuum_into(&mut reader, file).await?;
    }
    Ok(())
}

/// A copy of a backup in the form of this program, looked through.
async fn prepared(backup: &Path, part: &Path) -> Result<Health, Failed> {
    if part.exists() {
        fs::remove_dir_all(part).map_err(file(part))?; // a restore that was interrupted
    }
    copy_folder(backup, part)?;
    let copy = Ledger::open(&Place::Folder(part.into()), Access::Write).await?;
    let health = copy.check().await;
    copy.close().await;
    whole(backup, health?)
}

fn copy_folder(from: &Path, to: &Path) -> Result<(), Failed> {
    fs::create_dir_all(to).map_err(file(to))?;
    for name in names() {
        let (old, new) = (from.join(&name), to.join(&name));
        if old.is_dir() {
            fs::create_dir_all(&new).map_err(file(&new))?;
            for entry in fs::read_dir(&old).map_err(file(&old))? {
                let entry = entry.map_err(file(&old))?;
                fs::copy(entry.path(), new.join(entry.file_name())).map_err(file(&new))?;
            }
            sync(&new)?;
        } else if old.exists() {
            fs::copy(&old, &new).map_err(file(&new))?;
        }
    }
    sync(to)
}

/// What a ledger consists of in its folder.
fn names() -> [String; 4] {
    let [wal, shm] = ["-wal", "-shm"].map(|end| format!("{}{end}", sqlite::FILE));
    [sqlite::FILE.into(), wal, shm, kept::FOLDER.into()]
}

/// Flushes the files of a folder and their names.
fn sync(folder: &Path) -> Result<(), Failed> {
    for entry in fs::read_dir(folder).map_err(file(folder))? {
        let path = entry.map_err(file(folder))?.path();
        File::open(&path)
            .and_then(|opened| opened.sync_all())
            .map_err(file(&path))?;
    }
    let opened = File::open(folder).and_then(|opened| opened.sync_all());
    opened.map_err(file(folder))
}

fn whole(place: &Path, health: Health) -> Result<Health, Failed> {
    let others = health.faults.len().saturating_sub(1);
    match health.faults.first() {
        None => Ok(health),
        Some(fault) => Err(Failed::NotWhole {
            place: place.display().to_string(),
            fault: fault.clone(),
            others,
        }),
    }
}

fn file(place: &Path) -> impl FnOnce(std::io::Error) -> Failed {
    let place = place.display().to_string();
    move |why| Failed::File {
        place,
        why: why.to_string(),
    }
}
