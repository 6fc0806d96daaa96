//! Spokes on the strip: stem, 95 % bar, mark, and what stands for a missing one.

use super::beside::Shy;
use super::{Strip, along, downward};
use crate::figure::{Interval, Level, StripSpoke};
use crate::svg::marks;
use crate::svg::place::Area;
use crate::svg::sheet::{Ink, Sheet, stroke};
use wheel::Side;

/// Length of the arrow that says “beyond”.
pub(super) const ARROW: f64 = 24.0;
/// How far from the rim the sign of a missing reading stands.
pub(super) const MISSING: f64 = 14.0;

/// Where a spoke's first and second point lie along the strip.
pub(super) fn places(strip: &Strip, spoke: &StripSpoke) -> [f64; 2] {
    let gap = if spoke.second.is_some() {
        (strip.pitch * 0.22).min(6.0)
    } else {
        0.0
    };
    let x = along(spoke.angle_deg);
    [x - gap, x + gap]
}

/// Stems, bars and the line that joins two points; yields the boxes that words had better leave.
pub(super) fn lines(sheet: &mut Sheet, strip: &Strip, spoke: &StripSpoke) -> Vec<Shy> {
    let scale = strip.scale(spoke.side);
    let (ink, foot) = (Ink::Of(spoke.side), scale.place(0.0));
    let mut shy = Vec::new();
    let mut ends = Vec::new();
    for (level, x) in [Some(spoke.level), spoke.second]
        .into_iter()
        .zip(places(strip, spoke))
    {
        let Some((level, value)) = level.and_then(|level| Some((level, level.at()?))) else {
            continue;
        };
        let y = scale.place(value);
        ends.push((x, y));
        if ends.len() == 1 {
            sheet.line("stem", ink, (x, foot), (x, y));
            shy.push(upright(x, 2.0, foot, y));
        }
        if let Level::Read(Interval { low, high, .. }) = level {
            let bar = (scale.place(low), scale.place(high));
            marks::bar(sheet, ink, x, bar, (strip.pitch * 0.4).clamp(4.0, 9.0));
            shy.push(upright(x, 5.0, bar.0, bar.1));
        }
    }
    if let [first, second] = ends[..] {
        sheet.line("join", ink, first, second);
    }
    let of = Some(spoke.spoke);
    shy.into_iter().map(|area| Shy { area, of }).collect()
}

/// A narrow box between two heights, in either order.
fn upright(x: f64, half: f64, from: f64, to: f64) -> Area {
    Area {
        left: x - half,
        top: from.min(to),
        right: x + half,
        bottom: from.max(to),
    }
}

/// Marks, arrows and crosses, and the room they take.
pub(super) fn points(sheet: &mut Sheet, strip: &Strip, spoke: &StripSpoke) {
    let (scale, base) = (strip.scale(spoke.side), strip.base(spoke.side));
    let (ink, out, radius) = (Ink::Of(spoke.side), downward(spoke.side), strip.radius());
    let levels = [Some(spoke.level), spoke.second]
        .into_iter()
        .zip(places(strip, spoke));
    for (order, (level, x)) in levels.enumerate() {
        let Some(level) = level else { continue };
        let Some(value) = level.at() else {
            if level == Level::NotYet {
                continue;
            }
            let y = base + out * MISSING;
            cross(sheet, ink, (x, y));
            sheet.take(Area::about(x, y, 7.0));
            continue;
        };
        let y = scale.place(value);
        match level {
            Level::MoreThan(_) => arrow(sheet, ink, (x, y), out * ARROW),
            Level::LessThan(_) => arrow(sheet, ink, (x, y), -out * ARROW),
            Level::NotRead | Level::NotYet | Level::Read(_) => {}
        }
        if order == 0 {
            marks::mark(sheet, spoke.mark, ink, (x, y), radius);
        } else {
            let hangs = spoke.side == Side::Right;
            marks::triangle(sheet, "open", ink, (x, y), radius * 0.9, hangs);
        }
        sheet.take(Area::about(x, y, radius + 2.5));
    }
}

/// The sign of a spoke that nobody read.
pub(super) fn cross(sheet: &mut Sheet, ink: Ink, (x, y): (f64, f64)) {
    const HALF: f64 = 5.0;
    for way in [HALF, -HALF] {
        sheet.path(
            "arrow",
            ink,
            &stroke(&[(x - HALF, y - way), (x + HALF, y + way)]),
        );
    }
}

/// An upright arrow from a point, `length` long; negative upward.
pub(super) fn arrow(sheet: &mut Sheet, ink: Ink, (x, y): (f64, f64), length: f64) {
    let (tip, back) = (y + length, -6.0 * length.signum());
    sheet.path("arrow", ink, &stroke(&[(x, y), (x, tip)]));
    sheet.path(
        "arrow",
        ink,
        &stroke(&[(x - 5.0, tip + back), (x, tip), (x + 5.0, tip + back)]),
    );
}
