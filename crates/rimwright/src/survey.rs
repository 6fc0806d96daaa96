//! `rimwright survey`: what a visit's readings say.

use crate::data::{self, DataFolder};
use crate::table::{heading, item, table};
use crate::{Units, ending};
use quantity::force::ForceUnit;
use quantity::{Force, Pressure};
use std::path::PathBuf;
use workshop::survey::{SEED, survey};
use workshop::view::{
    Bound, DropView, Quantity, RunoutView, SideStates, StateNumbers, Statics, SurveyView, json,
};
use workshop::words;

/// What a visit's readings say: tensions with their uncertainty, what the tyre takes away, the hub's
/// statics, the verdict on each limit and claim, runout and masses.
///
/// A visit is a file or, where no file has that name, something in the records: a wheel's label means its
/// newest visit, an id one visit.
///
/// Example: rimwright survey visit.toml --units n
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The visit's file, the files it names beside it; or a label or id in the records.
    visit: PathBuf,
    /// Unit of the forces printed.
    #[arg(long, default_value = "kgf")]
    units: Units,
    /// One JSON object instead of text; forces in newtons.
    #[arg(long)]
    json: bool,
    /// Seed of the draws; the same seed gives the same digits.
    #[arg(long, default_value_t = SEED)]
    seed: u64,
    #[command(flatten)]
    records: DataFolder,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let (visit, findings) = data::visit(&arguments.visit, &arguments.records)?;
    let unit = arguments.units.into();
    let (_, view) = survey(&visit, findings, arguments.seed, unit);
    if arguments.json {
        ending::print(&json(&view)?)
    } else {
        ending::print(&text(&view, unit))
    }
}

/// A finding's mark on the terminal: a note, a question, a doubt.
pub(crate) fn mark(weight: &str) -> &'static str {
    match weight {
        "doubt" => "!",
        "question" => "?",
        _ => "·",
    }
}

fn text(view: &SurveyView, unit: ForceUnit) -> String {
    let mut text = format!(
        "{}, {} by {}\n{}\n",
        view.wheel, view.taken, view.by, view.verdict
    );
    for weight in ["doubt", "question"] {
        for finding in view
            .findings
            .iter()
            .filter(|finding| finding.weight == weight)
        {
            text += &item(mark(weight), &finding.says);
        }
    }
    text += &sides(view, unit);
    text += &tyre(view);
    text += &statics(view);
    text += &limits(view);
    text += &claims(view);
    text += &spokes(view, unit);
    text += &runout(&view.runout);
    text += &masses(view);
    let notes: Vec<_> = view
        .findings
        .iter()
        .filter(|finding| finding.weight == "note")
        .collect();
    if !notes.is_empty() {
        text += &heading("Good to know");
        for finding in notes {
            text += &item(mark("note"), &finding.says);
        }
    }
    text += &format!(
        "\n± is the half width of a 95 % interval; a verdict falls at {:.2}; {} draws, seed {}.\nEvidence, not permission to ride: makers' limits prevail, a qualified mechanic decides.\n",
        view.decide_at, view.draws, view.seed
    );
    text
}

fn sides(view: &SurveyView, unit: ForceUnit) -> String {
    let mut rows = Vec::new();
    for group in &view.groups {
        for (state, numbers) in [("bare", &group.states.bare), ("tyred", &group.states.tyred)] {
            if let Some(numbers) = numbers {
                rows.push(group_row(
                    &format!("{} {}", group.side, group.kind),
                    state,
                    numbers,
                    unit,
                ));
            }
        }
    }
    // A side with several kinds also has a line of its own.
    for (side, states) in [("right", &view.sides.right), ("left", &view.sides.left)] {
        let kinds = view
            .groups
            .iter()
            .filter(|group| group.side == side)
            .count();
        if kinds > 1 {
            rows.extend(side_rows(side, states, unit));
        }
    }
    let mean = format!("mean, {}", unit.symbol());
    let range = format!("range, {}", unit.symbol());
    heading("Tension, each side and kind")
        + &table(
            &[
                "side and kind",
                "state",
                "read",
                &mean,
                &range,
                "uneven, %",
                "without noise, %",
            ],
            rows,
        )
}

fn side_rows(side: &str, states: &SideStates, unit: ForceUnit) -> Vec<Vec<String>> {
    [("bare", &states.bare), ("tyred", &states.tyred)]
        .into_iter()
        .filter_map(|(state, numbers)| {
            numbers
                .as_ref()
                .map(|numbers| group_row(&format!("{side}, all kinds"), state, numbers, unit))
        })
        .collect()
}

fn group_row(name: &str, state: &str, numbers: &StateNumbers, unit: ForceUnit) -> Vec<String> {
    let plain = |n: f64| format!("{:.0}", unit.read(Force::n(n)));
    vec![
        name.into(),
        state.into(),
        format!("{}/{}", numbers.read, numbers.spokes),
        numbers.mean_n.map_or("no force".into(), |mean| {
            words::bare_force(mean.value, mean.expanded(), unit)
        }),
        numbers
            .min_n
            .zip(numbers.max_n)
            .map_or("-".into(), |(min, max)| {
                format!("{}-{}", plain(min), plain(max))
            }),
        numbers
            .sd_percent
            .map_or("-".into(), |sd| format!("{sd:.1}")),
        numbers.sd_without_noise_percent.map_or("-".into(), |sd| {
            without(&words::percent(sd.value, sd.expanded()), " %")
        }),
    ]
}

fn without(text: &str, unit: &str) -> String {
    text.trim_end_matches(unit).into()
}

fn tyre(view: &SurveyView) -> String {
    let effect = &view.tyre_effect;
    let row = |part: &str, drop: &Option<DropView>| {
        drop.as_ref().map(|drop| {
            let quantity = drop.drop_percent;
            vec![
                part.into(),
                without(&words::percent(quantity.value, quantity.expanded()), " %"),
                format!(
                    "{:.1} to {:.1}",
                    quantity.low.unwrap_or(quantity.value),
                    quantity.high.unwrap_or(quantity.value)
                ),
                format!("{:.1}", words::K * drop.curve_u_percent),
                format!("{:.1}", words::K * drop.readings_u_percent),
            ]
        })
    };
    let rows: Vec<_> = [
        ("right", &effect.right),
        ("left", &effect.left),
        ("whole", &effect.whole),
    ]
    .into_iter()
    .filter_map(|(part, drop)| row(part, drop))
    .collect();
    if rows.is_empty() {
        return String::new();
    }
    let pressure = effect
        .pressure_bar
        .map(|bar| format!(" at {}", words::pressure(Pressure::bar(bar))))
        .unwrap_or_default();
    heading(&format!("What the tyre takes away{pressure}"))
        + &table(
            &[
                "part",
                "loss, %",
                "95 %",
                "± by rig points",
                "± by readings",
            ],
            rows,
        )
        + &effect.line_load_n_per_mm.map_or(String::new(), |load| {
            item("·", &words::pressing(load.value, load.expanded()))
        })
}

fn statics(view: &SurveyView) -> String {
    let ratio = |quantity: Option<Quantity>| {
        quantity.map_or("-".into(), |one| words::ratio(one.value, one.expanded()))
    };
    let row = |state: &str, statics: &Option<Statics>| {
        statics.as_ref().map(|one| {
            let again: Vec<String> = one.suspicious.iter().map(ToString::to_string).collect();
            vec![
                state.into(),
                ratio(one.ratio_expected),
                ratio(one.ratio_found),
                one.chi2
                    .zip(one.degrees_of_freedom)
                    .map_or("-".into(), |(chi2, freedom)| format!("{chi2:.1}/{freedom}")),
                one.p_value.map_or("-".into(), words::probability),
                if again.is_empty() {
                    "none".into()
                } else {
                    format!("spoke {}", again.join(", "))
                },
            ]
        })
    };
    let rows: Vec<_> = [("bare", &view.statics.bare), ("tyred", &view.statics.tyred)]
        .into_iter()
        .filter_map(|(state, statics)| row(state, statics))
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    heading("The hub in balance: left to right, and what to take again")
        + &table(
            &["state", "expected", "found", "χ²", "p", "take again"],
            rows,
        )
}

fn limits(view: &SurveyView) -> String {
    if view.limits.is_empty() && view.pressure_limits.is_empty() {
        return heading("Limits") + "  no limit known: not a pass\n";
    }
    let mut rows: Vec<Vec<String>> = view
        .limits
        .iter()
        .map(|limit| {
            let spokes: Vec<String> = limit
                .spokes
                .iter()
                .take(8)
                .map(ToString::to_string)
                .collect();
            vec![
                limit.verdict.into(),
                limit.text.clone(),
                limit
                    .probability
                    .map_or("not known".into(), words::probability),
                if spokes.is_empty() {
                    "-".into()
                } else {
                    spokes.join(", ")
                },
                format!("{}, {}", limit.source, limit.noted),
            ]
        })
        .collect();
    rows.extend(view.pressure_limits.iter().map(|limit| {
        vec![
            limit.verdict.into(),
            format!(
                "{}: at most {}",
                limit.part,
                words::pressure(Pressure::bar(limit.limit_bar))
            ),
            String::new(),
            limit.highest_bar.map_or("no pressure noted".into(), |bar| {
                format!("{} seen", words::pressure(Pressure::bar(bar)))
            }),
            limit.source.clone(),
        ]
    }));
    let mut text = heading("Limits")
        + &table(
            &[
                "verdict",
                "limit",
                "p(none above)",
                "not surely under",
                "source",
            ],
            rows,
        );
    for limit in &view.limits {
        if let Some(settle) = &limit.settle {
            text += &item(
                "→",
                &format!("{} would be settled by {settle}.", limit.text),
            );
        }
    }
    text
}

fn claims(view: &SurveyView) -> String {
    if view.claims.is_empty() {
        return String::new();
    }
    let rows = view
        .claims
        .iter()
        .map(|claim| {
            let parts: Vec<String> = claim
                .parts
                .iter()
                .map(|part| format!("{} {}", part.part, part.words))
                .collect();
            vec![
                claim.verdict.into(),
                claim.text.clone(),
                claim
                    .probability
                    .map_or("not known".into(), words::probability),
                parts.join("; "),
            ]
        })
        .collect();
    let mut text =
        heading("Claims") + &table(&["verdict", "claim", "probability", "measured"], rows);
    for claim in &view.claims {
        if let Some(settle) = &claim.settle {
            text += &item(
                "→",
                &format!("“{}” would be settled by {settle}.", claim.text),
            );
        }
    }
    text
}

fn spokes(view: &SurveyView, unit: ForceUnit) -> String {
    let tension = |quantity: Option<Quantity>, bound: Option<Bound>| match (quantity, bound) {
        (Some(one), _) => words::bare_force(one.value, one.expanded(), unit),
        (None, Some(bound)) => format!(
            "{} than {}",
            bound.than,
            words::exact_force(Force::n(bound.bound_n), unit)
        ),
        (None, None) => "-".into(),
    };
    let rows = view
        .spokes
        .iter()
        .map(|spoke| {
            let over = |verdict: &str| {
                view.limits.iter().any(|limit| {
                    limit
                        .each
                        .iter()
                        .any(|one| one.spoke == spoke.spoke && one.verdict == verdict)
                })
            };
            let again = [&view.statics.bare, &view.statics.tyred]
                .into_iter()
                .flatten()
                .any(|statics| statics.suspicious.contains(&spoke.spoke));
            let word = match (over("over"), again, over("cannot tell")) {
                (true, ..) => "over",
                (_, true, _) => "take again",
                (.., true) => "cannot tell",
                _ => "",
            };
            vec![
                spoke.spoke.to_string(),
                spoke.side.into(),
                spoke.kind.clone(),
                spoke
                    .bare_divisions
                    .map_or("-".into(), |one| format!("{one:.2}")),
                tension(spoke.bare_n, spoke.bare_bound),
                spoke
                    .tyred_divisions
                    .map_or("-".into(), |one| format!("{one:.2}")),
                tension(spoke.tyred_n, spoke.tyred_bound),
                word.into(),
            ]
        })
        .collect();
    let bare = format!("bare, {}", unit.symbol());
    let tyred = format!("tyred, {}", unit.symbol());
    heading("Every spoke, from the valve hole")
        + &table(
            &["spoke", "side", "kind", "read", &bare, "read", &tyred, ""],
            rows,
        )
}

fn runout(runout: &RunoutView) -> String {
    if runout.laps.is_empty() && runout.dish_mm.is_none() {
        return String::new();
    }
    let rows = runout
        .laps
        .iter()
        .map(|lap| {
            let waves: Vec<String> = lap
                .harmonics
                .iter()
                .take(4)
                .map(|one| format!("{}: {:.2}", one.waves, one.amplitude_mm))
                .collect();
            vec![
                lap.axis.into(),
                format!("{} face", lap.face),
                lap.state.into(),
                without(
                    &words::millimetres(lap.fir_mm.value, lap.fir_mm.expanded()),
                    " mm",
                ),
                waves.join("  "),
            ]
        })
        .collect();
    let mut text = heading("Runout, full indicator reading; the worse face counts");
    if !runout.laps.is_empty() {
        text += &table(
            &["way", "face", "state", "mm", "waves: amplitude, mm"],
            rows,
        );
    }
    text += &match runout.dish_mm {
        Some(dish) => format!(
            "  dish {} to the right\n",
            words::millimetres(dish.value, dish.expanded())
        ),
        None => "  dish not measured\n".into(),
    };
    text
}

fn masses(view: &SurveyView) -> String {
    if view.weighings.is_empty() {
        return String::new();
    }
    let mut rows: Vec<Vec<String>> = view
        .weighings
        .iter()
        .map(|one| {
            let dress = if one.dress.is_empty() {
                "nothing on it".into()
            } else {
                one.dress.join(", ")
            };
            vec![
                without(&words::grams(one.mass_g.value, one.mass_g.expanded()), " g"),
                dress,
            ]
        })
        .collect();
    rows.extend(view.dress_differences.iter().map(|one| {
        vec![
            without(&words::grams(one.mass_g.value, one.mass_g.expanded()), " g"),
            format!("difference: {}", one.of.join(", ")),
        ]
    }));
    heading("Masses") + &table(&["g", "dress"], rows)
}
