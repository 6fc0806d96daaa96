//! What a plan is asked for.

use crate::class::Class;
use crate::error::Error;
use crate::response::{Mean, Response};
use quantity::Force;
use wheel::SpokeIndex;
use wheel::limit::{Condition, Limit};

/// The smallest turn a hand sets: a whole fraction of a turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step(u32);

impl Step {
    /// An eighth of a turn.
    pub const EIGHTH: Self = Self(8);

    /// One part of so many in a turn; none outside 1 to 64.
    #[must_use]
    pub const fn part_of(parts: u32) -> Option<Self> {
        if 1 <= parts && parts <= 64 {
            Some(Self(parts))
        } else {
            None
        }
    }

    /// Steps in a whole turn.
    #[must_use]
    pub const fn in_a_turn(self) -> u32 {
        self.0
    }

    /// So many steps, in turns.
    #[must_use]
    pub fn turns(self, steps: i64) -> f64 {
        steps as f64 / f64::from(self.0)
    }

    /// The most steps within so many turns.
    pub(crate) fn within(self, turns: f64) -> i64 {
        // A person's 0.3 is a little less than three tenths.
        (turns * f64::from(self.0) + 1e-9).floor().clamp(0.0, 1e6) as i64
    }
}

/// One nipple as it is found.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct NippleState {
    /// It does not turn.
    pub seized: bool,
    /// Turns by which it can still be tightened before the thread ends.
    pub thread_left: Option<f64>,
    /// What touching it costs, in nipples: a hidden one may cost several. Where the wheel gets well into
    /// its class without it, it is left alone; elsewhere turning it must bring a hundredth of the class for each beyond one.
    pub cost: Option<f64>,
}

/// What a plan is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// What counts as good.
    pub class: Class,
    /// Mean tension to be reached; none keeps the level.
    pub mean: Option<Mean>,
    /// What the parts' makers allow.
    pub limits: Vec<Limit>,
    /// Share of its tension that a spoke loses to the tyre, for limits stated with a tyre on.
    pub tyre_loss: Option<f64>,
    /// The smallest turn.
    pub step: Step,
    /// Turns at most for one nipple in one round.
    pub most_turns: f64,
    /// The nipples in the wheel's order; those missing are free, with thread to spare.
    pub nipples: Vec<NippleState>,
    /// Nipples at most.
    pub at_most: Option<usize>,
    /// Plans even where the wheel is already of its class.
    pub go_on: bool,
    /// The probability at which it is said that the wheel is of its class, and that a limit is kept or not.
    pub decide_at: f64,
    /// For the draws behind what to expect.
    pub seed: u64,
}

impl Default for Request {
    fn default() -> Self {
        Self {
            class: Class::default(),
            mean: None,
            limits: Vec::new(),
            tyre_loss: None,
            step: Step::EIGHTH,
            most_turns: MOST_TURNS,
            nipples: Vec::new(),
            at_most: None,
            go_on: false,
            decide_at: 0.95,
            seed: 1,
        }
    }
}

/// Common practice, no source: more than two turns on one nipple in one round is building, not truing.
pub const MOST_TURNS: f64 = 2.0;

impl Request {
    /// Refuses what is no usable number.
    pub(super) fn check(&self) -> Result<(), Error> {
        let class = &self.class;
        let positive = [
            ("the class for runout to the side", class.lateral_fir.to_m()),
            ("the class for runout in and out", class.radial_fir.to_m()),
            ("the class for evenness", class.tension_sd_percent),
            ("the class for dish", class.dish.to_m()),
            ("the class for the mean", class.mean_percent),
            ("the most turns of a nipple", self.most_turns),
            (
                "the mean tension",
                self.mean.map_or(1.0, |mean| mean.tension.to_n()),
            ),
            (
                "what a tyre leaves of the tension",
                1.0 - self.tyre_loss.unwrap_or(0.0),
            ),
            ("the probability to decide at", self.decide_at),
            ("the probability to err", 1.0 - self.decide_at),
        ];
        match positive
            .into_iter()
            .find(|(_, value)| !value.is_finite() || *value <= 0.0)
        {
            Some((what, value)) => Err(Error::Unusable { what, value }),
            None => Ok(()),
        }
    }

    pub(crate) fn nipple(&self, spoke: usize) -> NippleState {
        self.nipples.get(spoke).copied().unwrap_or_default()
    }

    /// What a limit comes to without a tyre; as it stands where nobody knows what the tyre takes away.
    #[must_use]
    pub fn bare(&self, limit: &Limit) -> Force {
        match limit.condition {
            Condition::Bare => limit.tension,
            Condition::Tyred => limit.tension / (1.0 - self.tyre_loss.unwrap_or(0.0)),
        }
    }

    /// The most each spoke may bear without a tyre by the lowest of its limits, N, and that limit's place.
    pub(crate) fn ceilings(&self, response: &Response) -> Vec<Option<(f64, usize)>> {
        let of = |spoke: SpokeIndex| {
            let holds = |limit: &&Limit| {
                limit
                    .side
                    .is_none_or(|side| side == response.sides[spoke.0])
                    && limit
                        .kind
                        .is_none_or(|kind| kind == response.kinds[spoke.0])
            };
            let all = self
                .limits
                .iter()
                .enumerate()
                .filter(|(_, limit)| holds(limit));
            all.map(|(place, limit)| (self.bare(limit).to_n(), place))
                .min_by(|one, other| one.0.total_cmp(&other.0))
        };
        (0..response.spokes())
            .map(|spoke| of(SpokeIndex(spoke)))
            .collect()
    }
}
