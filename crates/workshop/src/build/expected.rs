//! What to expect of the built wheel with gauge, ear and thermometer.

use super::finding;
use super::tensioned::Tensioned;
use crate::view::{FindingView, PitchView, Quantity, TensionView, WarmthView};
use crate::warmth;
use mechanics::pitch::Plucked;
use quantity::{Force, Rigidity};
use wheel::{Section, Spoke, SpokeIndex, SpokeKind, Wheel};

fn mean(members: &[SpokeIndex], of: &[f64]) -> f64 {
    members.iter().map(|spoke| of[spoke.0]).sum::<f64>() / members.len() as f64
}

/// Mean tension of every side and kind, without and with the tyre.
pub(super) fn tensions(built: &Tensioned) -> Vec<TensionView> {
    let Some(bare_n) = &built.bare_n else {
        return Vec::new();
    };
    let view = built
        .wheel
        .groups()
        .into_iter()
        .map(|(side, kind, members)| {
            let bare = mean(&members, bare_n);
            let tyred = built.tyred.as_ref().map(|tyred| {
                let u = built
                    .tyre
                    .as_ref()
                    .map_or(0.0, |tyre| tyre.inward_n_per_mm.u);
                let change = mean(&members, &tyred.change_per_n_per_mm);
                Quantity::new(mean(&members, &tyred.tyred_n), (change * u).abs())
            });
            TensionView {
                side: side.word(),
                kind: built.wheel.kinds[kind.0].name.clone(),
                count: members.len(),
                bare_n: bare,
                drop_percent: tyred.map(|tyred| {
                    Quantity::new(100.0 * (1.0 - tyred.value / bare), 100.0 * tyred.u / bare)
                }),
                tyred_n: tyred,
            }
        });
    view.collect()
}

/// The note of every side and kind, bare, where its kind's stiffness and mass are known.
pub(super) fn pitch(built: &Tensioned, findings: &mut Vec<FindingView>) -> Vec<PitchView> {
    let Some(bare_n) = &built.bare_n else {
        return Vec::new();
    };
    let wheel = &built.wheel;
    let mut notes = Vec::new();
    let mut lacking: Vec<&str> = Vec::new();
    for (side, kind, members) in wheel.groups() {
        let spoke = &wheel.spokes[members[0].0];
        let of = &wheel.kinds[kind.0];
        let Some((bending, mass)) = bending(wheel, spoke, of).zip(of.mass) else {
            lacking.push(&of.name);
            continue;
        };
        let pitch = Plucked {
            tension: Force::n(mean(&members, bare_n)),
            length: spoke.length(),
            bending,
            kg_per_m: mass.to_kg() / spoke.length().to_m(),
        }
        .pitch();
        notes.push(PitchView {
            side: side.word(),
            kind: of.name.clone(),
            hinged_hz: pitch.hinged_hz,
            held_hz: pitch.held_hz,
        });
    }
    lacking.dedup();
    if !lacking.is_empty() {
        findings.push(finding(
            "pitch",
            format!(
                "The pitch of {} is not told: give mass_g, and bending_n_mm2 for a blade, in [[kind]].",
                lacking.join(", ")
            ),
        ));
    }
    notes
}

/// EI across the flat: as given, or that of round wire from its EA, EI = EA d²/16.
fn bending(wheel: &Wheel, spoke: &Spoke, kind: &SpokeKind) -> Option<Rigidity> {
    let round = || match kind.section? {
        Section::Wire(diameter) => {
            let axial_n = wheel.axial_stiffness_of(spoke)?.to_n();
            Some(Rigidity::n_m2(axial_n * diameter.to_m().powi(2) / 16.0))
        }
        Section::Blade { .. } => None,
    };
    kind.bending.or_else(round)
}

/// What a kelvin does to the mean of each side; none, with what is asked for, when an expansion is not known.
pub(super) fn warmth(built: &Tensioned, findings: &mut Vec<FindingView>) -> Option<WarmthView> {
    match warmth::per_kelvin(&built.wheel, built.structure.as_ref()?) {
        Ok(Some(warmth)) => Some(warmth),
        Ok(None) => {
            findings.push(finding(
                "temperature",
                format!(
                    "What warmth does to the tensions is not told: {}.",
                    warmth::ASKED_FOR
                ),
            ));
            None
        }
        Err(error) => {
            findings.push(finding("temperature", error.to_string()));
            None
        }
    }
}
