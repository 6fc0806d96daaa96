//! Rounds of truing in the records, on either store. The wheel and its readings are made up.

mod store;

use files::state::StateFile;
use files::{Source, carry};
use quantity::{Force, Length};
use truing::plan::NippleState;
use truing::{Mean, Round};
use wheel::Side;
use workshop::records::entry::{Face, State, Takes};
use workshop::records::{
    Access, CalibrationAsked, Error, Id, LapTaken, LapsGo, LimitAsked, Pen, Place, Planned,
    PointAsked, Shop, Typed, WheelAsked,
};
use workshop::true_up::{More, to_carry, true_up};
use workshop::view::RoundView;

const WHEEL: &str = r#"format = 1
name = "bench wheel"

[rim]
seats = 16
seat_diameter_mm = 594.0
sides = ["right", "left"]
centroid_radius_mm = 303.0
axial_stiffness_n = 7.5e6
in_plane_bending_n_mm2 = 2.0e8
lateral_bending_n_mm2 = 1.6e8
torsion_n_mm2 = 0.5e8

[[kind]]
name = "plain"
wire_mm = 2.0
axial_stiffness_n = 6.0e5

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
const SPOKES: usize = 16;

/// A shop in a place of its own, with a wheel whose structure is known and a calibrated gauge.
struct Bench {
    _folder: tempfile::TempDir,
    place: Place,
    shop: Shop,
    pen: Pen,
    wheel: Id,
}

/// Rig points: what the gauge showed, at how many kgf.
const POINTS: [(&str, &str); 4] = [("15", "60"), ("18", "75"), ("20.5", "90"), ("25.5", "132")];

/// A limit of the rim, bare.
fn on_a_sticker(value: &str) -> LimitAsked {
    LimitAsked {
        part: "rim".into(),
        value: value.into(),
        state: Some(State::Bare),
        source: "sticker".into(),
        ..LimitAsked::default()
    }
}

impl Bench {
    async fn new() -> Self {
        Self::calibrated_at(&POINTS).await
    }

    async fn calibrated_at(points: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let own = || Place::Folder(folder.path().join("data"));
        let place = store::database().map_or_else(own, Place::Server);
        let shop = Shop::open(&place, Access::Write).await.expect("open");
        let pen = Pen::of("M");
        let asked = WheelAsked {
            file: WHEEL.into(),
            ..WheelAsked::default()
        };
        let (_, wheel) = shop.take_in_wheel(&pen, asked).await.expect("a wheel");
        let gauge = shop.take_in_gauge(&pen, GAUGE, None).await.expect("gauge");
        let kind = CalibrationAsked {
            spoke_kind: "plain".into(),
            ..CalibrationAsked::default()
        };
        let begun = shop.begin_calibration(&pen, gauge.id, kind).await;
        let calibration = begun.expect("begun").id;
        for (reading, force) in points {
            let point = PointAsked {
                reading: (*reading).into(),
                force: (*force).into(),
                unit: "kgf".into(),
                ..PointAsked::default()
            };
            let entered = shop.enter_point(&pen, calibration, &point).await;
            entered.expect("a point");
        }
        Self {
            _folder: folder,
            place,
            shop,
            pen,
            wheel: wheel.id,
        }
    }

    /// A lap with a value at every spoke, begun at once; the visit it went into.
    async fn lap(&self, takes: Takes, value: impl Fn(usize) -> f64) -> Id {
        let taken = LapTaken {
            takes,
            state: State::Bare,
            face: (takes != Takes::Reading).then_some(Face::Right),
        };
        let lap = self.shop.lap_at_once(&self.pen, self.wheel, taken).await;
        let lap = lap.expect("a lap").id;
        for number in 1..=SPOKES {
            let read = typed(value(number));
            let taken = self.shop.take(&self.pen, lap, number, &read);
            taken.await.expect("taken");
        }
        let view = self.shop.lap(lap).await.expect("a lap");
        view.visit.parse().expect("an id")
    }

    /// A gauge lap and the dial both ways, of a wheel that wanders twice a turn by so much.
    async fn laps(&self, swing: f64) -> Id {
        let wave = |spoke: usize, of: f64| (spoke as f64 * std::f64::consts::FRAC_PI_4).sin() * of;
        self.lap(Takes::Reading, |spoke| {
            let side = if spoke % 2 == 0 { -1.0 } else { 1.0 };
            ((21.0 + side * wave(spoke + 2, 3.0 * swing)) * 2.0).round() / 2.0
        })
        .await;
        self.lap(Takes::Lateral, |spoke| round(wave(spoke, swing)))
            .await;
        self.lap(Takes::Radial, |spoke| round(wave(spoke + 1, 0.3 * swing)))
            .await
    }

    async fn planned(&self, visit: Id) -> Planned {
        let at = self.shop.at_round(visit).await.expect("readings");
        at.plan().expect("a plan")
    }

    async fn round(&self, plan: Id) -> RoundView {
        self.shop.round(plan).await.expect("a round")
    }
}

fn round(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

fn typed(value: f64) -> Typed {
    Typed {
        raw: value.to_string(),
        value,
    }
}

fn id(text: &str) -> Id {
    text.parse().expect("an id")
}

/// What a carry file holds, through its text.
fn through_a_file(rounds: &[Round], wheel: &wheel::Wheel) -> Vec<Round> {
    let text = to_carry(rounds, wheel);
    let source = Source::from_bytes("carry.csv", text.as_bytes()).expect("text");
    carry::read(&source, wheel).expect("rounds")
}

#[tokio::test]
async fn records_remember_what_a_carry_file_would_have_said() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let visit = bench.laps(0.5).await;
    let mut at = shop.at_round(visit).await.expect("readings");
    assert_eq!((at.read(), at.remembered()), ([SPOKES; 3], 0));
    at.dish = Some(Length::mm(0.3));
    let wheel = at.wheel().clone();
    let first = at.plan().expect("a plan");
    assert!(first.view.turns.len() > 4, "{:?}", first.view.turns);
    let mut carried = through_a_file(&first.rounds, &wheel);

    let plan = shop.enter_plan(pen, &first).await.expect("entered").id;
    for number in 1..=first.view.turns.len() {
        // The second nipple is not touched, and the third goes two steps less far than asked.
        let turns = match number {
            2 => Some(0.0),
            3 => Some(first.view.turns[2].turns - 0.25),
            _ => None,
        };
        let made = shop.turn_made(pen, plan, number, turns).await;
        let made = made.expect("made").id;
        if number == 4 {
            // Turned back, and made again a step farther.
            let back = shop.turned_back(pen, made, "a slip").await;
            back.expect("back");
            let turns = first.view.turns[3].turns + 0.125;
            let again = shop.turn_made(pen, plan, number, Some(turns)).await;
            again.expect("made again");
        }
    }
    let turned = &mut carried[0].turned;
    let spoke_of = |place: usize| first.view.turns[place].spoke - 1;
    turned[spoke_of(1)] -= first.view.turns[1].turns;
    turned[spoke_of(2)] -= 0.25;
    turned[spoke_of(3)] += 0.125;
    let of_first = first.rounds[0].readings.dish;
    assert_eq!(of_first, Some(Length::mm(0.3)));

    let next = bench.laps(0.2).await;
    assert_ne!(
        next, visit,
        "what is read after the turns is a visit of its own"
    );
    let mut at = shop.at_round(next).await.expect("readings");
    assert_eq!(at.remembered(), 1);
    assert_eq!(
        at.seized.iter().copied().collect::<Vec<_>>(),
        [spoke_of(1) + 1]
    );
    at.seized.clear();
    let question = at.question.clone();
    let second = at.plan().expect("a plan");
    assert_eq!(second.rounds[0].readings.dish, of_first);
    let state = StateFile {
        readings: second.rounds[1].readings.clone(),
        nipples: vec![NippleState::default(); SPOKES],
    };
    let (by_file, _) =
        true_up(&wheel, state, More::default(), carried, &question, &[]).expect("a plan");
    let told = |view: &workshop::view::PlanView| {
        let view = view.clone();
        (
            view.round,
            view.turns,
            view.expected,
            view.learned,
            view.found,
            view.spokes,
        )
    };
    assert!(
        told(&second.view) == told(&by_file),
        "{:?}\n{:?}",
        second.view.turns,
        by_file.turns
    );
    assert!(second.view.found.expect("read").expected.is_some());
}

#[tokio::test]
async fn mean_that_was_asked_for_is_asked_for_again_in_the_next_round() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let visit = bench.laps(0.5).await;
    let mut at = shop.at_round(visit).await.expect("readings");
    assert_eq!(at.question.target, None);
    let wanted = Mean {
        side: Side::Left,
        tension: Force::n(1010.0),
    };
    at.question.target = Some(wanted);
    let plan = shop.plan_round(pen, at).await.expect("entered").id;
    let made = shop.turn_made(pen, plan, 1, None).await;
    made.expect("made");
    let next = bench.laps(0.2).await;
    let at = shop.at_round(next).await.expect("readings");
    assert_eq!(at.question.target, Some(wanted));
}

#[tokio::test]
async fn place_in_a_round_is_kept_over_turns_undone_and_passed_over() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let visit = bench.laps(0.5).await;
    let planned = bench.planned(visit).await;
    let plan = shop.enter_plan(pen, &planned).await.expect("entered").id;
    let round = bench.round(plan).await;
    assert_eq!(
        round.plan.as_ref(),
        Some(&planned.view),
        "read back as it was made"
    );
    assert_eq!(
        (round.due, round.over, round.changed),
        (Some(1), None, None)
    );

    let twice = pen.clone().with_id(shop.fresh_id());
    for _ in 0..2 {
        let made = shop.turn_made(&twice, plan, 1, None).await;
        made.expect("the same form twice is one turn");
    }
    let other = shop.turn_made(&Pen::of("J"), plan, 1, None).await;
    assert!(
        matches!(&other, Err(Error::TurnMade { by, .. }) if by == "M"),
        "{other:?}"
    );
    shop.turn_made(pen, plan, 2, Some(0.0))
        .await
        .expect("passed over");
    let round = bench.round(plan).await;
    assert_eq!((round.due, round.made()), (Some(3), 2));
    assert!(round.work[1].is_passed_over() && !round.work[0].is_passed_over());

    let seen = round
        .last()
        .and_then(|item| item.made.clone())
        .expect("a turn");
    let back = |pen: Pen| {
        let (shop, seen) = (shop.clone(), id(&seen.entry.entry));
        async move { shop.turned_back(&pen, seen, "a slip").await }
    };
    back(pen.clone()).await.expect("back");
    let told = back(Pen::of("J")).await.expect_err("somebody was quicker");
    assert!(
        told.to_string().contains("changed meanwhile by M"),
        "{told}"
    );
    assert_eq!(bench.round(plan).await.due, Some(2));
    shop.turn_made(pen, plan, 2, None)
        .await
        .expect("made after all");
    let round = bench.round(plan).await;
    assert_eq!((round.due, round.beyond.len()), (Some(3), 0));
    assert_eq!(
        round.work[1].made.as_ref().map(|made| made.turns),
        Some(planned.view.turns[1].turns)
    );
    let nowhere = shop.turn_made(pen, plan, 99, None).await;
    assert!(
        matches!(nowhere, Err(Error::NoTurn { number: 99, .. })),
        "{nowhere:?}"
    );
    let told = |turns| Error::NoTurn { number: 2, turns }.to_string();
    assert!(told(0).contains("nothing to turn"), "{}", told(0));
    assert!(told(1).contains("one turn"), "{}", told(1));
    assert!(told(5).contains("1 to 5") && told(5).lines().count() == 2);
    let told = Error::TurnedSince { turns: 1 }.to_string();
    assert!(told.contains("(1 turn noted)"), "{told}");
}

#[tokio::test]
async fn two_hands_at_one_nipple_turn_it_once() {
    let bench = Bench::new().await;
    let visit = bench.laps(0.5).await;
    let planned = bench.planned(visit).await;
    let plan = bench.shop.enter_plan(&bench.pen, &planned).await;
    let plan = plan.expect("entered").id;
    let hands = (0..8).map(|hand| {
        let (shop, pen) = (bench.shop.clone(), Pen::of(&format!("hand {hand}")));
        tokio::spawn(async move { shop.turn_made(&pen, plan, 1, None).await.is_ok() })
    });
    let mut turned = 0;
    for hand in hands.collect::<Vec<_>>() {
        turned += usize::from(hand.await.expect("no panic"));
    }
    assert_eq!(turned, 1);
}

/// Two programs do not wait for each other as two hands at one program do. In a folder there is only one that writes.
#[tokio::test]
async fn two_programs_at_one_nipple_turn_it_once() {
    let bench = Bench::new().await;
    let there = match (Shop::open(&bench.place, Access::Write).await, &bench.place) {
        (Ok(there), Place::Server(_)) => there,
        (Err(Error::Unopened(_)), Place::Folder(_)) => return,
        (other, place) => panic!("{place:?}: {other:?}"),
    };
    let visit = bench.laps(0.5).await;
    let planned = bench.planned(visit).await;
    let plan = bench.shop.enter_plan(&bench.pen, &planned).await;
    let plan = plan.expect("entered").id;
    for number in 1..=planned.view.turns.len() {
        let hands = [&bench.shop, &there].map(|shop| {
            let (shop, pen) = (shop.clone(), bench.pen.clone());
            tokio::spawn(async move { shop.turn_made(&pen, plan, number, None).await })
        });
        let mut turned = 0;
        for hand in hands {
            match hand.await.expect("no panic") {
                Ok(_) => turned += 1,
                Err(told) => assert!(matches!(told, Error::TurnMade { .. }), "{told}"),
            }
        }
        assert_eq!(turned, 1, "turn {number}");
    }
    let round = bench.round(plan).await;
    assert_eq!((round.due, round.beyond.len()), (None, 0));
    there.close().await;
}

#[tokio::test]
async fn nobody_plans_or_turns_by_readings_from_before_the_turns() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let visit = bench.laps(0.5).await;
    assert_eq!(shop.laps_go(visit).await.expect("a visit"), LapsGo::Here);
    let first = bench.planned(visit).await;
    let old = shop.enter_plan(pen, &first).await.expect("entered").id;
    let plan = shop.enter_plan(pen, &first).await.expect("entered").id;
    let told = shop.turn_made(pen, old, 1, None).await;
    assert!(
        matches!(told, Err(Error::PlanOver { .. })),
        "a newer plan: {told:?}"
    );
    shop.turn_made(pen, plan, 1, None).await.expect("made");
    assert_eq!(
        shop.laps_go(visit).await.expect("a visit"),
        LapsGo::TurnedSince
    );
    let told = shop.at_round(visit).await;
    assert!(
        matches!(told, Err(Error::TurnedSince { turns: 1 })),
        "{told:?}"
    );

    let turn = bench.round(plan).await.work[0]
        .made
        .clone()
        .expect("a turn");
    let next = bench.laps(0.3).await;
    assert_ne!(next, visit);
    let told = shop.turn_made(pen, plan, 2, None).await;
    assert!(
        matches!(told, Err(Error::PlanOver { .. })),
        "read since: {told:?}"
    );
    let told = shop.turned_back(pen, id(&turn.entry.entry), "a slip").await;
    assert!(
        matches!(told, Err(Error::PlanOver { .. })),
        "read since: {told:?}"
    );
    let round = bench.round(plan).await;
    let over = round.over.clone().expect("it is over");
    let sheet = round.as_it_stands().expect("a plan");
    assert_eq!(sheet.findings[0].says, over, "on paper too");
    let told = shop.at_round(visit).await;
    assert!(matches!(told, Err(Error::ReadSince { .. })), "{told:?}");
    let late = shop.enter_plan(pen, &first).await;
    assert!(matches!(late, Err(Error::ReadSince { .. })), "{late:?}");
}

#[tokio::test]
async fn plan_made_before_a_turn_is_not_entered_after_it() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let visit = bench.laps(0.5).await;
    let (first, late) = (bench.planned(visit).await, bench.planned(visit).await);
    let mut plan = shop.enter_plan(pen, &first).await.expect("entered").id;
    // Two hands at once: one turns by the plan that is there, the other enters its own. Never do both get through.
    for _ in 0..6 {
        let turning = {
            let (shop, pen) = (shop.clone(), pen.clone());
            tokio::spawn(async move { shop.turn_made(&pen, plan, 1, None).await })
        };
        let entering = {
            let (shop, pen, late) = (shop.clone(), Pen::of("J"), late.clone());
            tokio::spawn(async move { shop.enter_plan(&pen, &late).await })
        };
        match (turning.await.expect("ran"), entering.await.expect("ran")) {
            (Ok(turn), Err(Error::TurnedSince { turns: 1 })) => {
                let back = shop.turned_back(pen, turn.id, "for the next try").await;
                back.expect("back");
            }
            (Err(Error::PlanOver { .. }), Ok(entered)) => plan = entered.id,
            both => panic!("{both:?}"),
        }
    }
    shop.turn_made(pen, plan, 1, None).await.expect("made");
    let told = shop.enter_plan(&Pen::of("J"), &late).await;
    assert!(
        matches!(told, Err(Error::TurnedSince { turns: 1 })),
        "{told:?}"
    );
}

#[tokio::test]
async fn plan_tells_when_what_it_rests_on_changed() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let visit = bench.laps(0.5).await;
    let lateral = |life: workshop::view::VisitView| {
        let lap = life.laps.into_iter().find(|lap| lap.takes == "lateral");
        lap.expect("a lap").readings
    };
    let readings = lateral(shop.visit(visit).await.expect("a visit"));
    for what in ["readings", "readings", "wheel’s file", "calibration"] {
        let planned = bench.planned(visit).await;
        let plan = shop.enter_plan(pen, &planned).await.expect("entered").id;
        assert_eq!(bench.round(plan).await.changed, None);
        match what {
            "wheel’s file" => {
                let life = shop.life(bench.wheel).await.expect("a wheel");
                let asked = WheelAsked {
                    file: WHEEL.replace("dish_mm = 0.1", "dish_mm = 0.2"),
                    ..WheelAsked::default()
                };
                let seen = id(&life.entry.entry);
                let done = shop.correct_wheel(pen, bench.wheel, seen, "measured again", asked);
                done.await.expect("corrected");
            }
            "calibration" => {
                let gauges = shop.gauges().await.expect("gauges");
                let of = &gauges[0].calibrations[0];
                let point = PointAsked {
                    reading: "22".into(),
                    force: "101".into(),
                    unit: "kgf".into(),
                    ..PointAsked::default()
                };
                let entered = shop.enter_point(pen, id(&of.entry.id), &point).await;
                entered.expect("a point");
            }
            _ => {
                // The first time it is taken back, the second time taken after all.
                let now = lateral(shop.visit(visit).await.expect("a visit"));
                if now.len() == readings.len() {
                    let seen = id(&readings[2].entry.entry);
                    shop.take_back(pen, seen, "a slip").await.expect("back");
                } else {
                    let lap = shop.visit(visit).await.expect("a visit").laps;
                    let lap = lap.iter().find(|lap| lap.takes == "lateral");
                    let lap = id(&lap.expect("a lap").entry.id);
                    shop.take(pen, lap, 3, &typed(0.3)).await.expect("taken");
                }
            }
        }
        let told = bench.round(plan).await.changed.expect("it is told");
        assert!(told.contains(what) && told.contains("Plan anew"), "{told}");
        let late = shop.enter_plan(pen, &planned).await;
        assert!(
            matches!(&late, Err(Error::ChangedSince { what: told }) if told.contains(what)),
            "{late:?}"
        );
    }
}

#[tokio::test]
async fn limit_lowered_after_the_plan_holds_its_turns_back() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let noted = shop
        .note_limit(pen, bench.wheel, on_a_sticker("120 kgf"))
        .await;
    let noted = noted.expect("a limit").id;
    let visit = bench.laps(0.5).await;
    let planned = bench.planned(visit).await;
    let plan = shop.enter_plan(pen, &planned).await.expect("entered").id;
    // One that is not as strict is told, and nobody is held up for it.
    let weaker = shop
        .note_limit(pen, bench.wheel, on_a_sticker("1300 N"))
        .await;
    weaker.expect("a limit");
    shop.turn_made(pen, plan, 1, None).await.expect("made");
    let round = bench.round(plan).await;
    assert_eq!(round.over, None);
    let told = round.changed.expect("told");
    assert!(
        told.contains("the limits") && told.contains("laps anew"),
        "{told}"
    );

    let lowered = shop.correct_limit(pen, noted, "misread", on_a_sticker("1100 N"));
    lowered.await.expect("corrected");
    let told = shop.turn_made(pen, plan, 2, None).await;
    assert!(
        matches!(&told, Err(Error::PlanOver { why }) if why.contains("rim, 1100 N, sticker")),
        "{told:?}"
    );
    assert!(bench.round(plan).await.over.is_some());
    let made = bench.round(plan).await.work[0].made.clone();
    let back = shop.turned_back(pen, id(&made.expect("a turn").entry.entry), "a slip");
    back.await.expect("a slip can be taken back all the same");
}

#[tokio::test]
async fn reading_that_is_corrected_counts_as_corrected_and_one_taken_after_the_turns_does_not() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let visit = bench.laps(0.5).await;
    let planned = bench.planned(visit).await;
    let plan = shop.enter_plan(pen, &planned).await.expect("entered").id;
    shop.turn_made(pen, plan, 1, None).await.expect("made");
    let life = shop.visit(visit).await.expect("a visit");
    let lateral = life.laps.iter().find(|lap| lap.takes == "lateral");
    let lateral = lateral.expect("a lap");
    let third = id(&lateral.readings[2].entry.entry);
    let corrected = shop.take_again(pen, third, "misread", &typed(0.11)).await;
    corrected.expect("corrected");
    let late = shop.lap_within(
        pen,
        visit,
        LapTaken {
            takes: Takes::Lateral,
            state: State::Bare,
            face: Some(Face::Right),
        },
    );
    let late = late.await.expect("somebody asked for it").id;
    shop.take(pen, late, 1, &typed(4.0)).await.expect("taken");

    let next = bench.laps(0.2).await;
    let rounds = bench.planned(next).await.rounds;
    let read: Vec<f64> = rounds[0]
        .readings
        .lateral
        .iter()
        .map(|point| point.displacement.to_mm())
        .collect();
    assert_eq!(read.len(), SPOKES);
    assert!((read[2] - 0.11).abs() < 1e-12, "{read:?}");
    assert!(read.iter().all(|mm| *mm < 1.0), "{read:?}");
}

/// A form carries the id of the entry it makes from when its page was drawn, which may be long before it is sent.
#[tokio::test]
async fn what_counts_is_when_it_was_written_and_not_when_its_page_was_drawn() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let drawn = || pen.clone().with_id(shop.fresh_id());
    let later = |visit: Id| {
        let taken = LapTaken {
            takes: Takes::Lateral,
            state: State::Bare,
            face: Some(Face::Right),
        };
        shop.lap_within(pen, visit, taken)
    };
    let first_visit = bench.laps(0.5).await;
    let lap = later(first_visit).await.expect("a lap").id;
    let [early_plan, early_reading] = [(); 2].map(|()| drawn());
    shop.take(pen, lap, 1, &typed(0.4)).await.expect("taken");

    let planned = bench.planned(first_visit).await;
    let first = shop.enter_plan(pen, &planned).await.expect("entered").id;
    assert_eq!(bench.round(first).await.changed, None);
    let second = shop.enter_plan(&early_plan, &planned).await;
    let second = second.expect("entered").id;
    assert!(second < first, "its page was drawn before");
    assert!(
        bench.round(first).await.over.is_some(),
        "the newer one stands"
    );
    assert_eq!(bench.round(second).await.over, None);
    let taken = shop.take(&early_reading, lap, 2, &typed(0.3)).await;
    taken.expect("taken");
    let told = bench.round(second).await.changed.expect("told");
    assert!(told.contains("the readings"), "{told}");

    let planned = bench.planned(first_visit).await;
    let plan = shop.enter_plan(pen, &planned).await.expect("entered").id;
    let [early_turn, sent_late] = [(); 2].map(|()| drawn());
    let taken = shop.take(pen, lap, 3, &typed(0.2)).await;
    taken.expect("taken before any turn");
    shop.turn_made(pen, plan, 1, None).await.expect("made");
    let last = shop.turn_made(&early_turn, plan, 2, None).await;
    let last = last.expect("made").id.to_string();
    let round = bench.round(plan).await;
    let made = round.last().and_then(|item| item.made.as_ref());
    assert_eq!(made.expect("a turn").entry.id, last, "what undo takes back");
    // A reading of the wheel as turned, into the lap from before: the page asked first.
    let taken = shop.take(&sent_late, lap, 4, &typed(4.0)).await;
    taken.expect("taken");

    let next = bench.laps(0.2).await;
    let remembered = bench.planned(next).await.rounds[0].clone();
    let counted = |lateral: &[metrology::lap::RunoutPoint], mm: f64| {
        let is_it =
            |point: &&metrology::lap::RunoutPoint| (point.displacement.to_mm() - mm).abs() < 1e-9;
        lateral.iter().filter(is_it).count()
    };
    let lateral = &remembered.readings.lateral;
    assert_eq!(lateral.len(), SPOKES + 3, "{lateral:?}");
    assert_eq!(counted(lateral, 4.0), 0);
}

#[tokio::test]
async fn turn_without_a_plan_is_noted_counted_and_taken_back() {
    let bench = Bench::new().await;
    let (shop, pen) = (&bench.shop, &bench.pen);
    let visit = bench.laps(0.5).await;
    for (spoke, turns) in [
        (0, 0.25),
        (SPOKES + 1, 0.25),
        (3, 0.0),
        (3, f64::NAN),
        (3, 51.0),
    ] {
        let told = shop.turned_without_plan(pen, visit, spoke, turns).await;
        assert!(told.is_err(), "{spoke} {turns}");
    }
    let noted = |spoke, turns| shop.turned_without_plan(pen, visit, spoke, turns);
    noted(3, 0.25).await.expect("noted");
    let slip = noted(5, 1.0).await.expect("noted").id;
    noted(7, -0.5).await.expect("noted");
    let told = shop.at_round(visit).await;
    assert!(
        matches!(told, Err(Error::TurnedSince { turns: 3 })),
        "{told:?}"
    );
    shop.turned_back(pen, slip, "a slip").await.expect("back");
    let stands = shop
        .visit(visit)
        .await
        .expect("a visit")
        .turned_without_plan;
    let stands: Vec<(i64, f64)> = stands.iter().map(|one| (one.spoke, one.turns)).collect();
    assert_eq!(stands, [(3, 0.25), (7, -0.5)]);
    let next = bench.laps(0.3).await;
    let rounds = bench.planned(next).await.rounds;
    let mut turned = vec![0.0; SPOKES];
    (turned[2], turned[6]) = (0.25, -0.5);
    assert_eq!(rounds[0].turned, turned);
    let told = noted(3, 0.25).await;
    assert!(matches!(told, Err(Error::ReadSince { .. })), "{told:?}");
    let told = shop.turned_back(pen, slip, "late").await;
    assert!(matches!(told, Err(Error::PlanOver { .. })), "{told:?}");
}

#[tokio::test]
async fn limits_are_kept_with_the_room_that_the_curve_asks() {
    let bench = Bench::new().await;
    let limit = on_a_sticker("112 kgf");
    let noted = bench.shop.note_limit(&bench.pen, bench.wheel, limit).await;
    noted.expect("a limit");
    let visit = bench.laps(0.5).await;
    let at = bench.shop.at_round(visit).await.expect("readings");
    assert!(
        (0.001..0.2).contains(&at.question.room),
        "{}",
        at.question.room
    );
    assert_eq!(at.question.limits[0].tension.to_kgf().round(), 112.0);
    let room = at.question.room;
    let planned = at.plan().expect("a plan").view;
    let told = planned.findings.iter().find(|one| one.about == "limits");
    let told = &told.expect("what is kept free").says;
    assert!(told.contains(&format!("{:.1} %", 100.0 * room)), "{told}");
    assert_eq!(
        planned
            .findings
            .iter()
            .filter(|one| one.about == "limits")
            .count(),
        1
    );
    let ceiling_n = Force::kgf(112.0).to_n() * (1.0 - room);
    let tightened = planned.turns.iter().filter(|turn| 0.0 < turn.turns);
    let highest_n = tightened.fold(0.0_f64, |most, turn| most.max(turn.tension_after_n));
    assert!(
        0.8 * ceiling_n < highest_n && highest_n <= ceiling_n,
        "{highest_n} {ceiling_n}"
    );
}

/// Two points far apart leave the curve between them open by more than half.
#[tokio::test]
async fn curve_that_bears_no_limit_is_told_with_its_number() {
    let bench = Bench::calibrated_at(&[("15", "10"), ("25.5", "400")]).await;
    let limit = on_a_sticker("300 kgf");
    let noted = bench.shop.note_limit(&bench.pen, bench.wheel, limit).await;
    noted.expect("a limit");
    let visit = bench.laps(0.5).await;
    let planned = bench.planned(visit).await.view;
    let told = planned.findings.iter().find(|one| one.about == "limits");
    let told = told.expect("what the curve may be off by");
    assert_eq!(told.weight, "doubt");
    let percent = told
        .says
        .split("up to ")
        .nth(1)
        .and_then(|says| says.split(' ').next());
    let percent: f64 = percent.expect("a number").parse().expect("one");
    assert!(50.0 < percent, "{}", told.says);
    assert!(told.says.contains("tighten nothing"), "{}", told.says);
}
