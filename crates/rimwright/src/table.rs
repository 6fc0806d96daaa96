//! Columns on a terminal.

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

/// A table with these heads; columns whose head ends in a unit or a sign of a number stand right.
pub(crate) fn table(heads: &[&str], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table
        .load_preset(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Disabled)
        .set_header(heads.to_vec())
        .add_rows(&rows);
    for (place, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, 2));
        let is_number = rows.iter().any(|row| {
            row.get(place).is_some_and(|cell| {
                cell.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '−'))
            })
        });
        column.set_cell_alignment(if is_number {
            CellAlignment::Right
        } else {
            CellAlignment::Left
        });
    }
    let mut text = String::new();
    for line in table.lines() {
        text.push_str("  ");
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// A heading over a table.
pub(crate) fn heading(words: &str) -> String {
    format!("\n{words}\n")
}

/// A paragraph wrapped at 92 characters behind a mark.
pub(crate) fn item(mark: &str, words: &str) -> String {
    let mut text = String::new();
    let mut line = format!("  {mark} ");
    let indent = " ".repeat(line.chars().count());
    for word in words.split_whitespace() {
        if line.chars().count() + word.chars().count() > 92 && line.trim() != mark {
            text.push_str(line.trim_end());
            text.push('\n');
            line.clone_from(&indent);
        }
        line.push_str(word);
        line.push(' ');
    }
    text.push_str(line.trim_end());
    text.push('\n');
    text
}
