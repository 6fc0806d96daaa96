//! A round as a page: the list to work by, what to expect, what was found of what had been expected.

use super::{Then, few_rows, figures, holds, is_clear, item_of, learned, proof, reason, standing};
use crate::view::{FindingView, PlanView};
use ::report::Table;
use ::report::document::{
    Block, Document, Fact, Notice, OnPaper, Section, Signature, SignatureLine, Standing, Text,
    Verdict, Weight,
};
use ::report::figure::Figure;
use ::report::table::{Column, Row};
use quantity::force::ForceUnit;

/// The plan as one self-contained page.
///
/// # Errors
/// When a number of it cannot be drawn.
pub fn page(view: &PlanView, unit: ForceUnit) -> Result<String, ::report::Error> {
    ::report::html::write(&document(view, unit))
}

pub(super) fn document(view: &PlanView, unit: ForceUnit) -> Document {
    whole(view, sections(view, unit))
}

/// What the page says without the list to work by, and with what came of the round before put first.
#[must_use]
pub fn grounds(view: &PlanView, unit: ForceUnit) -> Document {
    let parts = [
        grave(view),
        found(view, unit),
        expected(view, unit),
        few_nipples(view),
        noted(view),
        cautions(view),
    ];
    whole(view, parts.into_iter().flatten().collect())
}

fn whole(view: &PlanView, sections: Vec<Section>) -> Document {
    let (standing, sentence) = sentence(view);
    Document {
        lang: "en".into(),
        title: view.wheel.clone(),
        about: vec![
            Fact::new("what this is", "the turns of one round of truing"),
            Fact::new("round", view.round.to_string()),
            Fact::new(
                "smallest turn",
                format!("1/{} of a turn", view.steps_in_a_turn),
            ),
        ],
        verdict: Verdict {
            sentence: sentence.into(),
            standing,
            grounds: proof(view).into_iter().map(Text::from).collect(),
        },
        sections,
        signature: Some(Signature {
            statement: "Turned as ticked above. A round of truing, not permission to ride: the wheel is lapped again before it is judged.".into(),
            lines: vec![SignatureLine {
                role: "turned by".into(),
                name: String::new(),
                date: String::new(),
                place: String::new(),
            }],
        }),
        code_line: format!("rimwright plan/1 | {} | round {}", view.wheel, view.round),
    }
}

/// What the readings show, never more: that the wheel is of its class is said of the class asked for, not of its use.
fn sentence(view: &PlanView) -> (Standing, String) {
    match view.turns.len() {
        _ if is_clear(view) => (Standing::Clear, reason(view)),
        0 => (Standing::Open, reason(view)),
        1 => (Standing::Open, "Turn one nipple, then read again.".into()),
        turns => (
            Standing::Open,
            format!("Turn {turns} times in the order given, then read again."),
        ),
    }
}

fn sections(view: &PlanView, unit: ForceUnit) -> Vec<Section> {
    let work = (!view.turns.is_empty()).then(|| section("Turn, in this order", work(view, unit)));
    let parts = [
        known(view),
        work,
        expected(view, unit),
        found(view, unit),
        few_nipples(view),
        cautions(view),
    ];
    parts.into_iter().flatten().collect()
}

fn known(view: &PlanView) -> Option<Section> {
    notices(
        "What to know first",
        view.findings.iter().chain(&view.cannot),
    )
}

/// What is doubted or asked about, and what turns cannot mend.
fn grave(view: &PlanView) -> Option<Section> {
    let asked = view.findings.iter().filter(|one| one.weight != NOTE);
    notices("What to know first", asked.chain(&view.cannot))
}

fn noted(view: &PlanView) -> Option<Section> {
    let noted = view.findings.iter().filter(|one| one.weight == NOTE);
    notices("Good to know", noted)
}

fn notices<'v>(heading: &str, of: impl Iterator<Item = &'v FindingView>) -> Option<Section> {
    let all: Vec<Block> = of.map(notice).collect();
    (!all.is_empty()).then(|| section(heading, all))
}

fn expected(view: &PlanView, unit: ForceUnit) -> Option<Section> {
    let mut expect = vec![Block::Table(numbers(view, unit))];
    expect.extend(figures::planned(view, unit).map(|rim| Block::Figure(Figure::UnrolledRim(rim))));
    expect.push(Block::Figure(Figure::Runout(figures::rim(view))));
    Some(section("What to expect", expect))
}

fn found(view: &PlanView, unit: ForceUnit) -> Option<Section> {
    view.found.as_ref()?.expected.as_ref()?;
    let mut found: Vec<Block> = Vec::new();
    found.extend(figures::found(view, unit).map(|rim| Block::Figure(Figure::UnrolledRim(rim))));
    found.extend(figures::found_rim(view).map(|rim| Block::Figure(Figure::Runout(rim))));
    let taught = learned(&view.learned);
    if !taught.is_empty() {
        found.push(Block::List(taught.into_iter().map(Text::from).collect()));
    }
    Some(section(
        "What the last round had led to expect, and what was found",
        found,
    ))
}

fn few_nipples(view: &PlanView) -> Option<Section> {
    (!view.few_nipples.is_empty())
        .then(|| section("With few nipples", vec![Block::Table(few(view))]))
}

fn cautions(view: &PlanView) -> Option<Section> {
    let cautions = view.cautions.iter().map(|says| {
        Block::Notice(Notice {
            weight: Weight::Caution,
            heading: "Caution".into(),
            says: says.to_string().into(),
        })
    });
    Some(section("Cautions", cautions.collect()))
}

/// The weight of what only is good to know.
const NOTE: &str = "note";

fn section(heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        heading: heading.into(),
        on_paper: OnPaper::Follows,
        blocks,
    }
}

fn notice(finding: &FindingView) -> Block {
    Block::Notice(Notice {
        weight: Weight::Finding,
        heading: finding.about.replace('-', " "),
        says: finding.says.clone().into(),
    })
}

/// The list to work by: a box to tick, and the twist of every kind below.
fn work(view: &PlanView, unit: ForceUnit) -> Vec<Block> {
    let rows = (0..view.turns.len()).filter_map(|place| item_of(view, place, unit));
    let table = Table {
        caption: "Tick what is done; a spoke that stands here twice is gone back to".into(),
        columns: [
            "order",
            "spoke",
            "side",
            "turns",
            "nipple",
            "its tension",
            "done",
        ]
        .map(Column::words)
        .into(),
        rows: rows
            .map(|[place, spoke, side, turns, nipple, tension]| {
                Row::from([place, spoke, side, turns, nipple, tension, "☐".into()])
            })
            .collect(),
    };
    let twist = holds(view).into_iter().map(|(kind, hold)| {
        Text::from(format!(
            "{kind}: {hold}. What is turned past and back is not among the turns."
        ))
    });
    vec![Block::Table(table), Block::List(twist.collect())]
}

fn numbers(view: &PlanView, unit: ForceUnit) -> Table {
    let then = standing(view, unit, Then::Expected);
    let rows = standing(view, unit, Then::Now).into_iter().zip(then);
    Table {
        caption: "The wheel now and as it is expected after the turns, with what counts as good"
            .into(),
        columns: ["what", "now", "then", "class"].map(Column::words).into(),
        rows: rows
            .map(|([what, now, class], [_, then, _])| Row::from([what, now, then, class]))
            .collect(),
    }
}

fn few(view: &PlanView) -> Table {
    Table {
        caption: "How good one, two, three … nipples make the wheel".into(),
        columns: ["nipples", "of the class taken up", "the best", "turns"]
            .map(Column::words)
            .into(),
        rows: few_rows(view).into_iter().map(Row::from).collect(),
    }
}
