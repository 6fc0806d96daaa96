//! The analysis as a page: what the model says first, then what it rests on.

use super::{figures, told};
use crate::cautions;
use crate::view::Analysis;
use ::report::Table;
use ::report::document::{
    Block, Document, Fact, Notice, OnPaper, Section, Standing, Text, Verdict, Weight,
};
use ::report::figure::Figure;
use ::report::table::{Align, Column, Row};
use quantity::force::ForceUnit;
use wheel::SpokeIndex;

/// The analysis as one self-contained page.
///
/// # Errors
/// When a number of it cannot be drawn.
pub fn page(view: &Analysis, unit: ForceUnit) -> Result<String, ::report::Error> {
    ::report::html::write(&document(view, unit))
}

/// The same as a document, to be written into another page.
#[must_use]
pub fn document(view: &Analysis, unit: ForceUnit) -> Document {
    let (standing, sentence) = sentence(view);
    Document {
        lang: "en".into(),
        title: view.wheel.clone(),
        about: vec![
            Fact::new("what this is", "the wheel as a structure, by a model"),
            Fact::new("wheel", spokes(view)),
        ],
        verdict: Verdict {
            sentence: sentence.into(),
            standing,
            grounds: vec![told::GROUNDS.into(), told::EVIDENCE.into()],
        },
        sections: sections(view, unit),
        signature: None,
        code_line: format!("rimwright analyse/1 | {}", view.wheel),
    }
}

/// What the model shows, never more: that a wheel bears a load is not shown by a model alone.
fn sentence(view: &Analysis) -> (Standing, String) {
    if view
        .buckling
        .is_some_and(|one| one.tension_multiplier < 1.0)
    {
        return (
            Standing::Against,
            "By this model the wheel folds under its own tension.".into(),
        );
    }
    if view.tension_n.is_none() {
        return (
            Standing::Open,
            "No tension is given: what the wheel bears cannot be told.".into(),
        );
    }
    if view.ride.iter().any(|ride| ride.tension_change_n.is_none()) {
        return (
            Standing::Against,
            "By this model the wheel folds under a load asked about.".into(),
        );
    }
    let slack = |ride: &crate::view::RideView| {
        !ride.slack.is_empty()
            || ride
                .turn
                .as_ref()
                .is_some_and(|turn| turn.smallest_n <= 0.0)
    };
    if view.ride.iter().any(slack) {
        return (
            Standing::Against,
            "By this model spokes go slack under a load asked about.".into(),
        );
    }
    let sentence = if view.ride.is_empty() {
        "What the model says of this wheel; it decides nothing."
    } else {
        "By this model no spoke goes slack under the loads asked about; it decides nothing."
    };
    (Standing::Open, sentence.into())
}

fn spokes(view: &Analysis) -> String {
    let on = |side: &str| view.spokes.iter().filter(|seat| seat.side == side).count();
    format!(
        "{} spokes, {} right and {} left",
        view.spokes.len(),
        on("right"),
        on("left")
    )
}

fn sections(view: &Analysis, unit: ForceUnit) -> Vec<Section> {
    let mut sections = Vec::new();
    if !view.findings.is_empty() {
        let notices = view.findings.iter().map(|one| {
            Block::Notice(Notice {
                weight: Weight::Finding,
                heading: one.about.replace('-', " "),
                says: one.says.clone().into(),
            })
        });
        sections.push(section("What to know first", notices.collect()));
    }
    if let Some(grid) = told::quarter_turn(view, unit) {
        let mut blocks = vec![Block::Table(table(
            format!(
                "A quarter turn tighter: {:.3} mm of thread, 56 to the inch",
                told::QUARTER_TURN_MM
            ),
            grid,
        ))];
        blocks.extend(figures::quarter_turn(view, SpokeIndex(0), unit).map(drawn));
        sections.push(section("What a nipple does", blocks));
    }
    let mut blocks = vec![Block::Table(bears(view, unit))];
    for ride in &view.ride {
        blocks.extend(figures::ridden(view, ride, unit).map(drawn));
        blocks.extend(figures::turned(view, ride, unit).map(drawn));
    }
    sections.push(section("What it bears", blocks));
    let mut stiffness = vec![
        Block::Paragraph(told::given_way(view, unit).into()),
        Block::Table(table(
            "Stiffness at the rim, N/mm, the hub held".into(),
            told::stiffness(view),
        )),
    ];
    stiffness.extend(told::places(view).map(|grid| {
        Block::Table(table(
            "At the places asked for, N/mm and by a quarter turn".into(),
            grid,
        ))
    }));
    sections.push(section("Stiffness", stiffness));
    sections.push(section(
        "If a constant of the rim is 30 % off",
        vec![Block::Table(table(
            "How far each answer moves, in %, with one constant less and more, all else the same"
                .into(),
            told::if_off(view, unit),
        ))],
    ));
    sections.push(cautions::section());
    sections
}

fn drawn(rim: ::report::figure::UnrolledRim) -> Block {
    Block::Figure(Figure::UnrolledRim(rim))
}

fn section(heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        heading: heading.into(),
        on_paper: OnPaper::Follows,
        blocks,
    }
}

/// What was asked, what the model says, what that rests on.
fn bears(view: &Analysis, unit: ForceUnit) -> Table {
    let answers = told::bears(view, unit).into_iter();
    Table {
        caption: "What was asked of the model, and what each answer rests on".into(),
        columns: ["asked", "answer", "it rests on"].map(Column::words).into(),
        rows: answers
            .map(|answer| {
                Row::from([
                    answer.asked,
                    answer.says,
                    answer.rests_on.unwrap_or_default(),
                ])
            })
            .collect(),
    }
}

fn table(caption: String, grid: told::Grid) -> Table {
    let columns = grid
        .heads
        .into_iter()
        .enumerate()
        .map(|(place, heading)| Column {
            heading,
            unit: None,
            align: if place == 0 { Align::Start } else { Align::End },
        });
    let rows = grid.rows.into_iter().map(|cells| Row {
        cells: cells.into_iter().map(Text::from).collect(),
        mark: None,
    });
    Table {
        caption: caption.into(),
        columns: columns.collect(),
        rows: rows.collect(),
    }
}
