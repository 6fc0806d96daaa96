//! The build sheet in a builder's words, the same on the terminal and on paper.

mod bears;
mod beside;
mod if_off;

use crate::analyse::told::Grid;
use crate::view::{Build, BuildSheet, ChoiceView, ClashView, Quantity};
use crate::words;
use quantity::Force;
use quantity::force::ForceUnit;

pub use bears::bears;
pub use beside::{beside, warmth};
pub use if_off::{IF_OFF, if_off, said_if_off};

/// What every answer here rests on.
pub const GROUNDS: &str = "Reckoned from the wheel file: a straight spoke from hole to seat, the rim a ring, the hub rigid, nothing settled yet. Measure a spoke, a nipple and the rim before ordering many.";

fn grid(heads: &[&str], rows: Vec<Vec<String>>) -> Grid {
    Grid {
        heads: heads.iter().map(|head| (*head).to_owned()).collect(),
        rows,
    }
}

fn force(n: f64, unit: ForceUnit) -> String {
    words::exact_force(Force::n(n), unit)
}

fn with_u(value: &Quantity, unit: ForceUnit) -> String {
    words::force(value.value, value.expanded(), unit)
}

fn numbers(spokes: &[usize]) -> String {
    spokes
        .iter()
        .map(usize::to_string)
        .collect::<Vec<_>>()
        .join(", ")
}

/// `right plain, heads in`.
fn group(side: &str, kind: &str, head: &str) -> String {
    match head {
        "straight" => format!("{side} {kind}, straight pull"),
        _ => format!("{side} {kind}, heads {head}"),
    }
}

/// What to order: reckoned length, the lengths on the shelf, where each ends and what thread it leaves, how many.
#[must_use]
pub fn lengths(sheet: &BuildSheet) -> Grid {
    let mut rows = Vec::new();
    for length in &sheet.lengths {
        for (place, choice) in length.choices.iter().enumerate() {
            let once = |words: String| if place == 0 { words } else { String::new() };
            let millimetres = |mm: Option<f64>| mm.map_or("–".into(), |mm| format!("{mm:.1}"));
            rows.push(vec![
                once(group(length.side, &length.kind, length.head)),
                once(words::millimetres(
                    length.length_mm.value,
                    length.length_mm.expanded(),
                )),
                bought(choice),
                format!("{:+.1}", choice.longer_mm).replace('-', "−"),
                end(choice),
                millimetres(choice.engaged_mm),
                turns(choice),
                if choice.advised {
                    length.order.to_string()
                } else {
                    String::new()
                },
            ]);
        }
    }
    grid(
        &[
            "for",
            "reckoned",
            "on the shelf",
            "off, mm",
            "the spoke ends, mm",
            "thread holds, mm",
            "turns left",
            "order",
        ],
        rows,
    )
}

/// `◂ 292`, the advised one marked.
fn bought(choice: &ChoiceView) -> String {
    let text = format!("{:.2}", choice.length_mm);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if choice.advised {
        format!("{text} ◂")
    } else {
        text.to_owned()
    }
}

/// Where a bought spoke ends, from the top of its nipple.
fn end(choice: &ChoiceView) -> String {
    let Some((below, end)) = choice.below_top_mm.zip(choice.end) else {
        return "–".into();
    };
    match end {
        "below-slot" => format!("{below:.1} under the top, below the slot"),
        "proud" => format!("{:.1} out of the nipple", -below),
        _ => format!("{below:.1} under the top, in the slot"),
    }
}

fn turns(choice: &ChoiceView) -> String {
    match choice.turns_left {
        None => "–".into(),
        Some(turns) if turns < 0.0 => "thread ends before".into(),
        Some(turns) => format!("{turns:.0}"),
    }
}

/// How each length adds up, in mm.
#[must_use]
pub fn parts(sheet: &BuildSheet) -> Grid {
    let rows = sheet.lengths.iter().map(|length| {
        let parts = &length.parts;
        let signed = |mm: f64| match mm {
            0.0 => "0".to_owned(),
            mm if mm < 0.0 => format!("−{:.2}", -mm),
            mm => format!("+{mm:.2}"),
        };
        vec![
            group(length.side, &length.kind, length.head),
            format!("{:.2}", parts.to_seat_mm),
            signed(parts.at_hub_mm),
            signed(parts.washer_mm),
            signed(parts.into_nipple_mm),
            signed(parts.shrink_mm),
            signed(parts.stretch_mm),
            numbers(&length.spokes),
        ]
    });
    grid(
        &[
            "for",
            "hole to seat",
            "at the hub",
            "washer",
            "into nipple",
            "rim shrinks",
            "spoke stretches",
            "spokes",
        ],
        rows.collect(),
    )
}

/// Tension and pitch to expect of each side and kind.
#[must_use]
pub fn expected(sheet: &BuildSheet, unit: ForceUnit) -> Grid {
    let rows = sheet.tensions.iter().map(|row| {
        let note = sheet
            .pitch
            .iter()
            .find(|note| (note.side, &note.kind) == (row.side, &row.kind));
        vec![
            format!("{} {}", row.side, row.kind),
            row.count.to_string(),
            force(row.bare_n, unit),
            row.tyred_n.map_or("–".into(), |tyred| with_u(&tyred, unit)),
            row.drop_percent.map_or("–".into(), |drop| {
                words::percent(drop.value, drop.expanded())
            }),
            note.map_or("–".into(), |note| {
                format!("{:.0} to {:.0} Hz", note.hinged_hz, note.held_hz)
            }),
        ]
    });
    grid(
        &[
            "for",
            "spokes",
            "bare",
            "tyred",
            "the tyre takes",
            "pitch, bare",
        ],
        rows.collect(),
    )
}

/// Spokes in the way of something, pairs of one kind together.
#[must_use]
pub fn clashes(sheet: &BuildSheet) -> Vec<String> {
    let mut says = Vec::new();
    for passes_through in [true, false] {
        let spokes: Vec<&ClashView> = sheet
            .clashes
            .iter()
            .filter(|clash| clash.passes_through == passes_through && clash.other_spoke.is_some())
            .collect();
        if let Some(most) = spokes.iter().map(|clash| clash.overlap_mm).reduce(f64::max) {
            let pairs = spokes
                .iter()
                .map(|clash| format!("{}–{}", clash.spoke, clash.other_spoke.unwrap_or_default()));
            let how = if passes_through {
                "would pass through each other"
            } else {
                "touch where they cross, as laced spokes do"
            };
            says.push(format!(
                "Spokes that {how}, overlapping by up to {most:.1} mm if straight: {}.",
                pairs.collect::<Vec<_>>().join(", ")
            ));
        }
    }
    for side in ["right", "left"] {
        let on: Vec<&ClashView> = sheet
            .clashes
            .iter()
            .filter(|clash| clash.flange == Some(side))
            .collect();
        if let Some(most) = on.iter().map(|clash| clash.overlap_mm).reduce(f64::max) {
            let spokes: Vec<usize> = on.iter().map(|clash| clash.spoke).collect();
            says.push(format!(
                "Spokes that have to bend by up to {most:.1} mm round the edge of the {side} flange: {}.",
                numbers(&spokes)
            ));
        }
    }
    if says.is_empty() {
        says.push("No spoke is in another's way, as far as sections and flanges are known.".into());
    }
    says
}

/// Several builds side by side; none for a single one.
#[must_use]
pub fn compared(build: &Build, unit: ForceUnit) -> Option<Grid> {
    if build.builds.len() < 2 {
        return None;
    }
    let rows = build.builds.iter().map(|sheet| {
        let structure = sheet.structure.as_ref();
        let or = |told: Option<String>| told.unwrap_or("–".into());
        let drop = sheet
            .tensions
            .iter()
            .filter_map(|row| row.drop_percent)
            .max_by(|one, other| one.value.total_cmp(&other.value));
        vec![
            sheet.wheel.clone(),
            or(sheet.mass.total_g.map(|g| format!("{g:.0}"))),
            or(structure.map(|one| format!("{:.0}", one.radial_n_per_mm))),
            or(structure.map(|one| format!("{:.0}", one.lateral_n_per_mm))),
            or(structure.map(|one| format!("{:.0}", one.torsional_n_m_per_rad.to_radians()))),
            or(drop.map(|drop| words::percent(drop.value, drop.expanded()))),
            or(structure
                .and_then(|one| one.first_slack_n)
                .map(|n| force(n, unit))),
            or(structure
                .and_then(|one| one.buckling)
                .map(|one| format!("{:.1}", one.tension_multiplier))),
        ]
    });
    Some(grid(
        &[
            "build",
            "mass, g",
            "to the hub, N/mm",
            "sideways, N/mm",
            "hub turned, N m/°",
            "the tyre takes",
            "first slack",
            "folds at, times",
        ],
        rows.collect(),
    ))
}
