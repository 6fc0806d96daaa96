//! Runout: full indicator reading, worse face, and its harmonics.

use crate::lap::{Axis, RunoutPoint, State, Taken};
use crate::visit::Visit;
use nalgebra::{DMatrix, DVector};
use quantity::{Angle, Length};
use wheel::{Side, SpokeIndex, Wheel};

/// The highest harmonic worth a number: beyond it a spoked rim shows its spokes, not its shape.
const HARMONICS: usize = 6;

/// How far a nipple reaches along the rim, in spoke gaps: a rim is true at a spoke when it is true there.
const NEAR_GAPS: f64 = 1.5;

/// Runout below which a rim counts as true beside a doubtful reading (common practice, no source:
/// half a millimetre is called a good wheel).
const TRUE_WITHIN_MM: f64 = 0.5;

/// One harmonic of a runout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Harmonic {
    /// Waves round the rim.
    pub waves: usize,
    /// Half its full indicator reading.
    pub amplitude: Length,
    /// Where it is highest, from the valve hole.
    pub peak_at: Angle,
}

/// One runout lap.
#[derive(Debug, Clone, PartialEq)]
pub struct Runout {
    /// The lap, as its place in the visit.
    pub lap: usize,
    /// Sideways or in and out.
    pub axis: Axis,
    /// The rim face.
    pub face: Side,
    /// Bare or tyred.
    pub state: State,
    /// Largest minus smallest reading over the turn.
    pub full_indicator_reading: Length,
    /// Its standard uncertainty by the dial.
    pub u: Length,
    /// Where it is highest.
    pub highest: RunoutPoint,
    /// Where it is lowest.
    pub lowest: RunoutPoint,
    /// Its harmonics, from one wave on, as far as the points carry them.
    pub harmonics: Vec<Harmonic>,
}

/// The runout laps of a visit, in its order.
#[must_use]
pub fn runouts(visit: &Visit) -> Vec<Runout> {
    let of_lap = |(place, lap): (usize, &crate::lap::Lap)| {
        let Taken::Runout { axis, face, points } = &lap.taken else {
            return None;
        };
        let displaced = |a: &&RunoutPoint, b: &&RunoutPoint| {
            a.displacement.to_m().total_cmp(&b.displacement.to_m())
        };
        let (highest, lowest) = (
            *points.iter().max_by(displaced)?,
            *points.iter().min_by(displaced)?,
        );
        Some(Runout {
            lap: place,
            axis: *axis,
            face: *face,
            state: lap.state,
            full_indicator_reading: highest.displacement - lowest.displacement,
            u: visit.settings.dial_u * 2_f64.sqrt(),
            highest,
            lowest,
            harmonics: harmonics(points),
        })
    };
    visit.laps.iter().enumerate().filter_map(of_lap).collect()
}

/// The worse of the faces (and states) along one axis.
#[must_use]
pub fn worst(runouts: &[Runout], axis: Axis) -> Option<&Runout> {
    runouts
        .iter()
        .filter(|runout| runout.axis == axis)
        .max_by(|a, b| {
            a.full_indicator_reading
                .to_m()
                .total_cmp(&b.full_indicator_reading.to_m())
        })
}

/// Whether the rim runs true sideways at a spoke; none when nobody measured it there.
#[must_use]
pub fn is_true_at(visit: &Visit, wheel: &Wheel, spoke: SpokeIndex) -> Option<bool> {
    let gap_deg = 360.0 / wheel.spokes.len() as f64;
    let at_deg = wheel.spokes[spoke.0].seat_angle().to_deg();
    let mut near: Option<f64> = None;
    for lap in &visit.laps {
        let Taken::Runout {
            axis: Axis::Lateral,
            points,
            ..
        } = &lap.taken
        else {
            continue;
        };
        let mean = points
            .iter()
            .map(|point| point.displacement.to_mm())
            .sum::<f64>()
            / points.len() as f64;
        for point in points {
            let apart = (point.at.to_deg() - at_deg + 180.0).rem_euclid(360.0) - 180.0;
            if apart.abs() <= NEAR_GAPS * gap_deg {
                let off = (point.displacement.to_mm() - mean).abs();
                near = Some(near.map_or(off, |most| most.max(off)));
            }
        }
    }
    near.map(|off| 2.0 * off <= TRUE_WITHIN_MM)
}

/// Least-squares harmonics of readings at any angles (eq. 5.14).
fn harmonics(points: &[RunoutPoint]) -> Vec<Harmonic> {
    let most = HARMONICS.min((points.len().saturating_sub(1)) / 2);
    if most == 0 {
        return Vec::new();
    }
    let matrix = DMatrix::from_fn(points.len(), 2 * most + 1, |row, column| {
        let waves = column.div_ceil(2) as f64;
        let angle = waves * points[row].at.to_rad();
        if column == 0 {
            1.0
        } else if column % 2 == 1 {
            angle.cos()
        } else {
            angle.sin()
        }
    });
    let seen = DVector::from_iterator(
        points.len(),
        points.iter().map(|point| point.displacement.to_m()),
    );
    // Points that do not reach round the rim leave the system poorly posed: then no harmonics are given.
    let svd = matrix.svd(true, true);
    let (largest, smallest) = (svd.singular_values.max(), svd.singular_values.min());
    if smallest < 0.05 * largest {
        return Vec::new();
    }
    let Ok(found) = svd.solve(&seen, 0.0) else {
        return Vec::new();
    };
    (1..=most)
        .map(|waves| {
            let (cosine, sine) = (found[2 * waves - 1], found[2 * waves]);
            Harmonic {
                waves,
                amplitude: Length::m(cosine.hypot(sine)),
                peak_at: Angle::rad(sine.atan2(cosine) / waves as f64).within_turn(),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pure_wave_is_found_with_its_size_and_its_peak() {
        let points: Vec<RunoutPoint> = (0..17)
            .map(|place| {
                let at = Angle::deg(f64::from(place) * 360.0 / 17.0 + 3.0 * f64::from(place % 2));
                let displacement = Length::mm(0.3 + 0.25 * (2.0 * (at.to_rad() - 0.4)).cos());
                RunoutPoint { at, displacement }
            })
            .collect();
        let found = harmonics(&points);
        assert!(
            (found[1].amplitude.to_mm() - 0.25).abs() < 1e-9,
            "{found:?}"
        );
        assert!((found[1].peak_at.to_rad() - 0.4).abs() < 1e-9, "{found:?}");
        assert!(found[0].amplitude.to_mm() < 1e-9 && found[2].amplitude.to_mm() < 1e-9);
    }
}
