//! `rimwright analyse`: what a wheel answers as a structure.

use crate::data::{self, DataFolder};
use crate::number::number;
use crate::table::{heading, item, table};
use crate::{Units, ending};
use anyhow::Context;
use quantity::force::ForceUnit;
use quantity::{Angle, Force, Length, Mass};
use std::path::PathBuf;
use workshop::analyse::{
    Asked, Assume, Place, Question, RimBox, STANDARD_SHARE, analyse, page, told,
};
use workshop::view::{Analysis, json};

/// What a wheel answers as a structure: stiffness, what a nipple does, slack, buckling.
///
/// The wheel file gives the rim's constants and every kind's EA; tensions, where given, make the state
/// about which all is asked. Tensions of one side only are completed to what balances.
///
/// Example: rimwright analyse wheel.toml --ride 700,0@spoke_1 -o analysis.html
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The wheel's file; or its label or id in the records, where no file has that name.
    wheel: PathBuf,
    /// A load on the rim: newtons toward the hub, to the right, if wanted along the rim, and where.
    ///
    /// The place is spoke_1, mid_gap or degrees from the valve hole; along the rim, driving is positive and
    /// braking negative. May be repeated. Examples: 700,0@spoke_1, 700,-50@mid_gap, 600,0,-300@37.5
    #[arg(long, value_name = "RADIAL,LATERAL[,ALONG]@PLACE", value_parser = asked, allow_hyphen_values = true)]
    ride: Vec<Asked>,
    /// Length of rim, mm, over which every load is spread evenly, as a tyre does; a point if left out.
    #[arg(long, value_name = "MM", value_parser = number(0.0, 400.0), default_value_t = 0.0)]
    patch: f64,
    /// Places of the rim, degrees from the valve hole: stiffness there and what every nipple does there.
    #[arg(long, value_name = "DEG,…", value_parser = number(0.0, 360.0), value_delimiter = ',')]
    at: Vec<f64>,
    /// Mass of rider and bicycle together, kg: adds the load of standing still.
    #[arg(long, value_name = "KG", value_parser = number(1.0, 500.0))]
    rider: Option<f64>,
    /// Share of that mass on this wheel, per cent (common practice for a rear wheel).
    #[arg(long, value_name = "PERCENT", value_parser = number(1.0, 100.0), default_value_t = STANDARD_SHARE * 100.0, requires = "rider")]
    share: f64,
    /// Mass of the bare rim, g: tells the notes of the bare rim.
    #[arg(long, value_name = "G", value_parser = number(10.0, 20_000.0))]
    rim_mass: Option<f64>,
    /// Width and depth of the rim, mm: an aluminium box stands in for constants the file lacks.
    #[arg(long, value_name = "WIDTHxDEPTH", value_parser = size, requires = "rim_mass")]
    rim_box: Option<(Length, Length)>,
    /// Drawn stainless steel stands in for a spoke kind whose section is given but not its EA.
    #[arg(long)]
    steel_spokes: bool,
    /// Unit of the forces printed.
    #[arg(long, default_value = "kgf")]
    units: Units,
    /// One JSON object instead of text; forces in newtons.
    #[arg(long)]
    json: bool,
    /// Writes a page with figures beside what is printed.
    #[arg(short, long, value_name = "ANALYSIS.html")]
    output: Option<PathBuf>,
    #[command(flatten)]
    records: DataFolder,
}

impl Arguments {
    fn question(&self) -> Question {
        let rim_mass = self.rim_mass.map(Mass::g);
        let rider = self
            .rider
            .map(|kg| Asked::standing(Mass::kg(kg), self.share / 100.0));
        let patch = Length::mm(self.patch);
        let rides = self.ride.iter().cloned().chain(rider);
        Question {
            places: self.at.iter().copied().map(Angle::deg).collect(),
            rides: rides.map(|ride| Asked { patch, ..ride }).collect(),
            rim_mass,
            assume: Assume {
                rim: self
                    .rim_box
                    .zip(rim_mass)
                    .map(|((width, depth), mass)| RimBox { width, depth, mass }),
                steel_spokes: self.steel_spokes,
            },
        }
    }
}

fn asked(text: &str) -> Result<Asked, String> {
    let form = "wanted is newtons toward the hub, newtons to the right and a place, as in 700,0@spoke_1, \
                700,-50@mid_gap or 600,0,-300@37.5 (the third is along the rim, the place in degrees)";
    let (load, place) = text.split_once('@').ok_or(form)?;
    let newtons = number(-1e6, 1e6);
    let forces: Result<Vec<Force>, _> = load
        .split(',')
        .map(|one| newtons(one).map(Force::n))
        .collect();
    let (radial, lateral, tangential) = match forces.map_err(|_| form)?[..] {
        [radial, lateral] => (radial, lateral, Force::ZERO),
        [radial, lateral, tangential] => (radial, lateral, tangential),
        _ => return Err(form.into()),
    };
    let at = match place {
        "spoke_1" => Place::Spoke1,
        "mid_gap" => Place::MidGap,
        degrees => Place::At(Angle::deg(
            number(-360.0, 360.0)(degrees).map_err(|_| form)?,
        )),
    };
    Ok(Asked {
        radial,
        lateral,
        tangential,
        patch: Length::ZERO,
        at,
        from: "as asked".into(),
    })
}

fn size(text: &str) -> Result<(Length, Length), String> {
    let form = "wanted is width and depth in mm, as in 20x25";
    let (width, depth) = text.split_once('x').ok_or(form)?;
    let mm = |text: &str| number(1.0, 200.0)(text).map(Length::mm).map_err(|_| form);
    Ok((mm(width)?, mm(depth)?))
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let (wheel, findings) = data::wheel(&arguments.wheel, &arguments.records)?;
    let view = analyse(&wheel, &arguments.question(), &findings)
        .with_context(|| arguments.wheel.display().to_string())?;
    let unit = arguments.units.into();
    if ending::hand_over(arguments.output.as_deref(), || Ok(page(&view, unit)?))? {
        return Ok(());
    }
    if arguments.json {
        ending::print(&json(&view)?)
    } else {
        ending::print(&text(&view, unit))
    }
}

fn text(view: &Analysis, unit: ForceUnit) -> String {
    let mut text = format!("{}\n", view.wheel);
    for finding in &view.findings {
        text += &item("?", &finding.says);
    }
    if let Some(grid) = told::quarter_turn(view, unit) {
        let turn_mm = told::QUARTER_TURN_MM;
        text += &heading(&format!(
            "A quarter turn tighter ({turn_mm:.3} mm of thread, 56 to the inch)"
        ));
        text += &shown(grid);
    }
    text += &heading("What it bears, by this model");
    for answer in told::bears(view, unit) {
        text += &item("·", &format!("{}: {}.", answer.asked, answer.says));
        if let Some(rests_on) = answer.rests_on {
            text += &item(" ", &format!("It rests on {rests_on}."));
        }
    }
    if view.ride.is_empty() {
        text += &item(
            "·",
            "No load was asked about: --ride 700,0@spoke_1 or --rider 85.",
        );
    }
    text += &heading("Stiffness at the rim, N/mm, the hub held");
    text += &shown(told::stiffness(view));
    text += &item("·", &told::given_way(view, unit));
    if let Some(grid) = told::places(view) {
        text += &heading("At the places asked for, N/mm and by a quarter turn");
        text += &shown(grid);
    }
    text +=
        &heading("How far the answers move, in %, if one constant of the rim is 30 % less / more");
    text += &shown(told::if_off(view, unit));
    text + "\n" + &item(" ", told::GROUNDS) + &item(" ", told::EVIDENCE)
}

fn shown(grid: told::Grid) -> String {
    let heads: Vec<&str> = grid.heads.iter().map(String::as_str).collect();
    table(&heads, grid.rows)
}
