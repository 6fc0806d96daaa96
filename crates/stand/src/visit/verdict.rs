//! What the readings of a visit say, and the report that is handed over.

use super::notes::back;
use crate::desk::{Desk, id};
use crate::layout::{Frame, Part, form, page};
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::{Path, State};
use axum::http::header::{CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use workshop::survey::SEED;
use workshop::view::SurveyView;
use workshop::words;

/// A report carries its own style and admits no other; here it is only kept from doing anything else.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; \
     form-action 'none'; frame-ancestors 'none'";

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
    Ok(verdict(&frame, &visit, &survey))
}

fn verdict(frame: &Frame, visit: &str, survey: &SurveyView) -> Markup {
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
        h2 { "What must be known" }
        @for finding in &survey.findings {
            div class=(match finding.weight { "doubt" => "doubt", "question" => "ask", _ => "note" }) { p { (finding.says) } }
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

fn as_report(page: Vec<u8>) -> Response {
    let headers = [
        (CONTENT_SECURITY_POLICY, POLICY),
        (CONTENT_TYPE, "text/html; charset=utf-8"),
    ];
    (headers, page).into_response()
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
        .issue(&frame.pen("")?, about, &survey.verdict, &page)
        .await;
    back(&desk, &visit, done)
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
