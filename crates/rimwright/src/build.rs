//! `rimwright build`: what to order for wheels, and what to expect of them.

use crate::number::number;
use crate::table::{heading, item, table};
use crate::{Units, ending};
use anyhow::Context;
use quantity::force::ForceUnit;
use quantity::{Force, Length, Mass};
use std::path::PathBuf;
use workshop::analyse::{STANDARD_SHARE, told as analysed};
use workshop::build::{
    Limit, Plan, Question, Rider, SideLoad, TyreLoad, Wanted, build, drawing, page, rim_from_hangs,
    told,
};
use workshop::view::{Build, BuildSheet, json};
use workshop::{asked, take_in};

/// What to order for a wheel, what to expect of it, and several builds side by side.
///
/// Spoke lengths with what every length on the shelf leaves, counts, tension bare and tyred, pitch, mass,
/// spokes in each other's way, and what the built wheel bears. What the file does not say is asked for.
///
/// Example: rimwright build wheel.toml --tyre visit.toml --rider 95 --limit "rim,1250n,bare,sticker" -o build.html
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The wheels' files; several are set side by side.
    #[arg(required = true)]
    wheels: Vec<PathBuf>,
    /// The step in which spokes are on the shelf or cut, mm.
    #[arg(long, value_name = "MM", value_parser = number(0.05, 20.0), default_value_t = 1.0)]
    step: f64,
    /// Spares with every length, per cent of its spokes, rounded up.
    #[arg(long, value_name = "PERCENT", value_parser = number(0.0, 100.0), default_value_t = 10.0)]
    spares: f64,
    /// A visit with laps without and with the tyre: says how hard it presses. Two at different pressures
    /// tell bead and air apart.
    #[arg(long, value_name = "VISIT.toml")]
    tyre: Vec<PathBuf>,
    /// How hard the tyre presses on the rim, N/mm, and its standard uncertainty, where it is known otherwise.
    #[arg(long, value_name = "LOAD,U", value_parser = load, conflicts_with = "tyre")]
    tyre_load: Option<(f64, f64)>,
    /// Mean tension wanted on a side with the tyre on, as in right:105kgf; the bare one is then reckoned.
    #[arg(long, value_name = "SIDE:TENSION", value_parser = wanted)]
    tyred: Option<Wanted>,
    /// A limit of tension: part, tension, bare or tyred, where it stands; may be repeated.
    #[arg(long, value_name = "PART,TENSION,STATE,SOURCE", value_parser = asked::limit)]
    limit: Vec<Limit>,
    /// Mass of rider and bicycle together, kg.
    #[arg(long, value_name = "KG", value_parser = number(1.0, 500.0))]
    rider: Option<f64>,
    /// Share of that mass on this wheel, per cent (common practice for a rear wheel).
    #[arg(long, value_name = "PERCENT", value_parser = number(1.0, 100.0), default_value_t = STANDARD_SHARE * 100.0, requires = "rider")]
    share: f64,
    /// By what the road multiplies it; 1 is standing still.
    #[arg(long, value_name = "TIMES", value_parser = number(0.1, 20.0), default_value_t = 1.0, requires = "rider")]
    factor: f64,
    /// Side load at the ground, N to the right.
    #[arg(long, value_name = "N", value_parser = number(-1e4, 1e4), default_value_t = 0.0, requires = "rider", allow_hyphen_values = true)]
    lateral: f64,
    /// Torque between hub and rim, N m: driving positive, braking at a rotor negative.
    #[arg(long, value_name = "NM", value_parser = number(-2000.0, 2000.0), default_value_t = 0.0, requires = "rider", allow_hyphen_values = true)]
    torque: f64,
    /// Length of rim over which the tyre spreads the load, mm.
    #[arg(long, value_name = "MM", value_parser = number(0.0, 300.0), default_value_t = 0.0, requires = "rider")]
    patch: f64,
    /// The static side force of the test you go by, N, and where it stands.
    #[arg(long, value_name = "N,SOURCE", value_parser = side_load)]
    side_load: Option<SideLoad>,
    /// Hang tests of the wheel: its rim is taken as they show it.
    #[arg(long, value_name = "HANG.toml")]
    hang: Option<PathBuf>,
    /// Unit of the forces printed.
    #[arg(long, default_value = "kgf")]
    units: Units,
    /// One JSON object instead of text; forces in newtons.
    #[arg(long)]
    json: bool,
    /// Writes the sheet as a page to print beside what is printed here.
    #[arg(short, long, value_name = "BUILD.html")]
    output: Option<PathBuf>,
    /// Writes the lacing of the first wheel as a drawing.
    #[arg(long, value_name = "LACING.svg")]
    drawing: Option<PathBuf>,
}

fn load(text: &str) -> Result<(f64, f64), String> {
    let form = "wanted is N/mm and its standard uncertainty, as in 6.5,0.4";
    let (load, u) = text.split_once(',').ok_or(form)?;
    let n_per_mm = number(0.0, 200.0);
    let read = |text| n_per_mm(text).map_err(|_| form.to_owned());
    Ok((read(load)?, read(u)?))
}

fn side_load(text: &str) -> Result<SideLoad, String> {
    let form = "wanted is newtons and where the test stands, as in 250,TBIS 15194 table 25";
    let (force, source) = text.split_once(',').ok_or(form)?;
    let force = number(1.0, 1e4)(force).map_err(|_| form)?;
    let source = source.trim();
    if source.is_empty() {
        return Err(form.into());
    }
    Ok(SideLoad {
        force: Force::n(force),
        source: source.into(),
    })
}

fn wanted(text: &str) -> Result<Wanted, String> {
    let (side, tension) = asked::side(text)?;
    Ok(Wanted { side, tension })
}

impl Arguments {
    fn question(&self) -> anyhow::Result<Question> {
        let mut tyres = Vec::new();
        for path in &self.tyre {
            let (visit, _) = take_in::visit(path)?;
            tyres.push(TyreLoad::measured(&visit, &path.display().to_string())?);
        }
        tyres.extend(self.tyre_load.map(|(load, u)| TyreLoad::stated(load, u)));
        Ok(Question {
            step: Length::mm(self.step),
            spares_percent: self.spares,
            tyres,
            wanted: self.tyred,
            limits: self.limit.clone(),
            rider: self.rider.map(|kg| Rider {
                mass: Mass::kg(kg),
                share: self.share / 100.0,
                factor: self.factor,
                lateral: Force::n(self.lateral),
                torque_n_m: self.torque,
                patch: Length::mm(self.patch),
            }),
            side_load: self.side_load.clone().unwrap_or_default(),
        })
    }

    fn plans(&self) -> anyhow::Result<Vec<Plan>> {
        let mut plans = Vec::new();
        for path in &self.wheels {
            let (wheel, findings) = take_in::wheel(path)?;
            let hung = match &self.hang {
                Some(hangs) => {
                    let hangs = take_in::hangs(hangs, &wheel)?;
                    let hung = rim_from_hangs(&wheel, &hangs);
                    Some(hung.with_context(|| path.display().to_string())?)
                }
                None => None,
            };
            plans.push(Plan {
                wheel,
                findings,
                hung,
            });
        }
        Ok(plans)
    }
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let view = build(&arguments.plans()?, &arguments.question()?);
    let unit = arguments.units.into();
    if let Some(output) = &arguments.drawing {
        ending::write(output, &drawing(&view.builds[0])?)?;
    }
    if ending::hand_over(arguments.output.as_deref(), || Ok(page(&view, unit)?))? {
        return Ok(());
    }
    if arguments.json {
        ending::print(&json(&view)?)
    } else {
        ending::print(&text(&view, unit))
    }
}

fn text(view: &Build, unit: ForceUnit) -> String {
    let mut text = String::new();
    for sheet in &view.builds {
        text += &of_sheet(sheet, unit);
    }
    if let Some(grid) = told::compared(view, unit) {
        text += &heading("Side by side");
        text += &shown(grid);
    }
    text + "\n" + &item(" ", told::GROUNDS) + &item(" ", analysed::EVIDENCE)
}

fn of_sheet(sheet: &BuildSheet, unit: ForceUnit) -> String {
    let items = |says: Vec<String>| says.iter().map(|one| item("·", one)).collect::<String>();
    let mut text = format!("{}\n", sheet.wheel);
    for finding in &sheet.findings {
        text += &item(
            if finding.weight == "doubt" { "!" } else { "?" },
            &finding.says,
        );
    }
    text += &heading("Spokes to order (◂ advised; the count has its spares)");
    text += &shown(told::lengths(sheet));
    text += &heading("How each length adds up, mm");
    text += &shown(told::parts(sheet));
    text += &heading("To expect");
    if !sheet.tensions.is_empty() {
        text += &shown(told::expected(sheet, unit));
    }
    text += &items(told::beside(sheet, unit));
    text += &items(told::clashes(sheet));
    let bears = told::bears(sheet, unit);
    if !bears.is_empty() {
        text += &heading("What it bears, by this model");
        text += &items(bears);
    }
    if let Some(grid) = told::if_off(sheet, unit) {
        text += &heading(told::IF_OFF);
        text += &shown(grid);
        text += &items(told::said_if_off(sheet));
    }
    text + "\n"
}

fn shown(grid: analysed::Grid) -> String {
    let heads: Vec<&str> = grid.heads.iter().map(String::as_str).collect();
    table(&heads, grid.rows)
}
