//! What lies on the bench beside the gauge: the scale, what was advised, the shop's own settings.

use super::{all, texts};
use crate::literal::PERCENT;
use crate::toml_reader::{Range, Read, Table, positive};
use metrology::visit::{Advice, Answer, ShopSettings, Weighing};
use quantity::Mass;

/// The heaviest wheel that is believed, in grams.
pub(super) const HEAVIEST_G: f64 = 100_000.0;

/// The longest job that is believed, in minutes.
const LONGEST_MINUTES: f64 = 10_000.0;

/// The least and the most certainty a shop can decide at: at a half it tosses a coin, at one it never
/// decides.
const DECIDE_AT: Range = Range::within(0.501, 0.999_999);

/// The step of a scale whose owner says nothing.
pub(super) const STEP_UNSAID: Mass = Mass::g(1.0);

/// Every `[[weighing]]`.
pub(super) fn weighings(root: &Table<'_>) -> Read<Vec<Weighing>> {
    all(root, "weighing", |table| {
        let dress = table.required("dress").and_then(|value| texts(&value));
        let mass = table.number("mass_g", positive(HEAVIEST_G));
        let step = table.optional_mass_g("step_g", positive(HEAVIEST_G));
        table.close();
        Ok(Weighing {
            dress: dress?,
            mass: Mass::g(mass?),
            step: step?.unwrap_or(STEP_UNSAID),
        })
    })
}

/// The words for what became of a piece of advice.
pub(super) const ANSWERS: [(&str, Answer); 3] = [
    ("taken", Answer::Taken),
    ("refused", Answer::Refused),
    ("open", Answer::Open),
];

/// Every `[[advice]]`.
pub(super) fn advice(root: &Table<'_>) -> Read<Vec<Advice>> {
    all(root, "advice", |table| {
        let text = table.text("text");
        let answer = table.choice("answer", &ANSWERS);
        table.close();
        Ok(Advice {
            text: text?,
            answer: answer?,
        })
    })
}

/// The table `[shop]`; what it leaves unsaid is as usual.
pub(super) fn settings(root: &Table<'_>) -> Read<ShopSettings> {
    let usual = ShopSettings::default();
    let Some(table) = root.optional_table("shop")? else {
        return Ok(usual);
    };
    let decide_at = table.optional_number("decide_at", DECIDE_AT);
    let evenness = table.optional_number("evenness_percent", positive(100.0));
    let minutes = |key| table.optional_number(key, positive(LONGEST_MINUTES));
    let lap_minutes = minutes("lap_minutes");
    let rig_point_minutes = minutes("rig_point_minutes");
    let dish_minutes = minutes("dish_minutes");
    let dial_u = table.optional_length_mm("dial_u_mm", positive(crate::laps::MOST_RUNOUT_MM));
    table.close();
    Ok(ShopSettings {
        decide_at: decide_at?.unwrap_or(usual.decide_at),
        evenness_prior: evenness?.map_or(usual.evenness_prior, PERCENT.2),
        lap_minutes: lap_minutes?.unwrap_or(usual.lap_minutes),
        rig_point_minutes: rig_point_minutes?.unwrap_or(usual.rig_point_minutes),
        dish_minutes: dish_minutes?.unwrap_or(usual.dish_minutes),
        dial_u: dial_u?.unwrap_or(usual.dial_u),
    })
}
