//! What the readings of a visit say, and the report that is handed over.

use crate::desk::{Desk, id};
use crate::handed_over::as_report;
use crate::layout::{Frame, Part, form, page};
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::{Path, State};
use axum::response::{Redirect, Response};
use maud::{Markup, html};
use workshop::class::{self, AgainstClass};
use workshop::survey::SEED;
use workshop::view::SurveyView;
use workshop::words;

pub(super) async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
) -> Result<Markup, Refusal> {
    let unit = desk.unit().await?;
    let survey = desk.shop.survey(id(&visit)?, SEED, unit).await;
    let survey = survey.map_err(|e| {
        desk.refuse(&e)
            .then(format!("/visits/{visit}"), "Back to the visit")
    })?;
    let class = desk.shop.class().await.map_err(|e| desk.refuse(&e))?;
    let against = class::against(&survey, &class);
    Ok(verdict(&frame, &visit, &survey, &against))
}

fn verdict(frame: &Frame, visit: &str, survey: &SurveyView, against: &[AgainstClass]) -> Markup {
    let body = html! {
        h1 { "Verdict: " (survey.wheel) }
        p class="verdict" { (survey.verdict) }
        div class="row" {
            a class="button main" href={ "/visits/" (visit) "/report" } { "The whole report" }
            (form(frame, &format!("/visits/{visit}/issue"), &html! { button { "Issue it: keep this report for good" } }))
            a class="button" href={ "/visits/" (visit) } { "Back to the visit" }
        }
        h2 { "Limits" }
        @if survey.limits.is_empty() { p class="note" { "No limit known: nothing is passed against it." } }
        ul { @for limit in &survey.limits {
            li { (limit.text) ": " strong { (limit.verdict) }
                @if let Some(p) = limit.probability { ", probability that no spoke is above it " (words::probability(p)) }
                ". " span class="quiet" { (limit.source) ", noted " (limit.noted) "." }
                @if let Some(settle) = &limit.settle { " What would settle it: " (settle) "." } }
        } }
        @if !survey.claims.is_empty() {
            h2 { "Claims" }
            ul { @for claim in &survey.claims {
                li { "“" (claim.text) "”: " strong { (claim.verdict) }
                    @if let Some(p) = claim.probability { ", probability " (words::probability(p)) } "."
                    @if let Some(settle) = &claim.settle { " What would settle it: " (settle) "." } }
            } }
        }
        h2 { "Against the shop’s class" }
        @if against.is_empty() { p class="quiet" { "Neither runout nor evenness in force was measured in this visit." } }
        @else {
            div class="wide" tabindex="0" role="region" aria-label="Against the shop’s class" { table {
                thead { tr { th { "measured" } th { "found" } th { "the class allows" } th { "verdict" } } }
                tbody { @for line in against { tr {
                    td { (line.what) } td { (line.found) } td { (line.allows) }
                    td { strong { (line.verdict) } ", probability " (words::probability(line.probability)) }
                } } }
            } }
            p class="quiet" { "The class is the shop’s own word, " a href="/settings" { "in the settings" } ". To be of it is no limit kept and no permission." }
        }
        h2 { "What must be known" }
        @for finding in &survey.findings {
            div class=(match &*finding.weight { "doubt" => "doubt", "question" => "ask", _ => "note" }) { p { (finding.says) } }
        }
        p class="quiet" { "Drawn with seed " (survey.seed) "; decided at a probability of " (survey.decide_at)
            ". Evidence, not permission to ride: makers’ instructions and limits prevail, and a qualified mechanic decides." }
    };
    page(frame, Part::Wheels, "Verdict", &body)
}

pub(super) async fn report(
    State(desk): State<Desk>,
    Path(visit): Path<String>,
) -> Result<Response, Refusal> {
    let unit = desk.unit().await?;
    let made = desk.shop.report(id(&visit)?, SEED, unit).await;
    let (_, page) = made.map_err(|e| {
        desk.refuse(&e)
            .then(format!("/visits/{visit}"), "Back to the visit")
    })?;
    Ok(as_report(page.into_bytes()))
}

pub(super) async fn issue(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    _: Posted,
) -> Result<Redirect, Refusal> {
    let about = id(&visit)?;
    let unit = desk.unit().await?;
    let made = desk.shop.report(about, SEED, unit).await;
    let (survey, page) = made.map_err(|error| desk.refuse(&error))?;
    let done = desk
        .shop
        .issue(&frame.pen_for("")?, about, &survey.verdict, &page)
        .await;
    desk.back(done, &format!("/visits/{visit}"))
}

/// A report as it was issued, byte for byte.
pub(super) async fn issued(
    State(desk): State<Desk>,
    Path(hash): Path<String>,
) -> Result<Response, Refusal> {
    let hash = hash.parse().map_err(|_| Refusal::not_there("report"))?;
    let bytes = desk.shop.kept(hash).await.map_err(|e| desk.refuse(&e))?;
    if !bytes.starts_with(b"<!DOCTYPE html>") {
        return Err(Refusal::not_there("report"));
    }
    Ok(as_report(bytes))
}
