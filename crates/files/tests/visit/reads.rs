//! What a good visit file says.

use crate::files_held::{CALIBRATIONS, HEAD, held, read, read_with};
use metrology::Weight;
use metrology::conformity::{ClaimQuantity, ClaimScope};
use metrology::lap::{Axis, Counted, State, Taken};
use metrology::visit::{Answer, ShopSettings};
use quantity::{Force, Length, Mass, Pressure};
use wheel::limit::{Condition, Part};
use wheel::{KindIndex, Side, SpokeIndex};

const EIGHT: &str = "[22.5, 23.0, 22, 21.5, 22.5, 23.5, 22, 21]";

fn bare_lap(keys: &str) -> String {
    format!("[[lap]]\ntakes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge-2.toml\"\n{keys}\n")
}

/// Spoke numbers and divisions of the only lap.
fn only_lap(keys: &str) -> (Vec<usize>, Vec<f64>, usize, Counted) {
    let (visit, _) = read(&format!("{CALIBRATIONS}\n{}", bare_lap(keys)));
    let [lap] = visit.laps.as_slice() else {
        panic!("one lap")
    };
    let Taken::Readings { readings, .. } = &lap.taken else {
        panic!("readings")
    };
    (
        readings
            .iter()
            .map(|reading| reading.spoke.number())
            .collect(),
        readings.iter().map(|reading| reading.divisions).collect(),
        lap.start.number(),
        lap.counted,
    )
}

#[test]
fn the_head_of_a_visit_says_when_who_and_what_was_asked() {
    let (visit, findings) = read(
        "asked = \"Does it keep its tension with the new tyre?\"\nbearing_play = \"none\"\n\
         not_checked = [\"inner layers of the rim\", \"bearing fit\"]\n",
    );
    assert_eq!(visit.taken, "2026-03-04T10:20:00+01:00");
    assert_eq!(visit.by, "M");
    assert_eq!(
        visit.asked.as_deref(),
        Some("Does it keep its tension with the new tyre?")
    );
    assert_eq!(visit.bearing_play, Some(false));
    assert_eq!(
        visit.not_checked,
        ["inner layers of the rim", "bearing fit"]
    );
    assert_eq!(visit.wheel.spokes.len(), 8);
    assert_eq!(visit.settings, ShopSettings::default());
    assert!(visit.gauges.is_empty() && visit.laps.is_empty() && visit.claims.is_empty());
    assert!(
        findings
            .iter()
            .all(|finding| finding.weight <= Weight::Question),
        "{findings:?}"
    );
}

#[test]
fn readings_in_brackets_follow_the_order_in_which_they_were_taken() {
    let taken = [22.5, 23.0, 22.0, 21.5, 22.5, 23.5, 22.0, 21.0].to_vec();
    for (keys, spokes, start, counted) in [
        ("", [1, 2, 3, 4, 5, 6, 7, 8], 1, Counted::Up),
        (
            "start = 3\ncounted = \"up\"",
            [3, 4, 5, 6, 7, 8, 1, 2],
            3,
            Counted::Up,
        ),
        (
            "start = 3\ncounted = \"down\"",
            [3, 2, 1, 8, 7, 6, 5, 4],
            3,
            Counted::Down,
        ),
        (
            "counted = \"down\"",
            [1, 8, 7, 6, 5, 4, 3, 2],
            1,
            Counted::Down,
        ),
    ] {
        let lap = only_lap(&format!("{keys}\nreadings = {EIGHT}"));
        assert_eq!(
            lap,
            (spokes.to_vec(), taken.clone(), start, counted),
            "{keys}"
        );
    }
}

#[test]
fn a_lap_from_a_file_keeps_its_gaps_and_its_order_says_how_it_was_counted() {
    let lap = only_lap("readings = \"bare.csv\"");
    assert_eq!(
        lap,
        (
            [1, 2, 4].to_vec(),
            [22.5, 23.0, 22.0].to_vec(),
            1,
            Counted::Up
        )
    );
    let lap = only_lap("start = 7\ncounted = \"down\"\nreadings = \"bare.csv\"");
    assert_eq!((lap.2, lap.3), (7, Counted::Down));
    let (visit, _) =
        read("[[lap]]\ntakes = \"pitch\"\nstate = \"bare\"\nreadings = \"pluck.csv\"\n");
    assert_eq!(
        (visit.laps[0].start, visit.laps[0].counted),
        (SpokeIndex(7), Counted::Down)
    );
    assert_eq!(
        visit.laps[0].taken,
        Taken::Pitch {
            hertz: vec![(SpokeIndex(7), 402.0), (SpokeIndex(6), 398.5)]
        }
    );
}

#[test]
fn a_gauge_goes_by_its_label_and_is_read_once() {
    let (visit, findings) = read(&format!(
        "{CALIBRATIONS}\n{}",
        bare_lap(&format!("readings = {EIGHT}"))
    ));
    let labels: Vec<_> = visit
        .gauges
        .iter()
        .map(|gauge| gauge.label.as_str())
        .collect();
    assert_eq!(labels, ["G2"]);
    let Taken::Readings { gauge, .. } = &visit.laps[0].taken else {
        panic!("readings")
    };
    assert_eq!(gauge, "G2");
    assert_eq!(visit.calibrations[1].kind, KindIndex(1));
    assert_eq!(visit.calibrations[1].points_name, "gauge-2-round.csv");
    assert_eq!(visit.calibrations[1].points[0].force, Force::kgf(70.0));
    assert!(
        findings
            .iter()
            .all(|finding| finding.about != "no-calibration"),
        "{findings:?}"
    );
}

#[test]
fn a_lap_on_a_kind_without_calibration_is_a_finding_that_names_the_spokes() {
    let lap = bare_lap("readings = \"bare.csv\"");
    let one = "[[calibration]]\nspoke = \"bladed\"\ngauge = \"gauge-2.toml\"\npoints = \"gauge-2-bladed.csv\"\n";
    let (_, findings) = read(&format!("{one}{lap}"));
    let found: Vec<_> = findings
        .iter()
        .filter(|finding| finding.about == "no-calibration")
        .collect();
    let [finding] = found.as_slice() else {
        panic!("{findings:?}")
    };
    assert_eq!(finding.spokes, [SpokeIndex(1), SpokeIndex(3)]);
    assert_eq!(finding.weight, Weight::Question);
    assert!(
        finding
            .says
            .starts_with("Lap 1 was taken with G2, which has no calibration on `round`"),
        "{}",
        finding.says
    );
    let (visit, findings) = read(&lap);
    assert_eq!(
        visit.gauges.len(),
        1,
        "an uncalibrated gauge is still known"
    );
    assert_eq!(
        findings
            .iter()
            .filter(|finding| finding.about == "no-calibration")
            .count(),
        2
    );
}

#[test]
fn a_tyred_lap_states_its_pressure_in_bar_or_psi() {
    let lap = |pressure: &str| {
        let lap = format!(
            "[[lap]]\ntakes = \"reading\"\nstate = \"tyred\"\n{pressure}\nby = \"J\"\n\
             temperature_c = 17.5\ngauge = \"gauge-2.toml\"\nreadings = {EIGHT}\n"
        );
        read(&format!("{CALIBRATIONS}{lap}")).0.laps.remove(0)
    };
    let tyred = lap("pressure_bar = 6.5");
    assert_eq!(
        (tyred.state, tyred.pressure),
        (State::Tyred, Some(Pressure::bar(6.5)))
    );
    assert_eq!(
        (tyred.by.as_deref(), tyred.temperature_c),
        (Some("J"), Some(17.5))
    );
    assert_eq!(lap("pressure_psi = 90").pressure, Some(Pressure::psi(90.0)));
    assert_eq!(lap("pressure_bar = 0").pressure, Some(Pressure::ZERO));
}

#[test]
fn runout_is_taken_at_the_spokes_or_at_angles_of_its_own() {
    let (visit, findings) = read(
        "[[lap]]\ntakes = \"lateral\"\nface = \"right\"\nstart = 2\n\
         readings = [0.02, 0.05, -0.01, 0, 0, 0, 0, 0.1]\n\
         [[lap]]\ntakes = \"radial\"\nstate = \"bare\"\nface = \"left\"\nreadings = \"right-face.csv\"\n",
    );
    let Taken::Runout { axis, face, points } = &visit.laps[0].taken else {
        panic!("runout")
    };
    assert_eq!(
        (*axis, *face, points.len()),
        (Axis::Lateral, Side::Right, 8)
    );
    assert_eq!(points[0].at, visit.wheel.spokes[1].seat_angle());
    assert_eq!(points[2].displacement, Length::mm(-0.01));
    assert_eq!(visit.laps[0].state, State::Bare);
    let unsaid: Vec<_> = findings
        .iter()
        .filter(|finding| finding.about == "runout-state-unsaid")
        .collect();
    assert_eq!(unsaid.len(), 1);
    assert!(
        unsaid[0].says.starts_with("Lap 1 takes runout"),
        "{}",
        unsaid[0].says
    );
    let Taken::Runout { axis, face, points } = &visit.laps[1].taken else {
        panic!("runout")
    };
    assert_eq!((*axis, *face, points.len()), (Axis::Radial, Side::Left, 3));
    assert!((points[1].at.to_deg() - 120.0).abs() < 1e-12);
}

#[test]
fn weighings_limits_claims_and_advice_are_read() {
    let (visit, findings) = read(
        "[[weighing]]\ndress = [\"tape\", \"valve\"]\nmass_g = 812\n\
         [[weighing]]\ndress = []\nmass_g = 795.5\nstep_g = 0.5\n\
         [[limit]]\npart = \"rim\"\ntension_n = 1250\nstate = \"bare\"\n\
         source = \"sticker on the rim\"\nnoted = 2026-03-01\n\
         [[limit]]\npart = \"spoke\"\ntension_kgf = 130\nstate = \"tyred\"\nside = \"left\"\n\
         spoke = \"round\"\nsource = \"letter of the maker\"\nnoted = 2026-02-27\n\
         [[limit]]\npart = \"tyre\"\npressure_bar = 7.5\nsource = \"side wall\"\nnoted = 2026-03-04\n\
         [[claim]]\ntext = \"loses at most 8 % with a tyre on\"\n\
         quantity = \"tension_loss_percent\"\nat_most = 8.0\nwhole = true\nsource = \"catalogue\"\n\
         [[claim]]\ntext = \"as even as it gets\"\nquantity = \"evenness_percent\"\nat_most = 3\nside = \"left\"\n\
         [[claim]]\ntext = \"between 790 and 810 g\"\nquantity = \"mass_g\"\nat_least = 790\nat_most = 810\n\
         [[advice]]\ntext = \"replace the tape\"\nanswer = \"refused\"\n",
    );
    assert_eq!(visit.weighings[0].dress, ["tape", "valve"]);
    assert_eq!(
        (visit.weighings[0].mass, visit.weighings[0].step),
        (Mass::g(812.0), Mass::g(1.0))
    );
    assert_eq!(visit.weighings[1].step, Mass::g(0.5));
    let [rim, spoke] = visit.limits.as_slice() else {
        panic!("two limits of tension")
    };
    assert_eq!(
        (rim.part, rim.tension, rim.condition),
        (Part::Rim, Force::n(1250.0), Condition::Bare)
    );
    assert_eq!(
        (rim.source.as_str(), rim.noted.as_str()),
        ("sticker on the rim", "2026-03-01")
    );
    assert_eq!(
        (spoke.side, spoke.kind),
        (Some(Side::Left), Some(KindIndex(1)))
    );
    assert_eq!(spoke.tension, Force::kgf(130.0));
    assert_eq!(visit.pressure_limits[0].part, "tyre");
    assert_eq!(visit.pressure_limits[0].pressure, Pressure::bar(7.5));
    let [loss, even, mass] = visit.claims.as_slice() else {
        panic!("three claims")
    };
    assert_eq!(
        (loss.quantity, loss.scope),
        (ClaimQuantity::TensionLossPercent, ClaimScope::Whole)
    );
    assert_eq!((loss.at_most, loss.at_least), (Some(8.0), None));
    assert_eq!(loss.source.as_deref(), Some("catalogue"));
    assert_eq!(even.scope, ClaimScope::Side(Side::Left));
    assert_eq!((mass.at_least, mass.at_most), (Some(790.0), Some(810.0)));
    assert_eq!(visit.advice[0].answer, Answer::Refused);
    let undressed = findings
        .iter()
        .find(|finding| finding.about == "claim-without-dress");
    assert!(
        undressed
            .expect("a finding")
            .says
            .contains("between 790 and 810 g")
    );
}

#[test]
fn the_shop_may_settle_some_things_for_itself() {
    let (visit, _) = read(
        "[shop]\ndecide_at = 0.9\nevenness_percent = 4\nlap_minutes = 5\nrig_point_minutes = 2.5\n\
         dish_minutes = 2\ndial_u_mm = 0.01\n",
    );
    assert_eq!(
        visit.settings,
        ShopSettings {
            decide_at: 0.9,
            evenness_prior: 0.04,
            lap_minutes: 5.0,
            rig_point_minutes: 2.5,
            dish_minutes: 2.0,
            dial_u: Length::mm(0.01),
        }
    );
}

#[test]
fn a_byte_order_mark_and_crlf_change_nothing() {
    let lines = format!("{CALIBRATIONS}\n{}", bare_lap("readings = \"bare.csv\""));
    let plain = read(&lines);
    let text = format!("\u{FEFF}{HEAD}{lines}").replace('\n', "\r\n");
    let held = held()
        .into_iter()
        .map(|(name, bytes)| {
            let text = String::from_utf8(bytes)
                .expect("text")
                .replace('\n', "\r\n");
            (name, format!("\u{FEFF}{text}").into_bytes())
        })
        .collect();
    assert_eq!(read_with(text.as_bytes(), held).expect("read"), plain);
}
