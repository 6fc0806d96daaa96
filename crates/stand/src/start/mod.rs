//! The first start: an invented workshop to look round in, or an empty one; and the end of the demo.

use crate::desk::Desk;
use crate::layout::{Frame, Part, form, page};
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::State;
use axum::response::Redirect;
use axum::routing::post;
use maud::{Markup, html};

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/demo", post(fill))
        .route("/demo/remove", post(remove))
}

/// What an empty workshop shows in place of a shelf.
pub(crate) fn first(frame: &Frame) -> Markup {
    let body = html! {
        h1 { "Nothing is written down here yet" }
        p class="says" { "Begin with your own wheel, or look round in an invented workshop first." }
        div class="row" {
            a class="button main" href="/wheels/new" { "Take in a wheel" }
            (form(frame, "/demo", &html! { button { "Fill in the demo workshop" } }))
        }
        p class="quiet" {
            "The demo is a harbour-town workshop with invented makers, people and numbers. It is marked on every "
            "page, and one button takes it away again. Your own entries are never touched by that."
        }
        p { "Measured on the day, in the state that is written beside it: evidence, not permission to ride. Makers’ "
            "instructions and limits, local rules and a qualified mechanic come first." }
    };
    page(frame, Part::Shelf, "First start", &body)
}

async fn fill(State(desk): State<Desk>, frame: Frame, _: Posted) -> Result<Redirect, Refusal> {
    let pen = frame.pen_for("")?;
    let filled = desk.shop.fill_demo(&pen).await;
    filled.map_err(|error| desk.refuse(&error))?;
    Ok(Redirect::to("/"))
}

async fn remove(State(desk): State<Desk>, frame: Frame, _: Posted) -> Result<Redirect, Refusal> {
    let pen = frame.pen_for("")?;
    let removed = desk.shop.remove_demo(&pen).await;
    removed.map_err(|error| desk.refuse(&error))?;
    Ok(Redirect::to("/"))
}
