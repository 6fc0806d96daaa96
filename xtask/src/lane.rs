//! The lanes there are, what each is for, and the help that says so.

use std::fmt::Write;

use anyhow::Result;

use crate::checkout::Checkout;
use crate::{bench, ci, demo, figure, fuzz, ledger, lint, oracle, pages, stand, test, tidy};

/// How a lane ended that could be carried out, or said why not.
#[derive(Debug, PartialEq)]
pub(crate) enum Outcome {
    /// Everything was done and is well.
    Done,
    /// It could not be done here, for this reason.
    Skipped(String),
    /// Something is not well, and the lane has said what.
    Told,
}

/// A lane of `cargo xtask`.
#[derive(Debug)]
pub(crate) struct Lane {
    /// The word that starts it.
    pub word: &'static str,
    /// What it does, in one line.
    pub does: &'static str,
    run: fn(&Checkout, &[String]) -> Result<Outcome>,
}

/// Every lane, in the order in which the help shows them.
pub(crate) const LANES: [Lane; 15] = [
    Lane {
        word: "tidy",
        does: "layout, imports, names, citations: the rules no compiler checks",
        run: tidy::tidy,
    },
    Lane {
        word: "lint",
        does: "formatting, clippy and the documentation, every warning an error",
        run: lint::lint,
    },
    Lane {
        word: "test",
        does: "every test and every example in the documentation",
        run: test::test,
    },
    Lane {
        word: "validate",
        does: "only the tests that hold the code against outside sources",
        run: test::validate,
    },
    Lane {
        word: "ledger",
        does: "the ledger's story on a PostgreSQL server of its own [kills | scale]",
        run: ledger::ledger,
    },
    Lane {
        word: "oracle",
        does: "the outside programs behind validation/, run anew [heavy] [CASE…]",
        run: oracle::oracle,
    },
    Lane {
        word: "fuzz",
        does: "every fuzz target for 10 seconds each [SECONDS]",
        run: fuzz::fuzz,
    },
    Lane {
        word: "demo",
        does: "the whole job on invented wheels; says where the reports are",
        run: demo::demo,
    },
    Lane {
        word: "pages",
        does: "the demo's reports in a browser: screen, print, accessibility",
        run: pages::pages,
    },
    Lane {
        word: "stand",
        does: "a builder's journeys through the pages, in a browser [JOURNEY…]",
        run: stand::stand,
    },
    Lane {
        word: "load",
        does: "eight clients at the pages for a minute: what they wait for, that nothing is lost [SECONDS [FOLDER]]",
        run: stand::load,
    },
    Lane {
        word: "wheels",
        does: "rounds of truing on many virtual wheels, how they ended [WHEELS of each kind]",
        run: test::wheels,
    },
    Lane {
        word: "bench",
        does: "the speed of what a person waits for [BENCH…]",
        run: bench::bench,
    },
    Lane {
        word: "figure",
        does: "draws the README's figure [VISIT]",
        run: figure::figure,
    },
    Lane {
        word: "ci",
        does: "what the build server runs, with a table of the times",
        run: ci::ci,
    },
];

impl Lane {
    /// Runs the lane, saying first what it does.
    pub(crate) fn start(&self, checkout: &Checkout, words: &[String]) -> Result<Outcome> {
        println!("== {}: {}", self.word, self.does);
        (self.run)(checkout, words)
    }

    /// What to say when the lane failed, and how to run it alone.
    pub(crate) fn failed(&self, trouble: &anyhow::Error) -> String {
        format!(
            "lane `{0}` failed: {trouble:#}\nrun it alone: cargo xtask {0}",
            self.word
        )
    }
}

/// What `cargo xtask` can do.
pub(crate) fn help() -> String {
    let mut text = String::from(
        "The project's chores.\n\n\
         usage: cargo xtask LANE\n\n\
         lanes:\n",
    );
    for lane in &LANES {
        let _ = writeln!(text, "  {:<9} {}", lane.word, lane.does);
    }
    text.push_str(
        "\nBegin with `cargo xtask demo`: it runs the whole job on invented wheels and says where\n\
         the report is. Before a change is handed in, `cargo xtask ci` must end without a failure.\n",
    );
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn help_names_every_lane_once() {
        let help = help();
        for lane in &LANES {
            let line = format!("  {:<9} {}", lane.word, lane.does);
            assert_eq!(help.matches(&line).count(), 1, "{}", lane.word);
        }
    }

    #[test]
    fn failed_lane_says_how_to_run_it_alone() {
        let said = LANES[0].failed(&anyhow::anyhow!("two complaints"));
        assert!(said.contains("two complaints"));
        assert!(said.contains("cargo xtask tidy"));
    }
}
