//! Words of a side: whose limit it is, what a mark means, means in the margin. None overlap.

use super::spokes::{ARROW, MISSING, places};
use super::{Beyond, LEFT, RIGHT, Strip, downward, told};
use crate::figure::{Level, StripSpoke, UnrolledRim};
use crate::svg::WIDTH;
use crate::svg::lettering::Lettering;
use crate::svg::margin::{self, Note};
use crate::svg::scale::count;
use crate::svg::sheet::{Anchor, Area, Ink, Sheet, Spot};
use crate::words::fit;
use wheel::Side;

/// Room between the strip and the words in the right margin.
const MARGIN: f64 = 10.0;
/// Between a point and its word.
const APART: f64 = 5.0;
/// How many lines further out a word may be moved to stand free.
const STEPS: usize = 12;

/// Writes all words of a side; `shy` are the boxes that words leave if they can.
pub(super) fn write(sheet: &mut Sheet, strip: &Strip, side: Side, shy: &[Area]) {
    let homeless = limit_words(sheet, strip, side, shy);
    for spoke in strip.spokes(side) {
        mark_word(sheet, strip, spoke, shy);
    }
    let means = strip.means(side).map(|mean| {
        note(
            strip.scale(side).place(mean.value),
            Ink::Of(side),
            &mean.words,
        )
    });
    let room = Area {
        left: RIGHT + MARGIN,
        right: WIDTH,
        ..plot(strip, side)
    };
    margin::write(sheet, means.chain(homeless).collect(), room);
}

/// Height that the words in the right margin of a side need at most.
pub(super) fn margin_height(rim: &UnrolledRim, side: Side) -> f64 {
    let means = rim
        .means
        .iter()
        .filter(|mean| mean.side == side)
        .map(|mean| &mean.words);
    let limits = rim
        .limits
        .iter()
        .filter(|limit| limit.reach.holds(side))
        .map(|limit| &limit.words);
    means
        .chain(limits)
        .map(|words| note(0.0, Ink::Plain, words).height())
        .sum()
}

fn note(y: f64, ink: Ink, words: &str) -> Note {
    Note::new((RIGHT, y), ink, words, WIDTH - 8.0 - RIGHT - MARGIN)
}

/// The box between rim and tip.
fn plot(strip: &Strip, side: Side) -> Area {
    let (tip, base) = (strip.tip(side), strip.base(side));
    Area {
        left: LEFT - 4.0,
        top: tip.min(base),
        right: RIGHT + 8.0,
        bottom: tip.max(base),
    }
}

/// Writes whose limit it is into its region; yields those that found no room, for the margin.
fn limit_words(sheet: &mut Sheet, strip: &Strip, side: Side, shy: &[Area]) -> Vec<Note> {
    let lettering = Lettering::PLAIN;
    let bounds = plot(strip, side);
    let mut homeless = Vec::new();
    for limit in strip.limits(side) {
        let y = strip.scale(side).place(limit.value);
        let way = match limit.beyond {
            Beyond::Above => downward(side),
            Beyond::Below => -downward(side),
        };
        let words = fit(&limit.words);
        let most_left = LEFT + lettering.width(&words);
        let spots = [7.0, 13.0, 26.0].into_iter().flat_map(|distance| {
            let y = lettering.centred(y + way * (distance + lettering.rise() / 2.0));
            let ends = (0..60).map(|step| RIGHT - 8.0 - 16.0 * count(step));
            ends.take_while(move |end| most_left < *end)
                .map(move |end| Spot::new(end, y, Anchor::End))
        });
        match sheet.find(lettering, &words, &bounds, shy, spots) {
            Some(spot) => sheet.write(lettering, Ink::Plain, spot, &words),
            None => homeless.push(note(y, Ink::Plain, &words)),
        }
    }
    homeless
}

/// The short word beside a mark, where it is free. A word that finds no room is left to the shape,
/// the legend and the text alternative.
fn mark_word(sheet: &mut Sheet, strip: &Strip, spoke: &StripSpoke, shy: &[Area]) {
    let lettering = Lettering::BOLD;
    let words = told::word(spoke);
    if words.is_empty() {
        return;
    }
    let out = downward(spoke.side);
    let [x, _] = places(strip, spoke);
    let (at, outer) = reach(strip, spoke);
    let outward = |step: usize| {
        let distance = APART + lettering.leading() * count(step) + lettering.rise() / 2.0;
        let y = lettering.centred(outer + out * distance);
        [
            (x, Anchor::Middle),
            (x - 7.0, Anchor::Start),
            (x + 7.0, Anchor::End),
        ]
        .map(|(x, anchor)| Spot::new(x, y, anchor))
    };
    let level = lettering.centred(at);
    let beside = [(x + 13.0, Anchor::Start), (x - 13.0, Anchor::End)];
    let beside = [0.0, 9.0]
        .into_iter()
        .flat_map(|aside| beside.map(|(x, anchor)| Spot::new(x, level + out * aside, anchor)));
    let spots: Vec<Spot> = outward(0)
        .into_iter()
        .chain(beside)
        .chain((1..STEPS).flat_map(outward))
        .collect();
    let bounds = plot(strip, spoke.side);
    let free = |shy: &[Area]| sheet.find(lettering, &words, &bounds, shy, spots.iter().copied());
    let Some(spot) = free(shy).or_else(|| free(&[])) else {
        return;
    };
    let area = spot.area(lettering, &words);
    let edge = if out < 0.0 { area.bottom } else { area.top };
    if lettering.leading() < (edge - outer) * out {
        sheet.line("leader", Ink::Of(spoke.side), (x, outer), (x, edge));
    }
    sheet.write(lettering, Ink::Of(spoke.side), spot, &words);
}

/// The height of a spoke's first mark, and the outermost height that mark, bar and arrow reach.
fn reach(strip: &Strip, spoke: &StripSpoke) -> (f64, f64) {
    let (scale, out) = (strip.scale(spoke.side), downward(spoke.side));
    let (at, outer) = match spoke.level {
        Level::NotRead => {
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
