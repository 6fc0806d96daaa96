//! Natural frequencies of the bare rim, free in space: what it sounds like when tapped.

use crate::error::Error;
use crate::section::Section;
use quantity::Mass;
use std::f64::consts::TAU;
use wheel::Rim;

/// One pair of natural frequencies of a free ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingFrequency {
    /// Full waves round the rim.
    pub waves: usize,
    /// Bending within the wheel's plane.
    pub in_plane_hz: f64,
    /// Bending and twisting out of it.
    pub out_of_plane_hz: f64,
}

/// Natural frequencies of the bare rim with 2 to `most_waves` waves; eq. 3.23, 3.24.
///
/// Validity: thin, inextensible ring with its mass at the centroid; rotary inertia and shear neglected.
///
/// # Errors
/// [`Error::RimUnknown`] or [`Error::NotPositive`] for the rim's constants or the mass.
pub fn ring_frequencies(
    rim: &Rim,
    mass: Mass,
    most_waves: usize,
) -> Result<Vec<RingFrequency>, Error> {
    let section = Section::of(rim)?;
    let mass_kg = mass.to_kg();
    if !(mass_kg.is_finite() && 0.0 < mass_kg) {
        return Err(Error::NotPositive {
            what: "the rim's mass".into(),
            value: mass_kg,
        });
    }
    let per_length = mass_kg / (TAU * section.radius_m);
    let speed = |rigidity: f64| (rigidity / per_length).sqrt() / (TAU * section.radius_m.powi(2));
    Ok((2..=most_waves)
        .map(|waves| {
            let n = waves as f64;
            let shape = n * (n * n - 1.0);
            let (radius_m, beside) = (section.radius_m, section.shear_centre_m / section.radius_m);
            let torsion = section.torsion_n_m2 + section.warping_n_m4 * (n / radius_m).powi(2);
            let lever = 1.0 - (n * n - 1.0) * beside;
            let twist = section.lateral_n_m2 / torsion * lever * lever;
            RingFrequency {
                waves,
                in_plane_hz: shape / (n * n + 1.0).sqrt() * speed(section.in_plane_n_m2), // eq. 3.23
                out_of_plane_hz: shape / (n * n + twist).sqrt() * speed(section.lateral_n_m2), // eq. 3.24
            }
        })
        .collect())
}
