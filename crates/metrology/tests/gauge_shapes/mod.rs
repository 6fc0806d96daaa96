//! Two curves of a deflection gauge's shape, for the fits' tests and bench.

use metrology::fit::{Curve, OutsideDomain, Value};

/// y = r + b (κ − 1)/(1 + ψ (κ − 1)), κ = x/middle.
pub(crate) struct Hyperbola {
    /// Abscissa the curve is centred on.
    pub(crate) middle: f64,
}

impl Curve for Hyperbola {
    fn parameters(&self) -> usize {
        3
    }
    fn value(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<Value, OutsideDomain> {
        let shift = x / self.middle - 1.0;
        let below = 1.0 + p[2] * shift;
        if below <= 0.0 {
            return Err(OutsideDomain);
        }
        let y = p[1] * shift / below;
        gradient.copy_from_slice(&[1.0, shift / below, -y * shift / below]);
        Ok(Value {
            y: p[0] + y,
            slope: p[1] / (self.middle * below * below),
        })
    }
}

/// y = z + A/(K(x; B) + s), K the stiffness of an infinite tensioned beam between three knife edges.
pub(crate) struct Beam {
    /// Distance from the middle edge to an outer one.
    pub(crate) half_span: f64,
}

impl Curve for Beam {
    fn parameters(&self) -> usize {
        4
    }
    fn value(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<Value, OutsideDomain> {
        let [zero, scale, spring, bending] = [p[0], p[1], p[2], p[3]];
        if x <= 0.0 || bending <= 0.0 {
            return Err(OutsideDomain);
        }
        let kappa = (x / bending).sqrt();
        let fade = (-kappa * self.half_span).exp();
        let shape = (1.0 - fade) * (3.0 - fade);
        let compliance = (self.half_span - shape / (2.0 * kappa)) / (2.0 * x);
        let by_kappa =
            (shape / kappa - self.half_span * fade * (4.0 - 2.0 * fade)) / (4.0 * x * kappa);
        let below = 1.0 + spring * compliance;
        let by_compliance = scale / (below * below);
        gradient.copy_from_slice(&[
            1.0,
            compliance / below,
            -by_compliance * compliance * compliance,
            -by_compliance * by_kappa * kappa / (2.0 * bending),
        ]);
        let slope = by_compliance * (by_kappa * kappa / (2.0 * x) - compliance / x);
        Ok(Value {
            y: zero + scale * compliance / below,
            slope,
        })
    }
}
