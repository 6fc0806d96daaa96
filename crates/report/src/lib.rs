//! Values in, documents out: one neutral tree, one writer.
//!
//! A caller fills a [`Document`] with ready texts and with figures described by plain data, every
//! number already in the unit to be shown; [`html::write`] turns it into one self-contained file.
//! [`html::within`] writes it into a page of somebody else. [`svg::draw`] draws a figure by itself, for a page,
//! [`svg::file`] for a file.
//!
//! ```
//! use report::document::{Block, Document, OnPaper, Section, Standing, Verdict};
//!
//! let document = Document {
//!     lang: "en".into(),
//!     title: "Rear wheel, as received".into(),
//!     about: Vec::new(),
//!     verdict: Verdict {
//!         sentence: "Whether every spoke is under its limit cannot be told.".into(),
//!         standing: Standing::Open,
//!         grounds: vec!["No limit of the rim is known.".into()],
//!     },
//!     sections: vec![Section {
//!         heading: "Not checked".into(),
//!         on_paper: OnPaper::Follows,
//!         blocks: vec![Block::List(vec!["Bearing fit under load.".into()])],
//!     }],
//!     signature: None,
//!     code_line: "sample".into(),
//! };
//! let file = report::html::write(&document)?;
//! assert!(file.starts_with("<!DOCTYPE html>"));
//! # Ok::<(), report::Error>(())
//! ```
//!
//! The crate computes no physics, reads no clock and no file, and rounds nothing but the ticks of
//! its axes. Same values, same bytes. Whatever the numbers, a drawing is well-formed; a number that
//! is not finite is an [`Error`], never a hole in the picture.

pub mod document;
pub mod figure;
pub mod fonts;
pub mod html;

pub mod svg;
pub mod table;

mod words;

pub use document::{Block, Document, Section};
pub use figure::{Error, Figure, Interval, Mark};
pub use table::Table;
