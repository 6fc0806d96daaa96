//! The page of a round and its pictures, from a state as it is typed to what they say.

use super::page::document;
use super::{More, Question, figures, page, proof, true_up};
use crate::view::PlanView;
use crate::words;
use ::files::{Source, state as state_file, wheel_file};
use quantity::force::ForceUnit;
use quantity::{Force, Length};
use report::document::{Block, Document, Standing};
use report::figure::{Level, Reach, UnrolledRim};
use truing::Round;
use wheel::limit::{Condition, Limit, Part};
use wheel::{Side, Wheel};

const SPOKES: u32 = 32;
const KGF: ForceUnit = ForceUnit::Kgf;

/// As far in or out of shape as tensions (a share) and rim (mm) are here.
#[derive(Clone, Copy)]
struct Off {
    tension: f64,
    rim_mm: Option<f64>,
}

/// Nothing that anybody would turn a nipple for.
const TRUE: Off = Off {
    tension: 0.0,
    rim_mm: Some(0.0),
};

/// A wheel that wanders to both sides twice a turn.
const WANDERS: Off = Off {
    tension: 0.15,
    rim_mm: Some(0.5),
};

/// A symmetric wheel with its rim's constants.
fn wheel() -> Wheel {
    let text = include_str!("../../../../fuzz/seeds/wheel_file/laced.toml")
        .replacen("flange_offset_mm = 17.5", "flange_offset_mm = 35.0", 1)
        .replacen(
            "sides = [\"right\", \"left\"]\n",
            "sides = [\"right\", \"left\"]\ncentroid_radius_mm = 303.0\naxial_stiffness_n = 7.5e6\n\
             in_plane_bending_n_mm2 = 2.0e8\nlateral_bending_n_mm2 = 1.6e8\ntorsion_n_mm2 = 0.5e8\n",
            1,
        )
        .replacen(
            "wire_mm = 2.0\n",
            "wire_mm = 2.0\naxial_stiffness_n = 6.0e5\n",
            1,
        );
    let source = Source::from_bytes("wheel.toml", text.as_bytes()).expect("text");
    wheel_file::read(&source).expect("a wheel").0
}

fn read(off: Off, wheel: &Wheel) -> state_file::StateFile {
    let rows = (1..=SPOKES).map(|spoke| {
        let swing = f64::from(spoke) * std::f64::consts::TAU / 16.0;
        let side = if spoke % 2 == 0 { -1.0 } else { 1.0 };
        let kgf = 100.0 * (1.0 + side * off.tension * swing.cos());
        let right = off
            .rim_mm
            .map_or(String::new(), |mm| format!("{:.3}", mm * swing.sin()));
        let outward = off.rim_mm.map_or("", |_| "0");
        format!("{spoke},{kgf:.1},{right},{outward}\n")
    });
    let text = format!(
        "spoke,tension_kgf,lateral_mm,radial_mm\n{}",
        rows.collect::<String>()
    );
    let source = Source::from_bytes("state.csv", text.as_bytes()).expect("text");
    state_file::read(&source, wheel).expect("a state")
}

fn planned(
    off: Off,
    dish: Option<f64>,
    earlier: Vec<Round>,
    question: &Question,
) -> (PlanView, Vec<Round>) {
    let wheel = wheel();
    let more = More {
        dish: dish.map(Length::mm),
        ..More::default()
    };
    true_up(&wheel, read(off, &wheel), more, earlier, question, &[]).expect("a plan")
}

fn view(off: Off, dish: Option<f64>, question: &Question) -> PlanView {
    planned(off, dish, Vec::new(), question).0
}

/// The words of the verdict and what it rests on.
fn verdict(document: &Document) -> (Standing, String, usize) {
    let verdict = &document.verdict;
    let sentence = format!("{:?}", verdict.sentence);
    (verdict.standing, sentence, verdict.grounds.len())
}

fn limit(tension: Force, condition: Condition, side: Option<Side>) -> Limit {
    Limit {
        part: Part::Rim,
        tension,
        condition,
        source: "made up for this test".into(),
        noted: "2026-01-01".into(),
        side,
        kind: None,
    }
}

#[test]
fn only_a_wheel_that_was_read_wholly_is_called_of_its_class() {
    let question = limited(150.0);
    let (standing, says, grounds) = verdict(&document(&view(TRUE, Some(0.0), &question), KGF));
    assert_eq!((standing, grounds), (Standing::Clear, 0));
    assert!(says.contains("The wheel is of its class"), "{says}");
    let unread = Off {
        rim_mm: None,
        ..TRUE
    };
    for (off, dish) in [(unread, Some(0.0)), (unread, None), (TRUE, None)] {
        let view = view(off, dish, &question);
        assert!(view.turns.is_empty() && view.good_enough);
        let (standing, says, grounds) = verdict(&document(&view, KGF));
        assert_eq!((standing, grounds), (Standing::Open, 0));
        assert!(says.contains("what was not read is not judged"), "{says}");
    }
}

/// A question with one limit for every spoke, kgf.
fn limited(kgf: f64) -> Question {
    Question {
        limits: vec![limit(Force::kgf(kgf), Condition::Bare, None)],
        ..Question::default()
    }
}

#[test]
fn only_a_wheel_surely_under_known_limits_is_called_clear() {
    let said = |question: &Question| {
        let view = view(TRUE, Some(0.0), question);
        assert!(view.turns.is_empty() && view.good_enough);
        let named = view
            .findings
            .iter()
            .any(|one| one.about == "limits" && one.spokes.len() == SPOKES as usize);
        let (standing, says, _) = verdict(&document(&view, KGF));
        (standing, named, says)
    };
    // All spokes at 100 kgf, read to 2.5 %.
    assert_eq!(said(&limited(150.0)).0, Standing::Clear);
    let (standing, named, says) = said(&limited(101.0));
    assert_eq!((standing, named), (Standing::Open, true));
    assert!(says.contains("cannot be told"), "{says}");
    let (standing, _, says) = said(&Question::default());
    assert_eq!(standing, Standing::Open);
    assert!(says.contains("limit is not known"), "{says}");
    let one_side = Question {
        limits: vec![limit(Force::kgf(150.0), Condition::Bare, Some(Side::Right))],
        ..Question::default()
    };
    assert_eq!(said(&one_side).0, Standing::Open);
}

#[test]
fn wheel_that_is_most_likely_of_its_class_gets_no_turns_and_is_not_called_clear() {
    let mut found = 0;
    for hundredths in 5..11 {
        let off = Off {
            tension: 0.0,
            rim_mm: Some(f64::from(hundredths) / 100.0),
        };
        let view = view(off, Some(0.0), &limited(150.0));
        let (standing, says, _) = verdict(&document(&view, KGF));
        let p = view.of_its_class_p.expect("a probability");
        match view.enough.as_deref() {
            Some("of_its_class") => assert!(0.95 <= p && standing == Standing::Clear, "{p}"),
            Some("most_likely_of_its_class") => {
                found += 1;
                assert!(view.turns.is_empty() && p < 0.95, "{p}");
                assert_eq!(standing, Standing::Open);
                assert!(says.contains("most likely of its class"), "{says}");
            }
            _ => assert_eq!(standing, Standing::Open),
        }
    }
    assert!(0 < found);
}

#[test]
fn wheel_of_its_class_is_not_denied_it_when_more_is_asked_for() {
    let question = Question {
        go_on: true,
        ..limited(150.0)
    };
    let view = view(TRUE, Some(0.0), &question);
    assert!(view.turns.is_empty());
    assert_eq!(view.enough.as_deref(), Some("of_its_class_and_no_better"));
    let (standing, says, _) = verdict(&document(&view, KGF));
    assert_eq!(standing, Standing::Open);
    assert!(!says.contains("not of its class"), "{says}");
}

#[test]
fn page_lists_every_turn_with_a_box_and_says_what_its_search_proves() {
    let view = view(WANDERS, None, &Question::default());
    assert_eq!(view.ending, "optimal");
    let document = document(&view, KGF);
    let (standing, says, grounds) = verdict(&document);
    assert_eq!((standing, grounds), (Standing::Open, 1));
    assert!(
        says.contains(&format!("Turn {} times", view.turns.len())),
        "{says}"
    );
    let work = document
        .sections
        .iter()
        .find(|one| one.heading == "Turn, in this order");
    let Some(Block::Table(table)) = work.and_then(|work| work.blocks.first()) else {
        panic!("no table to work by");
    };
    assert_eq!(table.rows.len(), view.turns.len());
    let html = page(&view, KGF).expect("a page");
    assert_eq!(html.matches('☐').count(), view.turns.len());
    assert!(html.contains("proven"));
}

#[test]
fn proof_is_of_the_sum_that_was_made_small() {
    let mut view = view(WANDERS, None, &Question::default());
    for counts_scatter in [false, true] {
        view.counts_scatter = counts_scatter;
        let says = proof(&view).expect("turns");
        assert_eq!(says.contains("coming out off"), counts_scatter, "{says}");
    }
}

#[test]
fn what_few_nipples_prove_is_said_of_few_nipples() {
    let question = Question {
        at_most: Some(2),
        trade_off: 2,
        ..Question::default()
    };
    let view = view(WANDERS, None, &question);
    let html = page(&view, KGF).expect("a page");
    assert!(html.contains("of 2 nipples at most"), "{html}");
    assert!(html.contains("With few nipples"));
}

#[test]
fn limits_are_drawn_where_they_hold_without_a_tyre() {
    let limits = vec![
        limit(Force::kgf(120.0), Condition::Bare, Some(Side::Right)),
        limit(Force::kgf(108.0), Condition::Tyred, None),
    ];
    let question = Question {
        limits,
        tyre_loss: Some(0.1),
        room: 0.02,
        ..Question::default()
    };
    let view = view(WANDERS, None, &question);
    for limit in &view.limits {
        let kept = limit.kept_n.expect("as kept") / limit.bare_n;
        assert!((kept - 0.98).abs() < 1e-12, "{limit:?}");
        assert_eq!(limit.kind, None);
    }
    let strip: UnrolledRim = figures::planned(&view, KGF).expect("tension was read");
    let [bare, tyred] = &strip.limits[..] else {
        panic!("{:?}", strip.limits);
    };
    assert_eq!(bare.reach, Reach::Only(Side::Right));
    assert_eq!(tyred.reach, Reach::Both);
    for limit in [bare, tyred] {
        assert!((limit.value - 120.0).abs() < 1e-9, "{limit:?}");
    }
    assert!(tyred.words.contains("108 kgf tyred"), "{}", tyred.words);
    let turned = strip.spokes.iter().filter(|spoke| !spoke.word.is_empty());
    assert!(0 < turned.count());
}

#[test]
fn next_readings_are_expected_with_the_noise_of_the_gauge() {
    let question = Question::default();
    let (first, rounds) = planned(WANDERS, None, Vec::new(), &question);
    assert!(figures::found(&first, KGF).is_none());
    let again = Off {
        tension: 0.02,
        rim_mm: Some(0.1),
    };
    let (second, _) = planned(again, None, rounds, &question);
    let strip = figures::found(&second, KGF).expect("a second round");
    for spoke in &strip.spokes {
        let Level::Read(expected) = spoke.level else {
            panic!("{spoke:?}");
        };
        let half = expected.high - expected.value;
        let of_gauge = words::K * second.learned.gauge_noise_percent / 100.0 * expected.value;
        assert!(0.9 * of_gauge < half, "{half} {of_gauge}");
        assert!(matches!(spoke.second, Some(Level::Read(_))));
    }
    let rim = figures::found_rim(&second).expect("runout was read");
    assert_eq!(rim.traces.len(), 4);
    for trace in &rim.traces {
        let mean = trace.points.iter().map(|point| point.mm).sum::<f64>();
        assert!(mean.abs() < 1e-6, "{} is not about its mean", trace.face);
    }
}

#[test]
fn runout_alone_is_planned_with_what_it_may_do_to_tension() {
    let wheel = wheel();
    let mut state = read(WANDERS, &wheel);
    state.readings.tensions.clear();
    let question = Question {
        target: Some(super::Mean {
            side: Side::Right,
            tension: Force::kgf(100.0),
        }),
        limits: vec![limit(Force::kgf(120.0), Condition::Bare, None)],
        ..Question::default()
    };
    let (view, _) =
        true_up(&wheel, state, More::default(), Vec::new(), &question, &[]).expect("a plan");
    let about = view
        .findings
        .iter()
        .find(|one| one.about == "limits")
        .expect("about limits");
    assert!(about.says.contains("no tension was read"), "{}", about.says);
    let digits: String = about.says.chars().filter(char::is_ascii_digit).collect();
    let told_n: f64 = digits.parse().expect("one number");
    let mut highest: f64 = 0.0;
    for turn in &view.turns {
        let now_n = view.spokes[turn.spoke - 1]
            .now_n
            .expect("as runout tells")
            .value;
        highest = highest.max(turn.tension_after_n - now_n);
    }
    assert!(
        highest <= told_n && told_n % 10.0 == 0.0,
        "{highest} {told_n}"
    );
}
