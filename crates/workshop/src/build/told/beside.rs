//! What belongs beside the tensions: ratio, tyre, limits, warmth, mass.

use super::force;
use crate::view::BuildSheet;
use crate::words;
use quantity::Force;
use quantity::force::ForceUnit;

/// What belongs beside the tensions: ratio, tyre, warmth, masses, limits.
#[must_use]
pub fn beside(sheet: &BuildSheet, unit: ForceUnit) -> Vec<String> {
    let mut says = Vec::new();
    if let Some(ratio) = sheet.left_to_right {
        says.push(format!(
            "Left to right {ratio:.2} on average, by the hub's balance."
        ));
    }
    if !sheet.pitch.is_empty() {
        says.push("The pitch is that of a spoke that nothing touches, its mass even along it: from ends that turn freely to ends that cannot. Crossing spokes that touch ring together.".into());
    }
    if let Some(tyre) = &sheet.tyre {
        let at = tyre
            .pressure_bar
            .map_or(String::new(), |bar| format!(" at {bar:.1} bar"));
        says.push(format!(
            "The tyre presses with {:.1} ± {:.1} N/mm{at}: {}.",
            tyre.inward_n_per_mm.value,
            tyre.inward_n_per_mm.expanded(),
            tyre.from
        ));
        match tyre.bead_n_per_mm.zip(tyre.per_bar_n_per_mm) {
            Some((bead, per_bar)) => says.push(format!(
                "Of that the bead alone squeezes with {:.1} ± {:.1} N/mm, and each bar adds {:.2} ± {:.2} N/mm.",
                bead.value,
                bead.expanded(),
                per_bar.value,
                per_bar.expanded()
            )),
            None => says.push("What each bar adds is not told: it takes laps at two pressures; seated and let down is one.".into()),
        }
        let shift = tyre.dish_shift_mm;
        let way = if shift.value < 0.0 { "left" } else { "right" };
        says.push(format!(
            "When it goes on, the rim's plane shifts {} to the {way}.",
            words::millimetres(shift.value.abs(), shift.expanded())
        ));
        if let Some(wanted) = &tyre.wanted {
            says.push(format!(
                "The bare tensions are what it takes for the {wanted}."
            ));
        }
    }
    for limit in &sheet.limits {
        let (part, at_most, condition) =
            (limit.part, force(limit.at_most_n, unit), limit.condition);
        says.push(match (limit.highest_n, limit.over) {
            (Some(highest), Some(true)) => format!(
                "OVER: the {part} bears at most {at_most} {condition} ({}), expected are {}.",
                limit.source,
                force(highest, unit)
            ),
            (Some(highest), _) => format!(
                "Limit of the {part}: at most {at_most} {condition} ({}); expected are {}, and single spokes scatter about that.",
                limit.source,
                force(highest, unit)
            ),
            (None, _) => format!(
                "Limit of the {part}: at most {at_most} {condition} ({}); whether it is kept is not told.",
                limit.source
            ),
        });
    }
    says.extend(warmth(sheet, unit));
    says.push(mass(sheet));
    says
}

/// What a degree does to the mean of each side.
#[must_use]
pub fn warmth(sheet: &BuildSheet, unit: ForceUnit) -> Option<String> {
    let warmth = sheet.warmth.as_ref()?;
    let per_k =
        |n: f64| format!("{:+.2} {}/°C", unit.read(Force::n(n)), unit.symbol()).replace('-', "−");
    Some(format!(
        "Warmer by one degree: right {}, left {}. Two laps at different temperatures may be corrected by that; nothing is corrected unasked.",
        per_k(warmth.right_n_per_k),
        per_k(warmth.left_n_per_k)
    ))
}

fn mass(sheet: &BuildSheet) -> String {
    let mass = &sheet.mass;
    let grams = |part: Option<f64>| part.map_or("?".to_owned(), |g| format!("{g:.0}"));
    format!(
        "Mass: rim {}, hub {}, spokes {}, nipples {}, together {} g, tape, valve and tyre apart.",
        grams(mass.rim_g),
        grams(mass.hub_g),
        grams(mass.spokes_g),
        grams(mass.nipples_g),
        grams(mass.total_g)
    )
}
