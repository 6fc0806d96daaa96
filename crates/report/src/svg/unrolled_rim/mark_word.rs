//! The short words beside marks: near the mark, along its stem, or further out with a leader.

use super::beside::{Shy, plot};
use super::spokes::{ARROW, MISSING, places};
use super::{LEFT, RIGHT, Strip, downward, told};
use crate::figure::{Level, Mark, StripSpoke};
use crate::svg::lettering::Lettering;
use crate::svg::place::{Anchor, Area, Spot};
use crate::svg::scale::count;
use crate::svg::sheet::{Ink, Sheet};
use wheel::Side;

/// Between a point and its word.
const APART: f64 = 5.0;
/// How many lines further out a word may be moved to stand free.
const STEPS: usize = 4;
/// Words that need more than this share of the strip stand along their stems.
const CROWDED: f64 = 0.9;
const LETTERING: Lettering = Lettering::BOLD;

/// Writes the words of a side where they stand free. A word that finds no room is left to the
/// shape, the legend and the text alternative.
pub(super) fn write(sheet: &mut Sheet, strip: &Strip, side: Side, shy: &[Shy]) {
    let mut spokes: Vec<&StripSpoke> = strip.spokes(side).collect();
    spokes.retain(|spoke| !told::word(spoke).is_empty());
    spokes.sort_by_key(|spoke| urgency(spoke.mark));
    let needed: f64 = spokes
        .iter()
        .map(|spoke| LETTERING.width(&told::word(spoke)))
        .sum();
    let crowded = CROWDED * (RIGHT - LEFT) < needed;
    for spoke in &spokes {
        let others = || spokes.iter().filter(|other| other.spoke != spoke.spoke);
        let doorsteps = others().map(|other| doorstep(strip, other));
        let foreign = |shy: &&Shy| shy.of.is_some_and(|of| of != spoke.spoke);
        let spokes: Vec<Area> = shy
            .iter()
            .filter(foreign)
            .map(|shy| shy.area)
            .chain(doorsteps)
            .collect();
        let limits = shy
            .iter()
            .filter(|shy| shy.of.is_none())
            .map(|shy| shy.area);
        let all: Vec<Area> = spokes.iter().copied().chain(limits).collect();
        let (near, along, far) = (near(strip, spoke), along(strip, spoke), far(strip, spoke));
        let (near, along) = (
            (near.as_slice(), all.as_slice()),
            (along.as_slice(), spokes.as_slice()),
        );
        let first = if crowded {
            [along, near]
        } else {
            [near, along]
        };
        let then = [
            (far.as_slice(), all.as_slice()),
            (near.0, &[]),
            (far.as_slice(), &[]),
        ];
        word(sheet, strip, spoke, first.into_iter().chain(then));
    }
}

/// The order in which marks may choose a place for their words.
const fn urgency(mark: Mark) -> u8 {
    match mark {
        Mark::Over => 0,
        Mark::TakeAgain => 1,
        Mark::CannotTell => 2,
        Mark::Taken => 3,
    }
}

/// The place just outward of a mark: a word there would be read as this mark's.
fn doorstep(strip: &Strip, spoke: &StripSpoke) -> Area {
    let out = downward(spoke.side);
    let [x, _] = places(strip, spoke);
    let (_, outer) = reach(strip, spoke);
    let end = outer + out * (APART + LETTERING.leading());
    Area {
        left: x - 9.0,
        top: outer.min(end),
        right: x + 9.0,
        bottom: outer.max(end),
    }
}

/// Writes a spoke's word at the first free spot; each choice comes with the boxes it must leave.
fn word<'a>(
    sheet: &mut Sheet,
    strip: &Strip,
    spoke: &StripSpoke,
    choices: impl IntoIterator<Item = (&'a [Spot], &'a [Area])>,
) {
    let words = told::word(spoke);
    let bounds = plot(strip, spoke.side);
    let found = choices.into_iter().find_map(|(spots, shy)| {
        sheet.find(LETTERING, &words, &bounds, shy, spots.iter().copied())
    });
    let Some(spot) = found else { return };
    let (out, ink) = (downward(spoke.side), Ink::Of(spoke.side));
    let [x, _] = places(strip, spoke);
    let (_, outer) = reach(strip, spoke);
    let area = spot.area(LETTERING, &words);
    let edge = if out < 0.0 { area.bottom } else { area.top };
    if LETTERING.leading() < (edge - outer) * out {
        sheet.line("leader", ink, (x, outer), (x, edge));
    }
    sheet.write(LETTERING, ink, spot, &words);
}

/// Outward of the mark, then beside it.
fn near(strip: &Strip, spoke: &StripSpoke) -> Vec<Spot> {
    let out = downward(spoke.side);
    let [x, _] = places(strip, spoke);
    let (at, _) = reach(strip, spoke);
    let sides = [(x + 13.0, Anchor::Start), (x - 13.0, Anchor::End)];
    let beside = [0.0, 9.0, -12.0].into_iter().flat_map(|aside| {
        let y = LETTERING.centred(at + out * aside);
        sides.map(|(x, anchor)| Spot::new(x, y, anchor))
    });
    outward(strip, spoke, 0).into_iter().chain(beside).collect()
}

/// Along the stem, on either side of it, from the mark toward the rim.
fn along(strip: &Strip, spoke: &StripSpoke) -> Vec<Spot> {
    const STEM: f64 = 4.0;
    let [x, _] = places(strip, spoke);
    let (at, _) = reach(strip, spoke);
    let inner = match spoke.level {
        Level::Read(interval) => strip.scale(spoke.side).place(interval.low),
        Level::NotRead | Level::NotYet | Level::MoreThan(_) | Level::LessThan(_) => at,
    };
    let gap = strip.radius() + APART;
    let (y, anchor) = match spoke.side {
        Side::Right => (inner.max(at + gap) + 1.0, Anchor::End),
        Side::Left => (inner.min(at - gap) - 1.0, Anchor::Start),
    };
    [x + STEM + LETTERING.rise(), x - STEM - LETTERING.fall()]
        .map(|x| Spot::upward(x, y, anchor))
        .into()
}

/// Further outward, for a word with a leader.
fn far(strip: &Strip, spoke: &StripSpoke) -> Vec<Spot> {
    (1..STEPS)
        .flat_map(|step| outward(strip, spoke, step))
        .collect()
}

fn outward(strip: &Strip, spoke: &StripSpoke, step: usize) -> [Spot; 3] {
    let [x, _] = places(strip, spoke);
    let (_, outer) = reach(strip, spoke);
    let distance = APART + LETTERING.leading() * count(step) + LETTERING.rise() / 2.0;
    let y = LETTERING.centred(outer + downward(spoke.side) * distance);
    [
        (x, Anchor::Middle),
        (x - 7.0, Anchor::Start),
        (x + 7.0, Anchor::End),
    ]
    .map(|(x, anchor)| Spot::new(x, y, anchor))
}

/// The height of a spoke's first mark, and the outermost height that mark, bar and arrow reach.
fn reach(strip: &Strip, spoke: &StripSpoke) -> (f64, f64) {
    let (scale, out) = (strip.scale(spoke.side), downward(spoke.side));
    let (at, outer) = match spoke.level {
        Level::NotRead | Level::NotYet => {
            let at = strip.base(spoke.side) + out * MISSING;
            (at, at)
        }
        Level::Read(interval) => (scale.place(interval.value), scale.place(interval.high)),
        Level::MoreThan(bound) => (scale.place(bound), scale.place(bound) + out * ARROW),
        Level::LessThan(bound) => (scale.place(bound), scale.place(bound)),
    };
    let edge = at + out * (strip.radius() + 3.0);
    (
        at,
        if out < 0.0 {
            outer.min(edge)
        } else {
            outer.max(edge)
        },
    )
}
