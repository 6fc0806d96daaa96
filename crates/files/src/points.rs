//! Rig points: forces that are known and what the gauge showed at them, as CSV.

use crate::csv_reader::{Column, Table};
use crate::error::Error;
use crate::literal::{FORCE_UNITS, Unit, number, plainest, text};
use crate::source::Source;
use metrology::visit::{Loading, RigPoint};
use quantity::Force;

const READING: &str = "reading";
const DIRECTION: &str = "direction";
const U_READING: &str = "u_reading";
const U_FORCE: &str = "u_force";

/// No spoke bears more (common practice, no source): the strongest quoted break near 4 kN.
const STRONGEST: Force = Force::n(5000.0);

/// Share of a value beyond which its uncertainty is taken for a half of a number torn apart at a
/// decimal comma, when the row has nothing but bare digits.
const SUSPECT_SHARE: f64 = 0.25;

/// The points of a rig, in the order of their rows.
///
/// Columns: `reading` and one of `force_kgf`, `force_n`, `force_lbf`; optionally `direction` (`up` or
/// `down`), `u_reading` and `u_force`, the latter in the unit of the force. A cell of an optional
/// column may stay empty.
///
/// # Errors
/// When a column is missing, unknown or twice, there is no row, or a cell does not hold what its
/// column says.
pub fn read(source: &Source) -> Result<Vec<RigPoint>, Error> {
    let forces = FORCE_UNITS.map(|(unit, ..)| format!("force_{unit}"));
    let mut known = vec![READING];
    known.extend(forces.iter().map(String::as_str));
    known.extend([DIRECTION, U_READING, U_FORCE]);
    let mut table = Table::read(source, &known)?;
    let columns = Columns {
        reading: table.required(READING)?,
        force: force_column(source, &table, &forces)?,
        direction: table.column(DIRECTION),
        u_reading: table.column(U_READING),
        u_force: table.column(U_FORCE),
    };
    let points: Vec<_> = (0..table.rows())
        .map(|row| columns.point(&mut table, row))
        .collect();
    table.finish()?;
    Ok(points.into_iter().flatten().collect())
}

/// The points as a file that [`read`] reads back to the same points.
///
/// Optional columns stand where a point has what they hold; the force is in the unit that says all of
/// the forces exactly with the fewest digits.
#[must_use]
pub fn write(points: &[RigPoint]) -> String {
    let forces: Vec<Force> = points
        .iter()
        .flat_map(|point| [Some(point.force), point.u_force])
        .flatten()
        .collect();
    let unit = plainest(&FORCE_UNITS, &forces);
    let force = |force: Force| text(&unit, force);
    type Cell<'p> = (String, &'p dyn Fn(&RigPoint) -> Option<String>);
    let cells: [Cell<'_>; 5] = [
        (READING.into(), &|point| Some(number(point.reading))),
        (format!("force_{}", unit.0), &|point| {
            Some(force(point.force))
        }),
        (DIRECTION.into(), &|point| {
            point.loading.map(|loading| direction(loading).to_owned())
        }),
        (U_READING.into(), &|point| {
            point.u_reading.map(number).map(with_point)
        }),
        (U_FORCE.into(), &|point| {
            point.u_force.map(force).map(with_point)
        }),
    ];
    let used: Vec<_> = cells
        .into_iter()
        .enumerate()
        .filter(|(place, (_, cell))| *place < 2 || points.iter().any(|point| cell(point).is_some()))
        .map(|(_, cell)| cell)
        .collect();
    let line = |cells: Vec<String>| cells.join(",") + "\n";
    let header = line(used.iter().map(|(heading, _)| heading.clone()).collect());
    let rows = points.iter().map(|point| {
        line(
            used.iter()
                .map(|(_, cell)| cell(point).unwrap_or_default())
                .collect(),
        )
    });
    std::iter::once(header).chain(rows).collect()
}

/// The number with a point in any case, which tells it from a half of a torn number.
fn with_point(number: String) -> String {
    if number.bytes().all(|byte| byte.is_ascii_digit()) {
        number + ".0"
    } else {
        number
    }
}

const fn direction(loading: Loading) -> &'static str {
    match loading {
        Loading::Up => "up",
        Loading::Down => "down",
    }
}

/// The one column of forces, and its unit.
fn force_column(
    source: &Source,
    table: &Table,
    headings: &[String; 3],
) -> Result<(Column, Unit<Force>), Error> {
    let mut found = headings
        .iter()
        .zip(FORCE_UNITS)
        .filter_map(|(heading, unit)| Some((table.column(heading)?, unit)));
    let Some(first) = found.next() else {
        return Err(source.refusal(
            table.header_span(),
            "there is no column of forces",
            format!("Name one column {}.", headings.join(" or ")),
        ));
    };
    match found.next() {
        None => Ok(first),
        Some((second, _)) => Err(source.refusal(
            table.heading_span(second),
            format!(
                "`{}` stands beside `{}`",
                table.heading(second),
                table.heading(first.0)
            ),
            "Leave one of them out: a point has one force.",
        )),
    }
}

/// Where in a row the parts of a point stand.
struct Columns {
    reading: Column,
    force: (Column, Unit<Force>),
    direction: Option<Column>,
    u_reading: Option<Column>,
    u_force: Option<Column>,
}

impl Columns {
    fn point(&self, table: &mut Table, row: usize) -> Option<RigPoint> {
        let (force_column, (_, _, force)) = self.force;
        let reading = table.not_negative(row, self.reading, NEGATIVE_READING);
        let pull = pull(table, row, force_column, force);
        let u_reading = self
            .u_reading
            .map(|column| uncertainty(table, row, column, reading));
        let u_force = self
            .u_force
            .map(|column| uncertainty(table, row, column, pull));
        let loading = self.direction.map(|column| loading(table, row, column));
        Some(RigPoint {
            reading: reading?,
            force: force(pull?),
            loading: loading.unwrap_or(Some(None))?,
            u_reading: u_reading.unwrap_or(Some(None))?,
            u_force: u_force.unwrap_or(Some(None))?.map(force),
        })
    }
}

/// The number of a force in a cell, when a spoke can bear it.
fn pull(table: &mut Table, row: usize, column: Column, force: fn(f64) -> Force) -> Option<f64> {
    let number = table.not_negative(row, column, "A rig pulls: write the force without a sign.")?;
    if force(number) > STRONGEST {
        let what = format!("{:.0} N is more than any spoke bears", force(number).to_n());
        let mend = "Is the column in newtons? Then its name is `force_n`.";
        table.trouble(table.span(row, column), what, mend);
        return None;
    }
    Some(number)
}

/// Why a reading below zero is refused, in points and in laps.
pub(crate) const NEGATIVE_READING: &str = "Is the sign a slip? If the dial does go below zero, add one number to every reading and rig point.";

/// The uncertainty in a cell, none if the cell is empty; nothing where there is a trouble.
fn uncertainty(
    table: &mut Table,
    row: usize,
    column: Column,
    of: Option<f64>,
) -> Option<Option<f64>> {
    if table.text(row, column).is_empty() {
        return Some(None);
    }
    let u = table.not_negative(row, column, "An uncertainty has no sign.")?;
    let is_suspect = of.is_some_and(|value| u > SUSPECT_SHARE * value);
    if is_suspect && table.separated_by_comma() && table.all_digits(row) {
        let what = format!(
            "`{}` is very large; are there decimal commas in this row?",
            table.heading(column)
        );
        let mend = "Write `.` for decimals, or separate all columns by `;`. If it is meant, write it with a point, as in 2.0.";
        table.trouble(table.span(row, column), what, mend);
        return None;
    }
    Some(Some(u))
}

/// The direction in a cell, none if the cell is empty; nothing where there is a trouble.
fn loading(table: &mut Table, row: usize, column: Column) -> Option<Option<Loading>> {
    match table.text(row, column) {
        "" => Some(None),
        "up" => Some(Some(Loading::Up)),
        "down" => Some(Some(Loading::Down)),
        other => {
            let what = format!("`direction` cannot be `{other}`");
            let mend = "It is `up` (the force was rising), `down` (falling) or empty.";
            table.trouble(table.span(row, column), what, mend);
            None
        }
    }
}
