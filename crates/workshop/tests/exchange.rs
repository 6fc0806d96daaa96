//! Into the ledger and out of it, on either store: files, and the whole of it as lines of JSON.

mod store;

use proptest::prelude::*;
use quantity::force::ForceUnit;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use workshop::records::entry::{Answer, Counted, Face, State, Takes};
use workshop::records::{
    Access, Conflicts, Error, Handed, Id, LapAsked, PartAsked, Pen, Place, Shop, Typed, VisitAsked,
    WheelAsked, WhichWheel,
};
use workshop::view::json;
use workshop::{survey, take_in};

/// A ledger in a place of its own.
struct Open {
    _folder: TempDir,
    shop: Shop,
}

impl Open {
    async fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let own = || Place::Folder(folder.path().join("data"));
        let place = store::database().map_or_else(own, Place::Server);
        let shop = Shop::open(&place, Access::Write).await.expect("open");
        Self {
            _folder: folder,
            shop,
        }
    }

    async fn lines(&self) -> Vec<u8> {
        let mut out = Vec::new();
        self.shop.export(&mut out, |_| ()).await.expect("exported");
        out
    }

    async fn import(&self, lines: &[u8]) -> Result<(u64, u64, usize), Error> {
        let handed = Handed::Text(lines.into());
        let done = self.shop.import(&handed, Conflicts::Refuse, |_| ()).await?;
        Ok((done.written, done.known, done.conflicts.len()))
    }
}

fn demo(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../demo")
        .join(file)
}

/// The demo shows the format; what it says is not checked.
const VISITS: [&str; 4] = [
    "auction-front",
    "ebbstone-front",
    "pilots-tandem-rear",
    "skerrowby-rear",
];

#[tokio::test]
async fn survey_out_of_the_ledger_is_the_survey_of_the_files() {
    let open = Open::new().await;
    for name in VISITS {
        let path = demo(&format!("visits/{name}.toml"));
        let (visit, findings) = take_in::visit(&path).expect("a visit");
        let points: Vec<(String, String)> = visit
            .calibrations
            .iter()
            .map(|set| {
                let kind = &visit.wheel.kinds[set.kind.0].name;
                (
                    set.points_name.clone(),
                    format!("{} on {kind}, ", set.gauge.label),
                )
            })
            .collect();
        let (_, view) = survey::survey(&visit, findings, 7, ForceUnit::Kgf);
        let mut of_files = json(&view).expect("JSON");

        let pen = Pen::of("M");
        let taken_in = open.shop.import_visit(&pen, &path, WhichWheel::New).await;
        let taken_in = taken_in.expect("taken in");
        let view = open
            .shop
            .survey(taken_in.visit, 7, ForceUnit::Kgf)
            .await
            .expect("a survey");
        let mut of_ledger = json(&view).expect("JSON");

        // Files are called by their paths there, and by what they are here.
        of_files = of_files.replace(&format!("../wheels/{name}.toml"), "wheel.toml");
        for (file, called) in points {
            while let Some(at) = of_ledger.find(&called) {
                let day = at + called.len();
                of_ledger.replace_range(at..day + "2026-03-04".len(), &file);
            }
        }
        assert_eq!(of_ledger, of_files, "{name}");

        let again = open
            .shop
            .import_visit(&pen, &path, WhichWheel::This(taken_in.wheel))
            .await;
        assert!(matches!(again, Err(Error::VisitThere { .. })), "{again:?}");
        let unsaid = open
            .shop
            .import_visit(&pen, &path, WhichWheel::Unsaid)
            .await;
        assert!(
            matches!(unsaid, Err(Error::WhichWheel { .. })),
            "{unsaid:?}"
        );
    }
    let shelf = open.shop.shelf(None, 10).await.expect("a shelf").0;
    assert_eq!(shelf.wheels.len(), VISITS.len());
    assert_eq!(
        open.shop.gauges().await.expect("gauges").len(),
        2,
        "each gauge once"
    );
}

#[tokio::test]
async fn demo_goes_out_and_into_another_ledger_and_out_again() {
    let (here, there) = (Open::new().await, Open::new().await);
    for name in VISITS {
        let path = demo(&format!("visits/{name}.toml"));
        let pen = Pen::of("M").of_demo();
        here.shop
            .import_visit(&pen, &path, WhichWheel::New)
            .await
            .expect("taken in");
    }
    let lines = here.lines().await;
    let (written, known, _) = there.import(&lines).await.expect("imported");
    assert!(written > 500 && known == 0, "{written} {known}");
    assert!(there.lines().await == lines, "the same bytes");
    assert_eq!(
        there.import(&lines).await.expect("once more"),
        (0, written, 0)
    );
    let mut rows = Vec::new();
    let count = here
        .shop
        .export_readings(&mut rows, |_| ())
        .await
        .expect("rows");
    let rows = String::from_utf8(rows).expect("UTF-8");
    assert_eq!(rows.lines().count() as u64, count + 1);
    assert!(
        rows.starts_with("wheel,wheel_name,visit_taken,lap,"),
        "{rows:.80}"
    );
}

/// Something that is done in a shop, chosen by numbers.
async fn does(shop: &Shop, what: u8, number: usize, seen: &mut Seen) {
    let pen = Pen::of(["M", "J", "Å \"the\" hand"][number % 3]);
    let typed = Typed {
        raw: format!("{number},5"),
        value: number as f64 + 0.1 * f64::from(what),
    };
    match what {
        0 => {
            let asked = WheelAsked {
                file: std::fs::read_to_string(demo("wheels/auction-front.toml")).expect("a wheel"),
                owner: Some(format!("owner {number}\nwith a line\tbreak")),
                ..WheelAsked::default()
            };
            seen.wheel = Some(shop.take_in_wheel(&pen, asked).await.expect("a wheel").1.id);
        }
        1 => {
            let Some(wheel) = seen.wheel else { return };
            let asked = VisitAsked {
                not_checked: vec!["a\\b".into(), String::new(), "c\nd".into()],
                ..VisitAsked::default()
            };
            seen.visit = Some(
                shop.open_visit(&pen, wheel, asked)
                    .await
                    .expect("a visit")
                    .id,
            );
        }
        2 => {
            let Some(visit) = seen.visit else { return };
            let asked = LapAsked {
                takes: Takes::Radial,
                state: State::Bare,
                gauge: None,
                calibration: None,
                face: Some(Face::Right),
                start: 1 + number % 24,
                counted: Counted::Down,
                tyre: None,
                pressure: None,
                temperature_c: Some(17.3),
                note: None,
            };
            seen.lap = Some(shop.begin_lap(&pen, visit, asked).await.expect("a lap").id);
        }
        3 => {
            let Some(lap) = seen.lap else { return };
            let taken = shop.take(&pen, lap, 1 + number % 24, &typed).await;
            seen.reading = taken.ok().map(|one| one.id).or(seen.reading);
        }
        4 => {
            let Some(reading) = seen.reading.take() else {
                return;
            };
            let _ = shop.take_again(&pen, reading, "a slip", &typed).await;
        }
        5 => {
            let Some(reading) = seen.reading.take() else {
                return;
            };
            let _ = shop.take_back(&pen, reading, "not that one").await;
        }
        6 => {
            let Some(visit) = seen.visit else { return };
            let bytes = vec![what; number];
            let (hash, _) = shop
                .keep_photo(&pen, visit, "image/jpeg", bytes, None)
                .await
                .expect("a photo");
            shop.note_look(&pen, visit, Some(3), "crust", Some(hash))
                .await
                .expect("a look");
        }
        7 => {
            let Some(wheel) = seen.wheel else { return };
            let asked = PartAsked {
                what: "rim".into(),
                serial: Some(format!("B{number}")),
                ..PartAsked::default()
            };
            shop.note_part(&pen, wheel, asked).await.expect("a part");
        }
        8 => {
            let Some(visit) = seen.visit else { return };
            let raw = format!("{}.25", number + 1);
            shop.weigh(&pen, visit, vec!["tape".into()], &raw, Some(0.1))
                .await
                .expect("a mass");
            let text = "Come back.";
            shop.advise(&pen, visit, text, Answer::Open, None)
                .await
                .expect("advice");
        }
        _ => {
            let Some(visit) = seen.visit.take() else {
                return;
            };
            shop.withdraw(&pen, visit).await.expect("withdrawn");
        }
    }
}

/// What was done last.
#[derive(Default)]
struct Seen {
    wheel: Option<Id>,
    visit: Option<Id>,
    lap: Option<Id>,
    reading: Option<Id>,
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(store::cases(12)))]

    #[test]
    fn whatever_was_entered_is_exported_to_the_same_bytes_after_import(
        deeds in prop::collection::vec((0_u8..10, 0_usize..100), 0..40),
    ) {
        let runtime = tokio::runtime::Runtime::new().expect("a runtime");
        let same = runtime.block_on(async {
            let (here, there) = (Open::new().await, Open::new().await);
            let mut seen = Seen::default();
            for start in [0, 1, 2] {
                does(&here.shop, start, 5, &mut seen).await;
            }
            for (what, number) in deeds {
                does(&here.shop, what, number, &mut seen).await;
            }
            let lines = here.lines().await;
            let (written, ..) = there.import(&lines).await.expect("imported");
            written > 2 && there.lines().await == lines
        });
        prop_assert!(same);
    }
}

#[tokio::test]
async fn contradictions_are_listed_and_nothing_is_written_unless_the_rest_is_wanted() {
    let (here, there) = (Open::new().await, Open::new().await);
    let mut seen = Seen::default();
    for start in [0, 1, 2, 3] {
        does(&here.shop, start, 5, &mut seen).await;
    }
    let reading = seen.reading.expect("a reading");
    there.import(&here.lines().await).await.expect("imported");
    let typed = |value: f64| Typed {
        raw: value.to_string(),
        value,
    };
    for (shop, by, value) in [(&here.shop, "M", 6.0), (&there.shop, "J", 7.0)] {
        shop.take_again(&Pen::of(by), reading, "a slip", &typed(value))
            .await
            .expect("taken");
    }
    does(&here.shop, 7, 9, &mut seen).await; // and something that contradicts nothing
    let lines = here.lines().await;
    let before = there.lines().await;
    let told = there
        .import(&lines)
        .await
        .expect_err("a contradiction")
        .to_string();
    assert!(told.contains("line 6, reading"), "{told}");
    assert!(told.contains("changed meanwhile by J"), "{told}");
    assert!(told.contains("Nothing was written"), "{told}");
    assert!(there.lines().await == before, "nothing was written");

    let handed = Handed::Text(lines);
    let done = there
        .shop
        .import(&handed, Conflicts::Leave, |_| ())
        .await
        .expect("the rest");
    assert_eq!((done.written, done.conflicts.len()), (1, 1));
    assert_eq!(done.conflicts[0].kind, "reading");
    let lap = there
        .shop
        .lap(seen.lap.expect("a lap"))
        .await
        .expect("a lap");
    let stands = lap
        .places
        .iter()
        .find_map(|place| place.reading.as_ref()?.value);
    assert_eq!(stands, Some(7.0), "nothing was overwritten");
}

#[tokio::test]
async fn what_is_wrong_in_an_export_is_named_by_its_line() {
    let (here, there) = (Open::new().await, Open::new().await);
    does(&here.shop, 0, 5, &mut Seen::default()).await;
    let text = String::from_utf8(here.lines().await).expect("UTF-8");
    let lines: Vec<&str> = text.lines().collect();
    for (changed, said) in [
        (
            text.replace("rimwright.ledger/1", "rimwright.ledger/7"),
            "standard input:1:1: the format",
        ),
        (
            lines[1..].join("\n"),
            "standard input:1:1: this is no export",
        ),
        (lines[..2].join("\n"), "2:1: the export breaks off"),
        (
            text.replace("\"origin\"", "\"colour\""),
            "2:1: `origin` is missing",
        ),
        (
            text.replacen("\"entries\":1", "\"entries\":2", 1),
            "3:1: 2 entries and 0 photos",
        ),
        (format!("{text}{{}}\n"), "4:1: something follows"),
        (text.replace("\"id\":", "\"id\":!"), "2:7: this is no JSON"),
    ] {
        let told = there
            .import(changed.as_bytes())
            .await
            .expect_err(said)
            .to_string();
        assert!(told.contains(said), "{said}: {told}");
        assert!(told.contains("Nothing was written"), "{told}");
    }
    assert_eq!(
        there
            .lines()
            .await
            .iter()
            .filter(|byte| **byte == b'\n')
            .count(),
        2
    );
    let crlf = text.replace('\n', "\r\n");
    assert_eq!(
        there.import(crlf.as_bytes()).await.expect("imported"),
        (1, 0, 0)
    );
}

#[test]
fn guide_names_every_field_of_an_export() {
    let guide = std::fs::read_to_string(demo("../docs/guide/ledger.md")).expect("the guide");
    for kind in workshop::records::entry::Kind::ALL {
        let start = format!("| `{}` |", kind.word());
        let row = guide.lines().find(|line| line.starts_with(&start));
        let row = row.unwrap_or_else(|| panic!("{} has no row", kind.word()));
        for column in kind.columns() {
            let name = format!("`{}`", column.name);
            assert!(
                row[start.len()..].contains(&name),
                "{}: {name}",
                kind.word()
            );
        }
    }
}
