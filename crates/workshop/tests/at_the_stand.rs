//! What the pages beside the truing stand ask of the records. Wheels and readings are made up.

use ::report::figure::{Figure, Level};
use quantity::Length;
use quantity::force::ForceUnit;
use std::path::Path;
use workshop::build::{Question, TyreLoad};
use workshop::records::entry::{State, Takes};
use workshop::records::{
    Access, Error, Id, LapTaken, LapsGo, LimitAsked, Pen, Place, Shop, Typed, VisitAsked,
    WheelAsked, WhichWheel,
};

const BARE: LapTaken = LapTaken {
    takes: Takes::Reading,
    state: State::Bare,
    face: None,
};

const TYRED: LapTaken = LapTaken {
    state: State::Tyred,
    ..BARE
};

/// A shop in a folder of its own, with a wheel of twelve and twelve.
struct Bench {
    _folder: tempfile::TempDir,
    shop: Shop,
    pen: Pen,
    wheel: Id,
}

impl Bench {
    async fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let place = Place::Folder(folder.path().join("data"));
        let shop = Shop::open(&place, Access::Write).await.expect("open");
        let pen = Pen::of("M");
        let asked = WheelAsked::default();
        let (_, wheel) = shop
            .take_in_unmeasured(&pen, (12, 12), asked)
            .await
            .expect("a wheel");
        Self {
            _folder: folder,
            shop,
            pen,
            wheel: wheel.id,
        }
    }

    async fn visit_of(&self, taken: Option<&str>) -> Id {
        let asked = VisitAsked {
            taken: taken.map(str::to_owned),
            ..VisitAsked::default()
        };
        let visit = self.shop.open_visit(&self.pen, self.wheel, asked).await;
        visit.expect("a visit").id
    }

    async fn visit_of_lap(&self, lap: Id) -> String {
        self.shop.lap(lap).await.expect("a lap").visit
    }
}

#[tokio::test]
async fn lap_goes_into_the_visit_that_is_named_and_else_into_todays() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let old = bench.visit_of(Some("2026-03-04T10:20:00+01:00")).await;
    assert_eq!(
        shop.laps_go(old).await.expect("a visit"),
        LapsGo::AnotherDay
    );
    let first = shop.lap_at_once(pen, bench.wheel, BARE).await.expect("lap");
    let todays = bench.visit_of_lap(first.id).await;
    assert_ne!(todays, old.to_string());
    let second = shop.lap_at_once(pen, bench.wheel, BARE).await.expect("lap");
    assert_eq!(
        bench.visit_of_lap(second.id).await,
        todays,
        "one visit a day"
    );
    let named = shop.lap_within(pen, old, BARE).await.expect("lap");
    assert_eq!(bench.visit_of_lap(named.id).await, old.to_string());
    let of_today: Id = todays.parse().expect("an id");
    assert_eq!(shop.laps_go(of_today).await.expect("a visit"), LapsGo::Here);
    let nowhere = shop.lap_within(pen, bench.wheel, BARE).await;
    assert!(matches!(nowhere, Err(Error::Missing { .. })), "{nowhere:?}");
}

#[tokio::test]
async fn picture_of_a_lap_names_what_was_passed_over_and_leaves_out_what_nobody_came_to() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let lap = shop.lap_at_once(pen, bench.wheel, BARE).await.expect("lap");
    let typed = Typed {
        raw: "22.5".into(),
        value: 22.5,
    };
    shop.take(pen, lap.id, 1, &typed).await.expect("taken");
    shop.skip(pen, lap.id, 2).await.expect("passed over");
    let (view, watched) = shop
        .look_on(lap.id, ForceUnit::Kgf)
        .await
        .expect("looked at");
    assert_eq!(view.due, Some(3));
    let Figure::UnrolledRim(rim) = watched.due_at(3).picture else {
        panic!("a strip")
    };
    let seen = |place: usize| (&rim.spokes[place].level, rim.spokes[place].word.as_str());
    assert!(matches!(seen(0), (Level::Read(_), "")), "{:?}", seen(0));
    assert_eq!(seen(1), (&Level::NotRead, "passed over"));
    assert_eq!(seen(2), (&Level::NotYet, "due"));
    assert!((3..24).all(|place| seen(place) == (&Level::NotYet, "")));
}

#[tokio::test]
async fn what_the_shop_calls_true_is_settled_like_all_else() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let usual = shop.class().await.expect("a class");
    assert_eq!(usual, truing::class::Class::default());
    shop.settle(pen, "class_lateral_mm", "0.3")
        .await
        .expect("settled");
    let settled = shop.class().await.expect("a class");
    assert_eq!(settled.lateral_fir, Length::mm(0.3));
    assert_eq!(settled.radial_fir, usual.radial_fir);
    for value in ["0", "-1", "much", "1e9", "NaN"] {
        let refused = shop.settle(pen, "class_lateral_mm", value).await;
        assert!(matches!(refused, Err(Error::NotThat { .. })), "{value}");
    }
}

#[tokio::test]
async fn build_sheet_is_held_against_the_limits_that_were_noted() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let sheet = || shop.build_sheet(bench.wheel, Question::default());
    assert!(sheet().await.expect("a sheet").builds[0].limits.is_empty());
    let asked = LimitAsked {
        part: "rim".into(),
        value: "125 kgf".into(),
        state: Some(State::Bare),
        source: "sticker".into(),
        ..LimitAsked::default()
    };
    shop.note_limit(pen, bench.wheel, asked)
        .await
        .expect("noted");
    let limits = &sheet().await.expect("a sheet").builds[0].limits;
    let [limit] = &limits[..] else {
        panic!("{limits:?}")
    };
    assert_eq!((limit.source.as_str(), limit.part), ("sticker", "rim"));
    assert_eq!(limit.over, None, "without tensions nothing is passed");
}

/// The demo shows a tyre; what its numbers are is not checked.
#[tokio::test]
async fn build_sheet_takes_the_tyre_of_the_newest_visit_that_shows_one() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let tyre = async |wheel: Id, question: Question| {
        let sheet = shop.build_sheet(wheel, question).await.expect("a sheet");
        sheet.builds[0].tyre.as_ref().map(|tyre| tyre.from.clone())
    };
    assert_eq!(tyre(bench.wheel, Question::default()).await, None);
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/visits");
    let file = demo.join("pilots-tandem-rear.toml");
    let taken_in = shop.import_visit(pen, &file, WhichWheel::New).await;
    let wheel = taken_in.expect("taken in").wheel;
    // Newer ones have a lap in one state alone, or laps that nobody read.
    for laps in [&[BARE][..], &[BARE, TYRED]] {
        let visit = shop.open_visit(pen, wheel, VisitAsked::default()).await;
        for lap in laps {
            let lap = shop.lap_within(pen, visit.as_ref().expect("a visit").id, *lap);
            lap.await.expect("a lap");
        }
    }
    let from = tyre(wheel, Question::default()).await.expect("a tyre");
    assert!(from.contains("the visit of 2026-03-10"), "{from}");
    let stated = Question {
        tyres: vec![TyreLoad::stated(4.0, 0.5)],
        ..Question::default()
    };
    let from = tyre(wheel, stated).await.expect("a tyre");
    assert!(from.starts_with("stated"), "what was asked stays: {from}");
}
