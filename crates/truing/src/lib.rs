//! Truing plans: which nipple, which way, how far, in what order, and when to stop.
//!
//! Pure: no clock, no file, no draw without a seed; a long search takes its effort and a stop signal as arguments.
//! [`Estimate`] takes in what was read and turned in every round, [`plan`](plan::plan) gives the turns of the next one,
//! with what to expect of it. Theory in `docs/theory/truing.md`.

mod lattice;
mod relaxation;
pub mod search;

pub mod class;
mod objective;
mod response;
mod weighing;

pub mod estimator;
mod order;
mod outlook;
mod sparse;

pub mod windup;

mod error;
pub mod plan;

pub use class::Class;
pub use error::Error;
pub use estimator::{Estimate, Noise, Readings, Round};
pub use outlook::Shown;
pub use plan::{Plan, Request};
pub use response::{Group, Mean, Response};
