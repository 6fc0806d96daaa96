//! Formatting, clippy and the documentation.

use anyhow::Result;

use crate::checkout::{Checkout, run};
use crate::lane::Outcome;

/// Refuses an unformatted file, a warning of clippy in any target, and a broken link in the documentation.
pub(crate) fn lint(checkout: &Checkout, _words: &[String]) -> Result<Outcome> {
    run(&mut checkout.cargo("fmt --all --check"))?;
    run(&mut checkout.cargo("clippy --workspace --all-targets -- -D warnings"))?;
    run(checkout
        .cargo("doc --workspace --no-deps")
        .env("RUSTDOCFLAGS", "-D warnings"))?;
    Ok(Outcome::Done)
}
