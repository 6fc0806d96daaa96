//! The shelf: which wheels there are, and the quickest way to a lap on one.

mod out_of_view;
mod page;
mod routes;

pub(crate) use out_of_view::ADDRESS as OUT_OF_VIEW;
pub(crate) use page::start_laps;
pub(crate) use routes::routes;
