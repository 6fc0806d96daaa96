//! Out of the ledger: all of it as lines of JSON, readings as rows of CSV.

use super::line::Line;
use super::{Error, PAGE};
use crate::records::pen::told;
use crate::records::{self, Hash, Shop};
use files::export::{ReadingRow, heading, row};
use ledger::entry::{Face, Gauge, Lap, Outcome, Reading, Takes, Visit, Wheel};
use ledger::state::{Current, Things};
use ledger::{Body, Kind};
use quantity::Pressure;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;

/// What was exported.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Exported {
    /// Entries.
    pub entries: u64,
    /// Photos and reports by their bytes.
    pub kept: u64,
    /// Photos and reports that entries name and whose bytes are not there.
    pub missing: Vec<Hash>,
}

impl Shop {
    /// Writes the whole ledger as it is now, entry after entry, the bytes of photos and reports before the
    /// first entry that names them. `heard` is told how many entries are written.
    ///
    /// # Errors
    /// [`records::Error`] when the ledger cannot be read or the lines cannot be written.
    pub async fn export(
        &self,
        out: &mut impl Write,
        mut heard: impl FnMut(u64),
    ) -> Result<Exported, records::Error> {
        let mut done = Exported::default();
        put(out, &Line::First.text())?;
        let mut snapshot = self.ledger.snapshot().await?;
        let mut named: BTreeSet<Hash> = BTreeSet::new();
        loop {
            let page = snapshot.next(PAGE).await?;
            if page.is_empty() {
                break;
            }
            for entry in page {
                if let Some(hash) = entry.body.bytes_named().filter(|hash| named.insert(*hash)) {
                    match self.ledger.kept(hash).await? {
                        Some(bytes) => {
                            put(out, &Line::Kept(bytes).text())?;
                            done.kept += 1;
                        }
                        None => done.missing.push(hash),
                    }
                }
                put(out, &Line::Entry(Box::new(entry)).text())?;
                done.entries += 1;
            }
            heard(done.entries);
        }
        let (entries, kept) = (done.entries, done.kept);
        put(out, &Line::Last { entries, kept }.text())?;
        out.flush().map_err(unwritten)?;
        Ok(done)
    }

    /// Writes every reading of every wheel in view as a row of CSV, those that were superseded or taken back
    /// among them. Yields how many.
    ///
    /// # Errors
    /// As [`Shop::export`].
    pub async fn export_readings(
        &self,
        out: &mut impl Write,
        mut heard: impl FnMut(u64),
    ) -> Result<u64, records::Error> {
        put(out, &heading())?;
        let gauges = self.standing(Kind::Gauge).await?.all::<Gauge>();
        let gauges: BTreeMap<_, _> = gauges
            .into_iter()
            .map(|gauge| (gauge.thing, gauge.body.label))
            .collect();
        let mut written = 0;
        for wheel in self.standing(Kind::Wheel).await?.all::<Wheel>() {
            let things = self.things(wheel.thing).await?;
            if !things.in_view(wheel.thing) {
                continue;
            }
            let mut visits: Vec<Current<Visit>> = things.about(wheel.thing);
            visits.sort_by_key(|visit| (visit.body.taken, visit.thing));
            for visit in visits {
                let laps: Vec<Current<Lap>> = things.about(visit.thing);
                for (place, lap) in (1..).zip(laps) {
                    let gauge = lap.body.gauge.and_then(|gauge| gauges.get(&gauge).cloned());
                    let about = About {
                        wheel: &wheel,
                        visit: &visit,
                        lap: &lap,
                        place,
                        gauge,
                    };
                    for reading in rows(&things, &about) {
                        put(out, &row(&reading))?;
                        written += 1;
                    }
                }
            }
            heard(written);
        }
        out.flush().map_err(unwritten)?;
        Ok(written)
    }
}

/// What a reading is a reading of.
struct About<'a> {
    wheel: &'a Current<Wheel>,
    visit: &'a Current<Visit>,
    lap: &'a Current<Lap>,
    place: usize,
    gauge: Option<String>,
}

/// The readings of a lap in every version, place by place.
fn rows(things: &Things, about: &About<'_>) -> Vec<ReadingRow> {
    let mut readings: Vec<Current<Reading>> = things.about(about.lap.thing);
    readings.sort_by_key(|reading| (reading.body.number, reading.thing));
    let of_one = |standing: Current<Reading>| {
        let versions = things.versions(standing.thing);
        versions.filter_map(move |entry| match &entry.body {
            Body::Reading(reading) => Some((entry, reading, entry.id == standing.entry)),
            _ => None,
        })
    };
    let lap = &about.lap.body;
    readings
        .into_iter()
        .flat_map(of_one)
        .map(|(entry, reading, stands)| ReadingRow {
            wheel: about.wheel.body.label.to_string(),
            wheel_name: about.wheel.body.name.clone(),
            visit_taken: told(about.visit.body.taken, &about.visit.body.taken_zone),
            lap: about.place,
            takes: lap.takes.word(),
            state: lap.state.word(),
            pressure_bar: lap.pressure_pa.map(|pa| Pressure::pa(pa).to_bar()),
            gauge: about.gauge.clone(),
            face: lap.face.map(Face::word),
            number: reading.number,
            spoke: reading.spoke,
            angle_deg: reading.angle_deg,
            outcome: Outcome::word(reading.outcome),
            raw: reading.raw.clone(),
            value: reading.value,
            unit: match lap.takes {
                Takes::Reading => "divisions",
                Takes::Lateral | Takes::Radial => "mm",
                Takes::Pitch => "Hz",
            },
            at: told(entry.stamp.at, &entry.stamp.zone),
            by: entry.stamp.by.clone(),
            standing: if stands { "current" } else { "superseded" },
            id: entry.id.to_string(),
        })
        .collect()
}

fn put(out: &mut impl Write, text: &str) -> Result<(), records::Error> {
    out.write_all(text.as_bytes()).map_err(unwritten)
}

fn unwritten(why: std::io::Error) -> records::Error {
    Error::Unwritten(why).into()
}
