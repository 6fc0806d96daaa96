//! The unrolled rim: right spokes stand up from the rim, left ones hang down.

mod band;
mod beside;
mod legend;
mod mark_word;
mod side;
mod spokes;
mod told;

use super::lettering::Lettering;
use super::place::{Anchor, Area, Spot};
use super::scale::{Scale, count};
use super::sheet::{Drawing, Ink, Sheet, stroke};
use super::{WIDTH, marks, turn};
use crate::figure::{Beyond, Level, StripLimit, StripMean, StripSpoke, UnrolledRim};
use wheel::Side;

/// Left end of the strip: room for ticks.
const LEFT: f64 = 62.0;
/// Right end of the strip: room for the words of means.
const RIGHT: f64 = WIDTH - 172.0;
/// Room for the head of a side.
const HEAD: f64 = 30.0;
/// Least reach of a side's scale, in pixels.
const REACH: f64 = 195.0;
/// Least depth of a hatched region, so that words fit in.
const REGION: f64 = 32.0;
/// About so many ticks along a side's scale.
const TICKS: usize = 9;

/// What all parts of the strip agree on.
struct Strip<'a> {
    rim: &'a UnrolledRim,
    right: Scale,
    left: Scale,
    /// Pixels from spoke to spoke, were they even.
    pitch: f64,
    band: Area,
}

impl Strip<'_> {
    fn scale(&self, side: Side) -> Scale {
        match side {
            Side::Right => self.right,
            Side::Left => self.left,
        }
    }

    /// Where the scale of a side ends.
    fn tip(&self, side: Side) -> f64 {
        let scale = self.scale(side);
        scale.place(scale.ends().1)
    }

    /// Where a side's spokes leave the rim.
    fn base(&self, side: Side) -> f64 {
        match side {
            Side::Right => self.band.top,
            Side::Left => self.band.bottom,
        }
    }

    fn spokes(&self, side: Side) -> impl Iterator<Item = &StripSpoke> {
        self.rim
            .spokes
            .iter()
            .filter(move |spoke| spoke.side == side)
    }

    fn means(&self, side: Side) -> impl Iterator<Item = &StripMean> {
        self.rim.means.iter().filter(move |mean| mean.side == side)
    }

    fn limits(&self, side: Side) -> impl Iterator<Item = &StripLimit> {
        self.rim
            .limits
            .iter()
            .filter(move |limit| limit.reach.holds(side))
    }

    /// Size of a mark that leaves room to its neighbours.
    fn radius(&self) -> f64 {
        (self.pitch * 0.36).clamp(3.5, 5.5)
    }
}

/// Where an angle lies along the strip.
fn along(angle_deg: f64) -> f64 {
    turn::along(angle_deg.rem_euclid(360.0), LEFT, RIGHT)
}

/// +1 where the scale of a side grows downward on the sheet, −1 where it grows upward.
const fn downward(side: Side) -> f64 {
    match side {
        Side::Right => -1.0,
        Side::Left => 1.0,
    }
}

pub(super) fn draw(rim: &UnrolledRim) -> Drawing {
    let mut sheet = Sheet::new(WIDTH);
    let reach = REACH
        .max(beside::margin_height(rim, Side::Right))
        .max(beside::margin_height(rim, Side::Left));
    let (low, high) = extent(rim, reach);
    let top = HEAD + reach;
    let band = Area {
        left: LEFT,
        top,
        right: RIGHT,
        bottom: top + band::height(rim),
    };
    let strip = Strip {
        rim,
        right: Scale::new(low, high, band.top, band.top - reach),
        left: Scale::new(low, high, band.bottom, band.bottom + reach),
        pitch: (RIGHT - LEFT) / count(rim.spokes.len().max(1)),
        band,
    };
    band::draw(&mut sheet, &strip);
    for side in Side::BOTH {
        side::draw(&mut sheet, &strip, side);
    }
    rolling(&mut sheet);
    let foot = band.bottom + reach + HEAD;
    let below = marks::legend(
        &mut sheet,
        &legend::entries(&strip),
        8.0,
        WIDTH - 8.0,
        foot + 6.0,
    );
    sheet.finish(&rim.title, &told::told(rim), below + 8.0)
}

/// The way the wheel rolls, above the right end of the strip.
fn rolling(sheet: &mut Sheet) {
    let (y, tip) = (HEAD - 17.0, RIGHT);
    sheet.path("arrow", Ink::Plain, &stroke(&[(tip - 46.0, y), (tip, y)]));
    sheet.path(
        "arrow",
        Ink::Plain,
        &stroke(&[(tip - 8.0, y - 6.0), (tip, y), (tip - 8.0, y + 6.0)]),
    );
    let lettering = Lettering::PLAIN;
    let spot = Spot::new(tip - 55.0, lettering.centred(y), Anchor::End);
    sheet.write_if_free(lettering, Ink::Plain, spot, "rolls this way");
}

/// Ends of the common scale: everything drawn lies inside, with room for words and hatching.
fn extent(rim: &UnrolledRim, reach: f64) -> (f64, f64) {
    let levels = || {
        rim.spokes
            .iter()
            .flat_map(|spoke| [Some(spoke.level), spoke.second])
            .flatten()
    };
    let values = || {
        levels()
            .flat_map(Level::numbers)
            .chain(rim.means.iter().map(|mean| mean.value))
    };
    let limits = |beyond| {
        rim.limits
            .iter()
            .filter(move |limit| limit.beyond == beyond)
            .map(|limit| limit.value)
    };
    let begin = rim.begins_at.unwrap_or(0.0);
    let low = values().chain(limits(Beyond::Below)).fold(begin, f64::min);
    let highest = values().chain(limits(Beyond::Below)).fold(low, f64::max);
    let share = |room: f64| 1.0 - room / reach;
    let least = |value: f64, room: f64| 2.0 * (low / 2.0 + (value / 2.0 - low / 2.0) / share(room));
    let high = limits(Beyond::Above)
        .map(|limit| least(limit, REGION))
        .fold(least(highest, 28.0), f64::max);
    let high = if high <= low {
        low + low.abs().max(1.0)
    } else {
        high
    };
    (low.max(f64::MIN), high.min(f64::MAX))
}
