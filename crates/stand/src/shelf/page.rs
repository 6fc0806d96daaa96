//! The shelf as a page.

use super::out_of_view;
use crate::bench::one_tap;
use crate::layout::{Frame, Part, form, page};
use crate::time;
use maud::{Markup, html};
use workshop::view::{GaugeRecordView, ShelfView, ShelfWheelView};

pub(super) fn shelf(
    frame: &Frame,
    shelf: &ShelfView,
    has_more: bool,
    unchecked: &[(GaugeRecordView, String)],
) -> Markup {
    let body = html! {
        div class="row" {
            h1 { "Shelf" }
            a class="button" href="/wheels/new" { "New wheel" }
        }
        p class="quiet" { "The wheel that was here last stands first. Scan its label, or start a lap on it." }
        @for (gauge, fresh) in unchecked { (rod_check(frame, gauge, fresh)) }
        (wheels(frame, &shelf.wheels))
        @if has_more { p { "More wheels are in the records: find them by label, name, owner or a part’s maker." } }
        p class="quiet" { a href=(out_of_view::ADDRESS) { "What was taken out of view" } }
    };
    page(frame, Part::Shelf, "Shelf", &body)
}

/// A gauge that nobody has held against its rod today, with an id for the entry that says it was good.
fn rod_check(frame: &Frame, gauge: &GaugeRecordView, fresh: &str) -> Markup {
    let address = format!("/gauges/{}", gauge.entry.id);
    html! {
        section class="note" aria-label={ "Rod check of " (gauge.label) } {
            p { "Gauge " strong { (gauge.label) } " has not been on its rod today." }
            div class="row" {
                (one_tap(frame, gauge, fresh, "/"))
                a class="button" href=(address) {
                    @if gauge.rod_checks.is_empty() { "Its first check" } @else { "It shows something else" }
                }
            }
        }
    }
}

pub(super) fn found(frame: &Frame, wanted: &str, found: &ShelfView) -> Markup {
    let body = html! {
        h1 { "Wheels found for “" (wanted) "”" }
        @if found.wheels.is_empty() {
            p class="says" { "None. A label has six characters; names, owners and makers are found by how their words begin." }
            p { a class="button" href="/wheels/new" { "New wheel" } " " a class="button" href="/" { "To the shelf" } }
        }
        (wheels(frame, &found.wheels))
    };
    page(frame, Part::Wheels, "Wheels found", &body)
}

fn wheels(frame: &Frame, wheels: &[ShelfWheelView]) -> Markup {
    html! {
        ul class="shelf" {
            @for wheel in wheels {
                li {
                    span class="label" { (wheel.label) }
                    div {
                        span class="name" { a href={ "/wheels/" (wheel.label) } { (wheel.name) } }
                        p class="quiet" {
                            @if let Some(owner) = &wheel.owner { (owner) " · " }
                            @match wheel.visits.first() {
                                Some(visit) => {
                                    "here " a href={ "/visits/" (visit.id) } { (time::day(&visit.taken)) }
                                    @if let Some(asked) = &visit.asked { ": " (asked) }
                                }
                                None => { "not measured yet" }
                            }
                        }
                    }
                    (start_laps(frame, &wheel.label, None))
                }
            }
        }
    }
}

/// One tap from a wheel to its first reading; from a `visit`, it says so.
pub(crate) fn start_laps(frame: &Frame, label: &str, visit: Option<&str>) -> Markup {
    html! {
        div class="row" {
            @for (state, words) in [("bare", "Lap, bare"), ("tyred", "Lap, tyre on")] {
                (form(frame, &format!("/wheels/{label}/laps"), &html! {
                    input type="hidden" name="state" value=(state);
                    @if let Some(visit) = visit { input type="hidden" name="visit" value=(visit); }
                    button class=(if state == "bare" { "main" } else { "" }) { (words) }
                }))
            }
        }
    }
}
