//! The families of curve: what a gauge reads at a force, with slopes by force and by parameter.

use super::deflection::{Felt, Inverse, felt, tension_behind};

/// The most parameters any family has.
pub(super) const MOST_PARAMETERS: usize = 8;

/// Bends a spring gauge can have, 0 to 1, and a quarter more either way for the noise of the points.
const BENDS: std::ops::RangeInclusive<f64> = -0.25..=1.25;

/// Number of halvings that pin a spline's root to the last digit of a double.
const ROOT_STEPS: usize = 60;

/// A family of curves, ready to be asked once its parameters are known.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// The gauge's physics (eq. 4.6), anchored at the readings of two forces.
    ///
    /// Parameters: reading at the low anchor, reading at the high anchor (divisions), bend β, and
    /// ln(ε/1 N). Between the anchors the share v of the felt force gives the share
    /// w = v (1 + c)/(1 + c v) of the reading; β = 0 is a spring without end (c = 0, straight in the
    /// felt force), β = 1 no spring (straight in its inverse).
    Spring {
        /// The low anchor, in newtons.
        low_n: f64,
        /// The high anchor, in newtons.
        high_n: f64,
    },
    /// The same for a limp wire, whose felt force is its tension: between the straight line in force
    /// (β = 0) and the straight line in 1/force (β = 1) through the anchors (eq. 4.8).
    Line {
        /// The low anchor, in newtons.
        low_n: f64,
        /// The high anchor, in newtons.
        high_n: f64,
    },
    /// A cubic B-spline in force whose coefficients run one way, so the curve does too (eq. 4.9).
    Spline {
        /// Distinct knots, ends included, in newtons.
        knots_n: Vec<f64>,
    },
}

/// A curve's reading at a force with its slopes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingAt {
    /// The reading, in divisions.
    pub divisions: f64,
    /// Its change per newton.
    pub by_force: f64,
    /// Its change by each parameter.
    pub by_parameter: [f64; MOST_PARAMETERS],
}

impl Shape {
    /// How many parameters the family has.
    #[must_use]
    pub fn parameters(&self) -> usize {
        match self {
            Self::Spring { .. } => 4,
            Self::Line { .. } => 3,
            Self::Spline { knots_n } => knots_n.len() + 2,
        }
    }

    /// What the gauge reads at a force; none where the parameters make no gauge.
    #[must_use]
    pub fn reading(&self, force_n: f64, parameters: &[f64]) -> Option<ReadingAt> {
        self.reading_on(self.anchors(parameters), force_n, parameters)
    }

    /// What is felt at the two anchors; of the parameters only ε counts.
    pub(super) fn anchors(&self, parameters: &[f64]) -> Span {
        match self {
            Self::Spring { low_n, high_n } => {
                let stiffness_n = parameters[3].exp();
                Span {
                    low: felt(*low_n, stiffness_n),
                    high: felt(*high_n, stiffness_n),
                }
            }
            Self::Line { low_n, high_n } => Span {
                low: limp(*low_n),
                high: limp(*high_n),
            },
            Self::Spline { knots_n } => Span {
                low: limp(knots_n[0]),
                high: limp(knots_n[knots_n.len() - 1]),
            },
        }
    }

    /// [`Shape::reading`] with the anchors at hand.
    pub(super) fn reading_on(
        &self,
        span: Span,
        force_n: f64,
        parameters: &[f64],
    ) -> Option<ReadingAt> {
        let mut by_parameter = [0.0; MOST_PARAMETERS];
        match self {
            Self::Spring { .. } => {
                let stiffness_n = parameters[3].exp();
                let here = felt(force_n, stiffness_n);
                let (divisions, by_felt, by_stiffness) =
                    span.reading(here, parameters, &mut by_parameter)?;
                by_parameter[3] = by_stiffness * stiffness_n;
                Some(ReadingAt {
                    divisions,
                    by_force: by_felt * here.by_tension,
                    by_parameter,
                })
            }
            Self::Line { .. } => {
                let (divisions, by_force, _) =
                    span.reading(limp(force_n), parameters, &mut by_parameter)?;
                Some(ReadingAt {
                    divisions,
                    by_force,
                    by_parameter,
                })
            }
            Self::Spline { knots_n } => {
                let (first, values, slopes) = cubic_basis(knots_n, force_n);
                let (mut divisions, mut by_force) = (0.0, 0.0);
                for place in 0..4 {
                    by_parameter[first + place] = values[place];
                    divisions += values[place] * parameters[first + place];
                    by_force += slopes[place] * parameters[first + place];
                }
                Some(ReadingAt {
                    divisions,
                    by_force,
                    by_parameter,
                })
            }
        }
    }

    /// One curve of the family, made ready for many readings; its forces are good to 1e-8 relative.
    #[must_use]
    pub fn prepare<'a>(&'a self, parameters: &[f64]) -> Option<Prepared<'a>> {
        match self {
            Self::Spring { .. } => {
                let map = self.anchors(parameters).undone(parameters)?;
                let behind = Inverse::of(parameters[3].exp());
                Some(Prepared::Spring { map, behind })
            }
            Self::Line { .. } => self
                .anchors(parameters)
                .undone(parameters)
                .map(Prepared::Line),
            Self::Spline { knots_n } => {
                let mut own = [0.0; MOST_PARAMETERS];
                own[..parameters.len()].copy_from_slice(parameters);
                Some(Prepared::Spline {
                    shape: self,
                    knots_n,
                    parameters: own,
                })
            }
        }
    }

    /// The force at which the gauge reads this; none where the curve never does.
    #[must_use]
    pub fn force_n(&self, divisions: f64, parameters: &[f64]) -> Option<f64> {
        match self {
            Self::Spring { .. } => {
                let felt_n = self
                    .anchors(parameters)
                    .undone(parameters)?
                    .felt_n(divisions)?;
                tension_behind(felt_n, parameters[3].exp())
            }
            Self::Line { .. } => self
                .anchors(parameters)
                .undone(parameters)?
                .felt_n(divisions),
            Self::Spline { knots_n } => self.spline_root(divisions, parameters, knots_n),
        }
    }

    fn spline_root(&self, divisions: f64, parameters: &[f64], knots_n: &[f64]) -> Option<f64> {
        let (mut low, mut high) = (knots_n[0], knots_n[knots_n.len() - 1]);
        let at = |force_n| self.reading(force_n, parameters);
        let (first, last) = (parameters[0], parameters[self.parameters() - 1]);
        let rises = last > first;
        // Outside its ends the spline has no value; rounding at an end is not "outside".
        let slack = 1e-9 * (last - first).abs();
        if (divisions < first.min(last) - slack) || (divisions > first.max(last) + slack) {
            return None;
        }
        let mut force_n =
            low + (high - low) * ((divisions - first) / (last - first)).clamp(0.0, 1.0);
        for _ in 0..ROOT_STEPS {
            let here = at(force_n)?;
            let miss = here.divisions - divisions;
            if miss == 0.0 {
                break;
            }
            if (miss > 0.0) == rises {
                high = force_n
            } else {
                low = force_n
            }
            let newton = force_n - miss / here.by_force;
            let next = if newton > low && newton < high {
                newton
            } else {
                f64::midpoint(low, high)
            };
            if (next - force_n).abs() <= 1e-13 * force_n {
                return Some(next);
            }
            force_n = next;
        }
        Some(force_n)
    }

    /// Whether these parameters make a curve that runs one way, in the wanted sense, over a range.
    #[must_use]
    pub fn is_a_gauge(&self, rises: bool, range_n: (f64, f64), parameters: &[f64]) -> bool {
        // 1 + c v is straight in the felt force, which rises with force: the ends decide.
        self.is_possible(rises, parameters)
            && self.reading(range_n.0, parameters).is_some()
            && self.reading(range_n.1, parameters).is_some()
    }

    /// Whether parameters taken alone could be a gauge's: the wanted sense, a bend that a spring can have.
    #[must_use]
    pub(super) fn is_possible(&self, rises: bool, parameters: &[f64]) -> bool {
        let sense = if rises { 1.0 } else { -1.0 };
        match self {
            Self::Spring { .. } | Self::Line { .. } => {
                BENDS.contains(&parameters[2]) && sense * (parameters[1] - parameters[0]) > 0.0
            }
            Self::Spline { .. } => parameters
                .windows(2)
                .all(|pair| sense * (pair[1] - pair[0]) > 0.0),
        }
    }
}

/// The felt forces at the two anchors.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    low: Felt,
    high: Felt,
}

impl Span {
    /// C, how much more is felt at the high anchor than at the low, as a share of the low.
    fn excess(&self) -> f64 {
        self.high.force_n / self.low.force_n - 1.0
    }

    /// Reading (eq. 4.6), its slope by the felt force at constant ε and its slope by ε.
    fn reading(
        &self,
        here: Felt,
        parameters: &[f64],
        by_parameter: &mut [f64; MOST_PARAMETERS],
    ) -> Option<(f64, f64, f64)> {
        let (bend, span_n) = (parameters[2], self.high.force_n - self.low.force_n);
        let rise = parameters[1] - parameters[0];
        let excess = self.excess();
        let c = curvature(bend, excess)?;
        let v = (here.force_n - self.low.force_n) / span_n;
        let bottom = 1.0 + c * v;
        if bottom <= 0.0 || bottom.is_nan() {
            return None;
        }
        let w = v * (1.0 + c) / bottom;
        let w_by_v = (1.0 + c) / (bottom * bottom);
        let w_by_c = v * (1.0 - v) / (bottom * bottom);
        let room = 2.0 + excess - bend * excess;
        by_parameter[0] = 1.0 - w;
        by_parameter[1] = w;
        by_parameter[2] = rise * w_by_c * 2.0 * excess * (2.0 + excess) / (room * room);
        let v_by_stiffness = (here.by_stiffness
            - self.low.by_stiffness
            - v * (self.high.by_stiffness - self.low.by_stiffness))
            / span_n;
        let excess_by_stiffness =
            (self.high.by_stiffness - (1.0 + excess) * self.low.by_stiffness) / self.low.force_n;
        let c_by_stiffness = 4.0 * bend / (room * room) * excess_by_stiffness;
        let by_stiffness = rise * (w_by_v * v_by_stiffness + w_by_c * c_by_stiffness);
        Some((
            parameters[0] + rise * w,
            rise * w_by_v / span_n,
            by_stiffness,
        ))
    }

    /// Eq. 4.6 undone, for these parameters.
    fn undone(&self, parameters: &[f64]) -> Option<Undone> {
        Some(Undone {
            low_n: self.low.force_n,
            span_n: self.high.force_n - self.low.force_n,
            divisions: parameters[0],
            per_division: 1.0 / (parameters[1] - parameters[0]),
            c: curvature(parameters[2], self.excess())?,
        })
    }
}

/// The map from a reading back to the felt force.
#[derive(Debug, Clone, Copy)]
pub struct Undone {
    low_n: f64,
    span_n: f64,
    divisions: f64,
    per_division: f64,
    c: f64,
}

impl Undone {
    fn felt_n(&self, divisions: f64) -> Option<f64> {
        let w = (divisions - self.divisions) * self.per_division;
        let bottom = 1.0 + self.c - self.c * w;
        let felt_n = self.low_n + w / bottom * self.span_n;
        (bottom > 0.0 && felt_n > 0.0).then_some(felt_n)
    }
}

/// A curve made ready for many readings.
#[derive(Debug, Clone)]
pub enum Prepared<'a> {
    /// [`Shape::Spring`].
    Spring {
        /// From reading to felt force.
        map: Undone,
        /// From felt force to tension.
        behind: Inverse,
    },
    /// [`Shape::Line`].
    Line(Undone),
    /// [`Shape::Spline`].
    Spline {
        /// The family.
        shape: &'a Shape,
        /// Its knots.
        knots_n: &'a [f64],
        /// Its coefficients, padded with zeros.
        parameters: [f64; MOST_PARAMETERS],
    },
    /// No curve: it answers nothing.
    Nothing,
}

impl Prepared<'_> {
    /// Force at a reading; none where the curve never reads this.
    #[must_use]
    pub fn force_n(&self, divisions: f64) -> Option<f64> {
        match self {
            Self::Spring { map, behind } => behind.tension_n(map.felt_n(divisions)?),
            Self::Line(map) => map.felt_n(divisions),
            Self::Spline {
                shape,
                knots_n,
                parameters,
            } => shape.spline_root(divisions, &parameters[..knots_n.len() + 2], knots_n),
            Self::Nothing => None,
        }
    }
}

/// c of eq. 4.7: 0 at bend 0, C at bend 1, and such that the force half way moves evenly with the bend.
fn curvature(bend: f64, excess: f64) -> Option<f64> {
    let room = 2.0 + excess - bend * excess;
    let c = 2.0 * bend * excess / room;
    (room > 0.0 && c > -1.0).then_some(c)
}

/// A wire without stiffness feels like its tension.
fn limp(force_n: f64) -> Felt {
    Felt {
        force_n,
        by_tension: 1.0,
        by_stiffness: 0.0,
    }
}

/// First coefficient that counts at a force, the four cubic basis values there and their slopes, by
/// the recursion of de Boor and Cox; beyond the ends the end piece goes on.
fn cubic_basis(knots_n: &[f64], force_n: f64) -> (usize, [f64; 4], [f64; 4]) {
    let pieces = knots_n.len() - 1;
    let piece = knots_n[1..pieces]
        .iter()
        .filter(|knot| **knot <= force_n)
        .count();
    // Knot k of the sequence in which the ends stand four times.
    let knot = |k: isize| {
        let place = (k - 3).clamp(0, pieces as isize);
        #[expect(clippy::cast_sign_loss, reason = "clamped to the knots")]
        knots_n[place as usize]
    };
    #[expect(clippy::cast_possible_wrap, reason = "a handful of knots")]
    let span = piece as isize + 3;
    let mut values = [1.0, 0.0, 0.0, 0.0];
    let mut quadratic = [0.0; 4];
    for degree in 1..=3_isize {
        if degree == 3 {
            quadratic = values;
        }
        let mut saved = 0.0;
        for r in 0..degree {
            let (right, left) = (knot(span + r + 1), knot(span + r + 1 - degree));
            #[expect(clippy::cast_sign_loss, reason = "r counts from 0")]
            let place = r as usize;
            let share = values[place] / (right - left);
            values[place] = saved + (right - force_n) * share;
            saved = (force_n - left) * share;
        }
        #[expect(clippy::cast_sign_loss, reason = "degree counts from 1")]
        let last = degree as usize;
        values[last] = saved;
    }
    let mut slopes = [0.0; 4];
    for place in 0..4 {
        #[expect(clippy::cast_possible_wrap, reason = "at most three")]
        let j = span - 3 + place as isize;
        let before = if place > 0 {
            quadratic[place - 1] / (knot(j + 3) - knot(j))
        } else {
            0.0
        };
        let after = if place < 3 {
            quadratic[place] / (knot(j + 4) - knot(j + 1))
        } else {
            0.0
        };
        slopes[place] = 3.0 * (before - after);
    }
    (piece, values, slopes)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn families() -> Vec<(Shape, Vec<f64>)> {
        vec![
            (
                Shape::Spring {
                    low_n: 600.0,
                    high_n: 1200.0,
                },
                vec![17.0, 26.0, 0.6, 40_f64.ln()],
            ),
            (
                Shape::Spring {
                    low_n: 600.0,
                    high_n: 1200.0,
                },
                vec![26.0, 17.0, 0.3, 90_f64.ln()],
            ),
            (
                Shape::Line {
                    low_n: 600.0,
                    high_n: 1200.0,
                },
                vec![17.0, 26.0, 0.5],
            ),
            (
                Shape::Spline {
                    knots_n: vec![500.0, 1300.0],
                },
                vec![17.0, 19.0, 22.0, 25.0],
            ),
            (
                Shape::Spline {
                    knots_n: vec![500.0, 800.0, 900.0, 1300.0],
                },
                vec![25.0, 21.0, 20.0, 18.0, 17.0, 14.0],
            ),
        ]
    }

    #[test]
    fn slopes_are_differences() {
        for (shape, parameters) in families() {
            for force_n in [520.0, 850.0, 1250.0] {
                let here = shape.reading(force_n, &parameters).expect("a gauge");
                let at = |force_n| {
                    shape
                        .reading(force_n, &parameters)
                        .expect("a gauge")
                        .divisions
                };
                let by_force = (at(force_n + 0.01) - at(force_n - 0.01)) / 0.02;
                assert!(
                    (here.by_force - by_force).abs() < 1e-7,
                    "{shape:?} {force_n}"
                );
                for place in 0..shape.parameters() {
                    let moved = |step: f64| {
                        let mut there = parameters.clone();
                        there[place] += step;
                        shape.reading(force_n, &there).expect("a gauge").divisions
                    };
                    let by = (moved(1e-5) - moved(-1e-5)) / 2e-5;
                    assert!(
                        (here.by_parameter[place] - by).abs() < 1e-7,
                        "{shape:?} {force_n} {place}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_reading_leads_back_to_its_force() {
        for (shape, parameters) in families() {
            for force_n in [500.0, 620.0, 850.0, 1111.0, 1300.0] {
                let reading = shape
                    .reading(force_n, &parameters)
                    .expect("a gauge")
                    .divisions;
                let back = shape.force_n(reading, &parameters).expect("on the curve");
                assert!(
                    (back / force_n - 1.0).abs() < 1e-9,
                    "{shape:?} {force_n} {back}"
                );
                let quickly = shape
                    .prepare(&parameters)
                    .and_then(|curve| curve.force_n(reading))
                    .expect("on the curve");
                assert!(
                    (quickly / force_n - 1.0).abs() < 1e-7,
                    "{shape:?} {force_n} {quickly}"
                );
            }
        }
    }

    #[test]
    fn a_limp_wire_lies_half_way_between_the_two_straight_lines_at_bend_one_half() {
        let shape = Shape::Line {
            low_n: 600.0,
            high_n: 1200.0,
        };
        let force_n = |bend| {
            shape
                .force_n(21.5, &[17.0, 26.0, bend])
                .expect("on the curve")
        };
        assert!((force_n(0.0) - 900.0).abs() < 1e-9, "straight in force");
        assert!(
            (1.0 / force_n(1.0) - (1.0 / 600.0 + 1.0 / 1200.0) / 2.0).abs() < 1e-15,
            "straight in 1/force"
        );
        assert!((force_n(0.5) - f64::midpoint(force_n(0.0), force_n(1.0))).abs() < 1e-9);
    }

    #[test]
    fn a_spline_with_equal_coefficients_is_level() {
        let shape = Shape::Spline {
            knots_n: vec![500.0, 700.0, 1000.0, 1300.0],
        };
        let here = shape.reading(812.0, &[7.0; 6]).expect("a curve");
        assert!(
            (here.divisions - 7.0).abs() < 1e-12 && here.by_force.abs() < 1e-12,
            "{here:?}"
        );
    }
}
