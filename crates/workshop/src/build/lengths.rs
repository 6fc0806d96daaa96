//! Lengths to order, the lengths that can be bought, and what each leaves.

use super::{Question, finding, head_word};
use crate::view::{ChoiceView, FindingView, LengthPartsView, LengthView, Quantity};
use mechanics::shrink::rim_shrink;
use quantity::{Length, Sources};
use wheel::length::{HoleGroup, LengthParts, Tautness, groups, uncertain_mm};
use wheel::{End, Head, NippleFit, Spoke, Wheel};

/// Half the difference of seat diameters from which a rim is said to vary too much: the most that a good wheel's
/// radial runout is allowed (common practice, no source).
const OUT_OF_ROUND: Length = Length::mm(0.5);

/// A length is on the shelf if it is nearer to a step than this.
const ON_THE_STEP: f64 = 1e-6;

/// The lengths of a wheel at its bare tensions.
pub(super) fn lengths(
    wheel: &Wheel,
    question: &Question,
    findings: &mut Vec<FindingView>,
) -> Vec<LengthView> {
    let shrink = rim_shrink(wheel);
    say_what_lacks(wheel, shrink, findings);
    let parts: Vec<LengthParts> = wheel
        .spokes
        .iter()
        .map(|spoke| {
            let pulled = spoke.tension.zip(wheel.axial_stiffness_of(spoke));
            let taut = Tautness {
                strain: pulled.map_or(0.0, |(tension, axial)| tension / axial),
                shrink: shrink.unwrap_or_default(),
            };
            LengthParts::of(wheel, spoke, taut)
        })
        .collect();
    let totals: Vec<Length> = parts.iter().map(LengthParts::total).collect();
    let view = groups(wheel, &totals)
        .into_iter()
        .map(|group| length(wheel, question, &group, &parts[group.spokes[0].0]));
    view.collect()
}

/// Says what the lengths leave out, and what a rim that varies means.
fn say_what_lacks(wheel: &Wheel, shrink: Option<Length>, findings: &mut Vec<FindingView>) {
    let mut lack = |is_lacking: bool, says: &str| {
        if is_lacking {
            findings.push(finding("length", says.to_owned()));
        }
    };
    let any = |is: &dyn Fn(&Spoke) -> bool| wheel.spokes.iter().any(is);
    lack(
        any(&|spoke| wheel.fittings.of(spoke.side).nipple.is_none()),
        "The lengths end at the nipple seat: give nipple_head_mm and nipple_slot_mm in [[fitting]], measured on the very nipple.",
    );
    lack(
        any(&|spoke| spoke.head != Head::Straight && wheel.fittings.of(spoke.side).hole.is_none()),
        "The lengths begin at the middle of the hole, where the bend bears on its edge: give hole_mm in [[fitting]].",
    );
    let is_tense = any(&|spoke| spoke.tension.is_some());
    lack(
        is_tense && any(&|spoke| wheel.axial_stiffness_of(spoke).is_none()),
        "Some spokes' stretch is left out: give axial_stiffness_n in [[kind]].",
    );
    lack(
        is_tense && shrink.is_none(),
        "The rim's shrink under tension is left out: give centroid_radius_mm and axial_stiffness_n in [rim].",
    );
    let has_no_thread = |spoke: &Spoke| {
        let nipple = wheel.fittings.of(spoke.side).nipple;
        nipple.is_some_and(|nipple| nipple.thread.is_none() || nipple.length.is_none())
            || wheel.kind_of(spoke).thread.is_none()
    };
    lack(
        any(&has_no_thread),
        "How much thread holds is not told: give nipple_length_mm and nipple_thread_mm in [[fitting]], thread_mm in [[kind]].",
    );
    match out_of_round(wheel) {
        None => lack(
            true,
            "The seat diameter is one number, so nothing shows how much the rim varies: measure it at three or four places and give seat_diameters_mm in [measured].",
        ),
        Some(half) if OUT_OF_ROUND < half => findings.push(FindingView {
            weight: "doubt".into(),
            ..finding(
                "length",
                format!(
                    "The seat diameters differ by {:.1} mm: this rim varies too much for one length to fit all round. Measure again, or ask for another rim.",
                    2.0 * half.to_mm()
                ),
            )
        }),
        Some(_) => {}
    }
}

/// Half of what the measured seat diameters differ by.
fn out_of_round(wheel: &Wheel) -> Option<Length> {
    let mm = || wheel.fittings.seat_diameters.iter().map(|one| one.to_mm());
    let least = mm().reduce(f64::min)?;
    let most = mm().reduce(f64::max)?;
    Some(Length::mm((most - least) / 2.0))
}

fn length(
    wheel: &Wheel,
    question: &Question,
    group: &HoleGroup,
    parts: &LengthParts,
) -> LengthView {
    let spoke = &wheel.spokes[group.spokes[0].0];
    let count = group.spokes.len();
    let spares = (count as f64 * question.spares_percent / 100.0).ceil();
    let mean = group.mean();
    LengthView {
        side: spoke.side.word(),
        kind: wheel.kind_of(spoke).name.clone(),
        head: head_word(spoke.head),
        spokes: group.spokes.iter().map(|spoke| spoke.number()).collect(),
        order: count + spares as usize,
        length_mm: with_u(wheel, spoke, mean),
        parts: LengthPartsView {
            to_seat_mm: parts.to_seat.to_mm(),
            at_hub_mm: parts.at_hub.to_mm(),
            washer_mm: parts.washer.to_mm(),
            into_nipple_mm: parts.into_nipple.to_mm(),
            shrink_mm: parts.shrink.to_mm(),
            stretch_mm: parts.stretch.to_mm(),
        },
        out_of_round_mm: out_of_round(wheel).map(Length::to_mm),
        choices: choices(wheel, spoke, mean, question.step),
    }
}

/// A length with what its uncertainty rests on: Student's factor for few diameters.
fn with_u(wheel: &Wheel, spoke: &Spoke, total: Length) -> Quantity {
    let mut sources = Sources::new();
    let diameters = &wheel.fittings.seat_diameters;
    match uncertain_mm(&mut sources, spoke, total, diameters, &wheel.doubt) {
        Ok(length_mm) => {
            let half = sources.expanded(&length_mm).half_width;
            Quantity {
                low: Some(length_mm.value() - half),
                high: Some(length_mm.value() + half),
                ..Quantity::new(length_mm.value(), length_mm.u())
            }
        }
        // The file's reader has refused what is no number; what is left has no uncertainty to show.
        Err(_) => Quantity::new(total.to_mm(), 0.0),
    }
}

/// The lengths on the shelf below and above, the better one advised.
fn choices(wheel: &Wheel, spoke: &Spoke, wanted: Length, step: Length) -> Vec<ChoiceView> {
    let steps = wanted / step;
    let below = steps.floor();
    let is_on_the_step = (steps - steps.round()).abs() < ON_THE_STEP;
    let bought: Vec<Length> = if is_on_the_step {
        vec![step * steps.round()]
    } else {
        vec![step * below, step * (below + 1.0)]
    };
    let nipple = wheel.fittings.of(spoke.side).nipple;
    let thread = wheel.kind_of(spoke).thread;
    let fits: Vec<(Length, Option<NippleFit>)> = bought
        .into_iter()
        .map(|bought| {
            (
                bought,
                nipple.map(|nipple| nipple.fit(bought - wanted, thread)),
            )
        })
        .collect();
    let best = fits
        .iter()
        .enumerate()
        .min_by(|(_, one), (_, other)| {
            let rank = |(bought, fit): &(Length, Option<NippleFit>)| {
                (faults(fit.as_ref()), (*bought - wanted).abs().to_m())
            };
            let ((one_faults, one_off), (other_faults, other_off)) = (rank(one), rank(other));
            one_faults
                .cmp(&other_faults)
                .then(one_off.total_cmp(&other_off))
        })
        .map_or(0, |(place, _)| place);
    let view = fits
        .into_iter()
        .enumerate()
        .map(|(place, (bought, fit))| ChoiceView {
            length_mm: bought.to_mm(),
            longer_mm: (bought - wanted).to_mm(),
            advised: place == best,
            end: fit.map(|fit| end_word(fit.end)),
            below_top_mm: fit.map(|fit| fit.below_top.to_mm()),
            engaged_mm: fit.and_then(|fit| fit.engaged).map(Length::to_mm),
            turns_left: fit
                .and_then(|fit| fit.travel)
                .map(|travel| travel / wheel::THREAD_PITCH),
            thread_shown_mm: fit.and_then(|fit| fit.shown).map(Length::to_mm),
        });
    view.collect()
}

/// How many things speak against an end: an empty slot, an end above the nipple, no thread left to turn.
fn faults(fit: Option<&NippleFit>) -> usize {
    fit.map_or(0, |fit| {
        let has_no_travel = fit.travel.is_some_and(|travel| travel < Length::ZERO);
        usize::from(fit.end != End::InSlot) + usize::from(has_no_travel)
    })
}

const fn end_word(end: End) -> &'static str {
    match end {
        End::BelowSlot => "below-slot",
        End::InSlot => "in-slot",
        End::Proud => "proud",
    }
}
