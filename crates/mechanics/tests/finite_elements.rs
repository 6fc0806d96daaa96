//! Six wheels against two general-purpose finite-element codes; see `validation/wheels-by-finite-elements`.

mod wheels;

use mechanics::ride::RimLoad;
use mechanics::{State, Structure};
use quantity::{Angle, Force};
use std::collections::BTreeMap;
use wheel::{Side, Wheel};
use wheels::{Bar, Constants};

const CASE: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../validation/wheels-by-finite-elements"
);

/// Found and expected of one quantity, per spoke or once.
type Compared = Vec<(String, f64, f64)>;

/// What a finite-element code was asked, in the words of `expected.csv`.
type Expected = BTreeMap<(String, String), BTreeMap<String, Vec<f64>>>;

fn rows(file: &str) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(format!("{CASE}/{file}")).expect("the committed file");
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

fn number(cell: &str) -> f64 {
    cell.parse().expect("a number")
}

/// The wheels as the finite-element codes read them.
fn committed() -> Vec<(String, Wheel)> {
    let mut found: Vec<(String, Constants, Vec<Bar>)> = Vec::new();
    for row in rows("wheels.csv") {
        let value = |column: usize| number(&row[column]);
        if row[1] == "rim" {
            let rim = Constants(
                value(3) * 1e-3,
                value(4),
                value(5) * 1e-6,
                value(6) * 1e-6,
                value(7) * 1e-6,
            );
            found.push((row[0].clone(), rim, Vec::new()));
            continue;
        }
        let polar = |from: usize| {
            let [x, y, z] = [0, 1, 2].map(|axis| value(from + axis) * 1e-3);
            [x.hypot(y), y.atan2(x), z]
        };
        let side = if row[2] == "right" {
            Side::Right
        } else {
            Side::Left
        };
        let bar = Bar {
            side,
            hub: polar(3),
            seat: polar(6),
            axial_n: value(9),
            tension_n: value(10),
        };
        found.last_mut().expect("a rim first").2.push(bar);
    }
    found
        .into_iter()
        .map(|(name, rim, bars)| (name, wheels::assemble(rim, &bars)))
        .collect()
}

fn expected() -> Expected {
    let mut found = Expected::new();
    for row in rows("expected.csv") {
        let key = (row[0].clone(), row[1].clone());
        found
            .entry(key)
            .or_default()
            .entry(row[2].clone())
            .or_default()
            .push(number(&row[4]));
    }
    found
}

/// Everything the codes were asked, from this crate.
fn answers(structure: &Structure, asked: &BTreeMap<String, Vec<f64>>) -> Compared {
    let places = [structure.at_spoke_1(), structure.mid_gap()];
    let stiffness = structure.point_stiffness(&places).expect("stiffness");
    let influence = structure
        .influence_at_spokes()
        .expect("influence")
        .tension_n_per_mm;
    let line = structure.line_load().expect("an answer").tension_change_n;
    let mut compared = Compared::new();
    for (what, values) in asked {
        let answer = match what.as_str() {
            "radial_at_spoke_1_n_per_mm" => vec![stiffness[0].radial_n_per_mm],
            "lateral_at_spoke_1_n_per_mm" => vec![stiffness[0].lateral_n_per_mm],
            "tangential_at_spoke_1_n_per_mm" => vec![stiffness[0].tangential_n_per_mm],
            "radial_mid_gap_n_per_mm" => vec![stiffness[1].radial_n_per_mm],
            "lateral_mid_gap_n_per_mm" => vec![stiffness[1].lateral_n_per_mm],
            "line_load_n" => line.clone(),
            "influence_of_1_n_per_mm" => influence.iter().map(|row| row[0]).collect(),
            "influence_of_2_n_per_mm" => influence.iter().map(|row| row[1]).collect(),
            "first_slack_n" => {
                let (slack, findings) = structure.first_slack(places[0]).expect("an answer");
                assert!(findings.is_empty(), "{findings:?}");
                slack.iter().map(|slack| slack.load_n).collect()
            }
            "buckling_multiplier" => {
                vec![
                    structure
                        .buckling()
                        .expect("an answer")
                        .0
                        .expect("it buckles")
                        .tension_multiplier,
                ]
            }
            ride => ridden(structure, ride),
        };
        assert_eq!(answer.len(), values.len(), "{what}");
        compared.extend(
            answer
                .into_iter()
                .zip(values)
                .map(|(found, value)| (what.clone(), found, *value)),
        );
    }
    compared
}

/// Tension changes of a ride written as `ride_700,0@spoke_1_n`: radial, lateral, tangential at a place.
fn ridden(structure: &Structure, what: &str) -> Vec<f64> {
    let (forces, place) = what
        .trim_start_matches("ride_")
        .split_once('@')
        .expect("a place");
    let forces: Vec<f64> = forces.split(';').map(number).collect();
    let at: Angle = if place.starts_with("spoke_1") {
        structure.at_spoke_1()
    } else {
        structure.mid_gap()
    };
    let load = RimLoad {
        tangential: Force::n(forces.get(2).copied().unwrap_or(0.0)),
        ..RimLoad::point(Force::n(forces[0]), Force::n(forces[1]))
    };
    structure
        .ride(&load, at)
        .expect("it stands")
        .tension_change_n
}

/// Departures as a share of the largest value of the same quantity on the same wheel.
fn departures(state: State) -> Vec<(String, String, f64)> {
    let expected = expected();
    let mut found = Vec::new();
    for (name, wheel) in committed() {
        let word = if state == State::Tensioned {
            "tensioned"
        } else {
            "zero"
        };
        let asked = &expected[&(name.clone(), word.to_owned())];
        let (structure, _) = Structure::about(&wheel, state).expect("a sound wheel");
        let compared = answers(&structure, asked);
        for (what, values) in asked {
            let largest = values
                .iter()
                .fold(0.0_f64, |most, value| most.max(value.abs()));
            let of_what = compared.iter().filter(|(other, ..)| other == what);
            let worst = of_what
                .map(|(_, found, value)| (found - value).abs() / largest)
                .fold(0.0, f64::max);
            found.push((name.clone(), what.clone(), worst));
        }
    }
    found
}

/// Source: PyNiteFEA 3.2, straight frame members of at most 1°. Tolerance 0.1 % of the largest of each quantity.
#[test]
fn six_wheels_without_tension_agree_with_a_frame_code() {
    for (name, what, worst) in departures(State::ZeroTension) {
        assert!(
            worst < 1e-3,
            "{name}, {what}: {:.4} % of the largest",
            worst * 100.0
        );
    }
}

/// Source: Kratos 10.4.4, corotational beams of at most 1° and bars of finite displacement. Tolerances: 0.5 % on
/// stiffness, line load and influence (1 % with offset seats), 1 % on rides, 2 % on first slack and buckling.
#[test]
fn six_tensioned_wheels_agree_with_a_code_that_follows_the_shape() {
    for (name, what, worst) in departures(State::Tensioned) {
        let allowed = match what.as_str() {
            "first_slack_n" | "buckling_multiplier" => 2e-2,
            ride if ride.starts_with("ride_") => 1e-2,
            _ if name == "offset-seats" => 1e-2,
            _ => 5e-3,
        };
        assert!(
            worst < allowed,
            "{name}, {what}: {:.4} % of the largest",
            worst * 100.0
        );
    }
}
