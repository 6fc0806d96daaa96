//! The addresses of a lap: shown, read, looked on at.

use super::at::{At, spoke};
use super::entry::{Entered, Slip, entered};
use super::page::{self, Said, Shown, said_of};
use super::{about, late, typed};
use crate::desk::{Desk, id};
use crate::layout::{Frame, token};
use crate::live;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use maud::{Markup, html};
use std::collections::BTreeMap;
use workshop::lap_watch::Watched;
use workshop::records::{Error, Id, Sort, Typed};
use workshop::view::LapView;

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/laps/{lap}", get(show).post(write))
        .route("/laps/{lap}/live", get(look_on))
        .route("/laps/{lap}/about", get(about::show).post(about::write))
        .route("/laps/{lap}/typed", get(typed::show).post(typed::write))
}

async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(lap): Path<String>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Result<Markup, Refusal> {
    let (view, watched) = looked_at(&desk, id(&lap)?).await?;
    let chosen = asked.get("at").and_then(|number| number.parse().ok());
    let at = match chosen {
        Some(number) => At::chosen(view, number),
        None => At::next(view),
    };
    let said = said_of(&at, asked.get("did").map_or("", String::as_str));
    shown(&desk, &frame, &at, watched, said, "")
}

async fn looked_at(desk: &Desk, lap: Id) -> Result<(LapView, Watched), Refusal> {
    let unit = desk.unit().await?;
    let looked = desk.shop.look_on(lap, unit).await;
    looked.map_err(|error| desk.refuse(&error))
}

/// The page of a lap with the picture of what it has.
fn shown(
    desk: &Desk,
    frame: &Frame,
    at: &At,
    watched: Watched,
    said: Said,
    typed: &str,
) -> Result<Markup, Refusal> {
    let watched = match at.place() {
        Some(place) => watched.due_at(place.spoke),
        None => watched,
    };
    let picture = report::svg::draw(&watched.picture, "rim").map_err(|e| desk.undrawn(&e))?;
    Ok(page::lap(
        frame,
        &Shown {
            at,
            fresh: desk.shop.fresh_id().to_string(),
            said,
            typed,
            picture,
            questions: &watched.questions,
        },
    ))
}

/// What a form of the page asks for.
enum Asked {
    Take {
        raw: String,
        value: f64,
    },
    Skip,
    Undo,
    Again,
    /// Nothing can be done with it as it stands.
    Unclear(Slip),
    /// A wheel's label was scanned.
    Label(String),
}

fn asked(posted: &Posted) -> Asked {
    let raw = posted.raw("raw").trim().to_string();
    match posted.raw("do") {
        "skip" => return Asked::Skip,
        "undo" => return Asked::Undo,
        "again" => return Asked::Again,
        _ => {}
    }
    match entered(&raw) {
        Entered::Number { value, .. } => Asked::Take { raw, value },
        Entered::Skip => Asked::Skip,
        Entered::Undo => Asked::Undo,
        Entered::Again => Asked::Again,
        Entered::Label(label) => Asked::Label(label),
        Entered::Slip(Slip {
            meant: Some(value), ..
        }) if posted.raw("sure") == "yes" => Asked::Take { raw, value },
        Entered::Slip(slip) => Asked::Unclear(slip),
    }
}

async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    Path(lap): Path<String>,
    posted: Posted,
) -> Result<Response, Refusal> {
    let lap = id(&lap)?;
    let address = format!("/laps/{lap}");
    let pen = frame.pen(&posted)?;
    let number: usize = posted.raw("number").parse().unwrap_or(0);
    let seen = match posted.named("seen")? {
        Some(seen) => Some(desk.seen(seen, lap).await?),
        None => None,
    };
    let asked = asked(&posted);
    if matches!(asked, Asked::Take { .. } | Asked::Skip)
        && let Some(said) = late::asked(&desk, &frame, lap, &posted).await?
    {
        return asked_back(&desk, &frame, lap, number, said, &posted).await;
    }
    let (done, did) = match asked {
        Asked::Take { raw, value } => {
            let typed = Typed { raw, value };
            let done = match seen {
                Some(seen) => desk.shop.take_again(&pen, seen, TAKEN_AGAIN, &typed).await,
                None => desk.shop.take(&pen, lap, number, &typed).await,
            };
            (done, "taken")
        }
        Asked::Skip => (desk.shop.skip(&pen, lap, number).await, "skipped"),
        Asked::Undo => match posted.raw("last") {
            "" => return Ok(Redirect::to(&address).into_response()),
            last => {
                let last = desk.seen(id(last)?, lap).await?;
                (desk.shop.take_back(&pen, last, TAKEN_BACK).await, "back")
            }
        },
        Asked::Again => {
            let view = desk.shop.lap(lap).await.map_err(|e| desk.refuse(&e))?;
            let last = At::next(view).last().map_or(0, |reading| reading.number);
            return Ok(Redirect::to(&format!("{address}?at={last}")).into_response());
        }
        Asked::Unclear(slip) => {
            let said = unclear(&frame, &address, &posted, &slip);
            return asked_back(&desk, &frame, lap, number, said, &posted).await;
        }
        Asked::Label(label) => {
            let said = scanned(&desk, &label).await;
            return asked_back(&desk, &frame, lap, number, said, &posted).await;
        }
    };
    match done {
        Ok(_) => Ok(Redirect::to(&format!("{address}?did={did}")).into_response()),
        Err(error) => collided(&desk, &frame, lap, number, &error, &posted).await,
    }
}

const TAKEN_AGAIN: &str = "taken again at the truing stand";
const TAKEN_BACK: &str = "taken back at the truing stand";

/// The page again with what was typed still in the field, and a question.
async fn asked_back(
    desk: &Desk,
    frame: &Frame,
    lap: Id,
    number: usize,
    said: Said,
    posted: &Posted,
) -> Result<Response, Refusal> {
    let (view, watched) = looked_at(desk, lap).await?;
    let at = At::chosen(view, number);
    let status = if said.outcome == "collision" {
        StatusCode::CONFLICT
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let page = shown(desk, frame, &at, watched, said, posted.raw("raw").trim())?;
    Ok((status, page).into_response())
}

pub(super) fn asks(words: String, answers: Markup) -> Said {
    Said {
        outcome: "asked",
        aloud: words.clone(),
        words,
        answers,
    }
}

fn unclear(frame: &Frame, address: &str, posted: &Posted, slip: &Slip) -> Said {
    let raw = posted.raw("raw").trim();
    let Some(meant) = slip.meant else {
        return asks(format!("“{raw}” is not taken. {}", slip.says), html! {});
    };
    let keep = ["entry", "number", "seen"];
    let answer = html! {
        form method="post" action=(address) data-at-stand {
            (token(frame))
            @for name in keep { input type="hidden" name=(name) value=(posted.raw(name)); }
            input type="hidden" name="raw" value=(raw);
            button name="sure" value="yes" { "Take it as " (meant) }
        }
    };
    asks(format!("“{raw}” is not taken yet. {}", slip.says), answer)
}

async fn scanned(desk: &Desk, label: &str) -> Said {
    match desk.shop.wheel_called(label).await {
        Ok(_) => asks(
            format!("{label} is the label of a wheel and not a reading."),
            html! { p { a class="button" href={ "/wheels/" (label) } { "Open " (label) } } },
        ),
        Err(_) => asks(
            format!("“{label}” is no number and the label of no wheel here."),
            html! {},
        ),
    }
}

/// The page with both readings in sight, when somebody else was quicker; nothing was overwritten.
async fn collided(
    desk: &Desk,
    frame: &Frame,
    lap: Id,
    number: usize,
    error: &Error,
    posted: &Posted,
) -> Result<Response, Refusal> {
    let address = format!("/laps/{lap}");
    let raw = posted.raw("raw").trim();
    match (error, error.sort()) {
        (Error::PlaceTaken { raw: there, .. }, _) if there == raw => {
            Ok(Redirect::to(&format!("{address}?did=taken")).into_response())
        }
        (
            Error::PlaceTaken {
                raw: there,
                by,
                entry,
                ..
            },
            _,
        ) => {
            let view = desk.shop.lap(lap).await.map_err(|e| desk.refuse(&e))?;
            let at = At::chosen(view, number);
            let which = at.place().map(spoke).unwrap_or_default();
            let answers = html! {
                div class="row" {
                    form method="post" action=(address) data-at-stand {
                        (token(frame))
                        input type="hidden" name="entry" value=(desk.shop.fresh_id());
                        input type="hidden" name="number" value=(number);
                        input type="hidden" name="seen" value=(entry);
                        input type="hidden" name="raw" value=(raw);
                        button { "Put " (raw) " in its place" }
                    }
                    a class="button" href=(address) { "Leave " (there) }
                }
            };
            let words = format!(
                "{which} was read meanwhile: {there}, by {by}. What you typed, {raw}, is not written."
            );
            let said = Said {
                outcome: "collision",
                aloud: format!("{which} was read meanwhile"),
                words,
                answers,
            };
            asked_back(desk, frame, lap, number, said, posted).await
        }
        (_, Sort::Collision) => {
            let said = Said {
                outcome: "collision",
                words: format!("{error}"),
                aloud: "somebody was quicker".into(),
                answers: html! { p { a class="button" href=(address) { "Go on" } } },
            };
            asked_back(desk, frame, lap, number, said, posted).await
        }
        (_, Sort::Input) => {
            let said = asks(format!("“{raw}” is not taken. {error}"), html! {});
            asked_back(desk, frame, lap, number, said, posted).await
        }
        _ => Err(desk.refuse(error).then(address, "Back to the lap")),
    }
}

async fn look_on(State(desk): State<Desk>, Path(lap): Path<String>) -> Result<Response, Refusal> {
    let lap = id(&lap)?;
    Ok(live::about(&desk, vec![lap]).into_response())
}
