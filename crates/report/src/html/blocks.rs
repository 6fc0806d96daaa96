//! Sections and what stands in them.

use super::{facts, notes::Notes};
use crate::document::{Block, Notice, OnPaper, Section, Weight};
use crate::figure::{Error, Figure, Mark};
use crate::svg;
use crate::table::{Align, BeforeAfter, BeforeAfterRow, Bound, Column, Stated, Table};
use crate::words::fit;
use maud::{Markup, html};

pub(super) fn section(
    section: &Section,
    notes: &mut Notes,
    figures: &mut usize,
) -> Result<Markup, Error> {
    let mut blocks = Vec::new();
    for block in &section.blocks {
        blocks.push(self::block(block, notes, figures)?);
    }
    let class = (section.on_paper == OnPaper::NewPage).then_some("new-page");
    Ok(html! {
        section class=[class] {
            h2 { (fit(&section.heading)) }
            @for block in &blocks { (block) }
        }
    })
}

fn block(block: &Block, notes: &mut Notes, figures: &mut usize) -> Result<Markup, Error> {
    Ok(match block {
        Block::Paragraph(text) => html! { p { (notes.text(text)) } },
        Block::List(items) => html! { ul { @for item in items { li { (notes.text(item)) } } } },
        Block::Steps(items) => html! { ol { @for item in items { li { (notes.text(item)) } } } },
        Block::Facts(rows) => facts(rows, notes),
        Block::Table(table) => self::table(table, notes)?,
        Block::BeforeAfter(table) => before_after(table, notes, figures)?,
        Block::Figure(figure) => self::figure(figure, figures)?,
        Block::Notice(notice) => self::notice(notice, notes),
    })
}

fn notice(notice: &Notice, notes: &mut Notes) -> Markup {
    let class = match notice.weight {
        Weight::Finding => "notice finding",
        Weight::Caution => "notice caution",
    };
    html! {
        aside class=(class) {
            h3 { (fit(&notice.heading)) }
            p { (notes.text(&notice.says)) }
        }
    }
}

fn figure(figure: &Figure, figures: &mut usize) -> Result<Markup, Error> {
    let id = next_id(figures);
    let drawing = svg::draw(figure, &id)?;
    Ok(html! {
        figure {
            figcaption { (fit(figure.title())) }
            div class="scroll wide" tabindex="0" role="group" aria-label=(fit(figure.title())) { (drawing) }
            p class="under" { (fit(figure.caption())) }
        }
    })
}

fn next_id(figures: &mut usize) -> String {
    *figures += 1;
    format!("figure-{figures}")
}

fn heads(columns: &[Column]) -> Markup {
    html! {
        tr {
            @for column in columns {
                th scope="col" class=(align(column.align)) {
                    (fit(&column.heading))
                    @if let Some(unit) = &column.unit { " " span class="unit" { (fit(unit)) } }
                }
            }
        }
    }
}

const fn align(align: Align) -> &'static str {
    match align {
        Align::Start => "words",
        Align::End => "number",
    }
}

fn table(table: &Table, notes: &mut Notes) -> Result<Markup, Error> {
    let caption = notes.text(&table.caption);
    let mut rows = Vec::new();
    for (index, row) in table.rows.iter().enumerate() {
        if row.cells.len() != table.columns.len() {
            return Err(Error::RowLength {
                table: table.caption.words.clone(),
                row: index + 1,
                cells: row.cells.len(),
                columns: table.columns.len(),
            });
        }
        let cells = row.cells.iter().zip(&table.columns).enumerate();
        rows.push(html! {
            tr {
                @for (place, (cell, column)) in cells {
                    // An empty head of a row heads nothing: its row goes on with the one above.
                    @if place == 0 && !fit(&cell.words).is_empty() {
                        th scope="row" class=(align(column.align)) {
                            @if let Some(mark) = row.mark { (svg::icon(mark)) }
                            (notes.text(cell))
                        }
                    } @else {
                        td class=(align(column.align)) { (notes.text(cell)) }
                    }
                }
            }
        });
    }
    Ok(framed("plain", &caption, &heads(&table.columns), &rows))
}

fn framed(class: &str, caption: &Markup, heads: &Markup, rows: &[Markup]) -> Markup {
    html! {
        div class="scroll" tabindex="0" {
            table class=(class) {
                caption { (caption) }
                thead { (heads) }
                tbody { @for row in rows { (row) } }
            }
        }
    }
}

fn before_after(
    table: &BeforeAfter,
    notes: &mut Notes,
    figures: &mut usize,
) -> Result<Markup, Error> {
    let caption = notes.text(&table.caption);
    let mut columns = vec![Column::words("Number"), Column::words(&table.before)];
    columns.extend(table.after.iter().map(Column::words));
    columns.extend(["Against", "95 % and the limit", "Verdict"].map(Column::words));
    let mut rows = Vec::new();
    for row in &table.rows {
        let id = next_id(figures);
        let picture = svg::limit_bar(row, &id)?;
        rows.push(before_after_row(
            row,
            table.after.is_some(),
            &picture,
            notes,
        ));
    }
    Ok(framed("matter", &caption, &heads(&columns), &rows))
}

fn before_after_row(
    row: &BeforeAfterRow,
    both: bool,
    picture: &Markup,
    notes: &mut Notes,
) -> Markup {
    let against = match &row.bound {
        Bound::AtMost(limit) | Bound::AtLeast(limit) => &limit.words,
        Bound::Unknown(words) => words,
    };
    let stated = |stated: &Option<Stated>| {
        stated
            .as_ref()
            .map_or_else(|| "not taken".to_owned(), |stated| fit(&stated.words))
    };
    html! {
        tr {
            th scope="row" class="words" { (fit(&row.quantity)) }
            td class="stated" { (stated(&row.before)) }
            @if both { td class="stated" { (stated(&row.after)) } }
            td { (notes.text(against)) }
            td class="picture" { (picture) }
            td class={ "verdict-word" @if row.mark != Mark::Taken { " strong" } } {
                (svg::icon(row.mark)) (notes.text(&row.verdict))
            }
        }
    }
}
