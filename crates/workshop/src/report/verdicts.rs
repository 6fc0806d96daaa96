//! Limits and claims as tables.

use crate::words;
use metrology::survey::Survey;
use metrology::visit::Visit;
use quantity::force::ForceUnit;
use report::document::{Block, OnPaper, Section, Text};
use report::table::{Column, Row, Table};

/// The verdict on each limit and claim, and what would settle the undecided ones.
pub(super) fn section(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Section {
    let mut blocks = Vec::new();
    if !survey.limits.is_empty() {
        let rows = survey
            .limits
            .iter()
            .map(|judged| Row {
                cells: vec![
                    Text::from(words::limit(&judged.limit, visit, unit)).source(format!(
                        "{}, noted {}",
                        judged.limit.source, judged.limit.noted
                    )),
                    judged.verdict.word().into(),
                    judged
                        .probability
                        .map_or("not known".into(), words::probability)
                        .into(),
                    judged
                        .settle
                        .as_ref()
                        .map_or(String::new(), |settle| {
                            words::settle(settle, survey, visit, unit)
                        })
                        .into(),
                ],
                mark: None,
            })
            .collect();
        blocks.push(Block::Table(Table {
            caption: Text::from("Limits: no single spoke may be above them"),
            columns: vec![
                Column::words("limit"),
                Column::words("verdict"),
                Column::words("probability that none is above"),
                Column::words("what would settle it"),
            ],
            rows,
        }));
    }
    let pressures: Vec<Row> = survey
        .pressures
        .iter()
        .map(|judged| Row {
            cells: vec![
                Text::from(format!(
                    "{}: at most {}",
                    judged.limit.part,
                    words::pressure(judged.limit.pressure)
                ))
                .source(format!(
                    "{}, noted {}",
                    judged.limit.source, judged.limit.noted
                )),
                judged.verdict.word().into(),
                judged
                    .highest
                    .map_or("no pressure noted".into(), |highest| {
                        words::pressure(highest)
                    })
                    .into(),
            ],
            mark: None,
        })
        .collect();
    if !pressures.is_empty() {
        blocks.push(Block::Table(Table {
            caption: Text::from("Limits of pressure"),
            columns: vec![
                Column::words("limit"),
                Column::words("verdict"),
                Column::words("highest noted"),
            ],
            rows: pressures,
        }));
    }
    if !survey.claims.is_empty() {
        let mut rows = Vec::new();
        for judged in &survey.claims {
            let values: Vec<String> = judged
                .parts
                .iter()
                .map(|part| {
                    format!(
                        "{} {}",
                        part.part,
                        words::claimed(judged.claim.quantity, part.value)
                    )
                })
                .collect();
            let mut claim = Text::from(judged.claim.text.clone());
            if let Some(source) = &judged.claim.source {
                claim = claim.source(source.clone());
            }
            rows.push(Row {
                cells: vec![
                    claim,
                    values.join("; ").into(),
                    judged.verdict.word().into(),
                    judged
                        .probability
                        .map_or("not known".into(), words::probability)
                        .into(),
                    judged
                        .settle
                        .as_ref()
                        .map_or(String::new(), |settle| {
                            words::settle(settle, survey, visit, unit)
                        })
                        .into(),
                ],
                mark: None,
            });
        }
        blocks.push(Block::Table(Table {
            caption: Text::from("Claims: the worst part is the verdict"),
            columns: vec![
                Column::words("claim"),
                Column::words("measured"),
                Column::words("verdict"),
                Column::words("probability"),
                Column::words("what would settle it"),
            ],
            rows,
        }));
    }
    Section {
        heading: "Limits and claims".into(),
        on_paper: OnPaper::Follows,
        blocks,
    }
}
