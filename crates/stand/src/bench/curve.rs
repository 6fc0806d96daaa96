//! The curve of a calibration as a figure, as far as its points go.

use quantity::Force;
use quantity::force::ForceUnit;
use report::figure::{CalibrationCurve, CurvePoint, Figure, Interval, Loading, Range, RigPoint};
use workshop::view::{Calibration, CalibrationRecordView, PointView};
use workshop::words::K;

/// Readings at which the curve is asked: a step is then finer than a pixel.
const STEPS: usize = 120;

/// Readings at which the curve of these points is asked.
pub(super) fn asked(points: &[PointView]) -> Vec<f64> {
    let readings = points.iter().map(|point| point.reading);
    let (low, high) = ends(readings);
    let share = |step: usize| step as f64 / STEPS as f64;
    (0..=STEPS)
        .map(|step| low + share(step) * (high - low))
        .collect()
}

fn ends(readings: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let low = readings.clone().fold(f64::INFINITY, f64::min);
    (low, readings.fold(f64::NEG_INFINITY, f64::max))
}

/// Points and, where they give one, the curve with its band.
pub(super) fn figure(
    record: &CalibrationRecordView,
    fitted: Option<&Calibration>,
    unit: ForceUnit,
) -> Figure {
    let read = |force_n: f64| unit.read(Force::n(force_n));
    let (low, high) = ends(record.points.iter().map(|point| point.reading));
    let band = fitted.into_iter().flat_map(|fitted| &fitted.at);
    let band = band.filter_map(|at| {
        let force = at.force_n?;
        Some(CurvePoint {
            reading: at.reading,
            force: Interval::around(read(force.value), read(K * force.u)),
        })
    });
    let points = record.points.iter().map(|point| RigPoint {
        reading: Interval::around(
            point.reading,
            K * fitted.map_or(0.0, |fitted| fitted.reading_u_divisions),
        ),
        force: Interval::exact(read(point.force_n)),
        loading: match point.direction {
            Some("up") => Loading::Up,
            Some("down") => Loading::Down,
            _ => Loading::NotNoted,
        },
    });
    Figure::CalibrationCurve(CalibrationCurve {
        title: record.name.clone(),
        caption: String::new(),
        reading_unit: "divisions".into(),
        force_unit: unit.symbol().into(),
        band: band.collect(),
        points: points.collect(),
        fence: Range {
            from: low,
            to: high,
        },
        fence_words: format!("points from {low} to {high} divisions"),
        used: None,
        used_words: String::new(),
    })
}
