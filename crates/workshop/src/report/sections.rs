//! The sections of a report, in the order in which they are read.

use super::{figures, numbers, verdicts};
use crate::build::{measured, told};
use crate::{cautions, words};
use metrology::Weight;
use metrology::calibration::Origin;
use metrology::evenness::Missing;
use metrology::survey::{Survey, SurveyedGroup, SurveyedState};
use metrology::tyre_effect::Part;
use metrology::visit::{Answer, Visit};
use quantity::force::ForceUnit;
use report::document::{Block, Fact, Notice, OnPaper, Section, Text, Weight as Loudness};
use report::figure::Figure;
use report::table::{Column, Row, Table};

/// All of them.
pub(super) fn all(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Vec<Section> {
    let mut sections = vec![section(
        "The numbers that matter",
        vec![Block::BeforeAfter(numbers::that_matter(
            visit, survey, unit,
        ))],
    )];
    let questions = questions(survey);
    if !questions.is_empty() {
        sections.push(section("Before it is signed", questions));
    }
    for state in [&survey.bare, &survey.tyred].into_iter().flatten() {
        sections.push(spokes(visit, survey, state, unit));
    }
    sections.push(tyre(visit, survey, unit));
    sections.push(verdicts::section(visit, survey, unit));
    sections.push(bears(visit, survey, unit));
    sections.push(runout_and_mass(visit, survey));
    sections.push(measured_with(visit, survey, unit));
    sections.push(beside(visit));
    sections.push(cautions::section());
    sections.retain(|section| !section.blocks.is_empty());
    sections
}

fn section(heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        heading: heading.into(),
        on_paper: OnPaper::Follows,
        blocks,
    }
}

fn questions(survey: &Survey) -> Vec<Block> {
    let mut findings: Vec<_> = survey
        .findings
        .iter()
        .filter(|one| one.weight > Weight::Note)
        .collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.weight));
    findings
        .into_iter()
        .map(|finding| {
            Block::Notice(Notice {
                weight: Loudness::Finding,
                heading: finding.about.replace('-', " "),
                says: Text::from(finding.says.clone()),
            })
        })
        .collect()
}

fn spokes(visit: &Visit, survey: &Survey, state: &SurveyedState, unit: ForceUnit) -> Section {
    let name = words::state(state.tensions.state);
    let mut blocks = vec![Block::Figure(Figure::UnrolledRim(figures::spokes(
        visit, survey, state, unit,
    )))];
    let rows = state
        .groups
        .iter()
        .map(|one| group_row(visit, one, unit))
        .collect();
    blocks.push(Block::Table(Table {
        caption: Text::from(format!(
            "Mean and evenness, {name}: each spoke against its own side and kind"
        )),
        columns: vec![
            Column::words("side and kind"),
            Column::numbers("mean", unit.symbol()),
            Column::numbers("smallest to largest", unit.symbol()),
            Column::numbers("evenness as measured", "%"),
            Column::numbers("reading noise removed", "%"),
        ],
        rows,
    }));
    if let Some(balance) = &state.balance {
        let ratio = |value: Option<metrology::evenness::Value>| {
            value.map_or("not to be told".into(), |value| {
                words::ratio(value.value, words::expanded(value))
            })
        };
        blocks.push(Block::Facts(vec![
            Fact::new("left to right, from geometry", ratio(survey.ratio_expected)),
            Fact::new("left to right, as read", ratio(balance.ratio_found)),
            Fact::new(
                "hub in balance",
                format!(
                    "χ² {:.1} with {} degrees of freedom, p = {}",
                    balance.chi_squared,
                    balance.degrees_of_freedom,
                    words::probability(balance.p_value)
                ),
            ),
        ]));
    }
    let heading = match state.tensions.state {
        metrology::lap::State::Bare => "Tension without a tyre",
        metrology::lap::State::Tyred => "Tension with the tyre on",
    };
    section(heading, blocks)
}

fn group_row(visit: &Visit, one: &SurveyedGroup, unit: ForceUnit) -> Row {
    let kind = one
        .group
        .kind
        .map_or("", |kind| visit.wheel.kinds[kind.0].name.as_str());
    let name = format!(
        "{}, {kind}: {} of {} read",
        one.group.side.word(),
        one.group.read.len(),
        one.group.spokes.len()
    );
    match (&one.group.force, one.mean_n) {
        (Ok(force), Some(mean)) => Row::from([
            name,
            words::bare_force(mean.value, mean.expanded(), unit),
            format!("{:.0} to {:.0}", unit.read(force.min), unit.read(force.max)),
            force
                .sd_percent
                .map_or("one spoke".into(), |sd| format!("{sd:.1}")),
            force
                .sd_without_noise_percent
                .map_or("one spoke".into(), |sd| {
                    words::percent(sd.value, words::expanded(sd))
                        .trim_end_matches(" %")
                        .into()
                }),
        ]),
        (missing, _) => {
            let why = match missing {
                Err(Missing::OutsideRange(_)) => "beyond the rig points",
                Err(Missing::NoCurve(_)) => "no rig points",
                Err(Missing::Unread) | Ok(_) => "not read",
            };
            let spread = one
                .group
                .sd_divisions
                .map_or(String::new(), |sd| format!("{sd:.2} divisions"));
            Row::from([name, why.into(), String::new(), spread, String::new()])
        }
    }
}

fn tyre(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Section {
    let (Some(bare), Some(tyred)) = (&survey.bare, &survey.tyred) else {
        return section("What the tyre takes away", Vec::new());
    };
    let rows = survey
        .drops
        .iter()
        .map(|one| {
            let percent = |value: f64| format!("{value:.1}");
            Row::from([
                match one.drop.part {
                    Part::Side(side) => format!("{} side", side.word()),
                    Part::Whole => "whole wheel".into(),
                },
                words::percent(one.percent.value, one.percent.expanded())
                    .trim_end_matches(" %")
                    .into(),
                format!(
                    "{} to {}",
                    percent(one.percent.low),
                    percent(one.percent.high)
                ),
                percent(words::K * one.drop.curve_u),
                percent(words::K * one.drop.bare_u.hypot(one.drop.tyred_u)),
            ])
        })
        .collect();
    let pressing = survey.line_load_n_per_mm.map(|load| {
        Block::Paragraph(Text::from(words::pressing(
            load.value,
            words::expanded(load),
        )))
    });
    let blocks = [
        Block::Figure(Figure::UnrolledRim(figures::bare_against_tyred(
            visit, bare, tyred, unit,
        ))),
        Block::Table(Table {
            caption: Text::from("Loss of mean tension, and what its uncertainty is made of"),
            columns: vec![
                Column::words("part"),
                Column::numbers("loss", "%"),
                Column::numbers("95 % interval", "%"),
                Column::numbers("± by rig points", "%"),
                Column::numbers("± by readings", "%"),
            ],
            rows,
        }),
    ];
    section(
        "What the tyre takes away",
        blocks.into_iter().chain(pressing).collect(),
    )
}

/// What the structure says of the wheel as it stands: asked only where the rim's constants are known.
fn bears(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Section {
    let heading = "What it bears, by the model";
    let rim = &visit.wheel.rim;
    let known = [rim.in_plane_bending, rim.lateral_bending, rim.torsion];
    if known.contains(&None) || rim.axial_stiffness.is_none() {
        return section(heading, Vec::new());
    }
    let Some(sheet) = measured(visit, survey) else {
        return section(heading, Vec::new());
    };
    let mut says = told::bears(&sheet, unit);
    says.extend(told::warmth(&sheet, unit));
    if says.is_empty() {
        return section(heading, Vec::new());
    }
    let rests_on = "Reckoned, not measured: at the tensions read without a tyre and set in balance with the hub, with the rim's constants as the wheel file has them. A rider, a bump or a rim out of true leaves less.";
    section(
        heading,
        vec![
            Block::List(says.into_iter().map(Text::from).collect()),
            Block::Paragraph(rests_on.into()),
        ],
    )
}

fn runout_and_mass(visit: &Visit, survey: &Survey) -> Section {
    let mut blocks = Vec::new();
    if let Some(runout) = figures::runout(visit, survey) {
        blocks.push(Block::Figure(Figure::Runout(runout)));
        let rows = survey
            .runouts
            .iter()
            .map(|one| {
                let axis = match one.axis {
                    metrology::lap::Axis::Lateral => "lateral",
                    metrology::lap::Axis::Radial => "radial",
                };
                let waves: Vec<String> = one
                    .harmonics
                    .iter()
                    .take(4)
                    .map(|harmonic| {
                        format!("{}: {:.2}", harmonic.waves, harmonic.amplitude.to_mm())
                    })
                    .collect();
                Row::from([
                    format!(
                        "{axis}, {} face, {}",
                        one.face.word(),
                        words::state(one.state)
                    ),
                    words::millimetres(
                        one.full_indicator_reading.to_mm(),
                        words::K * one.u.to_mm(),
                    )
                    .trim_end_matches(" mm")
                    .into(),
                    if waves.is_empty() {
                        "too few points round the rim".into()
                    } else {
                        waves.join(", ")
                    },
                ])
            })
            .collect();
        blocks.push(Block::Table(Table {
            caption: Text::from("Runout, and the amplitude of its waves round the rim"),
            columns: vec![
                Column::words("lap"),
                Column::numbers("full indicator reading", "mm"),
                Column::numbers("waves: amplitude", "mm"),
            ],
            rows,
        }));
    }
    if !visit.weighings.is_empty() {
        let mut rows: Vec<Row> = visit
            .weighings
            .iter()
            .map(|one| {
                let dress = if one.dress.is_empty() {
                    "nothing on it".into()
                } else {
                    format!("with {}", one.dress.join(", "))
                };
                Row::from([
                    dress,
                    words::grams(one.mass.to_g(), words::K * one.step.to_g() / 12_f64.sqrt())
                        .trim_end_matches(" g")
                        .into(),
                ])
            })
            .collect();
        rows.extend(survey.dress_differences.iter().map(|one| {
            Row::from([
                format!("difference: {}", one.more.join(", ")),
                words::grams(one.mass.to_g(), words::K * one.u.to_g())
                    .trim_end_matches(" g")
                    .into(),
            ])
        }));
        blocks.push(Block::Table(Table {
            caption: Text::from("Masses, each with what was on the wheel"),
            columns: vec![Column::words("dress"), Column::numbers("mass", "g")],
            rows,
        }));
    }
    section("Runout and mass", blocks)
}

fn measured_with(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Section {
    let mut blocks = Vec::new();
    for placed in &survey.curves.placed {
        let calibrated = &placed.calibrated;
        let trial = calibrated.trials[0];
        let from = |origin: Origin| match origin {
            Origin::Given => "held at what gauge and spoke data give",
            Origin::Prior => "held at a prior for gauges at large",
            Origin::Fitted => "fitted to the points",
        };
        blocks.push(Block::Figure(Figure::CalibrationCurve(figures::curve(
            visit, survey, placed, unit,
        ))));
        let mut facts = vec![
            Fact::new(
                "gauge",
                format!(
                    "{}: steps of {} division, repeatability {} division",
                    placed.gauge.label, placed.gauge.resolution, placed.gauge.repeatability
                ),
            ),
            Fact::new(
                "curve",
                format!(
                    "{}, its bend {}",
                    calibrated.family.word(),
                    from(calibrated.bend_from)
                ),
            ),
            Fact::new(
                "fit",
                trial
                    .p_value
                    .map_or("through the points, nothing left to test".into(), |p| {
                        format!(
                            "χ² {:.1} with {} degrees of freedom, p = {}",
                            trial.chi_squared,
                            trial.degrees_of_freedom,
                            words::probability(p)
                        )
                    }),
            ),
        ];
        if let Some(seen) = calibrated.hysteresis {
            facts.push(Fact::new(
                "loading against unloading",
                format!(
                    "{:+.2} ± {:.2} divisions",
                    seen.divisions,
                    words::K * seen.u
                ),
            ));
        }
        blocks.push(Block::Facts(facts));
    }
    let notes: Vec<Text> = survey
        .findings
        .iter()
        .filter(|one| one.weight == Weight::Note)
        .map(|one| Text::from(one.says.clone()))
        .collect();
    if !notes.is_empty() {
        blocks.push(Block::List(notes));
    }
    blocks.push(Block::Paragraph(Text::from(format!(
        "Uncertainties: ± is the half width of a 95 % interval; means and losses from {} draws with seed {}, single spokes by linear propagation (JCGM 100 and 101). Probabilities are of the measured quantity given the readings (JCGM 106).",
        survey.draws, survey.seed
    ))));
    section("What it was measured with", blocks)
}

fn beside(visit: &Visit) -> Section {
    let mut blocks = Vec::new();
    let not_checked = if visit.not_checked.is_empty() {
        vec![Text::from(
            "Nothing was noted as not checked; inner layers, bonding and bearing fit cannot be seen from outside.",
        )]
    } else {
        visit
            .not_checked
            .iter()
            .map(|one| Text::from(one.clone()))
            .collect()
    };
    blocks.push(Block::Paragraph("Not checked:".into()));
    blocks.push(Block::List(not_checked));
    if !visit.advice.is_empty() {
        blocks.push(Block::Facts(
            visit
                .advice
                .iter()
                .map(|one| {
                    let answer = match one.answer {
                        Answer::Open => "advised",
                        Answer::Taken => "advised and done",
                        Answer::Refused => "advised and refused",
                    };
                    Fact::new(answer, one.text.clone())
                })
                .collect(),
        ));
    }
    section("Not checked, and advice", blocks)
}
