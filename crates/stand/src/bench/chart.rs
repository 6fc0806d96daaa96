//! Checks of a gauge against its rod, one after the other, with how far off they may be.

use maud::{Markup, html};
use workshop::view::RodCheckView;

const WIDTH: f64 = 1000.0;
const HEIGHT: f64 = 240.0;
const LEFT: f64 = 90.0;
const MIDDLE: f64 = 110.0;
/// Pixels from the middle to the tolerance.
const TOLERANCE: f64 = 55.0;
/// Checks shown; older ones are in the records.
const SHOWN: usize = 30;

/// Each check less what the rod should read, in parts of its tolerance: a disc within, a square beyond.
pub(super) fn draw(checks: &[RodCheckView]) -> Markup {
    let from = checks.len().saturating_sub(SHOWN);
    let shown = &checks[from..];
    let step = (WIDTH - LEFT - 30.0) / (shown.len().max(2) - 1) as f64;
    let bad = shown.iter().filter(|check| !check.is_good).count();
    let told = format!(
        "{} checks, {bad} of them off by more than they may be.",
        shown.len()
    );
    html! {
        svg class="figure" viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label=(told) {
            @for (at, words) in [(-TOLERANCE, "may be above"), (0.0, "rod"), (TOLERANCE, "may be below")] {
                line class=(if at == 0.0 { "axis ink" } else { "limit soft" }) x1=(LEFT) x2=(WIDTH) y1=(MIDDLE + at) y2=(MIDDLE + at) {}
                @if at == 0.0 { text class="plain ink" x="8" y=(MIDDLE + 5.0) { (words) } }
            }
            text class="small soft" x="8" y=(MIDDLE - TOLERANCE + 5.0) { "most" }
            text class="small soft" x="8" y=(MIDDLE + TOLERANCE + 5.0) { "least" }
            @for (place, check) in shown.iter().enumerate() {
                @let off = (check.reading - check.expected) / check.tolerance;
                @let x = LEFT + 15.0 + place as f64 * step;
                @let y = MIDDLE - (off * TOLERANCE).clamp(-95.0, 95.0);
                line class="stem ink" x1=(x) x2=(x) y1=(MIDDLE) y2=(y) {}
                @if check.is_good { circle class="solid ink" cx=(x) cy=(y) r="6" {} }
                @else { rect class="solid ink" x=(x - 7.0) y=(y - 7.0) width="14" height="14" {} }
            }
        }
    }
}
