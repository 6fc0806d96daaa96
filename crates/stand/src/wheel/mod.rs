//! A wheel: taken in, its parts, limits and claims, and its life visit by visit.

mod begin_lap;
pub(crate) mod judged;
mod nipple;
mod page;
mod paper;
mod reckoned;
mod routes;
mod take_in;

pub(crate) use page::{correct, of, runout_laps, withdraw};
pub(crate) use routes::routes;
