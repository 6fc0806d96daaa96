//! Where the cells of a text stand, and the numbers in them.

use std::ops::Range;

/// The number of a cell's text that has a decimal point if any.
pub(super) fn finite(text: &str) -> Result<f64, (String, &'static str)> {
    let is_number = text.bytes().any(|byte| byte.is_ascii_digit())
        && text
            .bytes()
            .all(|byte| byte.is_ascii_digit() || b"+-.eE".contains(&byte));
    let bare = text.trim_start_matches(['+', '-']).to_ascii_lowercase();
    if ["nan", "inf", "infinity"].contains(&bare.as_str()) {
        let what = format!("`{text}` is nothing that was read");
        return Err((what, "Leave the row out if nothing was read."));
    }
    match text.parse::<f64>() {
        Ok(number) if is_number && number.is_finite() => Ok(number),
        Ok(number) if is_number && number.is_infinite() => Err((
            format!("`{text}` is too large for any number"),
            "Write the number as it was read.",
        )),
        _ if text.starts_with(['−', '–']) => Err((
            format!("`{text}` starts with a dash, not a minus"),
            "Write `-`.",
        )),
        _ => Err((
            format!("`{text}` is not a number"),
            "Write only the number; its unit stands in the column's name.",
        )),
    }
}

/// The sign between the cells of the first line that is no comment.
pub(super) fn separator(text: &str) -> char {
    let is_header = |line: &&str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
    let header = text.split(['\n', '\r']).find(is_header).unwrap_or_default();
    [';', '\t']
        .into_iter()
        .find(|&sign| header.contains(sign))
        .unwrap_or(',')
}

/// Where the cells of a record stand in the text, without blanks and quotation marks round them.
pub(super) fn places(text: &str, record: &csv::ByteRecord) -> Vec<Range<usize>> {
    let mut start = record
        .position()
        .map_or(0, |position| position.byte() as usize);
    // The position is that before the byte order mark and the empty lines that the reader skipped.
    if start == 0 && text.starts_with('\u{FEFF}') {
        start += '\u{FEFF}'.len_utf8();
    }
    start += text[start..]
        .find(|sign| !matches!(sign, '\r' | '\n'))
        .unwrap_or(0);
    record
        .iter()
        .map(|field| {
            let cell = &text[start..start + field.len()];
            let place = within(start, cell, cell.trim());
            start += field.len() + 1;
            place
        })
        .collect()
}

/// The place of `trimmed`, which is cut from the cell at `start`, without quotation marks round it.
fn within(start: usize, cell: &str, trimmed: &str) -> Range<usize> {
    let blanks = cell.len() - cell.trim_start().len();
    let bare = trimmed
        .strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"'));
    let (bare, quote) = bare.map_or((trimmed, 0), |bare| (bare, 1));
    let from = start + blanks + quote;
    from..from + bare.len()
}
