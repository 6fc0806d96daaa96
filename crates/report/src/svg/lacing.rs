//! Lacing on the unrolled rim: right spokes rise to their flange, left spokes hang to theirs.

use super::WIDTH;
use super::lettering::Lettering;
use super::marks::{self, Entry};
use super::place::{Anchor, Spot, px};
use super::sheet::{Drawing, Ink, Sheet, outline};
use super::turn::{self, along};
use crate::figure::{LacedSpoke, Lacing, Mark};
use maud::html;
use wheel::{Head, Side};

const LEFT: f64 = 92.0;
const RIGHT: f64 = WIDTH - 24.0;
const TOP: f64 = 40.0;
/// From a flange to the rim.
const REACH: f64 = 190.0;
const BAND: f64 = 56.0;
const HOLE: f64 = 4.5;
const NOTCH: f64 = 12.0;

/// Where a side's flange and its edge of the rim lie.
fn heights(side: Side) -> (f64, f64) {
    match side {
        Side::Right => (TOP, TOP + REACH),
        Side::Left => (TOP + 2.0 * REACH + BAND, TOP + REACH + BAND),
    }
}

pub(super) fn draw(lacing: &Lacing) -> Drawing {
    let mut sheet = Sheet::new(WIDTH);
    rim(&mut sheet);
    for side in Side::BOTH {
        flange(&mut sheet, side);
    }
    for spoke in &lacing.spokes {
        let is_key = lacing.key == Some(spoke.spoke);
        line(&mut sheet, spoke, is_key);
    }
    for spoke in &lacing.spokes {
        hole(&mut sheet, spoke);
        number(&mut sheet, spoke, lacing.key == Some(spoke.spoke));
    }
    let bottom = heights(Side::Left).0 + 34.0;
    let below = marks::legend(&mut sheet, &entries(lacing), 8.0, WIDTH - 8.0, bottom);
    sheet.finish(&lacing.title, &told(lacing), below + 8.0)
}

fn rim(sheet: &mut Sheet) {
    let (top, bottom) = (heights(Side::Right).1, heights(Side::Left).1);
    sheet.draw(&html! {
        rect class="rim" x=(px(LEFT)) y=(px(top)) width=(px(RIGHT - LEFT)) height=(px(bottom - top)) {}
    });
    for y in [top, bottom] {
        sheet.line("edge", Ink::Plain, (LEFT, y), (RIGHT, y));
    }
    let middle = f64::midpoint(top, bottom);
    for (x, inward) in [(LEFT, NOTCH), (RIGHT, -NOTCH)] {
        let corners = [
            (x, middle - NOTCH),
            (x + inward, middle),
            (x, middle + NOTCH),
        ];
        sheet.path("notch", Ink::Plain, &outline(&corners));
    }
    let spot = Spot::new(8.0, Lettering::PLAIN.centred(middle), Anchor::Start);
    sheet.write(Lettering::PLAIN, Ink::Plain, spot, "valve hole");
}

fn flange(sheet: &mut Sheet, side: Side) {
    let (y, _) = heights(side);
    sheet.line("axis", Ink::Of(side), (LEFT, y), (RIGHT, y));
    let words = turn::capital(side.word());
    let spot = Spot::new(8.0, Lettering::BOLD.centred(y), Anchor::Start);
    sheet.write(Lettering::BOLD, Ink::Of(side), spot, &words);
    let spot = Spot::new(8.0, Lettering::SMALL.centred(y + 19.0), Anchor::Start);
    sheet.write(Lettering::SMALL, Ink::Of(side), spot, "flange");
}

/// The line's kind in the stylesheet: whole outside the flange, broken inside it.
const fn class(head: Head, is_key: bool) -> &'static str {
    match (head, is_key) {
        (Head::Out, true) => "key second-face",
        (Head::Out, false) => "second-face",
        (Head::In | Head::Straight, true) => "key lateral",
        (Head::In | Head::Straight, false) => "lateral",
    }
}

/// A spoke; one that runs on past the valve hole is cut there and goes on at the other end.
fn line(sheet: &mut Sheet, spoke: &LacedSpoke, is_key: bool) {
    let (flange, edge) = heights(spoke.side);
    let seat = spoke.seat_deg.rem_euclid(360.0);
    let turn = (spoke.hole_deg.rem_euclid(360.0) - seat + 180.0).rem_euclid(360.0) - 180.0;
    let (class, ink) = (class(spoke.head, is_key), Ink::Of(spoke.side));
    let place = |share: f64, carried: f64| {
        let x = along(seat + share * turn + carried, LEFT, RIGHT);
        (x, edge + share * (flange - edge))
    };
    let end = seat + turn;
    if (0.0..=360.0).contains(&end) {
        sheet.line(class, ink, place(0.0, 0.0), place(1.0, 0.0));
        return;
    }
    let (cut, carried) = if end < 0.0 {
        (-seat / turn, 360.0)
    } else {
        ((360.0 - seat) / turn, -360.0)
    };
    sheet.line(class, ink, place(0.0, 0.0), place(cut, 0.0));
    sheet.line(class, ink, place(cut, carried), place(1.0, carried));
}

fn hole(sheet: &mut Sheet, spoke: &LacedSpoke) {
    let x = along(spoke.hole_deg.rem_euclid(360.0), LEFT, RIGHT);
    sample(
        sheet,
        spoke.head,
        Ink::Of(spoke.side),
        x,
        heights(spoke.side).0,
    );
}

/// The mark of a hole: closed for a head that is hidden behind the flange's inner face, open for one outside.
fn sample(sheet: &mut Sheet, head: Head, ink: Ink, x: f64, y: f64) {
    match head {
        Head::In => marks::mark(sheet, Mark::Taken, ink, (x, y), HOLE),
        Head::Out => marks::mark(sheet, Mark::CannotTell, ink, (x, y), HOLE),
        Head::Straight => marks::mark(sheet, Mark::Over, ink, (x, y), HOLE - 1.0),
    }
}

fn number(sheet: &mut Sheet, spoke: &LacedSpoke, is_key: bool) {
    let (_, edge) = heights(spoke.side);
    let middle = edge + spoke.side.sign() * BAND / 4.0;
    let lettering = if is_key {
        Lettering::BOLD
    } else {
        Lettering::SMALL
    };
    let x = along(spoke.seat_deg.rem_euclid(360.0), LEFT, RIGHT);
    let spot = Spot::new(x, lettering.centred(middle), Anchor::Middle);
    sheet.write_if_free(
        lettering,
        Ink::Of(spoke.side),
        spot,
        &spoke.spoke.number().to_string(),
    );
}

fn entries(lacing: &Lacing) -> Vec<Entry> {
    let heads = [
        (Head::In, "head in: the spoke runs outside its flange"),
        (Head::Out, "head out: it runs inside"),
        (Head::Straight, "straight pull"),
    ];
    let met = heads
        .into_iter()
        .filter(|(head, _)| lacing.spokes.iter().any(|spoke| spoke.head == *head));
    let mut entries: Vec<Entry> = met
        .map(|(head, words)| {
            Entry::new(words, move |sheet, x, y| {
                sheet.line(class(head, false), Ink::Plain, (x - 13.0, y), (x + 13.0, y));
                sample(sheet, head, Ink::Plain, x - 13.0, y);
            })
        })
        .collect();
    if let Some(key) = lacing.key {
        entries.push(Entry::new(
            format!("key spoke: begin with spoke {}", key.number()),
            |sheet, x, y| sheet.line("key lateral", Ink::Plain, (x - 13.0, y), (x + 13.0, y)),
        ));
    }
    entries.push(Entry::new(
        "as the wheel rolls, numbers rise to the right",
        |sheet, x, y| {
            sheet.line("axis", Ink::Plain, (x - 13.0, y), (x + 13.0, y));
            sheet.path(
                "notch",
                Ink::Plain,
                &outline(&[(x + 14.0, y), (x + 5.0, y - 4.0), (x + 5.0, y + 4.0)]),
            );
        },
    ));
    entries
}

fn told(lacing: &Lacing) -> String {
    let on = |side: Side| {
        lacing
            .spokes
            .iter()
            .filter(|spoke| spoke.side == side)
            .count()
    };
    let key = lacing.key.map_or(String::new(), |key| {
        format!(" Begin with spoke {}.", key.number())
    });
    format!(
        "{} spokes on the right and {} on the left, each drawn from its seat in the rim to its hole in the flange.{key} {}",
        on(Side::Right),
        on(Side::Left),
        lacing.caption
    )
}
