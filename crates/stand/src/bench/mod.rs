//! The bench: gauges with their checks, and the rig with its curve growing point by point.

mod chart;
mod curve;
mod page;
mod rig;
mod routes;

pub(crate) use page::one_tap;
pub(crate) use routes::routes;
