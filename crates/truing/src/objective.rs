//! The wheel as a sum of squares in the steps of its nipples.
//!
//! Every criterion is a weighted sum of squares in units of the class. Whatever the weights, so long as they add up to
//! one, the least sum is a lower bound of the largest share squared (theory §7.5): that is what proves a class out
//! of reach.

use crate::class::{Class, Criterion, Shares};
use crate::response::{Beyond, Mean, Response};
use crate::search::Problem;

/// Of the weights of a criterion, what is spread evenly over its places so that none loses all.
const SPREAD: f64 = 0.02;

/// Of all weight, what every criterion keeps.
const KEPT: f64 = 0.01;

/// What is asked of the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Goal {
    pub(crate) class: Class,
    /// None keeps the level that the wheel has.
    pub(crate) mean: Option<Mean>,
    /// Whether the dish is known; otherwise it is to stay where it is.
    pub(crate) dish_known: bool,
    /// Whether any tension was read; otherwise the level is to stay where it is.
    pub(crate) level_known: bool,
    /// Whether runout to the side was read, and in and out.
    pub(crate) rim_known: [bool; 2],
}

/// Rim and tensions as they stand.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Standing {
    pub(crate) lateral_mm: Vec<f64>,
    pub(crate) radial_mm: Vec<f64>,
    pub(crate) tension_n: Vec<f64>,
}

impl Standing {
    /// The same with every nipple turned by its steps.
    pub(crate) fn after(&self, step: &[Standing], steps: &[f64]) -> Self {
        let mut after = self.clone();
        for (of, &steps) in step.iter().zip(steps).filter(|(_, steps)| **steps != 0.0) {
            add(&mut after.lateral_mm, &of.lateral_mm, steps);
            add(&mut after.radial_mm, &of.radial_mm, steps);
            add(&mut after.tension_n, &of.tension_n, steps);
        }
        after
    }

    /// The same with what eq. 7.1 leaves out, so many times.
    pub(crate) fn with(mut self, beyond: &Beyond, times: f64) -> Self {
        add(&mut self.lateral_mm, &beyond.lateral_mm, times);
        add(&mut self.radial_mm, &beyond.radial_mm, times);
        add(&mut self.tension_n, &beyond.tension_n, times);
        self
    }
}

pub(crate) fn add(to: &mut [f64], of: &[f64], times: f64) {
    for (entry, of) in to.iter_mut().zip(of) {
        *entry += times * of;
    }
}

/// What is to be made small, by criterion and place.
#[derive(Debug)]
pub(crate) struct Objective<'a> {
    response: &'a Response,
    goal: Goal,
    now: Standing,
    /// The effect of one step of each nipple.
    step: Vec<Standing>,
    criteria: Vec<Criterion>,
    /// Mean tension of the stated side: wanted, N.
    wanted_n: f64,
}

/// Weight of each criterion, and within it of each place; all add up to one.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Weights {
    of: Vec<f64>,
    lateral: Vec<f64>,
    radial: Vec<f64>,
}

impl Weights {
    /// All weight on how the rim runs, but for a share.
    pub(crate) fn mind_the_rim(&mut self, criteria: &[Criterion], share: f64) {
        let is_rim =
            |criterion: &Criterion| matches!(criterion, Criterion::Lateral | Criterion::Radial);
        let others = criteria
            .iter()
            .filter(|criterion| !is_rim(criterion))
            .count()
            .max(1) as f64;
        for (weight, criterion) in self.of.iter_mut().zip(criteria) {
            *weight = if is_rim(criterion) {
                (1.0 - share) / 2.0
            } else {
                share / others
            };
        }
    }
}

impl<'a> Objective<'a> {
    pub(crate) fn new(
        response: &'a Response,
        goal: Goal,
        now: Standing,
        step: Vec<Standing>,
    ) -> Self {
        let mut criteria = vec![Criterion::Lateral, Criterion::Radial];
        if response.is_tensioned() {
            let several = |place: &usize| response.groups[*place].spokes.len() > 1;
            criteria.extend(
                (0..response.groups.len())
                    .filter(several)
                    .map(Criterion::Evenness),
            );
            criteria.push(Criterion::Mean);
        }
        criteria.push(Criterion::Dish);
        let mut objective = Self {
            response,
            goal,
            now,
            step,
            criteria,
            wanted_n: 0.0,
        };
        objective.wanted_n = match goal.mean {
            Some(mean) if goal.level_known => mean.tension.to_n(),
            _ => objective.mean_n(&objective.now.tension_n),
        };
        objective
    }

    pub(crate) fn now(&self) -> &Standing {
        &self.now
    }

    pub(crate) fn steps(&self) -> &[Standing] {
        &self.step
    }

    pub(crate) fn criteria(&self) -> &[Criterion] {
        &self.criteria
    }

    /// How much of each criterion a standing takes up.
    pub(crate) fn shares(&self, standing: &Standing) -> Shares {
        let of = self
            .criteria
            .iter()
            .map(|&criterion| (criterion, self.share(criterion, standing)));
        Shares { of: of.collect() }
    }

    /// The criterion of which most is taken up, of what is known, and that share: what nobody read is not judged.
    pub(crate) fn worst_known(&self, standing: &Standing) -> Option<(Criterion, f64)> {
        let goal = &self.goal;
        let known = |(criterion, _): &(Criterion, f64)| match criterion {
            Criterion::Lateral => goal.rim_known[0],
            Criterion::Radial => goal.rim_known[1],
            Criterion::Dish => goal.dish_known,
            Criterion::Evenness(_) | Criterion::Mean => goal.level_known,
        };
        let known = self.shares(standing).of.into_iter().filter(known);
        known.max_by(|one, other| one.1.total_cmp(&other.1))
    }

    /// Whether rim and tension were read: only of those is anything proven.
    pub(crate) fn is_read(&self) -> bool {
        self.goal.level_known && self.goal.rim_known == [true, true]
    }

    /// The largest share taken up, of what is known.
    pub(crate) fn worst_share(&self, standing: &Standing) -> f64 {
        self.worst_known(standing).map_or(0.0, |(_, share)| share)
    }

    /// Whether evenness, level and dish are within the class.
    pub(crate) fn rest_is_within(&self, shown: &crate::outlook::Shown) -> bool {
        let class = &self.goal.class;
        let within = |value: Option<f64>, most: f64| value.is_none_or(|value| value <= most);
        let level = shown
            .mean_tension_n
            .filter(|_| self.goal.level_known)
            .map(|mean| (mean.value - self.wanted_n).abs());
        within(
            shown.tension_sd_percent.map(|sd| sd.value),
            class.tension_sd_percent,
        ) && within(level.map(|off| off / self.mean_scale()), 1.0)
            && (!self.goal.dish_known || shown.dish_mm.value.abs() <= class.dish.to_mm())
    }

    fn share(&self, criterion: Criterion, standing: &Standing) -> f64 {
        let class = &self.goal.class;
        match criterion {
            Criterion::Lateral => fir(&standing.lateral_mm) / class.lateral_fir.to_mm(),
            Criterion::Radial => fir(&standing.radial_mm) / class.radial_fir.to_mm(),
            Criterion::Evenness(place) => {
                let group = &self.response.groups[place];
                let scale = group.even_n * class.tension_sd_percent / 100.0;
                sd(group.spokes.iter().map(|&spoke| standing.tension_n[spoke])) / scale
            }
            Criterion::Dish => {
                let centre = if self.goal.dish_known {
                    0.0
                } else {
                    mean(&self.now.lateral_mm)
                };
                (mean(&standing.lateral_mm) - centre).abs() / class.dish.to_mm()
            }
            Criterion::Mean => {
                let off = self.mean_n(&standing.tension_n) - self.wanted_n;
                off.abs() / self.mean_scale()
            }
        }
    }

    /// Mean tension of the side whose mean is asked; of all spokes where the level is to stay.
    pub(crate) fn mean_n(&self, tension_n: &[f64]) -> f64 {
        let side = self.goal.mean.map(|mean| mean.side);
        let of = |spoke: &usize| side.is_none_or(|side| self.response.sides[*spoke] == side);
        let members: Vec<f64> = (0..tension_n.len())
            .filter(of)
            .map(|spoke| tension_n[spoke])
            .collect();
        mean(&members)
    }

    fn mean_scale(&self) -> f64 {
        self.mean_n(&self.response.even_n) * self.goal.class.mean_percent / 100.0
    }

    /// Weights to begin with: every criterion and place the same.
    pub(crate) fn even_weights(&self) -> Weights {
        let places = self.now.lateral_mm.len();
        Weights {
            of: vec![1.0 / self.criteria.len() as f64; self.criteria.len()],
            lateral: vec![1.0 / places as f64; places],
            radial: vec![1.0 / places as f64; places],
        }
    }

    /// More weight where a standing takes up more (eq. 7.13).
    pub(crate) fn reweighed(&self, weights: &Weights, standing: &Standing) -> Weights {
        let shares = self.shares(standing);
        let mut of: Vec<f64> = weights
            .of
            .iter()
            .zip(&shares.of)
            .map(|(weight, (_, share))| weight * share)
            .collect();
        normalise(&mut of, KEPT);
        Weights {
            of,
            lateral: reweighed(&weights.lateral, &standing.lateral_mm),
            radial: reweighed(&weights.radial, &standing.radial_mm),
        }
    }

    /// The weighted sum of squares of rows with these values; `apply` sees one row's worth at a time.
    fn rows(&self, weights: &Weights, of: &Standing, is_change: bool) -> Vec<f64> {
        let class = &self.goal.class;
        let mut rows = Vec::with_capacity(2 * of.lateral_mm.len() + of.tension_n.len() + 2);
        for (criterion, weight) in self.criteria.iter().zip(&weights.of) {
            match *criterion {
                Criterion::Lateral => {
                    let scale = class.lateral_fir.to_mm() / 2.0;
                    centred(&mut rows, &of.lateral_mm, &weights.lateral, *weight, scale);
                }
                Criterion::Radial => {
                    let scale = class.radial_fir.to_mm() / 2.0;
                    centred(&mut rows, &of.radial_mm, &weights.radial, *weight, scale);
                }
                Criterion::Evenness(place) => {
                    let group = &self.response.groups[place];
                    let members: Vec<f64> = group
                        .spokes
                        .iter()
                        .map(|&spoke| of.tension_n[spoke])
                        .collect();
                    let centre = mean(&members);
                    let scale = group.even_n * class.tension_sd_percent / 100.0;
                    let factor = (weight / (members.len() as f64 - 1.0)).sqrt() / scale;
                    rows.extend(members.iter().map(|member| factor * (member - centre)));
                }
                Criterion::Dish => {
                    let offset = mean(&of.lateral_mm);
                    let off = match is_change || self.goal.dish_known {
                        true => offset,
                        false => 0.0,
                    };
                    rows.push(weight.sqrt() * off / class.dish.to_mm());
                }
                Criterion::Mean => {
                    let level = self.mean_n(&of.tension_n);
                    let off = if is_change {
                        level
                    } else {
                        level - self.wanted_n
                    };
                    rows.push(weight.sqrt() * off / self.mean_scale());
                }
            }
        }
        rows
    }

    /// The least-squares problem of these weights; bounds, limits and charges are the caller's.
    pub(crate) fn problem(&self, weights: &Weights) -> Problem {
        let nipples = self.step.len();
        let target = self
            .rows(weights, &self.now, false)
            .iter()
            .map(|row| -row)
            .collect();
        let columns = self
            .step
            .iter()
            .flat_map(|step| self.rows(weights, step, true))
            .collect();
        Problem {
            columns,
            target,
            lower: vec![0; nipples],
            upper: vec![0; nipples],
            limits: Vec::new(),
            charge: vec![0.0; nipples],
        }
    }
}

/// Rows of deviations from their weighted mean.
fn centred(rows: &mut Vec<f64>, of: &[f64], weights: &[f64], weight: f64, scale: f64) {
    let centre: f64 = of
        .iter()
        .zip(weights)
        .map(|(value, weight)| value * weight)
        .sum();
    rows.extend(
        of.iter()
            .zip(weights)
            .map(|(value, own)| (weight * own).sqrt() * (value - centre) / scale),
    );
}

/// Lawson's rule: weights in proportion to the deviation from the middle of the extremes.
fn reweighed(weights: &[f64], of: &[f64]) -> Vec<f64> {
    let (low, high) = extremes(of);
    let middle = (low + high) / 2.0;
    let mut fresh: Vec<f64> = weights
        .iter()
        .zip(of)
        .map(|(weight, value)| weight * (value - middle).abs())
        .collect();
    normalise(&mut fresh, SPREAD);
    fresh
}

/// Makes weights add up to one, `kept` of it spread evenly.
fn normalise(weights: &mut [f64], kept: f64) {
    let sum: f64 = weights.iter().sum();
    let even = 1.0 / weights.len() as f64;
    for weight in weights {
        let own = if sum > 0.0 { *weight / sum } else { even };
        *weight = (1.0 - kept) * own + kept * even;
    }
}

fn extremes(of: &[f64]) -> (f64, f64) {
    of.iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &value| {
            (low.min(value), high.max(value))
        })
}

/// Most less least.
pub(crate) fn fir(of: &[f64]) -> f64 {
    let (low, high) = extremes(of);
    if low <= high { high - low } else { 0.0 }
}

pub(crate) fn mean(of: &[f64]) -> f64 {
    of.iter().sum::<f64>() / of.len().max(1) as f64
}

/// Standard deviation of some of a population that is all there is to it but its mean.
pub(crate) fn sd(of: impl Iterator<Item = f64>) -> f64 {
    let of: Vec<f64> = of.collect();
    let centre = mean(&of);
    let squares: f64 = of.iter().map(|value| (value - centre).powi(2)).sum();
    (squares / (of.len() as f64 - 1.0).max(1.0)).sqrt()
}
