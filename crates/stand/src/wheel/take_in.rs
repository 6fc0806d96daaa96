//! Taking a wheel in: by its number of spokes, which is enough to begin, or by its file.

use crate::desk::Desk;
use crate::layout::{Frame, Part, field, page, token};
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::State;
use axum::response::Redirect;
use maud::{Markup, html};
use workshop::records::entry::{State as Dress, Takes};
use workshop::records::{LapTaken, WheelAsked};

/// Spokes on the right and on the left that wheels often have.
const OFTEN: [(usize, usize); 9] = [
    (10, 10),
    (12, 12),
    (14, 14),
    (16, 16),
    (18, 18),
    (14, 7),
    (16, 8),
    (7, 14),
    (8, 16),
];

/// What the first lap of a new wheel takes.
const BARE: LapTaken = LapTaken {
    takes: Takes::Reading,
    state: Dress::Bare,
    face: None,
};

pub(super) async fn show(State(desk): State<Desk>, frame: Frame) -> Markup {
    let body = html! {
        h1 { "New wheel" }
        form method="post" action="/wheels" {
            (token(&frame))
            input type="hidden" name="entry" value=(desk.shop.fresh_id());
            p { "How many spokes, right (drive side) and left? One tap takes it in and starts a bare lap; all else can follow." }
            div class="row" {
                @for (right, left) in OFTEN {
                    button name="spokes" value={ (right) "," (left) } {
                        strong { (right + left) } span { (right) " right, " (left) " left" }
                    }
                }
            }
            div class="fields" {
                (field("right", "Other: spokes on the right", "", ""))
                (field("left", "Other: spokes on the left", "", ""))
            }
            div class="fields" {
                (field("name", "What it is called", "", "Maker, model, front or rear; can be left out"))
                (field("owner", "Whose it is", "", ""))
                (field("contact", "How the owner is reached", "", ""))
            }
            button name="spokes" value="" { "Take it in" }
        }
        h2 { "By its wheel file" }
        p { "Everything known about the wheel, from spoke kinds to lacing; the guide teaches the format." }
        form method="post" action="/wheels" {
            (token(&frame))
            input type="hidden" name="entry" value=(desk.shop.fresh_id());
            label for="file" { "Wheel file" }
            textarea #file name="file" rows="12" spellcheck="false" {}
            p { button { "Take in this file" } }
        }
    };
    page(&frame, Part::Wheels, "New wheel", &body)
}

pub(super) async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let again = |refusal: Refusal| refusal.then("/wheels/new", "Back to the new wheel");
    let asked = WheelAsked {
        file: posted.text("file")?.unwrap_or_default().to_owned(),
        name: posted.said("name")?,
        owner: posted.said("owner")?,
        contact: posted.said("contact")?,
        note: None,
    };
    let pen = frame.pen(&posted)?;
    if !asked.file.is_empty() {
        let taken = desk.shop.take_in_wheel(&pen, asked).await;
        let (label, _) = taken.map_err(|error| again(desk.refuse(&error)))?;
        return Ok(Redirect::to(&format!("/wheels/{label}")));
    }
    let spokes = counted(&posted).ok_or_else(|| {
        again(Refusal::field(
            "Spokes",
            "say how many on the right and how many on the left",
        ))
    })?;
    let taken = desk.shop.take_in_unmeasured(&pen, spokes, asked).await;
    let (_, wheel) = taken.map_err(|error| again(desk.refuse(&error)))?;
    let pen = frame.pen_for("")?;
    let lap = desk.shop.lap_at_once(&pen, wheel.id, BARE);
    let lap = lap.await.map_err(|error| desk.refuse(&error))?;
    Ok(Redirect::to(&format!("/laps/{}", lap.id)))
}

/// The spokes of a button, else those that were typed.
fn counted(posted: &Posted) -> Option<(usize, usize)> {
    let (right, left) = match posted.raw("spokes").split_once(',') {
        Some(pair) => pair,
        None => (posted.raw("right").trim(), posted.raw("left").trim()),
    };
    right.parse().ok().zip(left.parse().ok())
}
