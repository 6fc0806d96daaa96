//! A round of truing at the stand: its plan with what it rests on, then one nipple at a time.

mod ask;
mod page;
mod plan;
mod routes;
mod turn;

pub(crate) use plan::plans;
pub(crate) use routes::routes;
