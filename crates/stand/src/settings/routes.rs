//! The addresses of the settings.

use super::{page, who};
use crate::desk::Desk;
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::State;
use axum::http::HeaderValue;
use axum::http::header::SET_COOKIE;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use maud::Markup;

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/settings", get(show).post(settle))
        .route("/settings/who", post(say_who))
        .route("/settings/mechanics", post(enter_mechanic))
}

async fn show(State(desk): State<Desk>, frame: Frame) -> Result<Markup, Refusal> {
    let settings = desk.shop.settings().await.map_err(|e| desk.refuse(&e))?;
    let mechanics = desk.shop.mechanics().await.map_err(|e| desk.refuse(&e))?;
    let fresh = desk.shop.fresh_id().to_string();
    Ok(page::settings(&frame, &settings, &mechanics, &fresh))
}

/// Writes down the settings that were changed; the others stay as they are.
async fn settle(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let pen = frame.pen_for("")?;
    let standing = desk.shop.settings().await.map_err(|e| desk.refuse(&e))?;
    for setting in page::SETTINGS {
        let value = setting.read(&posted);
        let value = value.map_err(|refusal| refusal.then("/settings", "Back to the settings"))?;
        let stands = standing.iter().find(|(key, _)| key == setting.key);
        let stands = stands.map_or(setting.otherwise, |(_, value)| value);
        if !posted.has(setting.key) || value == stands {
            continue;
        }
        if !setting.takes(&value) {
            return Err(Refusal::field(setting.label, setting.about)
                .then("/settings", "Back to the settings"));
        }
        let settled = desk.shop.settle(&pen, setting.key, &value).await;
        settled.map_err(|error| {
            desk.refuse(&error)
                .then("/settings", "Back to the settings")
        })?;
    }
    Ok(Redirect::to("/settings?done"))
}

async fn enter_mechanic(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let pen = frame.pen(&posted)?;
    let said = |name| posted.line(name).map(Option::unwrap_or_default);
    let (name, initials) = (said("name")?, said("initials")?);
    if !initials.is_empty() && !who::is_name(initials) {
        return Err(Refusal::field(
            "What is written on a row",
            "at most 40 letters",
        ));
    }
    let done = desk.shop.enter_mechanic(&pen, name, initials).await;
    desk.back(done, "/settings")
}

async fn say_who(posted: Posted) -> Result<Response, Refusal> {
    let name = posted.needed("name")?;
    if !who::is_name(name) {
        return Err(Refusal::field("Name or initials", "at most 40 letters"));
    }
    let mut response = Redirect::to("/settings?done").into_response();
    if let Ok(cookie) = HeaderValue::from_str(&who::cookie(name)) {
        response.headers_mut().append(SET_COOKIE, cookie);
    }
    Ok(response)
}
