//! The spokes next to the gauge: where the hand is, what comes next, and which way the wheel rolls.

use maud::{Markup, html};
use wheel::Side;

/// A spoke as the drawing shows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Near {
    /// Its number.
    pub number: usize,
    /// Its side.
    pub side: Side,
    /// Whether the valve hole lies between it and the next higher number.
    pub is_before_valve: bool,
}

/// Spokes shown on each side of the one due.
pub(crate) const BESIDE: usize = 3;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 196.0;
const PITCH: f64 = 84.0;
const RIM_TOP: f64 = 102.0;
const RIM_BOTTOM: f64 = 120.0;
const REACH: f64 = 40.0;

/// The spoke due in the middle of its neighbours, in rolling order from left to right as on the
/// unrolled rim: right spokes up, left spokes down. `counted_up` says on which side the next one is.
pub(crate) fn draw(spokes: &[Near], due: usize, counted_up: bool) -> Markup {
    let middle = spokes.iter().position(|near| near.number == due);
    let middle = middle.unwrap_or(spokes.len() / 2);
    let x = |place: usize| WIDTH / 2.0 + (place as f64 - middle as f64) * PITCH;
    let told = spokes
        .get(middle)
        .map(|near| {
            format!(
                "Spoke {} on the {} side among its neighbours.",
                near.number,
                near.side.word()
            )
        })
        .unwrap_or_default();
    html! {
        svg class="near" viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label=(told) {
            rect class="rim" x="-4" y=(RIM_TOP) width=(WIDTH + 8.0) height=(RIM_BOTTOM - RIM_TOP) {}
            @for (place, near) in spokes.iter().enumerate() {
                (spoke(*near, x(place), place == middle))
                @if near.is_before_valve {
                    @let at = x(place) + PITCH / 2.0;
                    path class="valve" d={ "M" (at - 9.0) " " (RIM_TOP) "h18l-5 18h-8z" } {}
                    text class="word" x=(at) y=(RIM_BOTTOM + 26.0) { "valve" }
                }
            }
            path class="arrow" d={ "M" (WIDTH - 60.0) " 14h52m-12 -9l12 9l-12 9" } {}
            text class="word" x=(WIDTH - 132.0) y="21" { "rolls this way" }
            text class="word" x="70" y="21" { (if counted_up { "next spoke →" } else { "← next spoke" }) }
        }
    }
}

fn spoke(near: Near, x: f64, is_due: bool) -> Markup {
    let (from, to, word) = match near.side {
        Side::Right => (RIM_TOP, RIM_TOP - REACH, RIM_TOP - REACH - 8.0),
        Side::Left => (RIM_BOTTOM, RIM_BOTTOM + REACH, RIM_BOTTOM + REACH + 28.0),
    };
    let class = if is_due { "spoke now" } else { "spoke" };
    html! {
        g class=(near.side.word()) {
            line class=(class) x1=(x) y1=(from) x2=(x) y2=(to) {}
            @if is_due { rect class="now-ring" x=(x - 26.0) y=(from.min(to) - 36.0) width="52" height=(REACH + 42.0) rx="8" {} }
            text x=(x) y=(word) { (near.number) }
        }
    }
}
