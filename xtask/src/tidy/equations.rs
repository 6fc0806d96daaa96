//! Equations and sections that the code cites: each must stand in `docs/theory`.
//!
//! The theory numbers an equation in bold where it stands, `**(2.14)**`, and a section in its heading,
//! `## 2.3 The end`. The code says `eq. 2.14`, `eqs. 2.3–2.10` or `theory §2.3`.

use std::collections::BTreeMap;

use super::tree::numbered;
use super::{Complaint, Tree};

/// Chapter and number within it, as written: `2.14`.
type Number = (u32, u32);

pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    let mut equations = BTreeMap::new();
    let mut sections = BTreeMap::new();
    for (path, text) in theory(tree) {
        for (line, words) in numbered(text) {
            let twice = |what: String, first: Option<&str>| {
                first.map(|first| {
                    Complaint::at(path, line, format!("{what} already stands in {first}"))
                })
            };
            for number @ (chapter, within) in set_out(words) {
                let first = equations.insert(number, path);
                complaints.extend(twice(format!("equation ({chapter}.{within})"), first));
            }
            if let Some(section) = heading(words) {
                let first = sections.insert(section.clone(), path);
                complaints.extend(twice(format!("section {section}"), first));
            }
        }
    }
    for (path, text) in tree.rust().filter(|(path, _)| path.starts_with("crates/")) {
        for (line, words) in numbered(text) {
            let missing = |what: String| {
                let text = format!("cites {what}, which docs/theory does not hold");
                Complaint::at(path, line, text)
            };
            let absent = cited(words)
                .into_iter()
                .filter(|number| !equations.contains_key(number));
            complaints.extend(
                absent.map(|(chapter, within)| missing(format!("equation ({chapter}.{within})"))),
            );
            let absent = sections_cited(words).filter(|section| !sections.contains_key(section));
            complaints.extend(absent.map(|section| missing(format!("section {section}"))));
        }
    }
    complaints
}

fn theory(tree: &Tree) -> impl Iterator<Item = (&str, &str)> {
    tree.files()
        .filter(|(path, _)| path.starts_with("docs/theory/") && path.ends_with(".md"))
}

/// The equations that a line of the theory sets out: `**(2.14)**`.
fn set_out(line: &str) -> impl Iterator<Item = Number> {
    line.split("**(").skip(1).filter_map(|after| {
        let (number, rest) = number(after)?;
        rest.starts_with(")**").then_some(number)
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
                "# 2. Ring\n## 2.3 The pinch\n> loss = … **(2.11)**\nBy (2.12) it is small.\n",
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

    #[test]
    fn number_given_twice_is_refused() {
        let complaints = check(&Tree::made_up([
            ("docs/theory/hub.md", "# 2. Hub\n> a **(2.1)**\n"),
            (
                "docs/theory/ring.md",
                "# 2. Ring\n> b **(2.1)**\n> c **(2.2)**\n",
            ),
        ]));
        let said: Vec<String> = complaints.iter().map(ToString::to_string).collect();
        assert_eq!(
            said,
            [
                "docs/theory/ring.md:1: section 2 already stands in docs/theory/hub.md",
                "docs/theory/ring.md:2: equation (2.1) already stands in docs/theory/hub.md",
            ]
        );
    }
}
