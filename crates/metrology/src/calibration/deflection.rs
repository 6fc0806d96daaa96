//! How far a tensioned spoke gives under a gauge: the physics of three points (theory §4.1).
//!
//! The spoke is a beam in tension that runs on past both supports. What the gauge feels of tension T
//! is the *felt force* K(T) a/2, half the span times the stiffness under the plunger: for a limp wire
//! it is T itself, for a stiff one it is more. It is homogeneous: felt(T, ε) = ε f(T/ε) with
//! ε = EI/a², so one function of one variable serves every spoke (eq. 4.3).

use std::sync::OnceLock;

/// Below this κa the closed form cancels; the series of eq. 4.4 is exact to 1e-13 there.
const SERIES_BELOW: f64 = 0.2;

/// Felt force and its slopes by tension and by stiffness ε = EI/a².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Felt {
    /// K(T) a/2, in newtons.
    pub force_n: f64,
    /// Its change per newton of tension.
    pub by_tension: f64,
    /// Its change per newton of ε.
    pub by_stiffness: f64,
}

/// Felt force of a spoke with stiffness ε = EI/a² (N) under tension T (N), both positive (eq. 4.2).
///
/// Limits: 3ε for no tension (F a³/(6EI)), T for a limp wire (F a/(2T)). Checked in
/// `tests/validation.rs` against tabulated deflections.
#[must_use]
pub fn felt(tension_n: f64, stiffness_n: f64) -> Felt {
    let x = (tension_n / stiffness_n).sqrt();
    let (share, slope) = bending_share(x);
    // f = x²/D and df/dx; then T ∂/∂T + ε ∂/∂ε leaves a homogeneous function unchanged.
    let f = x * x / share;
    let f_by_x = (2.0 * x * share - x * x * slope) / (share * share);
    let by_tension = f_by_x / (2.0 * x);
    let force_n = stiffness_n * f;
    Felt {
        force_n,
        by_tension,
        by_stiffness: f - x * f_by_x / 2.0,
    }
}

/// D(κa) = 1 − (1 − e)(3 − e)/(2κa), e = exp(−κa), and its slope.
fn bending_share(x: f64) -> (f64, f64) {
    if x < SERIES_BELOW {
        // (1 − e)(3 − e) = Σ (−1)ⁿ (2ⁿ − 4) xⁿ/n!, the sum from n = 3 after the leading 2x.
        let (mut share, mut slope) = (0.0, 0.0);
        let mut power_over_factorial = x * x / 6.0;
        for n in 3..16_i32 {
            let sign = if n % 2 == 0 { -0.5 } else { 0.5 };
            let term = sign * (f64::from(n).exp2() - 4.0) * power_over_factorial;
            share += term;
            slope += f64::from(n - 1) * term / x;
            power_over_factorial *= x / f64::from(n + 1);
        }
        (share, slope)
    } else {
        let e = (-x).exp();
        let product = (1.0 - e) * (3.0 - e);
        let by_x = 4.0 * e - 2.0 * e * e;
        (
            1.0 - product / (2.0 * x),
            -(by_x / x - product / (x * x)) / 2.0,
        )
    }
}

/// Tension behind a felt force, for stiffness ε; none below 3ε, which is a spoke without tension.
#[must_use]
pub fn tension_behind(felt_n: f64, stiffness_n: f64) -> Option<f64> {
    let mut x = Table::shared().root(felt_n / stiffness_n)?;
    // Newton from the table's value; two steps reach the last digit.
    for _ in 0..2 {
        let here = felt(x * x * stiffness_n, stiffness_n);
        x -= (here.force_n - felt_n) / (here.by_tension * 2.0 * x * stiffness_n);
        x = x.max(f64::MIN_POSITIVE.sqrt());
    }
    Some(x * x * stiffness_n)
}

/// From felt force to tension for one stiffness, from a table alone: 1e-8 relative, for many draws.
#[derive(Debug, Clone, Copy)]
pub struct Inverse {
    table: &'static Table,
    stiffness_n: f64,
    per_newton: f64,
}

impl Inverse {
    /// The inverse for stiffness ε, in newtons.
    #[must_use]
    pub fn of(stiffness_n: f64) -> Self {
        Self {
            table: Table::shared(),
            stiffness_n,
            per_newton: 1.0 / stiffness_n,
        }
    }

    /// Tension behind a felt force; none below 3ε, which is a spoke without tension.
    #[must_use]
    pub fn tension_n(&self, felt_n: f64) -> Option<f64> {
        let x = self.table.root(felt_n * self.per_newton)?;
        Some(x * x * self.stiffness_n)
    }
}

/// The inverse of f(x²), x = κa, tabulated once: f(T/ε) = y gives x, with Hermite cubics in s = √(y − 3).
#[derive(Debug)]
struct Table {
    nodes: Vec<(f64, f64)>,
}

impl Table {
    /// Spacing of the nodes in s; with cubics the error falls as its fourth power.
    const STEP: f64 = 1.0 / Self::PER_STEP;
    /// Nodes per unit of s.
    const PER_STEP: f64 = 32.0;
    /// Largest s of the table: T/ε of about 10⁶. Beyond it x = y-linear asymptote of eq. 4.5 holds.
    const LARGEST: f64 = 64.0;

    fn shared() -> &'static Self {
        static SHARED: OnceLock<Table> = OnceLock::new();
        SHARED.get_or_init(Self::tabulate)
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small positive count"
    )]
    fn tabulate() -> Self {
        let count = (Self::LARGEST / Self::STEP) as usize + 2;
        let mut x: f64 = 0.0;
        let nodes = (0..count)
            .map(|place| {
                #[expect(clippy::cast_precision_loss, reason = "a few thousand at most")]
                let s = place as f64 * Self::STEP;
                let wanted = 3.0 + s * s;
                if place == 0 {
                    // f ≈ 3 + (9/4) x near nothing, so x ≈ (4/9) s²: value and slope vanish.
                    return (0.0, 0.0);
                }
                x = x.max(4.0 / 9.0 * s * s * 0.5);
                for _ in 0..60 {
                    let here = felt(x * x, 1.0);
                    let step = (here.force_n - wanted) / (here.by_tension * 2.0 * x);
                    x = if step < x { x - step } else { x / 2.0 };
                    if step.abs() < 1e-15 * x {
                        break;
                    }
                }
                let slope = 2.0 * s / (felt(x * x, 1.0).by_tension * 2.0 * x);
                (x, slope)
            })
            .collect();
        Self { nodes }
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "checked against the table's end"
    )]
    fn root(&self, y: f64) -> Option<f64> {
        let above = y - 3.0;
        if above <= 0.0 || above.is_nan() {
            return None;
        }
        let place = above.sqrt() * Self::PER_STEP;
        let node = place as usize;
        if node + 1 >= self.nodes.len() {
            // x² − … : D → 1 − 3/(2x) + 2e⁻ˣ/x, so y = x²/(1 − 3/(2x)) (eq. 4.5): one cubic, by iteration.
            let mut x = y.sqrt();
            for _ in 0..20 {
                x = (y * (1.0 - 1.5 / x)).sqrt();
            }
            return Some(x);
        }
        #[expect(clippy::cast_precision_loss, reason = "a few thousand at most")]
        let t = place - node as f64;
        let ((x0, d0), (x1, d1)) = (self.nodes[node], self.nodes[node + 1]);
        let (d0, d1) = (d0 * Self::STEP, d1 * Self::STEP);
        let rise = x1 - x0;
        Some(x0 + t * (d0 + t * ((3.0 * rise - 2.0 * d0 - d1) + t * (d0 + d1 - 2.0 * rise))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_slopes_of_the_felt_force_are_its_differences() {
        for (tension_n, stiffness_n) in [(0.4, 60.0), (3.0, 60.0), (900.0, 60.0), (1500.0, 4.0)] {
            let here = felt(tension_n, stiffness_n);
            let step = 1e-4 * tension_n;
            let by_tension = (felt(tension_n + step, stiffness_n).force_n
                - felt(tension_n - step, stiffness_n).force_n)
                / (2.0 * step);
            assert!(
                (here.by_tension / by_tension - 1.0).abs() < 1e-6,
                "{tension_n} {here:?}"
            );
            let step = 1e-4 * stiffness_n;
            let by_stiffness = (felt(tension_n, stiffness_n + step).force_n
                - felt(tension_n, stiffness_n - step).force_n)
                / (2.0 * step);
            assert!(
                (here.by_stiffness / by_stiffness - 1.0).abs() < 1e-6,
                "{tension_n} {here:?}"
            );
        }
    }

    #[test]
    fn a_felt_force_leads_back_to_its_tension() {
        for tension_n in [0.01, 1.0, 30.0, 300.0, 1200.0, 3000.0, 1e6, 1e8] {
            for stiffness_n in [0.5, 5.0, 60.0, 400.0] {
                let felt_n = felt(tension_n, stiffness_n).force_n;
                let back = tension_behind(felt_n, stiffness_n).expect("under tension");
                assert!(
                    (back / tension_n - 1.0).abs() < 1e-9,
                    "{tension_n} {stiffness_n}: {back}"
                );
            }
        }
        assert_eq!(tension_behind(3.0 * 60.0, 60.0), None);
    }

    #[test]
    fn the_table_alone_is_good_to_a_part_in_a_hundred_million_under_working_tension() {
        for tension_n in [50.0, 120.0, 777.0, 1200.0, 2500.0] {
            for stiffness_n in [2.0, 20.0, 60.0, 200.0] {
                let felt_n = felt(tension_n, stiffness_n).force_n;
                let back = Inverse::of(stiffness_n)
                    .tension_n(felt_n)
                    .expect("under tension");
                assert!(
                    (back / tension_n - 1.0).abs() < 1e-8,
                    "{tension_n} {stiffness_n}: {back}"
                );
            }
        }
    }

    #[test]
    fn series_and_closed_form_meet() {
        let (below, above) = (
            bending_share(SERIES_BELOW * (1.0 - 1e-12)),
            bending_share(SERIES_BELOW),
        );
        assert!(
            (below.0 / above.0 - 1.0).abs() < 1e-11,
            "{below:?} {above:?}"
        );
        assert!(
            (below.1 / above.1 - 1.0).abs() < 1e-10,
            "{below:?} {above:?}"
        );
    }
}
