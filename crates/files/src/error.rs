//! What is wrong in a file, where, and how to mend it.

use crate::source::Source;
use std::fmt;
use std::ops::Range;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// One thing wrong in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// What is wrong, in words that need no look into the file.
    pub what: String,
    /// The way to mend it.
    pub mend: String,
    /// Line of the offending text, from 1.
    pub line: usize,
    /// Its first character in that line, from 1.
    pub column: usize,
    /// Its bytes in the text; empty where something is missing.
    pub span: Range<usize>,
}

/// Why a file gives no value: at least one trouble, in the order of the text.
///
/// Its `Display` says for each trouble `file:line:column: what`, then shows the line, the offending
/// text underlined, and the way to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Error {
    source: Source,
    troubles: Vec<Trouble>,
}

/// As many troubles as one message shows: more is a list to work through in rounds.
const SHOWN_TROUBLES: usize = 12;

/// Characters of a line shown before and behind the start of the offending text, at most; a lap
/// on one line would otherwise bury its own error.
const SHOWN_BEFORE: usize = 40;
const SHOWN_BEHIND: usize = 60;

/// Spaces a tab is shown as.
const TAB: &str = "    ";

impl Error {
    /// The error of one trouble and others beside it, in any order.
    pub(crate) fn new(source: Source, trouble: Trouble, mut others: Vec<Trouble>) -> Self {
        others.insert(0, trouble);
        others.sort_by_key(|trouble| trouble.span.start);
        others.dedup();
        Self {
            source,
            troubles: others,
        }
    }

    /// The file's name.
    #[must_use]
    pub fn file(&self) -> &str {
        self.source.name()
    }

    /// The file's text.
    #[must_use]
    pub fn text(&self) -> &str {
        self.source.text()
    }

    /// What is wrong, in the order of the text; at least one.
    #[must_use]
    pub fn troubles(&self) -> &[Trouble] {
        &self.troubles
    }
}

impl std::error::Error for Error {}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, trouble) in self.troubles.iter().take(SHOWN_TROUBLES).enumerate() {
            if place > 0 {
                f.write_str("\n\n")?;
            }
            let Trouble {
                what,
                mend,
                line,
                column,
                span,
            } = trouble;
            write!(f, "{}:{line}:{column}: {what}", self.file())?;
            let (line_start, line) = self.source.line_around(span.start);
            if !line.trim().is_empty() {
                let (shown, underline) = underlined(line, line_start, span);
                write!(f, "\n    {shown}\n    {underline}")?;
            }
            write!(f, "\n    {mend}")?;
        }
        match self.troubles.len().saturating_sub(SHOWN_TROUBLES) {
            0 => Ok(()),
            more => write!(f, "\n\n{}: and {more} more of the kind", self.file()),
        }
    }
}

/// The line as shown, and the marks that stand under the offending text on a screen where a wide
/// character takes two places and a tab four.
fn underlined(line: &str, line_start: usize, span: &Range<usize>) -> (String, String) {
    let start = (span.start - line_start).min(line.len());
    let end = (span.end - line_start).clamp(start, line.len());
    let (before, offending, behind) = (&line[..start], &line[start..end], &line[end..]);
    let skipped = before.chars().count().saturating_sub(SHOWN_BEFORE);
    let before: String = if skipped > 0 {
        std::iter::once('…')
            .chain(before.chars().skip(skipped))
            .collect()
    } else {
        before.to_owned()
    };
    let (offending, cut) = shortened(offending, SHOWN_BEHIND);
    let (behind, behind_cut) = shortened(behind, SHOWN_BEHIND - offending.chars().count());
    let tail = if cut || behind_cut { "…" } else { "" };
    let behind = if cut { "" } else { behind };
    let (before, offending) = (visible(&before), visible(offending));
    let marks = "^".repeat(offending.width().max(1));
    let shown = format!("{before}{offending}{}{tail}", visible(behind));
    (
        shown.trim_end().to_owned(),
        format!("{}{marks}", " ".repeat(before.width())),
    )
}

/// The text as far as a message can carry it.
pub(crate) fn brief(text: &str) -> String {
    let (start, is_cut) = shortened(text, SHOWN_BEFORE);
    format!("{start}{}", if is_cut { "…" } else { "" })
}

/// The first `most` characters, and whether that left any out.
fn shortened(text: &str, most: usize) -> (&str, bool) {
    text.char_indices()
        .nth(most)
        .map_or((text, false), |(end, _)| (&text[..end], true))
}

/// The text with tabs as spaces and control characters as a mark that can be seen.
fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\t' => shown.push_str(TAB),
            _ if character.width().is_none() => shown.push('\u{FFFD}'),
            _ => shown.push(character),
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use crate::Source;

    fn shown(text: &str, offending: &str) -> String {
        let source = Source::from_bytes("w.toml", text.as_bytes()).expect("text");
        let start = text.find(offending).expect("offending text");
        source
            .refusal(start..start + offending.len(), "wrong", "Mend it.")
            .to_string()
    }

    #[test]
    fn the_underline_stands_under_the_offending_text() {
        assert_eq!(
            shown("a = 1\nbee = 2\n", "bee"),
            "w.toml:2:1: wrong\n    bee = 2\n    ^^^\n    Mend it."
        );
    }

    #[test]
    fn tabs_and_wide_characters_before_it_move_the_underline() {
        assert_eq!(
            shown("\tname = \"車輪\" x", "x"),
            "w.toml:1:14: wrong\n        name = \"車輪\" x\n                      ^\n    Mend it."
        );
    }

    #[test]
    fn a_long_line_is_shown_around_the_offending_text() {
        let text = format!(
            "readings = [{}99, {}]",
            "1, ".repeat(200),
            "2, ".repeat(200)
        );
        let shown = shown(&text, "99");
        let mut lines = shown.lines().skip(1);
        let (line, marks) = (lines.next().expect("line"), lines.next().expect("marks"));
        assert!(
            line.trim().starts_with('…') && line.ends_with('…'),
            "{line}"
        );
        let column = line.chars().position(|character| character == '9');
        assert_eq!(column, marks.chars().position(|mark| mark == '^'));
    }

    #[test]
    fn an_error_of_many_troubles_shows_the_first_dozen_in_the_order_of_the_text() {
        let text = "x\n".repeat(20);
        let source = Source::from_bytes("w.toml", text.as_bytes()).expect("text");
        let at = |line: usize| source.trouble(2 * line..2 * line + 1, "wrong", "Mend it.");
        let error = super::Error::new(source.clone(), at(19), (0..19).rev().map(at).collect());
        let shown = error.to_string();
        assert!(shown.starts_with("w.toml:1:1:"), "{shown}");
        assert!(shown.ends_with("and 8 more of the kind"), "{shown}");
    }
}
