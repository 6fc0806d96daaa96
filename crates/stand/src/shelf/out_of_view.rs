//! What was taken out of view, each to be brought back.

use crate::desk::{Desk, id};
use crate::layout::{Frame, Part, form, page};
use crate::posted::Posted;
use crate::refusal::Refusal;
use crate::time;
use axum::extract::State;
use axum::response::Redirect;
use maud::{Markup, html};

/// Where the list is.
pub(crate) const ADDRESS: &str = "/out-of-view";
const WHY: &str = "brought back into view";

pub(super) async fn show(State(desk): State<Desk>, frame: Frame) -> Result<Markup, Refusal> {
    let all = desk.shop.withdrawn().await.map_err(|e| desk.refuse(&e))?;
    let body = html! {
        h1 { "Out of view" }
        @if all.is_empty() { p { "Nothing is out of view." } }
        @else { p { "All of it is in the records. What is about a wheel that is out of view comes back with the wheel." } }
        ul { @for one in &all { li {
            strong { (one.kind.replace('_', " ")) } " " (one.says)
            @if let Some(of) = &one.of { " " span class="quiet" { "of " (of) } }
            @if one.entry.is_demo { " " span class="tag" { "demo" } }
            p class="quiet" { "Taken out " (time::minute(&one.entry.at)) " by " (one.entry.by) "." }
            (form(&frame, ADDRESS, &html! {
                input type="hidden" name="withdrawal" value=(one.entry.entry);
                button aria-label={ "Bring back: " (one.says) } { "Bring back" }
            }))
        } } }
    };
    Ok(page(&frame, Part::Shelf, "Out of view", &body))
}

pub(super) async fn bring_back(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let withdrawal = id(posted.raw("withdrawal"))?;
    let pen = frame.pen_for("")?;
    let done = desk.shop.bring_back(&pen, withdrawal, WHY).await;
    desk.back(done, ADDRESS)
}
