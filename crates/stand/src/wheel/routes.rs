//! The addresses of a wheel.

use super::{nipple, page, paper, take_in};
use crate::desk::{Desk, id};
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::Redirect;
use axum::routing::{get, post};
use maud::Markup;
use workshop::records::entry::{Face, State as Dress, Takes};
use workshop::records::{ClaimAsked, Id, LimitAsked, PartAsked};

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/wheels/new", get(take_in::show))
        .route("/wheels", post(take_in::write))
        .route("/wheels/{label}", get(show))
        .route("/wheels/{label}/laps", post(begin_lap))
        .route("/wheels/{label}/parts", post(note_part))
        .route("/wheels/{label}/limits", post(note_limit))
        .route("/wheels/{label}/claims", post(note_claim))
        .route("/wheels/{label}/paper", get(paper::show))
        .route("/wheels/{label}/nipple", get(nipple::show))
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

/// Begins a lap: what it takes, in which state, on which face; nothing else is asked now.
async fn begin_lap(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let takes = match posted.raw("takes") {
        "" => Some(Takes::Reading),
        word => Takes::of_word(word),
    };
    let dress = Dress::of_word(posted.raw("state"));
    let (takes, dress) = takes.zip(dress).ok_or_else(Refusal::no_form)?;
    let face = Face::of_word(posted.raw("face"));
    let pen = frame.pen(posted.raw("entry"))?;
    let lap = desk.shop.lap_at_once(&pen, wheel, takes, dress, face).await;
    let lap = lap.map_err(|error| desk.refuse(&error))?;
    Ok(Redirect::to(&format!("/laps/{}", lap.id)))
}

fn text(posted: &Posted, name: &str) -> Result<Option<String>, Refusal> {
    Ok(posted.line(name)?.map(str::to_owned))
}

async fn note_part(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let asked = PartAsked {
        what: text(&posted, "what")?.unwrap_or_default(),
        maker: text(&posted, "maker")?,
        model: text(&posted, "model")?,
        lot: text(&posted, "lot")?,
        serial: text(&posted, "serial")?,
        note: text(&posted, "note")?,
    };
    let noted = desk
        .shop
        .note_part(&frame.pen(posted.raw("entry"))?, wheel, asked)
        .await;
    back(&desk, &label, noted.map(|_| ()))
}

async fn note_limit(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let asked = LimitAsked {
        part: text(&posted, "part")?.unwrap_or_default(),
        value: text(&posted, "value")?.unwrap_or_default(),
        state: Dress::of_word(posted.raw("state")),
        side: Face::of_word(posted.raw("side")),
        spoke_kind: text(&posted, "spoke_kind")?,
        source: text(&posted, "source")?.unwrap_or_default(),
        noted: text(&posted, "noted")?,
    };
    let noted = desk
        .shop
        .note_limit(&frame.pen(posted.raw("entry"))?, wheel, asked)
        .await;
    back(&desk, &label, noted.map(|_| ()))
}

async fn note_claim(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let wheel = called(&desk, &label).await?;
    let number = posted.number("number", "Number")?;
    let is_most = posted.raw("bound") != "least";
    let asked = ClaimAsked {
        text: text(&posted, "text")?.unwrap_or_default(),
        quantity: text(&posted, "quantity")?.unwrap_or_default(),
        at_most: number.filter(|_| is_most),
        at_least: number.filter(|_| !is_most),
        of_what: text(&posted, "of_what")?,
        dress: text(&posted, "dress")?.map(|dress| crate::visit::dress(&dress)),
        source: text(&posted, "source")?,
    };
    let noted = desk
        .shop
        .note_claim(&frame.pen(posted.raw("entry"))?, wheel, asked)
        .await;
    back(&desk, &label, noted.map(|_| ()))
}

fn back(
    desk: &Desk,
    label: &str,
    noted: Result<(), workshop::records::Error>,
) -> Result<Redirect, Refusal> {
    let address = format!("/wheels/{label}");
    match noted {
        Ok(()) => Ok(Redirect::to(&address)),
        Err(error) => Err(desk.refuse(&error).then(address, "Back to the wheel")),
    }
}

/// Takes a thing out of view, with all that is about it; it stays in the records.
async fn withdraw(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let of = id(posted.raw("of"))?;
    let withdrawn = desk
        .shop
        .withdraw(&frame.pen(posted.raw("entry"))?, of)
        .await;
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
