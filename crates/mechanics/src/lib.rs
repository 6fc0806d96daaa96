//! How a wheel answers load and tension.
//!
//! Pure: the same wheel gives the same answer. Nothing here knows how anything was measured.

pub mod statics;
