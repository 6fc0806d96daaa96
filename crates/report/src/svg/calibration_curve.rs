//! The calibration curve: reading along, force up.

use super::WIDTH;
use super::axes::{self, Axes};
use super::marks::{self, Entry};
use super::place::Area;
use super::sheet::{Drawing, Ink, Sheet, outline, stroke};
use crate::figure::{CalibrationCurve, Interval, Loading, Mark, Range, RigPoint};
use crate::words::fit;

const PLOT: Area = axes::plot(450.0);
const TICKS: usize = 7;
/// Share of the axis shown beyond the outermost point.
const BEYOND: f64 = 0.09;
const RADIUS: f64 = 4.8;

pub(super) fn draw(curve: &CalibrationCurve) -> Drawing {
    let mut sheet = Sheet::new(WIDTH);
    let axes = spanned(curve);
    let reading = format!("reading in {}", curve.reading_unit);
    let force = format!("force in {}", curve.force_unit);
    axes.grid(&mut sheet, PLOT, TICKS, (&reading, &force));
    fence(&mut sheet, curve, &axes);
    band(&mut sheet, curve, &axes);
    used(&mut sheet, curve, &axes);
    for point in &curve.points {
        rig_point(&mut sheet, &axes, point);
    }
    let below = marks::legend(
        &mut sheet,
        &entries(curve),
        8.0,
        WIDTH - 8.0,
        axes::below(PLOT),
    );
    sheet.finish(&curve.title, &told(curve), below + 8.0)
}

/// The axes over all that is drawn.
fn spanned(curve: &CalibrationCurve) -> Axes {
    let fence = [curve.fence.from, curve.fence.to];
    let used = curve.used.iter().flat_map(|used| [used.from, used.to]);
    let bars = curve.points.iter().flat_map(|point| point.reading.all());
    let readings = fence
        .into_iter()
        .chain(used)
        .chain(bars)
        .chain(curve.band.iter().map(|point| point.reading));
    let forces = curve.band.iter().flat_map(|point| point.force.all());
    let forces = forces.chain(curve.points.iter().flat_map(|point| point.force.all()));
    let (from, to) = widened(readings, BEYOND);
    let (low, high) = widened(forces, 0.06);
    // A force axis that nearly reaches zero had better show it.
    let low = if 0.0 < low && low < 0.3 * high {
        0.0
    } else {
        low
    };
    Axes::over(PLOT, (from, to), (low, high))
}

/// Ends of the numbers, a `share` further on both sides.
fn widened(numbers: impl Iterator<Item = f64>, share: f64) -> (f64, f64) {
    let (low, high) = numbers.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), number| {
        (low.min(number), high.max(number))
    });
    if high < low {
        return (0.0, 1.0);
    }
    let room = (high / 2.0 - low / 2.0) * 2.0 * share;
    ((low - room).max(f64::MIN), (high + room).min(f64::MAX))
}

/// Greys what lies outside the points.
fn fence(sheet: &mut Sheet, curve: &CalibrationCurve, axes: &Axes) {
    let (from, to) = ends(axes, curve.fence);
    for (left, right, at) in [(PLOT.left, from, from), (to, PLOT.right, to)] {
        sheet.fill(
            "outside",
            Area {
                left,
                right,
                ..PLOT
            },
        );
        sheet.hatch(Area {
            left,
            right,
            ..PLOT
        });
        sheet.line("limit", Ink::Plain, (at, PLOT.top), (at, PLOT.bottom));
    }
}

fn ends(axes: &Axes, range: Range) -> (f64, f64) {
    let (from, to) = (axes.along.place(range.from), axes.along.place(range.to));
    (from.min(to), from.max(to))
}

fn band(sheet: &mut Sheet, curve: &CalibrationCurve, axes: &Axes) {
    let low = curve
        .band
        .iter()
        .map(|point| axes.place(point.reading, point.force.low));
    let high = curve
        .band
        .iter()
        .rev()
        .map(|point| axes.place(point.reading, point.force.high));
    let round: Vec<(f64, f64)> = low.chain(high).collect();
    if round.len() < 4 {
        return;
    }
    sheet.path("band", Ink::Plain, &outline(&round));
    let middle: Vec<(f64, f64)> = curve
        .band
        .iter()
        .map(|point| axes.place(point.reading, point.force.value))
        .collect();
    sheet.path("curve", Ink::Plain, &stroke(&middle));
}

/// A thick bar on the axis where this visit's readings lie.
fn used(sheet: &mut Sheet, curve: &CalibrationCurve, axes: &Axes) {
    let Some(range) = curve.used else { return };
    let (left, right) = ends(axes, range);
    let (left, right) = if right - left < 4.0 {
        (left - 2.0, right + 2.0)
    } else {
        (left, right)
    };
    sheet.fill(
        "used",
        Area {
            left,
            top: PLOT.bottom - 5.0,
            right,
            bottom: PLOT.bottom + 5.0,
        },
    );
}

fn rig_point(sheet: &mut Sheet, axes: &Axes, point: &RigPoint) {
    let centre = axes.place(point.reading.value, point.force.value);
    for (from, to) in [
        (
            axes.place(point.reading.low, point.force.value),
            axes.place(point.reading.high, point.force.value),
        ),
        (
            axes.place(point.reading.value, point.force.low),
            axes.place(point.reading.value, point.force.high),
        ),
    ] {
        sheet.line("whisker", Ink::Plain, from, to);
    }
    shape(sheet, point.loading, centre);
}

fn shape(sheet: &mut Sheet, loading: Loading, centre: (f64, f64)) {
    match loading {
        Loading::NotNoted => marks::mark(sheet, Mark::Taken, Ink::Plain, centre, RADIUS),
        Loading::Up => marks::triangle(sheet, "solid", Ink::Plain, centre, RADIUS, false),
        Loading::Down => marks::triangle(sheet, "open", Ink::Plain, centre, RADIUS, true),
    }
}

fn entries(curve: &CalibrationCurve) -> Vec<Entry> {
    let outside = match curve.fence_words.as_str() {
        "" => "outside the points: no force is given".to_owned(),
        words => format!("{words}; outside, no force is given"),
    };
    let mut entries = vec![
        Entry::new("curve with its 95 % band", |sheet, x, y| {
            sheet.path(
                "band",
                Ink::Plain,
                &outline(&[
                    (x - 15.0, y - 7.0),
                    (x + 13.0, y - 7.0),
                    (x + 13.0, y + 7.0),
                    (x - 15.0, y + 7.0),
                ]),
            );
            sheet.path(
                "curve",
                Ink::Plain,
                &stroke(&[(x - 15.0, y), (x + 13.0, y)]),
            );
        }),
        Entry::new(outside, |sheet, x, y| {
            let sample = Area {
                left: x - 15.0,
                top: y - 8.0,
                right: x + 13.0,
                bottom: y + 8.0,
            };
            sheet.fill("outside", sample);
            sheet.hatch(sample);
        }),
    ];
    for (loading, words) in [
        (Loading::NotNoted, "rig point"),
        (Loading::Up, "rig point, force rising"),
        (Loading::Down, "rig point, force falling"),
    ] {
        if curve.points.iter().any(|point| point.loading == loading) {
            entries.push(Entry::new(words, move |sheet, x, y| {
                shape(sheet, loading, (x, y))
            }));
        }
    }
    let bars = |interval: &Interval| interval.low < interval.high;
    if curve
        .points
        .iter()
        .any(|point| bars(&point.reading) || bars(&point.force))
    {
        entries.push(Entry::new("its 95 % both ways", |sheet, x, y| {
            sheet.line("whisker", Ink::Plain, (x - 11.0, y), (x + 9.0, y));
            sheet.line(
                "whisker",
                Ink::Plain,
                (x - 1.0, y - 9.0),
                (x - 1.0, y + 9.0),
            );
        }));
    }
    if curve.used.is_some() {
        entries.push(Entry::new(fit(&curve.used_words), |sheet, x, y| {
            sheet.fill(
                "used",
                Area {
                    left: x - 15.0,
                    top: y - 5.0,
                    right: x + 13.0,
                    bottom: y + 5.0,
                },
            );
        }));
    }
    entries
}

fn told(curve: &CalibrationCurve) -> String {
    let mut sentences = vec![format!(
        "Force in {} against reading in {}, with {} rig points and the curve's 95 % band; outside the points no force is given.",
        curve.force_unit,
        curve.reading_unit,
        curve.points.len()
    )];
    sentences.extend(
        [&curve.fence_words, &curve.used_words]
            .into_iter()
            .filter(|words| !words.is_empty())
            .map(|words| format!("{words}.")),
    );
    sentences.join(" ")
}
