//! Text to checked values and back.
//!
//! Every reader takes a [`Source`], hands out a value of the crates below, or an [`Error`] that
//! names file, line and column, underlines the offending text and says how to mend it. Nothing is
//! repaired silently. No paths, no disk, no clock: bytes come in and text goes out.

mod csv_reader;
mod error;
mod literal;
mod source;
mod toml_writer;

pub mod carry;
pub mod export;
pub mod gauge_file;
pub mod hang_file;
pub mod laps;
pub mod points;
pub mod rig_file;
pub mod state;
pub mod toml_reader;
pub mod visit_file;
pub mod wheel_file;

pub use error::{Error, Trouble};
pub use source::{SIZE_LIMIT, Source};
