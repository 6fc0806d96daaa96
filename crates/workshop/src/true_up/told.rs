//! A plan in words: the way the hand turns, what was learned, what turns cannot mend.

use crate::view::{FindingView, LearnedView, PlanView};
use crate::words;
use quantity::force::ForceUnit;
use quantity::{Angle, Force};
use truing::class::Criterion;
use truing::estimator::{Hop, Unknown};
use truing::plan::{Cannot, Plan};
use wheel::{Section, SpokeIndex, SpokeKind};

/// Something that must be known about a plan.
pub(crate) fn finding(
    weight: &'static str,
    about: &'static str,
    says: String,
    spokes: &[SpokeIndex],
) -> FindingView {
    let spokes = spokes.iter().map(|spoke| spoke.number()).collect();
    FindingView {
        weight: weight.into(),
        about: about.into(),
        says,
        spokes,
    }
}

/// `spoke 3`, `spokes 3, 5 and 8`.
pub(crate) fn list(spokes: &[SpokeIndex]) -> String {
    let numbers: Vec<String> = spokes
        .iter()
        .map(|spoke| spoke.number().to_string())
        .collect();
    match numbers.split_last() {
        None => "no spoke".into(),
        Some((only, [])) => format!("spoke {only}"),
        Some((last, others)) => format!("spokes {} and {last}", others.join(", ")),
    }
}

/// The way a hand turns a nipple, seen from where it stands.
///
/// A nipple has a right-hand thread and screws onto the spoke's end from outside: tightening is clockwise seen from
/// the tyre, anticlockwise seen from the hub (geometry of the thread; common practice, no source).
#[must_use]
pub const fn direction(tighten: bool, hidden: bool) -> &'static str {
    match (tighten, hidden) {
        (true, false) => "tighten: anticlockwise, seen from the hub",
        (false, false) => "loosen: clockwise, seen from the hub",
        (true, true) => "tighten: clockwise, seen from the tyre side",
        (false, true) => "loosen: anticlockwise, seen from the tyre side",
    }
}

/// Whether that hand goes clockwise, as [`direction`] says.
#[must_use]
pub const fn is_clockwise(tighten: bool, hidden: bool) -> bool {
    tighten == hidden
}

/// What to do about the spoke's twist.
#[must_use]
pub fn hold(kind: &SpokeKind, windup: Option<Angle>) -> String {
    if matches!(kind.section, Some(Section::Wire(_))) {
        return match windup {
            Some(twist) => format!(
                "go {:.0}° past the mark and back by as much",
                twist.to_deg().abs()
            ),
            None => "go past the mark by what the spoke twists, and back by as much".into(),
        };
    }
    "hold the blade, or a spoke whose section is not known to be round, so that it cannot twist"
        .into()
}

/// What must be said beside every plan.
#[must_use]
pub fn cautions(hidden: bool) -> Vec<&'static str> {
    let mut all = vec![
        "Evidence, not permission to ride: the makers' limits and instructions prevail, local rules apply, a qualified mechanic decides.",
        "Stop at once for a crack, a bulge, whitening at a nipple hole or damaged carbon: do not true a suspected rim. A nipple that resists is not forced.",
        "Eye protection: a tensioned spoke can break and fly.",
    ];
    if hidden {
        all.push("Hidden nipples: tyre and tape come off first, and limits stated with a tyre on cannot be looked at before it is back.");
    }
    all
}

/// A rim that is expected to move by less to the side stays where it is, mm: half of the finest that a flipping tool
/// shows. Common practice, no source.
const STAYS_MM: f64 = 0.1;

pub(super) fn unknown(unknown: &Unknown, plan: &Plan) -> FindingView {
    let moved_mm = plan.expected.dish_mm.value - plan.now.dish_mm.value;
    let (about, says, spokes): (&'static str, String, &[SpokeIndex]) = match unknown {
        Unknown::Tension => (
            "tension",
            "No tension was read: level, evenness and limits cannot be judged. Tension is only kept as it is, as far as runout tells.".into(),
            &[],
        ),
        Unknown::TensionOf(spokes) => (
            "tension",
            format!("Never read: the tension of {}. It is told by the others, by balance and runout, less surely.", list(spokes)),
            spokes,
        ),
        Unknown::Lateral => ("lateral", "No runout to the side was read: what is expected of it rests on tension alone.".into(), &[]),
        Unknown::Radial => ("radial", "No runout in and out was read: what is expected of it rests on tension alone.".into(), &[]),
        Unknown::FewPlaces { sideways, places } => (
            if *sideways { "lateral" } else { "radial" },
            format!("Runout {} was read at {places} places only: between them the rim may do otherwise.", way(*sideways)),
            &[],
        ),
        Unknown::Dish if moved_mm.abs() < STAYS_MM => ("dish", "The dish was not measured: the plan leaves it where it is.".into(), &[]),
        Unknown::Dish => {
            let says = format!(
                "The dish was not measured, and these turns are expected to move the rim by {:.1} mm to the {}. Measure it first, or look at it before the next round.",
                moved_mm.abs(),
                if 0.0 < moved_mm { "right" } else { "left" }
            );
            return finding("doubt", "dish", says, &[]);
        }
        Unknown::Shape => ("shape", "No shape of the wheel was found at the lengths that these readings ask for: the plan counts what is of the first order only. Look for readings that are slips.".into(), &[]),
    };
    finding("note", about, says, spokes)
}

fn way(sideways: bool) -> &'static str {
    if sideways {
        "to the side"
    } else {
        "in and out"
    }
}

/// What turns cannot mend, in words; forces in a unit.
pub(crate) fn cannot(cannot: &Cannot, unit: ForceUnit) -> (&'static str, String, Vec<SpokeIndex>) {
    let force = |force: Force| words::exact_force(force, unit);
    match cannot {
        Cannot::BentRim {
            at,
            tight,
            slack,
            at_least,
        } => (
            "bent-rim",
            format!(
                "The rim is bent near {:.0}° from the valve hole: to run true there, spoke {} would want {} and its neighbour {} only {}. No turns at all bring the wheel below {:.0} % of its class.",
                at.to_deg(),
                tight.0.number(),
                force(tight.1),
                slack.0.number(),
                force(slack.1),
                100.0 * at_least
            ),
            vec![tight.0, slack.0],
        ),
        Cannot::Hop(Hop { at, by, sideways }) => (
            "hop",
            format!(
                "At {:.0}° from the valve hole the rim stands {:.2} mm {} out of its shape, as at a joint: spokes do not mend that, leave it.",
                at.to_deg(),
                by.to_mm(),
                way(*sideways)
            ),
            Vec::new(),
        ),
        Cannot::Excluded {
            limits,
            slack,
            nipples,
            round,
        } => (
            "limit",
            format!(
                "No turns bring every spoke surely within its limit: {} exclude each other. What is turned takes no spoke further over.{}",
                excluded(limits, slack, nipples, round),
                if round.is_empty() { "" } else { " Another round goes on." }
            ),
            limits.clone(),
        ),
        Cannot::NotFoundInTime => (
            "limit",
            "Turns that bring every spoke surely within its limit were not found in time; there may be some. What is turned takes no spoke further over.".into(),
            Vec::new(),
        ),
        Cannot::MeanTooHigh {
            side,
            wanted,
            surely,
            at_most,
        } => (
            "mean",
            format!(
                "A mean of {} on the {} side leaves its spokes no room: by their limit, and what is not known of their tension, none may surely bear more than {}. Ask for a lower mean, of {} or less.",
                force(*wanted),
                side.word(),
                force(*surely),
                force(*at_most)
            ),
            Vec::new(),
        ),
        Cannot::AtLimit { spokes } => (
            "limit",
            format!("Held back by its limit: {}.", list(spokes)),
            spokes.clone(),
        ),
        Cannot::Seized { spokes } => (
            "seized",
            format!(
                "Held back by a nipple that does not turn: {}.",
                list(spokes)
            ),
            spokes.clone(),
        ),
        Cannot::ThreadEnds { spokes } => (
            "thread",
            format!("Held back by the end of the thread: {}.", list(spokes)),
            spokes.clone(),
        ),
        Cannot::AnotherRound { spokes } => (
            "round",
            format!(
                "At the most turns of one round: {}. Another round goes on.",
                list(spokes)
            ),
            spokes.clone(),
        ),
        Cannot::NoRoomOnTheWay { spokes } => (
            "on-the-way",
            format!(
                "Turned less far than would be best, so that no spoke is taken over its limit on the way: {}. Another round goes on.",
                list(spokes)
            ),
            spokes.clone(),
        ),
        Cannot::OutOfReach {
            criterion,
            at_least,
        } => (
            "out-of-reach",
            format!(
                "No turns at all bring {} below {:.0} % of its class.",
                match criterion {
                    Criterion::Lateral => "runout to the side",
                    Criterion::Radial => "runout in and out",
                    Criterion::Evenness(_) => "evenness",
                    Criterion::Dish => "the dish",
                    Criterion::Mean => "the mean tension",
                },
                100.0 * at_least
            ),
            Vec::new(),
        ),
    }
}

/// Beyond so many, spokes are counted instead of named.
const NAMED: usize = 6;

/// `the limits of spokes 1 and 3, and how far a nipple can be turned on spoke 2`.
fn excluded(
    limits: &[SpokeIndex],
    slack: &[SpokeIndex],
    nipples: &[SpokeIndex],
    round: &[SpokeIndex],
) -> String {
    let parts = [
        ("the limits of", limits),
        ("no slack in", slack),
        ("how far a nipple can be turned on", nipples),
        ("the most turns of one round on", round),
    ];
    let parts = parts.iter().filter(|(_, spokes)| !spokes.is_empty());
    let parts: Vec<String> = parts
        .map(|(what, spokes)| match spokes.len() {
            many if NAMED < many => format!("{what} {many} spokes"),
            _ => format!("{what} {}", list(spokes)),
        })
        .collect();
    parts.join(", and ")
}

/// What the rounds taught, sentence by sentence.
#[must_use]
pub fn learned(learned: &LearnedView) -> Vec<String> {
    let mut all = Vec::new();
    for gain in &learned.gains {
        let quarter = &gain.quarter_turn_comes_out_at;
        all.push(format!(
            "Quarter turns on {} come out at {:.3} ± {:.3} of a turn.",
            gain.kind,
            quarter.value,
            words::K * quarter.u
        ));
    }
    if !learned.gains.is_empty() {
        all.push(format!(
            "By the rounds so far the gauge is good to {:.1} %, the dial to {:.3} mm (standard uncertainties of one reading).",
            learned.gauge_noise_percent, learned.dial_noise_mm
        ));
    }
    for unmoved in &learned.unmoved {
        all.push(format!(
            "Spoke {} did not respond in round {}: of {:+.3} turns {:.2} ± {:.2} came through. Wound up, seized or stripped: look before turning it again.",
            unmoved.spoke,
            unmoved.round,
            unmoved.turned,
            unmoved.turned * unmoved.share.value,
            words::K * (unmoved.turned * unmoved.share.u).abs()
        ));
    }
    all
}

/// One line of the table of work.
#[must_use]
pub fn item_of(view: &PlanView, place: usize, unit: ForceUnit) -> Option<[String; 6]> {
    let turn = view.turns.get(place)?;
    Some([
        (place + 1).to_string(),
        turn.spoke.to_string(),
        turn.side.to_string(),
        format!("{:+}", turn.turns),
        turn.direction.to_string(),
        format!(
            "{} to {}",
            words::exact_force(Force::n(turn.tension_before_n), unit),
            words::exact_force(Force::n(turn.tension_after_n), unit)
        ),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Geometry of a screw: turned by a right hand's fingers, a nut with a right-hand thread goes where the thumb points.
    /// Tightening, the nipple goes along the spoke toward the hub.
    #[test]
    fn hand_turns_the_nipple_as_its_thread_wants() {
        let toward_hub = -1.0_f64;
        for (hidden, eye_looks) in [(false, 1.0), (true, -1.0)] {
            for tighten in [true, false] {
                let nipple_goes = if tighten { toward_hub } else { -toward_hub };
                // Seen along the thumb the fingers go clockwise; seen against it anticlockwise.
                let clockwise = nipple_goes * eye_looks > 0.0;
                let said = direction(tighten, hidden);
                assert_eq!(said.contains(": clockwise"), clockwise, "{said}");
                assert_eq!(said.contains(": anticlockwise"), !clockwise, "{said}");
                assert_eq!(is_clockwise(tighten, hidden), clockwise);
                assert_eq!(said.starts_with("tighten"), tighten);
                let from = if hidden {
                    "from the tyre side"
                } else {
                    "from the hub"
                };
                assert!(said.ends_with(from), "{said}");
            }
        }
    }
}
