//! Keeping the records: backups, coming back from one, and whether all is well.

use super::pen::{moment, now, told};
use super::{Error, Place, Shop};
use crate::clock;
use crate::view::{BackupView, CheckView, DoctorView, RestoreView};
use jiff::{SignedDuration, Timestamp};
use ledger::backup::{self, Restored};
use ledger::check::Health;
use ledger::entry::Origin;
use ledger::state::GaugeRecord;
use ledger::{Hash, Moment};
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
    /// into the data folder, under the time of day. Where it lies is noted in the data folder, when there is one.
    ///
    /// # Errors
    /// [`Error::Backup`], or [`Error::Unsaid`] without any folder; then there is no backup.
    pub async fn backup(
        &self,
        data: Option<&Path>,
        to: Option<&Path>,
    ) -> Result<BackupView, Error> {
        let at = clock::now();
        let to = match (to, data) {
            (Some(to), _) => to.to_path_buf(),
            (None, Some(data)) => {
                let folder = data.join(BACKUPS);
                std::fs::create_dir_all(&folder).map_err(|why| unwritten(&folder, &why))?;
                folder.join(at.strftime("%Y-%m-%dT%H%M%SZ").to_string())
            }
            (None, None) => {
                return Err(Error::Unsaid {
                    what: "the folder of the backup",
                    mend: "Name one that is not there yet: `rimwright backup DIR`.",
                });
            }
        };
        let health = self.ledger.backup(&to).await?;
        let noted = match data {
            Some(data) => note_backup(&note(data, self.ledger.place()), at, &to),
            None => Err("no data folder is known on this machine".into()),
        };
        let unnoted = |why| {
            format!(
                "Where it lies could not be noted: {why}. `rimwright doctor` will not know of it."
            )
        };
        Ok(BackupView {
            schema: "rimwright.backup/1",
            place: to.display().to_string(),
            entries: health.entries,
            kept: health.kept,
            newest: newest(&health),
            findings: noted.err().map(unnoted).into_iter().collect(),
        })
    }

    /// Whether all is well with the records: whole, with room, backed up, the clock right, the gauges checked.
    /// Backups that were made with the data folder `data` are known there.
    ///
    /// # Errors
    /// [`Error::Trouble`] when they cannot be read at all.
    pub async fn doctor(&self, data: Option<&Path>) -> Result<DoctorView, Error> {
        let place = self.ledger.place();
        let health = self.ledger.check().await?;
        let settled = self.settings().await?;
        let days = |key: &str| {
            let own = settled.iter().find(|(known, _)| known == key);
            let own = own.and_then(|(_, value)| value.parse().ok());
            let usual = DUE_AFTER.iter().find(|(known, _)| *known == key);
            own.unwrap_or(usual.map_or(i64::MAX, |(_, days)| *days))
        };
        let now = clock::now();
        let there = self.ledger.clock_there().await?;
        let mut checks = vec![
            whole(&health, place),
            clock_of(&health, there, now),
            room(place),
        ];
        checks.push(match data {
            Some(data) => last_backup(&note(data, place), now, days("backup_days")),
            None => check(
                "backup",
                "unknown",
                "No data folder is known on this machine, where backups would be noted: say `--data DIR`.",
            ),
        });
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
            place: place.to_string(),
            entries: health.entries,
            kept: health.kept,
            newest: newest(&health),
            is_well: checks.iter().all(|check| check.verdict != "wrong"),
            checks,
        })
    }
}

/// Puts a backup in the place of the records in a data folder. It is looked through before anything is moved,
/// and what was there is moved aside. On a server it goes into a database that has no other records.
///
/// # Errors
/// [`Error::NotRestored`]; then what was there is still there.
pub async fn restore(backup: &Path, place: &Place) -> Result<RestoreView, Error> {
    let restored = match place {
        Place::Folder(data) => backup::restore(backup, data, now()).await,
        Place::Server(_) => backup::fill(backup, place).await.map(|health| Restored {
            health,
            replaced: None,
        }),
    };
    let restored = restored.map_err(|why| Error::NotRestored {
        backup: backup.display().to_string(),
        why,
    })?;
    Ok(RestoreView {
        schema: "rimwright.restore/1",
        place: place.to_string(),
        entries: restored.health.entries,
        kept: restored.health.kept,
        newest: newest(&restored.health),
        replaced: restored.replaced.map(|place| place.display().to_string()),
    })
}

/// Where it is noted when and where these records were backed up last: those on a server have a note of their own.
fn note(data: &Path, place: &Place) -> PathBuf {
    data.join(match place {
        Place::Folder(_) => LAST_BACKUP.into(),
        Place::Server(_) => {
            let hash = Hash::of(place.to_string().as_bytes()).to_string();
            format!("last-backup-of-{}.txt", &hash[..12])
        }
    })
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

fn whole(health: &Health, place: &Place) -> CheckView {
    match &health.faults[..] {
        [] => {
            let files = match place {
                Place::Folder(_) => "The database finds its file whole.",
                Place::Server(_) => {
                    "The server's own files can only be looked through where it stands."
                }
            };
            check(
                "integrity",
                "well",
                format!(
                    "Each of {} entries has its content, each correction what it corrects, and {} photos and \
                     reports the bytes that were kept. {files}",
                    health.entries, health.kept
                ),
            )
        }
        faults => {
            let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
            let mend = match place {
                Place::Folder(_) => {
                    "Stop writing, copy the data folder as it is, then restore the last good backup."
                }
                Place::Server(_) => {
                    "Stop writing, have the database kept as it is, then restore the last good backup into a new one."
                }
            };
            check(
                "integrity",
                "wrong",
                format!("{}. {mend}", faults.join("; ")),
            )
        }
    }
}

fn clock_of(health: &Health, there: Option<Moment>, now: Timestamp) -> CheckView {
    let after_now = |at: Moment| {
        let micros = at.to_micros().saturating_sub(moment(now).to_micros());
        SignedDuration::from_micros(micros)
    };
    let from_there = there.map(after_now);
    if let Some(apart) = from_there.filter(|apart| apart.abs() > CLOCKS_DIFFER) {
        let which = if apart.is_positive() {
            "behind"
        } else {
            "ahead of"
        };
        return check(
            "clock",
            "look",
            format!(
                "It tells {}, {} {which} the server's. Set the one that is wrong right.",
                clock::told(to_the_second(now), &clock::zone()),
                span(apart)
            ),
        );
    }
    let ahead = health.latest.map(after_now);
    match ahead.filter(|ahead| *ahead > CLOCKS_DIFFER) {
        Some(ahead) => check(
            "clock",
            "look",
            format!(
                "An entry was made {} after what the clock tells now: the clock was set back, or was wrong then. \
                 Set it right. The order of entries stands either way.",
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

fn room(place: &Place) -> CheckView {
    let Place::Folder(data) = place else {
        let says = "How much is left where the server stands cannot be told from here: ask whoever keeps it.";
        return check("room", "unknown", says);
    };
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

fn last_backup(note: &Path, now: Timestamp, days: i64) -> CheckView {
    let mend = "Make one with `rimwright backup`, onto another disk at best.";
    let note = std::fs::read_to_string(note).unwrap_or_default();
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
        Some(last) if days_since(last.since.0) > rod_days => {
            asks.push(format!(
                "its last check is {} days old",
                days_since(last.since.0)
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

/// Notes where the last backup lies, beside and renamed; else why it could not be.
fn note_backup(note: &Path, at: Timestamp, to: &Path) -> Result<(), String> {
    let place = std::path::absolute(to).unwrap_or_else(|_| to.to_path_buf());
    let part = note.with_extension("part");
    std::fs::create_dir_all(note.parent().unwrap_or(note))
        .and_then(|()| std::fs::write(&part, format!("{at}\n{}\n", place.display())))
        .and_then(|()| std::fs::rename(&part, note))
        .map_err(|why| format!("{}: {why}", note.display()))
}

fn unwritten(place: &Path, why: &std::io::Error) -> Error {
    backup::Failed::File {
        place: place.display().to_string(),
        why: why.to_string(),
    }
    .into()
}
