//! Every page there is.

use crate::assets;
use crate::desk::Desk;
use crate::{bench, lap, round, settings, shelf, start, visit, wheel};
use axum::Router;
use axum::routing::get;

pub(crate) fn all() -> Router<Desk> {
    Router::new()
        .route("/assets/{edition}/{name}", get(assets::serve))
        .merge(shelf::routes())
        .merge(start::routes())
        .merge(wheel::routes())
        .merge(visit::routes())
        .merge(lap::routes())
        .merge(round::routes())
        .merge(bench::routes())
        .merge(settings::routes())
}
