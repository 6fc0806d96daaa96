//! How much smaller a rim becomes under its spokes' pull.

use quantity::Length;
use std::f64::consts::TAU;
use wheel::Wheel;

/// The loss of the centroid's radius under the wheel's own tensions; eq. 8.2.
///
/// The rim as a ring under the mean of all inward pulls: exact for even spokes, the mean for others. None
/// when EA, the centroid's radius or a tension is not known.
#[must_use]
pub fn rim_shrink(wheel: &Wheel) -> Option<Length> {
    let radius = wheel.rim.centroid_radius?;
    let axial = wheel.rim.axial_stiffness?;
    let mut inward_n = 0.0;
    for spoke in &wheel.spokes {
        let [along_x, along_y, _] = spoke.pull_direction();
        let (sine, cosine) = spoke.seat_angle().to_rad().sin_cos();
        inward_n += spoke.tension?.to_n() * (along_x * cosine + along_y * sine);
    }
    Some(radius * (inward_n / TAU / axial.to_n()))
}
