//! What the shop has settled, and who is at this page.

mod page;
mod routes;
mod who;

pub(crate) use page::device;
pub(crate) use routes::routes;
pub(crate) use who::who;
