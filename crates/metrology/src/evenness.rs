//! Means and evenness of the spokes that can be compared: one side, one kind.

use crate::tension::{GaugeReading, Measured, Tension, Tensions};
use quantity::Force;
use wheel::{KindIndex, Side, SpokeIndex, Wheel};

/// A number with its standard uncertainty, in the unit its name says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Value {
    /// The number.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
}

/// Why a group has no mean in force.
#[derive(Debug, Clone, PartialEq)]
pub enum Missing {
    /// Nobody read any of its spokes.
    Unread,
    /// These read beyond the range of their curve.
    OutsideRange(Vec<SpokeIndex>),
    /// These were read with a gauge that has no curve for their kind.
    NoCurve(Vec<SpokeIndex>),
}

/// Spokes of one side and kind, or of one whole side, in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The side.
    pub side: Side,
    /// The kind; none for a whole side.
    pub kind: Option<KindIndex>,
    /// All its spokes.
    pub spokes: Vec<SpokeIndex>,
    /// Those with a force.
    pub read: Vec<SpokeIndex>,
    /// What can be said in force, or why nothing can.
    pub force: Result<InForce, Missing>,
    /// Spread of the readings in divisions, when read with one gauge: as measured.
    pub sd_divisions: Option<f64>,
}

/// A group's numbers in force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InForce {
    /// Mean tension in newtons.
    pub mean_n: Value,
    /// Smallest tension.
    pub min: Force,
    /// Largest tension.
    pub max: Force,
    /// Standard deviation within side and kind as measured, per cent of the mean; none for one spoke.
    pub sd_percent: Option<f64>,
    /// The same with the reading noise taken out; the judged one.
    pub sd_without_noise_percent: Option<Value>,
    /// Mean variance of the readings' own noise, per cent squared.
    pub noise_percent_squared: f64,
    /// Spokes less groups: what the standard deviation rests on.
    pub degrees_of_freedom: usize,
}

/// The groups of one side and kind each, then the sides, right first.
#[must_use]
pub fn groups(wheel: &Wheel, tensions: &Tensions) -> (Vec<Group>, Vec<Group>) {
    let by_kind: Vec<(Side, KindIndex, Vec<SpokeIndex>)> = wheel.groups();
    let groups = by_kind
        .iter()
        .map(|(side, kind, spokes)| {
            group(*side, Some(*kind), std::slice::from_ref(spokes), tensions)
        })
        .collect();
    let sides = Side::BOTH
        .into_iter()
        .filter_map(|side| {
            let parts: Vec<Vec<SpokeIndex>> = by_kind
                .iter()
                .filter(|(of, ..)| *of == side)
                .map(|(.., spokes)| spokes.clone())
                .collect();
            (!parts.is_empty()).then(|| group(side, None, &parts, tensions))
        })
        .collect();
    (groups, sides)
}

fn group(
    side: Side,
    kind: Option<KindIndex>,
    parts: &[Vec<SpokeIndex>],
    tensions: &Tensions,
) -> Group {
    let spokes: Vec<SpokeIndex> = parts.concat();
    let read: Vec<SpokeIndex> = spokes
        .iter()
        .copied()
        .filter(|spoke| tensions.spokes[spoke.0].measured().is_some())
        .collect();
    let which = |wanted: fn(&Tension) -> bool| -> Vec<SpokeIndex> {
        spokes
            .iter()
            .copied()
            .filter(|spoke| wanted(&tensions.spokes[spoke.0]))
            .collect()
    };
    let outside = which(|one| matches!(one, Tension::MoreThan(_) | Tension::LessThan(_)));
    let curveless = which(|one| matches!(one, Tension::NoCurve));
    let force = if !outside.is_empty() {
        Err(Missing::OutsideRange(outside))
    } else if !curveless.is_empty() {
        Err(Missing::NoCurve(curveless))
    } else if read.is_empty() {
        Err(Missing::Unread)
    } else {
        Ok(in_force(parts, tensions))
    };
    Group {
        side,
        kind,
        sd_divisions: match parts {
            [of_one_kind] => sd_divisions(of_one_kind, tensions),
            _ => None, // two kinds read alike are not pulled alike
        },
        spokes,
        read,
        force,
    }
}

fn in_force(parts: &[Vec<SpokeIndex>], tensions: &Tensions) -> InForce {
    let found = |part: &[SpokeIndex]| -> Vec<&Measured> {
        part.iter()
            .filter_map(|spoke| tensions.spokes[spoke.0].measured())
            .collect()
    };
    let all = found(&parts.concat());
    let mean_n = mean(&all);
    // Relative deviations from the mean of the own part, noise likewise.
    let (mut squares, mut noise, mut freedom) = (0.0, 0.0, 0);
    for part in parts {
        let members = found(part);
        if members.len() < 2 {
            continue;
        }
        let own_n = mean(&members).value;
        for member in &members {
            squares += (member.force.to_n() / own_n - 1.0).powi(2);
            noise += (member.private_n / own_n).powi(2) * (1.0 - 1.0 / members.len() as f64);
        }
        freedom += members.len() - 1;
    }
    let spread = (freedom > 0).then(|| {
        let (total, noise) = (squares / freedom as f64, noise / freedom as f64);
        (total, noise, without_noise(total, noise, freedom))
    });
    let forces = all.iter().map(|member| member.force);
    let least = forces
        .clone()
        .fold(Force::n(f64::INFINITY), |a, b| if b < a { b } else { a });
    let most = forces.fold(
        Force::n(f64::NEG_INFINITY),
        |a, b| if b > a { b } else { a },
    );
    InForce {
        mean_n,
        min: least,
        max: most,
        sd_percent: spread.map(|(total, ..)| 100.0 * total.sqrt()),
        sd_without_noise_percent: spread.map(|(.., clean)| Value {
            value: 100.0 * clean.value,
            u: 100.0 * clean.u,
        }),
        noise_percent_squared: spread.map_or(0.0, |(_, noise, _)| 1e4 * noise),
        degrees_of_freedom: freedom,
    }
}

/// Standard deviation of what was measured, its noise taken out (eq. 5.6): σ² = s² − v̄, with
/// u(s²) = √((4 σ² v̄ + 2 v̄²)/ν), for these very spokes and not for others like them.
fn without_noise(total: f64, noise: f64, freedom: usize) -> Value {
    let clean = (total - noise).max(0.0);
    let u_squared = squared_u(clean, noise, freedom);
    let value = clean.sqrt();
    // Near nothing the square root is steep: half the width of what one u either side leaves.
    let (low, high) = (
        (clean - u_squared).max(0.0).sqrt(),
        (clean + u_squared).sqrt(),
    );
    Value {
        value,
        u: (high - low) / 2.0,
    }
}

/// Standard uncertainty of the squared evenness if that were `clean` (eq. 5.6).
#[must_use]
pub fn squared_u(clean: f64, noise: f64, freedom: usize) -> f64 {
    ((4.0 * clean * noise + 2.0 * noise * noise) / freedom as f64).sqrt()
}

fn mean(members: &[&Measured]) -> Value {
    let count = members.len() as f64;
    let value = members
        .iter()
        .map(|member| member.force.to_n())
        .sum::<f64>()
        / count;
    let latents = members.first().map_or(0, |member| member.by_latent_n.len());
    let common: f64 = (0..latents)
        .map(|latent| {
            let sum: f64 = members
                .iter()
                .map(|member| member.by_latent_n[latent])
                .sum();
            (sum / count).powi(2)
        })
        .sum();
    let private: f64 = members
        .iter()
        .map(|member| member.private_n.powi(2))
        .sum::<f64>()
        / (count * count);
    Value {
        value,
        u: (common + private).sqrt(),
    }
}

fn sd_divisions(spokes: &[SpokeIndex], tensions: &Tensions) -> Option<f64> {
    let was_read = |spoke: &&SpokeIndex| !tensions.read[spoke.0].is_empty();
    let read = spokes.iter().filter(was_read);
    // Divisions of two gauges have nothing in common.
    let read: Vec<&GaugeReading> = read
        .map(|spoke| tensions.divisions(*spoke))
        .collect::<Option<_>>()?;
    let gauge = &read.first()?.gauge;
    if read.len() < 2 || read.iter().any(|one| one.gauge != *gauge) {
        return None;
    }
    let count = read.len() as f64;
    let mean = read.iter().map(|one| one.divisions).sum::<f64>() / count;
    let squares: f64 = read.iter().map(|one| (one.divisions - mean).powi(2)).sum();
    Some((squares / (count - 1.0)).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lap::State;

    /// What was read at each spoke, by the gauge's label; no curve serves any.
    fn read(of: &[&[(&str, f64)]]) -> (Vec<SpokeIndex>, Tensions) {
        let one = |&(gauge, divisions): &(&str, f64)| GaugeReading {
            gauge: gauge.into(),
            divisions,
            times: 1,
        };
        let tensions = Tensions {
            state: State::Bare,
            pressure: None,
            spokes: vec![Tension::NoCurve; of.len()],
            shown: vec![Vec::new(); of.len()],
            read: of
                .iter()
                .map(|here| here.iter().map(one).collect())
                .collect(),
            laps: vec![0],
        };
        ((0..of.len()).map(SpokeIndex).collect(), tensions)
    }

    /// Source: NIST, Statistical Reference Datasets, univariate summary statistics, `NumAcc1`: three numbers whose
    /// certified standard deviation is 1, exactly; from memory.
    #[test]
    fn spread_in_divisions_needs_no_curve() {
        let numbers = [10_000_001.0, 10_000_003.0, 10_000_002.0];
        let spokes = numbers.map(|number| [("G", number)]);
        let spokes: Vec<&[(&str, f64)]> = spokes.iter().map(|one| &one[..]).collect();
        let (spokes, tensions) = read(&spokes);
        let of_group = group(Side::Right, None, std::slice::from_ref(&spokes), &tensions);
        assert_eq!(of_group.sd_divisions, Some(1.0));
        assert_eq!(of_group.force, Err(Missing::NoCurve(spokes)));
    }

    #[test]
    fn spread_in_divisions_is_of_one_gauge_and_of_what_was_read() {
        let spread = |of: &[&[(&str, f64)]]| {
            let (spokes, tensions) = read(of);
            sd_divisions(&spokes, &tensions)
        };
        let [low, high] = [21.0, 23.0].map(|number| [("G", number)]);
        let (low, high) = (&low[..], &high[..]);
        let root_two = std::f64::consts::SQRT_2; // two numbers, each 1 from their mean
        assert_eq!(
            spread(&[low, &[], high]),
            Some(root_two),
            "one was not read"
        );
        assert_eq!(spread(&[low, &[("H", 23.0)]]), None, "two gauges");
        assert_eq!(
            spread(&[low, &[("G", 23.0), ("H", 9.0)]]),
            None,
            "one read with both"
        );
        assert_eq!(spread(&[low, &[]]), None, "one number has no spread");
        assert_eq!(spread(&[&[], &[]]), None);
    }
}
