//! How much tension the tyre takes away, and how hard it must press on the rim for that.

use crate::evenness::Value;
use crate::tension::{Measured, Tensions};
use mechanics::line_load::MeasuredDrop;
use mechanics::statics::Equilibrium;
use mechanics::{State, Structure};
use quantity::Force;
use wheel::{Side, SpokeIndex, Wheel};

/// Part of the wheel whose drop is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Part {
    /// One side.
    Side(Side),
    /// All spokes.
    Whole,
}

impl Part {
    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Side(side) => side.word(),
            Self::Whole => "whole",
        }
    }
}

/// The drop of mean tension of one part, by linear propagation (eq. 5.12), and what it is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Drop {
    /// The part.
    pub part: Part,
    /// Spokes read in both states.
    pub spokes: Vec<SpokeIndex>,
    /// 1 − mean tyred/mean bare, in per cent.
    pub percent: Value,
    /// The share of its standard uncertainty that the curves leave, in per cent.
    pub curve_u: f64,
    /// The share that the bare readings' noise leaves, in per cent.
    pub bare_u: f64,
    /// The share that the tyred readings' noise leaves, in per cent.
    pub tyred_u: f64,
}

/// Why it is not told how hard a tyre presses.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoLineLoad {
    /// A spoke has no tension in one of the states.
    #[error("not every spoke has a tension in both states")]
    WithoutForce,
    /// Readings without noise cannot be weighed against each other.
    #[error("the gauge's readings are stated to be exact")]
    WithoutNoise,
    /// The structural model does not answer.
    #[error(transparent)]
    Model(#[from] mechanics::Error),
}

/// The even load on the rim, toward the hub, that explains what two states lost; eq. 3.20.
///
/// In N/mm, by the structural model about the bare wheel; its u is that of readings and curves alone, the
/// rim's constants being taken as the wheel has them.
///
/// # Errors
/// [`NoLineLoad`]: what stands in the way.
pub fn line_load(wheel: &Wheel, bare: &Tensions, tyred: &Tensions) -> Result<Value, NoLineLoad> {
    let measured = |tensions: &Tensions| -> Result<Vec<Measured>, NoLineLoad> {
        let all = tensions.spokes.iter();
        all.map(|one| one.measured().cloned().ok_or(NoLineLoad::WithoutForce))
            .collect()
    };
    let (before, after) = (measured(bare)?, measured(tyred)?);
    let before_n: Vec<f64> = before.iter().map(|one| one.force.to_n()).collect();
    let mut tensioned = wheel.clone();
    let balanced_n = Equilibrium::of(wheel).balanced(&before_n);
    for (spoke, tension_n) in tensioned.spokes.iter_mut().zip(balanced_n) {
        spoke.tension = Some(Force::n(tension_n));
    }
    let (structure, _) = Structure::about(&tensioned, State::Tensioned)?;
    let drops: Vec<MeasuredDrop> = wheel
        .placed()
        .zip(before.iter().zip(&after))
        .map(|((spoke, _), (before, after))| MeasuredDrop {
            spoke,
            drop: before.force - after.force,
            u: Force::n(before.private_n.hypot(after.private_n)),
            shared: before
                .by_latent_n
                .iter()
                .zip(&after.by_latent_n)
                .map(|(before_n, after_n)| Force::n(before_n - after_n))
                .collect(),
        })
        .collect();
    let found = structure
        .line_load()?
        .explaining(&drops)
        .ok_or(NoLineLoad::WithoutNoise)?;
    Ok(Value {
        value: found.inward_n_per_mm,
        u: found.u_n_per_mm,
    })
}

/// The drops that two states give: each side, then the whole wheel.
///
/// A part is left out when one of its spokes was read outside its curve's range in either state, or
/// when no spoke of it was read in both.
#[must_use]
pub fn drops(wheel: &Wheel, bare: &Tensions, tyred: &Tensions) -> Vec<Drop> {
    Side::BOTH
        .into_iter()
        .map(Part::Side)
        .chain([Part::Whole])
        .filter_map(|part| {
            let spokes = spokes_of(wheel, part, bare, tyred)?;
            Some(drop_of(part, &spokes, bare, tyred))
        })
        .collect()
}

/// The spokes of a part that were read in both states; none when it has no drop in force.
#[must_use]
pub fn spokes_of(
    wheel: &Wheel,
    part: Part,
    bare: &Tensions,
    tyred: &Tensions,
) -> Option<Vec<SpokeIndex>> {
    let mut spokes = Vec::new();
    for (place, spoke) in wheel.placed() {
        if matches!(part, Part::Side(side) if side != spoke.side) {
            continue;
        }
        let states = [&bare.spokes[place.0], &tyred.spokes[place.0]];
        if states
            .iter()
            .any(|one| one.measured().is_none() && !matches!(one, crate::tension::Tension::NotRead))
        {
            return None;
        }
        if states.iter().all(|one| one.measured().is_some()) {
            spokes.push(place);
        }
    }
    (!spokes.is_empty()).then_some(spokes)
}

fn drop_of(part: Part, spokes: &[SpokeIndex], bare: &Tensions, tyred: &Tensions) -> Drop {
    let of = |tensions: &Tensions| -> Vec<Measured> {
        spokes
            .iter()
            .filter_map(|spoke| tensions.spokes[spoke.0].measured().cloned())
            .collect()
    };
    let (before, after) = (of(bare), of(tyred));
    let sum = |some: &[Measured]| some.iter().map(|one| one.force.to_n()).sum::<f64>();
    let (before_n, after_n) = (sum(&before), sum(&after));
    let kept = after_n / before_n;
    let latents = before.first().map_or(0, |one| one.by_latent_n.len());
    let curve: f64 = (0..latents)
        .map(|latent| {
            let along =
                |some: &[Measured]| some.iter().map(|one| one.by_latent_n[latent]).sum::<f64>();
            ((kept * along(&before) - along(&after)) / before_n).powi(2)
        })
        .sum();
    let noise = |some: &[Measured]| {
        some.iter()
            .map(|one| one.private_n.powi(2))
            .sum::<f64>()
            .sqrt()
            / before_n
    };
    let (bare_u, tyred_u) = (kept * noise(&before), noise(&after));
    let u = (curve + bare_u * bare_u + tyred_u * tyred_u).sqrt();
    Drop {
        part,
        spokes: spokes.to_vec(),
        percent: Value {
            value: 100.0 * (1.0 - kept),
            u: 100.0 * u,
        },
        curve_u: 100.0 * curve.sqrt(),
        bare_u: 100.0 * bare_u,
        tyred_u: 100.0 * tyred_u,
    }
}
