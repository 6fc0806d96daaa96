//! Checks against what stands outside the project: guides, handbook tables, general-purpose packages.
//!
//! Each case lives in `validation/<case>/` at the root, with its source beside its numbers.

mod distributions;
mod monte_carlo;
mod propagation;
mod table;
