//! Values in, documents out: one neutral tree, one writer.
//!
//! A caller fills a [`Document`] with ready texts and with figures described by plain data, every
//! number already in the unit to be shown; [`html::write`] turns it into one self-contained file.
//! [`svg::draw`] draws a figure by itself, for a page, [`svg::file`] for a file.
//!
//! The crate computes no physics, reads no clock and no file, and rounds nothing but the ticks of
//! its axes. Same values, same bytes. Whatever the numbers, a drawing is well-formed; a number that
//! is not finite is an [`Error`], never a hole in the picture.

pub mod document;
pub mod figure;
pub mod html;

pub mod svg;
pub mod table;

mod fonts;
mod words;

pub use document::{Block, Document, Section};
pub use figure::{Error, Figure, Interval, Mark};
pub use table::Table;
