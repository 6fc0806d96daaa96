//! The rules of layout that no compiler checks.
//!
//! A rule is a function from what lies in the checkout to complaints; it reads no disk itself, so
//! that it can be tried on a made-up tree.

pub(crate) mod cases;
mod equations;
mod graph;
mod layout;
mod purity;
mod tree;
mod words;

use std::fmt;

use anyhow::{Result, bail};

use crate::checkout::Checkout;
use crate::lane::Outcome;

pub(crate) use tree::Tree;

/// Something that a rule refuses: where, what, and how to mend it.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Complaint {
    place: String,
    line: usize,
    text: String,
}

impl Complaint {
    /// About a whole file, folder or crate.
    fn of(place: &str, text: impl Into<String>) -> Self {
        Self::at(place, 0, text)
    }

    /// About one line, counted from one.
    fn at(place: &str, line: usize, text: impl Into<String>) -> Self {
        Self {
            place: place.into(),
            line,
            text: text.into(),
        }
    }
}

impl fmt::Display for Complaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            0 => write!(f, "{}: {}", self.place, self.text),
            line => write!(f, "{}:{line}: {}", self.place, self.text),
        }
    }
}

/// Runs every rule over the checkout and fails when one of them complains.
pub(crate) fn tidy(checkout: &Checkout, _words: &[String]) -> Result<Outcome> {
    let tree = Tree::of(checkout)?;
    let mut complaints = graph::edges(checkout.metadata())?;
    for rule in [
        layout::check,
        purity::check,
        words::check,
        cases::check,
        equations::check,
    ] {
        complaints.extend(rule(&tree));
    }
    complaints.sort();
    for complaint in &complaints {
        println!("{complaint}");
    }
    match complaints.len() {
        0 => {
            println!("{} files, no complaint", tree.len());
            Ok(Outcome::Done)
        }
        1 => bail!("one complaint"),
        many => bail!("{many} complaints"),
    }
}
