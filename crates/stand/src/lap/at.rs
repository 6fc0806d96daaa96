//! Where a lap stands: the place that is due, and the one that was filled last.

use wheel::Side;
use workshop::view::{LapPlaceView, LapView, ReadingView};

/// A lap with the place that the page is about.
#[derive(Debug, Clone)]
pub(crate) struct At {
    /// The lap.
    pub lap: LapView,
    /// The place that is due, from 1; none when the lap is whole.
    pub due: Option<usize>,
    /// Whether a reading stands there that is to be taken again.
    pub is_again: bool,
}

impl At {
    /// The lap at the place that comes next: after the one that was filled last, the first one where
    /// nothing stands, round to the beginning.
    pub(crate) fn next(lap: LapView) -> Self {
        let after = last(&lap).map_or(0, |reading| reading.number);
        let open = |place: &&LapPlaceView| place.reading.is_none();
        let (before, behind) = lap.places.split_at(after.min(lap.places.len()));
        let due = behind.iter().find(open).or(before.iter().find(open));
        let due = due.map(|place| place.number);
        Self {
            due,
            is_again: false,
            lap,
        }
    }

    /// The lap at a place that somebody chose; at the next one when there is no such place.
    pub(crate) fn chosen(lap: LapView, number: usize) -> Self {
        match lap.places.iter().find(|place| place.number == number) {
            Some(place) => Self {
                due: Some(number),
                is_again: place.reading.is_some(),
                lap,
            },
            None => Self::next(lap),
        }
    }

    /// The place that is due.
    pub(crate) fn place(&self) -> Option<&LapPlaceView> {
        self.numbered(self.due?)
    }

    /// A place by its number.
    pub(crate) fn numbered(&self, number: usize) -> Option<&LapPlaceView> {
        self.lap.places.iter().find(|place| place.number == number)
    }

    /// What was entered last and stands.
    pub(crate) fn last(&self) -> Option<&ReadingView> {
        last(&self.lap)
    }

    /// Places with a reading.
    pub(crate) fn taken(&self) -> usize {
        let readings = self
            .lap
            .places
            .iter()
            .filter_map(|place| place.reading.as_ref());
        readings
            .filter(|reading| reading.outcome == "taken")
            .count()
    }

    /// The newest entry that the page shows; changes with every write.
    pub(crate) fn newest(&self) -> &str {
        let newest = self.last().map(|reading| reading.entry.entry.as_str());
        newest.unwrap_or(&self.lap.entry.entry)
    }

    /// The unit of what the lap takes.
    pub(crate) fn unit(&self) -> &'static str {
        match self.lap.takes {
            "reading" => "divisions",
            "pitch" => "Hz",
            _ => "mm",
        }
    }
}

/// The reading that was written last.
fn last(lap: &LapView) -> Option<&ReadingView> {
    let readings = lap.places.iter().filter_map(|place| place.reading.as_ref());
    readings.max_by_key(|reading| reading.entry.order)
}

/// A side by its word.
pub(crate) fn side(word: &str) -> Side {
    if word == Side::Left.word() {
        Side::Left
    } else {
        Side::Right
    }
}

/// `7 right`.
pub(crate) fn spoke(place: &LapPlaceView) -> String {
    format!("{} {}", place.spoke, place.side)
}
