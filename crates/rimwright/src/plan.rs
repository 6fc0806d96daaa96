//! `rimwright plan`: the turns of the next round.

use crate::data::{self, DataFolder};
use crate::ending::WrongUse;
use crate::number::number;
use crate::table::{heading, item, table};
use crate::{Units, ending};
use quantity::Length;
use quantity::force::ForceUnit;
use std::path::PathBuf;
use std::time::Duration;
use workshop::records::{Access, Id};
use workshop::true_up::{self, More, Question, Then, item_of, true_up};
use workshop::view::{EnteredPlanView, PlanView, json};
use workshop::{asked, take_in};

/// Truing: which nipples to turn, which way, how far, in what order, what to expect, and when to stop.
///
/// A label of the records in place of both files takes the wheel's newest visit, and remembers its earlier rounds.
///
/// The state is a CSV with a row for each spoke that was read: `spoke`, `tension_n` (or `_kgf`, `_lbf`), `lateral_mm`
/// (to the right), `radial_mm` (outward); rows with `angle_deg` give runout between spokes. Gaps are allowed, and runout
/// alone, tension alone or four spokes will do. With --carry every round is better than the last.
///
/// Example: rimwright plan wheel.toml state.csv --carry wheel.carry.csv --target right:115kgf --limit "rim,1250n,bare,sticker"
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The wheel's file, with its rim's constants; or, where no file has that name, the label of a wheel or the id of a
    /// visit in the records.
    wheel: PathBuf,
    /// What was read; the records have it themselves.
    state: Option<PathBuf>,
    /// Enters the plan in the records, with the visit: the turns are then noted at the stand.
    #[arg(long, help_heading = "Records")]
    enter: bool,
    /// Who enters it. Else RIMWRIGHT_BY.
    #[arg(long, value_name = "INITIALS", help_heading = "Records")]
    by: Option<String>,
    #[command(flatten)]
    records: DataFolder,
    /// Keeps what earlier rounds taught: read if it is there, written with this round. Correct in it what was turned
    /// otherwise than planned.
    #[arg(long, value_name = "FILE")]
    carry: Option<PathBuf>,
    /// The smallest turn.
    #[arg(long, value_name = "1/8", value_parser = step, default_value = "1/8")]
    step: true_up::Step,
    /// Nipples at most.
    #[arg(long, value_name = "NIPPLES", value_parser = clap::value_parser!(u16).range(1..=100))]
    at_most: Option<u16>,
    /// Shows how good one, two, three … up to so many nipples make the wheel.
    #[arg(long, value_name = "NIPPLES", value_parser = clap::value_parser!(u16).range(1..=40))]
    trade_off: Option<u16>,
    /// Mean tension that one side is to have, or `keep` for the level it has; without it that of the round before, of records,
    /// else the level is kept.
    #[arg(long, value_name = "SIDE:TENSION", value_parser = target)]
    target: Option<Target>,
    /// What a part's maker allows; may be repeated. Part, tension, bare or tyred, and where it stands.
    #[arg(long, value_name = "PART,TENSION,STATE,SOURCE", value_parser = asked::limit)]
    limit: Vec<true_up::Limit>,
    /// What the tyre takes away of a spoke's tension, for limits that hold with a tyre on, per cent.
    #[arg(long, value_name = "PERCENT", value_parser = number(0.0, 60.0))]
    tyre_loss: Option<f64>,
    /// Turns at most for one nipple in this round.
    #[arg(long, value_name = "TURNS", value_parser = number(0.01, 20.0), default_value_t = true_up::MOST_TURNS)]
    most_turns: f64,
    /// Offset of the rim's plane as measured, positive to the right, mm. Half of what a flipping tool shows.
    #[arg(long, value_name = "MM", value_parser = number(-50.0, 50.0), allow_hyphen_values = true)]
    dish: Option<f64>,
    /// Runout to the right at more places: a CSV with columns angle_deg, mm.
    #[arg(long, value_name = "LAP.csv")]
    lateral: Option<PathBuf>,
    /// Runout outward at more places: a CSV with columns angle_deg, mm.
    #[arg(long, value_name = "LAP.csv")]
    radial: Option<PathBuf>,
    /// The class for runout to the side, most less least, mm; 0.20, of records the shop's.
    #[arg(long, value_name = "MM", value_parser = number(0.01, 20.0))]
    lateral_fir: Option<f64>,
    /// The class for runout in and out, most less least, mm; 0.25, of records the shop's.
    #[arg(long, value_name = "MM", value_parser = number(0.01, 20.0))]
    radial_fir: Option<f64>,
    /// The class for evenness, standard deviation within one side and kind, per cent; 5, of records the
    /// shop's.
    #[arg(long, value_name = "PERCENT", value_parser = number(0.1, 50.0))]
    evenness: Option<f64>,
    /// The class for the dish, either way, mm; 0.5, of records the shop's.
    #[arg(long, value_name = "MM", value_parser = number(0.01, 20.0))]
    dish_within: Option<f64>,
    /// The class for the mean tension, per cent of its target either way; 3, of records the shop's.
    #[arg(long, value_name = "PERCENT", value_parser = number(0.1, 50.0))]
    mean_within: Option<f64>,
    /// Standard uncertainty of one gauge reading, per cent; 2.5, of records the gauge's own.
    #[arg(long, value_name = "PERCENT", value_parser = number(0.0, 50.0))]
    gauge_noise: Option<f64>,
    /// Standard uncertainty of one dial reading, mm; 0.02, of records the shop's.
    #[arg(long, value_name = "MM", value_parser = number(0.0, 5.0))]
    dial_noise: Option<f64>,
    /// Plans even where the wheel is of its class.
    #[arg(long)]
    go_on: bool,
    /// The nipples are hidden in the rim and turned from the tyre side.
    #[arg(long)]
    hidden: bool,
    /// Friction of spoke on nipple: tells how far round spokes of metal wind up.
    #[arg(long, value_name = "MU", value_parser = number(0.01, 1.0))]
    friction: Option<f64>,
    /// Seconds after which the search stops with the best it has, and says what it may miss.
    #[arg(long, value_name = "SECONDS", value_parser = number(0.01, 3600.0), default_value_t = 20.0)]
    time_limit: f64,
    /// Seed of the draws behind what to expect.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Unit of the forces printed.
    #[arg(long, default_value = "kgf")]
    units: Units,
    /// Writes a page with the list to print and pictures of what to expect, beside what is printed.
    #[arg(short, long, value_name = "PAGE.html")]
    output: Option<PathBuf>,
    /// One JSON object instead of text; forces in newtons.
    #[arg(long)]
    json: bool,
}

fn step(text: &str) -> Result<true_up::Step, String> {
    let parts = text.strip_prefix("1/").and_then(|parts| parts.parse().ok());
    parts.and_then(true_up::Step::part_of).ok_or_else(|| {
        "wanted is a whole fraction of a turn, as in 1/8 or 1/4, down to 1/64".into()
    })
}

/// The level that is wanted.
#[derive(Debug, Clone, Copy)]
enum Target {
    Keep,
    Of(true_up::Mean),
}

fn target(text: &str) -> Result<Target, String> {
    if text == "keep" {
        return Ok(Target::Keep);
    }
    let (side, tension) = asked::side(text)?;
    Ok(Target::Of(true_up::Mean { side, tension }))
}

impl Arguments {
    /// Writes what was asked into a question. Of the target, the class, the noises and hidden nipples, what was not asked stays
    /// as it is, and limits are added.
    fn ask(&self, question: &mut Question) {
        question.target = match self.target {
            Some(Target::Of(mean)) => Some(mean),
            Some(Target::Keep) => None,
            None => question.target,
        };
        question.limits.extend(self.limit.iter().cloned());
        question.tyre_loss = self.tyre_loss.map(|percent| percent / 100.0);
        question.step = self.step;
        question.most_turns = self.most_turns;
        question.at_most = self.at_most.map(usize::from);
        question.trade_off = self.trade_off.map_or(0, usize::from);
        question.go_on = self.go_on;
        question.hidden |= self.hidden;
        question.friction = self.friction;
        question.seed = self.seed;
        question.time_limit = Duration::from_secs_f64(self.time_limit);
        let (class, noise) = (&mut question.class, &mut question.noise);
        let mm = |of: &mut Length, asked: Option<f64>| *of = asked.map_or(*of, Length::mm);
        let number = |of: &mut f64, asked: Option<f64>| *of = asked.unwrap_or(*of);
        mm(&mut class.lateral_fir, self.lateral_fir);
        mm(&mut class.radial_fir, self.radial_fir);
        mm(&mut class.dish, self.dish_within);
        number(&mut class.tension_sd_percent, self.evenness);
        number(&mut class.mean_percent, self.mean_within);
        mm(&mut noise.dial, self.dial_noise);
        let share = self.gauge_noise.map(|percent| percent / 100.0);
        number(&mut noise.gauge, share);
    }

    /// The plan by a wheel's file and what was read.
    fn of_files(&self) -> anyhow::Result<PlanView> {
        let state = self.state.as_deref().ok_or_else(|| {
            WrongUse("what was read is missing\n  Name the state file after the wheel's, or a label of the records in place of both.".into())
        })?;
        if self.enter {
            let says = "`--enter` goes with a wheel of the records\n  Name its label in place of the files; --carry keeps what rounds of files taught.";
            return Err(WrongUse(says.into()).into());
        }
        let (wheel, findings) = take_in::wheel(&self.wheel)?;
        let state = true_up::state(state, &wheel)?;
        let lap = |path: &Option<PathBuf>| path.as_deref().map(true_up::runout).transpose();
        let more = More {
            lateral: lap(&self.lateral)?.unwrap_or_default(),
            radial: lap(&self.radial)?.unwrap_or_default(),
            dish: self.dish.map(Length::mm),
        };
        let carry = self.carry.as_deref();
        let earlier = carry
            .map(|path| true_up::carried(path, &wheel))
            .transpose()?
            .unwrap_or_default();
        let mut question = Question::default();
        self.ask(&mut question);
        let (view, rounds) =
            true_up(&wheel, state, more, earlier, &question, &findings).map_err(|error| {
                true_up::NoPlan {
                    wheel: self.wheel.display().to_string(),
                    error,
                }
            })?;
        if let Some(path) = carry {
            ending::write(path, &true_up::to_carry(&rounds, &wheel))?;
        }
        Ok(view)
    }

    /// Whether the plan's page was asked for: it is written then.
    fn hand_over(&self, view: &PlanView) -> anyhow::Result<bool> {
        ending::hand_over(self.output.as_deref(), || {
            Ok(true_up::page(view, self.units.into())?)
        })
    }

    /// The plan by the records, handed over and, when that is asked, entered: what cannot be written is not entered.
    fn of_records(&self) -> anyhow::Result<(PlanView, Option<Id>, bool)> {
        let of_files = self.state.is_some() || self.carry.is_some();
        if of_files || self.lateral.is_some() || self.radial.is_some() {
            let says = "the records have the readings and the earlier rounds themselves\n  Leave out the state file, --carry, --lateral and --radial, or name the wheel's file in place of its label.";
            return Err(WrongUse(says.into()).into());
        }
        let pen = self
            .enter
            .then(|| data::pen(self.by.as_deref()))
            .transpose()?;
        let access = match pen {
            Some(_) => Access::Write,
            None => Access::Read,
        };
        data::run(async {
            let shop = self.records.open(access).await?;
            let visit = shop.visit_called(&self.wheel.to_string_lossy()).await?;
            let mut at = shop.at_round(visit).await?;
            self.ask(&mut at.question);
            at.dish = self.dish.map(Length::mm);
            let planned = at.plan()?;
            let is_handed_over = self.hand_over(&planned.view)?;
            let entered = match &pen {
                Some(pen) => Some(shop.enter_plan(pen, &planned).await?.id),
                None => None,
            };
            shop.close().await;
            Ok((planned.view, entered, is_handed_over))
        })
    }
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let (view, entered, is_handed_over) = if data::is_of_records(&arguments.wheel) {
        arguments.of_records()?
    } else {
        let view = arguments.of_files()?;
        let is_handed_over = arguments.hand_over(&view)?;
        (view, None, is_handed_over)
    };
    let unit = arguments.units.into();
    if is_handed_over {
        if let Some(id) = entered {
            ending::tell(&format!("Entered with its visit, as {id}."));
        }
        return Ok(());
    }
    match (entered, arguments.json) {
        (None, true) => ending::print(&json(&view)?),
        (None, false) => ending::print(&text(&view, unit)),
        (Some(id), true) => ending::print(&json(&EnteredPlanView {
            plan: view,
            entered: id.to_string(),
        })?),
        (Some(id), false) => ending::print(&format!(
            "{}\nEntered with its visit, as {id}: the turns are noted at the stand, on the page of that visit.\n",
            text(&view, unit)
        )),
    }
}

fn text(view: &PlanView, unit: ForceUnit) -> String {
    let mut text = format!("{}, round {}\n", view.wheel, view.round);
    for finding in &view.findings {
        text += &item(
            if finding.weight == "note" { "·" } else { "?" },
            &finding.says,
        );
    }
    for sentence in true_up::learned(&view.learned) {
        text += &item("·", &sentence);
    }
    text += &heading("The wheel");
    text += &table(
        &["", "now", "class"],
        rows(true_up::standing(view, unit, Then::Now)),
    );
    if view.turns.is_empty() {
        text += &heading("Nothing to turn");
        text += &item("·", &true_up::reason(view));
    } else {
        text += &heading("Turn, in this order");
        let work = (0..view.turns.len()).filter_map(|place| item_of(view, place, unit));
        text += &table(
            &["", "spoke", "side", "turns", "nipple", "its tension"],
            rows(work.collect()),
        );
        text += &heading("Twist");
        for (kind, hold) in true_up::holds(view) {
            text += &item(
                "·",
                &format!("{kind}: {hold}. What is turned past and back is not among the turns."),
            );
        }
        text += &heading("Then expect");
        text += &table(
            &["", "then", "class"],
            rows(true_up::standing(view, unit, Then::Expected)),
        );
        if let Some(proof) = true_up::proof(view) {
            text += &item("·", &proof);
        }
    }
    for cannot in &view.cannot {
        text += &item("!", &cannot.says);
    }
    if !view.few_nipples.is_empty() {
        text += &heading("With few nipples");
        text += &table(
            &["nipples", "of the class taken up", "the best", "turns"],
            rows(true_up::few_rows(view)),
        );
    }
    text += "\n";
    for caution in &view.cautions {
        text += &item(" ", caution);
    }
    text
}

fn rows<const N: usize>(rows: Vec<[String; N]>) -> Vec<Vec<String>> {
    rows.into_iter().map(Vec::from).collect()
}
