//! The pages beside the truing stand: a form in, one use-case, one view shown.
//!
//! Invariants: bound to this machine alone; every write is a plain form of a page of ours; no path of
//! the file system is made of what a browser sends; a page loads nothing that is not inside the program.
//! Absent: queries, sums, rounding.

mod serve;

mod gate;
mod hand;
mod posted;
mod refusal;

mod desk;
mod handed_over;
mod layout;
mod routes;
mod time;

mod assets;
mod bench;
mod lap;
mod live;
mod round;
mod settings;
mod shelf;
mod start;
mod visit;
mod wheel;

pub use serve::{Error, Stand};
