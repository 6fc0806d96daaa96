//! Surveying a visit: from the files on the bench to the verdicts.

use crate::build::as_read;
use crate::report::sentence;
use crate::view::{
    Bound, ClaimPartView, ClaimView, CurveDoubtView, DressDifferenceView, DropView, GroupView,
    HarmonicView, LimitSpokeView, LimitView, PressureView, Quantity, RunoutLapView, RunoutView,
    SideStates, Sides, SpokeView, StateNumbers, Statics, StaticsStates, SurveyView, SuspicionView,
    TyreEffect, WeighingView, findings,
};
use crate::{warmth, words};
use mechanics::Structure;
use metrology::conformity::{ClaimQuantity, LimitVerdict};
use metrology::evenness::Value;
use metrology::lap::{Axis, State};
use metrology::runout::worst;
use metrology::settle::Settle;
use metrology::survey::{STOPPING, Survey, SurveyedGroup, SurveyedState, survey as measure};
use metrology::tension::Tension;
use metrology::tyre_effect::Part;
use metrology::visit::Visit;
use metrology::{Finding, Weight};
use quantity::Force;
use quantity::force::ForceUnit;
use wheel::{Side, SpokeIndex};

/// The seed of the draws when nobody gives one.
pub const SEED: u64 = 20_260_304;

/// A smaller difference of temperature is within what thermometers of the workshop tell.
const TOLD_FROM_K: f64 = 1.0;

/// Standard uncertainty of the difference between two thermometers' readings, each even within 1 °C: √2/√3.
const THERMOMETERS_K: f64 = 0.816_496_580_927_726;

/// Surveys a visit; `of_files` are the findings of reading it, which go first.
#[must_use]
pub fn survey(
    visit: &Visit,
    of_files: Vec<Finding>,
    seed: u64,
    unit: ForceUnit,
) -> (Survey, SurveyView) {
    let mut survey = measure(visit, seed, &STOPPING);
    survey.findings.splice(0..0, of_files);
    survey.findings.extend(not_taken(&survey));
    survey.findings.extend(not_weighed(&survey));
    survey
        .findings
        .extend(not_at_one_temperature(visit, &survey, unit));
    dedup(&mut survey.findings);
    let view = view(visit, &survey, unit);
    (survey, view)
}

/// What a visit leaves out, so that nobody takes its silence for an answer.
fn not_taken(survey: &Survey) -> Option<Finding> {
    let has = |axis: Axis| survey.runouts.iter().any(|one| one.axis == axis);
    let left_out: Vec<&str> = [
        (survey.bare.is_none(), "a lap of readings without a tyre"),
        (survey.tyred.is_none(), "a lap of readings with the tyre on"),
        (!has(Axis::Lateral), "the runout to the side"),
        (!has(Axis::Radial), "the runout in and out"),
    ]
    .into_iter()
    .filter_map(|(is_left_out, what)| is_left_out.then_some(what))
    .collect();
    (!left_out.is_empty()).then(|| Finding {
        weight: Weight::Note,
        about: "not-taken",
        says: format!(
            "Not taken in this visit: {}. Nothing is said that rests on it.",
            left_out.join("; ")
        ),
        spokes: Vec::new(),
    })
}

/// Claims of a mass that nobody weighed.
fn not_weighed(survey: &Survey) -> Vec<Finding> {
    survey
        .claims
        .iter()
        .filter(|judged| judged.claim.quantity == ClaimQuantity::MassG)
        .filter(|judged| judged.probability.is_none())
        .map(|judged| Finding {
            weight: Weight::Note,
            about: "not-weighed",
            says: format!(
                "“{}” is not judged: there is no weighing in the dress it names.",
                judged.claim.text
            ),
            spokes: Vec::new(),
        })
        .collect()
}

/// What the laps with the tyre would read at the temperature of those without: offered, never applied.
fn not_at_one_temperature(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Option<Finding> {
    let mean_c = |state: State| -> Option<f64> {
        let laps = visit.laps.iter().filter(|lap| lap.state == state);
        let noted: Vec<f64> = laps.map(|lap| lap.temperature_c).collect::<Option<_>>()?;
        (!noted.is_empty()).then(|| noted.iter().sum::<f64>() / noted.len() as f64)
    };
    let warmer_k = mean_c(State::Tyred)? - mean_c(State::Bare)?;
    if warmer_k.abs() < TOLD_FROM_K {
        return None;
    }
    let apart = format!(
        "The laps with the tyre on were taken {:.0} °C {} than those without",
        warmer_k.abs(),
        if warmer_k < 0.0 { "colder" } else { "warmer" }
    );
    let wheel = as_read(visit, survey)?;
    let (structure, _) = Structure::about(&wheel, mechanics::State::Tensioned).ok()?;
    let says = match warmth::per_kelvin(&wheel, &structure).ok()? {
        None => format!(
            "{apart}: what that does to the loss by the tyre is not told; {}.",
            warmth::ASKED_FOR
        ),
        Some(per_k) => {
            let of_side = |side: Side, n_per_k: f64| {
                let moved = Force::n(-n_per_k * warmer_k);
                let u_n = n_per_k.abs() * THERMOMETERS_K;
                format!(
                    "{} {}{}",
                    side.word(),
                    if moved < Force::ZERO { "−" } else { "+" },
                    words::force(moved.to_n().abs(), words::K * u_n, unit)
                )
            };
            format!(
                "{apart}. Taken as warm as those without, they would read by the expansion of rim, hub and spokes: {}, {} (thermometers good to 1 °C). Offered, not applied: every number here is as it was read.",
                of_side(Side::Right, per_k.right_n_per_k),
                of_side(Side::Left, per_k.left_n_per_k)
            )
        }
    };
    Some(Finding {
        weight: Weight::Note,
        about: "temperature",
        says,
        spokes: Vec::new(),
    })
}

/// What reading a visit and measuring it both found is said once.
fn dedup(findings: &mut Vec<Finding>) {
    let mut kept: Vec<Finding> = Vec::with_capacity(findings.len());
    for finding in findings.drain(..) {
        if !kept.contains(&finding) {
            kept.push(finding);
        }
    }
    *findings = kept;
}

fn view(visit: &Visit, survey: &Survey, unit: ForceUnit) -> SurveyView {
    let states = |pick: fn(&SurveyedState) -> &[SurveyedGroup],
                  is: &dyn Fn(&SurveyedGroup) -> bool| {
        let numbers = |state: &Option<SurveyedState>| {
            state
                .as_ref()
                .and_then(|state| pick(state).iter().find(|one| is(one)).map(numbers))
        };
        SideStates {
            bare: numbers(&survey.bare),
            tyred: numbers(&survey.tyred),
        }
    };
    let side = |side: Side| states(|state| &state.sides, &|one| one.group.side == side);
    let groups = visit
        .wheel
        .groups()
        .into_iter()
        .map(|(side, kind, _)| GroupView {
            side: side.word(),
            kind: visit.wheel.kinds[kind.0].name.clone(),
            states: states(|state| &state.groups, &|one| {
                one.group.side == side && one.group.kind == Some(kind)
            }),
        })
        .collect();
    SurveyView {
        schema: "rimwright.survey/1",
        wheel: visit.wheel.name.clone(),
        taken: visit.taken.clone(),
        by: visit.by.clone(),
        verdict: sentence(visit, survey).1,
        spokes: visit
            .wheel
            .placed()
            .map(|(place, _)| spoke_view(visit, survey, place))
            .collect(),
        sides: Sides {
            right: side(Side::Right),
            left: side(Side::Left),
        },
        groups,
        tyre_effect: tyre_effect(survey),
        statics: StaticsStates {
            bare: survey.bare.as_ref().map(|state| statics(survey, state)),
            tyred: survey.tyred.as_ref().map(|state| statics(survey, state)),
        },
        claims: claims(visit, survey, unit),
        limits: limits(visit, survey, unit),
        pressure_limits: survey
            .pressures
            .iter()
            .map(|judged| PressureView {
                part: judged.limit.part.clone(),
                limit_bar: judged.limit.pressure.to_bar(),
                highest_bar: judged.highest.map(quantity::Pressure::to_bar),
                verdict: judged.verdict.word(),
                source: judged.limit.source.clone(),
            })
            .collect(),
        runout: runout(visit, survey),
        weighings: visit
            .weighings
            .iter()
            .map(|one| WeighingView {
                dress: one.dress.clone(),
                mass_g: Quantity::new(one.mass.to_g(), one.step.to_g() / 12_f64.sqrt()),
            })
            .collect(),
        dress_differences: survey
            .dress_differences
            .iter()
            .map(|one| DressDifferenceView {
                of: one.more.clone(),
                mass_g: Quantity::new(one.mass.to_g(), one.u.to_g()),
            })
            .collect(),
        findings: findings(&survey.findings),
        decide_at: visit.settings.decide_at,
        draws: survey.draws,
        seed: survey.seed,
    }
}

fn numbers(of: &SurveyedGroup) -> StateNumbers {
    let force = of.group.force.as_ref().ok();
    StateNumbers {
        mean_n: of.mean_n.map(Quantity::from),
        sd_percent: force.and_then(|force| force.sd_percent),
        sd_without_noise_percent: force
            .and_then(|force| force.sd_without_noise_percent)
            .map(Quantity::from),
        sd_divisions: of.group.sd_divisions,
        min_n: force.map(|force| force.min.to_n()),
        max_n: force.map(|force| force.max.to_n()),
        read: of.group.read.len(),
        spokes: of.group.spokes.len(),
    }
}

fn spoke_view(visit: &Visit, survey: &Survey, place: SpokeIndex) -> SpokeView {
    let spoke = &visit.wheel.spokes[place.0];
    let tension = |state: &Option<SurveyedState>| {
        state.as_ref().and_then(|state| {
            let found = state.tensions.spokes[place.0].measured()?;
            Some(Quantity::new(found.force.to_n(), found.u().to_n()))
        })
    };
    let bound = |state: &Option<SurveyedState>| {
        state
            .as_ref()
            .and_then(|state| match state.tensions.spokes[place.0] {
                Tension::MoreThan(force) => Some(Bound {
                    than: "more",
                    bound_n: force.to_n(),
                }),
                Tension::LessThan(force) => Some(Bound {
                    than: "less",
                    bound_n: force.to_n(),
                }),
                _ => None,
            })
    };
    let shown = |state: &Option<SurveyedState>| {
        state
            .as_ref()
            .and_then(|state| state.tensions.divisions(place).map(|one| one.divisions))
    };
    let reconciled = |state: &Option<SurveyedState>| {
        state
            .as_ref()
            .and_then(|state| state.balance.as_ref())
            .map(|balance| Quantity::from(balance.reconciled_n[place.0]))
    };
    SpokeView {
        spoke: place.number(),
        side: spoke.side.word(),
        kind: visit.wheel.kind_of(spoke).name.clone(),
        seat_angle_deg: spoke.seat_angle().to_deg(),
        bare_n: tension(&survey.bare),
        tyred_n: tension(&survey.tyred),
        bare_bound: bound(&survey.bare),
        tyred_bound: bound(&survey.tyred),
        bare_divisions: shown(&survey.bare),
        tyred_divisions: shown(&survey.tyred),
        bare_reconciled_n: reconciled(&survey.bare),
        tyred_reconciled_n: reconciled(&survey.tyred),
    }
}

fn tyre_effect(survey: &Survey) -> TyreEffect {
    let of = |part: Part| {
        survey.drop_of(part).map(|one| DropView {
            drop_percent: Quantity::from(one.percent),
            curve_u_percent: one.drop.curve_u,
            readings_u_percent: one.drop.bare_u.hypot(one.drop.tyred_u),
        })
    };
    TyreEffect {
        whole: of(Part::Whole),
        right: of(Part::Side(Side::Right)),
        left: of(Part::Side(Side::Left)),
        pressure_bar: survey
            .tyred
            .as_ref()
            .and_then(|state| state.tensions.pressure)
            .map(quantity::Pressure::to_bar),
        line_load_n_per_mm: survey.line_load_n_per_mm.map(Quantity::from),
    }
}

fn statics(survey: &Survey, state: &SurveyedState) -> Statics {
    let balance = state.balance.as_ref();
    Statics {
        ratio_expected: survey.ratio_expected.map(Quantity::from),
        ratio_found: balance.and_then(|one| one.ratio_found).map(Quantity::from),
        chi2: balance.map(|one| one.chi_squared),
        degrees_of_freedom: balance.map(|one| one.degrees_of_freedom),
        p_value: balance.map(|one| one.p_value),
        suspicious: state
            .pattern
            .suspicious
            .iter()
            .map(|one| one.spoke.number())
            .collect(),
        suspicions: state
            .pattern
            .suspicious
            .iter()
            .map(|one| SuspicionView {
                spoke: one.spoke.number(),
                off_n: one.off_n,
                deviations: one.deviations,
            })
            .collect(),
        curve_doubt: state.pattern.curve.map(|doubt| CurveDoubtView {
            side: doubt.side.word(),
            percent: doubt.percent,
            deviations: doubt.deviations,
        }),
    }
}

fn claims(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Vec<ClaimView> {
    survey
        .claims
        .iter()
        .map(|judged| ClaimView {
            text: judged.claim.text.clone(),
            probability: judged.probability,
            verdict: judged.verdict.word(),
            settle: judged
                .settle
                .as_ref()
                .map(|settle| words::settle(settle, survey, visit, unit)),
            settle_minutes: match &judged.settle {
                Some(Settle::By(next)) => Some(next.minutes),
                _ => None,
            },
            parts: judged
                .parts
                .iter()
                .map(|part| ClaimPartView {
                    part: part.part.clone(),
                    value: Quantity::from(part.value),
                    words: words::claimed(judged.claim.quantity, part.value),
                    probability: part.probability,
                    verdict: part.verdict.word(),
                })
                .collect(),
        })
        .collect()
}

fn limits(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Vec<LimitView> {
    survey
        .limits
        .iter()
        .map(|judged| {
            let mut doubtful: Vec<_> = judged
                .spokes
                .iter()
                .filter(|one| one.verdict != LimitVerdict::Under)
                .collect();
            doubtful.sort_by(|a, b| {
                a.probability
                    .unwrap_or(0.5)
                    .total_cmp(&b.probability.unwrap_or(0.5))
            });
            LimitView {
                text: words::limit(&judged.limit, visit, unit),
                limit_n: judged.limit.tension.to_n(),
                source: judged.limit.source.clone(),
                noted: judged.limit.noted.clone(),
                probability: judged.probability,
                verdict: judged.verdict.word(),
                spokes: doubtful.iter().map(|one| one.spoke.number()).collect(),
                each: judged
                    .spokes
                    .iter()
                    .map(|one| LimitSpokeView {
                        spoke: one.spoke.number(),
                        probability: one.probability,
                        verdict: one.verdict.word(),
                    })
                    .collect(),
                settle: judged
                    .settle
                    .as_ref()
                    .map(|settle| words::settle(settle, survey, visit, unit)),
            }
        })
        .collect()
}

fn runout(visit: &Visit, survey: &Survey) -> RunoutView {
    let of = |axis: Axis| {
        worst(&survey.runouts, axis).map(|one| {
            Quantity::from(Value {
                value: one.full_indicator_reading.to_mm(),
                u: one.u.to_mm(),
            })
        })
    };
    let doubt = &visit.wheel.doubt;
    RunoutView {
        lateral_fir_mm: of(Axis::Lateral),
        radial_fir_mm: of(Axis::Radial),
        dish_mm: doubt
            .dish
            .map(|dish| Quantity::new(dish.to_mm(), doubt.dish_u.to_mm())),
        laps: survey
            .runouts
            .iter()
            .map(|one| RunoutLapView {
                axis: match one.axis {
                    Axis::Lateral => "lateral",
                    Axis::Radial => "radial",
                },
                face: one.face.word(),
                state: words::state(one.state),
                fir_mm: Quantity::new(one.full_indicator_reading.to_mm(), one.u.to_mm()),
                highest_deg: one.highest.at.to_deg(),
                lowest_deg: one.lowest.at.to_deg(),
                harmonics: one
                    .harmonics
                    .iter()
                    .map(|harmonic| HarmonicView {
                        waves: harmonic.waves,
                        amplitude_mm: harmonic.amplitude.to_mm(),
                        peak_deg: harmonic.peak_at.to_deg(),
                    })
                    .collect(),
            })
            .collect(),
    }
}
