//! Goodman's line: mean stress along, amplitude up.

use super::WIDTH;
use super::axes::{self, Axes};
use super::lettering::Lettering;
use super::marks::{self, Entry};
use super::place::{Anchor, Area, Spot};
use super::sheet::{Drawing, Ink, Sheet, outline, stroke};
use crate::figure::{Endurance, Mark, StressSwing};

const PLOT: Area = axes::plot(350.0);
const TICKS: usize = 6;
const RADIUS: f64 = 6.0;
/// Room beyond the farthest number, as a share of it.
const BEYOND: f64 = 1.12;

pub(super) fn draw(chart: &Endurance) -> Drawing {
    let mut sheet = Sheet::new(WIDTH);
    let most = |line: f64, of: fn(&StressSwing) -> f64| {
        let all = chart.swings.iter().map(of).chain([line]);
        (all.fold(0.0_f64, f64::max) * BEYOND).min(f64::MAX)
    };
    let axes = Axes::over(
        PLOT,
        (0.0, most(chart.strength, |swing| swing.mean)),
        (0.0, most(chart.amplitude, |swing| swing.amplitude)),
    );
    let ends = [
        (PLOT.left, axes.up.place(chart.amplitude)),
        (axes.along.place(chart.strength), PLOT.bottom),
    ];
    // What lies beyond the line: up from its first end, round the corners, back along the axis to its other end.
    let corners = [
        (PLOT.left, PLOT.top),
        (PLOT.right, PLOT.top),
        (PLOT.right, PLOT.bottom),
    ];
    let beyond = [&ends[..1], &corners[..], &ends[1..]].concat();
    sheet.path("outside", Ink::Plain, &outline(&beyond));
    let mean = format!("mean stress in {}", chart.unit);
    let half = format!("half the range in {}", chart.unit);
    axes.grid(&mut sheet, PLOT, TICKS, (&mean, &half));
    sheet.path("limit", Ink::Plain, &stroke(&ends));
    for swing in &chart.swings {
        let at = axes.place(swing.mean, swing.amplitude);
        marks::mark(&mut sheet, mark(swing), Ink::Plain, at, RADIUS);
        let is_right = PLOT.left + PLOT.width() * 0.6 < at.0;
        let (x, anchor) = if is_right {
            (at.0 - 12.0, Anchor::End)
        } else {
            (at.0 + 12.0, Anchor::Start)
        };
        let spot = Spot::new(x, Lettering::BOLD.centred(at.1), anchor);
        sheet.write_if_free(Lettering::BOLD, Ink::Plain, spot, &swing.words);
    }
    let below = marks::legend(
        &mut sheet,
        &entries(chart),
        8.0,
        WIDTH - 8.0,
        axes::below(PLOT),
    );
    sheet.finish(&chart.title, &told(chart), below + 8.0)
}

const fn mark(swing: &StressSwing) -> Mark {
    if swing.beyond {
        Mark::Over
    } else {
        Mark::Taken
    }
}

fn entries(chart: &Endurance) -> Vec<Entry> {
    let mut entries = vec![
        Entry::new("Goodman’s line", |sheet, x, y| {
            sheet.path(
                "limit",
                Ink::Plain,
                &stroke(&[(x - 15.0, y - 6.0), (x + 13.0, y + 6.0)]),
            );
        }),
        Entry::new("beyond it", |sheet, x, y| {
            let sample = Area {
                left: x - 15.0,
                top: y - 8.0,
                right: x + 13.0,
                bottom: y + 8.0,
            };
            sheet.fill("outside", sample);
        }),
    ];
    for (beyond, words) in [
        (false, "a spoke through a turn"),
        (true, "a spoke beyond the line"),
    ] {
        if chart.swings.iter().any(|swing| swing.beyond == beyond) {
            let shape = if beyond { Mark::Over } else { Mark::Taken };
            entries.push(Entry::new(words, move |sheet, x, y| {
                marks::mark(sheet, shape, Ink::Plain, (x, y), RADIUS);
            }));
        }
    }
    entries
}

fn told(chart: &Endurance) -> String {
    let swings = chart.swings.iter().map(|swing| {
        format!(
            "{}: {:.0} about {:.0} {}.",
            swing.words, swing.amplitude, swing.mean, chart.unit
        )
    });
    let line = format!(
        "Half the range of stress against its mean, in {}. Goodman's line runs from {:.0} at no mean to a strength of {:.0}.",
        chart.unit, chart.amplitude, chart.strength
    );
    std::iter::once(line)
        .chain(swings)
        .collect::<Vec<_>>()
        .join(" ")
}
