//! The writer: a document as one self-contained HTML file.
//!
//! No script, no remote asset; a content policy in the file itself forbids both. Colours follow
//! the screen's scheme, paper is always light.

mod blocks;
mod notes;
mod page;

use crate::document::{Document, Fact, Signature, SignatureLine, Verdict};
use crate::figure::Error;
use crate::svg;
use crate::words::fit;
use maud::{DOCTYPE, Markup, html};
use notes::Notes;

/// The whole file.
///
/// # Errors
/// [`Error::NotFinite`] for a figure with a number that cannot be drawn, [`Error::RowLength`] for a
/// table row that does not fit its columns.
pub fn write(document: &Document) -> Result<String, Error> {
    let mut notes = Notes::default();
    let head = verdict(&document.verdict, &mut notes);
    let about = facts(&document.about, &mut notes);
    let sections = sections(document, &mut notes)?;
    let signature = document
        .signature
        .as_ref()
        .map(|signature| sign(signature, &mut notes));
    let page = html! {
        (DOCTYPE)
        html lang=(fit(&document.lang)) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(page::policy());
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (fit(&document.title)) }
                (page::style())
            }
            body {
                main {
                    header {
                        h1 { (fit(&document.title)) }
                        (head)
                        (about)
                    }
                    (sections)
                    @if let Some(signature) = &signature { (signature) }
                    (notes.list())
                }
                footer { p class="code" { (fit(&document.code_line)) } }
            }
        }
    };
    Ok(page.into_string())
}

/// What the document says, to stand below the head of another page: verdict, sections and notes. Its looks are
/// those of that page.
///
/// # Errors
/// As [`write()`].
pub fn within(document: &Document) -> Result<Markup, Error> {
    let mut notes = Notes::default();
    let head = verdict(&document.verdict, &mut notes);
    let sections = sections(document, &mut notes)?;
    Ok(html! { (head) (sections) (notes.list()) })
}

fn sections(document: &Document, notes: &mut Notes) -> Result<Markup, Error> {
    let mut figures = 0;
    let mut sections = Vec::new();
    for section in &document.sections {
        sections.push(blocks::section(section, notes, &mut figures)?);
    }
    Ok(html! { @for section in &sections { (section) } })
}

fn verdict(verdict: &Verdict, notes: &mut Notes) -> Markup {
    html! {
        section class="verdict" aria-label="Verdict" {
            p class="sentence" { (svg::icon(verdict.standing.mark())) (notes.text(&verdict.sentence)) }
            @if !verdict.grounds.is_empty() {
                ul { @for ground in &verdict.grounds { li { (notes.text(ground)) } } }
            }
        }
    }
}

fn facts(facts: &[Fact], notes: &mut Notes) -> Markup {
    html! {
        @if !facts.is_empty() {
            dl {
                @for fact in facts {
                    div { dt { (fit(&fact.term)) } dd { (notes.text(&fact.says)) } }
                }
            }
        }
    }
}

fn sign(signature: &Signature, notes: &mut Notes) -> Markup {
    html! {
        section class="signature" {
            h2 { "Signature" }
            p { (notes.text(&signature.statement)) }
            @for line in &signature.lines { (signature_line(line)) }
        }
    }
}

fn signature_line(line: &SignatureLine) -> Markup {
    let fields = [
        ("Name", &line.name),
        ("Date", &line.date),
        ("Place", &line.place),
    ];
    html! {
        div class="sign" {
            p class="role" { (fit(&line.role)) }
            dl {
                @for (term, says) in fields {
                    div { dt { (term) } dd { (fit(says)) } }
                }
                div class="hand" { dt { "Signature" } dd {} }
            }
        }
    }
}
