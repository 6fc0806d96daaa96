//! The shelf's addresses.

use super::{out_of_view, page};
use crate::desk::Desk;
use crate::layout::Frame;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::{Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use maud::Markup;
use std::collections::BTreeMap;

/// Wheels on one page of the shelf.
const A_PAGE: usize = 25;
/// Wheels shown for a search; more means that a word more is needed.
const FOUND: usize = 50;

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/", get(shelf))
        .route("/find", get(find))
        .route(
            out_of_view::ADDRESS,
            get(out_of_view::show).post(out_of_view::bring_back),
        )
}

async fn shelf(State(desk): State<Desk>, frame: Frame) -> Result<Response, Refusal> {
    let refuse = |error| desk.refuse(&error);
    let (shelf, next) = desk.shop.shelf(None, A_PAGE).await.map_err(refuse)?;
    if shelf.wheels.is_empty() && desk.shop.gauges().await.map_err(refuse)?.is_empty() {
        return Ok(crate::start::first(&frame).into_response());
    }
    let unchecked = desk.shop.unchecked_today().await.map_err(refuse)?;
    let unchecked: Vec<_> = unchecked
        .into_iter()
        .map(|gauge| (gauge, desk.shop.fresh_id().to_string()))
        .collect();
    Ok(page::shelf(&frame, &shelf, next.is_some(), &unchecked).into_response())
}

async fn find(
    State(desk): State<Desk>,
    frame: Frame,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Result<Response, Refusal> {
    let wanted = asked.get("wanted").map_or("", |text| text.trim());
    // A whole label leads straight to its wheel: a scanner needs no second tap.
    if let Ok(wheel) = desk.shop.wheel_called(wanted).await {
        let there = desk.shop.life(wheel).await.map_err(|e| desk.refuse(&e))?;
        return Ok(Redirect::to(&format!("/wheels/{}", there.label)).into_response());
    }
    let found: Markup = {
        let found = desk.shop.find(wanted, FOUND).await;
        page::found(&frame, wanted, &found.map_err(|error| desk.refuse(&error))?)
    };
    Ok(found.into_response())
}
