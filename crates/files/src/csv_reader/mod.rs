//! Columns of a CSV file, every cell with its place in the text.
//!
//! The separator is `;`, a tab or `,`, as the header has it. Cells hold numbers and single words, so
//! quotation marks round a cell are taken off and never hide a separator. Lines that start with `#`
//! and empty lines are no rows.

mod cell;

use crate::error::{Error, Trouble};
use crate::source::Source;
use crate::toml_reader::{Unknown, unknown};
use cell::{finite, places, separator};
use std::ops::Range;

/// The most rows that are read: a lap has dozens, a dial that streams has thousands.
pub(crate) const MOST_ROWS: usize = 100_000;

/// Troubles after which a reader stops looking for more: it is the wrong file, or wrong throughout.
const MOST_TROUBLES: usize = 40;

/// A column of a [`Table`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Column(usize);

/// The cells of a file under known headings.
#[derive(Debug)]
pub(crate) struct Table {
    source: Source,
    separator: char,
    header: Vec<Range<usize>>,
    /// Row after row, each as wide as the header.
    cells: Vec<Range<usize>>,
    /// The first cell with a decimal sign and that sign: one file writes decimals one way.
    decimal: Option<(char, Range<usize>)>,
    troubles: Vec<Trouble>,
}

impl Table {
    /// The cells of `source`, whose headings are all among `known`.
    ///
    /// # Errors
    /// When there is no header, or it has an unknown heading or one twice. A row with too many or too
    /// few cells is a trouble that [`Table::finish`] reports.
    pub(crate) fn read(source: &Source, known: &[&str]) -> Result<Self, Error> {
        let separator = separator(source.text());
        let mut records = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .quoting(false)
            .delimiter(separator as u8)
            .from_reader(source.text().as_bytes());
        let mut table: Option<Self> = None;
        let mut record = csv::ByteRecord::new();
        // The text is in memory and records may be ragged, so reading can only end, not fail.
        while records.read_byte_record(&mut record).unwrap_or(false) {
            let cells = places(source.text(), &record);
            let first = &source.text()[cells[0].clone()];
            if first.starts_with('#') || (cells.len() == 1 && first.is_empty()) {
                continue;
            }
            if let Some(table) = &mut table {
                table.take_row(&cells)?;
                continue;
            }
            check_header(source, &cells, known)?;
            table = Some(Self {
                source: source.clone(),
                separator,
                header: cells,
                cells: Vec::new(),
                decimal: None,
                troubles: Vec::new(),
            });
        }
        table.ok_or_else(|| {
            source.refusal(
                0..0,
                "there is no header, only comments",
                format!(
                    "Name the columns on a line above the rows: {}.",
                    known.join(", ")
                ),
            )
        })
    }

    /// The column of a heading, when the file has it.
    pub(crate) fn column(&self, heading: &str) -> Option<Column> {
        let text = self.source.text();
        self.header
            .iter()
            .position(|place| &text[place.clone()] == heading)
            .map(Column)
    }

    /// The column of a heading that the file must have.
    ///
    /// # Errors
    /// When it has not.
    pub(crate) fn required(&self, heading: &str) -> Result<Column, Error> {
        self.column(heading).ok_or_else(|| {
            self.source.refusal(
                self.header_span(),
                format!("there is no column `{heading}`"),
                format!("Name one column `{heading}` in this line."),
            )
        })
    }

    /// The heading of a column.
    pub(crate) fn heading(&self, column: Column) -> &str {
        &self.source.text()[self.header[column.0].clone()]
    }

    /// The bytes of the header.
    pub(crate) fn header_span(&self) -> Range<usize> {
        self.header[0].start..self.header[self.header.len() - 1].end
    }

    /// The bytes of one heading.
    pub(crate) fn heading_span(&self, column: Column) -> Range<usize> {
        self.header[column.0].clone()
    }

    /// How many rows there are under the header; a ragged one is not among them.
    pub(crate) fn rows(&self) -> usize {
        self.cells.len() / self.header.len()
    }

    /// The bytes of a cell.
    pub(crate) fn span(&self, row: usize, column: Column) -> Range<usize> {
        self.cells[row * self.header.len() + column.0].clone()
    }

    /// The line of a row, from 1.
    pub(crate) fn line(&self, row: usize) -> usize {
        self.source
            .line_and_column(self.span(row, Column(0)).start)
            .0
    }

    /// What stands in a cell.
    pub(crate) fn text(&self, row: usize, column: Column) -> &str {
        &self.source.text()[self.span(row, column)]
    }

    /// Whether every cell of a row is a bare row of digits: the halves of numbers torn apart at a
    /// decimal comma look like that.
    pub(crate) fn all_digits(&self, row: usize) -> bool {
        (0..self.header.len()).all(|column| {
            self.text(row, Column(column))
                .bytes()
                .all(|byte| byte.is_ascii_digit())
        })
    }

    /// Whether columns are separated by the sign that some write decimals with.
    pub(crate) const fn separated_by_comma(&self) -> bool {
        self.separator == ','
    }

    /// Notes a trouble with a cell or its row.
    pub(crate) fn trouble(
        &mut self,
        span: Range<usize>,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) {
        if self.troubles.len() < MOST_TROUBLES {
            self.troubles.push(self.source.trouble(span, what, mend));
        }
    }

    /// The number in a cell: finite, with a decimal point, or a comma where it cannot be mistaken.
    pub(crate) fn number(&mut self, row: usize, column: Column) -> Option<f64> {
        let span = self.span(row, column);
        let text = self.text(row, column).to_owned();
        let heading = self.heading(column).to_owned();
        if text.is_empty() {
            self.trouble(
                span,
                format!("no `{heading}` in this row"),
                "Write the number, or delete the row.",
            );
            return None;
        }
        let plain = self.with_decimal_point(&text, &span)?;
        match finite(&plain) {
            Ok(number) => Some(number),
            Err((what, mend)) => {
                self.trouble(span, format!("`{heading}`: {what}"), mend);
                None
            }
        }
    }

    /// The number in a cell, when it is not negative.
    pub(crate) fn not_negative(&mut self, row: usize, column: Column, mend: &str) -> Option<f64> {
        let number = self.number(row, column)?;
        if number < 0.0 {
            let what = format!("`{}` is negative", self.heading(column));
            self.trouble(self.span(row, column), what, mend);
            return None;
        }
        Some(number)
    }

    /// Nothing, when nothing was wrong.
    ///
    /// # Errors
    /// With every trouble noted; also when there are no rows at all.
    pub(crate) fn finish(mut self) -> Result<(), Error> {
        if self.rows() == 0 && self.troubles.is_empty() {
            let span = self.header_span();
            self.trouble(
                span,
                "there are no rows",
                "Write one row for each reading below.",
            );
        }
        if self.troubles.is_empty() {
            return Ok(());
        }
        let first = self.troubles.remove(0);
        Err(Error::new(self.source, first, self.troubles))
    }

    /// The number's text with a decimal point; a trouble where a comma could be mistaken.
    fn with_decimal_point(&mut self, text: &str, span: &Range<usize>) -> Option<String> {
        let sign = match (text.contains('.'), text.contains(',')) {
            (true, true) => {
                self.trouble(
                    span.clone(),
                    format!("`{text}` has a point and a comma"),
                    "Write the number without a sign between thousands, as in 1234.5.",
                );
                return None;
            }
            (false, false) => return Some(text.to_owned()),
            (true, false) => '.',
            (false, true) => ',',
        };
        let (first_sign, first) = self
            .decimal
            .get_or_insert_with(|| (sign, span.clone()))
            .clone();
        if first_sign != sign {
            let (line, _) = self.source.line_and_column(first.start);
            self.trouble(
                span.clone(),
                format!(
                    "`{text}` could be misread: line {line} has `{}` with the other decimal sign",
                    &self.source.text()[first]
                ),
                "Write all decimals of a file with a point, or all with a comma.",
            );
            return None;
        }
        Some(text.replacen(',', ".", 1))
    }

    /// Takes a row of the header's width; any other is a trouble.
    fn take_row(&mut self, cells: &[Range<usize>]) -> Result<(), Error> {
        let row = cells[0].start..cells[cells.len() - 1].end;
        if self.rows() == MOST_ROWS {
            return Err(self.source.refusal(
                row,
                format!("more than {MOST_ROWS} rows"),
                "Is it the right file?",
            ));
        }
        if cells.len() == self.header.len() {
            self.cells.extend_from_slice(cells);
            return Ok(());
        }
        let what = format!(
            "{} cells in this row, but the header names {} columns",
            cells.len(),
            self.header.len()
        );
        let mend = match (cells.len() > self.header.len(), self.separator) {
            (true, ',') => {
                "If it has decimal commas, write `.` instead, or separate all columns by `;`."
            }
            (true, _) => "Write one cell for each column.",
            (false, _) => "Write every cell; separate them as the header does.",
        };
        self.trouble(row, what, mend);
        Ok(())
    }
}

/// Refuses a header with a heading unknown or twice.
fn check_header(source: &Source, header: &[Range<usize>], known: &[&str]) -> Result<(), Error> {
    let known: Vec<String> = known.iter().map(|&heading| heading.to_owned()).collect();
    for (place, span) in header.iter().enumerate() {
        let heading = &source.text()[span.clone()];
        if header[..place]
            .iter()
            .any(|other| &source.text()[other.clone()] == heading)
        {
            return Err(source.refusal(
                span.clone(),
                format!("the column `{heading}` stands here twice"),
                "Leave one of them out.",
            ));
        }
        if !known.iter().any(|known| known == heading) {
            let Unknown { what, mend, .. } = unknown(heading, &known, "column", "the header");
            return Err(source.refusal(span.clone(), what, mend));
        }
    }
    Ok(())
}
