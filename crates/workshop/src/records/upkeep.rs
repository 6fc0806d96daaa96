//! Keeping the records: backups, coming back from one, and whether all is well.

use super::pen::{moment, now, told};
use super::{Error, Place, Shop};
use crate::clock;
use crate::view::{BackupView, CheckView, DoctorView, RestoreView};
use jiff::{SignedDuration, Timestamp};
use ledger::backup;
use ledger::check::Health;
use ledger::entry::Origin;
use ledger::state::GaugeRecord;
use std::path::{Path, PathBuf};

/// The folder of backups in a data folder.
const BACKUPS: &str = "backups";
/// The note of the last backup in a data folder: when, and where it lies.
const LAST_BACKUP: &str = "last-backup.txt";

/// Days after which a backup, a check against a rod and a calibration are asked for when the shop settles
/// nothing else under these keys (common practice, no source).
const DUE_AFTER: [(&str, i64); 3] = [
    ("backup_days", 7),
    ("rod_check_days", 30),
    ("calibration_days", 365),
];
/// Room below which a shop with photos is a bad afternoon from a full disk.
const LITTLE_ROOM_BYTES: u64 = 1_000_000_000;
/// Room below which the next lap may not be recorded.
const NO_ROOM_BYTES: u64 = 50_000_000;
/// By how much clocks of workshops and tablets may differ.
const CLOCKS_DIFFER: SignedDuration = SignedDuration::from_mins(5);

impl Shop {
    /// Copies the records into a folder while they are in use, and looks the copy through. Without `to` it goes
    /// into the data folder, under the time of day.
    ///
    /// # Errors
    /// [`Error::Backup`]; then there is no backup.
    pub async fn backup(&self, data: &Path, to: Option<&Path>) -> Result<BackupView, Error> {
        let at = clock::now();
        let to = match to {
            Some(to) => to.to_path_buf(),
            None => {
                let folder = data.join(BACKUPS);
                std::fs::create_dir_all(&folder).map_err(|why| unwritten(&folder, &why))?;
                folder.join(at.strftime("%Y-%m-%dT%H%M%SZ").to_string())
            }
        };
        let health = self.ledger.backup(&to).await?;
        note_backup(data, at, &to)?;
        Ok(BackupView {
            schema: "rimwright.backup/1",
            place: to.display().to_string(),
            entries: health.entries,
            kept: health.kept,
            newest: newest(&health),
        })
    }

    /// Whether all is well with the records: whole, with room, backed up, the clock right, the gauges checked.
    ///
    /// # Errors
    /// [`Error::Trouble`] when they cannot be read at all.
    pub async fn doctor(&self, data: &Path) -> Result<DoctorView, Error> {
        let health = self.ledger.check().await?;
        let settled = self.settings().await?;
        let days = |key: &str| {
            let own = settled.iter().find(|(known, _)| known == key);
            let own = own.and_then(|(_, value)| value.parse().ok());
            let usual = DUE_AFTER.iter().find(|(known, _)| *known == key);
            own.unwrap_or(usual.map_or(i64::MAX, |(_, days)| *days))
        };
        let now = clock::now();
        let mut checks = vec![whole(&health), clock_of(&health, now), room(data)];
        checks.push(last_backup(data, now, days("backup_days")));
        for gauge in self
            .standing(ledger::Kind::Gauge)
            .await?
            .all::<ledger::entry::Gauge>()
        {
            let record = self.gauge_record(gauge.thing).await?;
            let is_shops = record.gauge.stamp.origin == Origin::Shop;
            if record.in_view && is_shops {
                checks.push(of_gauge(
                    &record,
                    now,
                    days("rod_check_days"),
                    days("calibration_days"),
                ));
            }
        }
        Ok(DoctorView {
            schema: "rimwright.doctor/1",
            place: place_words(self.ledger.place()),
            entries: health.entries,
            kept: health.kept,
            newest: newest(&health),
            is_well: checks.iter().all(|check| check.verdict != "wrong"),
            checks,
        })
    }
}

/// Puts a backup in the place of the records in a data folder. It is looked through before anything is moved,
/// and what was there is moved aside.
///
/// # Errors
/// [`Error::NotRestored`]; then what was there is still there.
pub async fn restore(backup: &Path, data: &Path) -> Result<RestoreView, Error> {
    let restored = backup::restore(backup, data, now()).await;
    let restored = restored.map_err(|why| Error::NotRestored {
        backup: backup.display().to_string(),
        why,
    })?;
    Ok(RestoreView {
        schema: "rimwright.restore/1",
        place: data.display().to_string(),
        entries: restored.health.entries,
        kept: restored.health.kept,
        newest: newest(&restored.health),
        replaced: restored.replaced.map(|place| place.display().to_string()),
    })
}

/// A place in words, without what lets one in.
fn place_words(place: &Place) -> String {
    match place {
        Place::Folder(folder) => folder.display().to_string(),
        Place::Server(_) => "the server".into(),
    }
}

fn newest(health: &Health) -> Option<String> {
    health.newest.map(|(_, at)| told(at, &clock::zone()))
}

fn check(about: &'static str, verdict: &'static str, says: impl Into<String>) -> CheckView {
    CheckView {
        about,
        verdict,
        says: says.into(),
    }
}

fn whole(health: &Health) -> CheckView {
    match &health.faults[..] {
        [] => check(
            "integrity",
            "well",
            format!(
                "Every one of {} entries and {} photos and reports is as it was written.",
                health.entries, health.kept
            ),
        ),
        faults => {
            let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
            let mend =
                "Stop writing, copy the data folder as it is, then restore the last good backup.";
            check(
                "integrity",
                "wrong",
                format!("{}. {mend}", faults.join("; ")),
            )
        }
    }
}

fn clock_of(health: &Health, now: Timestamp) -> CheckView {
    let newest = health
        .newest
        .map(|(_, at)| at.to_micros() - moment(now).to_micros());
    let ahead = newest.map(SignedDuration::from_micros);
    match ahead.filter(|ahead| *ahead > CLOCKS_DIFFER) {
        Some(ahead) => check(
            "clock",
            "look",
            format!(
                "The newest entry was made {} after what the clock tells now: the clock was set back, or was wrong \
                 then. Set it right. The order of entries stands either way.",
                span(ahead)
            ),
        ),
        None => check(
            "clock",
            "well",
            format!(
                "It tells {}.",
                clock::told(to_the_second(now), &clock::zone())
            ),
        ),
    }
}

fn room(data: &Path) -> CheckView {
    let nearest = data.ancestors().find(|folder| folder.exists());
    match fs4::available_space(nearest.unwrap_or(Path::new("."))) {
        Err(why) => check(
            "room",
            "look",
            format!("The free room cannot be told: {why}."),
        ),
        Ok(bytes) => {
            let (verdict, mend) = match bytes {
                0..NO_ROOM_BYTES => ("wrong", " Make room now: the next lap may not be recorded."),
                NO_ROOM_BYTES..LITTLE_ROOM_BYTES => {
                    ("look", " Make room before there are more photos.")
                }
                _ => ("well", ""),
            };
            let megabytes = bytes / 1_000_000;
            check(
                "room",
                verdict,
                format!("{megabytes} MB are free where the records lie.{mend}"),
            )
        }
    }
}

fn last_backup(data: &Path, now: Timestamp, days: i64) -> CheckView {
    let mend = "Make one with `rimwright backup`, onto another disk at best.";
    let note = std::fs::read_to_string(data.join(LAST_BACKUP)).unwrap_or_default();
    let mut lines = note.lines();
    let at = lines.next().and_then(|line| line.parse::<Timestamp>().ok());
    let (Some(at), Some(place)) = (at, lines.next()) else {
        return check("backup", "look", format!("There was none yet. {mend}"));
    };
    let age = span(now.duration_since(at));
    if !Path::new(place).exists() {
        return check(
            "backup",
            "look",
            format!("The last one is not at {place} any more. {mend}"),
        );
    }
    match now.duration_since(at) > SignedDuration::from_hours(24 * days) {
        true => check(
            "backup",
            "look",
            format!("The last one is {age} old: {place}. {mend}"),
        ),
        false => check(
            "backup",
            "well",
            format!("The last one is {age} old: {place}."),
        ),
    }
}

fn of_gauge(
    record: &GaugeRecord,
    now: Timestamp,
    rod_days: i64,
    calibration_days: i64,
) -> CheckView {
    let label = &record.gauge.body.label;
    let days_since = |at: ledger::Moment| {
        let micros = moment(now).to_micros().saturating_sub(at.to_micros());
        SignedDuration::from_micros(micros).as_hours() / 24
    };
    let mut asks = Vec::new();
    let mut verdict = "well";
    match record.rod_checks.last() {
        Some(last) if !last.body.is_good() => {
            verdict = "wrong";
            asks.push(format!(
                "its last check read {} where the rod is {} ± {}: find out why before it is used",
                last.body.raw, last.body.expected, last.body.tolerance
            ));
        }
        Some(last) if days_since(last.stamp.at) > rod_days => {
            asks.push(format!(
                "its last check is {} days old",
                days_since(last.stamp.at)
            ));
        }
        Some(_) => {}
        None => asks.push("it was never checked against a rod".into()),
    }
    let newest = record
        .calibrations
        .iter()
        .map(|one| one.calibration.body.taken)
        .max();
    match newest.map(days_since) {
        Some(days) if days > calibration_days => {
            asks.push(format!("its newest calibration is {days} days old"));
        }
        Some(_) => {}
        None => asks.push("it has no calibration: its readings give no force".into()),
    }
    if verdict == "well" && !asks.is_empty() {
        verdict = "look";
    }
    match asks.is_empty() {
        true => check(
            "gauge",
            verdict,
            format!("{label}: checked and calibrated."),
        ),
        false => check("gauge", verdict, format!("{label}: {}.", asks.join("; "))),
    }
}

/// The second in which an instant lies.
fn to_the_second(at: Timestamp) -> Timestamp {
    Timestamp::from_second(at.as_second()).unwrap_or(at)
}

/// A span of time as one says it.
fn span(of: SignedDuration) -> String {
    let minutes = of.as_mins().abs();
    match (minutes / (60 * 24), minutes / 60) {
        (0, 0) => format!("{minutes} minutes"),
        (0, hours) => format!("{hours} hours"),
        (days, _) => format!("{days} days"),
    }
}

/// Notes where the last backup lies, beside and renamed.
fn note_backup(data: &Path, at: Timestamp, to: &Path) -> Result<(), Error> {
    let place = std::path::absolute(to).unwrap_or_else(|_| to.to_path_buf());
    let note: PathBuf = data.join(LAST_BACKUP);
    let part = data.join(format!("{LAST_BACKUP}.part"));
    std::fs::create_dir_all(data)
        .and_then(|()| std::fs::write(&part, format!("{at}\n{}\n", place.display())))
        .and_then(|()| std::fs::rename(&part, &note))
        .map_err(|why| unwritten(&note, &why))
}

fn unwritten(place: &Path, why: &std::io::Error) -> Error {
    backup::Failed::File {
        place: place.display().to_string(),
        why: why.to_string(),
    }
    .into()
}
