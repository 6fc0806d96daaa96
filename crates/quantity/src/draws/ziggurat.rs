//! Normal draws from horizontal layers of equal area under the bell curve.
//!
//! Source: the ziggurat method of Marsaglia and Tsang (J. Stat. Softw. 5, 2000), with the layer and the place in it
//! taken from separate bits of one draw; theory §1.7.

use std::sync::LazyLock;

/// Layers, one of them the base with the tail.
const LAYERS: usize = 256;

/// Where the tail begins: the one place from which layers of equal area close at the top (eq. 1.18).
const TAIL: f64 = 3.654_152_885_361_009;

/// The edges of the layers and the curve there.
#[derive(Debug)]
pub(super) struct Ziggurat {
    /// Half widths, from the base (as if it were a rectangle) to the top, where it is zero.
    widths: [f64; LAYERS + 1],
    /// The curve e^(−x²/2) at the half widths.
    heights: [f64; LAYERS + 1],
}

/// A place that lies in a layer but not surely under the curve.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    layer: usize,
    place: f64,
}

impl Ziggurat {
    /// The table, computed once.
    pub(super) fn table() -> &'static Self {
        static TABLE: LazyLock<Ziggurat> = LazyLock::new(Ziggurat::new);
        &TABLE
    }

    fn new() -> Self {
        let (mut widths, mut heights) = ([0.0; LAYERS + 1], [1.0; LAYERS + 1]);
        let area = layer_area();
        (widths[0], widths[1]) = (area / curve(TAIL), TAIL);
        (heights[0], heights[1]) = (0.0, curve(TAIL));
        for layer in 1..LAYERS - 1 {
            heights[layer + 1] = heights[layer] + area / widths[layer];
            widths[layer + 1] = (-2.0 * heights[layer + 1].ln()).sqrt();
        }
        Self { widths, heights }
    }

    /// The normal draw of these bits where they fall well inside a layer, as 99 of 100 do.
    #[inline]
    pub(super) fn inside(&self, bits: u64) -> Result<f64, Edge> {
        let layer = (bits & 0xff) as usize;
        // 53 bits with a sign, at the middles of their steps: both signs alike.
        let signed = ((bits as i64) >> 11) as f64 + 0.5;
        let place = signed * (self.widths[layer] * (2.0 * super::STEP));
        if place.abs() < self.widths[layer + 1] {
            Ok(place)
        } else {
            Err(Edge { layer, place })
        }
    }

    /// The normal draw that an edge comes to, if it lies under the curve.
    pub(super) fn at_edge(&self, edge: Edge, mut unit: impl FnMut() -> f64) -> Option<f64> {
        let Edge { layer, place } = edge;
        if layer == 0 {
            return Some(tail(unit).copysign(place));
        }
        let (low, high) = (self.heights[layer], self.heights[layer + 1]);
        (low + unit() * (high - low) < curve(place)).then_some(place)
    }
}

/// A draw from beyond the base's rectangle (eq. 1.19).
fn tail(mut unit: impl FnMut() -> f64) -> f64 {
    loop {
        let beyond = -(1.0 - unit()).ln() / TAIL;
        let level = -(1.0 - unit()).ln();
        if 2.0 * level >= beyond * beyond {
            return TAIL + beyond;
        }
    }
}

fn curve(x: f64) -> f64 {
    (-0.5 * x * x).exp()
}

/// The area of every layer: the base's rectangle and the tail beyond it.
fn layer_area() -> f64 {
    let tail = (2.0 * std::f64::consts::PI).sqrt() * crate::distribution::normal_cdf(-TAIL);
    TAIL * curve(TAIL) + tail
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: half the area under the bell curve is √(π/2); the layers must hold it and what they stand out by.
    #[test]
    fn the_layers_close_at_the_top_of_the_curve() {
        let table = Ziggurat::table();
        let last = table.heights[LAYERS - 1] + layer_area() / table.widths[LAYERS - 1];
        assert!((last - 1.0).abs() < 1e-12, "{last}");
        assert!(table.widths.windows(2).all(|pair| pair[0] > pair[1]));
    }

    /// Source: the mean of a normal value beyond r is φ(r)/Φ(−r). Tolerance five standard errors; an exponential
    /// tail without its rejection would miss it by eighty.
    #[test]
    fn the_tail_has_the_mean_of_what_lies_beyond_it() {
        const COUNT: usize = 400_000;
        let mut draws = super::super::Draws::new(1_908);
        let values: Vec<f64> = (0..COUNT).map(|_| tail(|| draws.unit())).collect();
        let mean = values.iter().sum::<f64>() / COUNT as f64;
        let density = curve(TAIL) / (2.0 * std::f64::consts::PI).sqrt();
        let expected = density / crate::distribution::normal_cdf(-TAIL);
        let variance = 1.0 + TAIL * expected - expected * expected;
        let error = (variance / COUNT as f64).sqrt();
        assert!(values.iter().all(|&value| value >= TAIL));
        assert!(
            (mean - expected).abs() < 5.0 * error,
            "{mean}, not {expected} within {error}"
        );
    }
}
