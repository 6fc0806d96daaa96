//! What a nipple does here: a quarter turn of it, on every spoke and on the rim.

use super::routes::called;
use crate::desk::Desk;
use crate::layout::{Frame, Part, page};
use crate::refusal::Refusal;
use axum::extract::{Path, Query, State};
use maud::{Markup, html};
use report::Figure;
use std::collections::BTreeMap;
use wheel::SpokeIndex;
use workshop::analyse::{Question, quarter_turn};

pub(super) async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Result<Markup, Refusal> {
    let wheel = called(&desk, &label).await?;
    let (described, _) = desk.shop.wheel(wheel).await.map_err(|e| desk.refuse(&e))?;
    let number = match asked.get("spoke") {
        None => Some(1),
        Some(text) => text.parse().ok(),
    };
    let number = number.filter(|number| (1..=described.spokes.len()).contains(number));
    let nipple = SpokeIndex(number.ok_or_else(|| Refusal::not_there("nipple"))? - 1);
    let unit = desk.unit().await?;
    let answer = match desk.shop.analyse(wheel, Question::default()).await {
        Err(error) => {
            html! { div class="ask" { @for line in desk.words(&error).lines() { p { (line) } } } }
        }
        Ok(view) => match quarter_turn(&view, nipple, unit) {
            None => {
                html! { p class="note" { "The wheel file gives no tensions: what a nipple does is told about the tensioned wheel. Write them in to see it." } }
            }
            Some(strip) => {
                let drawn = report::svg::draw(&Figure::UnrolledRim(strip), "nipple");
                let drawn = drawn.map_err(|error| desk.undrawn(&error))?;
                html! {
                    div class="wide" tabindex="0" role="region" aria-label="A quarter turn" { (drawn) }
                    @for finding in &view.findings { p class="note" { (finding.says) } }
                }
            }
        },
    };
    let address = format!("/wheels/{label}/nipple");
    let body = html! {
        h1 { "What a nipple does here: " a href={ "/wheels/" (label) } { (described.name) } }
        p { "By the model of this wheel: a quarter turn tighter at nipple " (nipple.number()) " "
            (described.spokes[nipple.0].side.word()) ". Filled points before, open points after; the lines on the rim show how it moves." }
        (answer)
        p class="quiet" { "A model of the wheel as its file describes it, and no plan: no spoke at its limit is tightened, and carbon spokes are not eased in large steps." }
        h2 { "Another nipple" }
        div class="row" {
            @for (place, spoke) in described.placed() {
                a class="button" href={ (address) "?spoke=" (place.number()) } aria-current=[(place == nipple).then_some("true")] {
                    span class=(spoke.side.word()) { (place.number()) " " (spoke.side.word()) }
                }
            }
        }
    };
    Ok(page(&frame, Part::Wheels, "What a nipple does here", &body))
}
