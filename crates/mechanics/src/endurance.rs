//! Range and mean of stress against what a material is published to bear again and again.

use quantity::{Force, Stress};
use wheel::Endurance;

/// A spoke through a turn, as stress.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// Half way between the largest and the smallest.
    pub mean: Stress,
    /// Half the range.
    pub amplitude: Stress,
}

impl Swing {
    /// The nominal stress in a section of `area_m2` between two tensions; bends, threads and notches see more.
    #[must_use]
    pub fn of(smallest: Force, largest: Force, area_m2: f64) -> Self {
        let stress = |force: Force| Stress::pa(force.to_n() / area_m2);
        Self {
            mean: stress((smallest + largest) / 2.0),
            amplitude: stress((largest - smallest) / 2.0),
        }
    }

    /// The share of what Goodman's line allows that this swing uses: 1 on the line; eq. 8.12.
    #[must_use]
    pub fn share(&self, borne: &Endurance) -> f64 {
        self.amplitude / borne.amplitude + self.mean / borne.strength
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: Goodman's line σ_a/σ_e + σ_m/σ_u = 1 (handbooks of fatigue, from memory).
    #[test]
    fn goodmans_line_runs_from_the_endurance_to_the_strength() {
        let borne = Endurance {
            strength: Stress::mpa(1700.0),
            amplitude: Stress::mpa(400.0),
            source: "made for a test".into(),
        };
        let swing = |mean, amplitude| Swing {
            mean: Stress::mpa(mean),
            amplitude: Stress::mpa(amplitude),
        };
        for on_the_line in [swing(0.0, 400.0), swing(1700.0, 0.0), swing(850.0, 200.0)] {
            assert!((on_the_line.share(&borne) - 1.0).abs() < 1e-12);
        }
    }

    /// Source: 1000 N on 2.0 mm wire is 318.310 MPa (handbook stress check).
    #[test]
    fn stress_is_the_force_on_the_section() {
        let area_m2 = std::f64::consts::FRAC_PI_4 * 4e-6;
        let swing = Swing::of(Force::n(900.0), Force::n(1100.0), area_m2);
        assert!((swing.mean.to_mpa() - 318.310).abs() < 5e-4);
        assert!((swing.amplitude.to_mpa() - 31.831).abs() < 5e-4);
    }
}
