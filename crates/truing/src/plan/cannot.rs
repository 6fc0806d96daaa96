//! What turns cannot mend, and why.

use super::bench::{Bench, Bounded};
use crate::class::Criterion;
use crate::estimator::{Estimate, Hop};
use crate::search::Binding;
use crate::weighing::{Frame, NoTurns, Weighed, after, weigh};
use quantity::{Angle, Force};
use wheel::{Side, SpokeIndex};

/// Share of all weight left to tension when the rim alone is asked to run true.
const BARELY: f64 = 1e-3;

/// Something that turns do not mend.
#[derive(Debug, Clone, PartialEq)]
pub enum Cannot {
    /// The rim is bent: to run true, neighbours on one side would need tensions far from their mean, in opposite ways.
    BentRim {
        /// Half way between the two.
        at: Angle,
        /// The tighter one and what it would need.
        tight: (SpokeIndex, Force),
        /// The slacker one and what it would need.
        slack: (SpokeIndex, Force),
        /// Share of the class that no turns at all fall below: proven.
        at_least: f64,
    },
    /// The rim steps out of its shape, as at a joint.
    Hop(Hop),
    /// No turns bring every spoke surely within its limit: these limits and bounds exclude each other. What is turned
    /// takes none further over.
    Excluded {
        /// Spokes whose limit is among them.
        limits: Vec<SpokeIndex>,
        /// Spokes that would go slack.
        slack: Vec<SpokeIndex>,
        /// Spokes whose nipple does not turn, or whose thread ends.
        nipples: Vec<SpokeIndex>,
        /// Spokes whose nipple has been turned as far as one round asks for: another round goes on.
        round: Vec<SpokeIndex>,
    },
    /// Turns that bring every spoke surely within its limit were not found in time; there may be some. What is turned takes
    /// none further over.
    NotFoundInTime,
    /// The mean that a side is to have leaves its spokes no room under their limits.
    MeanTooHigh {
        /// The side.
        side: Side,
        /// The mean that it is to have, or has where the level is kept.
        wanted: Force,
        /// What every spoke there may surely bear, by its limit and what is not known of its tension.
        surely: Force,
        /// A mean at which a side that is as uneven as its class allows stays below that.
        at_most: Force,
    },
    /// Spokes at their limit hold the plan back.
    AtLimit {
        /// Those spokes.
        spokes: Vec<SpokeIndex>,
    },
    /// Nipples that do not turn hold the plan back.
    Seized {
        /// Their spokes.
        spokes: Vec<SpokeIndex>,
    },
    /// Threads that end hold the plan back.
    ThreadEnds {
        /// Their spokes.
        spokes: Vec<SpokeIndex>,
    },
    /// More turns in one round than asked for: another round goes on.
    AnotherRound {
        /// Nipples at the most turns of a round.
        spokes: Vec<SpokeIndex>,
    },
    /// No order of work has room for all of the turns without taking a spoke over its limit on the way: another round
    /// goes on.
    NoRoomOnTheWay {
        /// Spokes of which less is turned than would be best.
        spokes: Vec<SpokeIndex>,
    },
    /// The class is out of reach of these nipples though nothing in particular is in the way.
    OutOfReach {
        /// What is worst.
        criterion: Criterion,
        /// Share of the class that no turns fall below: proven.
        at_least: f64,
    },
}

/// What holds a spoke or its nipple.
enum Holder {
    /// Its limit.
    Limit(SpokeIndex),
    /// That it would go slack.
    Slack(SpokeIndex),
    /// Its nipple does not turn.
    Seized(SpokeIndex),
    /// Its thread ends.
    Thread(SpokeIndex),
    /// The most turns of one round.
    Round(SpokeIndex),
}

/// Standard deviations above their mean within which hardly a spoke of a side stands out.
const STANDS_OUT: f64 = 2.0;

impl Bench<'_> {
    /// The sides whose mean lies above what their spokes may surely bear.
    pub(super) fn too_high(&self) -> Vec<Cannot> {
        let groups = self.response.groups.iter().filter_map(|group| {
            let bears = group
                .spokes
                .iter()
                .filter_map(|&spoke| self.most_n(spoke, true));
            let surely_n = bears.min_by(f64::total_cmp)?;
            let uneven = self.request.class.tension_sd_percent / 100.0;
            (surely_n < group.even_n).then(|| Cannot::MeanTooHigh {
                side: group.side,
                wanted: Force::n(group.even_n),
                surely: Force::n(surely_n),
                at_most: Force::n((surely_n / (1.0 + STANDS_OUT * uneven)).max(0.0)),
            })
        });
        groups.collect()
    }

    /// Why no turns bring every spoke surely within its limit.
    pub(super) fn not_within(&self, why: &NoTurns) -> Cannot {
        let NoTurns::Excluded(binding) = why else {
            return Cannot::NotFoundInTime;
        };
        let (mut limits, mut slack, mut nipples, mut round) = (vec![], vec![], vec![], vec![]);
        for binding in binding {
            match self.holder(*binding) {
                Holder::Limit(spoke) => limits.push(spoke),
                Holder::Slack(spoke) => slack.push(spoke),
                Holder::Seized(spoke) | Holder::Thread(spoke) => nipples.push(spoke),
                Holder::Round(spoke) => round.push(spoke),
            }
        }
        for spokes in [&mut limits, &mut slack, &mut nipples, &mut round] {
            spokes.sort_unstable();
            spokes.dedup();
        }
        Cannot::Excluded {
            limits,
            slack,
            nipples,
            round,
        }
    }

    /// What a bound or limit of the search stands for.
    fn holder(&self, binding: Binding) -> Holder {
        let (nipple, is_most) = match binding {
            Binding::Fewest(nipple) => (nipple, false),
            Binding::Most(nipple) => (nipple, true),
            Binding::Limit(limit) => {
                return match self.bounded(limit) {
                    Bounded::Above(spoke) => Holder::Limit(spoke),
                    Bounded::Below(spoke) => Holder::Slack(spoke),
                };
            }
        };
        let (spoke, state) = (SpokeIndex(nipple), self.request.nipple(nipple));
        let ends = state
            .thread_left
            .is_some_and(|left| left < self.request.most_turns);
        match (state.seized, ends && is_most) {
            (true, _) => Holder::Seized(spoke),
            (false, true) => Holder::Thread(spoke),
            (false, false) => Holder::Round(spoke),
        }
    }

    /// Why a plan does not bring the wheel into its class.
    pub(super) fn cannot(
        &self,
        frame: &Frame,
        weighed: &Weighed,
        estimate: &Estimate,
        stop: &mut dyn FnMut() -> bool,
    ) -> Vec<Cannot> {
        let mut all = self.held(frame, weighed);
        all.extend(estimate.learned.hops.iter().map(|hop| Cannot::Hop(*hop)));
        let free = Frame {
            lower: vec![-FREELY; self.response.spokes()],
            upper: vec![FREELY; self.response.spokes()],
            limits: Vec::new(),
        };
        // What was not read is a guess, and nothing is proven by it.
        if self.objective.is_read()
            && let Ok(freely) = weigh(&self.objective, &free, stop)
            && 1.0 < freely.at_least
        {
            all.extend(self.bent(&free, &freely));
            if all.is_empty() {
                let worst = self.objective.worst_known(&self.after(&freely.steps));
                all.extend(worst.map(|(criterion, _)| Cannot::OutOfReach {
                    criterion,
                    at_least: freely.at_least,
                }));
            }
        }
        all
    }

    /// The bounds and limits that push against the best turns.
    fn held(&self, frame: &Frame, weighed: &Weighed) -> Vec<Cannot> {
        let problem = frame.problem(&self.objective, &weighed.weights);
        let mut held = problem.held();
        held.sort_by_key(|binding| match binding {
            Binding::Fewest(nipple) | Binding::Most(nipple) => *nipple,
            Binding::Limit(limit) => *limit,
        });
        let (mut seized, mut threads, mut round, mut limited) = (vec![], vec![], vec![], vec![]);
        for binding in held {
            match self.holder(binding) {
                Holder::Seized(spoke) => seized.push(spoke),
                Holder::Thread(spoke) => threads.push(spoke),
                Holder::Round(spoke) => round.push(spoke),
                Holder::Limit(spoke) => limited.push(spoke),
                Holder::Slack(_) => {}
            }
        }
        let mut all = Vec::new();
        let mut push = |spokes: Vec<SpokeIndex>, of: fn(Vec<SpokeIndex>) -> Cannot| {
            if !spokes.is_empty() {
                all.push(of(spokes));
            }
        };
        push(limited, |spokes| Cannot::AtLimit { spokes });
        push(seized, |spokes| Cannot::Seized { spokes });
        push(threads, |spokes| Cannot::ThreadEnds { spokes });
        push(round, |spokes| Cannot::AnotherRound { spokes });
        all
    }

    /// The pair of neighbours that a true rim would want farthest apart.
    fn bent(&self, free: &Frame, freely: &Weighed) -> Option<Cannot> {
        let mut weights = self.objective.even_weights();
        weights.mind_the_rim(self.objective.criteria(), BARELY);
        let (turns, _) = free.problem(&self.objective, &weights).relaxed().ok()?;
        let wanted_n = after(&self.objective, &turns).tension_n;
        let mut worst: Option<(f64, usize, usize)> = None;
        for group in self
            .response
            .groups
            .iter()
            .filter(|group| group.spokes.len() > 1)
        {
            let apart = |spoke: usize| wanted_n[spoke] / group.even_n - 1.0;
            for (place, &one) in group.spokes.iter().enumerate() {
                let other = group.spokes[(place + 1) % group.spokes.len()];
                let (high, low) = if apart(one) < apart(other) {
                    (other, one)
                } else {
                    (one, other)
                };
                let spread = apart(high) - apart(low);
                let opposite = apart(high) > 0.0 && apart(low) < 0.0;
                if opposite && worst.is_none_or(|(most, ..)| most < spread) {
                    worst = Some((spread, high, low));
                }
            }
        }
        let (spread, high, low) = worst?;
        if spread < 2.0 * self.request.class.tension_sd_percent / 100.0 {
            return None;
        }
        let seats = &self.response.seats;
        let (sine, cosine) = (
            seats[high].sin() + seats[low].sin(),
            seats[high].cos() + seats[low].cos(),
        );
        Some(Cannot::BentRim {
            at: Angle::rad(sine.atan2(cosine).rem_euclid(std::f64::consts::TAU)),
            tight: (SpokeIndex(high), Force::n(wanted_n[high])),
            slack: (SpokeIndex(low), Force::n(wanted_n[low])),
            at_least: freely.at_least,
        })
    }
}

/// Steps that no wheel needs: with these bounds a nipple is free.
const FREELY: i64 = 10_000;
