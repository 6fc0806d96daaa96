//! What the build server runs: the lanes in turn, their times, and one plain line at the end.

use std::fmt::Write;
use std::time::{Duration, Instant};

use anyhow::Result;

use crate::checkout::Checkout;
use crate::lane::{LANES, Lane, Outcome};

/// The lanes of the build server: the quickest to refuse first.
const ASKED: [&str; 9] = [
    "tidy", "lint", "test", "ledger", "oracle", "fuzz", "demo", "pages", "stand",
];

/// How one lane ended, and after how long.
struct Ended<'a> {
    lane: &'a Lane,
    outcome: Result<Outcome>,
    took: Duration,
}

/// Runs every lane that the build server asks, the later ones also when an earlier one failed.
pub(crate) fn ci(checkout: &Checkout, _words: &[String]) -> Result<Outcome> {
    let mut ended = Vec::new();
    for lane in ASKED
        .iter()
        .filter_map(|word| LANES.iter().find(|lane| lane.word == *word))
    {
        let (outcome, took) = timed(|| lane.start(checkout, &[]));
        if let Err(trouble) = &outcome {
            println!("{}", lane.failed(trouble));
        }
        println!();
        ended.push(Ended {
            lane,
            outcome,
            took,
        });
    }
    print!("{}", table(&ended));
    let well = |ended: &Ended<'_>| matches!(ended.outcome, Ok(Outcome::Done | Outcome::Skipped(_)));
    Ok(if ended.iter().all(well) {
        Outcome::Done
    } else {
        Outcome::Told
    })
}

/// What something gives, and how long it took.
#[expect(
    clippy::disallowed_methods,
    reason = "times are told to a person and decide nothing"
)]
fn timed<T>(what: impl FnOnce() -> T) -> (T, Duration) {
    let from = Instant::now();
    let given = what();
    (given, from.elapsed())
}

/// The lanes with their times and endings, and the counts in a last line.
fn table(ended: &[Ended<'_>]) -> String {
    let mut text = format!("{:<10} {:>7}  ending\n", "lane", "time");
    let (mut passed, mut failed, mut skipped) = (0, 0, 0);
    for Ended {
        lane,
        outcome,
        took,
    } in ended
    {
        let ending = match outcome {
            Ok(Outcome::Done) => {
                passed += 1;
                "passed".to_string()
            }
            Ok(Outcome::Skipped(why)) => {
                skipped += 1;
                format!("skipped: {why}")
            }
            Ok(Outcome::Told) | Err(_) => {
                failed += 1;
                format!("FAILED, alone: cargo xtask {}", lane.word)
            }
        };
        let _ = writeln!(text, "{:<10} {:>5} s  {ending}", lane.word, took.as_secs());
    }
    let _ = write!(text, "\n{passed} passed, {failed} failed");
    if skipped > 0 {
        let _ = write!(text, ", {skipped} skipped");
    }
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ended(index: usize, outcome: Result<Outcome>) -> Ended<'static> {
        Ended {
            lane: &LANES[index],
            outcome,
            took: Duration::from_secs(3),
        }
    }

    #[test]
    fn last_line_counts_the_lanes() {
        let all_well = table(&[ended(0, Ok(Outcome::Done)), ended(1, Ok(Outcome::Done))]);
        assert_eq!(all_well.lines().last(), Some("2 passed, 0 failed"));
        let mixed = table(&[
            ended(0, Ok(Outcome::Done)),
            ended(1, Err(anyhow::anyhow!("no"))),
            ended(2, Ok(Outcome::Skipped("no browser".into()))),
        ]);
        assert_eq!(mixed.lines().last(), Some("1 passed, 1 failed, 1 skipped"));
        assert!(mixed.contains("cargo xtask lint"));
        assert!(mixed.contains("no browser"));
    }

    #[test]
    fn every_lane_of_the_build_server_exists() {
        for word in ASKED {
            assert!(LANES.iter().any(|lane| lane.word == word), "{word}");
        }
    }
}
