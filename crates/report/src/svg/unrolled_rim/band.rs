//! The rim itself: a band across the middle with spoke numbers, runout and the cut valve hole.

use super::{LEFT, RIGHT, Strip, along};
use crate::figure::{Mark, RunoutKind, StripRunout, StripSpoke, UnrolledRim};
use crate::svg::lettering::Lettering;
use crate::svg::place::{Anchor, Area, Spot, px};
use crate::svg::scale::{Scale, round_below, spell};
use crate::svg::sheet::{Ink, Sheet, stroke};
use crate::svg::{WIDTH, turn};
use crate::words::fit;
use wheel::Side;

/// Room for spoke numbers along each edge of the band.
const NUMBERS: f64 = 22.0;
/// Room between them, with and without a runout line.
const RUNOUT: f64 = 56.0;
const PLAIN: f64 = 20.0;
/// Radius of the valve hole as drawn.
const HOLE: f64 = 9.0;

/// Height of the band.
pub(super) fn height(rim: &UnrolledRim) -> f64 {
    2.0 * NUMBERS
        + if rim.runouts.is_empty() {
            PLAIN
        } else {
            RUNOUT
        }
}

/// The class of a runout line, the same here and in the legend.
pub(super) const fn class(kind: RunoutKind) -> &'static str {
    match kind {
        RunoutKind::Lateral => "lateral",
        RunoutKind::Radial => "radial",
    }
}

pub(super) fn draw(sheet: &mut Sheet, strip: &Strip) {
    let band = strip.band;
    sheet.fill("rim", band);
    for y in [band.top, band.bottom] {
        sheet.line("edge", Ink::Plain, (LEFT, y), (RIGHT, y));
    }
    runouts(sheet, strip);
    valve(sheet, band);
    numbers(sheet, strip);
}

/// The rim is cut through the valve hole: half of it shows at either end.
fn valve(sheet: &mut Sheet, band: Area) {
    let middle = f64::midpoint(band.top, band.bottom);
    let lettering = Lettering::SMALL;
    for (x, sweep, anchor, out) in [(LEFT, 1, Anchor::End, -7.0), (RIGHT, 0, Anchor::Start, 7.0)] {
        let (above, below) = (middle - HOLE, middle + HOLE);
        let hole = format!(
            "M{x} {}A{HOLE} {HOLE} 0 0 {sweep} {x} {}",
            px(above),
            px(below)
        );
        sheet.path("hole", Ink::Plain, &hole);
        sheet.line("edge", Ink::Plain, (x, band.top), (x, above));
        sheet.line("edge", Ink::Plain, (x, below), (x, band.bottom));
        let spot = Spot::new(x + out, lettering.centred(middle), anchor);
        sheet.write_if_free(lettering, Ink::Plain, spot, "valve");
    }
}

fn numbers(sheet: &mut Sheet, strip: &Strip) {
    let lettering = Lettering::SMALL;
    let mut spokes: Vec<&StripSpoke> = strip.rim.spokes.iter().collect();
    spokes.sort_by_key(|spoke| (spoke.mark == Mark::Taken, spoke.spoke.number()));
    for spoke in spokes {
        let y = match spoke.side {
            Side::Right => strip.band.top + NUMBERS / 2.0 + 1.0,
            Side::Left => strip.band.bottom - NUMBERS / 2.0 - 1.0,
        };
        let spot = Spot::new(along(spoke.angle_deg), lettering.centred(y), Anchor::Middle);
        sheet.write_if_free(
            lettering,
            Ink::Of(spoke.side),
            spot,
            &spoke.spoke.number().to_string(),
        );
    }
}

fn runouts(sheet: &mut Sheet, strip: &Strip) {
    let runouts = &strip.rim.runouts;
    if runouts.is_empty() {
        return;
    }
    let points = runouts.iter().flat_map(|runout| &runout.points);
    let most = points.map(|point| point.mm.abs()).fold(0.0, f64::max);
    let (top, bottom) = (
        strip.band.top + NUMBERS + 3.0,
        strip.band.bottom - NUMBERS - 3.0,
    );
    let scale = Scale::new(-most, most, bottom, top);
    let zero = scale.place(0.0);
    sheet.line("grid", Ink::Soft, (LEFT, zero), (RIGHT, zero));
    for runout in runouts {
        let turn = turn::whole(&runout.points).into_iter();
        let line: Vec<(f64, f64)> = turn
            .map(|(angle, mm)| (turn::along(angle, LEFT, RIGHT), scale.place(mm)))
            .collect();
        sheet.path(class(runout.kind), Ink::Plain, &stroke(&line));
    }
    scale_bar(sheet, &scale, most, zero);
    words(sheet, runouts, strip.band);
}

/// A bar as tall as a round number of millimetres, about `middle`.
fn scale_bar(sheet: &mut Sheet, scale: &Scale, most: f64, middle: f64) {
    let tall = round_below(most * 1.2);
    if tall <= 0.0 {
        return;
    }
    let x = RIGHT + 12.0;
    let half = scale.span(tall) / 2.0;
    sheet.path(
        "arrow",
        Ink::Plain,
        &stroke(&[(x, middle - half), (x, middle + half)]),
    );
    for y in [middle - half, middle + half] {
        sheet.path("arrow", Ink::Plain, &stroke(&[(x - 4.0, y), (x + 4.0, y)]));
    }
    let lettering = Lettering::SMALL;
    let spot = Spot::new(x + 9.0, lettering.centred(middle), Anchor::Start);
    sheet.write(
        lettering,
        Ink::Plain,
        spot,
        &format!("{} mm", spell(tall, tall)),
    );
}

/// What the runouts are, above and below the scale bar.
fn words(sheet: &mut Sheet, runouts: &[StripRunout], band: Area) {
    let lettering = Lettering::SMALL;
    let places = [band.top + NUMBERS / 2.0, band.bottom - NUMBERS / 2.0];
    for (runout, y) in runouts.iter().zip(places) {
        let words = fit(&format!("{} {}", runout.kind.word(), runout.words));
        let lines = lettering.wrap(&words, WIDTH - 14.0 - RIGHT, 1);
        let spot = Spot::new(RIGHT + 10.0, lettering.centred(y), Anchor::Start);
        sheet.write_block(lettering, Ink::Plain, spot, &lines);
    }
}
