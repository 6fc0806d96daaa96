//! One side of the strip: scale, limits, means, spokes, and words beside them.

use super::super::margin;
use super::*;
use crate::words::fit;

/// Room between the strip and the words in the right margin.
const MARGIN: f64 = 10.0;

pub(super) fn draw(sheet: &mut Sheet, strip: &Strip, side: Side) {
    axis(sheet, strip, side);
    regions(sheet, strip, side);
    let scale = strip.scale(side);
    for mean in strip.rim.means.iter().filter(|mean| mean.side == side) {
        let y = scale.place(mean.value);
        sheet.line("mean", Ink::Of(side), (LEFT, y), (RIGHT, y));
    }
    let shy: Vec<Area> = strip
        .spokes(side)
        .flat_map(|spoke| spoke_lines(sheet, strip, spoke))
        .collect();
    for spoke in strip.spokes(side) {
        spoke_points(sheet, strip, spoke);
    }
    let homeless = limit_words(sheet, strip, side, &shy);
    for spoke in strip.spokes(side) {
        mark_word(sheet, strip, spoke, &shy);
    }
    margin_words(sheet, strip, side, homeless);
}

fn axis(sheet: &mut Sheet, strip: &Strip, side: Side) {
    let (scale, tip, base) = (strip.scale(side), strip.tip(side), strip.base(side));
    for (tick, words) in scale.ticks(TICKS) {
        let y = scale.place(tick);
        sheet.line("grid", Ink::Soft, (LEFT, y), (RIGHT, y));
        let spot = Spot::new(
            LEFT - 7.0,
            y + Lettering::SMALL.rise() / 2.0 - 1.0,
            Anchor::End,
        );
        if sheet.is_free(&spot.area(Lettering::SMALL, &words)) {
            sheet.write(Lettering::SMALL, Ink::Soft, spot, &words);
        }
    }
    sheet.line("axis", Ink::Soft, (LEFT, base), (LEFT, tip));
    if scale.ends().0 != 0.0 {
        zigzag(sheet, LEFT, base + downward(side) * 9.0);
    }
    let head = format!(
        "{} side: {} in {}",
        side.word(),
        strip.rim.quantity,
        strip.rim.unit
    );
    let y = match side {
        Side::Right => tip - 11.0,
        Side::Left => tip + 11.0 + Lettering::BOLD.rise(),
    };
    sheet.write(
        Lettering::BOLD,
        Ink::Of(side),
        Spot::new(8.0, y, Anchor::Start),
        &head,
    );
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

/// Hatches what lies beyond each limit of this side.
fn regions(sheet: &mut Sheet, strip: &Strip, side: Side) {
    for limit in strip
        .rim
        .limits
        .iter()
        .filter(|limit| limit.reach.holds(side))
    {
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
    }
}

/// Half the gap between a spoke's two points.
fn half_gap(strip: &Strip, spoke: &StripSpoke) -> f64 {
    if spoke.second.is_some() {
        (strip.pitch * 0.22).min(6.0)
    } else {
        0.0
    }
}

/// Stems, bars and the line that joins two points; yields the boxes that words had better leave.
fn spoke_lines(sheet: &mut Sheet, strip: &Strip, spoke: &StripSpoke) -> Vec<Area> {
    let (scale, base) = (strip.scale(spoke.side), strip.base(spoke.side));
    let (x, gap, ink) = (
        along(spoke.angle_deg),
        half_gap(strip, spoke),
        Ink::Of(spoke.side),
    );
    let mut shy = Vec::new();
    let mut ends = Vec::new();
    for (level, x) in [(Some(spoke.level), x - gap), (spoke.second, x + gap)] {
        let Some(level) = level else { continue };
        let Some(value) = level.at() else { continue };
        let y = scale.place(value);
        ends.push((x, y));
        if ends.len() == 1 {
            sheet.line("stem", ink, (x, base), (x, y));
            shy.push(Area {
                left: x - 2.0,
                top: base.min(y),
                right: x + 2.0,
                bottom: base.max(y),
            });
        }
        if let Level::Read(Interval { low, high, .. }) = level {
            let bar = (scale.place(low), scale.place(high));
            marks::bar(sheet, ink, x, bar, (strip.pitch * 0.4).clamp(4.0, 9.0));
            shy.push(Area {
                left: x - 5.0,
                top: bar.0.min(bar.1),
                right: x + 5.0,
                bottom: bar.0.max(bar.1),
            });
        }
    }
    if let [first, second] = ends[..] {
        sheet.line("join", ink, first, second);
    }
    shy
}

fn spoke_points(sheet: &mut Sheet, strip: &Strip, spoke: &StripSpoke) {
    let (scale, base) = (strip.scale(spoke.side), strip.base(spoke.side));
    let (x, gap, ink) = (
        along(spoke.angle_deg),
        half_gap(strip, spoke),
        Ink::Of(spoke.side),
    );
    let out = downward(spoke.side);
    let radius = strip.radius();
    let levels = [(Some(spoke.level), x - gap), (spoke.second, x + gap)];
    for (order, (level, x)) in levels.into_iter().enumerate() {
        let Some(level) = level else { continue };
        let Some(value) = level.at() else {
            cross(sheet, ink, (x, base + out * 14.0));
            sheet.take(Area::about(x, base + out * 14.0, 7.0));
            continue;
        };
        let y = scale.place(value);
        match level {
            Level::MoreThan(_) => arrow(sheet, ink, (x, y), (x, y + out * 24.0)),
            Level::LessThan(_) => arrow(sheet, ink, (x, y), (x, y - out * 24.0)),
            Level::NotRead | Level::Read(_) => {}
        }
        if order == 0 {
            marks::mark(sheet, spoke.mark, ink, (x, y), radius);
        } else {
            marks::triangle(
                sheet,
                "open",
                ink,
                (x, y),
                radius * 0.9,
                spoke.side == Side::Right,
            );
        }
        sheet.take(Area::about(x, y, radius + 3.0));
    }
}

/// The sign of a spoke that nobody read.
pub(super) fn cross(sheet: &mut Sheet, ink: Ink, (x, y): (f64, f64)) {
    const HALF: f64 = 5.0;
    sheet.path(
        "arrow",
        ink,
        &stroke(&[(x - HALF, y - HALF), (x + HALF, y + HALF)]),
    );
    sheet.path(
        "arrow",
        ink,
        &stroke(&[(x - HALF, y + HALF), (x + HALF, y - HALF)]),
    );
}

/// An arrow along one vertical.
pub(super) fn arrow(sheet: &mut Sheet, ink: Ink, (x, from): (f64, f64), (_, to): (f64, f64)) {
    let back = 6.0 * (from - to).signum();
    sheet.path("arrow", ink, &stroke(&[(x, from), (x, to)]));
    sheet.path(
        "arrow",
        ink,
        &stroke(&[(x - 5.0, to + back), (x, to), (x + 5.0, to + back)]),
    );
}

/// Writes whose limit it is into its region; yields those that found no room.
fn limit_words<'a>(
    sheet: &mut Sheet,
    strip: &Strip<'a>,
    side: Side,
    shy: &[Area],
) -> Vec<(f64, &'a str)> {
    let lettering = Lettering::PLAIN;
    let bounds = plot(strip, side);
    let mut homeless = Vec::new();
    for limit in strip
        .rim
        .limits
        .iter()
        .filter(|limit| limit.reach.holds(side))
    {
        let y = strip.scale(side).place(limit.value);
        let way = match limit.beyond {
            Beyond::Above => downward(side),
            Beyond::Below => -downward(side),
        };
        let words = fit(&limit.words);
        let baseline = |distance: f64| {
            let middle = y + way * (distance + lettering.rise() / 2.0);
            middle + lettering.rise() / 2.0 - 1.0
        };
        let width = lettering.width(&words);
        let spots = [7.0, 12.0, 26.0].into_iter().flat_map(|distance| {
            let steps = (0..60).map(|step| RIGHT - 8.0 - 16.0 * count(step));
            steps
                .take_while(move |end| LEFT + width < *end)
                .map(move |end| Spot::new(end, baseline(distance), Anchor::End))
        });
        match sheet.find(lettering, &words, &bounds, shy, spots) {
            Some(spot) => sheet.write(lettering, Ink::Plain, spot, &words),
            None => homeless.push((y, limit.words.as_str())),
        }
    }
    homeless
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

/// The short word beside a mark, where it is free; the shape and the text alternative say it anyway.
fn mark_word(sheet: &mut Sheet, strip: &Strip, spoke: &StripSpoke, shy: &[Area]) {
    let lettering = Lettering::BOLD;
    let words = told::word(spoke);
    if words.is_empty() {
        return;
    }
    let (scale, out) = (strip.scale(spoke.side), downward(spoke.side));
    let x = along(spoke.angle_deg) - half_gap(strip, spoke);
    let (at, outer) = match spoke.level {
        Level::NotRead => (
            strip.base(spoke.side) + out * 14.0,
            strip.base(spoke.side) + out * 20.0,
        ),
        Level::Read(interval) => (scale.place(interval.value), scale.place(interval.high)),
        Level::MoreThan(bound) => (scale.place(bound), scale.place(bound) + out * 24.0),
        Level::LessThan(bound) => (scale.place(bound), scale.place(bound)),
    };
    let outer = if out < 0.0 {
        outer.min(at - strip.radius())
    } else {
        outer.max(at + strip.radius())
    };
    let baseline = |distance: f64| {
        let middle = outer + out * (distance + lettering.rise() / 2.0);
        middle + lettering.rise() / 2.0 - 1.0
    };
    let above = |step: usize| {
        let y = baseline(5.0 + lettering.leading() * count(step));
        [
            (x, Anchor::Middle),
            (x - 7.0, Anchor::Start),
            (x + 7.0, Anchor::End),
        ]
        .map(|(x, anchor)| Spot::new(x, y, anchor))
    };
    let level = at + lettering.rise() / 2.0;
    let beside = [
        Spot::new(x + 11.0, level, Anchor::Start),
        Spot::new(x - 11.0, level, Anchor::End),
    ];
    let spots: Vec<Spot> = above(0)
        .into_iter()
        .chain(beside)
        .chain((1..12).flat_map(above))
        .collect();
    let bounds = plot(strip, spoke.side);
    let found = sheet
        .find(lettering, &words, &bounds, shy, spots.iter().copied())
        .or_else(|| sheet.find(lettering, &words, &bounds, &[], spots.iter().copied()));
    let Some(spot) = found else { return };
    let area = spot.area(lettering, &words);
    let edge = if out < 0.0 { area.bottom } else { area.top };
    if lettering.leading() < (edge - outer) * out {
        sheet.line("leader", Ink::Of(spoke.side), (x, outer), (x, edge));
    }
    sheet.write(lettering, Ink::Of(spoke.side), spot, &words);
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
        .sum::<f64>()
        + 10.0
}

fn note(y: f64, ink: Ink, words: &str) -> Note {
    Note::new(y, ink, words, WIDTH - 8.0 - RIGHT - MARGIN)
}

/// Means, and limits that found no room, in the right margin.
fn margin_words(sheet: &mut Sheet, strip: &Strip, side: Side, homeless: Vec<(f64, &str)>) {
    let means = strip.rim.means.iter().filter(|mean| mean.side == side);
    let means = means.map(|mean| {
        note(
            strip.scale(side).place(mean.value),
            Ink::Of(side),
            &mean.words,
        )
    });
    let limits = homeless
        .into_iter()
        .map(|(y, words)| note(y, Ink::Plain, words));
    let room = Area {
        left: RIGHT + MARGIN,
        right: WIDTH - 4.0,
        ..plot(strip, side)
    };
    margin::write(sheet, means.chain(limits).collect(), room, RIGHT);
}
