//! A reader on top of spanned TOML that hands out checked values and gathers what is wrong.
//!
//! ```
//! use files::{Source, toml_reader::{self, positive}};
//!
//! let source = Source::from_bytes("gauge.toml", b"format = 1\nlabel = \"G2\"\nsupport_span_mm = 120.0\n")?;
//! let (label, span) = toml_reader::read(&source, 1, |root| {
//!     let label = root.text("label");
//!     let span = root.optional_length_mm("support_span_mm", positive(500.0));
//!     root.close(); // every known key has been asked for: the others are unknown
//!     Ok((label?, span?))
//! })?;
//! # assert_eq!((label.as_str(), span.map(|span| span.to_mm())), ("G2", Some(120.0)));
//! # Ok::<(), files::Error>(())
//! ```
//!
//! Ask a table for every key it may have, [`Table::close`] it, and only then leave with `?`: so a
//! person sees all that is wrong with a table at once. A trouble is written down when it is found;
//! what the functions return instead of a value is only the word that it was ([`Told`]).

mod keys;
mod number;
mod quantities;
mod syntax;
mod table;
mod value;

pub(crate) use keys::{Unknown, unknown};
pub use number::{NOT_NEGATIVE, Range, positive};
pub use table::Table;
pub use value::Value;

use crate::error::{Error, Trouble};
use crate::source::Source;
use std::cell::RefCell;

/// The word that a trouble has been written down; whoever holds it has no value and need not say why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Told(());

/// A value, or the word that its trouble has been written down.
pub type Read<T> = Result<T, Told>;

/// As many troubles as are written down: more is the wrong file, and not worth the time.
const NOTED_TROUBLES: usize = 100;

/// What one reading has found wrong so far.
#[derive(Debug)]
struct Notes<'s> {
    source: &'s Source,
    troubles: RefCell<Vec<Trouble>>,
}

impl Notes<'_> {
    fn tell(
        &self,
        span: std::ops::Range<usize>,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> Told {
        let mut troubles = self.troubles.borrow_mut();
        if troubles.len() < NOTED_TROUBLES {
            troubles.push(self.source.trouble(span, what, mend));
        }
        Told(())
    }
}

/// What `build` makes of the TOML in `source`, whose key `format` is `newest` or older.
///
/// # Errors
/// When the text is no TOML, is of a newer format, or when anything was written down on the way,
/// even if `build` came to a value.
pub fn read<T>(
    source: &Source,
    newest: u32,
    build: impl FnOnce(&Table<'_>) -> Read<T>,
) -> Result<T, Error> {
    let document = syntax::parse(source)?;
    let notes = Notes {
        source,
        troubles: RefCell::default(),
    };
    let root = Table::root(document.get_ref(), &notes);
    let built = match root.format(newest) {
        Ok(()) => build(&root),
        Err(told) => {
            root.leave();
            Err(told)
        }
    };
    drop(root);
    let mut troubles = notes.troubles.into_inner();
    match (built, troubles.pop()) {
        (Ok(value), None) => Ok(value),
        (_, Some(trouble)) => Err(Error::new(source.clone(), trouble, troubles)),
        // `Told` is only made beside a trouble, so this cannot be; it still is no reason to panic.
        (Err(_), None) => Err(source.refusal(0..0, "the file could not be read", "Report this.")),
    }
}

#[cfg(test)]
mod tests;
