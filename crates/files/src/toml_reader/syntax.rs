//! Text that is no TOML: what the parser found, in words that help.

use crate::error::{Error, brief};
use crate::source::Source;
use std::ops::Range;
use toml::Spanned;
use toml::de::DeTable;

/// As many breaks of the syntax as one message names: the later ones often follow from the first.
const NAMED_BREAKS: usize = 3;

/// The document's table with spans.
pub(super) fn parse(source: &Source) -> Result<Spanned<DeTable<'_>>, Error> {
    let (table, mut errors) = DeTable::parse_recoverable(source.text());
    errors.sort_by_key(|error| error.span().map_or(0, |span| span.start));
    let mut troubles = Vec::new();
    let mut named_up_to = 0;
    for error in errors {
        let span = error.span().unwrap_or(0..0);
        if troubles.len() == NAMED_BREAKS {
            break;
        }
        if troubles.is_empty() || span.start > named_up_to {
            let (line_start, line) = source.line_around(span.start);
            named_up_to = line_start + line.len();
            let (span, what, mend) = explained(source.text(), span, error.message());
            troubles.push(source.trouble(span, what, mend));
        }
    }
    match troubles.pop() {
        None => Ok(table),
        Some(trouble) => Err(Error::new(source.clone(), trouble, troubles)),
    }
}

/// Where to point, what is wrong, and how to mend it.
fn explained(text: &str, span: Range<usize>, message: &str) -> (Range<usize>, String, String) {
    if let Some(comma) = decimal_comma(text, &span) {
        let (wrong, right) = (&text[comma.clone()], text[comma.clone()].replace(',', "."));
        return (
            comma.clone(),
            format!("a decimal comma in `{wrong}`"),
            format!("Numbers take a point: `{right}`."),
        );
    }
    let offending = brief(text.get(span.clone()).unwrap_or_default());
    if message.starts_with("string values must be quoted") {
        let number = offending
            .split_whitespace()
            .next()
            .filter(|word| word.parse::<f64>().is_ok());
        return match number {
            Some(number) if offending.contains(char::is_whitespace) => (
                span,
                format!("`{offending}` is neither a number nor quoted text"),
                format!("A number stands alone, its unit is part of the key: `{number}`."),
            ),
            _ => (
                span,
                format!("`{offending}` is neither a number nor quoted text"),
                format!("Text stands in quotation marks: `\"{offending}\"`."),
            ),
        };
    }
    if message == "duplicate key" {
        return (
            span,
            format!("`{offending}` stands here a second time"),
            "Keep one of the two.".into(),
        );
    }
    let (what, expected) = message.split_once(", expected ").unwrap_or((message, ""));
    let mend = match expected {
        "" | "nothing" => "Correct this line.".into(),
        expected => format!("Here should come {}.", expected.replace(", ", " or ")),
    };
    (span, what.to_owned(), mend)
}

/// The bytes of a number written with a decimal comma that touches `span`.
pub(super) fn decimal_comma(text: &str, span: &Range<usize>) -> Option<Range<usize>> {
    let line_start = text.get(..span.start)?.rfind('\n').map_or(0, |end| end + 1);
    let line = text[line_start..].lines().next()?;
    let is_part =
        |character: char| character.is_ascii_digit() || matches!(character, '+' | '-' | ',' | '.');
    let mut at = line_start;
    for piece in line.split_inclusive(|character: char| !is_part(character)) {
        // A comma behind the number parts it from the next one.
        let number = piece.trim_end_matches(|character: char| !character.is_ascii_digit());
        let found = at..at + number.len();
        at += piece.len();
        let touches = found.start <= span.end && span.start <= found.end;
        if touches && is_decimal_comma(number) {
            return Some(found);
        }
    }
    None
}

/// Whether the text is one number with a comma where the point belongs.
pub(super) fn is_decimal_comma(text: &str) -> bool {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    digits.split_once(',').is_some_and(|(whole, fraction)| {
        [whole, fraction].iter().all(|part| {
            !part.is_empty() && part.chars().all(|character| character.is_ascii_digit())
        })
    })
}
