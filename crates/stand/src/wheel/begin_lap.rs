//! A lap begun with one tap: what it takes, in which state, on which face; nothing else is asked then.
//!
//! From the page of a visit that is not of today, or in which nipples were turned since, it is asked into which
//! visit the lap goes: what is read now is not slipped among what was read then, nor away from the page somebody
//! looks at.

use super::routes::called;
use crate::desk::Desk;
use crate::layout::{Frame, Part, page, token};
use crate::posted::Posted;
use crate::refusal::Refusal;
use crate::time;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use workshop::records::entry::{Face, State as Dress, Takes};
use workshop::records::{LapTaken, LapsGo};
use workshop::view::VisitView;

/// What a form says of the lap, to be said again when a question was answered.
const KEPT: [&str; 4] = ["takes", "state", "face", "visit"];

pub(super) async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Response, Refusal> {
    let taken = taken(&posted)?;
    let pen = frame.pen(&posted)?;
    let wheel = called(&desk, &label).await?;
    let visit = posted.named("visit")?;
    let of = match visit {
        Some(visit) => {
            let of = desk.shop.visit(visit).await.map_err(|e| desk.refuse(&e))?;
            if of.wheel != wheel.to_string() {
                return Err(Refusal::not_there("such visit of this wheel"));
            }
            Some((visit, of))
        }
        None => None,
    };
    let begun = match (&of, posted.raw("into")) {
        (Some((visit, _)), "this") => desk.shop.lap_within(&pen, *visit, taken).await,
        (Some((visit, of)), "") => match desk.shop.laps_go(*visit).await {
            Ok(LapsGo::Here) => desk.shop.lap_within(&pen, *visit, taken).await,
            Ok(why) => {
                let asked = which_visit(&frame, &label, of, why, &posted);
                return Ok((StatusCode::UNPROCESSABLE_ENTITY, asked).into_response());
            }
            Err(error) => Err(error),
        },
        (None, "") | (Some(_), "today") => desk.shop.lap_at_once(&pen, wheel, taken).await,
        _ => return Err(Refusal::no_form()),
    };
    let lap = begun.map_err(|error| desk.refuse(&error))?;
    Ok(Redirect::to(&format!("/laps/{}", lap.id)).into_response())
}

fn taken(posted: &Posted) -> Result<LapTaken, Refusal> {
    let takes = match posted.raw("takes") {
        "" => Some(Takes::Reading),
        word => Takes::of_word(word),
    };
    let state = Dress::of_word(posted.raw("state"));
    let (takes, state) = takes.zip(state).ok_or_else(Refusal::no_form)?;
    let face = Face::of_word(posted.raw("face"));
    Ok(LapTaken { takes, state, face })
}

/// The question into which visit a lap goes.
fn which_visit(
    frame: &Frame,
    label: &str,
    visit: &VisitView,
    why: LapsGo,
    posted: &Posted,
) -> Markup {
    let day = time::day(&visit.taken);
    let body = html! {
        h1 { "Into which visit?" }
        p class="says" { "You are at the visit of " strong { (day) } ", and "
            @if why == LapsGo::TurnedSince { "nipples were turned in it since its laps" } @else { "that is not today" }
            ". No lap was begun yet." }
        p { "A lap taken now belongs among what was read on " (day) " only if nobody has turned, fitted or ridden "
            "anything since. Its report would show both as one." }
        @if !visit.reports.is_empty() { p class="ask" { "A report on it was issued already: it stays as it was handed over." } }
        form method="post" action={ "/wheels/" (label) "/laps" } {
            (token(frame))
            @for name in KEPT { input type="hidden" name=(name) value=(posted.raw(name)); }
            div class="row" {
                button class="main" name="into" value="today" { "Into a visit of today" }
                button name="into" value="this" { "Into the visit of " (day) }
                a class="button" href={ "/visits/" (visit.entry.id) } { "No lap: back to the visit" }
            }
        }
    };
    page(frame, Part::Wheels, "Into which visit?", &body)
}
