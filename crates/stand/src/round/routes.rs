//! The addresses of a round.

use super::page::{self, Said, said_of};
use super::{ask, plan};
use crate::desk::{Desk, id};
use crate::handed_over::as_report;
use crate::layout::Frame;
use crate::live;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use maud::Markup;
use std::collections::BTreeMap;
use workshop::records::{Error, Id, Sort};
use workshop::true_up;
use workshop::view::{PlanView, RoundView};

const TAKEN_BACK: &str = "taken back at the truing stand";

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/visits/{visit}/round", get(ask::show).post(ask::write))
        .route("/rounds/{plan}", get(show))
        .route("/rounds/{plan}/work", get(work).post(write))
        .route("/rounds/{plan}/print", get(print))
        .route("/rounds/{plan}/live", get(look_on))
}

async fn looked_at(desk: &Desk, plan: &str) -> Result<RoundView, Refusal> {
    desk.shop
        .round(id(plan)?)
        .await
        .map_err(|e| desk.refuse(&e))
}

/// The plan of a round that this program wrote.
fn own(round: &RoundView) -> Result<&PlanView, Refusal> {
    round
        .plan
        .as_ref()
        .ok_or_else(|| Refusal::not_there("such plan"))
}

async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(plan): Path<String>,
) -> Result<Markup, Refusal> {
    let round = looked_at(&desk, &plan).await?;
    let Some(of) = &round.plan else {
        return Ok(plan::foreign(&frame, &round));
    };
    let unit = desk.unit().await?;
    let says = report::html::within(&true_up::grounds(of, unit)).map_err(|e| desk.undrawn(&e))?;
    Ok(plan::plan(&frame, &round, of, &says))
}

async fn print(State(desk): State<Desk>, Path(plan): Path<String>) -> Result<Response, Refusal> {
    let round = looked_at(&desk, &plan).await?;
    let unit = desk.unit().await?;
    let plan = round.as_it_stands();
    let plan = plan.ok_or_else(|| Refusal::not_there("such plan"))?;
    let sheet = true_up::page(&plan, unit).map_err(|e| desk.undrawn(&e))?;
    Ok(as_report(sheet.into_bytes()))
}

async fn work(
    State(desk): State<Desk>,
    frame: Frame,
    Path(plan): Path<String>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Result<Markup, Refusal> {
    let round = looked_at(&desk, &plan).await?;
    let of = own(&round)?;
    let said = said_of(&round, of, asked.get("did").map_or("", String::as_str));
    Ok(shown(&desk, &frame, &round, of, &said))
}

fn shown(desk: &Desk, frame: &Frame, round: &RoundView, plan: &PlanView, said: &Said) -> Markup {
    page::work(frame, round, plan, said, &|| {
        desk.shop.fresh_id().to_string()
    })
}

async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    Path(plan): Path<String>,
    posted: Posted,
) -> Result<Response, Refusal> {
    let about = id(&plan)?;
    let address = format!("/rounds/{plan}/work");
    let pen = frame.pen(&posted)?;
    let number: usize = posted.raw("number").parse().unwrap_or(0);
    let (done, did) = match posted.raw("do") {
        "undo" => match posted.named("last")? {
            None => return Ok(Redirect::to(&address).into_response()),
            Some(last) => {
                let last = desk.seen(last, about).await?;
                (desk.shop.turned_back(&pen, last, TAKEN_BACK).await, "back")
            }
        },
        "pass" => (
            desk.shop.turn_made(&pen, about, number, Some(0.0)).await,
            "passed",
        ),
        "otherwise" => {
            let turns = turns(&desk, &plan, &posted).await;
            let turns =
                turns.map_err(|refusal| refusal.then(address.clone(), "Back to the round"))?;
            (
                desk.shop.turn_made(&pen, about, number, Some(turns)).await,
                "done",
            )
        }
        "done" | "" => (desk.shop.turn_made(&pen, about, number, None).await, "done"),
        _ => return Err(Refusal::no_form()),
    };
    match done {
        Ok(_) => Ok(Redirect::to(&format!("{address}?did={did}")).into_response()),
        Err(error) => told(&desk, &frame, about, &error).await,
    }
}

/// The turns in a form that says how many steps were made.
async fn turns(desk: &Desk, plan: &str, posted: &Posted) -> Result<f64, Refusal> {
    let round = looked_at(desk, plan).await?;
    let steps: Option<i32> = posted.whole("steps", "Steps")?;
    let steps =
        steps.ok_or_else(|| Refusal::field("Steps", "it is empty, and cannot be left out"))?;
    Ok(f64::from(steps) / f64::from(own(&round)?.steps_in_a_turn))
}

/// The page as it stands now, with why nothing was written.
async fn told(desk: &Desk, frame: &Frame, plan: Id, error: &Error) -> Result<Response, Refusal> {
    let (status, outcome) = match error.sort() {
        Sort::Collision => (StatusCode::CONFLICT, "collision"),
        Sort::Input => (StatusCode::UNPROCESSABLE_ENTITY, "asked"),
        _ => {
            return Err(desk
                .refuse(error)
                .then(format!("/rounds/{plan}/work"), "Back to the round"));
        }
    };
    let round = looked_at(desk, &plan.to_string()).await?;
    let words = error.to_string();
    let said = Said {
        outcome,
        aloud: words.lines().next().unwrap_or_default().into(),
        words,
    };
    Ok((status, shown(desk, frame, &round, own(&round)?, &said)).into_response())
}

async fn look_on(State(desk): State<Desk>, Path(plan): Path<String>) -> Result<Response, Refusal> {
    let plan = id(&plan)?;
    Ok(live::about(&desk, vec![plan]).into_response())
}
