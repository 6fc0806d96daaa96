//! The tension at which the wheel folds by itself, and into which shape.

use crate::cyclic::CyclicMatrix;
use crate::error::{Error, Finding};
use crate::structure::{State, Structure, on_tangent};
use crate::tangent::{Tangent, hold_turning};
use crate::unknowns::Part;

/// Tensions are multiplied up to here; a wheel that stands this has other limits first.
const LARGEST_MULTIPLIER: f64 = 1000.0;

/// The multiplier is refined until it moves by less than this share.
const MULTIPLIER_TOLERANCE: f64 = 1e-9;

/// Rounds of refinement: the stiffness is nearly linear in tension, so three or four do.
const ROUNDS: usize = 20;

/// Width to which counting negative eigenvalues narrows the first root before the shape takes over.
const BRACKET: f64 = 1e-2;

/// Buckling under the wheel's own tension.
#[derive(Debug, Clone, PartialEq)]
pub struct Buckling {
    /// All tensions multiplied by this, the wheel buckles.
    pub tension_multiplier: f64,
    /// Full waves round the rim in the shape's larger direction.
    pub waves: usize,
    /// Whether the rim folds sideways more than within its plane.
    pub sideways: bool,
    /// The shape at the seats, positive to the right; the largest of both directions is 1.
    pub lateral: Vec<f64>,
    /// The shape at the seats, positive outward.
    pub radial: Vec<f64>,
}

impl Structure {
    /// The smallest multiple of the present tensions at which the wheel buckles; eq. 3.21.
    ///
    /// Rim stress, strings and seat arms grow with the tensions, the shape stays the circle. None, with
    /// a finding, when nothing buckles up to a thousand times or when the state has no tension.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc between two spokes would collapse first.
    pub fn buckling(&self) -> Result<(Option<Buckling>, Vec<Finding>), Error> {
        if self.state == State::ZeroTension {
            return Ok((None, vec![Finding::NoTension]));
        }
        on_tangent!(self, tangent => self.buckling_by(tangent))
    }

    fn buckling_by<const N: usize>(
        &self,
        tangent: &Tangent<N>,
    ) -> Result<(Option<Buckling>, Vec<Finding>), Error> {
        let mut known = (1.0, tangent.matrix.clone());
        let mut other = (0.0, tangent.stiffness_at(0.0)?);
        let mut multiplier = 0.0;
        let mut shape = Vec::new();
        for _ in 0..ROUNDS {
            let Some((found, mode)) = first_root(&known, &other) else {
                return Ok((
                    None,
                    vec![Finding::NoBucklingBelow {
                        multiplier: LARGEST_MULTIPLIER,
                    }],
                ));
            };
            shape = mode;
            let settled = (found - multiplier).abs() <= MULTIPLIER_TOLERANCE * found;
            multiplier = found;
            if settled {
                break;
            }
            let exact = (found, tangent.stiffness_at(found)?);
            // The two states nearest the root carry the next straight line.
            if (found - known.0).abs() < (found - other.0).abs() || other.0 < known.0 {
                other = std::mem::replace(&mut known, exact);
            } else {
                known = exact;
            }
        }
        Ok((
            Some(tangent.describe(&self.seats, multiplier, &shape)),
            Vec::new(),
        ))
    }
}

impl<const N: usize> Tangent<N> {
    fn stiffness_at(&self, multiplier: f64) -> Result<CyclicMatrix<N>, Error> {
        let mesh = &self.mesh;
        let mut matrix = mesh.stiffness(&mesh.bays_at(multiplier)?, multiplier);
        if self.turns_freely {
            hold_turning(&mut matrix, mesh.section.radius_m);
        }
        Ok(matrix)
    }

    fn describe(&self, seats: &[f64], tension_multiplier: f64, shape: &[Part<N>]) -> Buckling {
        let mesh = &self.mesh;
        let shares = self.tributary_shares();
        let largest = |axis: usize| {
            shape
                .iter()
                .fold(0.0_f64, |most, node| most.max(node[axis].abs()))
        };
        let sideways = largest(0) <= largest(2);
        let main = if sideways { 2 } else { 0 };
        let amplitude = |waves: usize| {
            let (mut sine, mut cosine) = (0.0, 0.0);
            for ((node, share), angle) in shape.iter().zip(&shares).zip(&mesh.angles) {
                let (sin, cos) = (angle * waves as f64).sin_cos();
                sine += share * sin * node[main];
                cosine += share * cos * node[main];
            }
            sine.hypot(cosine)
        };
        let waves = (0..=mesh.angles.len() / 2)
            .max_by(|a, b| amplitude(*a).total_cmp(&amplitude(*b)))
            .unwrap_or(0);
        let scale = largest(main);
        let at_seats = |axis: usize| {
            let shifts = seats
                .iter()
                .map(|&seat| self.displacement(shape, seat)[axis] / scale);
            shifts.collect()
        };
        Buckling {
            tension_multiplier,
            waves,
            sideways,
            lateral: at_seats(2),
            radial: at_seats(0),
        }
    }
}

/// The smallest multiplier above the stable states at which the straight line through two stiffnesses
/// turns singular, and the shape there.
fn first_root<const N: usize>(
    a: &(f64, CyclicMatrix<N>),
    b: &(f64, CyclicMatrix<N>),
) -> Option<(f64, Vec<Part<N>>)> {
    let at = |multiplier: f64| a.1.toward(&b.1, (multiplier - a.0) / (b.0 - a.0));
    let negative = |multiplier: f64| at(multiplier).factor().map_or(1, |factor| factor.negative);
    let mut low = a.0.min(b.0).min(1.0);
    if 0 < negative(low) {
        low = 0.0;
    }
    let mut high = low.max(1.0) * 2.0;
    while negative(high) == 0 {
        low = high;
        high *= 2.0;
        if LARGEST_MULTIPLIER < low {
            return None;
        }
    }
    while BRACKET * high < high - low {
        let middle = 0.5 * (low + high);
        if negative(middle) == 0 {
            low = middle
        } else {
            high = middle
        }
    }
    // Inverse iteration from below finds the shape, the energy quotient moves the multiplier.
    let slope = at(1.0).toward(&at(0.0), -1.0);
    let slope = CyclicMatrix {
        diagonal: slope
            .diagonal
            .iter()
            .zip(&at(1.0).diagonal)
            .map(|(two, one)| two - one)
            .collect(),
        next: slope
            .next
            .iter()
            .zip(&at(1.0).next)
            .map(|(two, one)| two - one)
            .collect(),
    };
    let mut shape: Vec<_> = (0..a.1.diagonal.len()).map(seed).collect();
    let mut multiplier = low;
    for _ in 0..4 {
        let matrix = at(multiplier);
        let Some(factor) = matrix.factor() else { break };
        for _ in 0..3 {
            let mut side = slope.times(&shape);
            factor.solve(&mut side);
            let size = side
                .iter()
                .map(|node| node.norm_squared())
                .sum::<f64>()
                .sqrt();
            shape = side.into_iter().map(|node| node / size).collect();
        }
        let energy = |of: &CyclicMatrix<N>| -> f64 {
            of.times(&shape)
                .iter()
                .zip(&shape)
                .map(|(push, node)| push.dot(node))
                .sum()
        };
        let step = energy(&matrix) / energy(&slope);
        if !step.is_finite() {
            break;
        }
        multiplier -= step;
        if step.abs() <= 1e-13 * multiplier {
            break;
        }
    }
    Some((multiplier, shape))
}

/// A start that favours no pattern, the same each time.
fn seed<const N: usize>(node: usize) -> Part<N> {
    Part::from_fn(|row, _| ((node * N + row) as f64 * 0.618_034).fract() - 0.5)
}
