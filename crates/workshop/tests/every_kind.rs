//! Every kind of entry, whatever stands in it, out of one ledger and into another, to the same bytes, on either store.

mod store;

use ledger::entry::{Body, Entry, Kind, Origin, Stamp};
use ledger::{Access, Cell, Column, Hash, Id, Label, Ledger, Moment, Sort};
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::path::Path;
use workshop::records::{Conflicts, Handed, Imported, Place, Shop};

/// What some columns want and no other text serves for; a column takes the first that fits it.
const WORDS: [&str; 22] = [
    "bare",
    "right",
    "reading",
    "radial",
    "taken",
    "undone",
    "skipped",
    "up",
    "down",
    "none",
    "some",
    "done",
    "open",
    "refused",
    "withdrawn",
    "restored",
    "tension",
    "kgf",
    "",
    "tape\nvalve, long\n",
    "a\\\\b\nc\\nd\n\n",
    "image/jpeg",
];

/// Texts as hands type them.
const TEXTS: [&str; 6] = [
    "22,5 ",
    "Å \"the\" hand",
    "a line\nand\tanother\r\n",
    "\\u0041 \u{1f527} \u{feff}",
    "nul is refused, this is not: \u{1}",
    "=1+1",
];

/// Bytes of a photo that was kept.
const PHOTO: &[u8] = b"\xff\xd8 a rim, cracked at the seat";

/// Numbers that follow from a seed.
struct Draws(u64);

impl Draws {
    fn next(&mut self) -> u64 {
        // SplitMix64.
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, most: usize) -> usize {
        (self.next() % most as u64) as usize
    }

    fn of<T: Clone>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())].clone()
    }
}

/// An entry that may stand in that column, among those that are there.
fn named(kind: Kind, column: &Column, there: &[Entry], draws: &mut Draws) -> Option<Id> {
    let kinds = match (column.name, kind) {
        ("about", Kind::Limit) => vec![Kind::Wheel, Kind::Part, Kind::Visit],
        ("about", Kind::Claim) => vec![Kind::Wheel, Kind::Visit],
        ("about", Kind::Turn) => vec![Kind::Plan, Kind::Visit],
        ("of", _) => Kind::ALL.to_vec(),
        (name, _) => vec![Kind::of_word(name).expect("the column is called after a kind")],
    };
    let fitting = there
        .iter()
        .filter(|entry| kinds.contains(&entry.body.kind()))
        .map(|entry| entry.id);
    let fitting: Vec<Id> = fitting.collect();
    (!fitting.is_empty()).then(|| draws.of(&fitting))
}

/// Something of a kind, as random as its columns allow; nothing when what it must name is not there.
fn body(kind: Kind, label: Label, there: &[Entry], draws: &mut Draws) -> Option<Body> {
    let mut cells = Vec::new();
    for column in kind.columns() {
        let cell = match column.sort {
            _ if column.optional && draws.below(3) == 0 => Cell::empty(column.sort),
            Sort::Id => Cell::Id(Some(named(kind, column, there, draws)?)),
            Sort::Whole => Cell::Whole(Some(draws.next() as i64 >> draws.below(60))),
            Sort::Number => {
                let power = draws.below(40) as i32 - 20;
                Cell::Number(Some((draws.next() as i64) as f64 * 10_f64.powi(power)))
            }
            Sort::Text => Cell::Text(Some(draws.of(&TEXTS).into())),
        };
        cells.push(cell);
    }
    let hashes = [PHOTO, b"bytes that nobody kept"].map(|bytes| Hash::of(bytes).to_string());
    let mut words: Vec<String> = WORDS.map(String::from).into();
    words.rotate_left(draws.below(WORDS.len()));
    words.push(label.to_string());
    words.push(draws.of(&hashes));
    let words: Vec<Cell> = words
        .into_iter()
        .map(|word| Cell::Text(Some(word)))
        .collect();
    while let Err(misfit) = Body::of(kind, cells.clone()) {
        let mut columns = kind.columns().iter();
        let place = columns.position(|column| column.name == misfit.column);
        let place = place.expect("the column is one of its own");
        let fits = |word: &&Cell| {
            let mut tried = cells.clone();
            tried[place] = (*word).clone();
            Body::of(kind, tried)
                .err()
                .is_none_or(|other| other.column != misfit.column)
        };
        let word = words.iter().find(fits);
        cells[place] = word.unwrap_or_else(|| panic!("{misfit}")).clone();
    }
    Body::of(kind, cells).ok()
}

fn stamp(draws: &mut Draws) -> Stamp {
    Stamp {
        at: Moment::from_micros(draws.next() as i64 >> draws.below(40)),
        zone: draws.of(&["Europe/Oslo", "+05:45", "UTC"]).into(),
        by: draws.of(&TEXTS).into(),
        origin: draws.of(&[Origin::Shop, Origin::Demo]),
    }
}

/// A ledger with an entry of every kind and more of some, corrections among them.
async fn filled(place: &Place, seed: u64, more: &[usize]) -> Ledger {
    let ledger = Ledger::open(place, Access::Write).await.expect("a ledger");
    let at = Moment::from_micros(1_772_616_000_000_000);
    ledger.keep(PHOTO.into(), at).await.expect("kept");
    let mut draws = Draws(seed);
    let mut there: Vec<Entry> = Vec::new();
    let mut superseded: BTreeSet<Id> = BTreeSet::new();
    let first = Kind::ALL.iter().copied();
    let then = more.iter().map(|place| Kind::ALL[place % Kind::ALL.len()]);
    for kind in first.chain(then) {
        let label = Label::numbered(draws.next() as u32);
        let Some(mut body) = body(kind, label, &there, &mut draws) else {
            continue;
        };
        let (id, stamp) = (ledger.next_id(at), stamp(&mut draws));
        let open = there
            .iter()
            .filter(|entry| entry.body.kind() == kind && !superseded.contains(&entry.id));
        let open: Vec<&Entry> = open.collect();
        let entry = match draws.below(2) {
            1 if !open.is_empty() => {
                let old = draws.of(&open);
                if let (Body::Wheel(new), Body::Wheel(old)) = (&mut body, &old.body) {
                    new.label = old.label; // a wheel keeps it
                }
                superseded.insert(old.id);
                Entry::correcting(old.id, "read\nanew", id, &stamp, body)
            }
            _ => Entry::new(id, &stamp, body),
        };
        there.push(entry);
    }
    let receipt = ledger.take_over(there.clone()).await.expect("put in");
    assert_eq!(receipt.written, there.len());
    ledger
}

async fn lines(shop: &Shop) -> Vec<u8> {
    let mut out = Vec::new();
    shop.export(&mut out, |_| ()).await.expect("exported");
    out
}

async fn import(shop: &Shop, lines: &[u8]) -> Imported {
    let handed = Handed::Text(lines.into());
    let done = shop.import(&handed, Conflicts::Refuse, |_| ()).await;
    done.expect("imported")
}

/// A place of its own, below `desk` or on the server.
fn place(desk: &Path, name: &str) -> Place {
    store::database().map_or_else(|| Place::Folder(desk.join(name)), Place::Server)
}

async fn open(place: &Place) -> Shop {
    Shop::open(place, Access::Write).await.expect("open")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(store::cases(8)))]

    #[test]
    fn every_kind_is_exported_to_the_same_bytes_after_import_into_an_empty_and_a_used_ledger(
        seed in any::<u64>(),
        more in prop::collection::vec(any::<prop::sample::Index>(), 0..60),
    ) {
        let more: Vec<usize> = more.iter().map(|one| one.index(Kind::ALL.len())).collect();
        let runtime = tokio::runtime::Runtime::new().expect("a runtime");
        runtime.block_on(async {
            let desk = tempfile::tempdir().expect("a folder");
            let [here, empty, used, last] = ["here", "empty", "used", "last"].map(|name| place(desk.path(), name));
            filled(&here, seed, &more).await.close().await;
            let here = lines(&open(&here).await).await;
            for kind in Kind::ALL {
                let member = format!("\"{}\":{{", kind.word());
                assert!(String::from_utf8_lossy(&here).contains(&member), "{}", kind.word());
            }
            let empty = open(&empty).await;
            let into_empty = import(&empty, &here).await;
            assert_eq!(into_empty.known, 0);
            assert!(lines(&empty).await == here, "the same bytes");

            filled(&used, seed.wrapping_add(1), &more).await.close().await;
            let used = open(&used).await;
            let own = lines(&used).await.split(|byte| *byte == b'\n').count();
            assert_eq!(import(&used, &here).await.written, into_empty.written);
            let again = import(&used, &here).await;
            assert_eq!((again.written, again.known), (0, into_empty.written));
            let both = lines(&used).await;
            assert!(both.split(|byte| *byte == b'\n').count() > own, "what was there stays");
            let last = open(&last).await;
            import(&last, &both).await;
            assert!(lines(&last).await == both, "the same bytes");
        });
    }
}

/// An export of version 1 as the guide describes it, written by hand: it is read, and comes out as it was written,
/// as long as the guide says so.
#[tokio::test]
async fn export_that_was_written_by_hand_comes_out_as_it_went_in() {
    let written = include_bytes!("exports/version-1.jsonl");
    let desk = tempfile::tempdir().expect("a folder");
    let shop = open(&place(desk.path(), "data")).await;
    let done = import(&shop, written).await;
    let text = std::str::from_utf8(written).expect("UTF-8");
    for kind in Kind::ALL {
        let member = format!("\"{}\":{{", kind.word());
        assert!(text.contains(&member), "{} is not in it", kind.word());
    }
    assert_eq!(
        done.written as usize,
        text.lines().count() - 4,
        "without the first, a photo, a report and the last"
    );
    let out = String::from_utf8(lines(&shop).await).expect("UTF-8");
    for (out, written) in out.lines().zip(text.lines()) {
        assert_eq!(out, written);
    }
    assert_eq!(out, text);
    let mut rows = Vec::new();
    shop.export_readings(&mut rows, |_| ()).await.expect("rows");
    assert_eq!(
        String::from_utf8(rows).expect("UTF-8"),
        include_str!("exports/version-1.csv")
    );
}
