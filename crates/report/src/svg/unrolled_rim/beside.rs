//! Words of a side: whose limit it is, and means in the margin. None overlap.

use super::{Beyond, LEFT, RIGHT, Strip, downward, mark_word};
use crate::figure::UnrolledRim;
use crate::svg::WIDTH;
use crate::svg::lettering::Lettering;
use crate::svg::margin::{self, Note};
use crate::svg::place::{Anchor, Area, Spot};
use crate::svg::scale::count;
use crate::svg::sheet::{Ink, Sheet};
use crate::words::fit;
use wheel::{Side, SpokeIndex};

/// Room between the strip and the words in the right margin.
const MARGIN: f64 = 10.0;

/// A box that words leave if they can, and whose it is.
pub(super) struct Shy {
    pub(super) area: Area,
    /// The spoke it belongs to; its own word may stand there.
    pub(super) of: Option<SpokeIndex>,
}

/// Writes all words of a side; `shy` are the boxes that words leave if they can.
pub(super) fn write(sheet: &mut Sheet, strip: &Strip, side: Side, shy: &[Shy]) {
    let homeless = limit_words(sheet, strip, side, shy);
    mark_word::write(sheet, strip, side, shy);
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
pub(super) fn plot(strip: &Strip, side: Side) -> Area {
    let (tip, base) = (strip.tip(side), strip.base(side));
    Area {
        left: LEFT - 4.0,
        top: tip.min(base),
        right: RIGHT + 8.0,
        bottom: tip.max(base),
    }
}

/// Writes whose limit it is into its region; yields those that found no room, for the margin.
fn limit_words(sheet: &mut Sheet, strip: &Strip, side: Side, shy: &[Shy]) -> Vec<Note> {
    let lettering = Lettering::PLAIN;
    let bounds = plot(strip, side);
    let shy: Vec<Area> = shy.iter().map(|shy| shy.area).collect();
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
        match sheet.find(lettering, &words, &bounds, &shy, spots) {
            Some(spot) => {
                sheet.fill("plate", spot.area(lettering, &words)); // words on bare hatching are hard to read
                sheet.write(lettering, Ink::Plain, spot, &words);
            }
            None => homeless.push(note(y, Ink::Plain, &words)),
        }
    }
    homeless
}
