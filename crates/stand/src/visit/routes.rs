//! The addresses of a visit.

use super::{notes, page, photo, turned, verdict};
use crate::desk::{Desk, id};
use crate::layout::Frame;
use crate::live;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::Markup;

pub(crate) fn routes() -> Router<Desk> {
    let photos = post(photo::write).layer(DefaultBodyLimit::max(photo::MOST_BYTES));
    Router::new()
        .route("/visits/{visit}", get(show))
        .route("/visits/{visit}/live", get(look_on))
        .route("/visits/{visit}/about", post(notes::about))
        .route("/visits/{visit}/weighings", post(notes::weigh))
        .route("/visits/{visit}/looks", post(notes::look))
        .route(
            "/visits/{visit}/weighings/correct",
            post(notes::correct_weighing),
        )
        .route("/visits/{visit}/looks/correct", post(notes::correct_look))
        .route("/visits/{visit}/limits/correct", post(notes::correct_limit))
        .route("/visits/{visit}/claims/correct", post(notes::correct_claim))
        .route("/visits/{visit}/turns", post(turned::write))
        .route("/visits/{visit}/turns/back", post(turned::back))
        .route("/visits/{visit}/advice", post(notes::advise))
        .route(
            "/visits/{visit}/advice/correct",
            post(notes::correct_advice),
        )
        .route("/visits/{visit}/photos/correct", post(notes::correct_photo))
        .route("/visits/{visit}/answers", post(notes::answer))
        .route("/visits/{visit}/photos", photos)
        .route("/visits/{visit}/verdict", get(verdict::show))
        .route("/visits/{visit}/report", get(verdict::report))
        .route("/visits/{visit}/issue", post(verdict::issue))
        .route("/kept/{hash}", get(photo::kept))
        .route("/issued/{hash}", get(verdict::issued))
}

async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
) -> Result<Markup, Refusal> {
    let view = desk
        .shop
        .visit(id(&visit)?)
        .await
        .map_err(|e| desk.refuse(&e))?;
    Ok(page::visit(&frame, &view, &|| {
        desk.shop.fresh_id().to_string()
    }))
}

async fn look_on(State(desk): State<Desk>, Path(visit): Path<String>) -> Result<Response, Refusal> {
    let visit = id(&visit)?;
    let view = desk.shop.visit(visit).await.map_err(|e| desk.refuse(&e))?;
    let laps = view.laps.iter().filter_map(|lap| lap.entry.id.parse().ok());
    let plans = view
        .plans
        .iter()
        .filter_map(|plan| plan.entry.id.parse().ok());
    let things = std::iter::once(visit).chain(laps).chain(plans).collect();
    Ok(live::about(&desk, things).into_response())
}
