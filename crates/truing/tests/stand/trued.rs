//! Rounds of reading, planning and turning on one virtual wheel.

use super::Hidden;
use quantity::draws::Draws;
use quantity::{Force, Length};
use truing::estimator::PITCH_MM;
use truing::plan::plan;
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
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Trued {
    pub(crate) rounds: usize,
    /// Nipples touched, all rounds together, and the sum of their turns.
    pub(crate) touched: usize,
    pub(crate) turns: f64,
    /// By how much a tension went over the limit on the way, or above where it started over it.
    pub(crate) over_n: f64,
    /// Of it, what neither the plan had told nor the hand's own scatter explains.
    pub(crate) unexplained_n: f64,
    /// Visits to one nipple in one round, at most.
    pub(crate) visits: usize,
    pub(crate) lateral_mm: f64,
    pub(crate) radial_mm: f64,
    pub(crate) sd_percent: f64,
    /// Mean off its target, as a share.
    pub(crate) mean_off: f64,
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

/// Standard deviations of the hand's scatter: of thousands of tensions on the way one is beyond.
const HAND_SIGMAS: f64 = 4.0;

/// Half way between the readings a tension is known to this share of what the wheel does beyond its influence.
const GOOD_TO: f64 = 0.5;

/// At most three rounds, the turns by whoever looks at the readings.
pub(crate) fn worked(
    mut hidden: Hidden,
    seed: u64,
    mut mechanic: impl FnMut(Seen) -> Doing,
) -> Trued {
    let mut draws = Draws::stream(seed, 7);
    let limit_n = hidden.mean.tension.to_n() * LIMIT;
    let mut trued = Trued {
        rounds: 0,
        touched: 0,
        turns: 0.0,
        over_n: 0.0,
        unexplained_n: 0.0,
        visits: 0,
        lateral_mm: 0.0,
        radial_mm: 0.0,
        sd_percent: 0.0,
        mean_off: 0.0,
    };
    let mut last: Option<Done> = None;
    for _ in 0..3 {
        let read = hidden.read(&mut draws, GAUGE, DIAL_MM);
        let Doing { turns, told_over_n } = mechanic(Seen {
            read,
            last: last.take(),
        });
        if turns.is_empty() {
            break;
        }
        trued.rounds += 1;
        let allowed: Vec<f64> = hidden
            .tensions_n()
            .iter()
            .map(|now| now.max(limit_n))
            .collect();
        let mut turned = vec![0.0; allowed.len()];
        let bent_n = GOOD_TO * hidden.beyond_influence_n();
        let mut visited = vec![0; allowed.len()];
        let mut by_hand = vec![0.0; allowed.len()];
        for (spoke, turns) in turns {
            hidden.turn(spoke, turns, TURN * draws.normal());
            turned[spoke] += turns;
            trued.touched += 1;
            trued.turns += turns.abs();
            visited[spoke] += 1;
            trued.visits = trued.visits.max(visited[spoke]);
            let now_n = hidden.tensions_n();
            for (place, (allowed, now)) in allowed.iter().zip(now_n).enumerate() {
                let effect = hidden.influence.tension_n_per_mm[place][spoke] * PITCH_MM * turns;
                by_hand[place] += (TURN * effect).powi(2);
                let over = now - allowed;
                let scatter = HAND_SIGMAS * f64::sqrt(by_hand[place]);
                trued.over_n = trued.over_n.max(over);
                trued.unexplained_n = trued
                    .unexplained_n
                    .max(over - told_over_n - scatter - bent_n);
            }
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
