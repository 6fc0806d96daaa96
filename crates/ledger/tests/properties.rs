//! Laws: whatever happens in whatever order, the state is the one that replay derives.

mod shop;

use ledger::entry::{Outcome, Standing, Withdrawal};
use ledger::state::{GaugeRecord, Things, WheelRecord};
use ledger::{Body, Entry, Id, Label, Ledger, Place, Refusal};
use proptest::prelude::*;
use proptest::sample::Index;

/// What somebody does next.
#[derive(Debug, Clone)]
enum Deed {
    /// Enters something new: a wheel, or something about what is there.
    New(Index),
    /// Corrects an entry that stands.
    Correct(Index),
    /// Corrects an entry that may have been corrected.
    CorrectAny(Index),
    /// Hands in again what is there.
    Again(Index),
    /// The process ends without a word, and another one opens the folder.
    Crash,
}

fn deeds() -> impl Strategy<Value = Vec<Deed>> {
    let deed = prop_oneof![
        6 => any::<Index>().prop_map(Deed::New),
        3 => any::<Index>().prop_map(Deed::Correct),
        1 => any::<Index>().prop_map(Deed::CorrectAny),
        1 => any::<Index>().prop_map(Deed::Again),
        1 => Just(Deed::Crash),
    ];
    prop::collection::vec(deed, 1..40)
}

/// Something that can be entered when these entries are there.
fn something(number: u32, there: &[Entry], which: &Index) -> Body {
    let last = |kind| {
        there
            .iter()
            .rfind(|e| e.body.kind() == kind && e.correction.is_none())
            .map(|e| e.id)
    };
    use ledger::Kind::{Gauge, Lap, Reading, Visit, Wheel};
    let wheel = || shop::wheel(Label::numbered(number), "rear", "Ines").into();
    match which.index(9) {
        0 => shop::gauge("G1").into(),
        1 => last(Gauge).map_or_else(wheel, |gauge| shop::rod_check(gauge, 25.0).into()),
        2 => last(Wheel).map_or_else(wheel, |wheel| shop::visit(wheel, number.into()).into()),
        3 => last(Visit).map_or_else(wheel, |visit| shop::lap(visit, last(Gauge)).into()),
        4..=6 => last(Lap).map_or_else(wheel, |lap| {
            shop::reading(lap, number.into(), "22,5").into()
        }),
        7 => last(Reading).map_or_else(wheel, |of| {
            let standing = Standing::Withdrawn;
            Withdrawal { of, standing }.into()
        }),
        _ => wheel(),
    }
}

/// The same thing, told otherwise.
fn otherwise(mut body: Body) -> Body {
    match &mut body {
        Body::Wheel(wheel) => wheel.name.push('+'),
        Body::Gauge(gauge) => gauge.file.push('\n'),
        Body::RodCheck(check) => check.reading += 1.0,
        Body::Visit(visit) => visit.note = Some("looked at again".into()),
        Body::Lap(lap) => lap.start += 1,
        Body::Reading(reading) => reading.outcome = Outcome::Undone,
        Body::Withdrawal(withdrawal) => withdrawal.standing = Standing::Restored,
        _ => {}
    }
    body
}

/// Every record that can be made of these things.
fn records(things: &Things) -> (Vec<Option<WheelRecord>>, Vec<Option<GaugeRecord>>) {
    let wheels = things.all::<ledger::entry::Wheel>().into_iter();
    let gauges = things.all::<ledger::entry::Gauge>().into_iter();
    (
        wheels
            .map(|wheel| WheelRecord::of(things, wheel.thing))
            .collect(),
        gauges
            .map(|gauge| GaugeRecord::of(things, gauge.thing))
            .collect(),
    )
}

/// Carries the deeds out, and yields what was acknowledged.
async fn carried_out(place: &Place, deeds: &[Deed]) -> (Ledger, Vec<Entry>) {
    let mut ledger = shop::open(place).await;
    let mut there: Vec<Entry> = Vec::new();
    for (number, deed) in deeds.iter().enumerate() {
        let number = u32::try_from(number).expect("few deeds");
        let now = shop::stamp(i64::from(number));
        let id = ledger.next_id(now.at);
        let superseded = |id: Id| {
            there
                .iter()
                .any(|e| e.correction.as_ref().is_some_and(|c| c.supersedes == id))
        };
        let entry = match deed {
            Deed::New(which) => Entry::new(id, &now, something(number, &there, which)),
            Deed::Correct(which) | Deed::CorrectAny(which) if !there.is_empty() => {
                let old = which.get(&there);
                let any = matches!(deed, Deed::CorrectAny(_));
                if superseded(old.id) && !any {
                    continue;
                }
                Entry::correcting(old.id, "otherwise", id, &now, otherwise(old.body.clone()))
            }
            Deed::Again(which) if !there.is_empty() => {
                let receipt = ledger
                    .append(vec![which.get(&there).clone()])
                    .await
                    .expect("known");
                assert_eq!((receipt.written, receipt.known), (0, 1));
                continue;
            }
            Deed::Crash => {
                drop(ledger); // the hand that writes is not asked to end
                ledger = opened_again(place).await;
                continue;
            }
            _ => continue,
        };
        let expected = entry
            .correction
            .as_ref()
            .is_some_and(|c| superseded(c.supersedes));
        let on_trial = ledger.rehearsal().page(std::slice::from_ref(&entry)).await;
        let on_trial = on_trial.expect("read").pop().map(|(_, refusal)| refusal);
        let put_in = ledger.append(vec![entry.clone()]).await;
        assert_eq!(put_in.as_ref().err(), on_trial.as_ref());
        match put_in {
            Ok(_) => {
                assert!(!expected);
                there.push(entry);
            }
            Err(Refusal::AlreadySuperseded { .. }) => assert!(expected),
            Err(other) => panic!("{other}"),
        }
    }
    (ledger, there)
}

/// The folder is free as soon as the hand that wrote notices that nobody asks any more.
async fn opened_again(place: &Place) -> Ledger {
    loop {
        match Ledger::open(place, ledger::Access::Write).await {
            Ok(ledger) => return ledger,
            Err(ledger::Unopened::InUse { .. }) => tokio::task::yield_now().await,
            Err(other) => panic!("{other}"),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn ledger_holds_what_was_acknowledged_and_derives_what_replay_derives(
        deeds in deeds(),
        order in any::<u64>(),
    ) {
        let runtime = tokio::runtime::Runtime::new().expect("a runtime");
        runtime.block_on(async {
            let desk = tempfile::tempdir().expect("a folder");
            let place = Place::Folder(desk.path().join("data"));
            let (ledger, acknowledged) = carried_out(&place, &deeds).await;
            assert_eq!(shop::everything(&ledger).await, acknowledged);
            let replayed: Things = acknowledged.iter().cloned().collect();
            // A thing's life, out of the store, says of it what all entries say of it.
            for entry in acknowledged.iter().filter(|entry| entry.body.about().is_none()) {
                let thing = replayed.thing_of(entry.id).expect("it is there");
                let life: Things = ledger.life(thing).await.expect("read").into_iter().collect();
                assert_eq!(WheelRecord::of(&life, thing), WheelRecord::of(&replayed, thing));
                assert_eq!(GaugeRecord::of(&life, thing), GaugeRecord::of(&replayed, thing));
            }
            // Any order, and twice.
            let mut shuffled: Vec<Entry> = acknowledged.iter().chain(&acknowledged).cloned().collect();
            shuffled.sort_by_key(|entry| ledger::Hash::of(&[&entry.id.to_bytes()[..], &order.to_le_bytes()].concat()));
            let shuffled: Things = shuffled.into_iter().collect();
            assert_eq!(records(&shuffled), records(&replayed));
            assert_eq!(shuffled, replayed);
            // Into another ledger in pages of another size, in the order of ids.
            let other = shop::open(&Place::Folder(desk.path().join("other"))).await;
            for page in acknowledged.chunks(1 + (order % 5) as usize) {
                other.take_over(page.to_vec()).await.expect("taken over");
            }
            assert_eq!(shop::everything(&other).await, acknowledged);
            assert_eq!(ledger.check().await.expect("looked through").faults, []);
        });
    }

    #[test]
    fn every_number_and_text_is_read_back_exactly(
        value in prop::num::f64::NORMAL | prop::num::f64::SUBNORMAL | prop::num::f64::ZERO,
        text in "(\\PC|[\n\t\r\\\\'\";-]){0,40}",
        texts in prop::collection::vec("(\\PC|[\n\\\\]){0,9}", 0..4),
        micros in any::<i64>(),
    ) {
        let runtime = tokio::runtime::Runtime::new().expect("a runtime");
        runtime.block_on(async {
            let desk = tempfile::tempdir().expect("a folder");
            let ledger = shop::open(&Place::Folder(desk.path().into())).await;
            let now = shop::stamp(0);
            let wheel = shop::put(&ledger, &now, shop::wheel(Label::numbered(1), &text, &text)).await;
            let mut visit = shop::visit(wheel, 0);
            visit.taken = ledger::Moment::from_micros(micros);
            visit.not_checked = texts;
            visit.note = Some(text);
            let visit_id = shop::put(&ledger, &now, visit.clone()).await;
            let mut lap = shop::lap(visit_id, None);
            lap.temperature_c = Some(value);
            shop::put(&ledger, &now, lap.clone()).await;
            let life = ledger.life(wheel).await.expect("read");
            let bodies: Vec<Body> = life.into_iter().map(|entry| entry.body).collect();
            assert_eq!(bodies[1..], [Body::from(visit), Body::from(lap)]);
        });
    }
}
