//! The text a person wrote, from the bytes of a file.

use crate::error::{Error, Trouble};
use std::ops::Range;
use std::sync::Arc;

/// The largest file that is read, in bytes: a lap of thousands of readings is far smaller, so
/// anything larger is the wrong file.
pub const SIZE_LIMIT: usize = 16_000_000;

/// The text of one file and the name people know it by; cheap to clone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    name: Arc<str>,
    text: Arc<str>,
}

impl Source {
    /// The text in `bytes`: UTF-8 with or without a byte order mark, lines ended by LF or CRLF.
    ///
    /// # Errors
    /// When there is nothing in it, when it is larger than [`SIZE_LIMIT`], and when it is not UTF-8
    /// text, with the place of the first byte that is not.
    pub fn from_bytes(name: &str, bytes: &[u8]) -> Result<Self, Error> {
        let named = |text: &str| Self {
            name: name.into(),
            text: text.into(),
        };
        if bytes.len() > SIZE_LIMIT {
            let size = format!("the file has more than {} MB", SIZE_LIMIT / 1_000_000);
            let mend = format!(
                "At most {} MB are read. Is it the right file?",
                SIZE_LIMIT / 1_000_000
            );
            return Err(named("").refusal(0..0, size, mend));
        }
        if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
            return Err(named("").refusal(
                0..0,
                "the file is UTF-16 text",
                "Save it again with the encoding UTF-8.",
            ));
        }
        let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) => return Err(not_utf8(name, bytes, error.valid_up_to())),
        };
        let source = named(text);
        if let Some(offset) = text.find('\0') {
            return Err(source.refusal(
                offset..offset + 1,
                "a NUL byte in the text",
                "The file is damaged or no text file: restore it from a copy or save it again as text.",
            ));
        }
        if text.trim().is_empty() {
            return Err(source.refusal(
                0..0,
                "the file is empty",
                "Nothing was read. Is it the right file, and was it saved?",
            ));
        }
        Ok(source)
    }

    /// The name people know the file by.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The text, without a byte order mark.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Line and column of a byte of the text, both from 1; the column counts characters.
    #[must_use]
    pub fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let before = &self.text[..self.floor(offset)];
        let line_start = before.rfind('\n').map_or(0, |end| end + 1);
        (
            before.matches('\n').count() + 1,
            before[line_start..].chars().count() + 1,
        )
    }

    /// One thing wrong at the bytes `span` of the text, and the way to mend it.
    pub fn trouble(
        &self,
        span: Range<usize>,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> Trouble {
        let start = self.floor(span.start);
        let (line, column) = self.line_and_column(start);
        let span = start..self.floor(span.end).max(start);
        Trouble {
            what: what.into(),
            mend: mend.into(),
            line,
            column,
            span,
        }
    }

    /// The error that consists of one trouble.
    pub fn refusal(
        &self,
        span: Range<usize>,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> Error {
        Error::new(self.clone(), self.trouble(span, what, mend), Vec::new())
    }

    /// The line that holds a byte of the text: where it starts, and its text without the line's end.
    pub(crate) fn line_around(&self, offset: usize) -> (usize, &str) {
        let offset = self.floor(offset);
        let start = self.text[..offset].rfind('\n').map_or(0, |end| end + 1);
        let end = self.text[offset..]
            .find('\n')
            .map_or(self.text.len(), |length| offset + length);
        (start, self.text[start..end].trim_end_matches('\r'))
    }

    /// The last character boundary at or before a byte.
    fn floor(&self, offset: usize) -> usize {
        let offset = offset.min(self.text.len());
        (0..=offset)
            .rev()
            .find(|&at| self.text.is_char_boundary(at))
            .unwrap_or(0)
    }
}

/// The refusal of bytes that are not UTF-8 from `valid_up_to` on.
fn not_utf8(name: &str, bytes: &[u8], valid_up_to: usize) -> Error {
    // Lossy text is for showing only: up to the bad byte it is the text itself.
    let shown = String::from_utf8_lossy(bytes);
    let source = Source {
        name: name.into(),
        text: shown.as_ref().into(),
    };
    let byte = bytes[valid_up_to];
    // 0xA0 and up mean the same character in Latin-1 as in Unicode; below are control codes there.
    let guess = if byte >= 0xA0 {
        format!(" In Latin-1 it would be `{}`.", char::from(byte))
    } else {
        String::new()
    };
    source.refusal(
        valid_up_to..valid_up_to + '\u{FFFD}'.len_utf8(),
        format!("the byte 0x{byte:02X} is not UTF-8 text"),
        format!("Save the file again with the encoding UTF-8.{guess}"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(bytes: &[u8]) -> String {
        Source::from_bytes("lap.csv", bytes)
            .expect_err("refused")
            .to_string()
    }

    #[test]
    fn a_byte_order_mark_is_no_part_of_the_text() {
        let source = Source::from_bytes("a.toml", b"\xEF\xBB\xBFformat = 1\r\n").expect("read");
        assert_eq!(source.text(), "format = 1\r\n");
        assert_eq!(source.line_and_column(0), (1, 1));
    }

    #[test]
    fn latin_1_is_refused_with_its_place_and_the_way_to_mend_it() {
        assert_eq!(
            refused(b"format = 1\nname = \"M\xF6we\"\n"),
            "lap.csv:2:10: the byte 0xF6 is not UTF-8 text\n    \
             name = \"M\u{FFFD}we\"\n             \
             ^\n    \
             Save the file again with the encoding UTF-8. In Latin-1 it would be `ö`."
        );
    }

    #[test]
    fn a_nul_an_empty_a_huge_and_a_utf_16_file_are_refused() {
        assert!(refused(b"a = 1\nb\0 = 2").starts_with("lap.csv:2:2: a NUL byte"));
        assert!(refused(b"").starts_with("lap.csv:1:1: the file is empty"));
        assert!(refused(b" \r\n\t\n").contains("the file is empty"));
        assert!(refused(b"\xFF\xFEa\0").contains("UTF-16"));
        let huge = vec![b'a'; 50_000_000];
        assert!(refused(&huge).contains("the file has more than 16 MB"));
    }

    #[test]
    fn columns_count_characters_and_lines_end_with_lf_or_crlf() {
        let source = Source::from_bytes("a", "é = 1\r\nöl = 2".as_bytes()).expect("read");
        assert_eq!(source.line_and_column("é = 1\r\nöl".len()), (2, 3));
        assert_eq!(source.line_around(2), (0, "é = 1"));
    }
}
