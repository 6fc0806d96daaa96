//! Footnotes: every source once, numbered in order of appearance.

use crate::document::Text;
use crate::words::fit;
use maud::{Markup, html};

/// The sources met so far.
#[derive(Debug, Default)]
pub(super) struct Notes {
    sources: Vec<String>,
}

impl Notes {
    /// A text with the numbers of its sources behind it.
    pub(super) fn text(&mut self, text: &Text) -> Markup {
        let numbers: Vec<usize> = text
            .sources
            .iter()
            .map(|source| self.number(source))
            .collect();
        html! {
            (fit(&text.words))
            @for number in numbers {
                sup { a href={ "#source-" (number) } aria-label={ "source " (number) } { (number) } }
            }
        }
    }

    fn number(&mut self, source: &str) -> usize {
        let known = self.sources.iter().position(|known| known == source);
        known.unwrap_or_else(|| {
            self.sources.push(source.to_owned());
            self.sources.len() - 1
        }) + 1
    }

    /// The list they point to.
    pub(super) fn list(&self) -> Markup {
        html! {
            @if !self.sources.is_empty() {
                section class="sources" {
                    h2 { "Sources" }
                    ol {
                        @for (index, source) in self.sources.iter().enumerate() {
                            li id={ "source-" (index + 1) } { (fit(source)) }
                        }
                    }
                }
            }
        }
    }
}
