//! Pattern watch: readings that ask to be taken again, and curves that cannot both be right.
//!
//! One covariance holds it all: what the readings' noise and curves leave open, how uneven a wheel of
//! this class may be, and the hub's statics with its own doubt. In it every suspicion is a direction,
//! and the test of a direction is normal when nothing is wrong (theory §5.3). The tool asks; it never
//! repairs.

use crate::balance::geometry_variances;
use crate::finding::Finding;
use crate::lap::State;
use crate::tension::Tensions;
use mechanics::statics::Equilibrium;
use nalgebra::{DMatrix, DVector};
use quantity::distribution::normal_quantile;
use wheel::{Side, SpokeIndex, Wheel};

/// Chance that a clean lap names any reading: under the one in twenty that a mechanic forgives.
const FALSE_READING: f64 = 0.03;
/// Chance that a clean lap doubts a curve.
const FALSE_CURVE: f64 = 0.01;
/// A wheel is taken for more uneven than its class from this ratio of robust to expected variance on.
const UNEVEN: f64 = 2.0;
/// No more than this share of the spokes is named: beyond it the wheel, not the reading, is the news.
const MOST_NAMED: f64 = 0.25;
/// Share of the largest variance added to every resultant, so that one which no spoke can produce
/// (the torque of an all-radial wheel) does not make the covariance singular.
const JITTER: f64 = 1e-12;

/// What a lap looks like.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pattern {
    /// Readings to take again, the most doubtful first.
    pub suspicious: Vec<Suspicion>,
    /// A scale error of one side's curve, when statics asks for one.
    pub curve: Option<CurveDoubt>,
}

/// A reading that stands out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspicion {
    /// The spoke.
    pub spoke: SpokeIndex,
    /// By how much its tension as read seems too high (or too low), in newtons.
    pub off_n: f64,
    /// The same in standard deviations of what a good reading may do.
    pub deviations: f64,
}

/// The two sides do not balance, and one wrong factor would explain it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurveDoubt {
    /// The side whose tensions would have to be scaled.
    pub side: Side,
    /// Per cent by which they seem too high, against the other side.
    pub percent: f64,
    /// The same in standard deviations.
    pub deviations: f64,
}

/// What noise, evenness and statics say of a lap, as one linear problem.
struct Lap {
    /// Forces in newtons, then the resultants that must vanish.
    seen: DVector<f64>,
    /// The means that are free: one per group; then whatever has been found wrong so far.
    free: Vec<DVector<f64>>,
    /// Inverse of the covariance of `seen`.
    weight: DMatrix<f64>,
    /// The spokes with a force.
    spokes: Vec<SpokeIndex>,
}

/// Looks at one lap (or the mean of several) of one state.
///
/// `evenness` is the stated relative standard deviation of a wheel of this class.
#[must_use]
pub fn watch(wheel: &Wheel, tensions: &Tensions, evenness: f64) -> Pattern {
    let Some(mut lap) = Lap::of(wheel, tensions, evenness) else {
        return Pattern::default();
    };
    let mut pattern = Pattern::default();
    let count = lap.spokes.len();
    let per_spoke = 1.0 - (1.0 - FALSE_READING).powf(1.0 / count as f64);
    let critical = normal_quantile(1.0 - per_spoke / 2.0);
    let critical_curve = normal_quantile(1.0 - FALSE_CURVE / 2.0);
    let most = ((MOST_NAMED * count as f64) as usize).max(1);
    loop {
        let projection = lap.projection();
        let best = (0..count)
            .filter(|place| {
                !pattern
                    .suspicious
                    .iter()
                    .any(|known| known.spoke == lap.spokes[*place])
            })
            .filter_map(|place| {
                lap.test(&projection, &lap.unit(place))
                    .map(|found| (place, found))
            })
            .max_by(|(_, a), (_, b)| a.deviations.abs().total_cmp(&b.deviations.abs()));
        let curve = if pattern.curve.is_none() {
            lap.curve(wheel, &projection)
        } else {
            None
        };
        let over = best.filter(|(_, found)| found.deviations.abs() > critical);
        let curve_over = curve.filter(|doubt| doubt.deviations.abs() > critical_curve);
        match (over, curve_over) {
            (Some((_, found)), Some(doubt)) if doubt.deviations.abs() >= found.deviations.abs() => {
                lap.free.push(lap.side(wheel, doubt.side));
                pattern.curve = Some(doubt);
            }
            (None, Some(doubt)) => {
                lap.free.push(lap.side(wheel, doubt.side));
                pattern.curve = Some(doubt);
            }
            (Some((place, found)), _) if pattern.suspicious.len() < most => {
                lap.free.push(lap.unit(place));
                pattern.suspicious.push(Suspicion {
                    spoke: lap.spokes[place],
                    off_n: found.size,
                    deviations: found.deviations,
                });
            }
            _ => return pattern,
        }
    }
}

/// Size of an error along a direction, and its distance from nothing in standard deviations.
#[derive(Debug, Clone, Copy)]
struct Found {
    size: f64,
    deviations: f64,
}

impl Lap {
    fn of(wheel: &Wheel, tensions: &Tensions, evenness: f64) -> Option<Self> {
        let (spokes, forces): (Vec<SpokeIndex>, Vec<&crate::tension::Measured>) = wheel
            .placed()
            .filter_map(|(place, _)| {
                tensions.spokes[place.0]
                    .measured()
                    .map(|found| (place, found))
            })
            .unzip();
        let count = spokes.len();
        if count < 4 {
            return None;
        }
        let place_of = |spoke: &SpokeIndex| spokes.iter().position(|other| other == spoke);
        let groups: Vec<Vec<usize>> = wheel
            .groups()
            .iter()
            .map(|(.., members)| members.iter().filter_map(place_of).collect::<Vec<_>>())
            .filter(|members| !members.is_empty())
            .collect();
        let forces_n: Vec<f64> = forces.iter().map(|found| found.force.to_n()).collect();
        let noise = DMatrix::from_fn(count, count, |row, column| {
            let (a, b) = (forces[row], forces[column]);
            let common: f64 = a
                .by_latent_n
                .iter()
                .zip(&b.by_latent_n)
                .map(|(x, y)| x * y)
                .sum();
            common
                + if row == column {
                    a.private_n * a.private_n
                } else {
                    0.0
                }
        });
        let mut uneven = vec![0.0; count];
        for members in &groups {
            let mean_n =
                members.iter().map(|place| forces_n[*place]).sum::<f64>() / members.len() as f64;
            for place in members {
                uneven[*place] = (evenness * mean_n).powi(2);
            }
        }
        widen(&mut uneven, &groups, &forces_n, &forces);
        // Statics can speak only when it knows every spoke.
        let rows = if count == wheel.spokes.len() { 6 } else { 0 };
        let equilibrium = Equilibrium::of(wheel);
        let g = DMatrix::from_fn(rows, count, |row, spoke| {
            equilibrium.column(SpokeIndex(spoke))[row]
        });
        let carried = DMatrix::from_fn(rows, count, |row, spoke| g[(row, spoke)] * uneven[spoke]);
        let mut doubt = &carried * g.transpose();
        if rows > 0 {
            let sensitivity = Equilibrium::geometry_sensitivity(wheel, &forces_n);
            for (change, variance) in sensitivity.iter().zip(geometry_variances(wheel)) {
                let change = DVector::from_row_slice(change);
                doubt += &change * change.transpose() * variance;
            }
            let floor = JITTER * doubt.diagonal().max();
            for row in 0..rows {
                doubt[(row, row)] += floor;
            }
        }
        let size = count + rows;
        let mut covariance = DMatrix::zeros(size, size);
        covariance
            .view_mut((0, 0), (count, count))
            .copy_from(&noise);
        for place in 0..count {
            covariance[(place, place)] += uneven[place];
        }
        covariance
            .view_mut((count, 0), (rows, count))
            .copy_from(&carried);
        covariance
            .view_mut((0, count), (count, rows))
            .copy_from(&carried.transpose());
        covariance
            .view_mut((count, count), (rows, rows))
            .copy_from(&doubt);
        let weight = covariance.cholesky()?.inverse();
        let mut seen = DVector::zeros(size);
        seen.rows_mut(0, count)
            .copy_from(&DVector::from_row_slice(&forces_n));
        let free = groups
            .iter()
            .map(|members| {
                let mut column = DVector::zeros(size);
                for place in members {
                    column[*place] = 1.0;
                    for row in 0..rows {
                        column[count + row] += g[(row, *place)];
                    }
                }
                column
            })
            .collect();
        Some(Self {
            seen,
            free,
            weight,
            spokes,
        })
    }

    /// P = W − W X (Xᵀ W X)⁻¹ Xᵀ W (eq. 5.9).
    fn projection(&self) -> DMatrix<f64> {
        let x = DMatrix::from_columns(&self.free);
        let wx = &self.weight * &x;
        let normal = x.transpose() * &wx;
        // Directions that the free ones already cover leave the normal matrix singular.
        let Ok(inverse) = normal.pseudo_inverse(1e-9) else {
            return self.weight.clone();
        };
        &self.weight - &wx * inverse * wx.transpose()
    }

    /// w = dᵀ P z/√(dᵀ P d), normal when nothing is wrong along d (eq. 5.10).
    fn test(&self, projection: &DMatrix<f64>, direction: &DVector<f64>) -> Option<Found> {
        let along = projection * direction;
        let information = direction.dot(&along);
        // A direction that the free ones cover carries no information.
        let seen = along.dot(&self.seen);
        (information > 1e-9 * direction.dot(&(&self.weight * direction))).then(|| Found {
            size: seen / information,
            deviations: seen / information.sqrt(),
        })
    }

    fn unit(&self, place: usize) -> DVector<f64> {
        let mut direction = DVector::zeros(self.seen.len());
        direction[place] = 1.0;
        direction
    }

    /// All tensions of one side, as read: the direction of a wrong factor of its curve.
    fn side(&self, wheel: &Wheel, side: Side) -> DVector<f64> {
        let mut direction = DVector::zeros(self.seen.len());
        for (place, spoke) in self.spokes.iter().enumerate() {
            if wheel.spokes[spoke.0].side == side {
                direction[place] = self.seen[place];
            }
        }
        direction
    }

    fn curve(&self, wheel: &Wheel, projection: &DMatrix<f64>) -> Option<CurveDoubt> {
        Side::BOTH
            .into_iter()
            .filter_map(|side| {
                let found = self.test(projection, &self.side(wheel, side))?;
                Some(CurveDoubt {
                    side,
                    percent: 100.0 * found.size,
                    deviations: found.deviations,
                })
            })
            .max_by(|a, b| a.deviations.abs().total_cmp(&b.deviations.abs()))
    }
}

/// A wheel far less even than its class is judged by its own robust spread, else every spoke of it
/// would be asked for again.
fn widen(
    uneven: &mut [f64],
    groups: &[Vec<usize>],
    forces_n: &[f64],
    forces: &[&crate::tension::Measured],
) {
    let mut ratios = Vec::new();
    let mut expected = 0.0;
    for members in groups.iter().filter(|members| members.len() > 2) {
        let middle = median(members.iter().map(|place| forces_n[*place]).collect());
        for place in members {
            let variance = uneven[*place] + forces[*place].private_n.powi(2);
            ratios.push(((forces_n[*place] - middle).powi(2) / variance).sqrt());
            expected += forces[*place].private_n.powi(2) / variance;
        }
    }
    if ratios.is_empty() {
        return;
    }
    let noise_share = expected / ratios.len() as f64;
    // The median of |x| of a standard normal is 0.6745.
    let robust = (median(ratios) / 0.674_5).powi(2);
    if robust > UNEVEN {
        let factor = (robust - noise_share) / (1.0 - noise_share).max(1e-9);
        uneven.iter_mut().for_each(|variance| *variance *= factor);
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len() % 2 == 1 {
        values[half]
    } else {
        f64::midpoint(values[half - 1], values[half])
    }
}

/// The findings that a pattern gives rise to, as questions to the mechanic.
#[must_use]
pub fn questions(
    wheel: &Wheel,
    state: State,
    pattern: &Pattern,
    is_true: impl Fn(SpokeIndex) -> Option<bool>,
) -> Vec<Finding> {
    let when = match state {
        State::Bare => "Bare",
        State::Tyred => "Tyred",
    };
    let mut findings = Vec::new();
    if let Some(doubt) = pattern.curve {
        let (side, other) = (doubt.side.word(), doubt.side.opposite().word());
        let high = if doubt.percent > 0.0 { "high" } else { "low" };
        findings.push(Finding::doubt(
            "wrong-curve",
            format!("{when}: the two sides do not balance: the {side} tensions look {:.0} % too {high} against the {other} ones, all of them alike. One reading does not do that. Is the curve of that spoke kind the right one, and are flange offsets and dish as in the wheel file?", doubt.percent.abs()),
        ));
    }
    for one in &pattern.suspicious {
        let spoke = &wheel.spokes[one.spoke.0];
        let high = if one.off_n > 0.0 { "high" } else { "low" };
        // Round wire reads alike whichever way it stands.
        let section = wheel.kind_of(spoke).section;
        let can_twist = !matches!(section, Some(wheel::Section::Wire(_)));
        let why = match is_true(one.spoke) {
            Some(true) if can_twist => {
                " on a rim that runs true there: a twisted blade reads like this. Turn it straight and take it again."
            }
            Some(true) => {
                " on a rim that runs true there: the gauge may have slipped, or the pen. Take it again."
            }
            Some(false) => " and the rim is out of true there: it may be so. Take it again.",
            None if can_twist => {
                ": twisted blade, slipped gauge or a slip of the pen? Take it again."
            }
            None => ": slipped gauge or a slip of the pen? Take it again.",
        };
        findings.push(
            Finding::question(
                "take-again",
                format!(
                    "{when}: spoke {} {} reads far too {high} for its side{why}",
                    one.spoke.number(),
                    spoke.side.word()
                ),
            )
            .on(vec![one.spoke]),
        );
    }
    findings
}
