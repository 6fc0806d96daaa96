//! Laps as CSV: what the gauge showed spoke by spoke, how the spokes rang, where the rim stood.

use crate::csv_reader::{Column, Table};
use crate::error::Error;
use crate::literal::{exact, number};
use crate::points::NEGATIVE_READING;
use crate::source::Source;
use metrology::lap::{Reading, RunoutPoint};
use quantity::{Angle, Length};
use wheel::SpokeIndex;

const SPOKE: &str = "spoke";
const READING: &str = "reading";
const GAUGE: &str = "gauge";
const PITCH_HZ: &str = "pitch_hz";
const ANGLE_DEG: &str = "angle_deg";
const MM: &str = "mm";

/// The most a runout dial is believed to show, in millimetres either way.
pub(crate) const MOST_RUNOUT_MM: f64 = 100.0;

/// The highest pitch of a spoke that is believed, in hertz: no one hears beyond it.
pub(crate) const HIGHEST_PITCH_HZ: f64 = 20_000.0;

/// A lap of gauge readings as its file has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// The gauge that the file names in its column `gauge`, if it has one.
    pub gauge: Option<String>,
    /// The readings in the order of their rows; some spokes may be missing.
    pub readings: Vec<Reading>,
}

/// Gauge readings from the columns `spoke`, `reading` and optionally `gauge`, on a wheel of `spokes`.
///
/// # Errors
/// When a column is missing, unknown or twice, there is no row, a spoke does not exist or stands
/// twice, two gauges stand in one lap, or a reading is none.
pub fn read_readings(source: &Source, spokes: usize) -> Result<Readings, Error> {
    let mut table = Table::read(source, &[SPOKE, READING, GAUGE])?;
    let (spoke, reading) = (table.required(SPOKE)?, table.required(READING)?);
    let gauge = table
        .column(GAUGE)
        .and_then(|column| gauge_of(&mut table, column));
    let readings = by_spoke(&mut table, spokes, spoke, |table, row| {
        table.not_negative(row, reading, NEGATIVE_READING)
    });
    table.finish()?;
    let readings = readings
        .into_iter()
        .map(|(spoke, divisions)| Reading { spoke, divisions })
        .collect();
    Ok(Readings { gauge, readings })
}

/// The pitch of plucked spokes in hertz, from the columns `spoke` and `pitch_hz`.
///
/// # Errors
/// As [`read_readings`].
pub fn read_pitches(source: &Source, spokes: usize) -> Result<Vec<(SpokeIndex, f64)>, Error> {
    let mut table = Table::read(source, &[SPOKE, PITCH_HZ])?;
    let (spoke, pitch) = (table.required(SPOKE)?, table.required(PITCH_HZ)?);
    let pitches = by_spoke(&mut table, spokes, spoke, |table, row| {
        let hertz = table.not_negative(row, pitch, "A spoke rings with a frequency above zero.")?;
        if hertz == 0.0 || hertz > HIGHEST_PITCH_HZ {
            let what = format!("`pitch_hz` is not between 0 and {HIGHEST_PITCH_HZ}");
            let mend = "Leave the row out if the spoke did not ring.";
            table.trouble(table.span(row, pitch), what, mend);
            return None;
        }
        Some(hertz)
    });
    table.finish()?;
    Ok(pitches)
}

/// Where the rim stood, from the columns `angle_deg` (from the valve hole, 0 to 360) and `mm`.
///
/// # Errors
/// When a column is missing, unknown or twice, there is no row, or a cell is no number in its range.
pub fn read_runout(source: &Source) -> Result<Vec<RunoutPoint>, Error> {
    let mut table = Table::read(source, &[ANGLE_DEG, MM])?;
    let (angle, displacement) = (table.required(ANGLE_DEG)?, table.required(MM)?);
    let points: Vec<_> = (0..table.rows())
        .map(|row| {
            let at = angle_of(&mut table, row, angle);
            let displacement = displacement_of(&mut table, row, displacement);
            Some(RunoutPoint {
                at: at?,
                displacement: displacement?,
            })
        })
        .collect();
    table.finish()?;
    Ok(points.into_iter().flatten().collect())
}

/// Gauge readings as a file that [`read_readings`] reads back to the same readings.
#[must_use]
pub fn write_readings(readings: &[Reading]) -> String {
    rows(
        [SPOKE, READING],
        readings.iter().map(|reading| {
            [
                reading.spoke.number().to_string(),
                number(reading.divisions),
            ]
        }),
    )
}

/// Pitches as a file that [`read_pitches`] reads back to the same pitches.
#[must_use]
pub fn write_pitches(pitches: &[(SpokeIndex, f64)]) -> String {
    rows(
        [SPOKE, PITCH_HZ],
        pitches
            .iter()
            .map(|&(spoke, hertz)| [spoke.number().to_string(), number(hertz)]),
    )
}

/// Runout as a file that [`read_runout`] reads back to the same points, wherever they came from text.
///
/// Not every angle in radians is the exact image of one in degrees; one that is not is written to the
/// nearest.
#[must_use]
pub fn write_runout(points: &[RunoutPoint]) -> String {
    rows(
        [ANGLE_DEG, MM],
        points.iter().map(|point| {
            let (deg, mm) = (point.at.to_deg(), point.displacement.to_mm());
            let (deg, mm) = (
                exact(deg, &point.at, Angle::deg).unwrap_or(deg),
                exact(mm, &point.displacement, Length::mm).unwrap_or(mm),
            );
            [number(deg), number(mm)]
        }),
    )
}

/// Two columns as text.
fn rows(header: [&str; 2], rows: impl Iterator<Item = [String; 2]>) -> String {
    let header = format!("{}\n", header.join(","));
    std::iter::once(header)
        .chain(rows.map(|row| format!("{}\n", row.join(","))))
        .collect()
}

/// What `value` finds in the rows, each with its spoke; a spoke twice is a trouble.
fn by_spoke(
    table: &mut Table,
    spokes: usize,
    column: Column,
    mut value: impl FnMut(&mut Table, usize) -> Option<f64>,
) -> Vec<(SpokeIndex, f64)> {
    let mut taken_in = vec![None; spokes];
    let mut found = Vec::new();
    for row in 0..table.rows() {
        let spoke = spoke_of(table, row, column, spokes);
        let value = value(table, row);
        let Some(spoke) = spoke else { continue };
        if let Some(first) = taken_in[spoke.0] {
            let line = table.line(first);
            let what = format!("spoke {} was already taken in line {line}", spoke.number());
            let mend = "Delete one of the two rows; a second reading belongs in a lap of its own.";
            table.trouble(table.span(row, column), what, mend);
            continue;
        }
        taken_in[spoke.0] = Some(row);
        found.extend(value.map(|value| (spoke, value)));
    }
    found
}

/// The spoke in a cell.
pub(crate) fn spoke_of(
    table: &mut Table,
    row: usize,
    column: Column,
    spokes: usize,
) -> Option<SpokeIndex> {
    let number = table.text(row, column).parse::<usize>().ok();
    match number.filter(|number| (1..=spokes).contains(number)) {
        Some(number) => Some(SpokeIndex(number - 1)),
        None => {
            let what = format!("`{}` is no spoke of this wheel", table.text(row, column));
            let mend = format!(
                "Spokes count from 1, the first after the valve hole, to {spokes}, by the wheel file."
            );
            table.trouble(table.span(row, column), what, mend);
            None
        }
    }
}

/// The one gauge of a column; every other in it is a trouble.
fn gauge_of(table: &mut Table, column: Column) -> Option<String> {
    let first = (0..table.rows())
        .map(|row| table.text(row, column))
        .next()?
        .to_owned();
    for row in 0..table.rows() {
        let gauge = table.text(row, column);
        if gauge.is_empty() {
            let mend = "Name the gauge in every row, or leave the column out.";
            table.trouble(table.span(row, column), "no `gauge` in this row", mend);
        } else if gauge != first {
            let what = format!("two gauges in one lap: `{first}` and `{gauge}`");
            let mend = "Make one lap of each gauge's rows: gaps are allowed.";
            table.trouble(table.span(row, column), what, mend);
            break;
        }
    }
    Some(first).filter(|gauge| !gauge.is_empty())
}

/// The angle in a cell, in degrees from the valve hole.
pub(crate) fn angle_of(table: &mut Table, row: usize, column: Column) -> Option<Angle> {
    let deg = table.number(row, column)?;
    if !(0.0..=360.0).contains(&deg) {
        let what = "`angle_deg` is not between 0 and 360";
        let mend = "Count from the valve hole in the order of the spoke numbers, once round.";
        table.trouble(table.span(row, column), what, mend);
        return None;
    }
    Some(Angle::deg(deg))
}

/// What the dial showed in a cell.
fn displacement_of(table: &mut Table, row: usize, column: Column) -> Option<Length> {
    let mm = table.number(row, column)?;
    if mm.abs() > MOST_RUNOUT_MM {
        let what = format!("`mm` is more than {MOST_RUNOUT_MM}");
        table.trouble(
            table.span(row, column),
            what,
            "Is the number in hundredths of a millimetre?",
        );
        return None;
    }
    Some(Length::mm(mm))
}
