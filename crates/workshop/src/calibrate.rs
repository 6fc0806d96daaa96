//! Calibrating a gauge on a spoke kind from rig points.

use crate::view::{
    At, Calibration, CurveView, HysteresisView, KnownView, Quantity, ResidualView, TrialView,
    findings,
};
pub use metrology::calibration::{Error, Family};

use mechanics::temperature::Rig;
use metrology::calibration::{
    Answer, Calibrated, Known, Origin, Shape, calibrate as fit, spring_behind,
};
use metrology::gauge::Gauge;
use metrology::visit::{Loading, RigPoint};
use quantity::{Force, Rigidity};
use wheel::SpokeKind;

/// What a person may state beside the points.
#[derive(Debug, Clone, Default)]
pub struct Stated {
    /// The gauge's entry.
    pub gauge: Option<Gauge>,
    /// EI of the spoke about the axis the gauge bends.
    pub bending: Option<Rigidity>,
    /// The family to take instead of choosing.
    pub family: Option<Family>,
    /// The rig, when warmth is asked about.
    pub rig: Option<Rig>,
}

/// The curve through rig points, asked at some readings.
///
/// # Errors
/// [`Error`] where no curve can be had from the points.
pub fn calibrate(
    points: &[RigPoint],
    stated: &Stated,
    at: &[f64],
) -> Result<(Calibrated, Calibration), Error> {
    let kind = SpokeKind {
        bending: stated.bending,
        ..SpokeKind::named("spoke")
    };
    let unknown = Gauge {
        label: String::new(),
        support_span: None,
        spring: None,
        resolution: 0.0,
        repeatability: 0.0,
        rises_with_tension: None,
    };
    let known = Known::of(stated.gauge.as_ref().unwrap_or(&unknown), &kind);
    let calibrated = fit(points, stated.gauge.as_ref(), known, stated.family)?;
    let reading_u = stated
        .gauge
        .as_ref()
        .map_or(calibrated.reading_u, Gauge::reading_u);
    let view = Calibration {
        schema: "rimwright.calibrate/1",
        curve: curve_view(&calibrated),
        at: at
            .iter()
            .map(|reading| evaluated(&calibrated, *reading, reading_u))
            .collect(),
        chi2: calibrated.trials[0].chi_squared,
        degrees_of_freedom: calibrated.trials[0].degrees_of_freedom,
        p_value: calibrated.trials[0].p_value,
        reading_u_divisions: calibrated.reading_u,
        residuals: residuals(&calibrated),
        hysteresis: calibrated.hysteresis.map(|seen| HysteresisView {
            divisions: Quantity::new(seen.divisions, seen.u),
        }),
        trials: calibrated
            .trials
            .iter()
            .map(|trial| TrialView {
                family: trial.family.word(),
                chi2: trial.chi_squared,
                degrees_of_freedom: trial.degrees_of_freedom,
                p_value: trial.p_value,
            })
            .collect(),
        known: known_views(&calibrated),
        rig_n_per_k: stated.rig.map(|rig| rig.tension_per_kelvin()),
        findings: findings(&calibrated.findings),
    };
    Ok((calibrated, view))
}

fn curve_view(calibrated: &Calibrated) -> CurveView {
    let curve = &calibrated.curve;
    let (low, high) = curve.ends();
    let size = curve.parameters().len();
    let named = |names: [&str; 4]| {
        names[..size]
            .iter()
            .map(|name| (*name).to_owned())
            .collect()
    };
    let parameter_names = match curve.shape() {
        Shape::Spring { .. } | Shape::Line { .. } => named([
            "reading at the smallest force, divisions",
            "reading at the largest force, divisions",
            "bend, 0 straight in felt force to 1 straight in its inverse",
            "ln(EI/a² in N)",
        ]),
        Shape::Spline { .. } => (1..=size)
            .map(|number| format!("coefficient {number}, divisions"))
            .collect(),
    };
    CurveView {
        family: calibrated.family.word(),
        parameter_names,
        parameters: curve.parameters().to_vec(),
        covariance: (0..size)
            .map(|row| {
                (0..size)
                    .map(|column| curve.covariance().get(row, column))
                    .collect()
            })
            .collect(),
        rises_with_tension: curve.rises(),
        range_divisions: [low.divisions, high.divisions],
        range_n: [low.force_n, high.force_n],
    }
}

fn evaluated(calibrated: &Calibrated, reading: f64, reading_u: f64) -> At {
    let outside = |bound: Force, which| At {
        reading,
        force_n: None,
        one_reading_u_n: None,
        bound_n: Some(bound.to_n()),
        bound: Some(which),
        inside_range: false,
    };
    match calibrated.curve.force_at(reading) {
        Answer::MoreThan(bound) => outside(bound, "more"),
        Answer::LessThan(bound) => outside(bound, "less"),
        Answer::Force(estimate) => {
            let curve_u = estimate.curve_u().to_n();
            At {
                reading,
                force_n: Some(Quantity::new(estimate.force.to_n(), curve_u)),
                one_reading_u_n: Some(curve_u.hypot(estimate.by_division_n * reading_u)),
                bound_n: None,
                bound: None,
                inside_range: true,
            }
        }
    }
}

fn residuals(calibrated: &Calibrated) -> Vec<ResidualView> {
    calibrated
        .residuals
        .iter()
        .map(|residual| ResidualView {
            reading: residual.point.reading,
            force_n: residual.point.force.to_n(),
            direction: residual.point.loading.map(|loading| match loading {
                Loading::Up => "up",
                Loading::Down => "down",
            }),
            residual_divisions: residual.divisions,
            residual_n: residual.force.to_n(),
            normalised: residual.normalised,
        })
        .collect()
}

fn known_views(calibrated: &Calibrated) -> Vec<KnownView> {
    let word = |origin| match origin {
        Origin::Given => "given",
        Origin::Prior => "prior",
        Origin::Fitted => "fitted",
    };
    let parameters = calibrated.curve.parameters();
    match calibrated.curve.shape() {
        Shape::Spring { low_n, high_n } => vec![
            KnownView {
                what: "spring's pull k_s a/2, N",
                value: spring_behind(
                    parameters[2],
                    Force::n(*low_n),
                    Force::n(*high_n),
                    parameters[3],
                ),
                from: word(calibrated.bend_from),
            },
            KnownView {
                what: "EI/a² of the spoke under the gauge, N",
                value: Some(parameters[3].exp()),
                from: calibrated.stiffness_from.map_or("prior", word),
            },
        ],
        Shape::Line { .. } => vec![KnownView {
            what: "bend between the straight line in force (0) and in 1/force (1)",
            value: Some(parameters[2]),
            from: word(calibrated.bend_from),
        }],
        Shape::Spline { .. } => Vec::new(),
    }
}
