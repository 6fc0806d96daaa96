//! Claims, each judged on every part of the wheel it speaks of; the worst is the verdict.

use super::{SurveyedDrop, SurveyedGroup};
use crate::chances::{ALL_PARTS, Chances, Spread, Wanted, WantedDrop, place_of};
use crate::conformity::{Claim, ClaimQuantity, ClaimScope, ClaimVerdict, probability_between};
use crate::evenness::squared_u;
use crate::lap::{Axis, State};
use crate::runout::{Runout, worst};
use crate::settle::{Next, Settle, for_drops};
use crate::tension::{Curves, Tensions};
use crate::tyre_effect::{Drop, Part};
use crate::visit::Visit;
use quantity::distribution::normal_quantile;
use wheel::Side;

/// Half the 95 % interval of a normal distribution, in standard deviations.
const HALF_WIDTH: f64 = 1.96;

/// One part of the wheel against a claim.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedPart {
    /// The part's words.
    pub part: String,
    /// The number it is judged by, in the claim's unit.
    pub value: Spread,
    /// Probability that the claim holds for it.
    pub probability: f64,
    /// The verdict.
    pub verdict: ClaimVerdict,
}

/// A claim and what can be said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedClaim {
    /// The claim.
    pub claim: Claim,
    /// Each part it speaks of, as far as it is known.
    pub parts: Vec<JudgedPart>,
    /// The smallest of their probabilities; none where a part is unknown.
    pub probability: Option<f64>,
    /// The worst of their verdicts; undecided where a part is unknown and none refutes it.
    pub verdict: ClaimVerdict,
    /// What would settle it, when it is undecided.
    pub settle: Option<Settle>,
}

type Sides<'a> = &'a Option<(Vec<SurveyedGroup>, Vec<SurveyedGroup>)>;

fn parts_of(claim: &Claim) -> Vec<Part> {
    match claim.scope {
        ClaimScope::Unnamed => ALL_PARTS.to_vec(),
        ClaimScope::Whole => vec![Part::Whole],
        ClaimScope::Side(side) => vec![Part::Side(side)],
    }
}

/// Adds every claim on a loss of tension, part by part, to what the draws are asked.
pub(super) fn ask(visit: &Visit, drops: &[Drop], wanted: &mut Wanted<'_>) {
    for claim in visit
        .claims
        .iter()
        .filter(|claim| claim.quantity == ClaimQuantity::TensionLossPercent)
    {
        let (at_least, at_most) = claim.bounds();
        for part in parts_of(claim) {
            if let Some(drop) = place_of(drops, part) {
                wanted.claims.push(WantedDrop {
                    drop,
                    at_least,
                    at_most,
                });
            }
        }
    }
}

/// Judges each claim; those on a loss of tension in the order in which [`ask`] asked.
pub(super) fn judge(
    visit: &Visit,
    curves: &Curves,
    (bare, tyred): (Option<&Tensions>, Option<&Tensions>),
    (bare_groups, tyred_groups): (Sides<'_>, Sides<'_>),
    drops: &[SurveyedDrop],
    runouts: &[Runout],
    chances: &Chances,
) -> Vec<JudgedClaim> {
    let decide_at = visit.settings.decide_at;
    let mut answers = chances.claims.iter().copied();
    visit
        .claims
        .iter()
        .map(|claim| {
            let bounds = claim.bounds();
            let judged = |part: String, value: Spread, probability: f64| JudgedPart {
                part,
                value,
                probability,
                verdict: ClaimVerdict::at(probability, decide_at),
            };
            let normal = |part: String, value: f64, u: f64| {
                let spread = Spread {
                    value,
                    u,
                    low: value - HALF_WIDTH * u,
                    high: value + HALF_WIDTH * u,
                };
                judged(
                    part,
                    spread,
                    probability_between(value, u, bounds.0, bounds.1),
                )
            };
            match claim.quantity {
                ClaimQuantity::TensionLossPercent => {
                    let mut known = Vec::new();
                    let mut complete = true;
                    for part in parts_of(claim) {
                        let drop = drops.iter().find(|one| one.drop.part == part);
                        // A wheel with spokes on one side only has no drop on the other to be missed.
                        complete &= drop.is_some() || !exists(visit, part);
                        if let Some((drop, probability)) =
                            drop.and_then(|drop| answers.next().map(|p| (drop, p)))
                        {
                            known.push((
                                part,
                                judged(part.word().into(), drop.percent, probability),
                            ));
                        }
                    }
                    let undecided: Vec<Part> = known
                        .iter()
                        .filter(|(_, one)| one.verdict == ClaimVerdict::Undecided)
                        .map(|(part, _)| *part)
                        .collect();
                    let settle = || match (bare, tyred) {
                        (None, _) => Settle::LapMissing(State::Bare),
                        (_, None) => Settle::LapMissing(State::Tyred),
                        (Some(bare), Some(tyred)) if complete => {
                            for_drops(visit, curves, bare, tyred, &undecided, bounds)
                        }
                        (Some(bare), Some(tyred)) => past_the_end(bare)
                            .or(past_the_end(tyred))
                            .unwrap_or(Settle::TooClose),
                    };
                    conclude(
                        claim,
                        known.into_iter().map(|(_, one)| one).collect(),
                        complete,
                        settle,
                    )
                }
                ClaimQuantity::MassG => {
                    let wanted: std::collections::BTreeSet<&String> = claim.dress.iter().collect();
                    let parts: Vec<JudgedPart> = visit
                        .weighings
                        .iter()
                        .filter(|one| {
                            one.dress.iter().collect::<std::collections::BTreeSet<_>>() == wanted
                        })
                        .map(|one| {
                            normal(
                                "as weighed".into(),
                                one.mass.to_g(),
                                one.step.to_g() / 12_f64.sqrt(),
                            )
                        })
                        .collect();
                    let complete = !parts.is_empty();
                    conclude(claim, parts, complete, || Settle::Weigh)
                }
                ClaimQuantity::LateralFirMm | ClaimQuantity::RadialFirMm => {
                    let axis = match claim.quantity {
                        ClaimQuantity::LateralFirMm => Axis::Lateral,
                        _ => Axis::Radial,
                    };
                    let parts: Vec<JudgedPart> = worst(runouts, axis)
                        .map(|one| {
                            normal(
                                format!("{} face", one.face.word()),
                                one.full_indicator_reading.to_mm(),
                                one.u.to_mm(),
                            )
                        })
                        .into_iter()
                        .collect();
                    let complete = !parts.is_empty();
                    conclude(claim, parts, complete, || Settle::Dial)
                }
                ClaimQuantity::EvennessPercent => {
                    let groups = bare_groups.as_ref().or(tyred_groups.as_ref());
                    evenness(
                        visit,
                        claim,
                        groups.map(|(by_kind, _)| by_kind.as_slice()),
                        bare.or(tyred),
                        judged,
                    )
                }
            }
        })
        .collect()
}

fn exists(visit: &Visit, part: Part) -> bool {
    match part {
        Part::Whole => true,
        Part::Side(side) => visit.wheel.spokes.iter().any(|spoke| spoke.side == side),
    }
}

fn past_the_end(tensions: &Tensions) -> Option<Settle> {
    let outside = tensions.spokes.iter().position(|one| {
        matches!(
            one,
            crate::tension::Tension::MoreThan(_) | crate::tension::Tension::LessThan(_)
        )
    })?;
    tensions.shown[outside]
        .first()
        .map(|shown| Settle::PastTheEnd(shown.curve))
}

/// Evenness without noise, each side and kind (or those of the side that the claim names).
fn evenness(
    visit: &Visit,
    claim: &Claim,
    groups: Option<&[SurveyedGroup]>,
    tensions: Option<&Tensions>,
    judged: impl Fn(String, Spread, f64) -> JudgedPart,
) -> JudgedClaim {
    let (at_least, at_most) = claim.bounds();
    let of = |side: Side| !matches!(claim.scope, ClaimScope::Side(only) if only != side);
    let mut parts = Vec::new();
    let mut needed: Option<usize> = Some(0);
    let mut complete = groups.is_some();
    for one in groups
        .unwrap_or_default()
        .iter()
        .filter(|one| of(one.group.side))
    {
        let Ok(force) = &one.group.force else {
            complete = false;
            continue;
        };
        let Some(clean) = force.sd_without_noise_percent else {
            continue;
        };
        // Held against the bound with the spread that the square would have if the bound were true.
        let squared = |bound: f64| {
            let u = squared_u(
                bound * bound,
                force.noise_percent_squared,
                force.degrees_of_freedom,
            );
            (clean.value * clean.value - bound * bound, u)
        };
        let below = |bound: f64| {
            if bound.is_infinite() {
                return f64::from(u8::from(bound > 0.0));
            }
            let (distance, u) = squared(bound);
            probability_between(distance, u, f64::NEG_INFINITY, 0.0)
        };
        let probability = below(at_most)
            - if at_least.is_finite() {
                below(at_least)
            } else {
                0.0
            };
        let spread = Spread {
            value: clean.value,
            u: clean.u,
            low: (clean.value - HALF_WIDTH * clean.u).max(0.0),
            high: clean.value + HALF_WIDTH * clean.u,
        };
        let kind = &visit.wheel.kinds[one.group.kind.map_or(0, |kind| kind.0)].name;
        let part = judged(
            format!("{} {kind}", one.group.side.word()),
            spread,
            probability,
        );
        if part.verdict == ClaimVerdict::Undecided {
            let laps = tensions.map_or(1, |tensions| tensions.laps.len().max(1));
            let bound = if at_most.is_finite() {
                at_most
            } else {
                at_least
            };
            let z = normal_quantile(visit.settings.decide_at);
            let enough = (1..=4).find(|more| {
                let noise = force.noise_percent_squared * laps as f64 / (laps + more) as f64;
                let u = squared_u(bound * bound, noise, force.degrees_of_freedom);
                (clean.value * clean.value - bound * bound).abs() >= z * u
            });
            needed = needed.zip(enough).map(|(a, b)| a.max(b));
        }
        parts.push(part);
    }
    complete &= !parts.is_empty();
    let state = tensions.map(|tensions| tensions.state);
    conclude(claim, parts, complete, || match (state, needed) {
        (None, _) => Settle::LapMissing(State::Bare),
        (Some(_), None) => Settle::TooClose,
        (Some(state), Some(laps)) => {
            let laps = laps.max(1);
            let minutes = laps as f64 * visit.settings.lap_minutes;
            Settle::By(match state {
                State::Bare => Next {
                    bare_laps: laps,
                    minutes,
                    ..Next::default()
                },
                State::Tyred => Next {
                    tyred_laps: laps,
                    minutes,
                    ..Next::default()
                },
            })
        }
    })
}

fn conclude(
    claim: &Claim,
    parts: Vec<JudgedPart>,
    complete: bool,
    settle: impl FnOnce() -> Settle,
) -> JudgedClaim {
    let worst = parts.iter().map(|one| one.verdict).max();
    let verdict = match worst {
        Some(ClaimVerdict::Refuted) => ClaimVerdict::Refuted,
        Some(worst) if complete => worst,
        _ => ClaimVerdict::Undecided,
    };
    let least = parts
        .iter()
        .map(|one| one.probability)
        .fold(f64::INFINITY, f64::min);
    JudgedClaim {
        claim: claim.clone(),
        probability: (complete && least.is_finite()).then_some(least),
        settle: (verdict == ClaimVerdict::Undecided).then(settle),
        verdict,
        parts,
    }
}
