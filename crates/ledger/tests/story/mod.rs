//! One year of an invented workshop, told the same on either store.

use crate::shop::*;
use ledger::backup::{Failed, restore};
use ledger::entry::{Answer, Lap, Outcome, Plan, Report, Rig, Setting, TurnState, Visit};
use ledger::entry::{Body, Mechanic, Standing, Withdrawal};
use ledger::find::{Certainty, Trace, Which};
use ledger::state::{GaugeRecord, Things, Trust, VisitRecord, WheelRecord};
use ledger::{Access, Entry, Hash, Id, Kind, Ledger, Moment, Origin, Place, Refusal, Trouble};
use std::collections::BTreeSet;
use std::path::Path;

/// What the year leaves behind that later chapters ask for.
struct Year {
    wheel: Id,
    visit: Id,
    gauge: Id,
    lap: Id,
    photo: Vec<u8>,
}

/// Tells the whole story in a ledger that is empty; `desk` is a folder for copies.
pub(crate) async fn tell(place: &Place, desk: &Path) {
    let ledger = open(place).await;
    let year = a_wheel_comes_in(&ledger).await;
    what_was_done_is_there(&ledger, &year).await;
    corrections_supersede(&ledger, &year).await;
    two_tablets_on_one_wheel(&ledger, &year).await;
    a_gauge_falls(&ledger, &year).await;
    a_part_is_called_back(&ledger, &year).await;
    the_demo_goes(&ledger).await;
    copies_are_whole(&ledger, desk).await;
    the_record_moves_on(&ledger, place, desk).await;
}

async fn a_wheel_comes_in(ledger: &Ledger) -> Year {
    let now = stamp(0);
    assert_eq!(ledger.newest().await.expect("read"), None);
    let mechanic = Mechanic {
        name: "Mara Tolle".into(),
        initials: "M".into(),
        note: None,
    };
    put(ledger, &now, mechanic).await;
    let setting = Setting {
        key: "decide_at".into(),
        value: "0.95".into(),
    };
    put(ledger, &now, setting).await;
    let label = ledger.free_label(now.at).await.expect("a label");
    let wheel_id = put(ledger, &now, wheel(label, "Slipway rear", "Ines Maran")).await;
    let rim = put(
        ledger,
        &now,
        part(wheel_id, "rim", "Fjordline", Some("FL-0042")),
    )
    .await;
    put(ledger, &now, limit(rim)).await;
    put(ledger, &now, claim(wheel_id)).await;
    let rig_body = Rig {
        name: "the screw by the window".into(),
        note: None,
    };
    let rig = put(ledger, &now, rig_body).await;
    let gauge_id = put(ledger, &now, gauge("G2")).await;
    put(ledger, &now, rod_check(gauge_id, 25.25)).await;
    let calibrated = put(ledger, &now, calibration(gauge_id, rig, 1)).await;
    for number in 1..=6 {
        put(ledger, &now, point(calibrated, number)).await;
    }
    let visited = put(ledger, &now, visit(wheel_id, 2)).await;
    let mut first = lap(visited, Some(gauge_id));
    first.calibration = Some(calibrated);
    let lapped = put(ledger, &stamp(3), first).await;
    for number in 1..=8 {
        put(ledger, &stamp(4), reading(lapped, number, "22,5")).await;
    }
    put(ledger, &stamp(5), weighing(visited)).await;
    let bytes = b"\xff\xd8 a nipple, white with crust".to_vec();
    let hash = ledger.keep(bytes.clone(), at(6)).await.expect("kept");
    put(ledger, &stamp(6), photo(visited, &bytes)).await;
    put(ledger, &stamp(6), look(visited, Some(hash))).await;
    let plan = Plan {
        visit: visited,
        text: "spoke 3: 1/4".into(),
    };
    let planned = put(ledger, &stamp(7), plan).await;
    put(ledger, &stamp(8), turn(planned, 3, 0.25)).await;
    put(ledger, &stamp(8), turn(visited, 5, -0.125)).await;
    put(ledger, &stamp(9), advice(visited)).await;
    let page = b"<!doctype html><title>Slipway rear</title>".to_vec();
    let hash = ledger.keep(page, at(9)).await.expect("kept");
    let report = Report {
        visit: visited,
        hash,
        title: "Slipway rear".into(),
    };
    put(ledger, &stamp(9), report).await;
    Year {
        wheel: wheel_id,
        visit: visited,
        gauge: gauge_id,
        lap: lapped,
        photo: bytes,
    }
}

async fn life(ledger: &Ledger, thing: Id) -> Things {
    ledger
        .life(thing)
        .await
        .expect("read")
        .into_iter()
        .collect()
}

async fn what_was_done_is_there(ledger: &Ledger, year: &Year) {
    let things = life(ledger, year.wheel).await;
    let record = WheelRecord::of(&things, year.wheel).expect("the wheel");
    assert!(record.in_view);
    assert_eq!(record.wheel.body.name, "Slipway rear");
    assert_eq!(record.wheel.stamp, stamp(0));
    assert_eq!(record.parts[0].limits[0].body.unit, "kgf");
    assert_eq!(record.claims.len(), 1);
    let [visited] = &record.visits[..] else {
        panic!("one visit")
    };
    assert_eq!(visited.visit.body, visit(year.wheel, 2));
    assert_eq!(visited.laps[0].readings.len(), 8);
    assert_eq!(visited.laps[0].readings[7].body.raw, "22,5");
    assert_eq!(visited.weighings[0].body, weighing(year.visit));
    assert_eq!(visited.plans[0].turns[0].body.turns, 0.25);
    assert_eq!(visited.turns[0].body.turns, -0.125);
    assert_eq!(visited.advice[0].body.answer, Answer::Refused);
    assert_eq!(visited.reports.len(), 1);
    let told = ledger.without_laps(&[year.wheel]).await.expect("read");
    assert!(
        !told
            .iter()
            .any(|entry| matches!(entry.body.kind(), Kind::Lap | Kind::Reading))
    );
    let told = WheelRecord::of(&told.into_iter().collect(), year.wheel).expect("the wheel");
    let mut without_laps = record.clone();
    without_laps.visits[0].laps.clear();
    assert_eq!(told, without_laps, "all else is there");
    let hash = visited.photos[0].body.hash;
    assert_eq!(ledger.kept(hash).await, Ok(Some(year.photo.clone())));
    assert_eq!(ledger.kept(Hash::of(b"never")).await, Ok(None));
    let gauge = GaugeRecord::of(&life(ledger, year.gauge).await, year.gauge).expect("the gauge");
    assert_eq!(
        gauge
            .newest_calibration("bladed")
            .expect("one")
            .points
            .len(),
        6
    );
    let begun = record.visits[0].laps[0].lap.first_written();
    assert_eq!(gauge.trust(begun), Trust::Checked);
    let kinds: BTreeSet<Kind> = everything(ledger)
        .await
        .iter()
        .map(|e| e.body.kind())
        .collect();
    let untold: Vec<_> = Kind::ALL
        .iter()
        .filter(|kind| !kinds.contains(kind))
        .collect();
    assert_eq!(untold, [&Kind::Withdrawal], "the story tells of every kind");
}

async fn corrections_supersede(ledger: &Ledger, year: &Year) {
    let things = life(ledger, year.visit).await;
    let record = VisitRecord::of(&things, year.visit).expect("the visit");
    let readings = &record.laps[0].readings;
    // Taken again, taken back, skipped.
    let again = reading(year.lap, 2, "23");
    correct(
        ledger,
        readings[1].entry,
        "blade was twisted",
        &stamp(10),
        again,
    )
    .await;
    let mut undone = readings[7].body.clone();
    undone.outcome = Outcome::Undone;
    correct(
        ledger,
        readings[7].entry,
        "undone at the stand",
        &stamp(10),
        undone,
    )
    .await;
    let mut skipped = reading(year.lap, 9, "");
    skipped.outcome = Outcome::Skipped;
    put(ledger, &stamp(10), skipped).await;
    // A turn is turned back.
    let mut back = record.turns[0].body.clone();
    back.state = TurnState::Undone;
    correct(
        ledger,
        record.turns[0].entry,
        "wrong spoke",
        &stamp(10),
        back,
    )
    .await;
    let things = life(ledger, year.visit).await;
    let record = VisitRecord::of(&things, year.visit).expect("the visit");
    let raws: Vec<&str> = record.laps[0]
        .readings
        .iter()
        .map(|r| &*r.body.raw)
        .collect();
    assert_eq!(
        raws,
        ["22,5", "23", "22,5", "22,5", "22,5", "22,5", "22,5", ""]
    );
    let second = &record.laps[0].readings[1];
    let since = (stamp(4).at, stamp(4).zone);
    assert_eq!((&second.stamp, &second.since), (&stamp(10), &since));
    let why = &second.correction.as_ref().expect("a correction").why;
    assert_eq!(why, "blade was twisted");
    let history: Vec<_> = things
        .versions(second.thing)
        .map(|e| e.body.clone())
        .collect();
    let [Body::Reading(old), Body::Reading(new)] = &history[..] else {
        panic!("both versions stay")
    };
    assert_eq!((&*old.raw, &*new.raw), ("22,5", "23"));
    assert_eq!(record.turns[0].body.state, TurnState::Undone);
    // A visit that was written to the wrong wheel takes its laps along.
    let label = ledger.free_label(at(11)).await.expect("a label");
    let other = put(
        ledger,
        &stamp(11),
        wheel(label, "Slipway front", "Ines Maran"),
    )
    .await;
    let mut moved: Visit = record.visit.body.clone();
    moved.wheel = other;
    let wrong = correct(
        ledger,
        record.visit.entry,
        "front, not rear",
        &stamp(11),
        moved,
    )
    .await;
    let count = async |wheel: Id| {
        let record = WheelRecord::of(&life(ledger, wheel).await, wheel).expect("the wheel");
        let laps = record.visits.iter().flat_map(|visit| &visit.laps);
        laps.flat_map(|lap| &lap.readings).count()
    };
    assert_eq!((count(year.wheel).await, count(other).await), (0, 8));
    let home = record.visit.body.clone();
    correct(ledger, wrong, "it was the rear after all", &stamp(12), home).await;
    assert_eq!((count(year.wheel).await, count(other).await), (8, 0));
}

async fn two_tablets_on_one_wheel(ledger: &Ledger, year: &Year) {
    let record = WheelRecord::of(&life(ledger, year.wheel).await, year.wheel).expect("it");
    let standing = record.wheel;
    let renamed = |name: &str, who: &str| {
        let mut wheel = standing.body.clone();
        wheel.name = name.into();
        let id = ledger.next_id(at(13));
        vec![Entry::correcting(
            standing.entry,
            "name",
            id,
            &by(who, 13),
            wheel,
        )]
    };
    let (one, other) = (
        renamed("Slipway rear, red", "M"),
        renamed("Slipway rear, blue", "K"),
    );
    let (first, second) = tokio::join!(ledger.append(one.clone()), ledger.append(other.clone()));
    let (won, lost) = match (first, second) {
        (Ok(_), Err(refusal)) => (&one[0], refusal),
        (Err(refusal), Ok(_)) => (&other[0], refusal),
        both => panic!("one of them is told: {both:?}"),
    };
    let told = Refusal::AlreadySuperseded {
        superseded: standing.entry,
        by: won.id,
        who: won.stamp.by.clone(),
        at: won.stamp.at,
    };
    assert_eq!(lost, told);
    let found = ledger.find("slipway rear", 10).await.expect("read");
    let [card] = &found[..] else {
        panic!("one wheel: {found:?}")
    };
    assert_eq!(
        card.name,
        match &won.body {
            Body::Wheel(wheel) => wheel.name.clone(),
            other => panic!("{other:?}"),
        }
    );
    // The same words for two wheels: their label tells them apart.
    assert_eq!(ledger.find("INES mar", 10).await.expect("read").len(), 2);
    let label = card.label.as_str();
    assert_eq!(
        ledger.find(&label[..4], 10).await.expect("read")[0].wheel,
        year.wheel
    );
    assert!(
        ledger
            .find("ines absent", 10)
            .await
            .expect("read")
            .is_empty()
    );
    assert!(ledger.find(" - ", 10).await.expect("read").is_empty());
}

async fn a_gauge_falls(ledger: &Ledger, year: &Year) {
    let failed = put(ledger, &stamp(20), rod_check(year.gauge, 26.0)).await;
    let between = put(ledger, &stamp(21), lap(year.visit, Some(year.gauge))).await;
    put(ledger, &stamp(22), rod_check(year.gauge, 25.0)).await;
    let after = put(ledger, &stamp(23), lap(year.visit, Some(year.gauge))).await;
    let gauge = GaugeRecord::of(&life(ledger, year.gauge).await, year.gauge).expect("it");
    let doubtful = Trust::Doubtful { failed };
    let things = life(ledger, year.visit).await;
    let trust = |lap: Id| gauge.trust(things.get::<Lap>(lap).expect("a lap").first_written());
    assert_eq!(trust(year.lap), doubtful);
    assert_eq!(trust(between), doubtful);
    assert_eq!(trust(after), Trust::Checked);
    let laps = ledger.laps_with(year.gauge).await.expect("read");
    let laps: Vec<Id> = laps.iter().map(|entry| entry.id).collect();
    assert_eq!(laps, [year.lap, between, after]);
}

async fn a_part_is_called_back(ledger: &Ledger, year: &Year) {
    let mut wheels = Vec::new();
    for (owner, serial) in [
        ("Oda", Some("FL-9")),
        ("Per", Some("FL-100")),
        ("Uno", None),
    ] {
        let label = ledger.free_label(at(30)).await.expect("a label");
        let wheel = put(ledger, &stamp(30), wheel(label, "front", owner)).await;
        put(ledger, &stamp(30), part(wheel, "rim", "fjordline ", serial)).await;
        wheels.push(wheel);
    }
    let range = Which::Serials("fl-10".into(), "FL-0100".into());
    let trace = Trace {
        maker: "FJORDLINE".into(),
        which: range,
    };
    let traced = ledger.trace(&trace).await.expect("read");
    let traced: Vec<_> = traced
        .iter()
        .map(|t| (t.certainty, t.wheel.wheel))
        .collect();
    let (known, unknown) = (Certainty::InRange, Certainty::Unknown);
    assert_eq!(
        traced,
        [
            (known, year.wheel),
            (known, wheels[1]),
            (unknown, wheels[2])
        ]
    );
    for (which, count) in [
        (Which::All, 4),
        (Which::Lots("l7".into(), "L7".into()), 4),
        (Which::Lots("L8".into(), "L9".into()), 0),
    ] {
        let maker = "Fjordline".into();
        let traced = ledger.trace(&Trace { maker, which }).await.expect("read");
        assert_eq!(traced.len(), count);
    }
    // The shelf: the visit first, then the wheels that have none, the newest first, page by page.
    put(ledger, &stamp(31), visit(wheels[0], 31)).await;
    let mut shelf = Vec::new();
    let mut after = None;
    loop {
        let page = ledger.shelf(after, 2).await.expect("read");
        assert!(page.wheels.len() <= 2);
        shelf.extend(page.wheels);
        after = page.next;
        if after.is_none() {
            break;
        }
    }
    let order: Vec<Id> = shelf.iter().map(|card| card.wheel).collect();
    let front = ledger.find("slipway front", 1).await.expect("read")[0].wheel;
    assert_eq!(order, [wheels[0], wheels[2], wheels[1], front, year.wheel]);
    assert_eq!(shelf[4].visits[0].visit, year.visit);
}

async fn the_demo_goes(ledger: &Ledger) {
    let mut demo = stamp(40);
    demo.origin = Origin::Demo;
    let label = ledger.free_label(at(40)).await.expect("a label");
    let shown = put(ledger, &demo, wheel(label, "Lantern rear", "Nobody")).await;
    let visited = put(ledger, &demo, visit(shown, 40)).await;
    put(
        ledger,
        &demo,
        part(shown, "rim", "Fjordline", Some("FL-50")),
    )
    .await;
    let seen = async || {
        let found = ledger.find("lantern", 9).await.expect("read").len();
        let shelf = ledger.shelf(None, 99).await.expect("read").wheels;
        let shelf = shelf.iter().filter(|card| card.wheel == shown).count();
        let which = Which::Serials("FL-50".into(), "FL-50".into());
        let maker = "Fjordline".into();
        let traced = ledger.trace(&Trace { maker, which }).await.expect("read");
        let traced = traced
            .iter()
            .filter(|t| t.certainty == Certainty::InRange)
            .count();
        (found, shelf, traced)
    };
    assert_eq!(seen().await, (1, 1, 1));
    assert_eq!(ledger.withdraw_demo(&stamp(41)).await, Ok(1));
    assert_eq!(seen().await, (0, 0, 0));
    assert_eq!(ledger.withdraw_demo(&stamp(41)).await, Ok(0));
    let things = life(ledger, shown).await;
    assert!(
        !WheelRecord::of(&things, shown)
            .expect("still there")
            .in_view
    );
    assert!(!things.in_view(visited));
    assert!(things.all::<Visit>().is_empty());
    // Whoever wants it back corrects the withdrawal.
    let withdrawal = things.versions(shown).next().map(|_| ledger.life(shown));
    let entries = withdrawal.expect("entries").await.expect("read");
    let withdrawn = entries
        .iter()
        .find(|e| e.body.kind() == Kind::Withdrawal)
        .expect("one");
    let standing = Standing::Restored;
    let back = Withdrawal {
        of: shown,
        standing,
    };
    let back = correct(ledger, withdrawn.id, "shown again", &stamp(42), back).await;
    assert_eq!(seen().await, (1, 1, 1));
    let standing = Standing::Withdrawn;
    let gone = Withdrawal {
        of: shown,
        standing,
    };
    correct(ledger, back, "and gone", &stamp(43), gone).await;
    assert_eq!(seen().await, (0, 0, 0));
}

async fn copies_are_whole(ledger: &Ledger, desk: &Path) {
    let health = ledger.check().await.expect("looked through");
    assert_eq!((health.faults.len(), health.kept), (0, 2));
    let copy = desk.join("copy.2026");
    let copied = ledger.backup(&copy).await.expect("a backup");
    assert_eq!(copied, health);
    assert!(matches!(
        ledger.backup(&copy).await,
        Err(Failed::Occupied { .. })
    ));
    let restored_to = desk.join("restored");
    let restored = restore(&copy, &restored_to, at(50))
        .await
        .expect("restored");
    assert_eq!(restored.health, health);
    assert_eq!(restored.replaced, None);
    let again = restore(&copy, &restored_to, at(51))
        .await
        .expect("restored");
    let old = again.replaced.expect("the old one is kept");
    for folder in [&restored_to, &old] {
        let place = Place::Folder(folder.clone());
        let restored = Ledger::open(&place, Access::Read).await.expect("a ledger");
        assert_eq!(everything(&restored).await, everything(ledger).await);
        let refused = restored.append(vec![]).await.expect_err("only to be read");
        assert_eq!(refused, Refusal::Store(Trouble::ReadOnly));
        restored.close().await;
    }
    // A backup that was damaged is not restored, and what is there stays.
    let kept = std::fs::read_dir(copy.join("kept")).expect("kept").next();
    std::fs::write(kept.expect("one").expect("read").path(), "other").expect("written");
    let refused = restore(&copy, &restored_to, at(52))
        .await
        .expect_err("damaged");
    assert!(matches!(refused, Failed::NotWhole { .. }), "{refused}");
    let place = Place::Folder(restored_to);
    let untouched = Ledger::open(&place, Access::Read).await.expect("a ledger");
    assert_eq!(everything(&untouched).await.len() as i64, health.entries);
}

async fn the_record_moves_on(ledger: &Ledger, place: &Place, desk: &Path) {
    // Everything into an empty ledger, page by page, as an export and an import would.
    let all = everything(ledger).await;
    let other = open(&Place::Folder(desk.join("moved"))).await;
    for page in all.chunks(5) {
        other.take_over(page.to_vec()).await.expect("taken over");
    }
    assert_eq!(everything(&other).await, all);
    let receipt = other.take_over(all.clone()).await.expect("taken over");
    assert_eq!((receipt.written, receipt.known), (0, all.len()));
    let mut changed = all[3].clone();
    changed.stamp.by = "X".into();
    let refused = other
        .take_over(vec![changed])
        .await
        .expect_err("another content");
    assert_eq!(refused, Refusal::OtherContent { id: all[3].id });
    // Closed and opened anew, it goes on where it was.
    ledger.clone().close().await;
    let anew = open(place).await;
    assert_eq!(everything(&anew).await, all);
    assert!(anew.next_id(Moment::from_micros(0)) > all[all.len() - 1].id);
    anew.close().await;
}
