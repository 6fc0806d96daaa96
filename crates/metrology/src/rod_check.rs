//! Checks of a gauge against its rod, one after the other: what they ask together, when each by itself was good.
//!
//! Source: theory §4.6; L. S. Nelson (1984), The Shewhart control chart: tests for special causes, J. Quality Technology 16,
//! 237–239, tests 2 and 3 (from memory; ISO 7870-2 has tests of this kind). They need no standard deviation: what a
//! single check may be off by is the shop's own word, and stands beside it.

use crate::finding::Finding;

/// So many checks in a row on one side of the rod are asked about (Nelson's test 2). Of a gauge that is as often
/// above as below, one such row in 256 is chance (eq. 4.12).
pub const ONE_SIDE: usize = 9;
/// So many checks in a row, each higher (or each lower) than the one before, are asked about (Nelson's test 3). Of a
/// gauge that stays as it is, one such row in 360 is chance.
pub const STEADY: usize = 6;

/// A run of checks up to the newest one.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// How many checks it has; the newest is its last.
    pub checks: usize,
    /// What it asks.
    pub finding: Finding,
}

/// The runs in which the newest check stands, and that are long enough to ask about.
///
/// `off` is what each check read less what its rod should read, in divisions, the newest last. A check that reads as
/// the rod ends a run on one side; two that read the same end a steady one.
#[must_use]
pub fn runs(off: &[f64]) -> Vec<Run> {
    let back = || off.iter().rev();
    let side = |above: bool| {
        back()
            .take_while(|off| if above { 0.0 < **off } else { **off < 0.0 })
            .count()
    };
    let steady = |rising: bool| {
        let steps = back().zip(back().skip(1));
        let along = steps.take_while(|(later, earlier)| {
            if rising {
                earlier < later
            } else {
                later < earlier
            }
        });
        along.count() + 1
    };
    let mut runs = Vec::new();
    for (above, word) in [(true, "above"), (false, "below")] {
        let checks = side(above);
        if ONE_SIDE <= checks {
            let says = format!(
                "The last {checks} checks all read {word} the rod: the gauge has moved, or the rod’s value is wrong. \
                 Clean it, check again, and calibrate anew if it stays."
            );
            let finding = Finding::question("rod-one-side", says);
            runs.push(Run { checks, finding });
        }
    }
    for (rising, word) in [(true, "higher"), (false, "lower")] {
        let checks = steady(rising);
        if STEADY <= checks {
            let says = format!(
                "Of the last {checks} checks each read {word} than the one before: the gauge drifts. Look for a worn \
                 pivot, dirt or warmth, and calibrate anew before it leaves what it may be off by."
            );
            let finding = Finding::question("rod-drift", says);
            runs.push(Run { checks, finding });
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn abouts(off: &[f64]) -> Vec<&'static str> {
        runs(off).iter().map(|run| run.finding.about).collect()
    }

    /// Source: counting. Of the 2⁹ ways in which nine checks may lie about the rod, two are on one side; drift is
    /// kept out by making every other step of each side go back.
    #[test]
    fn two_of_all_sign_patterns_of_nine_are_on_one_side() {
        let flagged = (0..1_u32 << ONE_SIDE).filter(|pattern| {
            let off: Vec<f64> = (0..ONE_SIDE)
                .map(|place| {
                    let size = if place % 2 == 0 { 0.2 } else { 0.1 };
                    if pattern >> place & 1 == 1 {
                        size
                    } else {
                        -size
                    }
                })
                .collect();
            abouts(&off).contains(&"rod-one-side")
        });
        assert_eq!(flagged.count(), 2);
    }

    /// Source: counting. Of the 6! orders of six different checks, two are steady.
    #[test]
    fn two_of_all_orders_of_six_are_steady() {
        fn orders(left: &mut Vec<f64>, taken: &mut Vec<f64>, found: &mut [usize; 2]) {
            if left.is_empty() {
                found[0] += 1;
                found[1] += usize::from(abouts(taken).contains(&"rod-drift"));
            }
            for place in 0..left.len() {
                let one = left.remove(place);
                taken.push(one);
                orders(left, taken, found);
                taken.pop();
                left.insert(place, one);
            }
        }
        let mut found = [0; 2];
        let mut checks = vec![-0.3, -0.2, -0.1, 0.1, 0.2, 0.3];
        orders(&mut checks, &mut Vec::new(), &mut found);
        assert_eq!(found, [720, 2]);
    }

    #[test]
    fn run_that_was_broken_is_no_longer_asked_about() {
        let mut off = vec![0.1, 0.2, 0.1, 0.2, 0.1, 0.2, 0.1, 0.2, 0.1];
        assert_eq!(abouts(&off), ["rod-one-side"]);
        off.push(0.0);
        assert!(abouts(&off).is_empty());
        assert_eq!(abouts(&[0.6, 0.5, 0.4, 0.3, 0.2, 0.1]), ["rod-drift"]);
        assert!(abouts(&[0.6, 0.5, 0.4, 0.3, 0.2, 0.2]).is_empty());
        assert!(abouts(&[]).is_empty());
    }

    #[test]
    fn checks_turned_over_ask_the_same() {
        let off = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];
        let turned: Vec<f64> = off.iter().map(|off| -off).collect();
        assert_eq!(abouts(&off), ["rod-one-side", "rod-drift"]);
        assert_eq!(abouts(&turned), abouts(&off));
    }
}
