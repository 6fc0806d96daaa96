//! The note of a plucked spoke: a string in tension that also resists bending.

use quantity::{Force, Length, Rigidity};
use std::f64::consts::{PI, TAU};

/// A spoke as something that rings: the same along its free length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plucked {
    /// What pulls it.
    pub tension: Force,
    /// Between the places that hold it.
    pub length: Length,
    /// EI across the way it is plucked.
    pub bending: Rigidity,
    /// Mass of its free length, per length.
    pub kg_per_m: f64,
}

/// The lowest note for both ways in which ends can hold; a real spoke's lies between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pitch {
    /// Ends that turn freely.
    pub hinged_hz: f64,
    /// Ends that cannot turn.
    pub held_hz: f64,
}

/// Where the bending part of the first shape stands: between a string's half wave and a held beam's 4.730.
const HALF_WAVE: [f64; 2] = [PI, 4.74];

/// Halvings that bring the interval to rounding.
const HALVINGS: usize = 60;

impl Plucked {
    /// The note with ends hinged and held; eq. 8.5 to 8.7.
    ///
    /// Validity: a straight spoke, alike along its length, small amplitude, nothing else touching it.
    #[must_use]
    pub fn pitch(&self) -> Pitch {
        let (tension_n, length_m) = (self.tension.to_n(), self.length.to_m());
        let bending_n_m2 = self.bending.to_n_m2();
        let string_hz = (tension_n / self.kg_per_m).sqrt() / (2.0 * length_m); // eq. 8.5
        if bending_n_m2 <= 0.0 {
            return Pitch {
                hinged_hz: string_hz,
                held_hz: string_hz,
            };
        }
        let beam_hz = (bending_n_m2 / self.kg_per_m).sqrt() / (TAU * length_m * length_m);
        let tautness = tension_n * length_m * length_m / bending_n_m2; // ξ²
        Pitch {
            hinged_hz: beam_hz * PI * (PI * PI + tautness).sqrt(), // eq. 8.6
            held_hz: beam_hz * held_root(tautness),                // eq. 8.7
        }
    }
}

/// The lowest dimensionless circular frequency of a spoke whose ends cannot turn.
fn held_root(tautness: f64) -> f64 {
    let long = |b: f64| (b * b + tautness).sqrt();
    let left = |b: f64| {
        let a = long(b);
        2.0 * (1.0 / a.cosh() - b.cos()) + tautness / (a * b) * a.tanh() * b.sin()
    };
    let [mut low, mut high] = HALF_WAVE;
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if 0.0 < left(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low * long(low)
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIRE: Plucked = Plucked {
        tension: Force::n(1000.0),
        length: Length::mm(280.0),
        bending: Rigidity::n_m2(0.151_581_845_5),
        kg_per_m: 0.024_818_581_96,
    };

    /// Source: hinged stiff string f₀√(1 + B) and the clamped frequency equation of a beam in tension (from
    /// memory: Fletcher 1964 and textbooks), its lowest root found apart from this project. 2.0 mm wire, E 193
    /// GPa, density 7900 kg/m³, 280 mm. Tolerance: 1e-6.
    #[test]
    fn notes_of_a_stiff_string_agree_with_roots_found_elsewhere() {
        let rows = [
            (500.0, Some(258.250_757), 294.882_531),
            (1000.0, Some(361.849_621), 396.765_972),
            (1500.0, Some(441.788_232), 475.994_368),
            (200.0, None, 208.057_70),
            (60.0, None, 148.495_193),
        ];
        for (tension_n, hinged_hz, held_hz) in rows {
            let pitch = Plucked {
                tension: Force::n(tension_n),
                ..WIRE
            }
            .pitch();
            for (found, wanted) in [
                (Some(pitch.hinged_hz), hinged_hz),
                (Some(pitch.held_hz), Some(held_hz)),
            ] {
                if let (Some(found), Some(wanted)) = (found, wanted) {
                    assert!(
                        (found / wanted - 1.0_f64).abs() < 1e-6,
                        "{tension_n}: {found} {wanted}"
                    );
                }
            }
        }
    }

    /// Source: R. Feynman's letter of 1961 (Bryner, Physics Today, December 2009): to first order the stiffness
    /// of a hinged string raises its note by π² EI/(2 T L²).
    #[test]
    fn a_little_stiffness_raises_the_note_as_a_well_known_letter_says() {
        let soft = Plucked {
            bending: WIRE.bending * 1e-3,
            ..WIRE
        };
        let string = Plucked {
            bending: Rigidity::ZERO,
            ..WIRE
        }
        .pitch()
        .hinged_hz;
        let rise = soft.pitch().hinged_hz / string - 1.0;
        let wanted = PI * PI * soft.bending.to_n_m2() / (2.0 * 1000.0 * 0.28 * 0.28);
        assert!((rise / wanted - 1.0).abs() < 1e-4, "{rise} {wanted}");
    }

    #[test]
    fn without_tension_it_is_a_beam_and_without_stiffness_a_string() {
        let beam = Plucked {
            tension: Force::ZERO,
            ..WIRE
        }
        .pitch();
        // Source: first roots π and 4.730 041 of hinged and held beams, textbooks.
        assert!((beam.held_hz / beam.hinged_hz - (4.730_040_745 / PI).powi(2)).abs() < 1e-8);
        let string = Plucked {
            bending: Rigidity::ZERO,
            ..WIRE
        }
        .pitch();
        assert_eq!(string.hinged_hz, string.held_hz);
        assert!((string.held_hz - 358.445_796).abs() < 1e-5);
    }
}
