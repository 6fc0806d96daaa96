//! An invented workshop in a harbour town: the entries that its days make.
#![allow(dead_code, reason = "each test takes what it needs")]

use ledger::entry::*;
use ledger::{Access, Entry, Hash, Id, Label, Ledger, Moment, Origin, Place, Stamp};

/// A morning in March, 2026.
pub(crate) const MORNING: i64 = 1_772_616_000_000_000;
pub(crate) const MINUTE: i64 = 60_000_000;

pub(crate) fn at(minutes: i64) -> Moment {
    Moment::from_micros(MORNING + minutes * MINUTE)
}

pub(crate) fn stamp(minutes: i64) -> Stamp {
    by("M", minutes)
}

pub(crate) fn by(name: &str, minutes: i64) -> Stamp {
    Stamp {
        at: at(minutes),
        zone: "Europe/Oslo".into(),
        by: name.into(),
        origin: Origin::Shop,
    }
}

pub(crate) async fn open(place: &Place) -> Ledger {
    Ledger::open(place, Access::Write).await.expect("a ledger")
}

/// Puts one thing in and yields its id.
pub(crate) async fn put(ledger: &Ledger, stamp: &Stamp, body: impl Into<Body>) -> Id {
    let id = ledger.next_id(stamp.at);
    let entry = Entry::new(id, stamp, body);
    ledger.append(vec![entry]).await.expect("put in");
    id
}

/// Corrects an entry and yields the id of the correction.
pub(crate) async fn correct(
    ledger: &Ledger,
    entry: Id,
    why: &str,
    stamp: &Stamp,
    body: impl Into<Body>,
) -> Id {
    let id = ledger.next_id(stamp.at);
    let entry = Entry::correcting(entry, why, id, stamp, body);
    ledger.append(vec![entry]).await.expect("put in");
    id
}

pub(crate) fn wheel(label: Label, name: &str, owner: &str) -> Wheel {
    Wheel {
        label,
        name: name.into(),
        owner: Some(owner.into()),
        contact: Some("by the slip, after six".into()),
        file: "format = 1\nname = \"rear\"\n# as it came, with a tab\t and ü\n".into(),
        note: None,
    }
}

pub(crate) fn part(wheel: Id, what: &str, maker: &str, serial: Option<&str>) -> Part {
    Part {
        wheel,
        what: what.into(),
        maker: Some(maker.into()),
        model: Some("Breakwater 45".into()),
        lot: Some("L7".into()),
        serial: serial.map(String::from),
        note: None,
    }
}

pub(crate) fn limit(about: Id) -> Limit {
    Limit {
        about,
        part: "rim".into(),
        quantity: "tension".into(),
        value: 120.0,
        unit: "kgf".into(),
        state: Some(State::Bare),
        side: None,
        spoke_kind: None,
        source: "sticker on the rim".into(),
        noted: "2026-03-01".into(),
    }
}

pub(crate) fn claim(about: Id) -> Claim {
    Claim {
        about,
        text: "loses at most 8 % with a tyre on".into(),
        quantity: "tension_loss_percent".into(),
        at_most: Some(8.0),
        at_least: None,
        of_what: None,
        dress: None,
        source: None,
    }
}

pub(crate) fn gauge(label: &str) -> Gauge {
    Gauge {
        label: label.into(),
        file: format!("format = 1\nlabel = \"{label}\"\n"),
        note: None,
    }
}

pub(crate) fn calibration(gauge: Id, rig: Id, minutes: i64) -> Calibration {
    Calibration {
        gauge,
        spoke_kind: "bladed".into(),
        batch: Some("spring delivery".into()),
        taken: at(minutes),
        taken_zone: "Europe/Oslo".into(),
        operator: None,
        temperature_c: Some(17.5),
        rig: Some(rig),
        note: None,
    }
}

pub(crate) fn point(calibration: Id, number: i64) -> Point {
    let force_kgf = 40 + 20 * number;
    Point {
        calibration,
        number,
        raw_reading: format!("{},5", 18 + number),
        reading: 18.5 + number as f64,
        raw_force: format!("{force_kgf} kgf"),
        force_n: force_kgf as f64 * 9.80665,
        direction: Some(Loading::Up),
        u_reading: None,
        u_force_n: Some(0.1),
    }
}

pub(crate) fn rod_check(gauge: Id, reading: f64) -> RodCheck {
    RodCheck {
        gauge,
        raw: reading.to_string(),
        reading,
        expected: 25.0,
        tolerance: 0.5,
        temperature_c: None,
        note: None,
    }
}

pub(crate) fn visit(wheel: Id, minutes: i64) -> Visit {
    Visit {
        wheel,
        taken: at(minutes),
        taken_zone: "+01:00".into(),
        asked: Some("Does it keep its tension with the new tyre?".into()),
        bearing: Some(Bearing::Tight),
        not_checked: vec!["inner layers".into(), "fit of the\nbearings \\ axle".into()],
        note: None,
    }
}

pub(crate) fn lap(visit: Id, gauge: Option<Id>) -> Lap {
    Lap {
        visit,
        takes: Takes::Reading,
        state: State::Tyred,
        gauge,
        calibration: None,
        face: None,
        start: 3,
        counted: Counted::Down,
        tyre: Some("28 mm, slick".into()),
        raw_pressure: Some("6,0 bar".into()),
        pressure_pa: Some(600_000.0),
        temperature_c: Some(18.25),
        note: None,
    }
}

pub(crate) fn reading(lap: Id, number: i64, raw: &str) -> Reading {
    Reading {
        lap,
        number,
        spoke: Some(number),
        angle_deg: None,
        outcome: Outcome::Taken,
        raw: raw.into(),
        value: raw.trim().replace(',', ".").parse().ok(),
    }
}

pub(crate) fn weighing(visit: Id) -> Weighing {
    Weighing {
        visit,
        dress: vec!["tape".into(), "valve".into()],
        raw: "812".into(),
        mass_g: 812.0,
        step_g: Some(1.0),
    }
}

pub(crate) fn look(visit: Id, photo: Option<Hash>) -> Look {
    Look {
        visit,
        spoke: Some(7),
        finding: "white crust at the nipple".into(),
        photo,
    }
}

pub(crate) fn photo(visit: Id, bytes: &[u8]) -> Photo {
    Photo {
        visit,
        hash: Hash::of(bytes),
        media_type: "image/jpeg".into(),
        length: bytes.len() as i64,
        caption: None,
    }
}

pub(crate) fn turn(about: Id, spoke: i64, turns: f64) -> Turn {
    Turn {
        about,
        spoke,
        turns,
        state: TurnState::Done,
    }
}

pub(crate) fn advice(visit: Id) -> Advice {
    Advice {
        visit,
        text: "replace the rim tape".into(),
        answer: Answer::Refused,
        reply: Some("next month".into()),
    }
}

/// What another puts in after a snapshot was taken is not in it, though its id lies among those that are.
pub(crate) async fn snapshot_is_one_state(here: &Ledger, there: &Ledger) {
    let made = |ledger: &Ledger, minutes| {
        let now = stamp(minutes);
        Entry::new(ledger.next_id(now.at), &now, gauge("G1"))
    };
    let (first, between) = (made(here, 1), made(there, 2));
    let last = made(here, 3);
    here.append(vec![first.clone(), last.clone()])
        .await
        .expect("put in");
    let mut snapshot = here.snapshot().await.expect("read");
    let mut seen = snapshot.next(1).await.expect("read");
    there.append(vec![between.clone()]).await.expect("put in");
    while let Some(more) = snapshot.next(1).await.expect("read").pop() {
        seen.push(more);
    }
    assert_eq!(seen, [first.clone(), last.clone()]);
    assert_eq!(everything(here).await, [first, between, last]);
}

/// Every entry, page by page.
pub(crate) async fn everything(ledger: &Ledger) -> Vec<Entry> {
    let mut all: Vec<Entry> = Vec::new();
    let mut snapshot = ledger.snapshot().await.expect("read");
    loop {
        let page = snapshot.next(7).await.expect("read");
        if page.is_empty() {
            return all;
        }
        all.extend(page);
    }
}
