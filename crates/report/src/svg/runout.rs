//! Runout over one turn: a panel for lateral, one for radial, spoke numbers along the bottom.

use super::WIDTH;
use super::lettering::Lettering;
use super::margin::{self, Note};
use super::marks::{self, Entry};
use super::place::{Anchor, Area, Spot};
use super::scale::{Scale, count};
use super::sheet::{Drawing, Ink, Sheet, outline, stroke};
use super::turn;
use crate::figure::{Mark, Runout, RunoutKind, RunoutTrace};
use crate::words::fit;
use wheel::Side;

const LEFT: f64 = 66.0;
const RIGHT: f64 = WIDTH - 216.0;
const HEAD: f64 = 32.0;
const PANEL: f64 = 190.0;
/// Between two marks of a full indicator reading in the margin.
const STEP: f64 = 16.0;
const TICKS: usize = 5;

const KINDS: [RunoutKind; 2] = [RunoutKind::Lateral, RunoutKind::Radial];

pub(super) fn draw(runout: &Runout) -> Drawing {
    let mut sheet = Sheet::new(WIDTH);
    let mut bottom = 0.0;
    for kind in KINDS {
        let traces = of(runout, kind);
        if !traces.is_empty() {
            bottom = panel(&mut sheet, kind, &traces, bottom + HEAD);
        }
    }
    let below = seats(&mut sheet, runout, bottom);
    let below = marks::legend(&mut sheet, &entries(runout), 8.0, WIDTH - 8.0, below);
    sheet.finish(&runout.title, &told(runout), below + 8.0)
}

/// The lines of one panel.
fn of(runout: &Runout, kind: RunoutKind) -> Vec<&RunoutTrace> {
    let holds = |trace: &&RunoutTrace| trace.kind == kind && !trace.points.is_empty();
    runout.traces.iter().filter(holds).collect()
}

/// Draws one panel from `top`; yields where it ends.
fn panel(sheet: &mut Sheet, kind: RunoutKind, traces: &[&RunoutTrace], top: f64) -> f64 {
    let bottom = top + PANEL.max(notes_height(traces));
    let numbers = || {
        traces
            .iter()
            .flat_map(|trace| &trace.points)
            .map(|point| point.mm)
    };
    let low = numbers().fold(f64::INFINITY, f64::min);
    let high = numbers().fold(f64::NEG_INFINITY, f64::max);
    let room = (high / 2.0 - low / 2.0) * 0.6;
    let scale = Scale::new(
        (low - room).max(f64::MIN),
        (high + room).min(f64::MAX),
        bottom,
        top,
    );
    for (tick, words) in scale.ticks(TICKS) {
        let y = scale.place(tick);
        sheet.line("grid", Ink::Soft, (LEFT, y), (RIGHT, y));
        let spot = Spot::new(
            LEFT - 7.0,
            y + Lettering::SMALL.rise() / 2.0 - 1.0,
            Anchor::End,
        );
        sheet.write(Lettering::SMALL, Ink::Soft, spot, &words);
    }
    for x in [LEFT, RIGHT] {
        sheet.line("edge", Ink::Plain, (x, top), (x, bottom));
    }
    let head = format!("{} runout in mm, {}", kind.word(), kind.upward());
    sheet.write(
        Lettering::BOLD,
        Ink::Plain,
        Spot::new(8.0, top - 11.0, Anchor::Start),
        &head,
    );
    let plot = Area {
        left: LEFT,
        top,
        right: RIGHT,
        bottom,
    };
    let lines: Vec<Line> = traces
        .iter()
        .zip(STYLES.iter().cycle())
        .map(|(trace, style)| line(sheet, &scale, trace, style))
        .collect();
    let shy: Vec<Area> = lines.iter().flat_map(Line::boxes).collect();
    let mut notes = Vec::new();
    for (order, (trace, line)) in traces.iter().zip(&lines).enumerate() {
        let (highest, lowest) = (line.highest(), line.lowest());
        extreme(sheet, plot, highest, &trace.highest_words, -1.0, &shy);
        extreme(sheet, plot, lowest, &trace.lowest_words, 1.0, &shy);
        let x = RIGHT + 12.0 + STEP * count(order);
        full_reading(sheet, x, highest, lowest);
        let from = (x, f64::midpoint(highest.1, lowest.1));
        notes.push(Note::new(
            from,
            Ink::Plain,
            &words(trace),
            note_width(traces.len()),
        ));
    }
    let left = RIGHT + 16.0 + STEP * count(traces.len());
    margin::write(
        sheet,
        notes,
        Area {
            left,
            right: WIDTH,
            ..plot
        },
    );
    bottom
}

fn note_width(traces: usize) -> f64 {
    WIDTH - RIGHT - 24.0 - STEP * count(traces)
}

fn notes_height(traces: &[&RunoutTrace]) -> f64 {
    traces
        .iter()
        .map(|trace| {
            Note::new(
                (0.0, 0.0),
                Ink::Plain,
                &words(trace),
                note_width(traces.len()),
            )
            .height()
        })
        .sum::<f64>()
        + 10.0
}

fn words(trace: &RunoutTrace) -> String {
    format!("{}: {}", trace.face, trace.full_words)
}

/// The line styles of faces, in order.
const STYLES: [&str; 3] = ["lateral", "second-face", "radial"];

/// A face's line as drawn, never empty.
struct Line {
    whole: Vec<(f64, f64)>,
}

impl Line {
    /// The highest place on the sheet; y grows downward.
    fn highest(&self) -> (f64, f64) {
        self.whole
            .iter()
            .copied()
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or((LEFT, 0.0))
    }

    fn lowest(&self) -> (f64, f64) {
        self.whole
            .iter()
            .copied()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or((LEFT, 0.0))
    }

    /// Boxes along the line that words had better leave.
    fn boxes(&self) -> impl Iterator<Item = Area> {
        self.whole.windows(2).map(|pair| Area {
            left: pair[0].0,
            top: pair[0].1.min(pair[1].1) - 2.0,
            right: pair[1].0,
            bottom: pair[0].1.max(pair[1].1) + 2.0,
        })
    }
}

fn line(sheet: &mut Sheet, scale: &Scale, trace: &RunoutTrace, style: &str) -> Line {
    let turn = turn::whole(&trace.points).into_iter();
    let place = |(angle, mm)| (turn::along(angle, LEFT, RIGHT), scale.place(mm));
    let whole: Vec<(f64, f64)> = turn.map(place).collect();
    sheet.path(style, Ink::Plain, &stroke(&whole));
    Line { whole }
}

/// A disc and its value at an extreme point.
fn extreme(sheet: &mut Sheet, plot: Area, (x, y): (f64, f64), words: &str, way: f64, shy: &[Area]) {
    marks::mark(sheet, Mark::Taken, Ink::Plain, (x, y), 5.0);
    sheet.take(Area::about(x, y, 7.0));
    let lettering = Lettering::BOLD;
    let words = fit(words);
    let outward = [11.0, 28.0, 45.0].into_iter().flat_map(|distance| {
        let y = lettering.centred(y + way * (distance + lettering.rise() / 2.0));
        [
            (x, Anchor::Middle),
            (x - 6.0, Anchor::Start),
            (x + 6.0, Anchor::End),
        ]
        .map(|(x, anchor)| Spot::new(x, y, anchor))
    });
    let beside = [(x + 12.0, Anchor::Start), (x - 12.0, Anchor::End)]
        .map(|(x, anchor)| Spot::new(x, lettering.centred(y), anchor));
    let spots: Vec<Spot> = outward.chain(beside).collect();
    let bounds = Area {
        left: LEFT - 50.0,
        right: RIGHT + 6.0,
        ..plot
    };
    let free = |shy: &[Area]| sheet.find(lettering, &words, &bounds, shy, spots.iter().copied());
    if let Some(spot) = free(shy).or_else(|| free(&[])) {
        sheet.write(lettering, Ink::Plain, spot, &words);
    }
}

/// The full indicator reading in the margin, between the heights of both extremes.
fn full_reading(sheet: &mut Sheet, x: f64, highest: (f64, f64), lowest: (f64, f64)) {
    for (from, y) in [highest, lowest] {
        sheet.line("reach", Ink::Soft, (from, y), (x + 4.0, y));
    }
    let (top, bottom) = (highest.1, lowest.1);
    sheet.path("arrow", Ink::Plain, &stroke(&[(x, top), (x, bottom)]));
    if 12.0 < bottom - top {
        sheet.path(
            "arrow",
            Ink::Plain,
            &stroke(&[(x - 4.0, top + 5.0), (x, top), (x + 4.0, top + 5.0)]),
        );
        sheet.path(
            "arrow",
            Ink::Plain,
            &stroke(&[
                (x - 4.0, bottom - 5.0),
                (x, bottom),
                (x + 4.0, bottom - 5.0),
            ]),
        );
    }
}

/// Spoke numbers below the last panel, the valve hole at both ends; yields the height below them.
fn seats(sheet: &mut Sheet, runout: &Runout, top: f64) -> f64 {
    let lettering = Lettering::SMALL;
    let row = |side| match side {
        Side::Right => lettering.centred(top + 18.0),
        Side::Left => lettering.centred(top + 36.0),
    };
    for x in [LEFT, RIGHT] {
        valve(sheet, x, top + 6.0);
    }
    for side in Side::BOTH {
        let spot = Spot::new(LEFT - 12.0, row(side), Anchor::End);
        sheet.write(lettering, Ink::Of(side), spot, side.word());
    }
    for seat in &runout.seats {
        let x = turn::along(seat.angle_deg.rem_euclid(360.0), LEFT, RIGHT);
        sheet.line("edge", Ink::Of(seat.side), (x, top), (x, top + 6.0));
        let spot = Spot::new(x, row(seat.side), Anchor::Middle);
        sheet.write_if_free(
            lettering,
            Ink::Of(seat.side),
            spot,
            &seat.spoke.number().to_string(),
        );
    }
    top + 54.0
}

fn valve(sheet: &mut Sheet, x: f64, y: f64) {
    sheet.path(
        "notch",
        Ink::Plain,
        &outline(&[(x, y - 6.0), (x + 6.0, y + 4.0), (x - 6.0, y + 4.0)]),
    );
}

/// The valve hole, and the line styles where one panel has several faces.
fn entries(runout: &Runout) -> Vec<Entry> {
    let mut entries = vec![Entry::new("valve hole", valve)];
    for kind in KINDS {
        let traces = of(runout, kind);
        if traces.len() < 2 {
            continue;
        }
        for (trace, style) in traces.iter().zip(STYLES.iter().cycle()) {
            entries.push(Entry::new(
                format!("{}, {}", kind.word(), trace.face),
                |sheet, x, y| {
                    sheet.line(style, Ink::Plain, (x - 15.0, y), (x + 13.0, y));
                },
            ));
        }
    }
    entries
}

fn told(runout: &Runout) -> String {
    let mut sentences =
        vec!["Runout over one turn from the valve hole, as the dial showed it.".to_owned()];
    for trace in &runout.traces {
        sentences.push(format!(
            "{} {}: full indicator reading {}, highest {}, lowest {}.",
            turn::capital(trace.kind.word()),
            trace.face,
            trace.full_words,
            trace.highest_words,
            trace.lowest_words
        ));
    }
    sentences.join(" ")
}
