//! How an arc that resists warping twists under torques along it, for the rounds in which its shape is followed.

use crate::growth::{SERIES_TERMS, StressedArc, WarpingRows};

/// Points (share of the arc) and weights of Gauss at which an arc's shape and loads are looked at.
pub(crate) const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258_31, 0.277_777_777_777_777_8),
    (0.5, 0.444_444_444_444_444_4),
    (0.887_298_334_620_741_7, 0.277_777_777_777_777_8),
];

/// The answer of eq. 3.25 to torques that run through given values at the Gauss points as a parabola does, the start
/// held, and to the start's own rate of twist and bimoment.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Twisting {
    /// Integral of the rate of twist, weighted with each point's parabola, per torque at each point.
    pub(crate) torque: [[f64; 3]; 3],
    /// The same per bimoment and per rate of twist at the start.
    pub(crate) bimoment: [f64; 3],
    pub(crate) twist: [f64; 3],
    /// Rate of twist and bimoment at the far end per torque at each point.
    pub(crate) far_per_torque: [[f64; 3]; 2],
    /// The same per bimoment and per rate of twist at the start.
    pub(crate) far_per_bimoment: [f64; 2],
    pub(crate) far_per_twist: [f64; 2],
}

impl Twisting {
    /// Of an arc that resists warping.
    pub(crate) fn of(arc: &StressedArc<'_>) -> Self {
        let length_m = arc.section.radius_m * arc.angle;
        let parabolas = [0, 1, 2].map(parabola);
        let answer = |torque: [f64; 3], start: [f64; 2]| -> ([f64; 3], [f64; 2]) {
            let mut rows: WarpingRows = [[0.0; SERIES_TERMS + 1]; 2];
            (rows[0][0], rows[1][0]) = (start[0], start[1]);
            for order in 0..SERIES_TERMS {
                let torque = torque.get(order).copied().unwrap_or(0.0);
                arc.warp(&mut rows, order, torque);
            }
            let weighted = parabolas.map(|parabola| length_m * overlap(&rows[0], &parabola));
            (weighted, rows.map(|row| row.iter().rev().sum()))
        };
        let mut twisting = Self::default();
        for (point, parabola) in parabolas.iter().enumerate() {
            let (weighted, far) = answer(*parabola, [0.0; 2]);
            for (row, weighted) in twisting.torque.iter_mut().zip(weighted) {
                row[point] = weighted;
            }
            for (row, far) in twisting.far_per_torque.iter_mut().zip(far) {
                row[point] = far;
            }
        }
        (twisting.twist, twisting.far_per_twist) = answer([0.0; 3], [1.0, 0.0]);
        (twisting.bimoment, twisting.far_per_bimoment) = answer([0.0; 3], [0.0, 1.0]);
        twisting
    }
}

/// The parabola that is one at a Gauss point and nothing at the two others, lowest power first.
fn parabola(point: usize) -> [f64; 3] {
    let (here, a, b) = (
        GAUSS[point].0,
        GAUSS[(point + 1) % 3].0,
        GAUSS[(point + 2) % 3].0,
    );
    let scale = (here - a) * (here - b);
    [a * b / scale, -(a + b) / scale, 1.0 / scale]
}

/// The integral over the arc of a series times a parabola, per length.
fn overlap(series: &[f64], parabola: &[f64; 3]) -> f64 {
    let terms = series.iter().enumerate().map(|(order, term)| {
        let powers = parabola.iter().enumerate();
        term * powers
            .map(|(power, share)| share / (order + power + 1) as f64)
            .sum::<f64>()
    });
    terms.sum()
}
