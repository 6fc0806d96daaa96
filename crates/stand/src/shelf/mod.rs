//! The shelf: which wheels there are, and the quickest way to a lap on one.

mod page;
mod routes;

pub(crate) use page::start_laps;
pub(crate) use routes::routes;
