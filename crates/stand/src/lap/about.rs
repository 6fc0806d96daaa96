//! What a lap was taken with and in which state: asked when there is time for it.

use super::at::At;
use super::page::name;
use crate::desk::{Desk, id};
use crate::layout::{Frame, Part, choice, field, form, page};
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::{Path, State};
use axum::response::Redirect;
use maud::{Markup, html};
use workshop::records::LapChanges;

const WHY: &str = "said after the lap was begun";

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
    let gauges = desk.shop.gauges().await.map_err(|e| desk.refuse(&e))?;
    let at = At::next(view);
    let lap = &at.lap;
    let is_begun = lap.places.iter().any(|place| place.reading.is_some());
    let address = format!("/laps/{}", lap.entry.id);
    let body = html! {
        h1 { "About: " (name(&at)) " · " (lap.wheel_name) }
        (form(&frame, &format!("{address}/about"), &html! {
            input type="hidden" name="seen" value=(lap.entry.entry);
            @if lap.takes == "reading" {
                fieldset class="choice" {
                    legend { "Gauge" }
                    @for gauge in &gauges {
                        label {
                            input type="radio" name="gauge" value=(gauge.entry.id)
                                checked[lap.gauge.as_ref() == Some(&gauge.label)];
                            span { (gauge.label) }
                        }
                    }
                    @if gauges.is_empty() { p { "No gauge is entered yet: " a href="/bench" { "to the bench" } } }
                }
            }
            (choice("state", "Tyre", &[("bare", "bare"), ("tyred", "tyre on")], lap.state))
            @if lap.takes == "lateral" || lap.takes == "radial" {
                (choice("face", "The dial touches the rim’s face", &[("right", "right"), ("left", "left")], lap.face.unwrap_or_default()))
            }
            div class="fields" {
                (field("pressure", "Tyre pressure, with its unit", lap.pressure.as_deref().unwrap_or_default(), "6.5 bar or 87 psi"))
                (field("tyre", "Tyre", lap.tyre.as_deref().unwrap_or_default(), "Name and width, as on its side wall"))
                (field("temperature_c", "Temperature of the wheel, °C", &lap.temperature_c.map_or(String::new(), |c| c.to_string()), ""))
                (field("note", "Note", lap.note.as_deref().unwrap_or_default(), ""))
            }
            @if is_begun {
                p class="quiet" { "Counted " (counted(lap.counted)) " from spoke " (lap.start) "; it was begun so and stays so." }
            } @else {
                (choice("counted", "Counted", &[("up", "rising numbers"), ("down", "falling numbers")], lap.counted))
                (field("start", "First spoke", &lap.start.to_string(), "Spoke 1 is the first after the valve hole"))
            }
            button class="main" { "Write it down" }
            " " a class="button" href=(address) { "Back to the lap" }
        }))
    };
    Ok(page(&frame, Part::Lap, "About this lap", &body))
}

fn counted(word: &str) -> &'static str {
    if word == "down" {
        "in falling numbers"
    } else {
        "in rising numbers"
    }
}

pub(super) async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    Path(lap): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let address = format!("/laps/{}", id(&lap)?);
    let back = |refusal: Refusal| refusal.then(format!("{address}/about"), "Back");
    let changes = changes(&posted).map_err(back)?;
    let seen = desk.seen(id(posted.raw("seen"))?, id(&lap)?).await?;
    let done = desk
        .shop
        .change_lap(&frame.pen_for("")?, seen, WHY, changes)
        .await;
    done.map_err(|error| back(desk.refuse(&error)))?;
    Ok(Redirect::to(&address))
}

fn changes(posted: &Posted) -> Result<LapChanges, Refusal> {
    Ok(LapChanges {
        gauge: posted.said("gauge")?,
        state: posted.said("state")?,
        face: posted.said("face")?,
        pressure: posted.said("pressure")?,
        tyre: posted.said("tyre")?,
        temperature_c: posted.number("temperature_c", "Temperature of the wheel")?,
        note: posted.said("note")?,
        counted: posted.said("counted")?,
        start: posted.whole("start", "First spoke")?,
    })
}
