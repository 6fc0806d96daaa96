//! The unrolled rim: right spokes stand up from the rim, left ones hang down.

mod band;
mod side;
mod told;

use super::WIDTH;
use super::lettering::Lettering;
use super::margin::Note;
use super::marks::{self, Entry};
use super::scale::{Scale, count, spell};
use super::sheet::{Anchor, Area, Ink, Sheet, Spot, stroke};
use super::turn;
use crate::figure::{Beyond, Interval, Level, Mark, Reach, RunoutKind, StripSpoke, UnrolledRim};
use maud::Markup;
use wheel::Side;

/// Left end of the strip: room for ticks.
const LEFT: f64 = 62.0;
/// Right end of the strip: room for the words of means.
const RIGHT: f64 = WIDTH - 172.0;
/// Room for the head of a side.
const HEAD: f64 = 30.0;
/// Least reach of a side's scale, in pixels.
const REACH: f64 = 205.0;
/// Least depth of a hatched region, so that words fit in.
const REGION: f64 = 32.0;
/// About so many ticks along a side's scale.
const TICKS: usize = 7;

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

pub(super) fn draw(rim: &UnrolledRim, id: &str) -> Markup {
    let mut sheet = Sheet::new(WIDTH);
    let reach = REACH
        .max(side::margin_height(rim, Side::Right))
        .max(side::margin_height(rim, Side::Left));
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
    let foot = band.bottom + reach + HEAD;
    let below = marks::legend(&mut sheet, &entries(&strip), 8.0, WIDTH - 8.0, foot + 6.0);
    sheet.finish(id, &rim.title, &told::told(rim), below + 8.0)
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

/// What the legend must explain: only what is drawn.
fn entries(strip: &Strip) -> Vec<Entry> {
    let rim = strip.rim;
    let mut entries = vec![Entry::new("rolling direction", |sheet, x, y| {
        sheet.path(
            "arrow",
            Ink::Plain,
            &stroke(&[(x - 14.0, y), (x + 13.0, y)]),
        );
        sheet.path(
            "arrow",
            Ink::Plain,
            &stroke(&[(x + 6.0, y - 6.0), (x + 13.0, y), (x + 6.0, y + 6.0)]),
        );
    })];
    let levels: Vec<Level> = rim
        .spokes
        .iter()
        .flat_map(|spoke| [Some(spoke.level), spoke.second])
        .flatten()
        .collect();
    let read =
        |level: &Level| matches!(level, Level::Read(interval) if interval.low < interval.high);
    match &rim.pair {
        Some(pair) => {
            entries.push(Entry::new(&pair.first, |sheet, x, y| {
                marks::mark(sheet, Mark::Taken, Ink::Plain, (x, y), 5.5)
            }));
            entries.push(Entry::new(&pair.second, |sheet, x, y| {
                marks::triangle(sheet, "open", Ink::Plain, (x, y), 5.0, true);
            }));
        }
        None if rim
            .spokes
            .iter()
            .any(|spoke| spoke.mark == Mark::Taken && spoke.level.at().is_some()) =>
        {
            entries.push(Entry::of(Mark::Taken));
        }
        None => {}
    }
    for mark in [Mark::Over, Mark::TakeAgain, Mark::CannotTell] {
        if rim.spokes.iter().any(|spoke| spoke.mark == mark) {
            entries.push(Entry::of(mark));
        }
    }
    if levels.iter().any(read) {
        entries.push(Entry::new(
            "95 % of what the reading allows",
            |sheet, x, y| {
                marks::bar(sheet, Ink::Plain, x, (y - 9.0, y + 9.0), 8.0);
            },
        ));
    }
    if levels.contains(&Level::NotRead) {
        entries.push(Entry::new("not read", |sheet, x, y| {
            side::cross(sheet, Ink::Plain, (x, y))
        }));
    }
    if levels
        .iter()
        .any(|level| matches!(level, Level::MoreThan(_) | Level::LessThan(_)))
    {
        entries.push(Entry::new(
            "outside the curve’s range: a bound only",
            |sheet, x, y| {
                side::arrow(sheet, Ink::Plain, (x, y + 9.0), (x, y - 9.0));
            },
        ));
    }
    if !rim.means.is_empty() {
        entries.push(Entry::new("mean", |sheet, x, y| {
            sheet.line("mean", Ink::Plain, (x - 15.0, y), (x + 13.0, y))
        }));
    }
    if !rim.limits.is_empty() {
        entries.push(Entry::new("beyond a limit", |sheet, x, y| {
            sheet.hatch(Area {
                left: x - 15.0,
                top: y - 8.0,
                right: x + 13.0,
                bottom: y + 8.0,
            });
        }));
    }
    for kind in [RunoutKind::Lateral, RunoutKind::Radial] {
        if rim.runouts.iter().any(|runout| runout.kind == kind) {
            entries.push(Entry::new(
                format!("{} runout, {}", kind.word(), kind.upward()),
                move |sheet, x, y| {
                    sheet.line(band::class(kind), Ink::Plain, (x - 15.0, y), (x + 13.0, y));
                },
            ));
        }
    }
    let low = strip.right.ends().0;
    if low != 0.0 {
        let words = format!(
            "the axis begins at {} {}, not at zero",
            spell_end(low),
            rim.unit
        );
        entries.push(Entry::new(words, side::zigzag));
    }
    entries
}

/// The axis' first number in words, as fine as it was given.
fn spell_end(value: f64) -> String {
    if value.abs() < 1e7 && (value.abs() * 100.0).fract() == 0.0 {
        format!("{value}").replace('-', "−")
    } else {
        spell(value, value.abs() / 100.0)
    }
}
