//! `rimwright analyse`: what a wheel answers as a structure.

use crate::table::{heading, item, table};
use crate::{Units, ending};
use anyhow::Context;
use quantity::Force;
use quantity::force::ForceUnit;
use std::path::PathBuf;
use workshop::analyse::{Asked, Place, analyse};
use workshop::view::{Analysis, StiffnessView, json};
use workshop::{take_in, words};

/// Pitch of a spoke's thread, 56 to the inch (DIN 79012), in millimetres.
const PITCH_MM: f64 = 25.4 / 56.0;

/// What a wheel answers as a structure: stiffness, what a nipple does, slack, buckling.
///
/// The wheel file gives the rim's constants and every kind's EA; tensions, where given, make the state
/// about which all is asked.
///
/// Example: rimwright analyse wheel.toml --ride 700,0@spoke_1
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The wheel's file.
    wheel: PathBuf,
    /// A load on the rim: newtons toward the hub, newtons to the right, and where.
    #[arg(long, value_name = "RADIAL,LATERAL@PLACE", value_parser = asked, allow_hyphen_values = true)]
    ride: Vec<Asked>,
    /// Unit of the forces printed.
    #[arg(long, default_value = "kgf")]
    units: Units,
    /// One JSON object instead of text; forces in newtons.
    #[arg(long)]
    json: bool,
}

fn asked(text: &str) -> Result<Asked, String> {
    let form = "wanted is newtons toward the hub, newtons to the right and a place, as in 700,0@spoke_1 or 700,-50@mid_gap";
    let (load, place) = text.split_once('@').ok_or(form)?;
    let (radial, lateral) = load.split_once(',').ok_or(form)?;
    let number = |text: &str| {
        text.trim()
            .parse()
            .ok()
            .filter(|newtons: &f64| newtons.is_finite())
            .ok_or(form)
    };
    let at = match place {
        "spoke_1" => Place::Spoke1,
        "mid_gap" => Place::MidGap,
        _ => return Err(form.into()),
    };
    Ok(Asked {
        radial: Force::n(number(radial)?),
        lateral: Force::n(number(lateral)?),
        at,
    })
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let (wheel, findings) = take_in::wheel(&arguments.wheel)?;
    let view = analyse(&wheel, &arguments.ride, &findings)
        .with_context(|| arguments.wheel.display().to_string())?;
    if arguments.json {
        ending::print(&json(&view)?)
    } else {
        ending::print(&text(&view, arguments.units.into()))
    }
}

fn text(view: &Analysis, unit: ForceUnit) -> String {
    let mut text = format!("{}\n", view.wheel);
    for finding in &view.findings {
        text += &item("?", &finding.says);
    }
    text += &nipple(view, unit);
    text += &stiffness(view);
    text += &heading("What it bears, by this model");
    let force = |n: f64| words::exact_force(Force::n(n), unit);
    let (mut answers, unknown) = (Vec::new(), "needs the tensions of the spokes");
    let mut answer = |what: String, says: String| answers.push(vec![what, says]);
    for ride in &view.ride {
        let what = format!(
            "{} down, {} to the right at {}",
            force(ride.radial_n),
            force(ride.lateral_n),
            ride.at
        );
        let says = ride.smallest_n.map_or(unknown.into(), |n| {
            let slack = if ride.slack.is_empty() {
                "none slack"
            } else {
                "some slack"
            };
            format!("slackest spoke {}, {slack}", force(n))
        });
        answer(what, says);
    }
    answer(
        "load at spoke 1 that slackens the first spoke".into(),
        view.first_slack_n.map_or(unknown.into(), force),
    );
    answer(
        "buckling".into(),
        view.buckling.map_or(unknown.into(), |one| {
            format!(
                "at {:.1} times these tensions, {} waves",
                one.tension_multiplier, one.waves
            )
        }),
    );
    text += &table(&["asked", "answer"], answers);
    text += "\nIt rests on the rim's constants, the spokes' EA and the tensions as the wheel file gives them; the hub counts\nas rigid, the load as a point. Evidence, not permission to ride: makers' limits prevail.\n";
    text
}

/// What a quarter turn of nipple 1 does.
fn nipple(view: &Analysis, unit: ForceUnit) -> String {
    let turn_mm = PITCH_MM / 4.0;
    let count = view.influence.tension_n_per_mm.len();
    let change = |spoke: usize| {
        let n = unit.read(Force::n(
            view.influence.tension_n_per_mm[spoke][0] * turn_mm,
        ));
        format!("{n:+.1} {}", unit.symbol())
    };
    let lateral_mm = view.influence.lateral_mm_per_mm[0][0] * turn_mm;
    let radial_mm = view.influence.radial_mm_per_mm[0][0] * turn_mm;
    let way = |mm: f64, plus: &str, minus: &str| {
        format!("{:.2} mm {}", mm.abs(), if mm < 0.0 { minus } else { plus })
    };
    heading("A quarter turn tighter at spoke 1")
        + &table(
            &["where", "what it does"],
            vec![
                vec!["spoke 1".into(), change(0)],
                vec!["spoke 2".into(), change(1)],
                vec![format!("spoke {count}"), change(count - 1)],
                vec![
                    "rim at spoke 1".into(),
                    format!(
                        "{}, {}",
                        way(lateral_mm, "to the right", "to the left"),
                        way(radial_mm, "outward", "inward")
                    ),
                ],
            ],
        )
}

fn stiffness(view: &Analysis) -> String {
    let row = |state: &str, one: &StiffnessView| {
        vec![
            state.into(),
            format!("{:.0}", one.radial_at_spoke_1_n_per_mm),
            format!("{:.0}", one.radial_mid_gap_n_per_mm),
            format!("{:.1}", one.lateral_at_spoke_1_n_per_mm),
            format!("{:.1}", one.lateral_mid_gap_n_per_mm),
            format!("{:.0}", one.tangential_at_spoke_1_n_per_mm),
        ]
    };
    let mut rows = Vec::new();
    if let Some(tensioned) = &view.stiffness.at_tension {
        rows.push(row("as tensioned", tensioned));
    }
    rows.push(row("without tension", &view.stiffness.at_zero_tension));
    heading("Stiffness at the rim, N/mm")
        + &table(
            &[
                "state",
                "radial",
                "between spokes",
                "lateral",
                "between spokes",
                "along the rim",
            ],
            rows,
        )
}
