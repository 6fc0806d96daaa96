//! The shapes of points, and the legend that says what they mean.

use super::lettering::Lettering;
use super::place::{Anchor, Area, Spot, px};
use super::sheet::{Ink, Sheet, outline};
use crate::figure::Mark;
use maud::html;

/// Draws `mark` about a point, `radius` pixels large.
pub(crate) fn mark(sheet: &mut Sheet, mark: Mark, ink: Ink, (x, y): (f64, f64), radius: f64) {
    match mark {
        Mark::Taken => sheet.draw(&html! {
            circle class={ "solid " (ink.class()) } cx=(px(x)) cy=(px(y)) r=(px(radius)) {}
        }),
        Mark::CannotTell => sheet.draw(&html! {
            circle class={ "open " (ink.class()) } cx=(px(x)) cy=(px(y)) r=(px(radius * 1.15)) {}
        }),
        Mark::Over => {
            let r = radius * 1.1;
            sheet.path(
                "solid",
                ink,
                &outline(&[
                    (x - r, y - r),
                    (x + r, y - r),
                    (x + r, y + r),
                    (x - r, y + r),
                ]),
            );
        }
        Mark::TakeAgain => {
            let r = radius * 1.6;
            sheet.path(
                "open",
                ink,
                &outline(&[(x, y - r), (x + r, y), (x, y + r), (x - r, y)]),
            );
        }
    }
}

/// A triangle about a point, standing or hanging.
pub(crate) fn triangle(
    sheet: &mut Sheet,
    class: &str,
    ink: Ink,
    (x, y): (f64, f64),
    radius: f64,
    hangs: bool,
) {
    let way = if hangs { -1.0 } else { 1.0 };
    let (r, rise) = (radius * 1.25, radius * 1.2 * way);
    sheet.path(
        class,
        ink,
        &outline(&[(x - r, y + rise), (x, y - rise), (x + r, y + rise)]),
    );
}

/// Draws a sample about a point.
type Sample = Box<dyn Fn(&mut Sheet, f64, f64)>;

/// An entry of a legend: draws its sample about a point, then its words follow.
pub(crate) struct Entry {
    pub(crate) words: String,
    pub(crate) sample: Sample,
}

impl Entry {
    pub(crate) fn new(
        words: impl Into<String>,
        sample: impl Fn(&mut Sheet, f64, f64) + 'static,
    ) -> Self {
        Self {
            words: words.into(),
            sample: Box::new(sample),
        }
    }

    pub(crate) fn of(shape: Mark) -> Self {
        Self::new(shape.words(), move |sheet, x, y| {
            mark(sheet, shape, Ink::Plain, (x, y), 5.5)
        })
    }
}

/// Width kept for a sample.
const SAMPLE: f64 = 34.0;
const GAP: f64 = 22.0;

/// Writes the entries in rows between `left` and `right`; yields the y below them.
pub(crate) fn legend(sheet: &mut Sheet, entries: &[Entry], left: f64, right: f64, top: f64) -> f64 {
    let lettering = Lettering::PLAIN;
    let row = lettering.leading() + 5.0;
    let (mut x, mut y) = (left, top + lettering.rise());
    for entry in entries {
        let lines = lettering.wrap(&crate::words::fit(&entry.words), right - left - SAMPLE, 3);
        let width = lines
            .iter()
            .map(|line| lettering.width(line))
            .fold(0.0, f64::max);
        if left < x && right < x + SAMPLE + width {
            x = left;
            y += row;
        }
        (entry.sample)(
            sheet,
            x + SAMPLE / 2.0 - 3.0,
            y - lettering.rise() / 2.0 + 1.0,
        );
        let spot = Spot::new(x + SAMPLE, y, Anchor::Start);
        sheet.write_block(lettering, Ink::Plain, spot, &lines);
        if 1 < lines.len() {
            y += lettering.leading() * super::scale::count(lines.len() - 1);
        }
        x += SAMPLE + width + GAP;
    }
    y + lettering.fall()
}

/// A 95 % bar between two places on one vertical.
pub(crate) fn bar(sheet: &mut Sheet, ink: Ink, x: f64, (low, high): (f64, f64), width: f64) {
    let (top, bottom) = (low.min(high), low.max(high));
    if bottom - top < 0.5 {
        return;
    }
    let half = width / 2.0;
    sheet.fill(
        &format!("bar {}", ink.class()),
        Area {
            left: x - half,
            top,
            right: x + half,
            bottom,
        },
    );
    sheet.line("cap", ink, (x - half, top), (x + half, top));
    sheet.line("cap", ink, (x - half, bottom), (x + half, bottom));
}
