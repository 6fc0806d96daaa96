//! The use-cases: the one door at which every face of the tool knocks.
//!
//! A use-case takes what a person hands in, asks the crates below, and gives a [`view`]: plain public
//! fields, ready to be printed, sent or drawn. The clock is read in [`clock`] and nowhere else.

pub mod analyse;
pub mod asked;
pub mod build;
pub mod calibrate;
mod cautions;
pub mod class;
pub mod clock;
pub mod lap_watch;
pub mod records;
pub mod report;
mod strip;
pub mod survey;
pub mod sweep;
pub mod take_in;
pub mod true_up;
pub mod typed;
pub mod view;
mod warmth;
pub mod words;
