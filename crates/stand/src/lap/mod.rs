//! A lap at the truing stand: one large field, the spoke due, and what the records have of it.

mod about;
mod at;
mod entry;
mod late;
pub(crate) mod near;
mod page;
mod routes;
pub(crate) mod spoken;
mod typed;

pub(crate) use at::side;
pub(crate) use routes::routes;
