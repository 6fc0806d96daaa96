//! A number with its 95 % against the limit line, small enough for a table's cell.

use super::marks;
use super::place::Area;
use super::scale::Scale;
use super::sheet::{Ink, Sheet};
use crate::figure::{Error, Interval, Mark};
use crate::table::{BeforeAfterRow, Bound, Judged};
use maud::{Markup, html};

const WIDTH: f64 = 200.0;
const HEIGHT: f64 = 34.0;
/// Share of the width that lies on the allowed side of the limit.
const ALLOWED: f64 = 0.64;

/// The small picture of a row, empty when there is nothing to hold a number against.
///
/// The scale is the row's own: what counts is on which side of the line the bar lies, and how surely.
pub(crate) fn draw(row: &BeforeAfterRow, id: &str) -> Result<Markup, Error> {
    let stated = || [&row.before, &row.after].into_iter().flatten();
    let intervals: Vec<Interval> = stated().map(|stated| stated.interval).collect();
    let (limit, most) = match &row.bound {
        Bound::AtMost(limit) => (limit, true),
        Bound::AtLeast(limit) => (limit, false),
        Bound::Unknown(_) => return check(row, &intervals, None).map(|()| html! {}),
    };
    check(row, &intervals, Some(limit.value))?;
    if intervals.is_empty() {
        return Ok(html! {});
    }
    let mut sheet = Sheet::new(WIDTH);
    let scale = scale(&intervals, limit.value, most);
    let line = scale.place(limit.value);
    let (left, right) = if most {
        (line, WIDTH - 2.0)
    } else {
        (2.0, line)
    };
    sheet.hatch(Area {
        left,
        top: 2.0,
        right,
        bottom: HEIGHT - 2.0,
    });
    sheet.line("limit", Ink::Plain, (line, 2.0), (line, HEIGHT - 2.0));
    let rows = if intervals.len() == 2 {
        vec![10.0, 24.0]
    } else {
        vec![17.0]
    };
    let judged = match row.judged {
        Judged::Before => 0,
        Judged::After => intervals.len() - 1,
    };
    for (order, (interval, y)) in intervals.iter().zip(&rows).enumerate() {
        let is_judged = order == judged;
        whisker(&mut sheet, &scale, *interval, *y);
        let mark = if is_judged { row.mark } else { Mark::Taken };
        let radius = if is_judged { 5.0 } else { 3.5 };
        marks::mark(
            &mut sheet,
            mark,
            Ink::Plain,
            (scale.place(interval.value), *y),
            radius,
        );
    }
    let words: Vec<&str> = stated().map(|stated| stated.words.as_str()).collect();
    let told = format!("{}; against {}", words.join(", then "), limit.words.words);
    Ok(sheet.finish(&row.quantity, &told, HEIGHT).element(id, None))
}

fn check(row: &BeforeAfterRow, intervals: &[Interval], limit: Option<f64>) -> Result<(), Error> {
    let numbers = intervals
        .iter()
        .flat_map(|interval| interval.all())
        .chain(limit);
    match numbers.into_iter().find(|number| !number.is_finite()) {
        None => Ok(()),
        Some(value) => Err(Error::NotFinite {
            figure: row.quantity.clone(),
            what: "a number".to_owned(),
            value,
        }),
    }
}

/// The limit at [`ALLOWED`], everything else inside.
fn scale(intervals: &[Interval], limit: f64, most: bool) -> Scale {
    let way = if most { 1.0 } else { -1.0 };
    // Halves keep the difference of huge numbers finite.
    let beyond = |value: f64| (value / 2.0 - limit / 2.0) * way;
    let over = intervals
        .iter()
        .flat_map(|interval| interval.all())
        .map(beyond);
    let (inside, outside) = over.fold((0.0_f64, 0.0_f64), |(inside, outside), over| {
        (inside.max(-over), outside.max(over))
    });
    let unit = (inside / (ALLOWED * 0.88)).max(outside / ((1.0 - ALLOWED) * 0.88));
    let unit = if unit > 0.0 {
        unit
    } else {
        limit.abs().max(1.0)
    };
    let (allowed, over) = (unit * ALLOWED * 2.0, unit * (1.0 - ALLOWED) * 2.0);
    let (low, high) = if most {
        (limit - allowed, limit + over)
    } else {
        (limit - over, limit + allowed)
    };
    Scale::new(low.max(f64::MIN), high.min(f64::MAX), 2.0, WIDTH - 2.0)
}

fn whisker(sheet: &mut Sheet, scale: &Scale, interval: Interval, y: f64) {
    let ends = (scale.place(interval.low), scale.place(interval.high));
    let (left, right) = (ends.0.min(ends.1), ends.0.max(ends.1));
    if right - left < 0.5 {
        return;
    }
    sheet.fill(
        "bar ink",
        Area {
            left,
            top: y - 4.0,
            right,
            bottom: y + 4.0,
        },
    );
    for x in [left, right] {
        sheet.line("cap", Ink::Plain, (x, y - 4.0), (x, y + 4.0));
    }
}
