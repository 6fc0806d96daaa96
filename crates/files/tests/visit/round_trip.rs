//! A visit written and read again is the same visit, and no damage to its text passes for another.

use crate::files_held::{CALIBRATIONS, HEAD, Held, held, now, read};
use files::visit_file::{self, Written};
use files::{Source, points};
use jiff::Timestamp;
use jiff::tz::Offset;
use metrology::conformity::{Claim, ClaimQuantity, ClaimScope};
use metrology::gauge::Gauge;
use metrology::lap::{Axis, Counted, Lap, Reading, RunoutPoint, State, Taken};
use metrology::visit::{
    Advice, Answer, Calibration, PressureLimit, RigPoint, ShopSettings, Visit, Weighing,
};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use quantity::{Angle, Force, Length, Mass, Pressure, Stiffness};
use wheel::limit::{Condition, Limit, Part};
use wheel::{KindIndex, Side, SpokeIndex, Wheel};

const SPOKES: usize = crate::files_held::SPOKES;

fn read_back(written: &Written) -> Result<Visit, files::Error> {
    let source = Source::from_bytes("visit.toml", written.visit.as_bytes())?;
    visit_file::read(&source, now(), &mut written.clone()).map(|(visit, _)| visit)
}

/// Text that someone may have typed or pasted; never blank, which no key takes.
fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z \"'#\\\\]{0,12}[a-z]",
        "\\PC{0,8}x",
        "[\u{1}-\u{7f}é\r\n\t]{0,6}y"
    ]
}

fn side() -> impl Strategy<Value = Side> {
    prop_oneof![Just(Side::Right), Just(Side::Left)]
}

fn kind() -> impl Strategy<Value = KindIndex> {
    (0..2_usize).prop_map(KindIndex)
}

fn pressure() -> impl Strategy<Value = Pressure> {
    prop_oneof![
        (0.0..30.0_f64).prop_map(Pressure::bar),
        (0.0..400.0_f64).prop_map(Pressure::psi),
        (0.0..2900.0_f64).prop_map(|kilopascals| Pressure::pa(1000.0 * kilopascals)),
    ]
}

fn date() -> impl Strategy<Value = String> {
    (1950..2026_i16, 1..=12_i8, 1..=28_i8)
        .prop_map(|(year, month, day)| jiff::civil::date(year, month, day).to_string())
}

/// An instant before [`now`], as the visit keeps it.
fn taken() -> impl Strategy<Value = String> {
    (0..1_770_000_000_i64, 0..1000_i32, -900..900_i32).prop_map(|(second, milli, minutes)| {
        let instant = Timestamp::new(second, 1_000_000 * milli).expect("an instant");
        let offset = Offset::from_seconds(60 * minutes).expect("an offset");
        instant.display_with_offset(offset).to_string()
    })
}

prop_compose! {
    fn gauge()(
        support_span in option::of((1.0..999.0_f64).prop_map(Length::mm)),
        spring in option::of((0.1..100.0_f64).prop_map(Stiffness::n_per_mm)),
        resolution in 0.0..10.0_f64,
        repeatability in 0.01..10.0_f64,
        rises_with_tension in option::of(any::<bool>()),
        label in words(),
    ) -> Gauge {
        Gauge { label, support_span, spring, resolution, repeatability, rises_with_tension }
    }
}

prop_compose! {
    fn rig_point()(
        reading in 0.0..100.0_f64,
        force in (0.0..500.0_f64).prop_map(Force::kgf),
    ) -> RigPoint {
        RigPoint { reading, force, loading: None, u_reading: Some(0.25), u_force: None }
    }
}

/// The round a lap takes and its numbers, some of them left out.
fn numbers() -> impl Strategy<Value = Vec<(SpokeIndex, f64)>> {
    let order = Just((0..SPOKES).collect::<Vec<_>>()).prop_shuffle();
    let round = prop_oneof![
        order,
        Just((0..SPOKES).collect()),
        Just((0..SPOKES).rev().collect())
    ];
    (round, vec(0.5..100.0_f64, 1..=SPOKES))
        .prop_map(|(order, numbers)| order.into_iter().map(SpokeIndex).zip(numbers).collect())
}

/// What a lap takes; `gauges` are the labels to choose from.
fn lap_taken(gauges: Vec<String>, wheel: Wheel) -> impl Strategy<Value = Taken> {
    let readings =
        (numbers(), 0..gauges.len()).prop_map(move |(numbers, chosen)| Taken::Readings {
            gauge: gauges[chosen].clone(),
            readings: numbers
                .into_iter()
                .map(|(spoke, divisions)| Reading { spoke, divisions })
                .collect(),
        });
    let axis = prop_oneof![Just(Axis::Lateral), Just(Axis::Radial)];
    let at_spokes = numbers().prop_map(move |numbers| {
        numbers
            .iter()
            .map(|&(spoke, mm)| (wheel.spokes[spoke.0].seat_angle(), mm))
            .collect()
    });
    let anywhere = vec(
        ((0.0..=360.0_f64).prop_map(Angle::deg), -9.0..9.0_f64),
        1..20,
    );
    // A whole round at the seats is written in brackets; part of one has no exact degrees.
    let at_spokes =
        at_spokes.prop_filter("a whole round", |points: &Vec<_>| points.len() == SPOKES);
    let runout =
        (axis, side(), prop_oneof![at_spokes, anywhere]).prop_map(|(axis, face, points)| {
            let point = |(at, mm): (Angle, f64)| RunoutPoint {
                at,
                displacement: Length::mm(mm / 10.0),
            };
            Taken::Runout {
                axis,
                face,
                points: points.into_iter().map(point).collect(),
            }
        });
    let pitch = numbers().prop_map(|hertz| Taken::Pitch { hertz });
    prop_oneof![readings, runout, pitch]
}

fn lap(gauges: Vec<String>, wheel: Wheel) -> impl Strategy<Value = Lap> {
    let counted = prop_oneof![Just(Counted::Up), Just(Counted::Down)];
    let temperature = option::of(-40.0..80.0_f64);
    (
        lap_taken(gauges, wheel),
        option::of(pressure()),
        option::of(words()),
        0..SPOKES,
        counted,
        temperature,
    )
        .prop_map(|(taken, pressure, by, start, counted, temperature_c)| {
            let state = if pressure.is_some() {
                State::Tyred
            } else {
                State::Bare
            };
            // Seats in any other order than the lap's own have no exact degrees to be written in.
            let (start, counted) = match &taken {
                Taken::Runout { .. } => (0, Counted::Up),
                _ => (start, counted),
            };
            Lap {
                state,
                pressure,
                by,
                start: SpokeIndex(start),
                counted,
                temperature_c,
                taken,
            }
        })
}

prop_compose! {
    fn limit()(
        part in prop_oneof![
            Just(Part::Spoke), Just(Part::Thread), Just(Part::Nipple), Just(Part::Rim), Just(Part::Hub)
        ],
        tension in prop_oneof![
            (201.0..9999.0_f64).prop_map(Force::n),
            (21.0..1000.0_f64).prop_map(Force::kgf),
            (46.0..2000.0_f64).prop_map(Force::lbf),
        ],
        condition in prop_oneof![Just(Condition::Bare), Just(Condition::Tyred)],
        source in words(),
        noted in date(),
        side in option::of(side()),
        kind in option::of(kind()),
    ) -> Limit {
        Limit { part, tension, condition, source, noted, side, kind }
    }
}

prop_compose! {
    fn claim()(
        text in words(),
        quantity in prop_oneof![
            Just(ClaimQuantity::TensionLossPercent),
            Just(ClaimQuantity::MassG),
            Just(ClaimQuantity::LateralFirMm),
            Just(ClaimQuantity::RadialFirMm),
            Just(ClaimQuantity::EvennessPercent),
        ],
        at_most in 50.0..100.0_f64,
        at_least in option::of(0.0..50.0_f64),
        scope in prop_oneof![
            Just(ClaimScope::Unnamed), Just(ClaimScope::Whole), side().prop_map(ClaimScope::Side)
        ],
        dress in vec(words(), 0..3),
        source in option::of(words()),
    ) -> Claim {
        let is_sided = matches!(
            quantity,
            ClaimQuantity::TensionLossPercent | ClaimQuantity::EvennessPercent
        );
        Claim {
            text,
            quantity,
            at_least,
            at_most: Some(at_most),
            scope: if is_sided { scope } else { ClaimScope::Unnamed },
            dress: if quantity == ClaimQuantity::MassG { dress } else { Vec::new() },
            source,
        }
    }
}

prop_compose! {
    fn settings()(
        decide_at in 0.6..0.999_f64,
        evenness in 0.1..50.0_f64,
        minutes in [0.1..60.0_f64, 0.1..60.0_f64, 0.1..60.0_f64],
        dial in 0.001..1.0_f64,
    ) -> ShopSettings {
        let [lap_minutes, rig_point_minutes, dish_minutes] = minutes;
        ShopSettings {
            decide_at,
            evenness_prior: evenness / 100.0,
            lap_minutes,
            rig_point_minutes,
            dish_minutes,
            dial_u: Length::mm(dial),
        }
    }
}

/// What stands in a visit beside its laps and calibrations.
fn around() -> impl Strategy<Value = Visit> {
    let head = (
        taken(),
        words(),
        option::of(words()),
        option::of(any::<bool>()),
        vec(words(), 0..3),
        prop_oneof![Just(ShopSettings::default()), settings()],
    );
    let weighing = (
        vec(words(), 0..3),
        0.1..9e4_f64,
        prop_oneof![Just(1.0), 0.1..9.0_f64],
    )
        .prop_map(|(dress, mass, step)| Weighing {
            dress,
            mass: Mass::g(mass),
            step: Mass::g(step),
        });
    let pressure_limit =
        (words(), pressure(), words(), date()).prop_map(|(part, pressure, source, noted)| {
            PressureLimit {
                part,
                pressure,
                source,
                noted,
            }
        });
    let answer = prop_oneof![
        Just(Answer::Open),
        Just(Answer::Taken),
        Just(Answer::Refused)
    ];
    let advice = (words(), answer).prop_map(|(text, answer)| Advice { text, answer });
    let blocks = (
        vec(weighing, 0..3),
        vec(limit(), 0..3),
        vec(pressure_limit, 0..2),
        vec(claim(), 0..3),
        vec(advice, 0..3),
    );
    (head, blocks).prop_map(|(head, blocks)| {
        let (taken, by, asked, bearing_play, not_checked, settings) = head;
        let (weighings, limits, pressure_limits, claims, advice) = blocks;
        Visit {
            wheel: read("").0.wheel,
            taken,
            by,
            asked,
            bearing_play,
            gauges: Vec::new(),
            calibrations: Vec::new(),
            laps: Vec::new(),
            weighings,
            limits,
            pressure_limits,
            claims,
            advice,
            not_checked,
            settings,
        }
    })
}

/// A visit of the wheel with eight spokes.
fn visit() -> impl Strategy<Value = Visit> {
    let gauges = vec(gauge(), 1..4).prop_map(|mut gauges| {
        for (place, gauge) in gauges.iter_mut().enumerate() {
            gauge.label.push_str(&place.to_string());
        }
        gauges
    });
    let calibrated = vec((any::<bool>(), words(), vec(rig_point(), 1..4)), 6);
    (around(), gauges, calibrated)
        .prop_flat_map(|(visit, gauges, calibrated)| {
            let labels = gauges.iter().map(|gauge| gauge.label.clone()).collect();
            let laps = vec(lap(labels, visit.wheel.clone()), 0..4);
            (Just(visit), Just(gauges), Just(calibrated), laps)
        })
        .prop_map(|(mut visit, gauges, calibrated, laps)| {
            let pairs = gauges
                .iter()
                .flat_map(|gauge| [0, 1].map(|kind| (gauge, KindIndex(kind))));
            for (place, ((gauge, kind), (is_there, name, points))) in
                pairs.zip(calibrated).enumerate()
            {
                if is_there {
                    let points_name = format!("{place}{name}");
                    visit.calibrations.push(Calibration {
                        kind,
                        gauge: gauge.clone(),
                        points_name,
                        points,
                    });
                }
            }
            let by_lap = laps.iter().filter_map(|lap| match &lap.taken {
                Taken::Readings { gauge, .. } => Some(gauge.clone()),
                _ => None,
            });
            let mentioned: Vec<_> = visit
                .calibrations
                .iter()
                .map(|known| known.gauge.label.clone())
                .chain(by_lap)
                .collect();
            for label in mentioned {
                if visit.gauges.iter().all(|known| known.label != label) {
                    visit
                        .gauges
                        .extend(gauges.iter().find(|gauge| gauge.label == label).cloned());
                }
            }
            visit.laps = laps;
            visit
        })
}

/// Damage to a text: a piece of it goes, and something else comes in its place.
fn damaged(bytes: &[u8], at: f64, length: usize, instead: &[u8]) -> Vec<u8> {
    let from = (at * bytes.len() as f64) as usize;
    let to = (from + length).min(bytes.len());
    [&bytes[..from], instead, &bytes[to..]].concat()
}

/// A visit with something of everything, and its files.
fn rich() -> (String, Held) {
    let lines = format!(
        "not_checked = [\"rim bed\"]\n[shop]\ndecide_at = 0.9\n{CALIBRATIONS}\n\
         [[lap]]\ntakes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge-2.toml\"\nstart = 3\ncounted = \"down\"\n\
         readings = [22.5, 23.0, 22, 21.5, 22.5, 23.5, 22, 21]\n\
         [[lap]]\ntakes = \"reading\"\nstate = \"tyred\"\npressure_psi = 90\ngauge = \"gauge-3.toml\"\nreadings = \"bare.csv\"\n\
         [[lap]]\ntakes = \"lateral\"\nface = \"right\"\nreadings = \"right-face.csv\"\n\
         [[lap]]\ntakes = \"pitch\"\nstate = \"bare\"\nreadings = \"pluck.csv\"\n\
         [[weighing]]\ndress = [\"tape\", \"valve\"]\nmass_g = 812\n\
         [[limit]]\npart = \"rim\"\ntension_n = 1250\nstate = \"bare\"\nsource = \"sticker\"\nnoted = 2026-03-01\n\
         [[limit]]\npart = \"tyre\"\npressure_bar = 7.5\nsource = \"side wall\"\nnoted = 2026-03-04\n\
         [[claim]]\ntext = \"loses little\"\nquantity = \"tension_loss_percent\"\nat_most = 8.0\n\
         [[advice]]\ntext = \"new tape\"\nanswer = \"open\"\n"
    );
    (format!("{HEAD}{lines}"), held())
}

#[test]
fn a_visit_read_written_and_read_again_is_the_same() {
    let (text, mut held) = rich();
    let source = Source::from_bytes("visit.toml", text.as_bytes()).expect("text");
    let (visit, _) = visit_file::read(&source, now(), &mut held).expect("read");
    let written = visit_file::write(&visit);
    assert_eq!(read_back(&written).expect("read"), visit);
    assert!(
        written
            .visit
            .contains("readings = [22.5, 23, 22, 21.5, 22.5, 23.5, 22, 21]")
    );
    assert!(
        written.visit.contains("pressure_psi = 90"),
        "the unit is kept:\n{}",
        written.visit
    );
    let names: Vec<_> = written
        .attachments
        .iter()
        .map(|(name, _)| name.as_str())
        .collect();
    assert_eq!(
        names,
        [
            "wheel.toml",
            "gauge-1.toml",
            "gauge-2.toml",
            "gauge-2-bladed.csv",
            "gauge-2-round.csv",
            "lap-2.csv",
            "lap-3.csv",
            "lap-4.csv",
        ]
    );
}

/// The fuzzer starts from a visit that is read: the visit, then its files behind bytes of 255.
#[test]
fn the_fuzzer_s_seed_is_a_good_visit() {
    let seed = include_bytes!("../../../../fuzz/seeds/visit_file/whole.bin");
    let mut files = seed.split(|&byte| byte == 0xFF);
    let visit = files.next().expect("a visit");
    let named = files.map(|file| {
        let text = std::str::from_utf8(file).expect("text");
        let (name, text) = text.split_once('\n').expect("a name");
        (name.to_owned(), text.as_bytes().to_vec())
    });
    let source = Source::from_bytes("visit.toml", visit).expect("text");
    let (visit, _) = visit_file::read(&source, now(), &mut named.collect::<Held>())
        .unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(read_back(&visit_file::write(&visit)).expect("read"), visit);
}

#[test]
fn files_that_claim_one_name_are_kept_apart() {
    let (mut visit, _) = read(CALIBRATIONS);
    visit.calibrations[0].points_name = "wheel.toml".into();
    visit.calibrations[1].points_name = "wheel.toml".into();
    let again = read_back(&visit_file::write(&visit)).expect("read");
    assert_eq!(again.calibrations[0], visit.calibrations[0]);
    assert_eq!(again.calibrations[1].points, visit.calibrations[1].points);
    assert_eq!(again.wheel, visit.wheel);
    visit.calibrations[1].points = visit.calibrations[0].points.clone();
    assert_eq!(read_back(&visit_file::write(&visit)).expect("read"), visit);
}

proptest! {
    #[test]
    fn any_visit_written_and_read_is_the_same(visit in visit()) {
        let written = visit_file::write(&visit);
        match read_back(&written) {
            Ok(again) => prop_assert_eq!(again, visit),
            Err(error) => prop_assert!(false, "{}\n{}", error, written.visit),
        }
    }

    /// Whatever a damaged file still says, it says the same once written and read again.
    #[test]
    fn a_damaged_visit_is_refused_or_reads_back(
        at in 0.0..1.0_f64,
        length in 0..12_usize,
        instead in prop_oneof!["[0-9,.\\-\"'=\\[\\]#\n\r;a-z]{0,4}".prop_map(String::into_bytes), vec(any::<u8>(), 0..4)],
        which in 0..12_usize,
    ) {
        let (text, mut held) = rich();
        let mut bytes = text.into_bytes();
        let name = held.keys().nth(which).cloned();
        match name {
            Some(name) => { held.entry(name).and_modify(|bytes| *bytes = damaged(bytes, at, length, &instead)); }
            None => bytes = damaged(&bytes, at, length, &instead),
        }
        let Ok(source) = Source::from_bytes("visit.toml", &bytes) else { return Ok(()) };
        match visit_file::read(&source, now(), &mut held) {
            Ok((visit, _)) => prop_assert_eq!(read_back(&visit_file::write(&visit)).expect("read"), visit),
            Err(error) => {
                let shown = error.to_string();
                prop_assert!(shown.lines().count() >= 2, "{}", shown);
            }
        }
    }

    #[test]
    fn no_bytes_make_the_readers_panic(
        noise in vec(any::<u8>(), 0..300),
        pieces in vec("\\[\\[(lap|limit|claim|calibration)\\]\\]\n|[a-z_]{1,9} = |[0-9]{1,3}|\"[a-z.-]{0,9}\"|\n|[\\[\\],]", 0..30),
    ) {
        let pieces = format!("{HEAD}{}", pieces.concat()).into_bytes();
        for bytes in [noise, pieces] {
            let Ok(source) = Source::from_bytes("noise", &bytes) else { continue };
            let _ = (visit_file::read(&source, now(), &mut held()), points::read(&source));
        }
    }
}
