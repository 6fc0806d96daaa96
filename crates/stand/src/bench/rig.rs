//! Rigs: where a spoke is pulled with a force that is known.

use crate::desk::Desk;
use crate::layout::{Frame, choice, field, form};
use crate::posted::Posted;
use crate::refusal::Refusal;
use crate::wheel::{correct, of, withdraw};
use axum::extract::State;
use axum::response::Redirect;
use maud::{Markup, html};
use workshop::view::RigView;

const BENCH: &str = "/bench";

/// The rigs there are, and the form that enters another.
pub(super) fn rigs(frame: &Frame, rigs: &[RigView], fresh: &str) -> Markup {
    html! {
        h2 { "Rigs" }
        @if rigs.is_empty() { p class="quiet" { "None yet. A rig that is entered can be named by the calibrations taken on it." } }
        ul { @for rig in rigs { li {
            strong { (rig.name) } @if let Some(note) = &rig.note { ": " (note) } " "
            (withdraw(frame, &rig.entry, BENCH, &rig.name))
            (correct(frame, &format!("{BENCH}/rigs/correct"), &rig.entry, &rig.name, &fields(Some(rig))))
        } } }
        details { summary { "Enter a rig" }
            (form(frame, &format!("{BENCH}/rigs"), &html! {
                input type="hidden" name="entry" value=(fresh);
                (fields(None))
                button { "Enter the rig" }
            }))
        }
    }
}

fn fields(standing: Option<&RigView>) -> Markup {
    let of = |name| of(standing.map(|rig| &rig.entry), &format!("rig-{name}"));
    let note = standing.and_then(|rig| rig.note.as_deref());
    html! {
        div class="fields" {
            (field(&of("name"), "What the shop calls it", standing.map_or("", |rig| &rig.name), ""))
            (field(&of("note"), "Its load cell, and how that was checked", note.unwrap_or_default(), "Against which weights, on which day"))
        }
    }
}

/// Which rig a calibration is taken on; nothing to choose where none is entered. What was said stays said.
pub(super) fn which(rigs: &[RigView], chosen: Option<&str>) -> Markup {
    let named = rigs.iter().map(|rig| (&*rig.entry.id, &*rig.name));
    let unsaid = chosen.is_none().then_some(("", "not said"));
    let of: Vec<(&str, &str)> = named.chain(unsaid).collect();
    html! { @if !rigs.is_empty() { (choice("rig", "On the rig", &of, chosen.unwrap_or_default())) } }
}

pub(super) async fn enter(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let pen = frame.pen(&posted)?;
    let (name, note) = (
        posted.line("name")?.unwrap_or_default(),
        posted.said("note")?,
    );
    desk.back(desk.shop.enter_rig(&pen, name, note).await, BENCH)
}

pub(super) async fn correct_rig(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let seen = crate::desk::id(posted.raw("seen"))?;
    let why = posted.line("why")?.unwrap_or_default();
    let pen = frame.pen(&posted)?;
    let (name, note) = (
        posted.line("name")?.unwrap_or_default(),
        posted.said("note")?,
    );
    desk.back(
        desk.shop.correct_rig(&pen, seen, why, name, note).await,
        BENCH,
    )
}
