//! What is reckoned of a wheel: its build sheet, and what it bears. Asked by plain questions in the address.

use super::routes::called;
use crate::desk::Desk;
use crate::handed_over::as_report;
use crate::layout::{Frame, Part, field, page};
use crate::refusal::Refusal;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use maud::{Markup, html};
use quantity::{Force, Length, Mass};
use std::collections::BTreeMap;
use workshop::analyse::{self, Asked, Place, STANDARD_SHARE};
use workshop::build::{self, Rider};
use workshop::records::Error;
use workshop::typed;
use workshop::view::Build;

/// Rider and bicycle that a page asks about until another mass is typed, in kilograms.
const USUAL_KG: f64 = 85.0;

/// Questions in the address of a page, by their names.
type Questions = BTreeMap<String, String>;

/// A number in its range; what is usual when nothing was typed.
fn number(
    asked: &Questions,
    (name, label): (&str, &str),
    (least, most): (f64, f64),
    usual: f64,
) -> Result<f64, Refusal> {
    let typed = asked.get(name).map_or("", |text| text.trim());
    if typed.is_empty() {
        return Ok(usual);
    }
    let number = typed::number(typed).map_err(|why| Refusal::field(label, &why.to_string()))?;
    if (least..=most).contains(&number) {
        return Ok(number);
    }
    let range = format!("it is a number from {least} to {most}");
    Err(Refusal::field(label, &range))
}

/// Mass of rider and bicycle, and how much of it is on this wheel.
fn rider(asked: &Questions) -> Result<(f64, f64), Refusal> {
    let kg = number(asked, ("kg", "Rider and bicycle"), (1.0, 500.0), USUAL_KG)?;
    let usual = 100.0 * STANDARD_SHARE;
    let percent = number(asked, ("share", "Of it on this wheel"), (1.0, 100.0), usual)?;
    Ok((kg, percent))
}

/// A form whose fields go into the address of the page.
fn ask(address: &str, fields: &Markup) -> Markup {
    html! {
        form class="no-print" method="get" action=(address) {
            div class="fields" { (fields) }
            button { "Ask so" }
        }
    }
}

fn question(asked: &Questions) -> Result<build::Question, Refusal> {
    let (kg, percent) = rider(asked)?;
    let step = number(asked, ("step", "Step of lengths"), (0.05, 20.0), 1.0)?;
    let spares = number(asked, ("spares", "Spares"), (0.0, 100.0), 10.0)?;
    Ok(build::Question {
        step: Length::mm(step),
        spares_percent: spares,
        rider: Some(Rider {
            mass: Mass::kg(kg),
            share: percent / 100.0,
            factor: 1.0,
            lateral: Force::ZERO,
            torque_n_m: 0.0,
            patch: Length::ZERO,
        }),
        ..build::Question::default()
    })
}

async fn sheet(desk: &Desk, label: &str, asked: &Questions) -> Result<Build, Refusal> {
    let wheel = called(desk, label).await?;
    let back = |refusal: Refusal| refusal.then(format!("/wheels/{label}/build"), "Ask otherwise");
    let question = question(asked).map_err(back)?;
    let built = desk.shop.build_sheet(wheel, question).await;
    built.map_err(|error| {
        let refusal = desk.refuse(&error);
        refusal.then(format!("/wheels/{label}"), "Back to the wheel")
    })
}

pub(super) async fn build(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    Query(asked): Query<Questions>,
) -> Result<Markup, Refusal> {
    let unit = desk.unit().await?;
    let built = sheet(&desk, &label, &asked).await?;
    let document = build::document(&built, unit);
    let says = report::html::within(&document).map_err(|error| desk.undrawn(&error))?;
    let address = format!("/wheels/{label}/build");
    let given = |name: &str| asked.get(name).map_or("", String::as_str);
    let to_print = format!(
        "{address}/print?step={}&spares={}&kg={}&share={}",
        as_asked(given("step")),
        as_asked(given("spares")),
        as_asked(given("kg")),
        as_asked(given("share"))
    );
    let body = html! {
        h1 { "Build sheet: " a href={ "/wheels/" (label) } { (document.title) } }
        (ask(&address, &html! {
            (field("step", "Lengths can be had in steps of, mm", given("step"), "1 when left empty"))
            (field("spares", "Spares with every length, %", given("spares"), "10 when left empty"))
            (field("kg", "Rider and bicycle, kg", given("kg"), "85 when left empty"))
            (field("share", "Of it on this wheel, %", given("share"), "60 when left empty, as is common for a rear wheel"))
        }))
        p class="no-print" { a class="button" href=(to_print) { "As a sheet to print" } }
        div class="document" { (says) }
    };
    Ok(page(&frame, Part::Wheels, "Build sheet", &body))
}

/// A number as it was typed, to stand in an address; nothing else does.
fn as_asked(typed: &str) -> String {
    let is_kept = |letter: &char| letter.is_ascii_digit() || ".,".contains(*letter);
    typed.chars().filter(is_kept).collect()
}

pub(super) async fn to_print(
    State(desk): State<Desk>,
    Path(label): Path<String>,
    Query(asked): Query<Questions>,
) -> Result<Response, Refusal> {
    let unit = desk.unit().await?;
    let built = sheet(&desk, &label, &asked).await?;
    let printed = build::page(&built, unit).map_err(|error| desk.undrawn(&error))?;
    Ok(as_report(printed.into_bytes()))
}

pub(super) async fn bears(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    Query(asked): Query<Questions>,
) -> Result<Markup, Refusal> {
    let wheel = called(&desk, &label).await?;
    let unit = desk.unit().await?;
    let address = format!("/wheels/{label}/bears");
    let back = |refusal: Refusal| refusal.then(address.clone(), "Ask otherwise");
    let (kg, percent) = rider(&asked).map_err(back)?;
    let lateral = number(&asked, ("lateral", "To the right"), (-1e4, 1e4), 0.0).map_err(back)?;
    let standing = Asked::standing(Mass::kg(kg), percent / 100.0);
    let leaning = (lateral != 0.0).then(|| Asked {
        lateral: Force::n(lateral),
        at: Place::Spoke1,
        from: "the same, and to the side as asked".into(),
        ..standing.clone()
    });
    let question = analyse::Question {
        rides: std::iter::once(standing).chain(leaning).collect(),
        ..analyse::Question::default()
    };
    let (title, says) = match desk.shop.analyse(wheel, question).await {
        Ok(view) => {
            let document = analyse::document(&view, unit);
            let says = report::html::within(&document).map_err(|error| desk.undrawn(&error))?;
            (document.title, says)
        }
        // A wheel of which only the number of spokes is known bears nothing that could be told.
        Err(Error::Analyse(why)) => {
            let is_missing = !matches!(why, analyse::Error::Structure(_));
            let says = html! { div class="ask" {
                @for line in why.to_string().lines() { p { (line) } }
                @if is_missing { p { "Write what the model needs into the wheel file; the guide says how, and what may stand in." } }
            } };
            let life = desk.shop.life(wheel).await.map_err(|e| desk.refuse(&e))?;
            (life.name, says)
        }
        Err(error) => {
            let refusal = desk.refuse(&error);
            return Err(refusal.then(format!("/wheels/{label}"), "Back to the wheel"));
        }
    };
    let given = |name: &str| asked.get(name).map_or("", String::as_str);
    let body = html! {
        h1 { "What it bears: " a href={ "/wheels/" (label) } { (title) } }
        (ask(&address, &html! {
            (field("kg", "Rider and bicycle, kg", given("kg"), "85 when left empty"))
            (field("share", "Of it on this wheel, %", given("share"), "60 when left empty, as is common for a rear wheel"))
            (field("lateral", "To the right at the ground, N", given("lateral"), "Left empty: straight on"))
        }))
        div class="document" { (says) }
    };
    Ok(page(&frame, Part::Wheels, "What it bears", &body))
}
