//! The rim itself: a band across the middle with spoke numbers, runout and the valve's notches.

use super::super::scale::round_below;
use super::super::sheet::outline;
use super::*;
use crate::figure::StripRunout;
use crate::words::fit;

/// Room for spoke numbers along each edge of the band.
const NUMBERS: f64 = 22.0;
/// Room for runout between them, with and without a line.
const RUNOUT: f64 = 56.0;
const PLAIN: f64 = 10.0;

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
pub(in super::super) const fn class(kind: RunoutKind) -> &'static str {
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
    notches(sheet, band);
    runouts(sheet, strip);
    numbers(sheet, strip);
}

/// The valve hole is cut through: half of it shows at either end.
fn notches(sheet: &mut Sheet, band: Area) {
    let middle = (band.top + band.bottom) / 2.0;
    for (x, inward) in [(LEFT, 1.0), (RIGHT, -1.0)] {
        let tip = x + inward * 11.0;
        for (edge, way) in [(band.top, 1.0), (band.bottom, -1.0)] {
            sheet.path(
                "notch",
                Ink::Plain,
                &outline(&[(x, edge), (tip, edge), (x, edge + way * 14.0)]),
            );
        }
        sheet.line("edge", Ink::Plain, (x, band.top), (x, band.bottom));
    }
    let lettering = Lettering::SMALL;
    let y = middle + lettering.rise() / 2.0 - 1.0;
    sheet.write(
        lettering,
        Ink::Plain,
        Spot::new(LEFT - 7.0, y, Anchor::End),
        "valve",
    );
}

fn numbers(sheet: &mut Sheet, strip: &Strip) {
    let lettering = Lettering::SMALL;
    let mut spokes: Vec<&StripSpoke> = strip.rim.spokes.iter().collect();
    spokes.sort_by_key(|spoke| (spoke.mark == Mark::Taken, spoke.spoke.number()));
    for spoke in spokes {
        let y = match spoke.side {
            Side::Right => strip.band.top + lettering.rise() + 4.0,
            Side::Left => strip.band.bottom - 5.0,
        };
        let spot = Spot::new(along(spoke.angle_deg), y, Anchor::Middle);
        let words = spoke.spoke.number().to_string();
        if sheet.is_free(&spot.area(lettering, &words)) {
            sheet.write(lettering, Ink::Of(spoke.side), spot, &words);
        }
    }
}

fn runouts(sheet: &mut Sheet, strip: &Strip) {
    let runouts = &strip.rim.runouts;
    let points = || {
        runouts
            .iter()
            .flat_map(|runout| &runout.points)
            .map(|point| point.mm)
    };
    let most = points().map(f64::abs).fold(0.0, f64::max);
    if runouts.is_empty() {
        return;
    }
    let (top, bottom) = (strip.band.top + NUMBERS, strip.band.bottom - NUMBERS);
    let scale = Scale::new(-most, most, bottom - 3.0, top + 3.0);
    sheet.line(
        "grid",
        Ink::Soft,
        (LEFT, scale.place(0.0)),
        (RIGHT, scale.place(0.0)),
    );
    for runout in runouts {
        let line: Vec<(f64, f64)> = turn::whole(&runout.points)
            .into_iter()
            .map(|(angle, mm)| (turn::along(angle, LEFT, RIGHT), scale.place(mm)))
            .collect();
        sheet.path(class(runout.kind), Ink::Plain, &stroke(&line));
    }
    scale_bar(sheet, &scale, most, (top, bottom));
    words(sheet, runouts, strip.band);
}

/// A bar as tall as a round number of millimetres.
fn scale_bar(sheet: &mut Sheet, scale: &Scale, most: f64, (top, bottom): (f64, f64)) {
    let tall = round_below(most * 1.2);
    if tall <= 0.0 {
        return;
    }
    let (x, middle) = (RIGHT + 12.0, (top + bottom) / 2.0);
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
    let spot = Spot::new(
        x + 9.0,
        middle + lettering.rise() / 2.0 - 1.0,
        Anchor::Start,
    );
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
    let width = WIDTH - 4.0 - RIGHT - 10.0;
    for (order, runout) in runouts.iter().enumerate().take(2) {
        let words = fit(&format!("{} {}", runout.kind.word(), runout.words));
        let lines = lettering.wrap(&words, width, 1);
        let y = if order == 0 {
            band.top + lettering.rise() + 4.0
        } else {
            band.bottom - 5.0
        };
        let spot = Spot::new(RIGHT + 10.0, y, Anchor::Start);
        sheet.write_block(lettering, Ink::Plain, spot, &lines);
    }
}
