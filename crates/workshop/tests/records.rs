//! The use-cases on the ledger, as one works with them, on either store. The wheel and its readings are made up.

mod store;

use workshop::records::entry::{Answer, Counted, Face, State, Takes};
use workshop::records::{
    Access, CalibrationAsked, CheckAsked, ClaimAsked, Error, Id, LapAsked, LapChanges, LimitAsked,
    News, PartAsked, Pen, Place, PointAsked, Shop, Typed, VisitAsked, WheelAsked,
};

const WHEEL: &str = r#"format = 1
name = "bench wheel"

[rim]
seats = 16
seat_diameter_mm = 594.0
sides = ["right", "left"]

[[kind]]
name = "plain"
wire_mm = 2.0

[right]
hole_circle_mm = 44.0
flange_offset_mm = 33.0
flange_mm = 3.0
crosses = 2
roles = ["trailing", "leading"]
heads = ["in", "out"]

[left]
hole_circle_mm = 44.0
flange_offset_mm = 33.0
flange_mm = 3.0
crosses = 2
roles = ["trailing", "leading"]
heads = ["in", "out"]

[measured]
flange_offset_u_mm = 0.3
dish_mm = 0.1
dish_u_mm = 0.2
"#;

const GAUGE: &str = "format = 1\nlabel = \"G\"\nresolution = 0.5\nrepeatability = 0.25\n";

/// A shop in a place of its own, with a wheel, a gauge and a visit.
struct Bench {
    _folder: tempfile::TempDir,
    shop: Shop,
    pen: Pen,
    wheel: Id,
    gauge: Id,
    visit: Id,
}

impl Bench {
    async fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let own = || Place::Folder(folder.path().join("data"));
        let place = store::database().map_or_else(own, Place::Server);
        let shop = Shop::open(&place, Access::Write).await.expect("open");
        let pen = Pen::of("M");
        let asked = WheelAsked {
            file: WHEEL.into(),
            owner: Some("the pilots".into()),
            ..WheelAsked::default()
        };
        let (_, wheel) = shop.take_in_wheel(&pen, asked).await.expect("a wheel");
        let gauge = shop
            .take_in_gauge(&pen, GAUGE, None)
            .await
            .expect("a gauge");
        let visit = shop
            .open_visit(&pen, wheel.id, VisitAsked::default())
            .await
            .expect("a visit");
        Self {
            _folder: folder,
            shop,
            pen,
            wheel: wheel.id,
            gauge: gauge.id,
            visit: visit.id,
        }
    }

    fn readings(&self) -> LapAsked {
        LapAsked {
            takes: Takes::Reading,
            state: State::Bare,
            gauge: Some(self.gauge),
            calibration: None,
            face: None,
            start: 3,
            counted: Counted::Down,
            tyre: None,
            pressure: None,
            temperature_c: None,
            note: None,
        }
    }

    async fn lap(&self) -> Id {
        let begun = self.shop.begin_lap(&self.pen, self.visit, self.readings());
        begun.await.expect("a lap").id
    }

    async fn take(&self, lap: Id, number: usize, raw: &str) -> Result<Id, Error> {
        let taken = self.shop.take(&self.pen, lap, number, &typed(raw)).await;
        taken.map(|written| written.id)
    }
}

fn typed(raw: &str) -> Typed {
    Typed {
        raw: raw.into(),
        value: raw.replace(',', ".").parse().expect("a number"),
    }
}

/// A check against a rod of 22 divisions, give or take a quarter.
fn on_rod(reading: &str) -> CheckAsked {
    CheckAsked {
        reading: reading.into(),
        expected: 22.0,
        tolerance: 0.25,
        ..CheckAsked::default()
    }
}

fn id(text: &str) -> Id {
    text.parse().expect("an id")
}

#[tokio::test]
async fn lap_keeps_its_place_over_readings_gaps_and_what_is_taken_back() {
    let bench = Bench::new().await;
    let lap = bench.lap().await;
    let view = bench.shop.lap(lap).await.expect("a lap");
    let spokes: Vec<usize> = view.places.iter().map(|place| place.spoke).collect();
    assert_eq!((spokes.len(), &spokes[..4]), (16, &[3, 2, 1, 16][..]));
    assert_eq!((view.due, view.gauge.as_deref()), (Some(1), Some("G")));

    bench.take(lap, 1, "22,5").await.expect("taken");
    bench.shop.skip(&bench.pen, lap, 2).await.expect("skipped");
    let third = bench.take(lap, 3, "23").await.expect("taken");
    assert_eq!(bench.shop.lap(lap).await.expect("a lap").due, Some(4));

    bench
        .shop
        .take_back(&bench.pen, third, "slipped")
        .await
        .expect("undone");
    assert_eq!(bench.shop.lap(lap).await.expect("a lap").due, Some(3));
    bench
        .take(lap, 3, "22")
        .await
        .expect("taken after it was taken back");
    bench
        .take(lap, 2, "24")
        .await
        .expect("taken after it was passed over");
    let view = bench.shop.lap(lap).await.expect("a lap");
    let read: Vec<_> = view
        .places
        .iter()
        .filter_map(|place| place.reading.as_ref()?.value)
        .collect();
    assert_eq!((read, view.due), (vec![22.5, 24.0, 22.0], Some(4)));
    let second = view.places[1].reading.as_ref().expect("a reading");
    assert_eq!(
        second.entry.why.as_deref(),
        Some("taken after it was passed over")
    );
}

#[tokio::test]
async fn form_that_is_sent_twice_is_taken_once() {
    let bench = Bench::new().await;
    let lap = bench.lap().await;
    let pen = bench.pen.clone().with_id(bench.shop.fresh_id());
    for _ in 0..2 {
        bench
            .shop
            .take(&pen, lap, 1, &typed("22.5"))
            .await
            .expect("taken");
    }
    assert_eq!(bench.shop.lap(lap).await.expect("a lap").due, Some(2));
    let pen = bench.pen.clone().with_id(bench.shop.fresh_id());
    let asked = || WheelAsked {
        file: WHEEL.into(),
        ..WheelAsked::default()
    };
    let (label, first) = bench
        .shop
        .take_in_wheel(&pen, asked())
        .await
        .expect("a wheel");
    let (again, second) = bench
        .shop
        .take_in_wheel(&pen, asked())
        .await
        .expect("a wheel");
    assert_eq!((label, first.id), (again, second.id));
    assert_eq!(
        bench
            .shop
            .shelf(None, 10)
            .await
            .expect("a shelf")
            .0
            .wheels
            .len(),
        2
    );
}

#[tokio::test]
async fn second_hand_at_the_same_place_is_told_and_overwrites_nothing() {
    let bench = Bench::new().await;
    let lap = bench.lap().await;
    let seen = bench.take(lap, 1, "22.5").await.expect("taken");
    match bench.take(lap, 1, "30").await {
        Err(Error::PlaceTaken { raw, by, entry, .. }) => {
            assert_eq!((raw.as_str(), by.as_str(), entry), ("22.5", "M", seen));
        }
        other => panic!("not {other:?}"),
    }
    let again = |pen: Pen, raw: &'static str| {
        let shop = bench.shop.clone();
        async move {
            shop.take_again(&pen, seen, "a twisted blade", &typed(raw))
                .await
        }
    };
    again(bench.pen.clone(), "23").await.expect("taken again");
    let told = again(Pen::of("J"), "24")
        .await
        .expect_err("somebody was quicker");
    assert!(
        told.to_string().contains("changed meanwhile by M"),
        "{told}"
    );
    let view = bench.shop.lap(lap).await.expect("a lap");
    assert_eq!(
        view.places[0].reading.as_ref().and_then(|one| one.value),
        Some(23.0)
    );
}

#[tokio::test]
async fn two_hands_at_once_fill_one_place_once() {
    let bench = Bench::new().await;
    let lap = bench.lap().await;
    let changed = bench
        .shop
        .change_lap(&bench.pen, lap, "said later", LapChanges::default());
    let later = changed.await.expect("changed").id;
    // Hands that came before and after name the same lap by two of its entries.
    let hands = (0..8).map(|hand| {
        let lap = if hand % 2 == 0 { lap } else { later };
        let (shop, pen) = (bench.shop.clone(), Pen::of(&format!("hand {hand}")));
        tokio::spawn(async move { shop.take(&pen, lap, 1, &typed("22.5")).await.is_ok() })
    });
    let hands: Vec<_> = hands.collect();
    let mut taken = 0;
    for hand in hands {
        taken += usize::from(hand.await.expect("no panic"));
    }
    assert_eq!(taken, 1);
}

#[tokio::test]
async fn what_no_file_could_say_is_refused_in_the_same_words() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let lap = bench.lap().await;
    let negative = bench
        .take(lap, 1, "-3")
        .await
        .expect_err("no gauge shows that");
    assert!(negative.to_string().contains("-3"), "{negative}");
    let nowhere = bench.take(lap, 17, "22").await.expect_err("no such place");
    assert!(nowhere.to_string().contains("places 1 to 16"), "{nowhere}");

    let tyred = LapAsked {
        state: State::Tyred,
        ..bench.readings()
    };
    let told = shop
        .begin_lap(pen, bench.visit, tyred)
        .await
        .expect_err("no pressure");
    assert!(told.to_string().contains("at what pressure"), "{told}");
    let faceless = LapAsked {
        takes: Takes::Lateral,
        gauge: None,
        ..bench.readings()
    };
    let told = shop
        .begin_lap(pen, bench.visit, faceless)
        .await
        .expect_err("no face");
    assert!(told.to_string().contains("face"), "{told}");

    let limit = |value: &str| LimitAsked {
        part: "rim".into(),
        value: value.into(),
        state: Some(State::Bare),
        source: "sticker".into(),
        ..LimitAsked::default()
    };
    for (value, said) in [
        ("125 kg", "is kgf meant"),
        ("125", "Write the unit"),
        ("1,200 N", "group thousands"),
        ("12 kgf", "is no limit of a spoke's tension"),
    ] {
        let told = shop
            .note_limit(pen, bench.wheel, limit(value))
            .await
            .expect_err(value);
        assert!(told.to_string().contains(said), "{told}");
    }
    shop.note_limit(pen, bench.wheel, limit("125 kgf"))
        .await
        .expect("a limit");
    let claim = ClaimAsked {
        text: "light".into(),
        quantity: "mass_g".into(),
        ..ClaimAsked::default()
    };
    let told = shop
        .note_claim(pen, bench.visit, claim)
        .await
        .expect_err("no bound");
    assert!(told.to_string().contains("at_most"), "{told}");
    for mass in ["a lot", "1,240", "0"] {
        let told = shop.weigh(pen, bench.visit, vec![], mass, None).await;
        assert!(
            matches!(told, Err(Error::NotThat { .. })),
            "{mass}: {told:?}"
        );
    }
    let other = "format = 1\nlabel = \"G\"\nresolution = 1\nrepeatability = 0.25\n";
    let told = shop.take_in_gauge(pen, other, None).await;
    assert!(matches!(told, Err(Error::Otherwise { .. })), "{told:?}");
    let told = shop.settle(pen, "decide_at", "0.4").await;
    assert!(matches!(told, Err(Error::NotThat { .. })), "{told:?}");
}

#[tokio::test]
async fn life_of_a_wheel_tells_all_that_was_entered() {
    let bench = Bench::new().await;
    let (shop, pen, visit) = (&bench.shop, &bench.pen, bench.visit);
    let part = PartAsked {
        what: "rim".into(),
        maker: Some("Kelpworth".into()),
        serial: Some("B10".into()),
        ..PartAsked::default()
    };
    shop.note_part(pen, bench.wheel, part)
        .await
        .expect("a part");
    let (hash, _) = shop
        .keep_photo(pen, visit, "image/jpeg", b"light".to_vec(), None)
        .await
        .expect("a photo");
    shop.note_look(pen, visit, Some(3), "white crust", Some(hash))
        .await
        .expect("a look");
    shop.weigh(pen, visit, vec!["tape".into()], "812 g", None)
        .await
        .expect("a mass");
    let advice = shop
        .advise(pen, visit, "New spokes.", Answer::Open, None)
        .await
        .expect("advice");
    shop.answer(pen, advice.id, Answer::Refused, Some("Not now.".into()))
        .await
        .expect("answered");

    let life = shop.life(bench.wheel).await.expect("a life");
    assert_eq!(life.parts[0].serial.as_deref(), Some("B10"));
    let seen = &life.visits[0];
    assert_eq!(
        (seen.weighings[0].mass_g, seen.advice[0].answer),
        (812.0, "refused")
    );
    assert_eq!(seen.looks[0].photo, Some(hash.to_string()));
    assert_eq!(shop.kept(hash).await.expect("bytes"), b"light");
    let found = shop.find("kelp b10", 10).await.expect("found");
    assert_eq!(found.wheels[0].label, life.label);
    assert_eq!(
        shop.wheel_called(&life.label.to_lowercase())
            .await
            .expect("a wheel"),
        bench.wheel
    );

    let gone = shop.withdraw(pen, visit).await.expect("withdrawn");
    assert!(
        shop.life(bench.wheel)
            .await
            .expect("a life")
            .visits
            .is_empty()
    );
    shop.bring_back(pen, gone.id, "a slip").await.expect("back");
    assert_eq!(
        shop.life(bench.wheel).await.expect("a life").visits.len(),
        1
    );
}

#[tokio::test]
async fn gauge_has_a_life_and_its_points_give_a_curve() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let asked = CalibrationAsked {
        spoke_kind: "plain".into(),
        batch: Some("R-17".into()),
        ..CalibrationAsked::default()
    };
    let calibration = shop
        .begin_calibration(pen, bench.gauge, asked)
        .await
        .expect("begun")
        .id;
    for (reading, force) in [("15", "60"), ("20,5", "90"), ("25.5", "132")] {
        let point = PointAsked {
            reading: reading.into(),
            force: force.into(),
            unit: "kgf".into(),
            ..PointAsked::default()
        };
        shop.enter_point(pen, calibration, &point)
            .await
            .expect("a point");
    }
    let curve = shop.calibrate(calibration, &[20.5]).await.expect("a curve");
    let force = curve.at[0].force_n.expect("inside").value;
    assert!((force - 882.6).abs() < 40.0, "{force}");
    shop.check_gauge(pen, bench.gauge, on_rod("22.5"))
        .await
        .expect("checked");
    let gauge = shop.gauge(bench.gauge).await.expect("a gauge");
    assert_eq!(gauge.calibrations[0].points[1].raw_reading, "20,5");
    assert!(!gauge.rod_checks[0].is_good);
    let wrong = PointAsked {
        reading: "15".into(),
        force: "60".into(),
        unit: "kg".into(),
        ..PointAsked::default()
    };
    let told = shop
        .enter_point(pen, calibration, &wrong)
        .await
        .expect_err("kg");
    assert!(told.to_string().contains("kg"), "{told}");
}

#[tokio::test]
async fn whoever_looks_on_is_told_what_is_entered() {
    let bench = Bench::new().await;
    let lap = bench.lap().await;
    let mut feed = bench.shop.feed();
    let taken = bench.take(lap, 1, "22.5").await.expect("taken");
    let news = feed.next().await.expect("news");
    match &news[..] {
        [
            News::Entered {
                entry, kind, about, ..
            },
        ] => {
            assert_eq!((*entry, *kind, *about), (taken, "reading", Some(lap)));
        }
        other => panic!("not {other:?}"),
    }
}

#[tokio::test]
async fn runout_is_read_place_by_place_too() {
    let bench = Bench::new().await;
    let asked = LapAsked {
        takes: Takes::Lateral,
        face: Some(Face::Left),
        gauge: None,
        ..bench.readings()
    };
    let lap = bench
        .shop
        .begin_lap(&bench.pen, bench.visit, asked)
        .await
        .expect("a lap")
        .id;
    bench.take(lap, 1, "-0.05").await.expect("taken");
    let told = bench
        .take(lap, 2, "500")
        .await
        .expect_err("no rim stands that far off");
    assert!(told.to_string().contains("500"), "{told}");
    let view = bench.shop.visit(bench.visit).await.expect("a visit");
    assert_eq!(
        (view.laps[0].takes, view.laps[0].face),
        ("lateral", Some("left"))
    );
    assert_eq!(view.laps[0].readings[0].value, Some(-0.05));
    assert_eq!(id(&view.laps[0].entry.id), lap);
}

#[tokio::test]
async fn readings_entered_one_by_one_are_surveyed() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let asked = CalibrationAsked {
        spoke_kind: "plain".into(),
        ..CalibrationAsked::default()
    };
    let calibration = shop
        .begin_calibration(pen, bench.gauge, asked)
        .await
        .expect("begun")
        .id;
    for (reading, force) in [("15", "60"), ("18", "75"), ("20.5", "90"), ("25.5", "132")] {
        let point = PointAsked {
            reading: reading.into(),
            force: force.into(),
            unit: "kgf".into(),
            ..PointAsked::default()
        };
        shop.enter_point(pen, calibration, &point)
            .await
            .expect("a point");
    }
    let lap = bench.lap().await;
    for number in (1..=16).filter(|number| *number != 5) {
        bench.take(lap, number, "22.5").await.expect("taken");
    }
    let limit = LimitAsked {
        part: "rim".into(),
        value: "130 kgf".into(),
        state: Some(State::Bare),
        source: "sticker".into(),
        ..LimitAsked::default()
    };
    shop.note_limit(pen, bench.wheel, limit)
        .await
        .expect("a limit");
    let unit = quantity::force::ForceUnit::Kgf;
    let view = shop.survey(bench.visit, 1, unit).await.expect("a survey");
    let read = view.spokes.iter().filter(|spoke| spoke.bare_n.is_some());
    assert_eq!((read.count(), view.by.as_str()), (15, "M"));
    assert!(
        view.spokes[14].bare_n.is_none(),
        "place 5, counted down from spoke 3, is spoke 15"
    );
    assert_eq!(
        view.limits[0].verdict, "cannot tell",
        "one spoke was not read"
    );
    bench.take(lap, 5, "22.5").await.expect("taken");
    let view = shop.survey(bench.visit, 1, unit).await.expect("a survey");
    assert_eq!(view.limits[0].verdict, "under");
    assert!(
        view.findings
            .iter()
            .all(|one| one.about != "gauge-doubtful")
    );

    shop.check_gauge(pen, bench.gauge, on_rod("25"))
        .await
        .expect("a check");
    let (view, page) = shop.report(bench.visit, 1, unit).await.expect("a report");
    let doubt = view
        .findings
        .iter()
        .find(|one| one.about == "gauge-doubtful");
    assert_eq!(doubt.map(|one| &*one.weight), Some("doubt"));
    let (hash, _) = shop
        .issue(pen, bench.visit, "Report", &page)
        .await
        .expect("issued");
    assert_eq!(shop.kept(hash).await.expect("kept"), page.as_bytes());
}

/// Only the last word of each is shown, with its reason; what was noted first is in the records.
#[tokio::test]
async fn what_was_noted_of_a_visit_is_corrected_with_a_reason() {
    let bench = Bench::new().await;
    let (shop, pen, visit) = (&bench.shop, &bench.pen, bench.visit);
    let weighed = shop
        .weigh(pen, visit, vec!["tape".into()], "812", Some(1.0))
        .await;
    let weighed = weighed.expect("a mass").id;
    let anew = async |pen: &Pen, why: &str, raw: &str| {
        shop.correct_weighing(pen, weighed, why, vec![], raw, None)
            .await
    };
    let told = anew(pen, " ", "821").await.expect_err("no reason");
    assert!(matches!(told, Error::Unsaid { .. }), "{told}");
    let told = anew(pen, "a slip", "much").await.expect_err("no mass");
    assert!(matches!(told, Error::NotThat { .. }), "{told}");
    anew(pen, "two digits had changed places", "821")
        .await
        .expect("corrected");
    let told = anew(&Pen::of("J"), "weighed again", "815").await;
    let told = told.expect_err("somebody was quicker").to_string();
    assert!(told.contains("changed meanwhile by M"), "{told}");

    let (hash, _) = shop
        .keep_photo(pen, visit, "image/jpeg", b"light".to_vec(), None)
        .await
        .expect("a photo");
    let look = shop
        .note_look(pen, visit, Some(3), "white crust", Some(hash))
        .await;
    shop.correct_look(
        pen,
        look.expect("a look").id,
        "miscounted",
        Some(5),
        "white crust",
    )
    .await
    .expect("corrected");
    let limit = |value: &str, noted: Option<&str>| LimitAsked {
        part: "rim".into(),
        value: value.into(),
        state: Some(State::Bare),
        source: "sticker".into(),
        noted: noted.map(str::to_owned),
        ..LimitAsked::default()
    };
    let noted = shop
        .note_limit(pen, visit, limit("125 kgf", Some("2026-03-01")))
        .await;
    let noted = noted.expect("a limit").id;
    let told = shop
        .correct_limit(pen, noted, "misread", limit("120 kg", None))
        .await;
    assert!(matches!(told, Err(Error::NotThat { .. })), "{told:?}");
    shop.correct_limit(pen, noted, "misread", limit("120 kgf", None))
        .await
        .expect("corrected");
    let claim = |at_most| ClaimAsked {
        text: "light".into(),
        quantity: "mass_g".into(),
        at_most,
        ..ClaimAsked::default()
    };
    let claimed = shop
        .note_claim(pen, visit, claim(Some(800.0)))
        .await
        .expect("a claim")
        .id;
    let told = shop
        .correct_claim(pen, claimed, "asked again", claim(None))
        .await;
    assert!(told.is_err(), "no bound: {told:?}");
    shop.correct_claim(pen, claimed, "asked again", claim(Some(850.0)))
        .await
        .expect("corrected");

    let view = shop.visit(visit).await.expect("a visit");
    let (mass, look) = (&view.weighings[0], &view.looks[0]);
    assert_eq!(
        (mass.raw.as_str(), mass.mass_g, mass.step_g),
        ("821", 821.0, None)
    );
    assert_eq!((id(&mass.entry.id), mass.dress.len()), (weighed, 0));
    assert_eq!(
        mass.entry.why.as_deref(),
        Some("two digits had changed places")
    );
    assert_eq!(
        (look.spoke, look.photo.clone()),
        (Some(5), Some(hash.to_string()))
    );
    let (limit, claim) = (&view.limits[0], &view.claims[0]);
    assert_eq!((limit.value, limit.noted.as_str()), (120.0, "2026-03-01"));
    assert_eq!(claim.at_most, Some(850.0));
    let counts = [
        view.weighings.len(),
        view.looks.len(),
        view.limits.len(),
        view.claims.len(),
    ];
    assert_eq!(counts, [1; 4]);

    let mut lines = Vec::new();
    shop.export(&mut lines, |_| ()).await.expect("exported");
    let lines = String::from_utf8(lines).expect("UTF-8");
    for first in [
        "\"raw\":\"812\"",
        "\"spoke\":3",
        "\"value\":125.0",
        "\"at_most\":800.0",
    ] {
        assert!(lines.contains(first), "{first}: {lines}");
    }
}

#[tokio::test]
async fn what_was_noted_at_the_bench_is_corrected_with_a_reason() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let asked = |kind: &str, taken: Option<&str>| CalibrationAsked {
        spoke_kind: kind.into(),
        taken: taken.map(str::to_owned),
        ..CalibrationAsked::default()
    };
    let taken = "2026-03-04T10:20:00+01:00";
    let begun = shop
        .begin_calibration(pen, bench.gauge, asked("plian", Some(taken)))
        .await;
    let begun = begun.expect("begun").id;
    let point = PointAsked {
        reading: "15".into(),
        force: "60".into(),
        unit: "kgf".into(),
        ..PointAsked::default()
    };
    shop.enter_point(pen, begun, &point).await.expect("a point");
    let told = shop
        .correct_calibration(pen, begun, "misspelt", asked(" ", None))
        .await;
    assert!(matches!(told, Err(Error::Unsaid { .. })), "{told:?}");
    let corrected = shop
        .correct_calibration(pen, begun, "misspelt", asked("plain", None))
        .await;
    // Whichever entry of it is named, the next point goes behind the first.
    let later = corrected.expect("corrected").id;
    shop.enter_point(pen, later, &point).await.expect("a point");

    let good = shop
        .check_gauge(pen, bench.gauge, on_rod("22"))
        .await
        .expect("checked")
        .id;
    let fell = shop
        .check_gauge(pen, bench.gauge, on_rod("25"))
        .await
        .expect("checked")
        .id;
    shop.correct_check(pen, good, "another rod", on_rod("24"))
        .await
        .expect("corrected");
    let gauge = shop.gauge(bench.gauge).await.expect("a gauge");
    let calibration = &gauge.calibrations[0];
    assert_eq!(
        (calibration.spoke_kind.as_str(), calibration.taken.as_str()),
        ("plain", taken)
    );
    let numbers: Vec<i64> = calibration
        .points
        .iter()
        .map(|point| point.number)
        .collect();
    assert_eq!(numbers, [1, 2]);
    let checks = gauge.rod_checks.iter();
    let checks: Vec<_> = checks
        .map(|one| (id(&one.entry.id), one.raw.as_str(), one.is_good))
        .collect();
    assert_eq!(
        checks,
        [(good, "24", false), (fell, "25", false)],
        "each in its place"
    );
    let first = &gauge.rod_checks[0].entry;
    assert!(first.since <= gauge.rod_checks[1].entry.since && first.since < first.at);
}
