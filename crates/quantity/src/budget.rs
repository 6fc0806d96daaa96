//! The uncertainty budget: which source puts how much into a value.

use crate::uncertain::{Expanded, Part, Sources, Uncertain, effective_degrees_of_freedom};

/// What a value's uncertainty is made of, largest part first.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// The value it is about.
    pub value: f64,
    /// Its standard uncertainty: the root of the sum of the lines' squares.
    pub u: f64,
    /// Its expanded uncertainty.
    pub expanded: Expanded,
    /// One line a label, by falling share; equals in the order in which they were registered.
    pub lines: Vec<Line>,
}

/// All that sources of one label put into a value.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The label of the sources.
    pub label: String,
    /// Their standard uncertainty times sensitivity, in the value's unit.
    pub contribution: f64,
    /// Their part of the variance, from 0 to 1 (eq. 1.11).
    pub share: f64,
    /// How well the contribution is known (eq. 1.9).
    pub degrees_of_freedom: f64,
}

impl Budget {
    /// The budget of a value that these sources stand behind; without lines when it is exact.
    #[must_use]
    pub fn of(sources: &Sources, value: &Uncertain) -> Self {
        let mut groups: Vec<Vec<Part<'_>>> = Vec::new();
        for part in sources.parts(value) {
            match groups.iter_mut().find(|group| group[0].label == part.label) {
                Some(group) => group.push(part),
                None => groups.push(vec![part]),
            }
        }
        let total = value.variance();
        let line = |group: Vec<Part<'_>>| {
            let variance: f64 = group.iter().map(|part| part.variance).sum();
            Line {
                label: group[0].label.to_owned(),
                contribution: variance.sqrt(),
                share: variance / total,
                degrees_of_freedom: effective_degrees_of_freedom(&group),
            }
        };
        let mut lines: Vec<Line> = groups.into_iter().map(line).collect();
        lines.sort_by(|one, two| two.share.total_cmp(&one.share));
        Self {
            value: value.value(),
            u: value.u(),
            expanded: sources.expanded(value),
            lines,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sources_of_one_label_share_a_line_and_the_largest_stands_first() {
        let mut sources = Sources::new();
        let mut add = |label, u| sources.add(label, 100.0, u, 10.0).expect("a good source");
        let (cell, first, second) = (
            add("load cell", 3.0),
            add("reading", 4.0),
            add("reading", 4.0),
        );
        let budget = Budget::of(&sources, &(&(&cell + &first) - &second));
        let labels: Vec<&str> = budget
            .lines
            .iter()
            .map(|line| line.label.as_str())
            .collect();
        assert_eq!(labels, ["reading", "load cell"]);
        assert!((budget.lines[0].share - 32.0 / 41.0).abs() < 1e-15);
        assert!((budget.lines[0].contribution - 32.0_f64.sqrt()).abs() < 1e-14);
        assert!((budget.lines[0].degrees_of_freedom - 20.0).abs() < 1e-12);
    }

    #[test]
    fn what_cancels_is_not_in_the_budget() {
        let mut sources = Sources::new();
        let scale = sources
            .add("scale", 1.0, 0.1, f64::INFINITY)
            .expect("a good source");
        let budget = Budget::of(&sources, &(&scale / &scale));
        assert_eq!(
            (budget.u, budget.lines.len(), budget.expanded.half_width),
            (0.0, 0, 0.0)
        );
    }
}
