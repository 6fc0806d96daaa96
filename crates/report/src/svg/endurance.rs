//! Goodman's line: mean stress along, amplitude up.

use super::WIDTH;
use super::lettering::Lettering;
use super::marks::{self, Entry};
use super::place::{Anchor, Area, Spot};
use super::scale::Scale;
use super::sheet::{Drawing, Ink, Sheet, outline, stroke};
use crate::figure::{Endurance, Mark, StressSwing};

const PLOT: Area = Area {
    left: 78.0,
    top: 38.0,
    right: WIDTH - 14.0,
    bottom: 350.0,
};
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
    let mean = Scale::new(
        0.0,
        most(chart.strength, |swing| swing.mean),
        PLOT.left,
        PLOT.right,
    );
    let amplitude = Scale::new(
        0.0,
        most(chart.amplitude, |swing| swing.amplitude),
        PLOT.bottom,
        PLOT.top,
    );
    let ends = [
        (PLOT.left, amplitude.place(chart.amplitude)),
        (mean.place(chart.strength), PLOT.bottom),
    ];
    // What lies beyond the line: up from its first end, round the corners, back along the axis to its other end.
    let corners = [
        (PLOT.left, PLOT.top),
        (PLOT.right, PLOT.top),
        (PLOT.right, PLOT.bottom),
    ];
    let beyond = [&ends[..1], &corners[..], &ends[1..]].concat();
    sheet.path("outside", Ink::Plain, &outline(&beyond));
    grid(&mut sheet, chart, &mean, &amplitude);
    sheet.path("limit", Ink::Plain, &stroke(&ends));
    for swing in &chart.swings {
        let at = (mean.place(swing.mean), amplitude.place(swing.amplitude));
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
        PLOT.bottom + 64.0,
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

fn grid(sheet: &mut Sheet, chart: &Endurance, mean: &Scale, amplitude: &Scale) {
    let lettering = Lettering::SMALL;
    for (tick, words) in amplitude.ticks(TICKS) {
        let y = amplitude.place(tick);
        sheet.line("grid", Ink::Soft, (PLOT.left, y), (PLOT.right, y));
        let spot = Spot::new(PLOT.left - 8.0, lettering.centred(y), Anchor::End);
        sheet.write(lettering, Ink::Soft, spot, &words);
    }
    for (tick, words) in mean.ticks(TICKS + 3) {
        let x = mean.place(tick);
        sheet.line("grid", Ink::Soft, (x, PLOT.top), (x, PLOT.bottom));
        let spot = Spot::new(x, PLOT.bottom + 10.0 + lettering.rise(), Anchor::Middle);
        sheet.write_if_free(lettering, Ink::Soft, spot, &words);
    }
    for end in [(PLOT.left, PLOT.top), (PLOT.right, PLOT.bottom)] {
        sheet.line("axis", Ink::Soft, (PLOT.left, PLOT.bottom), end);
    }
    sheet.write(
        Lettering::BOLD,
        Ink::Plain,
        Spot::new(8.0, PLOT.top - 16.0, Anchor::Start),
        &format!("half the range in {}", chart.unit),
    );
    sheet.write(
        Lettering::BOLD,
        Ink::Plain,
        Spot::new(PLOT.right, PLOT.bottom + 46.0, Anchor::End),
        &format!("mean stress in {}", chart.unit),
    );
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
