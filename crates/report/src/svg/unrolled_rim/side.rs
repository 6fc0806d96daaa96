//! One side of the strip: its scale, what lies beyond its limits, its means.

use super::beside::{self, Shy};
use super::{Beyond, Strip, TICKS, downward, spokes};
use super::{LEFT, RIGHT};
use crate::figure::Series;
use crate::svg::lettering::Lettering;
use crate::svg::place::{Anchor, Area, Spot};
use crate::svg::sheet::{Ink, Sheet, stroke};
use wheel::Side;

pub(super) fn draw(sheet: &mut Sheet, strip: &Strip, side: Side) {
    axis(sheet, strip, side);
    let mut shy = regions(sheet, strip, side);
    for mean in strip.means(side) {
        let y = strip.scale(side).place(mean.value);
        let class = match mean.series {
            Series::First => "mean",
            Series::Second => "second-mean",
        };
        sheet.line(class, Ink::Of(side), (LEFT, y), (RIGHT, y));
    }
    shy.extend(
        strip
            .spokes(side)
            .flat_map(|spoke| spokes::lines(sheet, strip, spoke)),
    );
    for spoke in strip.spokes(side) {
        spokes::points(sheet, strip, spoke);
    }
    beside::write(sheet, strip, side, &shy);
}

fn axis(sheet: &mut Sheet, strip: &Strip, side: Side) {
    let (scale, tip, base) = (strip.scale(side), strip.tip(side), strip.base(side));
    let lettering = Lettering::SMALL;
    for (tick, words) in scale.ticks(TICKS) {
        let y = scale.place(tick);
        if 1.0 < (y - base).abs() {
            sheet.line("grid", Ink::Soft, (LEFT, y), (RIGHT, y));
        }
        let spot = Spot::new(LEFT - 7.0, lettering.centred(y), Anchor::End);
        sheet.write_if_free(lettering, Ink::Soft, spot, &words);
    }
    sheet.line("axis", Ink::Soft, (LEFT, base), (LEFT, tip));
    if 0.0 < scale.ends().0 {
        zigzag(sheet, LEFT, base + downward(side) * 9.0);
    }
    let head = format!(
        "{} side: {} in {}",
        side.word(),
        strip.rim.quantity,
        strip.rim.unit
    );
    let y = Lettering::BOLD.centred(tip + downward(side) * 17.0);
    let spot = Spot::new(8.0, y, Anchor::Start);
    sheet.write(Lettering::BOLD, Ink::Of(side), spot, &head);
}

/// The sign of a cut axis.
pub(super) fn zigzag(sheet: &mut Sheet, x: f64, y: f64) {
    let points = [
        (x - 7.0, y + 4.0),
        (x - 2.0, y - 4.0),
        (x + 2.0, y + 4.0),
        (x + 7.0, y - 4.0),
    ];
    sheet.path("arrow", Ink::Plain, &stroke(&points));
}

/// Hatches what lies beyond each limit; yields the lines that words had better leave.
fn regions(sheet: &mut Sheet, strip: &Strip, side: Side) -> Vec<Shy> {
    let mut lines = Vec::new();
    for limit in strip.limits(side) {
        let y = strip.scale(side).place(limit.value);
        let end = match limit.beyond {
            Beyond::Above => strip.tip(side),
            Beyond::Below => strip.base(side),
        };
        sheet.hatch(Area {
            left: LEFT,
            top: y.min(end),
            right: RIGHT,
            bottom: y.max(end),
        });
        sheet.line("limit", Ink::Plain, (LEFT, y), (RIGHT, y));
        lines.push(Shy {
            area: Area {
                left: LEFT,
                top: y - 1.0,
                right: RIGHT,
                bottom: y + 1.0,
            },
            of: None,
        });
    }
    lines
}
