//! A lap typed in from paper: every spoke a field, in the order of the paper, sent at once.

use super::at::{At, spoke};
use super::entry::{Entered, entered};
use super::late;
use super::page::name;
use crate::desk::{Desk, id};
use crate::layout::{Frame, Part, form, page};
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use workshop::records::{Error, Id, Typed};
use workshop::view::LapView;

pub(super) async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(lap): Path<String>,
) -> Result<Markup, Refusal> {
    let view = desk
        .shop
        .lap(id(&lap)?)
        .await
        .map_err(|e| desk.refuse(&e))?;
    Ok(sheet(&desk, &frame, view, &Posted::default(), &[]))
}

fn sheet(desk: &Desk, frame: &Frame, lap: LapView, posted: &Posted, troubles: &[String]) -> Markup {
    let at = At::next(lap);
    let address = format!("/laps/{}", at.lap.entry.id);
    let open = at.lap.places.iter().filter(|place| place.reading.is_none());
    let body = html! {
        h1 { "Typed in from paper: " (name(&at)) " · " (at.lap.wheel_name) }
        p { "What stands in a field is written; an empty one stays open. " kbd { "Tab" } " goes to the next spoke, "
            kbd { "Enter" } " sends them all." }
        @for trouble in troubles { p class="ask" role="alert" { (trouble) } }
        @if at.lap.is_turned_since { div class="ask" { p { (late::SINCE) } (late::next_lap(frame, &at.lap)) } }
        (form(frame, &format!("{address}/typed"), &html! {
            ol class="typed" {
                @for place in open {
                    @let field = format!("spoke-{}", place.number);
                    @let fresh = posted.raw(&format!("entry-{}", place.number));
                    @let fresh = if fresh.is_empty() { desk.shop.fresh_id().to_string() } else { fresh.into() };
                    li {
                        label for=(field) class=(place.side) { (spoke(place)) }
                        input type="hidden" name={ "entry-" (place.number) } value=(fresh);
                        input #(field) name=(field) value=(posted.raw(&field)) inputmode="decimal" autocomplete="off" maxlength="60";
                    }
                }
            }
            (late::write_down(&at.lap))
            " " a class="button" href=(address) { "Back to the lap" }
        }))
    };
    page(frame, Part::Lap, "Typed in from paper", &body)
}

pub(super) async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    Path(lap): Path<String>,
    posted: Posted,
) -> Result<Response, Refusal> {
    let lap = id(&lap)?;
    let view = desk.shop.lap(lap).await.map_err(|e| desk.refuse(&e))?;
    let mut readings = Vec::new();
    let mut troubles = Vec::new();
    for place in &view.places {
        let raw = posted.raw(&format!("spoke-{}", place.number)).trim();
        match entered(raw) {
            _ if raw.is_empty() => {}
            Entered::Number { value, .. } => readings.push((place.number, raw.to_owned(), value)),
            Entered::Slip(slip) => {
                troubles.push(format!("{}: “{raw}”. {}", spoke(place), slip.says))
            }
            _ => troubles.push(format!("{}: “{raw}” is no number.", spoke(place))),
        }
    }
    if !readings.is_empty() && !late::is_answered(&view, &posted) {
        troubles.push("Nothing is written yet: say below when it was read.".into());
    }
    if troubles.is_empty() {
        for (number, raw, value) in readings {
            let typed = Typed { raw, value };
            if let Err(error) = take(&desk, &frame, lap, number, &typed, &posted).await {
                troubles.push(format!("Place {number}: {error}"));
            }
        }
    }
    if troubles.is_empty() {
        return Ok(Redirect::to(&format!("/laps/{lap}")).into_response());
    }
    // What was written meanwhile is no longer among the open ones.
    let view = desk.shop.lap(lap).await.map_err(|e| desk.refuse(&e))?;
    let page = sheet(&desk, &frame, view, &posted, &troubles);
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
}

async fn take(
    desk: &Desk,
    frame: &Frame,
    lap: Id,
    number: usize,
    typed: &Typed,
    posted: &Posted,
) -> Result<(), String> {
    let pen = frame.pen_for(posted.raw(&format!("entry-{number}")));
    let pen = pen.map_err(|_| "the form is broken".to_string())?;
    let taken = desk.shop.take(&pen, lap, number, typed).await;
    taken.map(|_| ()).map_err(|error: Error| desk.words(&error))
}
