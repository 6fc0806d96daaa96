//! The one place that reads the clock.

use jiff::Timestamp;

/// This instant.
#[must_use]
#[expect(
    clippy::disallowed_methods,
    reason = "the one place that reads the clock"
)]
pub fn now() -> Timestamp {
    Timestamp::now()
}
