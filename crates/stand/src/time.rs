//! Times as pages say them: as they were read on the clock on the wall.

/// The day of an RFC 3339 text.
pub(crate) fn day(told: &str) -> &str {
    told.split('T').next().unwrap_or(told)
}

/// Day and minute of an RFC 3339 text.
pub(crate) fn minute(told: &str) -> String {
    match told.split_once('T') {
        Some((day, time)) => format!("{day}, {}", time.get(..5).unwrap_or(time)),
        None => told.into(),
    }
}
