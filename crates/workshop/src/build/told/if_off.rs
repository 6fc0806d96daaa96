//! What each answer rests on: how far it moves when an input is off.

use super::grid;
use crate::analyse::told::Grid;
use crate::view::{BuildSheet, InputOffView};
use quantity::Force;
use quantity::force::ForceUnit;

/// What the table of [`if_off`] says.
pub const IF_OFF: &str = "What moves if an input is off, all else the same";

/// How far the leading answers move with one input off; none where nothing moves, or several wheels are compared.
#[must_use]
pub fn if_off(sheet: &BuildSheet, unit: ForceUnit) -> Option<Grid> {
    if sheet.if_off.is_empty() {
        return None;
    }
    let force = |change_n: Option<f64>| signed(change_n.map(|n| unit.read(Force::n(n))), 0);
    let structure = sheet.structure.as_ref();
    let percent = |change: Option<f64>, of: Option<f64>| {
        let share = change.zip(of.filter(|of| *of != 0.0));
        signed(share.map(|(change, of)| 100.0 * change / of), 0)
    };
    let row = |off: &InputOffView| {
        vec![
            format!("{} {}", off.input, off.by),
            signed(off.right_length_change_mm, 1),
            signed(off.left_length_change_mm, 1),
            force(off.right_tension_change_n),
            force(off.left_tension_change_n),
            percent(
                off.first_slack_change_n,
                structure.and_then(|one| one.first_slack_n),
            ),
            percent(
                off.lateral_change_n_per_mm,
                structure.map(|one| one.lateral_n_per_mm),
            ),
            percent(
                off.tension_multiplier_change,
                structure
                    .and_then(|one| one.buckling)
                    .map(|one| one.tension_multiplier),
            ),
            force(off.smallest_ridden_change_n),
        ]
    };
    let dress = if sheet.tyre.is_some() {
        "tyred"
    } else {
        "bare"
    };
    let tension = |side: &str| format!("{side} {dress}, {}", unit.symbol());
    let [right, left] = ["right", "left"].map(tension);
    let ridden = format!("least ridden, {}", unit.symbol());
    Some(grid(
        &[
            "if this were",
            "right length, mm",
            "left length, mm",
            &right,
            &left,
            "first slack, %",
            "sideways, %",
            "folds at, %",
            &ridden,
        ],
        sheet.if_off.iter().map(row).collect(),
    ))
}

/// What is to be said of the wheel with an input off and not of it as it is, a line for each input.
#[must_use]
pub fn said_if_off(sheet: &BuildSheet) -> Vec<String> {
    let says = sheet.if_off.iter().filter(|off| !off.says.is_empty());
    says.map(|off| format!("{} {}: {}", off.input, off.by, off.says.join("; ")))
        .collect()
}

/// A change with so many decimals and its sign; `0` where it rounds to nothing, a dash where there is no answer.
fn signed(change: Option<f64>, decimals: usize) -> String {
    let Some(change) = change else {
        return "–".into();
    };
    let size = format!("{:.decimals$}", change.abs());
    if size.bytes().all(|byte| matches!(byte, b'0' | b'.')) {
        return "0".into();
    }
    format!("{}{size}", if change < 0.0 { '−' } else { '+' })
}

#[cfg(test)]
mod tests {
    use super::signed;

    #[test]
    fn changes_have_a_sign_unless_they_round_to_nothing() {
        assert_eq!(signed(Some(0.54), 1), "+0.5");
        assert_eq!(signed(Some(-12.6), 0), "−13");
        assert_eq!(signed(Some(-0.04), 1), "0");
        assert_eq!(signed(None, 1), "–");
    }
}
