//! The build sheet as a page to print, and the lacing as a drawing.

use super::told;
use crate::analyse::told::Grid;
use crate::cautions;
use crate::view::{Build, BuildSheet, LacedView};
use ::report::Table;
use ::report::document::{
    Block, Document, Fact, Notice, OnPaper, Section, Standing, Text, Verdict, Weight,
};
use ::report::figure::{Endurance, Figure, LacedSpoke, Lacing, StressSwing};
use ::report::table::{Align, Column, Row};
use quantity::force::ForceUnit;
use wheel::{Head, Side, SpokeIndex};

/// The sheets as one self-contained page.
///
/// # Errors
/// When a number of it cannot be drawn.
pub fn page(build: &Build, unit: ForceUnit) -> Result<String, ::report::Error> {
    ::report::html::write(&document(build, unit))
}

/// The lacing of one wheel as an SVG file of its own.
///
/// # Errors
/// When a number of it cannot be drawn.
pub fn drawing(sheet: &BuildSheet) -> Result<String, ::report::Error> {
    ::report::svg::file(&Figure::Lacing(lacing(sheet)))
}

/// The same as a document, to be written into another page.
#[must_use]
pub fn document(build: &Build, unit: ForceUnit) -> Document {
    let names: Vec<&str> = build
        .builds
        .iter()
        .map(|sheet| sheet.wheel.as_str())
        .collect();
    let (standing, sentence) = sentence(build);
    let mut sections = Vec::new();
    sections.extend(told::compared(build, unit).map(|grid| {
        section(
            "Side by side",
            vec![Block::Table(table("The builds, by one model", grid))],
        )
    }));
    for (sheet, place) in build.builds.iter().zip(0..) {
        let of_sheet = of_sheet(sheet, unit, 1 < build.builds.len());
        sections.extend(
            of_sheet
                .into_iter()
                .enumerate()
                .map(|(order, mut section)| {
                    if 0 < place && order == 0 {
                        section.on_paper = OnPaper::NewPage;
                    }
                    section
                }),
        );
    }
    sections.push(cautions::section());
    Document {
        lang: "en".into(),
        title: names.join("; "),
        about: vec![Fact::new(
            "what this is",
            "a build sheet, reckoned before the wheel stands",
        )],
        verdict: Verdict {
            sentence: sentence.into(),
            standing,
            grounds: vec![told::GROUNDS.into(), crate::analyse::told::EVIDENCE.into()],
        },
        sections,
        signature: None,
        code_line: format!("rimwright build/1 | {}", names.join("; ")),
    }
}

/// What the sheet shows, never more: a reckoned wheel passes nothing.
fn sentence(build: &Build) -> (Standing, &'static str) {
    let sheets = || build.builds.iter();
    if sheets().any(|sheet| sheet.limits.iter().any(|limit| limit.over == Some(true))) {
        return (
            Standing::Against,
            "The tension asked for is above a part's limit.",
        );
    }
    if sheets().any(|sheet| sheet.findings.iter().any(|one| one.weight == "doubt")) {
        return (
            Standing::Against,
            "Something speaks against building it so: see what to know first.",
        );
    }
    if sheets().any(|sheet| sheet.limits.is_empty()) {
        return (
            Standing::Open,
            "No limit of tension is known, so none is shown to be kept.",
        );
    }
    (
        Standing::Open,
        "What to order and what to expect; the built wheel is to be measured.",
    )
}

fn of_sheet(sheet: &BuildSheet, unit: ForceUnit, is_one_of_many: bool) -> Vec<Section> {
    let heading = |words: &str| {
        if is_one_of_many {
            format!("{}: {}", sheet.wheel, words)
        } else {
            let mut letters = words.chars();
            letters.next().map_or_else(String::new, |first| {
                first.to_uppercase().chain(letters).collect()
            })
        }
    };
    let list = |says: Vec<String>| Block::List(says.into_iter().map(Text::from).collect());
    let mut sections = Vec::new();
    if !sheet.findings.is_empty() {
        let notices = sheet.findings.iter().map(|one| {
            Block::Notice(Notice {
                weight: Weight::Finding,
                heading: one.about.replace('-', " "),
                says: one.says.clone().into(),
            })
        });
        sections.push(section(&heading("what to know first"), notices.collect()));
    }
    sections.push(section(
        &heading("what to order"),
        vec![
            Block::Table(table(
                &format!(
                    "Spoke lengths from the inside of the bend or under the head to the end, on the shelf in steps of {} mm; ◂ is advised, the count has its spares",
                    sheet.step_mm
                ),
                told::lengths(sheet),
            )),
            Block::Table(table("How each length adds up, mm", told::parts(sheet))),
        ],
    ));
    sections.push(section(
        &heading("lacing"),
        vec![
            Block::Figure(Figure::Lacing(lacing(sheet))),
            list(told::clashes(sheet)),
        ],
    ));
    let mut expected = Vec::new();
    if !sheet.tensions.is_empty() {
        expected.push(Block::Table(table(
            "Tension and pitch of the built wheel",
            told::expected(sheet, unit),
        )));
    }
    expected.push(list(told::beside(sheet, unit)));
    sections.push(section(&heading("what to expect"), expected));
    let bears = told::bears(sheet, unit);
    if !bears.is_empty() {
        let mut blocks = vec![list(bears)];
        blocks.extend(endurance(sheet).map(|chart| Block::Figure(Figure::Endurance(chart))));
        sections.push(section(&heading("what it bears, by the model"), blocks));
    }
    sections.extend(told::if_off(sheet, unit).map(|grid| {
        section(
            &heading("what it rests on"),
            vec![
                Block::Table(table(told::IF_OFF, grid)),
                list(told::said_if_off(sheet)),
            ],
        )
    }));
    sections
}

fn section(heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        heading: heading.into(),
        on_paper: OnPaper::Follows,
        blocks,
    }
}

fn table(caption: &str, grid: Grid) -> Table {
    let is_number = |column: usize| {
        grid.rows.iter().all(|row| {
            row[column].is_empty()
                || row[column].starts_with(|c: char| c.is_ascii_digit() || "+−–".contains(c))
        })
    };
    let aligns: Vec<Align> = (0..grid.heads.len())
        .map(|column| {
            if is_number(column) {
                Align::End
            } else {
                Align::Start
            }
        })
        .collect();
    let columns = grid
        .heads
        .into_iter()
        .zip(aligns)
        .map(|(heading, align)| Column {
            heading,
            unit: None,
            align,
        });
    Table {
        caption: caption.into(),
        columns: columns.collect(),
        rows: grid
            .rows
            .into_iter()
            .map(|cells| Row {
                cells: cells.into_iter().map(Text::from).collect(),
                mark: None,
            })
            .collect(),
    }
}

/// A picture for every kind whose material has a published line.
pub(crate) fn endurance(sheet: &BuildSheet) -> impl Iterator<Item = Endurance> {
    let swings = sheet.ride.iter().flat_map(|ride| &ride.swings);
    swings.filter_map(|swing| {
        let line = swing.goodman.as_ref()?;
        let share = swing.goodman_share?;
        Some(Endurance {
            title: format!("Fatigue of {} through a turn", swing.kind),
            caption: format!(
                "{}. Nominal stress under the rider above: bend, thread and notches see more.",
                line.source
            ),
            unit: "MPa".into(),
            amplitude: line.amplitude_mpa,
            strength: line.strength_mpa,
            swings: vec![StressSwing {
                words: format!("spoke {}: {:.0} % of the line", swing.spoke, 100.0 * share),
                mean: swing.mean_mpa?,
                amplitude: swing.amplitude_mpa?,
                beyond: 1.0 < share,
            }],
        })
    })
}

fn lacing(sheet: &BuildSheet) -> Lacing {
    let spoke = |of: &LacedView| LacedSpoke {
        spoke: SpokeIndex(of.spoke - 1),
        side: if of.side == Side::Right.word() {
            Side::Right
        } else {
            Side::Left
        },
        seat_deg: of.seat_deg,
        hole_deg: of.hole_deg,
        head: match of.head {
            "in" => Head::In,
            "out" => Head::Out,
            _ => Head::Straight,
        },
    };
    Lacing {
        title: format!("Lacing of {}", sheet.wheel),
        caption: "The rim cut at the valve hole and laid flat in rolling order; every spoke from its seat to its hole.".into(),
        spokes: sheet.spokes.iter().map(spoke).collect(),
        key: Some(SpokeIndex(sheet.key_spoke - 1)),
    }
}
