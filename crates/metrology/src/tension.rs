//! From the laps of a visit to the tension of every spoke, with what its error shares with the others.
//!
//! Each tension hangs on the latent sources of its curve, common to all spokes read with it, and on its
//! own reading noise. All curves of a visit stand side by side in one list of latent sources, so that
//! bare and tyred tensions know what they have in common (theory §5.1).

use crate::calibration::{Answer, Calibrated, Known, calibrate};
use crate::finding::Finding;
use crate::gauge::Gauge;
use crate::lap::{Lap, State, Taken};
use crate::visit::Visit;
use quantity::{Covariance, Force, Pressure};
use wheel::{KindIndex, SpokeIndex};

/// A gauge's curve on a spoke kind, with its place among the visit's latent sources.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedCurve {
    /// The gauge.
    pub gauge: Gauge,
    /// The spoke kind.
    pub kind: KindIndex,
    /// Where its points come from.
    pub points_name: String,
    /// The curve and what it rests on.
    pub calibrated: Calibrated,
    /// First of its latent sources in the visit's list.
    pub first_latent: usize,
}

/// The curves of a visit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Curves {
    /// The curves, in the visit's order.
    pub placed: Vec<PlacedCurve>,
    /// Number of latent sources of all curves together.
    pub latents: usize,
}

impl Curves {
    /// Calibrates every set of rig points of a visit; one that gives no curve becomes a finding, and
    /// the spokes that need it get no force.
    #[must_use]
    pub fn of(visit: &Visit) -> (Self, Vec<Finding>) {
        let mut curves = Self::default();
        let mut findings = Vec::new();
        for set in &visit.calibrations {
            let kind = &visit.wheel.kinds[set.kind.0];
            let known = Known::of(&set.gauge, kind);
            match calibrate(&set.points, Some(&set.gauge), known, None) {
                Ok(calibrated) => {
                    findings.extend(calibrated.findings.iter().cloned().map(|mut finding| {
                        finding.says =
                            format!("{} ({}): {}", set.points_name, kind.name, finding.says);
                        finding
                    }));
                    let first_latent = curves.latents;
                    curves.latents += calibrated.curve.latents();
                    curves.placed.push(PlacedCurve {
                        gauge: set.gauge.clone(),
                        kind: set.kind,
                        points_name: set.points_name.clone(),
                        calibrated,
                        first_latent,
                    });
                }
                Err(error) => findings.push(Finding::doubt(
                    "no-curve",
                    format!(
                        "{}: no curve for {} on {}: {error}",
                        set.points_name, set.gauge.label, kind.name
                    ),
                )),
            }
        }
        (curves, findings)
    }

    /// The curves as they would stand with one more rig point on one of them, read as well as the
    /// others were: the same forces, less doubt.
    #[must_use]
    pub fn with_one_more_point(&self, place: usize, force: Force) -> Option<Self> {
        let mut curves = self.clone();
        let calibrated = &mut curves.placed[place].calibrated;
        let points = &calibrated.residuals;
        let u_force_n = points
            .iter()
            .filter_map(|seen| seen.point.u_force)
            .map(Force::to_n)
            .sum::<f64>()
            / points.len() as f64;
        let (by_force, _) = calibrated.curve.slopes_at(force)?;
        let u_divisions = calibrated.reading_u.hypot(by_force * u_force_n);
        calibrated.curve = calibrated.curve.with_one_more_point(force, u_divisions)?;
        curves.latents = 0;
        for placed in &mut curves.placed {
            placed.first_latent = curves.latents;
            curves.latents += placed.calibrated.curve.latents();
        }
        Some(curves)
    }

    /// The curve of a gauge on a kind.
    #[must_use]
    pub fn find(&self, gauge: &str, kind: KindIndex) -> Option<usize> {
        self.placed
            .iter()
            .position(|curve| curve.gauge.label == gauge && curve.kind == kind)
    }
}

/// The readings of one spoke in one state, by one gauge: their mean and its noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// The curve they are read through.
    pub curve: usize,
    /// Mean reading, in divisions.
    pub divisions: f64,
    /// Standard uncertainty of that mean by noise and steps, in divisions.
    pub u: f64,
    /// How many laps it is the mean of.
    pub laps: usize,
}

/// A tension with what it hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// The tension.
    pub force: Force,
    /// Change per standard deviation of each latent source of the visit's curves, in newtons.
    pub by_latent_n: Vec<f64>,
    /// Standard uncertainty by its own reading, in newtons.
    pub private_n: f64,
}

impl Measured {
    /// Standard uncertainty of this tension, curve and reading together.
    #[must_use]
    pub fn u(&self) -> Force {
        let common = self.by_latent_n.iter().map(|part| part * part).sum::<f64>();
        Force::n((common + self.private_n * self.private_n).sqrt())
    }
}

/// What is known of one spoke's tension in one state.
#[derive(Debug, Clone, PartialEq)]
pub enum Tension {
    /// It was read inside the curve's range.
    Measured(Measured),
    /// Its reading lies beyond the curve's end with the largest force.
    MoreThan(Force),
    /// Its reading lies beyond the curve's end with the smallest force.
    LessThan(Force),
    /// It was read, but no curve serves its gauge and kind.
    NoCurve,
    /// It was not read.
    NotRead,
}

impl Tension {
    /// The measured tension, if there is one.
    #[must_use]
    pub fn measured(&self) -> Option<&Measured> {
        match self {
            Self::Measured(measured) => Some(measured),
            _ => None,
        }
    }
}

/// Takes one more reading of a spoke into the mean of its gauge.
fn note(read: &mut Vec<GaugeReading>, gauge: &str, divisions: f64) {
    match read.iter_mut().find(|one| one.gauge == gauge) {
        Some(one) => {
            one.times += 1;
            one.divisions += (divisions - one.divisions) / one.times as f64;
        }
        None => read.push(GaugeReading {
            gauge: gauge.into(),
            divisions,
            times: 1,
        }),
    }
}

/// All tensions of one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Tensions {
    /// Bare or tyred.
    pub state: State,
    /// Tyre pressure of the laps used.
    pub pressure: Option<Pressure>,
    /// One entry per spoke, in the wheel's order.
    pub spokes: Vec<Tension>,
    /// Mean readings per spoke and curve; the draws start from these.
    pub shown: Vec<Vec<Shown>>,
    /// Mean readings per spoke and gauge, with a curve or without.
    pub read: Vec<Vec<GaugeReading>>,
    /// Laps used, as places in the visit.
    pub laps: Vec<usize>,
}

/// What one gauge read at a spoke, over all laps of a state.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeReading {
    /// The gauge's label.
    pub gauge: String,
    /// Mean of its readings.
    pub divisions: f64,
    /// So many of them.
    pub times: usize,
}

impl Tensions {
    /// What a spoke read in divisions; none when it was not read, or with gauges whose divisions differ.
    #[must_use]
    pub fn divisions(&self, spoke: SpokeIndex) -> Option<&GaugeReading> {
        match &self.read[spoke.0][..] {
            [only] => Some(only),
            _ => None,
        }
    }

    /// The tensions behind some laps of one state, repeated readings averaged.
    #[must_use]
    pub fn of(visit: &Visit, curves: &Curves, state: State, laps: &[usize]) -> Self {
        let count = visit.wheel.spokes.len();
        let mut sums: Vec<Vec<(usize, f64, usize)>> = vec![Vec::new(); count];
        let mut read: Vec<Vec<GaugeReading>> = vec![Vec::new(); count];
        for lap in laps {
            let Taken::Readings { gauge, readings } = &visit.laps[*lap].taken else {
                continue;
            };
            for reading in readings {
                let SpokeIndex(spoke) = reading.spoke;
                note(&mut read[spoke], gauge, reading.divisions);
                let Some(curve) = curves.find(gauge, visit.wheel.spokes[spoke].kind) else {
                    continue;
                };
                match sums[spoke].iter_mut().find(|(seen, ..)| *seen == curve) {
                    Some((_, sum, times)) => {
                        *sum += reading.divisions;
                        *times += 1;
                    }
                    None => sums[spoke].push((curve, reading.divisions, 1)),
                }
            }
        }
        let shown: Vec<Vec<Shown>> = sums
            .into_iter()
            .map(|of_spoke| {
                let mean = |(curve, sum, laps): (usize, f64, usize)| {
                    let times = laps as f64;
                    let u = curves.placed[curve].gauge.reading_u() / times.sqrt();
                    Shown {
                        curve,
                        divisions: sum / times,
                        u,
                        laps,
                    }
                };
                of_spoke.into_iter().map(mean).collect()
            })
            .collect();
        let spokes = shown
            .iter()
            .zip(&read)
            .map(|(shown, read)| match (read.is_empty(), shown.is_empty()) {
                (true, _) => Tension::NotRead,
                (false, true) => Tension::NoCurve,
                (false, false) => behind(shown, curves),
            })
            .collect();
        let pressure = laps.first().and_then(|lap| visit.laps[*lap].pressure);
        Self {
            state,
            pressure,
            spokes,
            shown,
            read,
            laps: laps.to_vec(),
        }
    }

    /// Whether every spoke has a force.
    #[must_use]
    pub fn are_complete(&self) -> bool {
        self.spokes.iter().all(|spoke| spoke.measured().is_some())
    }

    /// Tensions in newtons, when every spoke has one.
    #[must_use]
    pub fn in_newtons(&self) -> Option<Vec<f64>> {
        self.spokes
            .iter()
            .map(|spoke| spoke.measured().map(|found| found.force.to_n()))
            .collect()
    }

    /// Covariance of all tensions in N², when every spoke has one: common part and private part.
    #[must_use]
    pub fn covariance(&self) -> Option<Covariance> {
        let measured: Vec<&Measured> = self
            .spokes
            .iter()
            .map(Tension::measured)
            .collect::<Option<_>>()?;
        let mut covariance = Covariance::zero(measured.len());
        for (row, a) in measured.iter().enumerate() {
            for (column, b) in measured.iter().enumerate().take(row + 1) {
                let common: f64 = a
                    .by_latent_n
                    .iter()
                    .zip(&b.by_latent_n)
                    .map(|(x, y)| x * y)
                    .sum();
                let private = if row == column {
                    a.private_n * a.private_n
                } else {
                    0.0
                };
                covariance.set(row, column, common + private);
            }
        }
        Some(covariance)
    }
}

/// The tension behind a spoke's readings; a bound when any of them lies outside its curve.
fn behind(shown: &[Shown], curves: &Curves) -> Tension {
    let share = 1.0 / shown.len() as f64;
    let mut force = Force::ZERO;
    let mut by_latent_n = vec![0.0; curves.latents];
    let mut private = 0.0;
    for one in shown {
        let placed = &curves.placed[one.curve];
        let estimate = match placed.calibrated.curve.force_at(one.divisions) {
            Answer::MoreThan(bound) => return Tension::MoreThan(bound),
            Answer::LessThan(bound) => return Tension::LessThan(bound),
            Answer::Force(estimate) => estimate,
        };
        force = force + estimate.force * share;
        let own = &mut by_latent_n[placed.first_latent..];
        for (part, latent) in own.iter_mut().zip(&estimate.by_latent_n) {
            *part += latent * share;
        }
        private += (estimate.by_division_n * one.u * share).powi(2);
    }
    Tension::Measured(Measured {
        force,
        by_latent_n,
        private_n: private.sqrt(),
    })
}

/// The laps with gauge readings of one state, as places in the visit.
#[must_use]
pub fn gauge_laps(visit: &Visit, state: State) -> Vec<usize> {
    let wanted = |lap: &Lap| lap.state == state && matches!(lap.taken, Taken::Readings { .. });
    (0..visit.laps.len())
        .filter(|place| wanted(&visit.laps[*place]))
        .collect()
}
