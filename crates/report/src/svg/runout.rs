//! Runout over one turn: a panel for lateral, one for radial, spoke numbers along the bottom.

use super::WIDTH;
use super::lettering::Lettering;
use super::margin::{self, Note};
use super::marks;
use super::scale::{Scale, count};
use super::sheet::{Anchor, Area, Ink, Sheet, Spot, stroke};
use super::turn;
use crate::figure::{Mark, RimPoint, Runout, RunoutKind, RunoutTrace};
use crate::words::fit;
use maud::Markup;

const LEFT: f64 = 66.0;
const RIGHT: f64 = WIDTH - 216.0;
const HEAD: f64 = 32.0;
const PANEL: f64 = 190.0;
/// Between two marks of a full indicator reading in the margin.
const STEP: f64 = 16.0;
const TICKS: usize = 5;

pub(super) fn draw(runout: &Runout, id: &str) -> Markup {
    let mut sheet = Sheet::new(WIDTH);
    let mut top = 0.0;
    for kind in [RunoutKind::Lateral, RunoutKind::Radial] {
        let traces: Vec<&RunoutTrace> = runout
            .traces
            .iter()
            .filter(|trace| trace.kind == kind && !trace.points.is_empty())
            .collect();
        if !traces.is_empty() {
            top = panel(&mut sheet, kind, &traces, top + HEAD);
        }
    }
    let below = seats(&mut sheet, runout, top);
    sheet.finish(id, &runout.title, &told(runout), below)
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
    let room = (high / 2.0 - low / 2.0) * 0.4;
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
    let mut notes = Vec::new();
    let plot = Area {
        left: LEFT,
        top,
        right: RIGHT,
        bottom,
    };
    let shapes: Vec<_> = traces
        .iter()
        .enumerate()
        .map(|(order, trace)| line(sheet, &scale, trace, order))
        .collect();
    for (order, (trace, extremes)) in traces.iter().zip(shapes).enumerate() {
        let Some((highest, lowest)) = extremes else {
            continue;
        };
        extreme(sheet, plot, highest, &trace.highest_words, -1.0);
        extreme(sheet, plot, lowest, &trace.lowest_words, 1.0);
        let x = RIGHT + 12.0 + STEP * count(order);
        full_reading(sheet, x, highest, lowest);
        notes.push((
            x,
            Note::new(
                f64::midpoint(highest.1, lowest.1),
                Ink::Plain,
                &words(trace),
                note_width(traces.len()),
            ),
        ));
    }
    let from = RIGHT + 12.0 + STEP * count(traces.len());
    let room = Area {
        left: from + 6.0,
        right: WIDTH - 4.0,
        ..plot
    };
    let notes = notes.into_iter().map(|(_, note)| note).collect();
    margin::write(sheet, notes, room, from - STEP + 4.0);
    bottom
}

fn note_width(traces: usize) -> f64 {
    WIDTH - 4.0 - RIGHT - 20.0 - STEP * count(traces)
}

fn notes_height(traces: &[&RunoutTrace]) -> f64 {
    traces
        .iter()
        .map(|trace| Note::new(0.0, Ink::Plain, &words(trace), note_width(traces.len())).height())
        .sum::<f64>()
        + 10.0
}

fn words(trace: &RunoutTrace) -> String {
    format!("{}: {}", trace.face, trace.full_words)
}

/// The line styles of faces, in order.
const STYLES: [&str; 3] = ["lateral", "second-face", "radial"];

/// Draws a face's line; yields its highest and lowest point.
fn line(
    sheet: &mut Sheet,
    scale: &Scale,
    trace: &RunoutTrace,
    order: usize,
) -> Option<((f64, f64), (f64, f64))> {
    let place = |(angle, mm): (f64, f64)| (turn::along(angle, LEFT, RIGHT), scale.place(mm));
    let whole: Vec<(f64, f64)> = turn::whole(&trace.points).into_iter().map(place).collect();
    sheet.path(STYLES[order % STYLES.len()], Ink::Plain, &stroke(&whole));
    let by_height = |a: &&RimPoint, b: &&RimPoint| a.mm.total_cmp(&b.mm);
    let at = |point: &RimPoint| place((point.angle_deg.rem_euclid(360.0), point.mm));
    let highest = trace.points.iter().max_by(by_height).map(at)?;
    let lowest = trace.points.iter().min_by(by_height).map(at)?;
    Some((highest, lowest))
}

/// A disc and its value at an extreme point, and a line out to the margin.
fn extreme(sheet: &mut Sheet, plot: Area, (x, y): (f64, f64), words: &str, way: f64) {
    marks::mark(sheet, Mark::Taken, Ink::Plain, (x, y), 5.0);
    sheet.take(Area::about(x, y, 7.0));
    let lettering = Lettering::BOLD;
    let words = fit(words);
    let baseline = |distance: f64| {
        y + way * (distance + lettering.rise() / 2.0) + lettering.rise() / 2.0 - 1.0
    };
    let spots = [8.0, 26.0, 44.0].into_iter().flat_map(|distance| {
        [
            (x, Anchor::Middle),
            (x - 6.0, Anchor::Start),
            (x + 6.0, Anchor::End),
        ]
        .map(|(x, anchor)| Spot::new(x, baseline(distance), anchor))
    });
    let bounds = Area {
        left: 2.0,
        right: WIDTH,
        ..plot
    };
    if let Some(spot) = sheet.find(lettering, &words, &bounds, &[], spots) {
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

/// Spoke numbers below the last panel, and the valve at both ends; yields the sheet's height.
fn seats(sheet: &mut Sheet, runout: &Runout, top: f64) -> f64 {
    let lettering = Lettering::SMALL;
    let y = top + 12.0 + lettering.rise();
    for x in [LEFT, RIGHT] {
        sheet.path(
            "notch",
            Ink::Plain,
            &super::sheet::outline(&[(x, top), (x + 6.0, top + 9.0), (x - 6.0, top + 9.0)]),
        );
    }
    sheet.write(
        lettering,
        Ink::Plain,
        Spot::new(LEFT - 9.0, y, Anchor::End),
        "valve",
    );
    sheet.write(
        lettering,
        Ink::Plain,
        Spot::new(RIGHT + 9.0, y, Anchor::Start),
        "valve; numbers: spokes",
    );
    for seat in &runout.seats {
        let x = turn::along(seat.angle_deg.rem_euclid(360.0), LEFT, RIGHT);
        sheet.line("edge", Ink::Of(seat.side), (x, top), (x, top + 6.0));
        let spot = Spot::new(x, y, Anchor::Middle);
        let words = seat.spoke.number().to_string();
        if sheet.is_free(&spot.area(lettering, &words)) {
            sheet.write(lettering, Ink::Of(seat.side), spot, &words);
        }
    }
    y + lettering.fall() + 8.0
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
