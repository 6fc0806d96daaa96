//! What is noted beside the laps: masses, what was seen, what was advised.

use super::dress;
use crate::desk::{Desk, id};
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use crate::wheel::judged;
use axum::extract::{Path, State};
use axum::response::Redirect;
use workshop::records::VisitAsked;
use workshop::records::entry::{Answer, Bearing};

/// Why a visit's head is written anew.
const WHY: &str = "said in the course of the visit";

/// The page of a visit.
fn page(visit: &str) -> String {
    format!("/visits/{visit}")
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
        asked: posted.said("asked")?,
        bearing: Bearing::of_word(posted.raw("bearing")),
        not_checked: lines
            .map(str::trim)
            .filter(|line| !line.is_empty())
            .map(str::to_owned)
            .collect(),
        note: posted.text("note")?.map(str::to_owned),
    };
    let seen = desk.seen(id(posted.raw("seen"))?, id(&visit)?).await?;
    let done = desk
        .shop
        .correct_visit(&frame.pen_for("")?, seen, WHY, asked)
        .await;
    desk.back(done, &page(&visit))
}

pub(super) async fn weigh(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let on_it = dress(posted.line("dress")?.unwrap_or_default());
    let pen = frame.pen(&posted)?;
    let raw = posted.line("mass")?.unwrap_or_default();
    let done = desk.shop.weigh(&pen, id(&visit)?, on_it, raw, None).await;
    desk.back(done, &page(&visit))
}

pub(super) async fn correct_weighing(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let (seen, why) = desk.correction(&posted, id(&visit)?).await?;
    let on_it = dress(posted.line("dress")?.unwrap_or_default());
    let step = posted.number("step", "Step of the scale")?;
    let raw = posted.line("mass")?.unwrap_or_default();
    let done = desk
        .shop
        .correct_weighing(&frame.pen(&posted)?, seen, why, on_it, raw, step)
        .await;
    desk.back(done, &page(&visit))
}

pub(super) async fn look(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let spoke = posted.whole("spoke", "Spoke");
    let spoke = spoke.map_err(|refusal| refusal.then(page(&visit), "Back"))?;
    let finding = posted.line("finding")?.unwrap_or_default();
    let pen = frame.pen(&posted)?;
    let done = desk
        .shop
        .note_look(&pen, id(&visit)?, spoke, finding, None)
        .await;
    desk.back(done, &page(&visit))
}

pub(super) async fn correct_look(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let (seen, why) = desk.correction(&posted, id(&visit)?).await?;
    let spoke = posted.whole("spoke", "Spoke");
    let spoke = spoke.map_err(|refusal| refusal.then(page(&visit), "Back"))?;
    let finding = posted.line("finding")?.unwrap_or_default();
    let done = desk
        .shop
        .correct_look(&frame.pen(&posted)?, seen, why, spoke, finding)
        .await;
    desk.back(done, &page(&visit))
}

pub(super) async fn correct_limit(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let (seen, why) = desk.correction(&posted, id(&visit)?).await?;
    let (pen, limit) = (frame.pen(&posted)?, judged::limit(&posted)?);
    let done = desk.shop.correct_limit(&pen, seen, why, limit).await;
    desk.back(done, &page(&visit))
}

pub(super) async fn correct_claim(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let (seen, why) = desk.correction(&posted, id(&visit)?).await?;
    let (pen, claim) = (frame.pen(&posted)?, judged::claim(&posted)?);
    let done = desk.shop.correct_claim(&pen, seen, why, claim).await;
    desk.back(done, &page(&visit))
}

pub(super) async fn advise(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let pen = frame.pen(&posted)?;
    let text = posted.line("text")?.unwrap_or_default();
    let done = desk
        .shop
        .advise(&pen, id(&visit)?, text, Answer::Open, None)
        .await;
    desk.back(done, &page(&visit))
}

pub(super) async fn correct_advice(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let (seen, why) = desk.correction(&posted, id(&visit)?).await?;
    let pen = frame.pen(&posted)?;
    let text = posted.line("text")?.unwrap_or_default();
    let done = desk.shop.correct_advice(&pen, seen, why, text).await;
    desk.back(done, &page(&visit))
}

pub(super) async fn correct_photo(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let (seen, why) = desk.correction(&posted, id(&visit)?).await?;
    let pen = frame.pen(&posted)?;
    let caption = posted.said("caption")?;
    let done = desk.shop.correct_photo(&pen, seen, why, caption).await;
    desk.back(done, &page(&visit))
}

pub(super) async fn answer(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let answer = Answer::of_word(posted.raw("answer")).ok_or_else(Refusal::no_form)?;
    let reply = posted.said("reply")?;
    let seen = desk.seen(id(posted.raw("seen"))?, id(&visit)?).await?;
    let done = desk
        .shop
        .answer(&frame.pen_for("")?, seen, answer, reply)
        .await;
    desk.back(done, &page(&visit))
}
