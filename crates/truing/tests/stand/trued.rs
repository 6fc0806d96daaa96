//! Rounds of reading, planning and turning on one virtual wheel.

use super::Hidden;
use quantity::distribution::normal_quantile;
use quantity::draws::Draws;
use quantity::{Force, Length};
use truing::estimator::PITCH_MM;
use truing::plan::{Enough, plan};
use truing::{Class, Estimate, Mean, Noise, Readings, Request, Response, Round};
use wheel::limit::{Condition, Limit, Part};

/// What is read, and what a hand does.
const GAUGE: f64 = 0.025;
const DIAL_MM: f64 = 0.02;
const TURN: f64 = 0.05;

/// The highest tension that the rim's maker allows, of the target.
const LIMIT: f64 = 1.15;

/// How the hidden rim runs at even tension, and what is asked of the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Shape {
    /// Peaks of 0.12 mm each way.
    Fine,
    /// Peaks of 0.25 mm to the side and 0.20 mm in and out.
    Bent,
}

impl Shape {
    pub(crate) const BOTH: [Self; 2] = [Self::Fine, Self::Bent];

    pub(crate) const fn peaks_mm(self) -> [f64; 2] {
        match self {
            Self::Fine => [0.12, 0.12],
            Self::Bent => [0.25, 0.20],
        }
    }

    /// Runout to the side, in and out (mm), unevenness (%).
    pub(crate) const fn asked(self) -> [f64; 3] {
        match self {
            Self::Fine => [0.20, 0.25, 5.0],
            Self::Bent => [0.30, 0.30, 6.0],
        }
    }
}

pub(crate) fn class(shape: Shape) -> Class {
    let [lateral, radial, sd] = shape.asked();
    Class {
        lateral_fir: Length::mm(lateral),
        radial_fir: Length::mm(radial),
        tension_sd_percent: sd,
        ..Class::default()
    }
}

/// The rim's maker's limit for a wheel with this mean.
pub(crate) fn limit(mean: Mean) -> Limit {
    Limit {
        part: Part::Rim,
        tension: mean.tension * LIMIT,
        condition: Condition::Bare,
        source: "made up for this test".into(),
        noted: "2026-01-01".into(),
        side: None,
        kind: None,
    }
}

/// How a wheel ended.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Trued {
    pub(crate) rounds: usize,
    /// Nipples touched in each round, all rounds together, and the sum of their turns.
    pub(crate) touched: usize,
    pub(crate) turns: f64,
    pub(crate) way: OnTheWay,
    pub(crate) lateral_mm: f64,
    pub(crate) radial_mm: f64,
    pub(crate) sd_percent: f64,
    /// Mean off its target, as a share.
    pub(crate) mean_off: f64,
}

/// What a wheel bore on the way, all rounds together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct OnTheWay {
    /// By how much a tension would have gone over the limit, or above where it started over it, had every turn come out
    /// as told.
    pub(crate) over_n: f64,
    /// Of it, what had not been told.
    pub(crate) untold_n: f64,
    /// By how much what was most over the limit at the start would have been exceeded by any, had every turn come out as told.
    pub(crate) highest_raised_n: f64,
    /// By how much a tension did go over with the turns as they came out.
    pub(crate) came_out_over_n: f64,
    /// Whether one that started within its limit went over it by more than the plan had told.
    pub(crate) left_its_limit: bool,
    /// Whether one that started over its limit rose above there by more than told and more than the stated uncertainty of
    /// the turns has room for.
    pub(crate) is_beyond_the_hand: bool,
    /// What the plans had told at most.
    pub(crate) told_n: f64,
    /// Visits to one nipple in one round, at most.
    pub(crate) visits: usize,
    /// By how much the first step at least lifts a spoke over its limit, or above where it started over it, whichever nipple
    /// is turned by it and whichever way: of the round in which that is most.
    pub(crate) first_step_n: f64,
}

impl OnTheWay {
    /// The worse of both, number by number.
    pub(crate) fn and(self, other: Self) -> Self {
        Self {
            over_n: self.over_n.max(other.over_n),
            untold_n: self.untold_n.max(other.untold_n),
            highest_raised_n: self.highest_raised_n.max(other.highest_raised_n),
            came_out_over_n: self.came_out_over_n.max(other.came_out_over_n),
            left_its_limit: self.left_its_limit || other.left_its_limit,
            is_beyond_the_hand: self.is_beyond_the_hand || other.is_beyond_the_hand,
            told_n: self.told_n.max(other.told_n),
            visits: self.visits.max(other.visits),
            first_step_n: self.first_step_n.max(other.first_step_n),
        }
    }
}

/// At most three rounds by the plan.
pub(crate) fn trued(hidden: Hidden, shape: Shape, seed: u64) -> Trued {
    let seats: Vec<_> = hidden
        .wheel
        .spokes
        .iter()
        .map(|spoke| spoke.seat_angle())
        .collect();
    let (response, _) =
        Response::about(&hidden.wheel, Some(hidden.mean), seats).expect("a response");
    let request = Request {
        class: class(shape),
        mean: Some(hidden.mean),
        limits: vec![limit(hidden.mean)],
        ..Request::default()
    };
    let mut rounds: Vec<Round> = Vec::new();
    worked(hidden, seed, |readings| {
        if let (Some(last), Some(Done { turned, .. })) = (rounds.last_mut(), &readings.last) {
            last.turned.clone_from(turned);
        }
        rounds.push(Round {
            readings: readings.read,
            turned: Vec::new(),
        });
        let estimate = Estimate::of(&response, &rounds, &Noise::default()).expect("an estimate");
        let plan = plan(&response, &estimate, &request, &mut || false).expect("a plan");
        // Of a wheel that most likely is of its class it is never said that it is not.
        let is_of_it = plan.now.worst_share.value <= 1.0;
        assert!(!is_of_it || plan.enough != Some(Enough::WithinTheNoise));
        let turns = plan.turns.iter();
        Doing {
            turns: turns.map(|turn| (turn.spoke.0, turn.turns)).collect(),
            told_over_n: plan.over_on_the_way.map_or(0.0, Force::to_n),
        }
    })
}

/// What a mechanic sees at the start of a round.
pub(crate) struct Seen {
    pub(crate) read: Readings,
    pub(crate) last: Option<Done>,
}

/// What was told to be turned in the round before.
#[derive(Clone)]
pub(crate) struct Done {
    pub(crate) turned: Vec<f64>,
}

/// What a mechanic is about to do.
pub(crate) struct Doing {
    /// Spokes and turns, in the order of work.
    pub(crate) turns: Vec<(usize, f64)>,
    /// By how much he knows that he will go over a limit.
    pub(crate) told_over_n: f64,
}

/// Probability at which the hand's scatter is within its stated uncertainty, all spokes together: that at which a plan
/// keeps limits.
const SURELY: f64 = 0.95;

/// At most three rounds, the turns by whoever looks at the readings.
pub(crate) fn worked(
    mut hidden: Hidden,
    seed: u64,
    mut mechanic: impl FnMut(Seen) -> Doing,
) -> Trued {
    let mut draws = Draws::stream(seed, 7);
    let mut trued = Trued::default();
    let mut last: Option<Done> = None;
    for _ in 0..3 {
        let read = hidden.read(&mut draws, GAUGE, DIAL_MM);
        let doing = mechanic(Seen {
            read,
            last: last.take(),
        });
        if doing.turns.is_empty() {
            break;
        }
        trued.rounds += 1;
        let mut touched: Vec<usize> = doing.turns.iter().map(|(spoke, _)| *spoke).collect();
        touched.sort_unstable();
        touched.dedup();
        trued.touched += touched.len();
        trued.way = trued.way.and(turned(&mut hidden, &doing, &mut draws));
        let mut turned = vec![0.0; hidden.wheel.spokes.len()];
        for (spoke, turns) in doing.turns {
            turned[spoke] += turns;
            trued.turns += turns.abs();
        }
        last = Some(Done { turned });
    }
    let truth = hidden.truth();
    trued.lateral_mm = truth.lateral_fir();
    trued.radial_mm = truth.radial_fir();
    trued.sd_percent = truth.sd_percent(&hidden.wheel);
    let target: Force = hidden.mean.tension;
    trued.mean_off = truth.mean_n(&hidden.wheel, hidden.mean.side) / target.to_n() - 1.0;
    trued
}

/// Turns one round, and what the wheel bears on the way: it, whose turns come out off, and its twin, whose turns come
/// out as told.
fn turned(hidden: &mut Hidden, doing: &Doing, draws: &mut Draws) -> OnTheWay {
    let mut twin = hidden.clone();
    let limit_n = hidden.mean.tension.to_n() * LIMIT;
    let start_n = hidden.tensions_n();
    let allowed_n: Vec<f64> = start_n.iter().map(|now| now.max(limit_n)).collect();
    let highest_n = allowed_n.iter().copied().fold(limit_n, f64::max);
    let sigmas = normal_quantile(SURELY.powf(1.0 / allowed_n.len() as f64));
    let mut by_hand = vec![0.0; allowed_n.len()];
    let mut visits = vec![0; allowed_n.len()];
    let mut way = OnTheWay {
        told_n: doing.told_over_n,
        first_step_n: first_step_n(hidden, &start_n, limit_n),
        ..OnTheWay::default()
    };
    let over = |now_n: &[f64], place: usize| now_n[place] - allowed_n[place];
    for &(spoke, turns) in &doing.turns {
        visits[spoke] += 1;
        twin.turn(spoke, turns, 0.0);
        hidden.turn(spoke, turns, TURN * draws.normal());
        let (as_told_n, came_out_n) = (twin.tensions_n(), hidden.tensions_n());
        for (place, by_hand) in by_hand.iter_mut().enumerate() {
            let effect = hidden.influence.tension_n_per_mm[place][spoke] * PITCH_MM * turns;
            *by_hand += (TURN * effect).powi(2);
            let (as_told, came_out) = (over(&as_told_n, place), over(&came_out_n, place));
            let hand = sigmas * f64::sqrt(*by_hand);
            let (was_within, untold) = (start_n[place] <= limit_n, came_out - doing.told_over_n);
            way = way.and(OnTheWay {
                over_n: as_told,
                untold_n: as_told - doing.told_over_n,
                highest_raised_n: as_told_n[place] - highest_n,
                came_out_over_n: came_out,
                left_its_limit: was_within && 0.0 < untold,
                is_beyond_the_hand: !was_within && hand < untold,
                visits: visits[spoke],
                ..OnTheWay::default()
            });
        }
    }
    way
}

/// By how much the first eighth of a turn, of whichever nipple and whichever way, at least lifts a spoke over its limit, or
/// above where it starts over it: no order of work does better.
fn first_step_n(hidden: &Hidden, start_n: &[f64], limit_n: f64) -> f64 {
    let most_over_n = |spoke: usize, turns: f64| {
        let rows = hidden.influence.tension_n_per_mm.iter().zip(start_n);
        rows.map(|(row, start)| row[spoke] * PITCH_MM * turns - (limit_n - start).max(0.0))
            .fold(0.0, f64::max)
    };
    (0..start_n.len())
        .flat_map(|spoke| [-0.125, 0.125].map(|turns| most_over_n(spoke, turns)))
        .fold(f64::INFINITY, f64::min)
}
