//! Equations and sections that the code cites: each must stand in `docs/theory`.
//!
//! The theory numbers an equation in round brackets, `(2.14)`, and a section in its heading,
//! `## 2.3 The end`. The code says `eq. 2.14`, `eqs. 2.3–2.10` or `theory §2.3`.

use std::collections::BTreeSet;

use super::tree::numbered;
use super::{Complaint, Tree};

/// Chapter and number within it, as written: `2.14`.
type Number = (u32, u32);

pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut equations = BTreeSet::new();
    let mut sections = BTreeSet::new();
    for (_, text) in theory(tree) {
        for (_, line) in numbered(text) {
            equations.extend(bracketed(line));
            sections.extend(heading(line));
        }
    }
    let mut complaints = Vec::new();
    for (path, text) in tree.rust().filter(|(path, _)| path.starts_with("crates/")) {
        for (line, words) in numbered(text) {
            for number in cited(words)
                .into_iter()
                .filter(|number| !equations.contains(number))
            {
                let (chapter, within) = number;
                complaints.push(Complaint::at(
                    path,
                    line,
                    format!("cites equation ({chapter}.{within}), which docs/theory does not hold"),
                ));
            }
            for section in sections_cited(words).filter(|section| !sections.contains(section)) {
                complaints.push(Complaint::at(
                    path,
                    line,
                    format!("cites section {section}, which docs/theory does not hold"),
                ));
            }
        }
    }
    complaints
}

fn theory(tree: &Tree) -> impl Iterator<Item = (&str, &str)> {
    tree.files()
        .filter(|(path, _)| path.starts_with("docs/theory/") && path.ends_with(".md"))
}

/// The numbers in round brackets in a line: `(2.14)`.
fn bracketed(line: &str) -> impl Iterator<Item = Number> {
    line.split('(').skip(1).filter_map(|after| {
        let (number, rest) = number(after)?;
        rest.starts_with(')').then_some(number)
    })
}

/// The number of a heading, `2` or `2.3`.
fn heading(line: &str) -> Option<String> {
    let word = line.trim_start_matches('#').split_whitespace().next()?;
    let number = word.trim_end_matches('.');
    (line.starts_with('#') && is_section(number)).then(|| number.to_string())
}

fn is_section(text: &str) -> bool {
    text.split('.')
        .all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()))
}

/// The sections of the theory that a line of code cites.
fn sections_cited(line: &str) -> impl Iterator<Item = String> {
    line.split("theory §").skip(1).filter_map(|after| {
        let end = after
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(after.len());
        let section = after[..end].trim_end_matches('.');
        is_section(section).then(|| section.to_string())
    })
}

/// The equations that a line of code cites, those between the ends of a range included.
fn cited(line: &str) -> Vec<Number> {
    let mut found: Vec<Number> = Vec::new();
    let openings = ["eq. ", "eqs. "];
    for opening in openings {
        for (at, _) in line.match_indices(opening) {
            let mut rest = &line[at + opening.len()..];
            let mut range = false;
            while let Some((next, after)) = number(rest.trim_start_matches(['(', ' '])) {
                if let (true, Some(&(chapter, from))) = (range, found.last())
                    && chapter == next.0
                {
                    found.extend((from + 1..next.1).map(|within| (chapter, within)));
                }
                found.push(next);
                let after = after.trim_start_matches([')', ' ']);
                range = after.starts_with(['–', '-']) || after.starts_with("to ");
                let joints = [",", "–", "-", "to ", "and ", "or "];
                match joints.iter().find_map(|joint| after.strip_prefix(joint)) {
                    Some(after) => rest = after,
                    None => break,
                }
            }
        }
    }
    found
}

/// The equation's number at the start of a text, and what follows it.
fn number(text: &str) -> Option<(Number, &str)> {
    let (chapter, rest) = digits(text)?;
    let (within, rest) = digits(rest.strip_prefix('.')?)?;
    Some(((chapter, within), rest))
}

fn digits(text: &str) -> Option<(u32, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    Some((text[..end].parse().ok()?, &text[end..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn citation_is_read_in_all_its_forms() {
        for (line, expected) in [
            ("/// The factor (eq. 1.10).", vec![(1, 10)]),
            ("// eq. 2.11", vec![(2, 11)]),
            (
                "/// (eq. 1.14, 1.15 and 2.1)",
                vec![(1, 14), (1, 15), (2, 1)],
            ),
            (
                "/// Source: theory eqs. 2.3–2.6.",
                vec![(2, 3), (2, 4), (2, 5), (2, 6)],
            ),
            (
                "/// eqs. (2.3) to (2.5), at 3.5 m",
                vec![(2, 3), (2, 4), (2, 5)],
            ),
            ("seq. 2 of 3", vec![]),
        ] {
            assert_eq!(cited(line), expected, "{line}");
        }
    }

    #[test]
    fn equation_or_section_that_the_theory_does_not_hold_is_refused() {
        let complaints = check(&Tree::made_up([
            (
                "docs/theory/ring.md",
                "# 2. Ring\n## 2.3 The pinch\n> loss = … **(2.11)**\n",
            ),
            (
                "crates/mechanics/src/ring.rs",
                "// eq. 2.11\n// theory §2.3, eq. 2.12\n// theory §2.4.\n",
            ),
        ]));
        let said: Vec<String> = complaints.iter().map(ToString::to_string).collect();
        assert_eq!(
            said,
            [
                "crates/mechanics/src/ring.rs:2: cites equation (2.12), which docs/theory does not hold",
                "crates/mechanics/src/ring.rs:3: cites section 2.4, which docs/theory does not hold",
            ]
        );
    }
}
