//! The pictures of a report, as plain data for the drawing.

use crate::words;
use metrology::calibration::Answer;
use metrology::conformity::LimitVerdict;
use metrology::evenness::Group;
use metrology::lap::{Axis, State, Taken};
use metrology::survey::{Survey, SurveyedState};
use metrology::tension::{PlacedCurve, Tension};
use metrology::visit::{Loading, Visit};
use quantity::Force;
use quantity::force::ForceUnit;
use report::figure::{
    Beyond, CalibrationCurve, CurvePoint, Interval, Level, Loading as Way, Mark, PairNames, Range,
    Reach, RigPoint, RimPoint, Runout, RunoutKind, RunoutTrace, SeatPlace, Series, StripLimit,
    StripMean, StripRunout, StripSpoke, UnrolledRim,
};
use wheel::SpokeIndex;
use wheel::limit::Condition;

/// Points along a drawn curve: a step is then finer than a pixel.
const CURVE_POINTS: usize = 120;

/// All spokes of one state in wheel order, with limits and what is to be taken again.
#[must_use]
pub fn spokes(
    visit: &Visit,
    survey: &Survey,
    state: &SurveyedState,
    unit: ForceUnit,
) -> UnrolledRim {
    if let Some(rim) = in_divisions(visit, survey, state) {
        return rim;
    }
    let name = words::state(state.tensions.state);
    UnrolledRim {
        title: format!("Every spoke, {name}"),
        caption: format!(
            "{}. Bars: 95 % of what reading and curve allow.",
            measured_with(survey, state)
        ),
        quantity: "tension".into(),
        unit: unit.symbol().into(),
        begins_at: None,
        spokes: strip_spokes(visit, |place| {
            let (mark, word) = mark_of(survey, state, place, unit);
            let level = level(&state.tensions.spokes[place.0], unit);
            (level, None, mark, word)
        }),
        pair: None,
        means: means(visit, state, Series::First, unit),
        limits: limits(visit, state.tensions.state, unit),
        runouts: strip_runouts(visit, survey),
    }
}

/// Every spoke where it stands, with its first and second level, its shape and its word.
fn strip_spokes(
    visit: &Visit,
    of: impl Fn(SpokeIndex) -> (Level, Option<Level>, Mark, String),
) -> Vec<StripSpoke> {
    let placed = visit.wheel.placed();
    placed
        .map(|(place, spoke)| {
            let (level, second, mark, word) = of(place);
            StripSpoke {
                spoke: place,
                side: spoke.side,
                angle_deg: spoke.seat_angle().to_deg(),
                level,
                second,
                mark,
                word,
            }
        })
        .collect()
}

/// The readings themselves, where no spoke has a curve and all were taken with one gauge: no force is drawn, and no
/// limit of one.
fn in_divisions(visit: &Visit, survey: &Survey, state: &SurveyedState) -> Option<UnrolledRim> {
    let tensions = &state.tensions;
    let is_without = |one: &Tension| matches!(one, Tension::NoCurve | Tension::NotRead);
    let read = || {
        let places = visit.wheel.placed();
        places.filter_map(|(place, _)| tensions.divisions(place))
    };
    let gauge = &read().next()?.gauge;
    if !tensions.spokes.iter().all(is_without) || read().any(|one| one.gauge != *gauge) {
        return None;
    }
    let of = visit.gauges.iter().find(|one| one.label == *gauge);
    let u = of.map_or(0.0, metrology::gauge::Gauge::reading_u);
    let level = |place: SpokeIndex| match tensions.divisions(place) {
        Some(one) => Level::Read(Interval::around(
            one.divisions,
            words::K * u / (one.times as f64).sqrt(),
        )),
        None => Level::NotRead,
    };
    Some(UnrolledRim {
        title: format!("Every reading, {}", words::state(tensions.state)),
        caption: format!(
            "Read with {gauge}, which has no rig points for these spokes: divisions, and no force. Bars: 95 % of what \
             the reading allows."
        ),
        quantity: "reading".into(),
        unit: "divisions".into(),
        begins_at: None,
        spokes: strip_spokes(visit, |place| {
            (level(place), None, Mark::Taken, String::new())
        }),
        pair: None,
        means: Vec::new(),
        limits: Vec::new(),
        runouts: strip_runouts(visit, survey),
    })
}

/// Bare against tyred, two points a spoke.
#[must_use]
pub fn bare_against_tyred(
    visit: &Visit,
    bare: &SurveyedState,
    tyred: &SurveyedState,
    unit: ForceUnit,
) -> UnrolledRim {
    let pressure = tyred
        .tensions
        .pressure
        .map(|pressure| format!(", {}", words::pressure(pressure)))
        .unwrap_or_default();
    let mut both = means(visit, bare, Series::First, unit);
    both.extend(means(visit, tyred, Series::Second, unit));
    UnrolledRim {
        title: "Every spoke, bare and with the tyre on".into(),
        caption: "Each spoke bare and with the tyre on, joined. Bars: 95 % of what reading and curve allow.".into(),
        quantity: "tension".into(),
        unit: unit.symbol().into(),
        begins_at: None,
        spokes: strip_spokes(visit, |place| {
            let of = |state: &SurveyedState| level(&state.tensions.spokes[place.0], unit);
            (of(bare), Some(of(tyred)), Mark::Taken, String::new())
        }),
        pair: Some(PairNames { first: "bare".into(), second: format!("tyred{pressure}") }),
        means: both,
        limits: Vec::new(),
        runouts: Vec::new(),
    }
}

/// A gauge's curve on a kind, its points and the range that the visit's readings use.
#[must_use]
pub fn curve(
    visit: &Visit,
    survey: &Survey,
    placed: &PlacedCurve,
    unit: ForceUnit,
) -> CalibrationCurve {
    let calibrated = &placed.calibrated;
    let (low, high) = calibrated.curve.ends();
    let read = |force_n: f64| unit.read(Force::n(force_n));
    let around = |force_n: f64, u_n: f64| Interval::around(read(force_n), read(words::K * u_n));
    let band = (0..=CURVE_POINTS)
        .filter_map(|step| {
            let share = step as f64 / CURVE_POINTS as f64;
            let reading = low.divisions + share * (high.divisions - low.divisions);
            let Answer::Force(estimate) = calibrated.curve.force_at(reading) else {
                return None;
            };
            let force = around(estimate.force.to_n(), estimate.curve_u().to_n());
            Some(CurvePoint { reading, force })
        })
        .collect();
    let points = calibrated
        .residuals
        .iter()
        .map(|residual| RigPoint {
            reading: Interval::around(
                residual.point.reading,
                words::K * residual.point.u_reading.unwrap_or(calibrated.reading_u),
            ),
            force: around(
                residual.point.force.to_n(),
                residual.point.u_force.map_or(0.0, Force::to_n),
            ),
            loading: match residual.point.loading {
                None => Way::NotNoted,
                Some(Loading::Up) => Way::Up,
                Some(Loading::Down) => Way::Down,
            },
        })
        .collect();
    let place = survey
        .curves
        .placed
        .iter()
        .position(|one| std::ptr::eq(one, placed));
    let used = used_range(survey, place);
    CalibrationCurve {
        title: format!(
            "{} on {}",
            placed.gauge.label, visit.wheel.kinds[placed.kind.0].name
        ),
        caption: format!(
            "{}, {} points from {}",
            calibrated.family.word(),
            calibrated.residuals.len(),
            placed.points_name
        ),
        reading_unit: "divisions".into(),
        force_unit: unit.symbol().into(),
        band,
        points,
        fence: Range {
            from: low.divisions,
            to: high.divisions,
        },
        fence_words: format!(
            "points from {} to {} divisions",
            low.divisions, high.divisions
        ),
        used_words: used.map_or_else(String::new, |(from, to)| {
            format!("readings of this visit: {from:.1} to {to:.1}")
        }),
        used: used.map(|(from, to)| Range { from, to }),
    }
}

/// Runout of every lap, when there is any.
pub(super) fn runout(visit: &Visit, survey: &Survey) -> Option<Runout> {
    if survey.runouts.is_empty() {
        return None;
    }
    let traces = survey
        .runouts
        .iter()
        .map(|one| {
            let Taken::Runout { points, .. } = &visit.laps[one.lap].taken else {
                return RunoutTrace {
                    kind: kind_of(one.axis),
                    face: String::new(),
                    points: Vec::new(),
                    highest_words: String::new(),
                    lowest_words: String::new(),
                    full_words: String::new(),
                };
            };
            RunoutTrace {
                kind: kind_of(one.axis),
                face: format!("{} face", one.face.word()),
                points: points
                    .iter()
                    .map(|point| RimPoint {
                        angle_deg: point.at.to_deg(),
                        mm: point.displacement.to_mm(),
                    })
                    .collect(),
                highest_words: words::signed_millimetres(one.highest.displacement.to_mm()),
                lowest_words: words::signed_millimetres(one.lowest.displacement.to_mm()),
                full_words: words::millimetres(
                    one.full_indicator_reading.to_mm(),
                    words::K * one.u.to_mm(),
                ),
            }
        })
        .collect();
    let play = match visit.bearing_play {
        Some(false) => "Bearings without play",
        Some(true) => "Bearings with play: runout is not to be relied on",
        None => "Bearing play not noted",
    };
    Some(Runout {
        title: "Runout over one turn".into(),
        caption: format!("{play}. Full indicator reading: highest less lowest."),
        traces,
        seats: visit
            .wheel
            .placed()
            .map(|(place, spoke)| SeatPlace {
                spoke: place,
                side: spoke.side,
                angle_deg: spoke.seat_angle().to_deg(),
            })
            .collect(),
    })
}

fn kind_of(axis: Axis) -> RunoutKind {
    match axis {
        Axis::Lateral => RunoutKind::Lateral,
        Axis::Radial => RunoutKind::Radial,
    }
}

fn level(tension: &Tension, unit: ForceUnit) -> Level {
    let read = |force: Force| unit.read(force);
    match tension {
        Tension::Measured(found) => Level::Read(Interval::around(
            read(found.force),
            words::K * read(found.u()),
        )),
        Tension::MoreThan(force) => Level::MoreThan(read(*force)),
        Tension::LessThan(force) => Level::LessThan(read(*force)),
        Tension::NoCurve | Tension::NotRead => Level::NotRead,
    }
}

/// Shape and word of a spoke: over beats take again beats cannot tell.
fn mark_of(
    survey: &Survey,
    state: &SurveyedState,
    place: SpokeIndex,
    unit: ForceUnit,
) -> (Mark, String) {
    let here = |condition: Condition| match condition {
        Condition::Bare => state.tensions.state == State::Bare,
        Condition::Tyred => state.tensions.state == State::Tyred,
    };
    let verdicts = || {
        survey
            .limits
            .iter()
            .filter(|judged| here(judged.limit.condition))
            .flat_map(|judged| &judged.spokes)
            .filter(|one| one.spoke == place)
            .map(|one| one.verdict)
    };
    if verdicts().any(|verdict| verdict == LimitVerdict::Over) {
        let force = state.tensions.spokes[place.0]
            .measured()
            .map(|found| unit.read(found.force));
        return (
            Mark::Over,
            force.map_or("over".into(), |force| format!("{force:.0} over")),
        );
    }
    if state
        .pattern
        .suspicious
        .iter()
        .any(|one| one.spoke == place)
    {
        return (Mark::TakeAgain, "take again".into());
    }
    if verdicts().any(|verdict| verdict == LimitVerdict::CannotTell) {
        return (Mark::CannotTell, "cannot tell".into());
    }
    (Mark::Taken, String::new())
}

fn means(visit: &Visit, state: &SurveyedState, series: Series, unit: ForceUnit) -> Vec<StripMean> {
    let kinds_on = |group: &Group| {
        state
            .groups
            .iter()
            .filter(|other| other.group.side == group.side)
            .count()
    };
    state
        .groups
        .iter()
        .filter_map(|one| {
            let mean = one.mean_n?;
            let kind = one
                .group
                .kind
                .map(|kind| visit.wheel.kinds[kind.0].name.as_str());
            let name = if kinds_on(&one.group) > 1 {
                kind.unwrap_or_default()
            } else {
                "mean"
            };
            Some(StripMean {
                side: one.group.side,
                series,
                value: unit.read(Force::n(mean.value)),
                words: format!(
                    "{name} {}",
                    words::bare_force(mean.value, mean.expanded(), unit)
                ),
            })
        })
        .collect()
}

fn limits(visit: &Visit, state: State, unit: ForceUnit) -> Vec<StripLimit> {
    let here = |condition: Condition| match condition {
        Condition::Bare => state == State::Bare,
        Condition::Tyred => state == State::Tyred,
    };
    visit
        .limits
        .iter()
        .filter(|limit| here(limit.condition))
        .map(|limit| StripLimit {
            reach: limit.side.map_or(Reach::Both, Reach::Only),
            value: unit.read(limit.tension),
            beyond: Beyond::Above,
            words: format!(
                "over the {} maker’s {}",
                words::part(limit.part),
                words::exact_force(limit.tension, unit)
            ),
        })
        .collect()
}

fn strip_runouts(visit: &Visit, survey: &Survey) -> Vec<StripRunout> {
    [Axis::Lateral, Axis::Radial]
        .into_iter()
        .filter_map(|axis| {
            let worst = metrology::runout::worst(&survey.runouts, axis)?;
            let Taken::Runout { points, .. } = &visit.laps[worst.lap].taken else {
                return None;
            };
            Some(StripRunout {
                kind: kind_of(axis),
                points: points
                    .iter()
                    .map(|point| RimPoint {
                        angle_deg: point.at.to_deg(),
                        mm: point.displacement.to_mm(),
                    })
                    .collect(),
                words: format!("{:.2} mm", worst.full_indicator_reading.to_mm()),
            })
        })
        .collect()
}

fn measured_with(survey: &Survey, state: &SurveyedState) -> String {
    let mut labels: Vec<&str> = Vec::new();
    for shown in state.tensions.shown.iter().flatten() {
        let label = survey.curves.placed[shown.curve].gauge.label.as_str();
        if !labels.contains(&label) {
            labels.push(label);
        }
    }
    let pressure = state
        .tensions
        .pressure
        .map(|pressure| format!(" at {}", words::pressure(pressure)))
        .unwrap_or_default();
    format!("Read with {}{pressure}", labels.join(" and "))
}

fn used_range(survey: &Survey, curve: Option<usize>) -> Option<(f64, f64)> {
    let readings = [&survey.bare, &survey.tyred]
        .into_iter()
        .flatten()
        .flat_map(|state| state.tensions.shown.iter().flatten())
        .filter(|shown| Some(shown.curve) == curve)
        .map(|shown| shown.divisions);
    readings.fold(None, |range: Option<(f64, f64)>, one| {
        Some(range.map_or((one, one), |(from, to)| (from.min(one), to.max(one))))
    })
}
