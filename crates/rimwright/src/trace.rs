//! `rimwright trace`: a part that is called back.

use crate::data::{self, DataFolder};
use crate::ending;
use crate::table::{heading, item};
use workshop::records::{Access, CalledBack};
use workshop::view::{TraceView, TracedView, json};

/// From a maker's part, by lot or serial, to the wheels it is on, whose they are and what was done.
///
/// A part whose lot or serial nobody noted is listed as unknown: take it for affected until somebody has
/// looked. Parts whose maker is not noted are not found at all; the shelf finds wheels by other words.
///
/// Example: rimwright trace Kelpworth --serial B100 B250
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The maker, as it stands on its parts.
    maker: String,
    /// The lot, or the first and the last of them.
    #[arg(long, num_args = 1..=2, value_names = ["FIRST", "LAST"], conflicts_with = "serial")]
    lot: Vec<String>,
    /// The serial, or the first and the last of them, in the order in which one counts.
    #[arg(long, num_args = 1..=2, value_names = ["FIRST", "LAST"])]
    serial: Vec<String>,
    #[command(flatten)]
    records: DataFolder,
    /// One JSON object instead of text.
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let called = match (ends(&arguments.lot), ends(&arguments.serial)) {
        (Some((first, last)), _) => CalledBack::Lots(first, last),
        (None, Some((first, last))) => CalledBack::Serials(first, last),
        (None, None) => CalledBack::All,
    };
    data::run(async {
        let shop = arguments.records.open(Access::Read).await?;
        let view = shop.trace(&arguments.maker, &called).await?;
        ending::print(&if arguments.json {
            json(&view)?
        } else {
            text(&view)
        })
    })
}

fn ends(range: &[String]) -> Option<(String, String)> {
    Some((range.first()?.clone(), range.last()?.clone()))
}

fn text(view: &TraceView) -> String {
    let part = |certainty: &str| {
        let found = view.found.iter().filter(|one| one.certainty == certainty);
        found.map(found_text).collect::<String>()
    };
    let range = match (&view.by, &view.first, &view.last) {
        (Some(by), Some(first), Some(last)) if first == last => format!(", {by} {first}"),
        (Some(by), Some(first), Some(last)) => format!(", {by} {first} to {last}"),
        _ => String::new(),
    };
    let mut text = format!("{}{range}\n", view.maker);
    let (known, unknown) = (part("in range"), part("unknown"));
    text += &heading("Affected");
    text += if known.is_empty() { "  none\n" } else { &known };
    if let Some(by) = view.by {
        text += &heading(&format!(
            "Unknown: no {by} was noted; take them for affected until somebody looks"
        ));
        text += if unknown.is_empty() {
            "  none\n"
        } else {
            &unknown
        };
    }
    text + "\n" + &item(" ", "Parts whose maker nobody noted are not among these.")
}

fn found_text(found: &TracedView) -> String {
    let noted = |what: &str, text: &Option<String>| {
        let text = text.as_ref().map(|text| format!(", {what}{text}"));
        text.unwrap_or_default()
    };
    let wheel = &found.wheel;
    let mut text = item(
        "·",
        &format!(
            "{} {}: {}{}{}{}{}{}",
            wheel.label,
            wheel.name,
            found.what,
            noted("", &found.model),
            noted("lot ", &found.lot),
            noted("serial ", &found.serial),
            noted("of ", &wheel.owner),
            noted("", &wheel.contact),
        ),
    );
    if let Some(note) = &found.note {
        text += &item(" ", note);
    }
    for visit in &found.done {
        let mut said = vec![match &visit.asked {
            Some(asked) => format!("{} by {}: {asked}", visit.taken, visit.by),
            None => format!("{} by {}", visit.taken, visit.by),
        }];
        said.extend(visit.looks.iter().map(|look| format!("seen: {look}")));
        if visit.turns > 0 {
            said.push(format!("{} turns of nipples", visit.turns));
        }
        said.extend(
            visit
                .advice
                .iter()
                .map(|advice| format!("advised: {advice}")),
        );
        said.extend(visit.reports.iter().map(|title| format!("report: {title}")));
        text += &said.iter().map(|one| item(" ", one)).collect::<String>();
    }
    text
}
