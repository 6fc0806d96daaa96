//! Which gauge was on the rig with which spoke kind, and which laps it leaves without a force.

use super::{Attachments, Desk, all, kind};
use crate::points;
use crate::toml_reader::{Read, Table};
use metrology::lap::{Lap, Taken};
use metrology::visit::Calibration;
use metrology::{Finding, Weight};
use std::collections::BTreeSet;
use wheel::{SpokeIndex, Wheel};

/// Every `[[calibration]]`.
pub(super) fn calibrations<A: Attachments>(
    root: &Table<'_>,
    wheel: &Wheel,
    desk: &mut Desk<'_, A>,
) -> Read<Vec<Calibration>> {
    let mut calibrations: Vec<Calibration> = Vec::new();
    all(root, "calibration", |table| {
        let kind = table
            .required("spoke")
            .and_then(|value| kind(&value, wheel));
        let gauge = table.required("gauge").and_then(|value| desk.gauge(&value));
        let points = table
            .required("points")
            .and_then(|value| desk.attached(&value, points::read));
        table.close();
        let (kind, gauge, (points_name, points)) = (kind?, gauge?, points?);
        if calibrations
            .iter()
            .any(|other| other.kind == kind && other.gauge.label == gauge.label)
        {
            let name = &wheel.kinds[kind.0].name;
            return Err(table.trouble(
                format!("a second calibration of {} on `{name}`", gauge.label),
                "Keep the one that holds for this visit, or put all points into one file.",
            ));
        }
        calibrations.push(Calibration {
            kind,
            gauge,
            points_name,
            points,
        });
        Ok(())
    })?;
    Ok(calibrations)
}

/// The laps that met spoke kinds on which their gauge has no calibration.
pub(super) fn uncalibrated(
    laps: &[Lap],
    calibrations: &[Calibration],
    wheel: &Wheel,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (number, lap) in (1..).zip(laps) {
        let Taken::Readings { gauge, readings } = &lap.taken else {
            continue;
        };
        let met: BTreeSet<_> = readings
            .iter()
            .map(|reading| wheel.spokes[reading.spoke.0].kind)
            .collect();
        for kind in met {
            if calibrations
                .iter()
                .any(|known| known.kind == kind && known.gauge.label == *gauge)
            {
                continue;
            }
            let of_kind = |spoke: &SpokeIndex| wheel.spokes[spoke.0].kind == kind;
            let spokes: Vec<_> = readings
                .iter()
                .map(|reading| reading.spoke)
                .filter(of_kind)
                .collect();
            findings.push(Finding {
                weight: Weight::Question,
                about: "no-calibration",
                says: format!(
                    "Lap {number} was taken with {gauge}, which has no calibration on `{}`: its {} \
                     readings there give no tension. Stretch such a spoke on the rig and add a \
                     `[[calibration]]`.",
                    wheel.kinds[kind.0].name,
                    spokes.len()
                ),
                spokes,
            });
        }
    }
    findings
}
