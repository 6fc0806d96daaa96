//! Putting entries in, and getting back exactly what was put in.

mod shop;

use ledger::entry::{Counted, Lap, Outcome, Reading, State, Takes, Visit, Wheel};
use ledger::{Access, Entry, Id, Label, Ledger, Moment, Origin, Place, Refusal, Stamp};

const MARCH: i64 = 1_772_616_000_000_000;

fn stamp(at: i64) -> Stamp {
    Stamp {
        at: Moment::from_micros(MARCH + at),
        zone: "Europe/Oslo".into(),
        by: "M".into(),
        origin: Origin::Shop,
    }
}

async fn open(folder: &tempfile::TempDir) -> Ledger {
    let place = Place::Folder(folder.path().join("data"));
    Ledger::open(&place, Access::Write).await.expect("a ledger")
}

fn wheel(label: Label) -> Wheel {
    Wheel {
        label,
        name: "rear".into(),
        owner: Some("Ines Maran".into()),
        contact: None,
        file: "format = 1\n".into(),
        note: None,
    }
}

fn visit(wheel: Id) -> Visit {
    Visit {
        wheel,
        taken: Moment::from_micros(MARCH),
        taken_zone: "+01:00".into(),
        asked: None,
        bearing: None,
        not_checked: vec!["inner layers".into()],
        note: None,
    }
}

#[tokio::test]
async fn what_was_put_in_is_read_back_after_opening_anew() {
    let folder = tempfile::tempdir().expect("a folder");
    let ledger = open(&folder).await;
    let now = stamp(0);
    let label = ledger.free_label(now.at).await.expect("a label");
    let [a, b, c, d] = [(); 4].map(|()| ledger.next_id(now.at));
    let lap = Lap {
        visit: b,
        takes: Takes::Reading,
        state: State::Bare,
        gauge: None,
        calibration: None,
        face: None,
        start: 1,
        counted: Counted::Up,
        tyre: None,
        raw_pressure: None,
        pressure_pa: None,
        temperature_c: Some(18.5),
        note: None,
    };
    let reading = Reading {
        lap: c,
        number: 1,
        spoke: Some(1),
        angle_deg: None,
        outcome: Outcome::Taken,
        raw: "22,5 ".into(),
        value: Some(22.5),
    };
    let entries = vec![
        Entry::new(a, &now, wheel(label)),
        Entry::new(b, &now, visit(a)),
        Entry::new(c, &now, lap),
        Entry::new(d, &now, reading),
    ];
    let mut feed = ledger.feed();
    let receipt = ledger.append(entries.clone()).await.expect("put in");
    assert_eq!((receipt.written, receipt.known), (4, 0));
    assert_eq!(feed.recv().await.expect("told")[..], entries[..]);
    let receipt = ledger.append(entries.clone()).await.expect("put in");
    assert_eq!((receipt.written, receipt.known), (0, 4));
    ledger.close().await;
    let log = folder.path().join("data/rimwright.sqlite3-wal");
    assert!(!log.exists(), "what was closed is one file");
    let ledger = open(&folder).await;
    assert_eq!(ledger.life(a).await.expect("read"), entries);
    assert_eq!(ledger.labelled(label).await.expect("read"), Some(a));
    assert!(ledger.next_id(Moment::from_micros(0)) > d);
}

#[tokio::test]
async fn of_two_corrections_of_one_entry_the_second_is_told_whose_was_first() {
    let folder = tempfile::tempdir().expect("a folder");
    let ledger = open(&folder).await;
    let now = stamp(0);
    let label = Label::numbered(7);
    let [a, b, c] = [(); 3].map(|()| ledger.next_id(now.at));
    let first = Entry::new(a, &now, wheel(label));
    ledger.append(vec![first]).await.expect("put in");
    let quick = Entry::correcting(a, "name", b, &now, wheel(label));
    let slow = Entry::correcting(a, "owner", c, &now, wheel(label));
    ledger.append(vec![quick]).await.expect("put in");
    let refused = ledger.append(vec![slow]).await.expect_err("refused");
    assert_eq!(
        refused,
        Refusal::AlreadySuperseded {
            superseded: a,
            by: b,
            who: "M".into(),
            at: now.at
        }
    );
}

#[tokio::test]
async fn snapshot_is_one_state_of_a_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let ledger = open(&folder).await;
    shop::snapshot_is_one_state(&ledger, &ledger).await;
}

#[tokio::test]
async fn thing_is_read_in_all_its_versions_without_what_is_about_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let ledger = open(&folder).await;
    let now = stamp(0);
    let label = ledger.free_label(now.at).await.expect("a label");
    let [first, later, about] = [(); 3].map(|()| ledger.next_id(now.at));
    let mut renamed = wheel(label);
    renamed.name = "rear, rebuilt".into();
    let entries = vec![
        Entry::new(first, &now, wheel(label)),
        Entry::correcting(first, "rebuilt", later, &now, renamed),
        Entry::new(about, &now, visit(first)),
    ];
    ledger.append(entries.clone()).await.expect("put in");
    // Any version names the thing.
    for named in [first, later] {
        let versions = ledger.versions(named).await.expect("read");
        assert_eq!(versions, entries[..2], "{named}");
    }
    assert_eq!(ledger.versions(about).await.expect("read"), entries[2..]);
    let nobody = ledger.next_id(now.at);
    assert_eq!(ledger.versions(nobody).await.expect("read"), []);
    ledger.close().await;
}

#[tokio::test]
async fn what_rests_on_a_look_is_not_put_in_after_something_came_between() {
    let folder = tempfile::tempdir().expect("a folder");
    let ledger = open(&folder).await;
    let now = stamp(0);
    let label = ledger.free_label(now.at).await.expect("a label");
    let [rear, first, second, third] = [(); 4].map(|()| ledger.next_id(now.at));
    let entry = |id: Id| vec![Entry::new(id, &now, visit(rear))];
    let wheel = vec![Entry::new(rear, &now, wheel(label))];
    ledger.append(wheel).await.expect("put in");
    let before = ledger.seen(rear).await.expect("seen");
    let put = ledger.append_as_seen(entry(first), before).await;
    assert_eq!(put.expect("nothing came between").written, 1);
    let late = ledger.append_as_seen(entry(second), before).await;
    assert_eq!(late, Err(Refusal::NotAsSeen { thing: rear }));
    let again = ledger.append_as_seen(entry(first), before).await;
    assert_eq!(again.expect("it is there").known, 1);
    let now_seen = ledger.seen(rear).await.expect("seen");
    let put = ledger.append_as_seen(entry(third), now_seen).await;
    assert_eq!(put.expect("looked anew").written, 1);
}
