//! Tensions that balance: what the other side must carry, and how even all can be.

use crate::error::{Error, Finding};
use crate::statics::Equilibrium;
use nalgebra::{DMatrix, DVector};
use quantity::Force;
use wheel::{SpokeIndex, Wheel};

/// Relative size below which a direction is none.
const RANK_TOLERANCE: f64 = 1e-9;

/// Departure from a stated tension, as a share of it, that is worth a finding.
const SPREAD_TOLD: f64 = 1e-6;

/// Weight of a stated tension against evenness: stated ones give way only when they cannot be met.
const STATED_WEIGHT: f64 = 1e4;

/// The balanced tensions nearest to what the wheel states; eq. 3.22.
///
/// Stated tensions are kept wherever balance allows (else their mean within a group of one side and
/// kind is), the others are as even as can be within their group. With one side stated this is the
/// builder's target: dish, unequal lacing and paired seats included.
///
/// # Errors
/// [`Error::NoTension`] when no spoke states a tension, [`Error::NoSelfStress`] when balance asks some
/// spoke to push or lets none pull.
pub fn self_stress(wheel: &Wheel) -> Result<(Vec<Force>, Vec<Finding>), Error> {
    let stated: Vec<Option<f64>> = wheel
        .spokes
        .iter()
        .map(|spoke| spoke.tension.map(Force::to_n))
        .collect();
    for (place, tension_n) in stated.iter().enumerate() {
        if let Some(tension_n) = *tension_n
            && (!tension_n.is_finite() || tension_n < 0.0)
        {
            return Err(Error::Pushing {
                spoke: SpokeIndex(place),
                tension_n,
            });
        }
    }
    let largest_n = stated.iter().flatten().copied().fold(0.0, f64::max);
    if largest_n == 0.0 {
        return Err(Error::NoTension {
            spoke: SpokeIndex(0),
        });
    }
    let basis = Equilibrium::of(wheel).self_stress();
    let spokes = stated.len();
    let states = DMatrix::from_fn(spokes, basis.len(), |spoke, state| basis[state][spoke]);

    // Rows: stated tensions by themselves and by their group's mean; the rest by unevenness in its group.
    let mut wishes: Vec<(DVector<f64>, f64)> = Vec::new();
    for (_, _, members) in wheel.groups() {
        let (told, free): (Vec<usize>, Vec<usize>) = members
            .iter()
            .map(|place| place.0)
            .partition(|&place| stated[place].is_some());
        if !told.is_empty() {
            let share = STATED_WEIGHT / told.len() as f64;
            let mean = DVector::from_fn(
                spokes,
                |spoke, _| if told.contains(&spoke) { share } else { 0.0 },
            );
            wishes.push((
                mean,
                share * told.iter().filter_map(|&place| stated[place]).sum::<f64>(),
            ));
        }
        for &place in &told {
            let single = DVector::from_fn(spokes, |spoke, _| f64::from(u8::from(spoke == place)));
            wishes.push((single * 100.0, stated[place].unwrap_or(0.0) * 100.0));
        }
        let share = 1.0 / free.len().max(1) as f64;
        for &place in &free {
            let apart = DVector::from_fn(spokes, |spoke, _| {
                f64::from(u8::from(spoke == place))
                    - if free.contains(&spoke) { share } else { 0.0 }
            });
            wishes.push((apart, 0.0));
        }
    }
    let system =
        DMatrix::from_fn(wishes.len(), spokes, |row, spoke| wishes[row].0[spoke]) * &states;
    let wished = DVector::from_fn(wishes.len(), |row, _| wishes[row].1);
    let amounts = system
        .svd(true, true)
        .solve(&wished, RANK_TOLERANCE)
        .map_err(|_| Error::NoSelfStress {
            why: "the spokes' directions are degenerate",
        })?;
    let tensions_n = states * amounts;

    if tensions_n.amax() <= RANK_TOLERANCE * largest_n {
        return Err(Error::NoSelfStress {
            why: "every spoke pulls the hub to the same side",
        });
    }
    if tensions_n.min() < -RANK_TOLERANCE * largest_n {
        return Err(Error::NoSelfStress {
            why: "some spoke would have to push",
        });
    }
    let spread_n = stated
        .iter()
        .zip(tensions_n.iter())
        .filter_map(|(stated, found)| stated.map(|stated| (stated - found).abs()))
        .fold(0.0, f64::max);
    let mut findings = Vec::new();
    if SPREAD_TOLD * largest_n < spread_n {
        findings.push(Finding::TargetSpread {
            largest_n: spread_n,
        });
    }
    Ok((
        tensions_n
            .iter()
            .map(|&tension_n| Force::n(tension_n.max(0.0)))
            .collect(),
        findings,
    ))
}
