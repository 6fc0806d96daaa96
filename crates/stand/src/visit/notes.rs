//! What is noted beside the laps: masses, what was seen, what was advised.

use super::dress;
use crate::desk::{Desk, id};
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::{Path, State};
use axum::response::Redirect;
use workshop::records::entry::{Answer, Bearing};
use workshop::records::{Error, VisitAsked};

/// Why a visit's head is written anew.
const WHY: &str = "said in the course of the visit";

pub(super) fn back<T>(
    desk: &Desk,
    visit: &str,
    done: Result<T, Error>,
) -> Result<Redirect, Refusal> {
    let address = format!("/visits/{visit}");
    match done {
        Ok(_) => Ok(Redirect::to(&address)),
        Err(error) => Err(desk.refuse(&error).then(address, "Back to the visit")),
    }
}

fn owned(text: Option<&str>) -> Option<String> {
    text.map(str::to_owned)
}

pub(super) async fn about(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let lines = posted.text("not_checked")?.unwrap_or_default().lines();
    let asked = VisitAsked {
        taken: None,
        asked: owned(posted.line("asked")?),
        bearing: Bearing::of_word(posted.raw("bearing")),
        not_checked: lines
            .map(str::trim)
            .filter(|line| !line.is_empty())
            .map(str::to_owned)
            .collect(),
        note: owned(posted.text("note")?),
    };
    let seen = id(posted.raw("seen"))?;
    let done = desk
        .shop
        .correct_visit(&frame.pen("")?, seen, WHY, asked)
        .await;
    back(&desk, &visit, done)
}

pub(super) async fn weigh(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let on_it = dress(posted.line("dress")?.unwrap_or_default());
    let pen = frame.pen(posted.raw("entry"))?;
    let raw = posted.line("mass")?.unwrap_or_default();
    let done = desk.shop.weigh(&pen, id(&visit)?, on_it, raw, None).await;
    back(&desk, &visit, done)
}

pub(super) async fn look(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let spoke = match posted.line("spoke")? {
        None => None,
        Some(typed) => Some(typed.parse().map_err(|_| {
            Refusal::field("Spoke", "it is no number")
                .then(format!("/visits/{visit}"), "Back to the visit")
        })?),
    };
    let finding = posted.line("finding")?.unwrap_or_default();
    let pen = frame.pen(posted.raw("entry"))?;
    let done = desk
        .shop
        .note_look(&pen, id(&visit)?, spoke, finding, None)
        .await;
    back(&desk, &visit, done)
}

pub(super) async fn advise(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let pen = frame.pen(posted.raw("entry"))?;
    let text = posted.line("text")?.unwrap_or_default();
    let done = desk
        .shop
        .advise(&pen, id(&visit)?, text, Answer::Open, None)
        .await;
    back(&desk, &visit, done)
}

pub(super) async fn answer(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let answer = Answer::of_word(posted.raw("answer")).ok_or_else(Refusal::no_form)?;
    let reply = owned(posted.line("reply")?);
    let seen = id(posted.raw("seen"))?;
    let done = desk.shop.answer(&frame.pen("")?, seen, answer, reply).await;
    back(&desk, &visit, done)
}
