//! The cheapest next measurement that would decide what is undecided (theory §5.5).
//!
//! A measurement is judged by the uncertainty that is expected to be left after it, at the value as it
//! stands, and by its minutes.

use crate::tension::{Curves, Tensions};
use crate::tyre_effect::{Drop, Part, drops};
use crate::visit::Visit;
use quantity::Force;
use quantity::distribution::normal_quantile;
use wheel::SpokeIndex;

/// Most repeats of a lap that anybody would take.
const MOST_LAPS: usize = 4;
/// Most further rig points that anybody would take at once.
const MOST_POINTS: usize = 6;

/// What to measure next.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Next {
    /// Further laps without a tyre.
    pub bare_laps: usize,
    /// Further laps with the tyre on.
    pub tyred_laps: usize,
    /// Further rig points: on which curve (its place among the visit's), at which force.
    pub rig_points: Vec<(usize, Force)>,
    /// What it takes.
    pub minutes: f64,
}

/// What would settle an undecided verdict.
#[derive(Debug, Clone, PartialEq)]
pub enum Settle {
    /// This would, as far as can be foreseen.
    By(Next),
    /// A reading lies beyond the curve of this place: one rig point past its end first.
    PastTheEnd(usize),
    /// The state was not measured at all: one lap of it.
    LapMissing(crate::lap::State),
    /// A weighing in the dress the claim names.
    Weigh,
    /// A lap with the dial.
    Dial,
    /// Nothing within reason: the value lies too close to the bound.
    TooClose,
}

/// Curves, one further rig point after another at whatever force helps most.
struct Foreseen {
    /// `[0]` is as things stand, `[r]` with r further points.
    curves: Vec<Curves>,
    points: Vec<(usize, Force)>,
}

impl Foreseen {
    fn of(curves: &Curves, forces: &[Force], left_open: impl Fn(&Curves) -> f64) -> Self {
        let mut foreseen = Self {
            curves: vec![curves.clone()],
            points: Vec::new(),
        };
        for _ in 0..MOST_POINTS {
            let latest = &foreseen.curves[foreseen.curves.len() - 1];
            let mut best: Option<(f64, Curves, (usize, Force))> = None;
            for place in 0..latest.placed.len() {
                let (low, high) = latest.placed[place].calibrated.curve.ends();
                let ends = [Force::n(low.force_n), Force::n(high.force_n)];
                for force in forces.iter().chain(&ends) {
                    let Some(next) = latest.with_one_more_point(place, *force) else {
                        continue;
                    };
                    let open = left_open(&next);
                    if best.as_ref().is_none_or(|(least, ..)| open < *least) {
                        best = Some((open, next, (place, *force)));
                    }
                }
            }
            let Some((_, next, point)) = best else { break };
            foreseen.curves.push(next);
            foreseen.points.push(point);
        }
        foreseen
    }
}

/// What would decide a claim on drops that is undecided for these parts.
#[must_use]
pub fn for_drops(
    visit: &Visit,
    curves: &Curves,
    bare: &Tensions,
    tyred: &Tensions,
    undecided: &[Part],
    (at_least, at_most): (f64, f64),
) -> Settle {
    let after = |curves: &Curves| {
        let of = |old: &Tensions| Tensions::of(visit, curves, old.state, &old.laps);
        drops(&visit.wheel, &of(bare), &of(tyred))
            .into_iter()
            .filter(|drop| undecided.contains(&drop.part))
            .collect::<Vec<Drop>>()
    };
    let forces: Vec<Force> = [bare, tyred].into_iter().filter_map(mean_force).collect();
    let open = |curves: &Curves| {
        after(curves)
            .iter()
            .map(|drop| drop.curve_u.powi(2))
            .sum::<f64>()
    };
    let foreseen = Foreseen::of(curves, &forces, open);
    let z = normal_quantile(visit.settings.decide_at);
    let by_points: Vec<Vec<Drop>> = foreseen.curves.iter().map(after).collect();
    let laps = |tensions: &Tensions| tensions.laps.len().max(1) as f64;
    cheapest(visit, &foreseen, |next| {
        by_points[next.rig_points.len()].iter().all(|drop| {
            let shrunk = |u: f64, tensions: &Tensions, more: usize| {
                u * (laps(tensions) / (laps(tensions) + more as f64)).sqrt()
            };
            let u = drop
                .curve_u
                .hypot(shrunk(drop.bare_u, bare, next.bare_laps))
                .hypot(shrunk(drop.tyred_u, tyred, next.tyred_laps));
            is_clear(drop.percent.value, u, (at_least, at_most), z)
        })
    })
}

/// What would decide a ceiling of tension that cannot be told for these spokes.
#[must_use]
pub fn for_ceiling(
    visit: &Visit,
    curves: &Curves,
    tensions: &Tensions,
    undecided: &[SpokeIndex],
    ceiling: Force,
) -> Settle {
    let outside = undecided
        .iter()
        .find(|spoke| tensions.spokes[spoke.0].measured().is_none());
    if let Some(spoke) = outside {
        return match tensions.shown[spoke.0].first() {
            Some(shown) => Settle::PastTheEnd(shown.curve),
            None => Settle::LapMissing(tensions.state),
        };
    }
    let after = |curves: &Curves| {
        let now = Tensions::of(visit, curves, tensions.state, &tensions.laps);
        undecided
            .iter()
            .filter_map(|spoke| now.spokes[spoke.0].measured().cloned())
            .collect::<Vec<_>>()
    };
    let curve_part = |one: &crate::tension::Measured| {
        one.by_latent_n.iter().map(|part| part * part).sum::<f64>()
    };
    let open = |curves: &Curves| after(curves).iter().map(curve_part).sum::<f64>();
    let foreseen = Foreseen::of(curves, &[ceiling], open);
    let by_points: Vec<_> = foreseen.curves.iter().map(after).collect();
    let z = normal_quantile(visit.settings.decide_at);
    let laps = tensions.laps.len().max(1) as f64;
    cheapest(visit, &foreseen, |next| {
        let more = match tensions.state {
            crate::lap::State::Bare => next.bare_laps,
            crate::lap::State::Tyred => next.tyred_laps,
        };
        by_points[next.rig_points.len()].iter().all(|one| {
            let private = one.private_n * (laps / (laps + more as f64)).sqrt();
            let u = (curve_part(one) + private * private).sqrt();
            is_clear(one.force.to_n(), u, (f64::NEG_INFINITY, ceiling.to_n()), z)
        })
    })
}

/// The cheapest combination that is enough; fewer things at once among equals.
fn cheapest(visit: &Visit, foreseen: &Foreseen, is_enough: impl Fn(&Next) -> bool) -> Settle {
    let mut best: Option<Next> = None;
    for points in 0..foreseen.curves.len() {
        for bare_laps in 0..=MOST_LAPS {
            for tyred_laps in 0..=MOST_LAPS {
                let minutes = (bare_laps + tyred_laps) as f64 * visit.settings.lap_minutes
                    + points as f64 * visit.settings.rig_point_minutes;
                let next = Next {
                    bare_laps,
                    tyred_laps,
                    rig_points: foreseen.points[..points].to_vec(),
                    minutes,
                };
                let cheaper = best.as_ref().is_none_or(|known| minutes < known.minutes);
                // Where the normal picture already counts it as decided the drawn one did not: then the
                // cheapest thing that sharpens it is still to be named.
                let asks = points + bare_laps + tyred_laps > 0;
                if asks && cheaper && is_enough(&next) {
                    best = Some(next);
                }
            }
        }
    }
    best.map_or(Settle::TooClose, Settle::By)
}

/// Whether a value with this uncertainty would be decided against both bounds.
fn is_clear(value: f64, u: f64, (at_least, at_most): (f64, f64), z: f64) -> bool {
    let inside = value - z * u >= at_least && value + z * u <= at_most;
    inside || value + z * u <= at_least || value - z * u >= at_most
}

fn mean_force(tensions: &Tensions) -> Option<Force> {
    let read: Vec<Force> = tensions
        .spokes
        .iter()
        .filter_map(|one| one.measured().map(|found| found.force))
        .collect();
    (!read.is_empty()).then(|| read.iter().copied().sum::<Force>() / read.len() as f64)
}
