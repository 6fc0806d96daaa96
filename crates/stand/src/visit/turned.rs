//! Turns that were made without a plan: noted, so that the next plan counts on them.

use crate::desk::{Desk, id};
use crate::layout::{Frame, choice, field, form};
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::{Path, State};
use axum::response::Redirect;
use maud::{Markup, html};
use workshop::view::VisitView;

const FAR: &str = "How far, in turns";
const WHY: &str = "taken back on the page of the visit";

pub(super) fn turned(frame: &Frame, visit: &VisitView, address: &str, fresh: &str) -> Markup {
    html! {
        ul #turned data-part { @for one in &visit.turned_without_plan { li {
            @let way = if one.turns < 0.0 { "loosened" } else { "tightened" };
            "Spoke " (one.spoke) " " (way) " by " (one.turns.abs()) @if one.turns.abs() == 1.0 { " turn" } @else { " turns" }
            ", by " (one.entry.by) " "
            (form(frame, &format!("{address}/turns/back"), &html! {
                input type="hidden" name="seen" value=(one.entry.entry);
                button aria-label={ "Turned back: spoke " (one.spoke) } { "Turned back" }
            }))
        } } }
        details { summary { "Turned without a plan" }
            p { "What is turned by hand and ear is written down too: the next plan counts on it. What is read after it goes into a visit of its own." }
            (form(frame, &format!("{address}/turns"), &html! {
                input type="hidden" name="entry" value=(fresh);
                div class="fields" {
                    (field("turned-spoke", "Spoke", "", "Its number"))
                    (field("turned-far", FAR, "", "1/4 or 0.25; what is turned past the mark and back does not count"))
                }
                (choice("way", "The nipple was", &[("tighter", "tightened"), ("looser", "loosened")], "tighter"))
                button { "Note the turn" }
            }))
        }
    }
}

pub(super) async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let address = format!("/visits/{visit}");
    let back = |refusal: Refusal| refusal.then(address.clone(), "Back");
    let spoke = posted.whole("spoke", "Spoke").map_err(back)?.unwrap_or(0);
    let far = far(&posted).map_err(back)?;
    let turns = match posted.raw("way") {
        "tighter" => far,
        "looser" => -far,
        _ => return Err(Refusal::no_form()),
    };
    let (pen, of) = (frame.pen(&posted)?, id(&visit)?);
    let done = desk.shop.turned_without_plan(&pen, of, spoke, turns).await;
    desk.back(done, &address)
}

/// How far, as a fraction or a number; the way is said beside it.
fn far(posted: &Posted) -> Result<f64, Refusal> {
    let typed = posted.line("far")?.unwrap_or_default();
    let far = match typed.split_once('/') {
        Some((part, of)) => {
            let whole = |text: &str| text.trim().parse::<u16>().ok().map(f64::from);
            whole(part)
                .zip(whole(of))
                .map(|(part, of)| part / of)
                .ok_or_else(|| Refusal::field(FAR, "a fraction is written as in 1/4"))?
        }
        None => posted.wanted("far", FAR)?,
    };
    if far.is_finite() && 0.0 < far {
        Ok(far)
    } else {
        Err(Refusal::field(
            FAR,
            "it is more than nothing; which way is said below it",
        ))
    }
}

pub(super) async fn back(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let seen = desk.seen(id(posted.raw("seen"))?, id(&visit)?).await?;
    let pen = frame.pen_for("")?;
    let done = desk.shop.turned_back(&pen, seen, WHY).await;
    desk.back(done, &format!("/visits/{visit}"))
}
