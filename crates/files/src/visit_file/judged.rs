//! What the wheel is held against: makers' limits and claims.

use super::lap::pressure;
use super::{Attachments, Desk, all, kind, texts};
use crate::toml_reader::{NOT_NEGATIVE, Range, Read, Table, Told, positive};
use metrology::conformity::{Claim, ClaimQuantity, ClaimScope};
use metrology::visit::PressureLimit;
use metrology::{Finding, Weight};
use quantity::{Force, Pressure};
use wheel::limit::{Condition, Limit, Part};
use wheel::{Side, Wheel};

/// Limits of tension outside these were written in another unit: 200 N hold no wheel together, and
/// spokes break at a third of 10 kN (common practice, no source).
const LIMIT_TENSIONS: [Force; 2] = [Force::n(200.0), Force::n(10_000.0)];

/// The highest pressure that is believed: twice that of the hardest track tyre (common practice, no
/// source).
pub(super) const HIGHEST_PRESSURE: Pressure = Pressure::bar(30.0);

pub(super) const PARTS: [(&str, Part); 5] = [
    ("spoke", Part::Spoke),
    ("thread", Part::Thread),
    ("nipple", Part::Nipple),
    ("rim", Part::Rim),
    ("hub", Part::Hub),
];

pub(super) const CONDITIONS: [(&str, Condition); 2] =
    [("bare", Condition::Bare), ("tyred", Condition::Tyred)];

pub(super) const SIDES: [(&str, Side); 2] = [("right", Side::Right), ("left", Side::Left)];

pub(super) const QUANTITIES: [(&str, ClaimQuantity); 5] = [
    ("tension_loss_percent", ClaimQuantity::TensionLossPercent),
    ("mass_g", ClaimQuantity::MassG),
    ("lateral_fir_mm", ClaimQuantity::LateralFirMm),
    ("radial_fir_mm", ClaimQuantity::RadialFirMm),
    ("evenness_percent", ClaimQuantity::EvennessPercent),
];

/// One block `[[limit]]`.
enum AnyLimit {
    Tension(Limit),
    Pressure(PressureLimit),
}

/// Every `[[limit]]`: those of tension and those of pressure.
pub(super) fn limits<A: Attachments>(
    root: &Table<'_>,
    wheel: &Wheel,
    desk: &Desk<'_, A>,
) -> Read<(Vec<Limit>, Vec<PressureLimit>)> {
    let (mut tension, mut pressure) = (Vec::new(), Vec::new());
    for limit in all(root, "limit", |table| limit(table, wheel, desk))? {
        match limit {
            AnyLimit::Tension(limit) => tension.push(limit),
            AnyLimit::Pressure(limit) => pressure.push(limit),
        }
    }
    Ok((tension, pressure))
}

fn limit<A: Attachments>(table: &Table<'_>, wheel: &Wheel, desk: &Desk<'_, A>) -> Read<AnyLimit> {
    let tension = tension(table);
    let pressure = pressure(table, "pressure");
    let noted = match table.optional("noted") {
        Some(value) => desk.date(&value).map(|date| date.to_string()),
        None => Err(table.trouble(
            "the limit does not say when it was noted",
            "Makers change their limits: write the day you read it, `noted = 2026-03-01`.",
        )),
    };
    let source = match table.optional("source") {
        Some(value) => value.text(),
        None => Err(table.trouble(
            "the limit has no source",
            "It is worth as much as the place it stands in: write `source = \"sticker on the rim\"`, \
             or the page or letter.",
        )),
    };
    let limit = match (tension, pressure) {
        (Ok(Some(_)), Ok(Some(_))) => {
            table.close();
            return Err(table.trouble(
                "a limit of tension and of pressure in one block",
                "Make two blocks `[[limit]]` of it.",
            ));
        }
        (Ok(None), Ok(Some(pressure))) => {
            let part = table.text("part");
            table.close();
            AnyLimit::Pressure(PressureLimit {
                part: part?,
                pressure,
                source: source?,
                noted: noted?,
            })
        }
        (tension, pressure) => {
            let part = table.choice("part", &PARTS);
            let condition = condition(table);
            let side = table.optional_choice("side", &SIDES);
            let kind = table
                .optional("spoke")
                .map(|value| kind(&value, wheel))
                .transpose();
            let tension = match (tension, pressure) {
                (Ok(Some(tension)), _) => Ok(tension),
                (Ok(None), Ok(_)) => Err(table.miss(
                    [
                        "tension_n",
                        "tension_kgf",
                        "tension_lbf",
                        "pressure_bar",
                        "pressure_psi",
                    ]
                    .map(str::to_owned)
                    .to_vec(),
                )),
                (Err(told), _) | (_, Err(told)) => Err(told),
            };
            table.close();
            AnyLimit::Tension(Limit {
                part: part?,
                tension: tension?,
                condition: condition?,
                source: source?,
                noted: noted?,
                side: side?,
                kind: kind?,
            })
        }
    };
    Ok(limit)
}

/// The tension of a limit, if it has one that a wheel can have.
fn tension(table: &Table<'_>) -> Read<Option<Force>> {
    let Some((tension, value)) = table.optional_force("tension", positive(f64::MAX))? else {
        return Ok(None);
    };
    let [lowest, highest] = LIMIT_TENSIONS;
    if !(lowest..=highest).contains(&tension) {
        let (n, kgf) = (tension.to_n(), tension.to_kgf());
        return Err(value.trouble(
            format!("a limit of {n:.0} N ({kgf:.0} kgf) is no limit of a spoke's tension"),
            "Is the number in another unit? `tension_n`, `tension_kgf` or `tension_lbf` says which.",
        ));
    }
    Ok(Some(tension))
}

/// The state a limit of tension was given for.
fn condition(table: &Table<'_>) -> Read<Condition> {
    match table.optional("state") {
        Some(value) => value.choice(&CONDITIONS),
        None => Err(table.trouble(
            "the limit does not say whether it holds bare or tyred",
            "A tyre takes tension away, so the same number means something else with one on. Write \
             `state = \"bare\"` or `state = \"tyred\"`, as the maker means it; ask if it is not said.",
        )),
    }
}

/// Every `[[claim]]`.
pub(super) fn claims(root: &Table<'_>, findings: &mut Vec<Finding>) -> Read<Vec<Claim>> {
    let claims = all(root, "claim", |table| {
        let text = table.text("text");
        let quantity = table.choice("quantity", &QUANTITIES);
        let source = table.optional_text("source");
        let (at_least, at_most) = bounds(table, quantity);
        let scope = match quantity {
            Ok(quantity) if !has_scope(quantity) => Ok(ClaimScope::Unnamed),
            _ => scope(table),
        };
        let dress = match quantity {
            Ok(quantity) if quantity != ClaimQuantity::MassG => Ok(None),
            _ => table
                .optional("dress")
                .map(|value| texts(&value))
                .transpose(),
        };
        table.close();
        Ok(Claim {
            text: text?,
            quantity: quantity?,
            at_least: at_least?,
            at_most: at_most?,
            scope: scope?,
            dress: dress?.unwrap_or_default(),
            source: source?,
        })
    })?;
    findings.extend(claims.iter().filter_map(undressed));
    Ok(claims)
}

/// Whether a claim about the quantity may speak of one side.
const fn has_scope(quantity: ClaimQuantity) -> bool {
    matches!(
        quantity,
        ClaimQuantity::TensionLossPercent | ClaimQuantity::EvennessPercent
    )
}

/// A claim about a mass is judged in the dress it names; one that names none asks for a naked wheel.
fn undressed(claim: &Claim) -> Option<Finding> {
    (claim.quantity == ClaimQuantity::MassG && claim.dress.is_empty()).then(|| Finding {
        weight: Weight::Note,
        about: "claim-without-dress",
        says: format!(
            "The claim \"{}\" names nothing on the wheel: it is held against a weighing with \
             `dress = []`. If it means a wheel with tape or valve, write its `dress`.",
            claim.text
        ),
        spokes: Vec::new(),
    })
}

/// The bounds of a claim: at least one of them, the lower not above the upper.
#[allow(clippy::type_complexity)]
fn bounds(
    table: &Table<'_>,
    quantity: Read<ClaimQuantity>,
) -> (Read<Option<f64>>, Read<Option<f64>>) {
    let range = match quantity {
        Ok(ClaimQuantity::TensionLossPercent) => Range::within(-100.0, 100.0),
        _ => NOT_NEGATIVE,
    };
    let at_least = table.optional_number("at_least", range);
    let at_most = table.optional_number("at_most", range);
    let refused = |told: Told| (Err(told), Err(told));
    match (at_least, at_most) {
        (Ok(None), Ok(None)) => refused(table.miss(vec!["at_most".into(), "at_least".into()])),
        (Ok(Some(least)), Ok(Some(most))) if least > most => refused(table.trouble_at(
            "at_least",
            format!("at least {least} and at most {most} cannot both hold"),
            "Are the two the wrong way round?",
        )),
        bounds => bounds,
    }
}

/// The part of the wheel a claim speaks of.
fn scope(table: &Table<'_>) -> Read<ClaimScope> {
    let side = table.optional_choice("side", &SIDES);
    let whole = table
        .optional("whole")
        .map(|value| value.flag())
        .transpose();
    match (side?, whole?) {
        (Some(_), Some(true)) => Err(table.trouble_at(
            "whole",
            "the claim speaks of one side and of the whole wheel",
            "Keep `side` or `whole`.",
        )),
        (Some(side), _) => Ok(ClaimScope::Side(side)),
        (None, Some(true)) => Ok(ClaimScope::Whole),
        (None, _) => Ok(ClaimScope::Unnamed),
    }
}
