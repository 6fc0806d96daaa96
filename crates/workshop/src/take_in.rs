//! Taking in what a person hands over: files by their paths.

use crate::clock;
use files::visit_file::{self, Attachments};
use files::{Source, gauge_file, hang_file, points, rig_file, wheel_file};
use mechanics::hang_test::Hang;
use mechanics::temperature::Rig;
use metrology::Finding;
use metrology::gauge::Gauge;
use metrology::visit::{RigPoint, Visit};
use std::io::Read;
use std::path::{Path, PathBuf};
use wheel::Wheel;

/// Why something was not taken in.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The file cannot be read at all.
    #[error("{path} cannot be read: {why}\n  Is the name right, and may you read it?")]
    Unreadable {
        /// As it was named.
        path: String,
        /// What the system says.
        why: String,
    },
    /// Nothing in it shows what it is.
    #[error(
        "{path}:1:1: it does not show what this file is: a wheel, a gauge, rig points, a visit, an export\n  Say it with `--as`."
    )]
    Unknown {
        /// As it was named.
        path: String,
    },
    /// What stands in it is wrong: file, line and column, and how to mend it.
    #[error(transparent)]
    Wrong(#[from] files::Error),
}

/// What a file is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A wheel.
    Wheel,
    /// A gauge.
    Gauge,
    /// Rig points.
    Points,
    /// A visit.
    Visit,
    /// An export of the records.
    Export,
}

impl Kind {
    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wheel => "wheel",
            Self::Gauge => "gauge",
            Self::Points => "points",
            Self::Visit => "visit",
            Self::Export => "export",
        }
    }
}

/// What a file is of, by what stands in it.
///
/// # Errors
/// [`Error`] when it cannot be read, or nothing in it shows what it is.
pub fn kind_of(path: &Path) -> Result<Kind, Error> {
    let name = path.display().to_string();
    let unreadable = |why: std::io::Error| Error::Unreadable {
        path: name.clone(),
        why: why.to_string(),
    };
    let file = std::fs::File::open(path).map_err(unreadable)?;
    let mut start = Vec::new();
    let start_size = file.take(START).read_to_end(&mut start);
    start_size.map_err(unreadable)?;
    let start = String::from_utf8_lossy(&start);
    let text = start.trim_start_matches('\u{feff}').trim_start();
    let has = |key: &str| {
        let mut lines = text.lines().map(str::trim_start);
        lines.any(|line| {
            line.strip_prefix(key)
                .is_some_and(|rest| rest.trim_start().starts_with('='))
        })
    };
    let has_block = |block: &str| {
        text.lines()
            .any(|line| line.trim_start().starts_with(block))
    };
    if text.starts_with('{') {
        Ok(Kind::Export)
    } else if has("taken") {
        Ok(Kind::Visit)
    } else if has_block("[rim]") || has_block("[[spoke]]") {
        Ok(Kind::Wheel)
    } else if has("resolution") || has("repeatability") {
        Ok(Kind::Gauge)
    } else if text
        .lines()
        .next()
        .is_some_and(|line| line.contains("force_"))
    {
        Ok(Kind::Points)
    } else {
        Err(Error::Unknown { path: name })
    }
}

/// As much of a file as shows what it is.
const START: u64 = 64_000;

/// A visit with the files it names; they are looked for beside it.
///
/// # Errors
/// [`Error`] when any of the files cannot be read or is wrong.
pub fn visit(path: &Path) -> Result<(Visit, Vec<Finding>), Error> {
    let read = visit_with_files(path)?;
    Ok((read.visit, read.findings))
}

/// A visit with what stands in the files it names, in the order in which they were asked for: the wheel first.
pub(crate) struct WithFiles {
    pub(crate) visit: Visit,
    pub(crate) findings: Vec<Finding>,
    pub(crate) files: Vec<Source>,
}

/// As [`visit`], with the files it names.
pub(crate) fn visit_with_files(path: &Path) -> Result<WithFiles, Error> {
    let folder = path.parent().unwrap_or(Path::new("")).to_path_buf();
    Ok(with_files(&source(path)?, Folder(folder))?)
}

/// The visit in a text, with the files it names among these.
pub(crate) fn with_files(
    source: &Source,
    attachments: impl Attachments,
) -> Result<WithFiles, files::Error> {
    let mut asked = Asked {
        attachments,
        files: Vec::new(),
    };
    let (visit, findings) = visit_file::read(source, clock::now(), &mut asked)?;
    let files = asked.files;
    Ok(WithFiles {
        visit,
        findings,
        files,
    })
}

/// The wheel in a file, and what must be known about it.
///
/// # Errors
/// [`Error`] when the file cannot be read or is wrong.
pub fn wheel(path: &Path) -> Result<(Wheel, Vec<wheel_file::Finding>), Error> {
    Ok(wheel_file::read(&source(path)?)?)
}

/// The hang tests in a file, of this wheel.
///
/// # Errors
/// [`Error`] when the file cannot be read or is wrong.
pub fn hangs(path: &Path, wheel: &Wheel) -> Result<Vec<Hang>, Error> {
    Ok(hang_file::read(&source(path)?, wheel)?)
}

/// The rig points in a file.
///
/// # Errors
/// [`Error`] when the file cannot be read or is wrong.
pub fn rig_points(path: &Path) -> Result<Vec<RigPoint>, Error> {
    Ok(points::read(&source(path)?)?)
}

/// The gauge in a file.
///
/// # Errors
/// [`Error`] when the file cannot be read or is wrong.
pub fn gauge(path: &Path) -> Result<Gauge, Error> {
    Ok(gauge_file::read(&source(path)?)?)
}

/// The rig in a file, with the spoke that is stretched in it.
///
/// # Errors
/// [`Error`] when the file cannot be read or is wrong.
pub fn rig(path: &Path) -> Result<Rig, Error> {
    Ok(rig_file::read(&source(path)?)?)
}

/// The text of a file; `-` is standard input.
pub(crate) fn source(path: &Path) -> Result<Source, Error> {
    let name = if path == Path::new("-") {
        "standard input".into()
    } else {
        path.display().to_string()
    };
    let bytes = if path == Path::new("-") {
        bounded(std::io::stdin().lock())
    } else {
        whole(path)
    };
    let bytes = bytes.map_err(|why| Error::Unreadable {
        path: name.clone(),
        why: why.to_string(),
    })?;
    Ok(Source::from_bytes(&name, &bytes)?)
}

fn whole(path: &Path) -> std::io::Result<Vec<u8>> {
    bounded(std::fs::File::open(path)?)
}

/// No more than what tells that a file is too large: the reader of files refuses it by its size.
fn bounded(from: impl Read) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(files::SIZE_LIMIT as u64 + 1)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The folder of a visit: where the files it names are looked for.
struct Folder(PathBuf);

impl Attachments for Folder {
    fn text(&mut self, name: &str) -> Result<Vec<u8>, String> {
        whole(&self.0.join(name)).map_err(|why| why.to_string())
    }
}

/// Files, and the texts that were asked for.
struct Asked<A> {
    attachments: A,
    files: Vec<Source>,
}

impl<A: Attachments> Attachments for Asked<A> {
    fn text(&mut self, name: &str) -> Result<Vec<u8>, String> {
        let bytes = self.attachments.text(name)?;
        self.files.extend(Source::from_bytes(name, &bytes)); // what is no text is refused by its reader
        Ok(bytes)
    }
}
