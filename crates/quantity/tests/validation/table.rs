//! The tables of a validation case.

use std::path::Path;

/// One line of a table, its fields found by the head of their column.
pub(crate) struct Row {
    fields: Vec<(String, String)>,
}

impl Row {
    pub(crate) fn text(&self, column: &str) -> &str {
        let field = self.fields.iter().find(|(name, _)| name == column);
        &field.unwrap_or_else(|| panic!("no column {column}")).1
    }

    pub(crate) fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{column} is {text:?}, not a number"))
    }

    pub(crate) fn number_if_any(&self, column: &str) -> Option<f64> {
        (!self.text(column).is_empty()).then(|| self.number(column))
    }

    /// Half a unit of the last printed place, and a rounding error of the decimal text.
    pub(crate) fn half_unit(&self) -> f64 {
        0.5 * 10.0_f64.powf(-self.number("places")) + 1e-12
    }
}

/// The lines of a table of a case.
pub(crate) fn rows(case: &str, file: &str) -> Vec<Row> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../validation");
    let path = folder.join(case).join(file);
    let text = std::fs::read_to_string(&path)
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut lines = text.lines().map(|line| line.split(',').map(str::to_owned));
    let head: Vec<String> = lines.next().expect("a head").collect();
    lines
        .map(|fields| Row {
            fields: head.iter().cloned().zip(fields).collect(),
        })
        .collect()
}

/// Holds what was found against the printed digits of a case, each name once.
pub(crate) fn agree_with_print(case: &str, found: &[(&str, f64)], wander: impl Fn(&str) -> f64) {
    let rows = rows(case, "expected.csv");
    assert_eq!(
        rows.len(),
        found.len(),
        "{case}: as many numbers as are expected"
    );
    for row in rows {
        let name = row.text("name");
        let value = found
            .iter()
            .find(|(one, _)| *one == name)
            .unwrap_or_else(|| panic!("{name}"))
            .1;
        if let Some(printed) = row.number_if_any("printed") {
            let allowed = row.half_unit() + wander(name);
            assert!(
                (value - printed).abs() <= allowed,
                "{case} {name}: {value}, printed {printed}"
            );
        }
    }
}

/// Whether two numbers agree to a part of the second.
pub(crate) fn close(found: f64, expected: f64, relative: f64) -> bool {
    (found - expected).abs() <= relative * expected.abs()
}
