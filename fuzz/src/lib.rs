//! What the fuzz targets share: bytes to sources, and the law that every reader keeps.

use files::visit_file::Attachments;
use files::{Error, Source, wheel_file};
use std::sync::LazyLock;
use wheel::Wheel;

/// Stands between the files of one input; it is in no UTF-8 text.
pub const BETWEEN_FILES: u8 = 0xFF;

/// What bytes say is refused with a message, or is the same once it is written and read again.
pub fn reads_back<T: PartialEq + std::fmt::Debug>(
    bytes: &[u8],
    read: impl Fn(&Source) -> Result<T, Error>,
    write: impl Fn(&T) -> String,
) {
    let value = match Source::from_bytes("input", bytes).and_then(|source| read(&source)) {
        Ok(value) => value,
        Err(error) => return refused(&error),
    };
    let text = write(&value);
    let again = Source::from_bytes("written", text.as_bytes()).and_then(|source| read(&source));
    match again {
        Ok(again) => assert_eq!(again, value, "written as\n{text}"),
        Err(error) => panic!("what was written is refused: {error}\n{text}"),
    }
}

/// Reads bytes of which there is no written form: they are refused with a message, or they say something.
pub fn is_read<T>(bytes: &[u8], read: impl Fn(&Source) -> Result<T, Error>) {
    if let Err(error) = Source::from_bytes("input", bytes).and_then(|source| read(&source)) {
        refused(&error);
    }
}

/// The wheel that other files are of: 32 spokes. Read once, and not for every input.
pub static WHEEL: LazyLock<Wheel> = LazyLock::new(|| {
    let text = include_bytes!("../seeds/wheel_file/laced.toml");
    let source = Source::from_bytes("wheel.toml", text).expect("a text");
    wheel_file::read(&source).expect("a wheel").0
});

/// A refusal says something, somewhere in the text.
pub fn refused(error: &Error) {
    assert!(!error.troubles().is_empty());
    for trouble in error.troubles() {
        assert!(trouble.span.end <= error.text().len());
        assert!(!trouble.what.is_empty() && !trouble.mend.is_empty());
    }
    assert!(error.to_string().lines().count() > 1);
}

/// The files of one input: the first, and those behind it, each with its name on its first line.
pub struct Folder<'b> {
    /// The first file.
    pub first: &'b [u8],
    others: Vec<(&'b [u8], &'b [u8])>,
}

impl<'b> Folder<'b> {
    /// The files in `bytes`, apart at [`BETWEEN_FILES`].
    #[must_use]
    pub fn of(bytes: &'b [u8]) -> Self {
        let mut files = bytes.split(|&byte| byte == BETWEEN_FILES);
        let first = files.next().unwrap_or_default();
        let named = |file: &'b [u8]| {
            let end = file.iter().position(|&byte| byte == b'\n')?;
            Some((&file[..end], &file[end + 1..]))
        };
        Self { first, others: files.filter_map(named).collect() }
    }
}

impl Attachments for Folder<'_> {
    fn text(&mut self, name: &str) -> Result<Vec<u8>, String> {
        let found = self.others.iter().find(|(known, _)| *known == name.as_bytes());
        found.map(|(_, text)| text.to_vec()).ok_or_else(|| "there is no such file".into())
    }
}
