//! The legend of the strip.

use super::{Strip, band, side, spokes};
use crate::figure::{Level, Mark, RunoutKind};
use crate::svg::marks::{self, Entry};
use crate::svg::place::Area;
use crate::svg::scale::spell;
use crate::svg::sheet::Ink;

/// What the legend must explain: only what is drawn.
pub(super) fn entries(strip: &Strip) -> Vec<Entry> {
    let rim = strip.rim;
    let mut entries = Vec::new();
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
            spokes::cross(sheet, Ink::Plain, (x, y))
        }));
    }
    if levels
        .iter()
        .any(|level| matches!(level, Level::MoreThan(_) | Level::LessThan(_)))
    {
        entries.push(Entry::new(
            "outside the curve’s range: a bound only",
            |sheet, x, y| {
                spokes::arrow(sheet, Ink::Plain, (x, y + 9.0), -18.0);
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
    if 0.0 < low {
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
