//! The one place that reads the clock, and the zone of the clock on the wall.

use jiff::Timestamp;
use jiff::fmt::strtime;
use jiff::tz::{Offset, TimeZone};
use std::time::{Duration, Instant};

/// This instant.
#[must_use]
#[expect(
    clippy::disallowed_methods,
    reason = "the one place that reads the clock"
)]
pub fn now() -> Timestamp {
    Timestamp::now()
}

/// Says, each time it is asked, whether so much time has passed since this call.
#[expect(
    clippy::disallowed_methods,
    reason = "the one place that reads the clock"
)]
pub fn timer(limit: Duration) -> impl FnMut() -> bool {
    let from = Instant::now();
    move || limit <= from.elapsed()
}

/// The zone of the clock on the wall: its IANA name, or its offset from UTC when it has none.
#[must_use]
#[expect(
    clippy::disallowed_methods,
    reason = "the one place that asks for the zone"
)]
pub fn zone() -> String {
    let zone = TimeZone::system();
    match zone.iana_name().filter(|_| !zone.is_unknown()) {
        Some(name) => name.into(),
        None => offset_text(zone.to_offset(now())),
    }
}

/// An instant as it is read in a zone, RFC 3339; in UTC when nobody knows the zone.
#[must_use]
pub fn told(at: Timestamp, zone: &str) -> String {
    let offset = offset_of(zone).or_else(|| Some(TimeZone::get(zone).ok()?.to_offset(at)));
    at.display_with_offset(offset.unwrap_or(Offset::UTC))
        .to_string()
}

/// The instant in a text of RFC 3339, and the offset it was read at.
#[must_use]
pub fn read(text: &str) -> Option<(Timestamp, String)> {
    let at: Timestamp = text.parse().ok()?;
    let offset = jiff::fmt::temporal::Pieces::parse(text)
        .ok()?
        .to_numeric_offset();
    Some((at, offset_text(offset.unwrap_or(Offset::UTC))))
}

/// The offset that a text such as `+01:00` names.
fn offset_of(text: &str) -> Option<Offset> {
    strtime::parse("%:z", text).ok()?.offset()
}

fn offset_text(offset: Offset) -> String {
    let seconds = offset.seconds();
    let (sign, minutes) = (if seconds < 0 { '-' } else { '+' }, seconds.abs() / 60);
    format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn instant_is_told_in_the_zone_it_was_read_in() {
        for text in [
            "2026-03-04T10:20:00+01:00",
            "2026-03-04T10:20:00-03:30",
            "2026-03-04T10:20:00.25+00:00",
        ] {
            let (at, zone) = read(text).expect("an instant");
            assert_eq!(told(at, &zone), text);
        }
        let (at, zone) = read("2026-07-04T10:20:00Z").expect("an instant");
        assert_eq!(zone, "+00:00");
        assert_eq!(told(at, "Europe/Lisbon"), "2026-07-04T11:20:00+01:00");
        assert_eq!(told(at, "the moon"), "2026-07-04T10:20:00+00:00");
        assert!(read("tomorrow").is_none());
    }
}
