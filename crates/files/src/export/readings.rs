//! Readings as CSV: one row for each, with all that says what it is a reading of.

use crate::literal::number;

/// One reading with its surroundings, in words and numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingRow {
    /// What is written on the wheel.
    pub wheel: String,
    /// The wheel's name.
    pub wheel_name: String,
    /// When the visit was, RFC 3339.
    pub visit_taken: String,
    /// The lap's place in its visit, from 1.
    pub lap: usize,
    /// What the lap takes: `reading`, `lateral`, `radial`, `pitch`.
    pub takes: &'static str,
    /// `bare` or `tyred`.
    pub state: &'static str,
    /// The tyre's pressure in bar, when stated.
    pub pressure_bar: Option<f64>,
    /// Label of the gauge, when one was used.
    pub gauge: Option<String>,
    /// The rim's face, when a dial touched one.
    pub face: Option<&'static str>,
    /// The reading's place in the order in which the lap was taken, from 1.
    pub number: i64,
    /// The spoke, from 1, when it was taken at one.
    pub spoke: Option<i64>,
    /// The angle from the valve hole in degrees, when it was taken at one.
    pub angle_deg: Option<f64>,
    /// `taken`, `skipped` or `undone`.
    pub outcome: &'static str,
    /// What was typed.
    pub raw: String,
    /// The number in it, in `unit`.
    pub value: Option<f64>,
    /// Unit of the value.
    pub unit: &'static str,
    /// When it was entered, RFC 3339.
    pub at: String,
    /// Who entered it.
    pub by: String,
    /// Whether another entry took its place: `current` or `superseded`.
    pub standing: &'static str,
    /// The entry's id.
    pub id: String,
}

/// Names of the columns, in their order.
const COLUMNS: [&str; 20] = [
    "wheel",
    "wheel_name",
    "visit_taken",
    "lap",
    "takes",
    "state",
    "pressure_bar",
    "gauge",
    "face",
    "number",
    "spoke",
    "angle_deg",
    "outcome",
    "raw",
    "value",
    "unit",
    "at",
    "by",
    "standing",
    "id",
];

/// The first line, with its line break.
#[must_use]
pub fn heading() -> String {
    line(COLUMNS.map(String::from))
}

/// A reading's line, with its line break.
#[must_use]
pub fn row(reading: &ReadingRow) -> String {
    let of = reading.clone();
    let text = |text: Option<&str>| text.unwrap_or_default().to_owned();
    let real = |value: Option<f64>| value.map(number).unwrap_or_default();
    line([
        of.wheel,
        of.wheel_name,
        of.visit_taken,
        of.lap.to_string(),
        of.takes.into(),
        of.state.into(),
        real(of.pressure_bar),
        of.gauge.unwrap_or_default(),
        text(of.face),
        of.number.to_string(),
        of.spoke.map(|spoke| spoke.to_string()).unwrap_or_default(),
        real(of.angle_deg),
        of.outcome.into(),
        of.raw,
        real(of.value),
        of.unit.into(),
        of.at,
        of.by,
        of.standing.into(),
        of.id,
    ])
}

fn line(cells: [String; COLUMNS.len()]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Into memory nothing fails; a cell is any text.
    let written = writer
        .write_record(&cells)
        .ok()
        .and_then(|()| writer.into_inner().ok());
    String::from_utf8(written.unwrap_or_default()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading() -> ReadingRow {
        ReadingRow {
            wheel: "22222A".into(),
            wheel_name: "rear, \"the long one\"".into(),
            visit_taken: "2026-03-04T10:20:00+01:00".into(),
            lap: 2,
            takes: "reading",
            state: "tyred",
            pressure_bar: Some(6.5),
            gauge: Some("G1".into()),
            face: None,
            number: 3,
            spoke: Some(3),
            angle_deg: None,
            outcome: "taken",
            raw: "22,5".into(),
            value: Some(22.5),
            unit: "divisions",
            at: "2026-03-04T09:20:00Z".into(),
            by: "M".into(),
            standing: "current",
            id: "x".into(),
        }
    }

    #[test]
    fn cells_come_back_whatever_stands_in_them() {
        let text = heading() + &row(&reading());
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let names: Vec<String> = reader
            .headers()
            .expect("a line")
            .iter()
            .map(Into::into)
            .collect();
        assert_eq!(names, COLUMNS);
        let cells = reader.records().next().expect("a row").expect("cells");
        let cell = |name: &str| {
            &cells[COLUMNS
                .iter()
                .position(|own| *own == name)
                .expect("a column")]
        };
        assert_eq!(cell("wheel_name"), "rear, \"the long one\"");
        assert_eq!(
            (cell("raw"), cell("value"), cell("face")),
            ("22,5", "22.5", "")
        );
    }
}
