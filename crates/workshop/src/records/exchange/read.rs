//! Into the ledger: looked through first, with every conflict listed, then put in.

use super::line::Line;
use super::{Error, PAGE};
use crate::records::pen::now;
use crate::records::{self, Id, Shop};
use ledger::entry::Entry;
use ledger::{Refusal, Trouble};
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::PathBuf;

/// The longest line that is read: a photo of the largest size that a page takes, twice over.
const LONGEST_LINE: u64 = 128_000_000;

/// An export as it was handed over. It is read twice: once to look through it, once to put it in.
#[derive(Debug, Clone)]
pub enum Handed {
    /// A file.
    File(PathBuf),
    /// What came through a pipe.
    Text(Vec<u8>),
}

/// What becomes of an export that the ledger contradicts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conflicts {
    /// Nothing is written.
    Refuse,
    /// All the rest is written.
    Leave,
}

/// An entry that was not put in because the ledger says otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// Its line in the export.
    pub line: usize,
    /// Its id.
    pub id: Id,
    /// What it tells of.
    pub kind: &'static str,
    /// What stands against it.
    pub says: String,
}

/// What became of an export.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Imported {
    /// Entries that were written.
    pub written: u64,
    /// Entries that were there already, word for word.
    pub known: u64,
    /// Entries that were left out.
    pub conflicts: Vec<Conflict>,
}

impl Shop {
    /// Puts an export of ours into the ledger. Entries that are there already are passed over; every one that
    /// the ledger contradicts is listed. `heard` is told how many entries are through.
    ///
    /// # Errors
    /// [`records::Error`]: a line that is wrong or, with [`Conflicts::Refuse`], the conflicts; nothing was
    /// written then. One that breaks off later says how many entries went in; those stay.
    pub async fn import(
        &self,
        handed: &Handed,
        conflicts: Conflicts,
        mut heard: impl FnMut(u64),
    ) -> Result<Imported, records::Error> {
        let found = self.looked_through(handed).await?;
        if conflicts == Conflicts::Refuse && !found.is_empty() {
            return Err(Error::Conflicts { conflicts: found }.into());
        }
        let mut done = Imported::default();
        match (
            self.put_in(handed, &mut done, &mut heard).await,
            done.written,
        ) {
            (Ok(()), _) => Ok(done),
            (Err(why), 0) => Err(why),
            (Err(why), written) => {
                let why = Box::new(why);
                Err(Error::BrokenOff { written, why }.into())
            }
        }
    }

    /// Puts in what was looked through, page by page.
    async fn put_in(
        &self,
        handed: &Handed,
        done: &mut Imported,
        heard: &mut impl FnMut(u64),
    ) -> Result<(), records::Error> {
        let mut lines = Lines::of(handed)?;
        let mut through = 0;
        loop {
            let (page, ended) = lines.page(Some).map_err(|error| match error {
                Error::Line { file, .. } => Error::Changed { file },
                error => error,
            })?;
            for bytes in page.kept {
                self.ledger.keep(bytes, now()).await?;
            }
            through += page.entries.len() as u64;
            self.put_page(page.entries, done).await?;
            heard(through);
            if ended {
                return Ok(());
            }
        }
    }

    async fn put_page(
        &self,
        page: Vec<(usize, Entry)>,
        done: &mut Imported,
    ) -> Result<(), Trouble> {
        let entries = page.iter().map(|(_, entry)| entry.clone()).collect();
        match self.ledger.take_over(entries).await {
            Ok(receipt) => {
                done.written += receipt.written as u64;
                done.known += receipt.known as u64;
            }
            Err(Refusal::Store(trouble)) => return Err(trouble),
            // One of them meets a contradiction: each for itself, so that the rest gets in.
            Err(_) => {
                for (line, entry) in page {
                    match self.ledger.take_over(vec![entry.clone()]).await {
                        Ok(receipt) => {
                            done.written += receipt.written as u64;
                            done.known += receipt.known as u64;
                        }
                        Err(Refusal::Store(trouble)) => return Err(trouble),
                        Err(refusal) => done.conflicts.push(conflict(line, &entry, &refusal)),
                    }
                }
            }
        }
        Ok(())
    }

    /// Reads every line, and lists what the ledger contradicts. Nothing is written.
    async fn looked_through(&self, handed: &Handed) -> Result<Vec<Conflict>, records::Error> {
        let mut conflicts = Vec::new();
        let mut lines = Lines::of(handed)?;
        let mut rehearsal = self.ledger.rehearsal();
        loop {
            let (page, ended) = lines.page(|_| None).map_err(records::Error::from)?;
            let (at, entries): (Vec<usize>, Vec<Entry>) = page.entries.into_iter().unzip();
            for (place, refusal) in rehearsal.page(&entries).await? {
                conflicts.push(conflict(at[place], &entries[place], &refusal));
            }
            if ended {
                return Ok(conflicts);
            }
        }
    }
}

fn conflict(line: usize, entry: &Entry, refusal: &Refusal) -> Conflict {
    Conflict {
        line,
        id: entry.id,
        kind: entry.body.kind().word(),
        says: refusal.to_string().replace("\n  ", " "),
    }
}

/// Entries with their lines, and bytes, as they follow each other.
struct Page {
    entries: Vec<(usize, Entry)>,
    kept: Vec<Vec<u8>>,
}

/// The lines of an export, page by page.
struct Lines {
    file: String,
    from: Box<dyn BufRead + Send>,
    line: usize,
    entries: u64,
    kept: u64,
    last: Option<Id>,
}

impl Lines {
    fn of(handed: &Handed) -> Result<Self, records::Error> {
        let (file, from): (String, Box<dyn BufRead + Send>) = match handed {
            Handed::File(path) => {
                let file = path.display().to_string();
                let opened = File::open(path).map_err(|why| Error::File {
                    file: file.clone(),
                    why: why.to_string(),
                })?;
                (file, Box::new(BufReader::new(opened)))
            }
            Handed::Text(text) => (
                "standard input".into(),
                Box::new(std::io::Cursor::new(text.clone())),
            ),
        };
        Ok(Self {
            file,
            from,
            line: 0,
            entries: 0,
            kept: 0,
            last: None,
        })
    }

    /// The next entries and the bytes before them that `wanted` wants, and whether these were the last.
    fn page(&mut self, wanted: impl Fn(Vec<u8>) -> Option<Vec<u8>>) -> Result<(Page, bool), Error> {
        let mut page = Page {
            entries: Vec::new(),
            kept: Vec::new(),
        };
        while page.entries.len() < PAGE && page.kept.is_empty() {
            let Some(text) = self.next()? else {
                return Err(self.wrong(1, "the export breaks off: its last line is missing"));
            };
            let line = Line::read(&text).map_err(|wrong| self.wrong(wrong.column, &wrong.what))?;
            match line {
                Line::First if self.line == 1 => {}
                _ if self.line == 1 => {
                    return Err(self.wrong(1, "this is no export: its first line names no format"));
                }
                Line::First => return Err(self.wrong(1, "a second export begins here")),
                Line::Entry(entry) if self.last >= Some(entry.id) => {
                    let what = "entries stand in the order of their ids, and this one's is not after the last";
                    return Err(self.wrong(1, what));
                }
                Line::Entry(entry) => {
                    self.entries += 1;
                    self.last = Some(entry.id);
                    page.entries.push((self.line, *entry));
                }
                Line::Kept(bytes) => {
                    self.kept += 1;
                    page.kept.extend(wanted(bytes));
                }
                Line::Last { entries, kept } => {
                    let found = (self.entries, self.kept);
                    if found != (entries, kept) {
                        let what = format!(
                            "{entries} entries and {kept} photos and reports were written, and {} and {} are here",
                            found.0, found.1
                        );
                        return Err(self.wrong(1, &what));
                    }
                    return match self.next()? {
                        None => Ok((page, true)),
                        Some(_) => Err(self.wrong(1, "something follows the last line")),
                    };
                }
            }
        }
        Ok((page, false))
    }

    fn next(&mut self) -> Result<Option<String>, Error> {
        let mut bytes = Vec::new();
        let read = (&mut self.from)
            .take(LONGEST_LINE)
            .read_until(b'\n', &mut bytes);
        read.map_err(|why| Error::File {
            file: self.file.clone(),
            why: why.to_string(),
        })?;
        if bytes.is_empty() {
            return Ok(None);
        }
        self.line += 1;
        let text = String::from_utf8(bytes);
        let text = text.map_err(|why| {
            let column = why.utf8_error().valid_up_to() + 1;
            self.wrong(column, "this is not UTF-8 text")
        })?;
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        Ok(Some(text.trim_end_matches(['\n', '\r']).into()))
    }

    fn wrong(&self, column: usize, what: &str) -> Error {
        Error::Line {
            file: self.file.clone(),
            line: self.line.max(1),
            column,
            what: what.into(),
            mend: "Export again, or mend that line. Nothing was written.".into(),
        }
    }
}
