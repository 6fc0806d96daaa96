//! Checks of a gauge against its rod, one after the other, with how far off they may be.

use crate::desk::NOBODY;
use crate::time;
use maud::{Markup, html};
use workshop::view::{GaugeRecordView, RodCheckView};

const WIDTH: f64 = 1000.0;
const LEFT: f64 = 96.0;
const RIGHT: f64 = 980.0;
const TOP: f64 = 30.0;
const MIDDLE: f64 = 140.0;
const BOTTOM: f64 = 250.0;
const DATES: f64 = 282.0;
const HEIGHT: f64 = 296.0;
/// Checks shown; older ones are in the records.
const SHOWN: usize = 30;
/// Room of a date along the axis.
const A_DATE: f64 = 120.0;
/// How much of the height the farthest point and the widest limit take at most.
const FILLED: f64 = 0.88;

/// Each check less what its rod should read, in divisions, with the limits that were written beside it: a disc
/// within them, a square beyond, a diamond within them but in a run that is asked about.
pub(super) fn draw(gauge: &GaugeRecordView) -> Markup {
    let checks = &gauge.rod_checks;
    let from = checks.len().saturating_sub(SHOWN);
    let shown = &checks[from..];
    let asked = gauge.rod_runs.iter().map(|run| run.checks).max();
    let in_run = |place: usize| shown.len() - place <= asked.unwrap_or(0);
    let reach = shown.iter().fold(0.0_f64, |most, check| {
        most.max(off(check).abs()).max(check.tolerance)
    });
    let reach = if 0.0 < reach { reach / FILLED } else { 1.0 };
    let step = (RIGHT - LEFT - 30.0) / (shown.len().max(2) - 1) as f64;
    let x = |place: usize| LEFT + 15.0 + place as f64 * step;
    let y = |off: f64| MIDDLE - off / reach * (BOTTOM - MIDDLE);
    let ticks = shown.last().map_or(0.0, |check| check.tolerance);
    html! {
        svg class="figure" viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label=(told(shown)) {
            text class="small soft" x="8" y="18" { "divisions off the rod" }
            line class="axis soft" x1=(LEFT) x2=(LEFT) y1=(TOP) y2=(BOTTOM) {}
            line class="axis ink" x1=(LEFT) x2=(WIDTH) y1=(MIDDLE) y2=(MIDDLE) {}
            @for (at, words) in [(ticks, format!("+{ticks}")), (0.0, "0".into()), (-ticks, format!("−{ticks}"))] {
                text class="small soft" x=(LEFT - 8.0) y=(y(at) + 5.0) text-anchor="end" { (words) }
            }
            @for (place, check) in shown.iter().enumerate() {
                @for limit in [check.tolerance, -check.tolerance] {
                    line class="limit mean soft" x1=((x(place) - step / 2.0).max(LEFT)) x2=(x(place) + step / 2.0) y1=(y(limit)) y2=(y(limit)) {}
                }
            }
            @for (place, check) in shown.iter().enumerate() {
                @let (x, y) = (x(place), y(off(check)));
                line class="stem ink" x1=(x) x2=(x) y1=(MIDDLE) y2=(y) {}
                (mark(check.is_good, in_run(place), x, y))
            }
            @for (place, day) in days(shown, step) {
                line class="axis soft" x1=(x(place)) x2=(x(place)) y1=(BOTTOM) y2=(BOTTOM + 8.0) {}
                text class="small soft" x=(x(place)) y=(DATES) text-anchor=(anchor(x(place))) { (day) }
            }
        }
    }
}

fn off(check: &RodCheckView) -> f64 {
    check.reading - check.expected
}

fn mark(is_good: bool, is_in_run: bool, x: f64, y: f64) -> Markup {
    html! {
        @if !is_good { rect class="solid ink" x=(x - 7.0) y=(y - 7.0) width="14" height="14" {} }
        @else if is_in_run { path class="open ink" d={ "M" (x) " " (y - 9.0) "l9 9l-9 9l-9 -9z" } {} }
        @else { circle class="solid ink" cx=(x) cy=(y) r="6" {} }
    }
}

/// Days along the axis where there is room for them, each once; the newest one always.
fn days(shown: &[RodCheckView], step: f64) -> Vec<(usize, &str)> {
    let day = |check: &'_ RodCheckView| -> String { time::day(&check.entry.since).to_owned() };
    let mut days: Vec<(usize, &str)> = Vec::new();
    for place in (0..shown.len()).rev() {
        let is_first = place == 0 || day(&shown[place - 1]) != day(&shown[place]);
        let has_room = days
            .last()
            .is_none_or(|(last, _)| A_DATE <= (last - place) as f64 * step);
        if has_room && (is_first || days.is_empty()) {
            days.push((place, time::day(&shown[place].entry.since)));
        }
    }
    days
}

fn anchor(x: f64) -> &'static str {
    if x < LEFT + A_DATE / 2.0 {
        "start"
    } else if RIGHT - A_DATE / 2.0 < x {
        "end"
    } else {
        "middle"
    }
}

fn told(shown: &[RodCheckView]) -> String {
    let bad = shown.iter().filter(|check| !check.is_good).count();
    let ends = shown.first().zip(shown.last());
    let from_to = ends.map_or(String::new(), |(first, last)| {
        format!(
            " from {} to {}; the newest is {:+} divisions off",
            time::day(&first.entry.since),
            time::day(&last.entry.since),
            (off(last) * 1000.0).round() / 1000.0
        )
    });
    format!(
        "{} checks{from_to}; {bad} of them off by more than they may be.",
        shown.len()
    )
}

/// What the shapes mean, and what the limits rest on.
pub(super) fn words(gauge: &GaugeRecordView) -> Markup {
    let Some(last) = gauge.rod_checks.last() else {
        return html! {};
    };
    let by = match last.entry.by.as_str() {
        NOBODY => "somebody who is not named",
        by => by,
    };
    html! {
        p class="quiet" { "● within what it may be off by, ■ beyond it, ◇ within it but in a row that is asked about. "
            "The dashed lines rest on what stands beside each check, no more: now " (last.expected) " ± " (last.tolerance)
            " divisions, written down by " (by) " on " (time::day(&last.entry.at)) ". They are the shop’s own word; "
            "nobody has worked them out from a scatter." }
        @for run in &gauge.rod_runs { p class="ask" { (run.says) } }
        @if gauge.rod_runs.is_empty() {
            p class="quiet" { "A row of 9 checks on one side of the rod, or of 6 that each go further the same way, would be asked about "
                "(Nelson 1984, tests 2 and 3): chance makes one such row in 256, and one in 360." }
        }
    }
}
