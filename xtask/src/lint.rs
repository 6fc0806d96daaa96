//! Formatting, clippy and the documentation.

use anyhow::Result;

use crate::checkout::{Checkout, run_all};
use crate::lane::Outcome;

/// Refuses an unformatted file, a warning of clippy in any target, and a broken link in the documentation.
pub(crate) fn lint(checkout: &Checkout, _words: &[String]) -> Result<Outcome> {
    let mut doc = checkout.cargo("doc --workspace --no-deps");
    doc.env("RUSTDOCFLAGS", "-D warnings");
    run_all([
        checkout.cargo("fmt --all --check"),
        checkout
            .cargo("clippy --workspace --all-targets --all-features --keep-going -- -D warnings"),
        doc,
    ])?;
    Ok(Outcome::Done)
}
