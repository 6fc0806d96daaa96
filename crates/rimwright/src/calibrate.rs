//! `rimwright calibrate`: rig points to a curve.

use crate::{Units, ending, table};
use anyhow::Context;
use clap::ValueEnum;
use quantity::Rigidity;
use quantity::force::ForceUnit;
use std::path::PathBuf;
use workshop::calibrate::{Family, Stated, calibrate};
use workshop::view::{At, Calibration, json};
use workshop::{take_in, words};

/// What a gauge's reading means in force on one spoke kind.
///
/// POINTS.csv has a column `reading` and one of `force_kgf`, `force_n`, `force_lbf`; optionally
/// `direction` (up, down), `u_reading`, `u_force`. Two points give a line with the room a spring gauge
/// leaves it; six or more let the curve bend freely. Outside the range of the points there is no force.
///
/// Example: rimwright calibrate points.csv --gauge gauge.toml --at 22.5,26
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The rig points; `-` reads them from standard input.
    points: PathBuf,
    /// The gauge's file: its steps and repeatability, span and spring where known.
    #[arg(long, value_name = "GAUGE.toml")]
    gauge: Option<PathBuf>,
    /// Readings at which the curve is asked, with commas between.
    #[arg(
        long,
        value_delimiter = ',',
        value_name = "READING",
        allow_negative_numbers = true
    )]
    at: Vec<f64>,
    /// EI of the spoke about the axis the gauge bends, N mm².
    #[arg(long, value_name = "N_MM2")]
    bending: Option<f64>,
    /// The family of curve, instead of letting the points choose.
    #[arg(long)]
    family: Option<FamilyName>,
    /// The rig's file: says what a degree does to a spoke in it, so that force and reading taken apart can be held
    /// together.
    #[arg(long, value_name = "RIG.toml")]
    rig: Option<PathBuf>,
    /// Unit of the forces printed.
    #[arg(long, default_value = "kgf")]
    units: Units,
    /// One JSON object instead of text; forces in newtons.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum FamilyName {
    /// The physics of a spring gauge on a tensioned spoke.
    Physics,
    /// A line with the room that a spring gauge leaves it.
    Line,
    /// A monotone spline.
    Spline,
}

impl From<FamilyName> for Family {
    fn from(name: FamilyName) -> Self {
        match name {
            FamilyName::Physics => Self::Physics,
            FamilyName::Line => Self::Line,
            FamilyName::Spline => Self::Spline,
        }
    }
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let points = take_in::rig_points(&arguments.points)?;
    let stated = Stated {
        gauge: arguments.gauge.as_deref().map(take_in::gauge).transpose()?,
        bending: arguments.bending.map(Rigidity::n_mm2),
        family: arguments.family.map(Family::from),
        rig: arguments.rig.as_deref().map(take_in::rig).transpose()?,
    };
    let (_, view) = calibrate(&points, &stated, &arguments.at)
        .with_context(|| format!("{}: no curve", arguments.points.display()))?;
    if arguments.json {
        ending::print(&json(&view)?)
    } else {
        ending::print(&text(&view, arguments.units.into()))
    }
}

fn text(view: &Calibration, unit: ForceUnit) -> String {
    let curve = &view.curve;
    let [from, to] = curve.range_divisions;
    let [from_n, to_n] = curve.range_n;
    let exact = |n: f64| words::exact_force(quantity::Force::n(n), unit);
    let mut text = format!(
        "{}, {} points\nfrom {from} divisions ({}) to {to} divisions ({}); outside it gives no force\n",
        curve.family,
        view.residuals.len(),
        exact(from_n),
        exact(to_n),
    );
    if let Some(p) = view.p_value {
        text += &format!(
            "χ² {:.1} with {} degrees of freedom, p = {}\n",
            view.chi2,
            view.degrees_of_freedom,
            words::probability(p)
        );
    }
    if let Some(seen) = &view.hysteresis {
        text += &format!(
            "loading against unloading {:+.2} ± {:.2} divisions\n",
            seen.divisions.value,
            words::K * seen.divisions.u
        );
    }
    for known in &view.known {
        if let Some(value) = known.value {
            text += &format!("{}: {value:.3} ({})\n", known.what, known.from);
        }
    }
    if let Some(n_per_k) = view.rig_n_per_k {
        text += &warmth(n_per_k, unit);
    }
    if !view.at.is_empty() {
        text += &table::heading("At a reading (± 95 %)");
        let rows = view.at.iter().map(|at| at_row(at, unit)).collect();
        text += &table::table(
            &["reading", "force by the curve", "behind one such reading"],
            rows,
        );
    }
    text += &table::heading("The points");
    let rows = view
        .residuals
        .iter()
        .map(|residual| {
            vec![
                residual.reading.to_string(),
                exact(residual.force_n),
                residual.direction.unwrap_or("").into(),
                format!("{:+.2}", residual.residual_divisions),
                format!("{:+.1}", residual.normalised),
            ]
        })
        .collect();
    text += &table::table(
        &["reading", "force", "way", "off, divisions", "off, in u"],
        rows,
    );
    if view.trials.len() > 1 {
        text += &table::heading("Families tried");
        let rows = view
            .trials
            .iter()
            .map(|trial| {
                let p = trial.p_value.map_or("-".into(), words::probability);
                vec![
                    trial.family.into(),
                    format!("{:.1}", trial.chi2),
                    trial.degrees_of_freedom.to_string(),
                    p,
                ]
            })
            .collect();
        text += &table::table(&["family", "χ²", "degrees of freedom", "p"], rows);
    }
    if !view.findings.is_empty() {
        text += &table::heading("Know beside it");
        for finding in &view.findings {
            text += &table::item(crate::survey::mark(&finding.weight), &finding.says);
        }
    }
    text +=
        "\nAt the rig: eye protection, a cover over the spoke, stand beside the line of pull.\n";
    text
}

/// What a degree does in the rig: offered, never applied.
fn warmth(n_per_k: f64, unit: ForceUnit) -> String {
    if n_per_k == 0.0 {
        return "in the rig a degree warmer changes nothing: spoke and frame grow alike\n".into();
    }
    let way = if n_per_k < 0.0 { "takes" } else { "adds" };
    let per_k = unit.read(quantity::Force::n(n_per_k.abs()));
    format!(
        "in the rig a degree warmer {way} {per_k:.2} {} where nobody turns the nut: a reading taken later than its force is off by so much for every degree; offered, not applied\n",
        unit.symbol()
    )
}

fn at_row(at: &At, unit: ForceUnit) -> Vec<String> {
    match (&at.force_n, at.bound_n) {
        (Some(force), _) => vec![
            at.reading.to_string(),
            words::force(force.value, force.expanded(), unit),
            words::force(
                force.value,
                words::K * at.one_reading_u_n.unwrap_or(force.u),
                unit,
            ),
        ],
        (None, Some(bound_n)) => vec![
            at.reading.to_string(),
            format!(
                "{} than {}: beyond the points",
                at.bound.unwrap_or("more"),
                words::exact_force(quantity::Force::n(bound_n), unit)
            ),
            String::new(),
        ],
        (None, None) => vec![
            at.reading.to_string(),
            "not to be told".into(),
            String::new(),
        ],
    }
}
