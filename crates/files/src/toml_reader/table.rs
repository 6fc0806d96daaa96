//! One table of a file, asked key by key.

use super::number::Range;
use super::{Notes, Read, Told, Value, keys};
use std::cell::{Cell, RefCell};
use std::ops::Range as Span;
use toml::de::DeTable;

/// One table: hands out values by key and remembers which keys it was asked for.
#[derive(Debug)]
pub struct Table<'d> {
    /// What people call it: `[rim]`, or "the file" for the outermost.
    title: String,
    header: Span<usize>,
    table: &'d DeTable<'d>,
    notes: &'d Notes<'d>,
    known: RefCell<Vec<String>>,
    missing: RefCell<Vec<Missing>>,
    is_closed: Cell<bool>,
}

/// Keys of which one should be there, and what to do about it.
#[derive(Debug)]
struct Missing {
    keys: Vec<String>,
    mend: String,
}

impl<'d> Table<'d> {
    pub(super) fn root(table: &'d DeTable<'d>, notes: &'d Notes<'d>) -> Self {
        let first_line = notes.source.line_around(0).1.len();
        Self::titled("the file".to_owned(), 0..first_line, table, notes)
    }

    pub(super) fn new(
        key: &str,
        header: Span<usize>,
        table: &'d DeTable<'d>,
        notes: &'d Notes<'d>,
    ) -> Self {
        let text = notes.source.text().get(header.clone()).unwrap_or_default();
        let title = if text.starts_with('[') {
            text.to_owned()
        } else {
            format!("[{key}]")
        };
        Self::titled(title, header, table, notes)
    }

    fn titled(
        title: String,
        header: Span<usize>,
        table: &'d DeTable<'d>,
        notes: &'d Notes<'d>,
    ) -> Self {
        let (known, missing, is_closed) = Default::default();
        Self {
            title,
            header,
            table,
            notes,
            known,
            missing,
            is_closed,
        }
    }

    /// What people call it, `[rim]`.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The bytes of its header.
    #[must_use]
    pub fn header(&self) -> Span<usize> {
        self.header.clone()
    }

    /// Writes down what is wrong with the table as a whole, at its header.
    pub fn trouble(&self, what: impl Into<String>, mend: impl Into<String>) -> Told {
        self.notes.tell(self.header(), what, mend)
    }

    /// Writes down what is wrong with the value of a key, or with the table if it has no such key.
    pub fn trouble_at(&self, key: &str, what: impl Into<String>, mend: impl Into<String>) -> Told {
        let span = self.find(key).map_or(self.header(), |value| value.span());
        self.notes.tell(span, what, mend)
    }

    /// The value of a key, if the table has it.
    #[must_use]
    pub fn optional(&self, key: &str) -> Option<Value<'d>> {
        self.know(key);
        self.find(key)
    }

    /// The value of a key the table must have.
    pub fn required(&self, key: &str) -> Read<Value<'d>> {
        self.optional(key)
            .ok_or_else(|| self.miss(vec![key.to_owned()]))
    }

    /// Notes that a key should be there, with what to do about it: said when the table is closed,
    /// unless the key stands there mistyped.
    pub fn missing(&self, key: &str, mend: impl Into<String>) -> Told {
        self.note_missing(Missing {
            keys: vec![key.to_owned()],
            mend: mend.into(),
        })
    }

    /// Every key and its value, for tables whose keys are names that people choose.
    #[must_use]
    pub fn entries(&self) -> Vec<Value<'d>> {
        let mut entries: Vec<_> = self.table.iter().collect();
        entries.sort_by_key(|(key, _)| key.span().start);
        let entry = |(key, value): (&'d toml::Spanned<_>, _)| {
            let key: &'d std::borrow::Cow<'d, str> = key.get_ref();
            self.know(key);
            Value {
                key,
                value,
                notes: self.notes,
            }
        };
        entries.into_iter().map(entry).collect()
    }

    /// The table under a key.
    pub fn table(&self, key: &str) -> Read<Table<'d>> {
        self.required(key)?.table()
    }

    /// The table under a key, if there is one.
    pub fn optional_table(&self, key: &str) -> Read<Option<Table<'d>>> {
        self.optional(key).map(|value| value.table()).transpose()
    }

    /// The tables under a key written `[[key]]`, in the order of the file; none if there are none.
    pub fn tables(&self, key: &str) -> Read<Vec<Table<'d>>> {
        let Some(value) = self.optional(key) else {
            return Ok(Vec::new());
        };
        if !value.is_array() {
            return Err(value.trouble(
                format!("`{key}` may stand several times, each with its own block"),
                format!("Write `[[{key}]]` above each."),
            ));
        }
        let tables: Vec<_> = value.items()?.iter().map(Value::table).collect();
        tables.into_iter().collect()
    }

    /// The text under a key.
    pub fn text(&self, key: &str) -> Read<String> {
        self.required(key)?.text()
    }

    /// The text under a key, if there is one.
    pub fn optional_text(&self, key: &str) -> Read<Option<String>> {
        self.optional(key).map(|value| value.text()).transpose()
    }

    /// What the chosen word under a key stands for.
    pub fn choice<T: Clone>(&self, key: &str, choices: &[(&str, T)]) -> Read<T> {
        self.required(key)?.choice(choices)
    }

    /// What the chosen word under a key stands for, if there is one.
    pub fn optional_choice<T: Clone>(&self, key: &str, choices: &[(&str, T)]) -> Read<Option<T>> {
        self.optional(key)
            .map(|value| value.choice(choices))
            .transpose()
    }

    /// The number under a key.
    pub fn number(&self, key: &str, range: Range) -> Read<f64> {
        self.required(key)?.number(range)
    }

    /// The number under a key, if there is one.
    pub fn optional_number(&self, key: &str, range: Range) -> Read<Option<f64>> {
        self.optional(key)
            .map(|value| value.number(range))
            .transpose()
    }

    /// Ends the questions: keys that nobody asked for are unknown, and what is missing is said.
    pub fn close(&self) {
        self.is_closed.set(true);
        let known = self.known.borrow();
        let mut missing = self.missing.take();
        for key in self.table.keys() {
            if known.iter().any(|known| known == key.get_ref()) {
                continue;
            }
            let keys::Unknown { what, mend, meant } =
                keys::unknown(key.get_ref(), &known, "key", &self.title);
            // A mistyped key is one trouble, not an unknown and a missing one.
            missing.retain(|missing| !missing.keys.iter().any(|key| meant.contains(key)));
            self.notes.tell(key.span(), what, mend);
        }
        self.tell_missing(missing);
    }

    /// Leaves the table without having asked for all of its keys, since a trouble came first.
    pub(super) fn leave(&self) {
        self.is_closed.set(true);
        self.tell_missing(self.missing.take());
    }

    fn tell_missing(&self, missing: Vec<Missing>) {
        for Missing { keys, mend } in missing {
            let keys: Vec<_> = keys.iter().map(|key| format!("`{key}`")).collect();
            self.trouble(
                format!("{} is missing in {}", keys.join(" or "), self.title),
                mend,
            );
        }
    }

    /// Checks the key `format`.
    pub(super) fn format(&self, newest: u32) -> Read<()> {
        let value = self.required("format")?;
        let format = value.number(super::positive(1e9))?;
        if format.fract() != 0.0 {
            return Err(value.trouble(
                "`format` is a whole number",
                format!("Write `format = {newest}`."),
            ));
        }
        if format > f64::from(newest) {
            return Err(value.trouble(
                format!(
                    "this file is of format {format}, newer than the format {newest} read here"
                ),
                "Update the program, or save the file in the older format.",
            ));
        }
        Ok(())
    }

    fn find(&self, key: &str) -> Option<Value<'d>> {
        let (key, value) = self
            .table
            .iter()
            .find(|(known, _)| known.get_ref() == key)?;
        Some(Value {
            key: key.get_ref(),
            value,
            notes: self.notes,
        })
    }

    fn know(&self, key: &str) {
        let mut known = self.known.borrow_mut();
        if !known.iter().any(|known| known == key) {
            known.push(key.to_owned());
        }
    }

    /// Notes that one of these keys should be there.
    pub(crate) fn miss(&self, keys: Vec<String>) -> Told {
        self.note_missing(Missing {
            keys,
            mend: "Add the line.".to_owned(),
        })
    }

    fn note_missing(&self, missing: Missing) -> Told {
        self.missing.borrow_mut().push(missing);
        Told(())
    }
}

impl Drop for Table<'_> {
    fn drop(&mut self) {
        if !self.is_closed.get() {
            self.leave();
            let is_told = !self.notes.troubles.borrow().is_empty();
            debug_assert!(
                is_told || std::thread::panicking(),
                "{} was never closed: its unknown keys pass unseen",
                self.title
            );
        }
    }
}
