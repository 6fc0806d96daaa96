//! What lies on the desk while a visit is read: its other files, the clock, what was found.

use super::Attachments;
use crate::error::Error;
use crate::gauge_file;
use crate::source::Source;
use crate::toml_reader::{Read, Value};
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};
use metrology::Finding;
use metrology::gauge::Gauge;

/// By how much the watch on the wall may be ahead of the clock that refuses the future.
const WATCH_AHEAD: SignedDuration = SignedDuration::from_mins(5);

/// The zone whose date is ahead of all others: what is noted nowhere yet lies in the future.
const FARTHEST_AHEAD: Offset = Offset::constant(14);

/// The first year whose notes are believed: anything before is a slip of the pen.
const FIRST_YEAR: i16 = 1900;

/// What lies on the desk while a visit is read.
pub(super) struct Desk<'a, A> {
    pub(super) now: Timestamp,
    pub(super) attachments: &'a mut A,
    /// Gauges read so far, by the name of their file.
    pub(super) gauges: Vec<(String, Gauge)>,
    pub(super) findings: Vec<Finding>,
    /// The first attached file that is wrong in itself.
    pub(super) refused: Option<Error>,
}

impl<A: Attachments> Desk<'_, A> {
    /// What `read` makes of the file a value names, with its name.
    pub(super) fn attached<T>(
        &mut self,
        value: &Value<'_>,
        read: impl FnOnce(&Source) -> Result<T, Error>,
    ) -> Read<(String, T)> {
        let name = value.text()?;
        let bytes = self.attachments.text(&name).map_err(|reason| {
            value.trouble(
                format!("`{name}` cannot be read: {reason}"),
                "Correct the name, or put the file there.",
            )
        })?;
        match Source::from_bytes(&name, &bytes).and_then(|source| read(&source)) {
            Ok(read) => Ok((name, read)),
            Err(error) => {
                let told = value.trouble(format!("`{name}` is wrong"), "Mend that file first.");
                self.refused.get_or_insert(error);
                Err(told)
            }
        }
    }

    /// The gauge in the file a value names.
    pub(super) fn gauge(&mut self, value: &Value<'_>) -> Read<Gauge> {
        let name = value.text()?;
        if let Some((_, gauge)) = self.gauges.iter().find(|(known, _)| *known == name) {
            return Ok(gauge.clone());
        }
        let (name, gauge) = self.attached(value, gauge_file::read)?;
        if let Some((other, _)) = self
            .gauges
            .iter()
            .find(|(_, other)| other.label == gauge.label)
        {
            return Err(value.trouble(
                format!("`{name}` and `{other}` are both labelled {}", gauge.label),
                "Give each gauge a label of its own: records tell them apart by it.",
            ));
        }
        self.gauges.push((name, gauge.clone()));
        Ok(gauge)
    }

    /// The date in a value, when it is not in the future.
    pub(super) fn date(&self, value: &Value<'_>) -> Read<jiff::civil::Date> {
        let date = value.date()?;
        if date > FARTHEST_AHEAD.to_datetime(self.now).date() {
            return Err(value.trouble(format!("{date} is in the future"), "Correct the date."));
        }
        Self::plausible(value, date)
    }

    /// The instant in a value as RFC 3339 text, when it is not in the future.
    pub(super) fn instant(&self, value: &Value<'_>) -> Read<String> {
        let (instant, offset) = value.instant()?;
        let text = instant.display_with_offset(offset).to_string();
        if instant.duration_since(self.now) > WATCH_AHEAD {
            return Err(value.trouble(
                format!("{text} is in the future"),
                "Correct the date, the time or the zone.",
            ));
        }
        Self::plausible(value, offset.to_datetime(instant).date())?;
        Ok(text)
    }

    fn plausible(value: &Value<'_>, date: jiff::civil::Date) -> Read<jiff::civil::Date> {
        if date.year() < FIRST_YEAR {
            let what = format!("the year {} is long before any gauge", date.year());
            return Err(value.trouble(what, "Correct the year."));
        }
        Ok(date)
    }
}
