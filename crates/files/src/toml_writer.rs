//! TOML line by line: blocks and keys, in the order in which a person would write them.

use crate::literal::text;
use quantity::{Force, Length, Mass, Rigidity};
use std::fmt::{Display, Write};

/// A TOML file being written.
#[derive(Debug, Default)]
pub(crate) struct Page {
    text: String,
}

impl Page {
    /// Begins a block, `[rim]` or `[[spoke]]`.
    pub(crate) fn block(&mut self, header: &str) {
        let _ = write!(self.text, "\n{header}\n");
    }

    /// One line; the value as TOML writes it.
    pub(crate) fn key(&mut self, key: &str, value: impl Display) {
        let _ = writeln!(self.text, "{key} = {value}");
    }

    /// One line, if there is a value.
    pub(crate) fn optional(&mut self, key: &str, value: Option<impl Display>) {
        if let Some(value) = value {
            self.key(key, value);
        }
    }

    /// The whole text.
    pub(crate) fn finish(self) -> String {
        self.text
    }
}

/// An array of values as TOML writes them.
pub(crate) fn array(items: impl IntoIterator<Item = String>) -> String {
    format!("[{}]", items.into_iter().collect::<Vec<_>>().join(", "))
}

pub(crate) fn millimetres(length: Length) -> String {
    text(&("mm", Length::to_mm, Length::mm), length)
}

pub(crate) fn newtons(force: Force) -> String {
    text(&("n", Force::to_n, Force::n), force)
}

pub(crate) fn grams(mass: Mass) -> String {
    text(&("g", Mass::to_g, Mass::g), mass)
}

pub(crate) fn newton_square_millimetres(rigidity: Rigidity) -> String {
    text(&("n_mm2", Rigidity::to_n_mm2, Rigidity::n_mm2), rigidity)
}
