//! What the wheel bears, each answer with what it rests on.

use super::force;
use crate::view::{BuildSheet, HungView, SwingView};
use crate::words;
use quantity::force::ForceUnit;

/// What the wheel bears, by the model.
#[must_use]
pub fn bears(sheet: &BuildSheet, unit: ForceUnit) -> Vec<String> {
    let mut says = Vec::new();
    if let Some(structure) = &sheet.structure {
        says.push(format!(
            "Stiffness at the rim by spoke 1, the hub held: {:.0} N/mm toward the hub, {:.0} N/mm sideways; the hub turned, {:.0} N m/°.",
            structure.radial_n_per_mm,
            structure.lateral_n_per_mm,
            structure.torsional_n_m_per_rad.to_radians()
        ));
        if let Some(slack) = structure.first_slack_n {
            let dress = if sheet.tyre.is_some() {
                "with the tyre's tensions"
            } else {
                "without a tyre: with one it is less"
            };
            says.push(format!(
                "The first spoke goes slack under {} toward the hub, {dress}.",
                force(slack, unit)
            ));
        }
        if let Some(buckling) = &structure.buckling {
            says.push(format!(
                "It folds {} at {:.1} times its bare tensions, if it is true; out of true or ridden sideways, earlier.",
                if buckling.sideways { "sideways" } else { "in its plane" },
                buckling.tension_multiplier
            ));
        }
    }
    if let Some(hung) = &sheet.hung {
        says.push(hung_rim(hung));
    }
    if let Some(load) = &sheet.side_load {
        let mm =
            |moved: Option<f64>| moved.map_or("it folds".to_owned(), |mm| format!("{mm:.1} mm"));
        says.push(format!(
            "Under {} from the side ({}) the rim moves {} at spoke 1 and {} between spokes, the hub held, no tyre.",
            force(load.force_n, unit),
            load.source,
            mm(load.at_spoke_1_mm),
            mm(load.mid_gap_mm)
        ));
    }
    if let Some(ride) = &sheet.ride {
        let smallest = if ride.smallest_n <= 0.0 {
            "slack".to_owned()
        } else {
            force(ride.smallest_n, unit)
        };
        says.push(format!(
            "Ridden ({}: {} toward the hub, {} to the right, {} along the rim, over {:.0} mm of it; {}): through a turn from {smallest} (spoke {}) to {} (spoke {}).",
            ride.from,
            force(ride.radial_n, unit),
            force(ride.lateral_n, unit),
            force(ride.tangential_n, unit),
            ride.patch_mm,
            if ride.tyred { "tyred" } else { "without the tyre's own effect" },
            ride.smallest_spoke,
            force(ride.largest_n, unit),
            ride.largest_spoke
        ));
        says.extend(ride.swings.iter().map(|swing| fatigue(swing, unit)));
    }
    says
}

/// What hang tests say, as lines to copy into the wheel file, and what their uncertainty leaves.
fn hung_rim(hung: &HungView) -> String {
    let constants = [
        ("in_plane_bending_n_mm2", &hung.in_plane_bending_n_mm2),
        ("lateral_bending_n_mm2", &hung.lateral_bending_n_mm2),
        ("torsion_n_mm2", &hung.torsion_n_mm2),
    ];
    let keys = constants.into_iter().filter_map(|(key, one)| {
        let one = one.as_ref()?;
        Some(format!(
            "{key} = {:.2e} ± {:.0} %",
            one.value,
            100.0 * one.expanded() / one.value
        ))
    });
    let left = [
        (hung.radial_u_n_per_mm, "toward the hub", "N/mm"),
        (hung.lateral_u_n_per_mm, "sideways", "N/mm"),
        (hung.tension_multiplier_u, "on the folding tension", "times"),
    ];
    let left = left.into_iter().filter_map(|(u, what, unit)| {
        let half = words::K * u?;
        Some(format!("± {half:.1} {unit} {what}"))
    });
    format!(
        "By the hang tests: {}; that leaves {}. EI sideways and GJ keep the file's ratio; the rim's EA and the spokes are taken as the file has them.",
        keys.collect::<Vec<_>>().join(", "),
        left.collect::<Vec<_>>().join(", ")
    )
}

fn fatigue(swing: &SwingView, unit: ForceUnit) -> String {
    let range = format!(
        "Each turn swings a {} spoke by up to {} (spoke {})",
        swing.kind,
        force(swing.range_n, unit),
        swing.spoke
    );
    match swing
        .goodman
        .as_ref()
        .zip(swing.goodman_share)
        .zip(swing.mean_mpa.zip(swing.amplitude_mpa))
    {
        Some(((line, share), (mean, amplitude))) => format!(
            "{range}: {amplitude:.0} MPa about a mean of {mean:.0} MPa, {:.0} % of Goodman's line between {:.0} and {:.0} MPa ({}). Nominal stress: bend, thread and notches see more.",
            100.0 * share,
            line.amplitude_mpa,
            line.strength_mpa,
            line.source
        ),
        None => format!(
            "{range}. How often it bears that is not told: no endurance of its material is given."
        ),
    }
}
