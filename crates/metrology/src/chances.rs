//! What the draws say: 95 % intervals of means and drops, and how likely limits and claims hold.
//!
//! One draw takes a curve from what each calibration leaves open and every reading from its noise
//! (JCGM 101); the draw is shared by all answers, so whatever they have in common stays common.

use crate::evenness::Value;
use crate::tension::{Curves, Shown, Tensions};
use crate::tyre_effect::{Drop, Part};
use quantity::draws::Draws;
use quantity::monte_carlo::{Draw, Ending, Error, Stopping, simulate};
use wheel::{Side, SpokeIndex};

/// Half the width of a 95 % interval of a normal distribution, in standard deviations.
const HALF_WIDTH: f64 = 1.959_963_984_540_054;

/// An estimate with its standard uncertainty and 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// The estimate from the readings as they are.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
    /// Lower end of the interval with 2.5 % below it.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Spread {
    /// Half the 95 % interval: the U shown after ±.
    #[must_use]
    pub fn expanded(&self) -> f64 {
        (self.high - self.low) / 2.0
    }
}

/// A mean whose interval is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct WantedMean<'a> {
    /// The tensions it is taken from.
    pub tensions: &'a Tensions,
    /// The spokes it is the mean of.
    pub spokes: &'a [SpokeIndex],
    /// The mean by linear propagation, in newtons.
    pub linear: Value,
}

/// A ceiling of tension whose chances are wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct WantedCeiling<'a> {
    /// The tensions it is held against.
    pub tensions: &'a Tensions,
    /// The spokes it holds for.
    pub spokes: Vec<SpokeIndex>,
    /// The ceiling in newtons.
    pub ceiling_n: f64,
}

/// A drop whose chance to lie between two numbers is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WantedDrop {
    /// The part, as its place among the drops.
    pub drop: usize,
    /// From this, in per cent.
    pub at_least: f64,
    /// To this, in per cent.
    pub at_most: f64,
}

/// All that is asked of one run of draws.
#[derive(Debug, Clone, Default)]
pub struct Wanted<'a> {
    /// Means.
    pub means: Vec<WantedMean<'a>>,
    /// Drops, with the two states they stand between.
    pub drops: Vec<(&'a Drop, &'a Tensions, &'a Tensions)>,
    /// Chances of drops.
    pub claims: Vec<WantedDrop>,
    /// Chances of ceilings.
    pub ceilings: Vec<WantedCeiling<'a>>,
}

/// The chances that a ceiling is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Ceiling {
    /// That no spoke is above it.
    pub all: f64,
    /// That each spoke, in the order asked, is not above it.
    pub each: Vec<f64>,
}

/// What the draws say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Chances {
    /// In the order asked, newtons.
    pub means: Vec<Spread>,
    /// In the order asked, per cent.
    pub drops: Vec<Spread>,
    /// In the order asked.
    pub claims: Vec<f64>,
    /// In the order asked.
    pub ceilings: Vec<Ceiling>,
    /// Draws that counted.
    pub draws: usize,
    /// Whether everything stood still to the digits shown.
    pub is_settled: bool,
}

/// Draws until everything asked for stands still to the digits shown, and counts.
///
/// # Errors
/// [`Error`] when the model gives no number, which means a curve that is none.
pub fn chances(
    curves: &Curves,
    wanted: &Wanted<'_>,
    stopping: &Stopping,
    seed: u64,
) -> Result<Chances, Error> {
    let states = states(wanted);
    let count = states.first().map_or(0, |state| state.spokes.len());
    let place = |tensions: &Tensions| {
        states
            .iter()
            .position(|state| std::ptr::eq(*state, tensions))
            .unwrap_or(0)
    };
    let means: Vec<(usize, &[SpokeIndex])> = wanted
        .means
        .iter()
        .map(|mean| (place(mean.tensions), mean.spokes))
        .collect();
    let drops: Vec<(usize, usize, &[SpokeIndex])> = wanted
        .drops
        .iter()
        .map(|(drop, bare, tyred)| (place(bare), place(tyred), drop.spokes.as_slice()))
        .collect();
    let ceilings: Vec<(usize, &WantedCeiling<'_>)> = wanted
        .ceilings
        .iter()
        .map(|one| (place(one.tensions), one))
        .collect();
    let mut forces = vec![vec![f64::NAN; count]; states.len()];
    let flat: Vec<Vec<Flat>> = states.iter().map(|state| flattened(state)).collect();
    let mut drawn = Vec::with_capacity(curves.placed.len());
    let mut held = vec![0_usize; wanted.claims.len()];
    let mut kept = vec![(0_usize, Vec::new()); ceilings.len()];
    for ((_, each), (_, ceiling)) in kept.iter_mut().zip(&ceilings) {
        *each = vec![0_usize; ceiling.spokes.len()];
    }
    let mut total = 0_usize;
    let outputs = means.len() + drops.len();
    let mut draws = Draws::new(seed);
    let simulation = simulate(outputs.max(1), stopping, &mut draws, |draws, out| {
        drawn.clear();
        drawn.extend(
            curves
                .placed
                .iter()
                .map(|placed| placed.calibrated.curve.draw(draws)),
        );
        for (flat, forces) in flat.iter().zip(&mut forces) {
            for one in flat {
                forces[one.spoke] = 0.0;
            }
            for one in flat {
                let divisions = one.shown.divisions + one.shown.u * draws.normal();
                forces[one.spoke] += one.share * drawn[one.shown.curve].force_n(divisions);
            }
        }
        let sum = |state: usize, spokes: &[SpokeIndex]| -> f64 {
            spokes.iter().map(|spoke| forces[state][spoke.0]).sum()
        };
        let (mean_outputs, drop_outputs) = out.split_at_mut(means.len());
        for (output, (state, spokes)) in mean_outputs.iter_mut().zip(&means) {
            *output = sum(*state, spokes) / spokes.len() as f64;
        }
        for (output, (bare, tyred, spokes)) in drop_outputs.iter_mut().zip(&drops) {
            *output = 100.0 * (1.0 - sum(*tyred, spokes) / sum(*bare, spokes));
        }
        if outputs == 0 {
            out[0] = 0.0;
        }
        if out.iter().any(|value| !value.is_finite()) {
            return Draw::Rejected;
        }
        total += 1;
        for (held, claim) in held.iter_mut().zip(&wanted.claims) {
            let percent = out[means.len() + claim.drop];
            *held += usize::from(percent >= claim.at_least && percent <= claim.at_most);
        }
        for ((all, each), (state, ceiling)) in kept.iter_mut().zip(&ceilings) {
            let mut under = true;
            for (one, spoke) in each.iter_mut().zip(&ceiling.spokes) {
                let below = forces[*state][spoke.0] <= ceiling.ceiling_n;
                *one += usize::from(below);
                under &= below;
            }
            *all += usize::from(under);
        }
        Draw::Kept
    })?;
    let share = |hits: usize| hits as f64 / total.max(1) as f64;
    let stood = simulation.ending == Ending::Stabilised;
    let linear = wanted
        .means
        .iter()
        .map(|mean| mean.linear)
        .chain(wanted.drops.iter().map(|(drop, ..)| drop.percent));
    let mut spreads: Vec<Spread> = linear
        .zip(&simulation.outputs)
        .map(|(linear, output)| Spread {
            value: linear.value,
            // Where tails are too heavy for a standard deviation to settle, the interval stands for it.
            u: if stood {
                output.u
            } else {
                output
                    .u
                    .min((output.high - output.low) / (2.0 * HALF_WIDTH))
            },
            low: output.low,
            high: output.high,
        })
        .collect();
    let drops = spreads.split_off(means.len());
    Ok(Chances {
        means: spreads,
        drops,
        claims: held.into_iter().map(share).collect(),
        ceilings: kept
            .into_iter()
            .map(|(all, each)| Ceiling {
                all: share(all),
                each: each.into_iter().map(share).collect(),
            })
            .collect(),
        draws: simulation.kept,
        is_settled: stood,
    })
}

/// One mean reading, with its spoke and its weight in that spoke's force.
struct Flat {
    spoke: usize,
    share: f64,
    shown: Shown,
}

fn flattened(tensions: &Tensions) -> Vec<Flat> {
    let of_spoke = |(spoke, shown): (usize, &Vec<Shown>)| {
        let share = 1.0 / shown.len() as f64;
        shown
            .iter()
            .map(move |one| Flat {
                spoke,
                share,
                shown: *one,
            })
            .collect::<Vec<_>>()
    };
    tensions
        .shown
        .iter()
        .enumerate()
        .flat_map(of_spoke)
        .collect()
}

/// The states that are asked of, each once.
fn states<'a>(wanted: &Wanted<'a>) -> Vec<&'a Tensions> {
    let mut states: Vec<&Tensions> = Vec::new();
    let all = wanted
        .means
        .iter()
        .map(|mean| mean.tensions)
        .chain(
            wanted
                .drops
                .iter()
                .flat_map(|(_, bare, tyred)| [*bare, *tyred]),
        )
        .chain(wanted.ceilings.iter().map(|one| one.tensions));
    for tensions in all {
        if !states.iter().any(|known| std::ptr::eq(*known, tensions)) {
            states.push(tensions);
        }
    }
    states
}

/// The place of a part's drop among several.
#[must_use]
pub fn place_of(drops: &[Drop], part: Part) -> Option<usize> {
    drops.iter().position(|drop| drop.part == part)
}

/// The parts whose drops a claim of unnamed scope is judged on: each side, then the whole wheel.
pub const ALL_PARTS: [Part; 3] = [Part::Side(Side::Right), Part::Side(Side::Left), Part::Whole];
