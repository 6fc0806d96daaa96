//! The addresses of a wheel.

use super::{begin_lap, judged, nipple, page, paper, reckoned, take_in};
use crate::desk::{Desk, id};
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::Redirect;
use axum::routing::{get, post};
use maud::Markup;
use workshop::records::{Id, PartAsked};

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/wheels/new", get(take_in::show))
        .route("/wheels", post(take_in::write))
        .route("/wheels/{label}", get(show))
        .route("/wheels/{label}/laps", post(begin_lap::write))
        .route("/wheels/{label}/parts", post(note_part))
        .route("/wheels/{label}/limits", post(note_limit))
        .route("/wheels/{label}/claims", post(note_claim))
        .route("/wheels/{label}/parts/correct", post(correct_part))
        .route("/wheels/{label}/limits/correct", post(correct_limit))
        .route("/wheels/{label}/claims/correct", post(correct_claim))
        .route("/wheels/{label}/paper", get(paper::show))
        .route("/wheels/{label}/nipple", get(nipple::show))
        .route("/wheels/{label}/build", get(reckoned::build))
        .route("/wheels/{label}/build/print", get(reckoned::to_print))
        .route("/wheels/{label}/bears", get(reckoned::bears))
        .route("/withdraw", post(withdraw))
}

pub(super) async fn called(desk: &Desk, label: &str) -> Result<Id, Refusal> {
    let wheel = desk.shop.wheel_called(label).await;
    wheel.map_err(|_| Refusal::not_there("wheel with this label"))
}

async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
) -> Result<Markup, Refusal> {
    let wheel = called(&desk, &label).await?;
    let life = desk.shop.life(wheel).await.map_err(|e| desk.refuse(&e))?;
    Ok(page::life(&frame, &life, &desk.shop.fresh_id().to_string()))
}

async fn note_part(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let noted = desk
        .shop
        .note_part(&frame.pen(&posted)?, wheel, part(&posted)?)
        .await;
    desk.back(noted, &format!("/wheels/{label}"))
}

async fn correct_part(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let (seen, why) = desk.correction(&posted, wheel).await?;
    let done = desk
        .shop
        .correct_part(&frame.pen(&posted)?, wheel, seen, why, part(&posted)?)
        .await;
    desk.back(done, &format!("/wheels/{label}"))
}

/// A part as a form says it.
fn part(posted: &Posted) -> Result<PartAsked, Refusal> {
    Ok(PartAsked {
        what: posted.said("what")?.unwrap_or_default(),
        maker: posted.said("maker")?,
        model: posted.said("model")?,
        lot: posted.said("lot")?,
        serial: posted.said("serial")?,
        note: posted.text("note")?.map(str::to_owned),
    })
}

async fn note_limit(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let noted = desk
        .shop
        .note_limit(&frame.pen(&posted)?, wheel, judged::limit(&posted)?)
        .await;
    desk.back(noted, &format!("/wheels/{label}"))
}

async fn correct_limit(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let (seen, why) = desk.correction(&posted, wheel).await?;
    let done = desk
        .shop
        .correct_limit(&frame.pen(&posted)?, seen, why, judged::limit(&posted)?)
        .await;
    desk.back(done, &format!("/wheels/{label}"))
}

async fn note_claim(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let noted = desk
        .shop
        .note_claim(&frame.pen(&posted)?, wheel, judged::claim(&posted)?)
        .await;
    desk.back(noted, &format!("/wheels/{label}"))
}

async fn correct_claim(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let (seen, why) = desk.correction(&posted, wheel).await?;
    let done = desk
        .shop
        .correct_claim(&frame.pen(&posted)?, seen, why, judged::claim(&posted)?)
        .await;
    desk.back(done, &format!("/wheels/{label}"))
}

/// Takes a thing out of view, with all that is about it; it stays in the records.
async fn withdraw(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let of = id(posted.raw("of"))?;
    let withdrawn = desk.shop.withdraw(&frame.pen(&posted)?, of).await;
    withdrawn.map_err(|error| desk.refuse(&error))?;
    // Back to a page of ours, and to nothing else.
    let to = posted.raw("to");
    let is_ours = to.starts_with('/')
        && !to.starts_with("//")
        && to
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b"/-".contains(&b));
    Ok(Redirect::to(if is_ours { to } else { "/" }))
}
