//! What the gauge's entry and the spoke's data say before any rig point: the two constants that shape
//! the curve, each with its origin (theory §4.2).

use super::deflection::felt;
use crate::gauge::Gauge;
use quantity::Force;
use wheel::SpokeKind;

/// ln of ε = 40 N, when nothing is known: wire of EI 0.1 N m² over a half span of 50 mm.
const STIFFNESS_UNKNOWN: (f64, f64) = (3.689, 0.9);
/// EI of 0.1 N m² within a factor of 2.2, when only the span is known: from a thin blade to 2.0 mm wire.
const BENDING_UNKNOWN: (f64, f64) = (-2.303, 0.8);
/// Half span of 50 mm within a factor of 1.3, when only EI is known.
const HALF_SPAN_UNKNOWN: (f64, f64) = (-2.996, 0.26);
/// Relative uncertainty of an EI that is given without one.
const BENDING_U: f64 = 0.10;
/// Relative uncertainty of a support span and of a spring's rate as written on a gauge.
const SPAN_U: f64 = 0.01;
/// See [`SPAN_U`].
const SPRING_U: f64 = 0.10;
/// Bend of gauges at large: springs from stiff (bend 0.1) to soft (1.0) lie within two of these.
const BEND_UNKNOWN: (f64, f64) = (0.6, 0.25);

/// Where a constant of the curve comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// From the gauge's entry and the spoke's data, held with its uncertainty.
    Given,
    /// From a stated prior for gauges and spokes at large.
    Prior,
    /// From the points.
    Fitted,
}

/// A constant before the points: expected value, standard uncertainty, origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Before {
    /// Expected value.
    pub value: f64,
    /// Standard uncertainty.
    pub u: f64,
    /// Where it comes from.
    pub origin: Origin,
}

/// The two constants before the points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// ln(ε/1 N).
    pub log_stiffness: Before,
    /// Spring's pull k_s a/2 in newtons, when the gauge's entry gives spring and span.
    pub spring_n: Option<Before>,
}

impl Known {
    /// What is known of this gauge on this spoke kind.
    #[must_use]
    pub fn of(gauge: &Gauge, kind: &SpokeKind) -> Self {
        let half_span_m = gauge.support_span.map(|span| span.to_m() / 2.0);
        let bending = kind.bending.map(|bending| {
            (
                bending.to_n_m2().ln(),
                kind.bending_u_relative.unwrap_or(BENDING_U),
            )
        });
        let log_stiffness = match (bending, half_span_m) {
            (None, None) => prior(STIFFNESS_UNKNOWN),
            (Some((ei, u)), None) => Before {
                value: ei - 2.0 * HALF_SPAN_UNKNOWN.0,
                u: u.hypot(2.0 * HALF_SPAN_UNKNOWN.1),
                origin: Origin::Prior,
            },
            (None, Some(a_m)) => Before {
                value: BENDING_UNKNOWN.0 - 2.0 * a_m.ln(),
                u: BENDING_UNKNOWN.1,
                origin: Origin::Prior,
            },
            (Some((ei, u)), Some(a_m)) => Before {
                value: ei - 2.0 * a_m.ln(),
                u: u.hypot(2.0 * SPAN_U),
                origin: Origin::Given,
            },
        };
        let spring_n = half_span_m.zip(gauge.spring).map(|(a_m, spring)| {
            let value = spring.to_n_per_m() * a_m / 2.0;
            Before {
                value,
                u: SPRING_U * value,
                origin: Origin::Given,
            }
        });
        Self {
            log_stiffness,
            spring_n,
        }
    }

    /// Whether anything but priors at large is known, so that few points may lean on it.
    #[must_use]
    pub fn is_something(&self) -> bool {
        self.spring_n.is_some() || self.log_stiffness.origin == Origin::Given
    }

    /// The bend expected between two anchors (eq. 4.7), and how surely.
    #[must_use]
    pub fn bend(&self, low: Force, high: Force) -> Before {
        let Some(spring) = self.spring_n else {
            return prior(BEND_UNKNOWN);
        };
        let bend = |spring_n: f64, log_stiffness: f64| {
            let stiffness_n = log_stiffness.exp();
            let (low_n, high_n) = (
                felt(low.to_n(), stiffness_n).force_n,
                felt(high.to_n(), stiffness_n).force_n,
            );
            bend_of(spring_n, low_n, high_n)
        };
        let (spring_n, log) = (spring.value, self.log_stiffness.value);
        let by_spring = (bend(spring_n + spring.u, log) - bend(spring_n - spring.u, log)) / 2.0;
        let u_log = self.log_stiffness.u.min(1.0);
        let by_stiffness = (bend(spring_n, log + u_log) - bend(spring_n, log - u_log)) / 2.0;
        Before {
            value: bend(spring_n, log),
            u: by_spring.hypot(by_stiffness),
            origin: Origin::Given,
        }
    }
}

/// Bend of a spring of pull k_s a/2 between two felt forces (eq. 4.7).
fn bend_of(spring_n: f64, low_n: f64, high_n: f64) -> f64 {
    let c = (high_n - low_n) / (low_n + spring_n);
    let excess = high_n / low_n - 1.0;
    c * (2.0 + excess) / (excess * (2.0 + c))
}

/// Spring's pull k_s a/2 behind a bend between two anchors, in newtons; none for a bend of 0 or less.
#[must_use]
pub fn spring_behind(bend: f64, low: Force, high: Force, log_stiffness: f64) -> Option<f64> {
    let stiffness_n = log_stiffness.exp();
    let (low_n, high_n) = (
        felt(low.to_n(), stiffness_n).force_n,
        felt(high.to_n(), stiffness_n).force_n,
    );
    let excess = high_n / low_n - 1.0;
    let c = 2.0 * bend * excess / (2.0 + excess - bend * excess);
    (c > 0.0).then(|| (high_n - low_n) / c - low_n)
}

fn prior((value, u): (f64, f64)) -> Before {
    Before {
        value,
        u,
        origin: Origin::Prior,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bend_leads_back_to_its_spring() {
        let (low, high) = (Force::n(600.0), Force::n(1200.0));
        for spring_n in [10.0, 400.0, 3000.0] {
            let log = 50_f64.ln();
            let (low_n, high_n) = (felt(600.0, 50.0).force_n, felt(1200.0, 50.0).force_n);
            let bend = bend_of(spring_n, low_n, high_n);
            let back = spring_behind(bend, low, high, log).expect("a spring");
            assert!(
                (back / spring_n - 1.0).abs() < 1e-9,
                "{spring_n} {bend} {back}"
            );
        }
    }

    #[test]
    fn no_spring_bends_fully_and_an_endless_one_not_at_all() {
        assert!((bend_of(0.0, 700.0, 1500.0) - 1.0).abs() < 1e-12);
        assert!(bend_of(1e12, 700.0, 1500.0).abs() < 1e-8);
    }
}
