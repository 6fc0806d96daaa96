//! What was read on the stand and what earlier rounds taught, in their files: read, refused, and back to text.

use files::{Source, carry, state, wheel_file};
use metrology::lap::RunoutPoint;
use proptest::prelude::*;
use quantity::{Angle, Force, Length};
use truing::estimator::TensionReading;
use truing::{Readings, Round};
use wheel::{SpokeIndex, Wheel};

fn wheel() -> Wheel {
    let text = include_str!("../../../fuzz/seeds/wheel_file/laced.toml");
    wheel_file::read(&source(text)).expect("a wheel").0
}

fn source(text: &str) -> Source {
    Source::from_bytes("input", text.as_bytes()).expect("text")
}

fn state_of(text: &str) -> state::StateFile {
    state::read(&source(text), &wheel()).unwrap_or_else(|error| panic!("{error}"))
}

fn state_refused(text: &str) -> String {
    state::read(&source(text), &wheel())
        .expect_err("refused")
        .to_string()
}

fn carry_refused(text: &str) -> String {
    let text = format!("round,what,spoke,angle_deg,value\n{text}");
    carry::read(&source(&text), &wheel())
        .expect_err("refused")
        .to_string()
}

fn says(refusal: &str, words: &[&str]) {
    for words in words {
        assert!(refusal.contains(words), "{words}: {refusal}");
    }
}

#[test]
fn every_cell_of_a_state_but_its_place_may_be_empty() {
    let read = state_of(
        "spoke,angle_deg,tension_kgf,u_tension,lateral_mm,radial_mm,nipple,thread_left_turns,cost\n\
         1,,112,4,0.35,-0.10,,,\n3,,,,0.22,,seized,1.5,3\n,17.5,,,0.1,,,,\n",
    );
    let readings = &read.readings;
    assert_eq!(readings.tensions.len(), 1);
    assert_eq!(readings.tensions[0].force, Force::kgf(112.0));
    assert_eq!(readings.tensions[0].u, Some(Force::kgf(4.0)));
    let places: Vec<Angle> = readings.lateral.iter().map(|point| point.at).collect();
    let wheel = wheel();
    assert_eq!(
        places,
        [
            wheel.spokes[0].seat_angle(),
            wheel.spokes[2].seat_angle(),
            Angle::deg(17.5)
        ]
    );
    assert_eq!(readings.radial.len(), 1);
    let nipple = read.nipples[2];
    assert!(nipple.seized);
    assert_eq!((nipple.thread_left, nipple.cost), (Some(1.5), Some(3.0)));
    assert!(!read.nipples[0].seized);
}

#[test]
fn state_that_cannot_be_meant_is_refused_where_it_stands() {
    says(
        &state_refused("spoke,tension_n\n33,900\n"),
        &["input:2", "33"],
    );
    says(
        &state_refused("spoke,tension_n\n1,900\n1,910\n"),
        &["already taken in line 2"],
    );
    says(
        &state_refused("spoke,tension_n,tension_kgf\n1,900,90\n"),
        &["two units"],
    );
    says(&state_refused("spoke,lateral_mm\n1,350\n"), &["hundredths"]);
    says(
        &state_refused("spoke,tension_n,nipple\n1,900,stuck\n"),
        &["seized"],
    );
    says(
        &state_refused("spoke,tension_n,cost\n1,900,-1\n"),
        &["negative"],
    );
    says(
        &state_refused("spoke,angle_deg,tension_n\n,20,900\n"),
        &["between spokes"],
    );
    says(
        &state_refused("spoke,tension_n\n1,\n"),
        &["nothing was read"],
    );
    says(
        &state_refused("spoke,u_tension\n1,5\n"),
        &["without a tension"],
    );
    for u in ["0", "-4", "9000"] {
        let text = format!("spoke,tension_n,u_tension\n1,900,{u}\n");
        says(
            &state_refused(&text),
            &["input:2:7", "`u_tension` is not above zero"],
        );
    }
}

#[test]
fn rounds_that_cannot_have_been_are_refused_where_they_stand() {
    says(
        &carry_refused("0,spokes,,,31\n"),
        &["31 spokes", "this one has 32"],
    );
    says(&carry_refused("0,turns,1,,1\n"), &["no round"]);
    says(
        &carry_refused("1,wobble,1,,1\n"),
        &["nothing that a round holds"],
    );
    says(&carry_refused("1,turns,1,20,1\n"), &["where none belongs"]);
    says(
        &carry_refused("1,lateral_mm,1,20,0.1\n"),
        &["where none belongs"],
    );
    says(
        &carry_refused("1,dish_mm,5,,0.4\n"),
        &["`spoke` where none belongs"],
    );
    says(
        &carry_refused("1,dish_mm,,,0.4\n1,dish_mm,,,0.5\n"),
        &["input:3:3", "a second dish of this round"],
    );
    says(
        &carry_refused("1,tension_n,1,,900\n1,u_tension_n,1,,20\n1,u_tension_n,1,,25\n"),
        &["input:4:3", "a second uncertainty of this tension"],
    );
    says(
        &carry_refused("1,u_tension_n,1,,20\n"),
        &["without a tension"],
    );
    says(&carry_refused("1,tension_n,1,,-5\n"), &["not between 0"]);
    says(
        &carry_refused("1,turns,1,,40\n1,turns,1,,40\n"),
        &["more than 50 turns"],
    );
}

#[test]
fn turns_of_one_nipple_in_two_rows_are_added() {
    let text = "round,what,spoke,angle_deg,value\n1,tension_n,1,,900\n1,turns,3,,0.25\n1,turns,3,,-0.125\n";
    let rounds = carry::read(&source(text), &wheel()).expect("rounds");
    assert_eq!(rounds[0].turned[2], 0.125);
}

fn any_round() -> impl Strategy<Value = Round> {
    let reading = (0_usize..32, 0.0..3000.0, proptest::option::of(1.0..100.0));
    let point = (0.0..360.0, -9.0..9.0);
    (
        proptest::collection::vec(reading, 0..6),
        proptest::collection::vec(point.clone(), 0..6),
        proptest::collection::vec(point, 0..6),
        proptest::option::of(-9.0..9.0),
        proptest::collection::vec((0_usize..32, -16_i32..16), 0..6),
    )
        .prop_map(|(tensions, lateral, radial, dish, turns)| {
            let points = |of: Vec<(f64, f64)>| {
                of.into_iter()
                    .map(|(deg, mm)| RunoutPoint {
                        at: Angle::deg(deg),
                        displacement: Length::mm(mm),
                    })
                    .collect()
            };
            let mut turned = Vec::new();
            for (spoke, eighths) in turns.into_iter().filter(|(_, eighths)| *eighths != 0) {
                turned.resize(32, 0.0);
                turned[spoke] = f64::from(eighths) / 8.0;
            }
            let tension = |(spoke, n, u): (usize, f64, Option<f64>)| TensionReading {
                spoke: SpokeIndex(spoke),
                force: Force::n(n),
                u: u.map(Force::n),
            };
            Round {
                readings: Readings {
                    tensions: tensions.into_iter().map(tension).collect(),
                    lateral: points(lateral),
                    radial: points(radial),
                    dish: dish.map(Length::mm),
                },
                turned,
            }
        })
}

proptest! {
    #[test]
    fn rounds_read_back_as_they_were_written(mut rounds in proptest::collection::vec(any_round(), 0..4)) {
        while rounds.last() == Some(&Round::default()) {
            rounds.pop();
        }
        let text = carry::write(&rounds, &wheel());
        let again = carry::read(&source(&text), &wheel()).unwrap_or_else(|error| panic!("{error}"));
        prop_assert_eq!(again, rounds);
    }
}

/// Two wheels of as many spokes are told apart by their name, which a person may change in the first line.
#[test]
fn rounds_of_another_wheel_are_refused_with_both_names() {
    let wheel = wheel();
    let text = carry::write(&[], &wheel);
    assert!(carry::read(&source(&text), &wheel).is_ok());
    let other = text.replacen(&wheel.name, "the neighbour's", 1);
    assert_ne!(other, text);
    let refused = carry::read(&source(&other), &wheel).expect_err("another wheel");
    says(
        &refused.to_string(),
        &["the neighbour's", &wheel.name, "carry file of its own"],
    );
    // A file that a person wrote without that line is taken.
    let (_, rows) = text.split_once('\n').expect("lines");
    assert!(carry::read(&source(rows), &wheel).is_ok());
}
