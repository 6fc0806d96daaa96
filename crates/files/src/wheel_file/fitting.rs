//! What joins spokes to hub and rim, the hub itself, and the rim's section as drawn.

use super::explicit::SIDES;
use crate::literal::{Unit, quoted, text};
use crate::toml_reader::{Range, Read, Table, Value, positive};
use crate::toml_writer::{Page, array, grams, millimetres};
use mechanics::section_shape::{Corner, Error as NoSection, SectionConstants, SectionShape};
use quantity::{Length, Stress};
use wheel::{Fitting, Fittings, Flange, FlangeBody, Nipple, Side};

/// Bounds beyond which a number is taken for a slip.
const MOST_HOLE_MM: f64 = 8.0;
const MOST_NIPPLE_MM: f64 = 40.0;
const MOST_BEHIND_MM: f64 = 40.0;
const MOST_WASHER_MM: f64 = 5.0;
const MOST_NIPPLE_MASS_G: f64 = 10.0;
const MOST_HUB_MASS_G: f64 = 20_000.0;
const MOST_FLANGE_MM: f64 = 600.0;
const MOST_MODULUS_GPA: f64 = 1000.0;
const MOST_SECTION_MM: f64 = 1000.0;

/// Expansion in millionths per kelvin, as tables of materials have it.
pub(crate) const PER_MILLION: Unit<f64> = (
    "um_per_m_k",
    |per_k| 1e6 * per_k,
    |per_million| per_million / 1e6,
);
pub(crate) const EXPANSION: Range = Range::within(-10.0, 200.0);

/// What to do about dimensions that come in pairs.
const HEAD_MISSING: &str = "A nipple's place needs both: `nipple_head_mm`, from where it bears to the top of \
    its head, and `nipple_slot_mm`, from the top down to its thread.";

/// The fittings of the `[[fitting]]` blocks and of `[hub]`. `flanges` are those of a laced wheel; a wheel
/// given spoke by spoke gives each flange's place with the fitting.
pub(super) fn fittings(
    blocks: &[Table<'_>],
    hub: Option<&Table<'_>>,
    flanges: Option<[Flange; 2]>,
) -> Read<Fittings> {
    let hub = hub.map(|table| {
        let mass = table.optional_mass_g("mass_g", positive(MOST_HUB_MASS_G));
        let expansion = table.optional_number("expansion_um_per_m_k", EXPANSION);
        table.close();
        Ok((mass?, expansion?.map(PER_MILLION.2)))
    });
    let read: Vec<_> = blocks.iter().map(|block| fitting(block, flanges)).collect();
    let mut fittings = Fittings::default();
    let mut taken: [bool; 2] = [false; 2];
    for (block, one) in blocks.iter().zip(read) {
        let (side, [right, left]) = one?;
        for (place, (own, found)) in [(&mut fittings.right, right), (&mut fittings.left, left)]
            .into_iter()
            .enumerate()
        {
            if side.is_some_and(|side| side != Side::BOTH[place]) {
                continue;
            }
            if std::mem::replace(&mut taken[place], true) {
                return Err(block.trouble(
                    format!("a second [[fitting]] of the {} side", Side::BOTH[place].word()),
                    "Write one block for both sides, or one with `side = \"right\"` and one with `side = \"left\"`.",
                ));
            }
            *own = found;
        }
    }
    if let Some(hub) = hub {
        (fittings.hub_mass, fittings.hub_expansion_per_k) = hub?;
    }
    Ok(fittings)
}

/// One block: the side it is of, and what it would be on either.
fn fitting(table: &Table<'_>, flanges: Option<[Flange; 2]>) -> Read<(Option<Side>, [Fitting; 2])> {
    let side = table.optional_choice("side", &SIDES);
    let hole = table.optional_length_mm("hole_mm", positive(MOST_HOLE_MM));
    let head_behind =
        table.optional_length_mm("head_behind_mm", Range::within(0.0, MOST_BEHIND_MM));
    let washer = table.optional_length_mm("washer_mm", Range::within(0.0, MOST_WASHER_MM));
    let nipple = nipple(table);
    let bodies = bodies(table, flanges);
    table.close();
    let (hole, head_behind, washer) = (hole?, head_behind?, washer?);
    let (nipple, bodies) = (nipple?, bodies?);
    let of = |flange| Fitting {
        hole,
        head_behind: head_behind.unwrap_or_default(),
        flange,
        washer: washer.unwrap_or_default(),
        nipple,
    };
    Ok((side?, bodies.map(of)))
}

fn nipple(table: &Table<'_>) -> Read<Option<Nipple>> {
    let mm = |key| table.optional_length_mm(key, Range::within(0.0, MOST_NIPPLE_MM));
    let (head, slot, end) = (
        mm("nipple_head_mm"),
        mm("nipple_slot_mm"),
        mm("spoke_end_mm"),
    );
    let (length, thread) = (mm("nipple_length_mm"), mm("nipple_thread_mm"));
    let mass = table.optional_mass_g("nipple_mass_g", positive(MOST_NIPPLE_MASS_G));
    let (head, slot, end, length, thread, mass) = (head?, slot?, end?, length?, thread?, mass?);
    match (head, slot) {
        (Some(head), Some(slot)) => Ok(Some(Nipple {
            head,
            slot,
            end: end.unwrap_or(slot),
            length,
            thread,
            mass,
        })),
        (None, None) if end.or(length).or(thread).is_none() && mass.is_none() => Ok(None),
        (None, _) => Err(table.missing("nipple_head_mm", HEAD_MISSING)),
        (_, None) => Err(table.missing("nipple_slot_mm", HEAD_MISSING)),
    }
}

/// The flange as a body, for the right side and the left.
fn bodies(table: &Table<'_>, flanges: Option<[Flange; 2]>) -> Read<[Option<FlangeBody>; 2]> {
    let diameter = table.optional_length_mm("flange_diameter_mm", positive(MOST_FLANGE_MM));
    if let Some(flanges) = flanges {
        let diameter = diameter?;
        return Ok(flanges.map(|flange| {
            diameter.map(|diameter| FlangeBody {
                offset: flange.offset,
                thickness: flange.thickness,
                radius: diameter / 2.0,
            })
        }));
    }
    let mm = |key, most: f64| table.optional_length_mm(key, Range::within(-most, most));
    let (offset, thickness) = (mm("flange_offset_mm", 150.0), mm("flange_mm", 20.0));
    let body = match (diameter?, offset?, thickness?) {
        (None, None, None) => None,
        (Some(diameter), Some(offset), Some(thickness)) => Some(FlangeBody {
            offset,
            thickness,
            radius: diameter / 2.0,
        }),
        _ => {
            return Err(table.trouble(
                "a flange as a body needs its place, its thickness and its size",
                "Give `flange_offset_mm`, `flange_mm` and `flange_diameter_mm`, or none of them.",
            ));
        }
    };
    Ok([body; 2])
}

/// Writes what is known of the fittings, side by side where they differ.
pub(super) fn write(page: &mut Page, fittings: &Fittings) {
    if fittings.right == fittings.left {
        block(page, None, &fittings.right);
    } else {
        block(page, Some("right"), &fittings.right);
        block(page, Some("left"), &fittings.left);
    }
    let expansion = fittings.hub_expansion_per_k;
    if fittings.hub_mass.is_some() || expansion.is_some() {
        page.block("[hub]");
        page.optional("mass_g", fittings.hub_mass.map(grams));
        page.optional(
            "expansion_um_per_m_k",
            expansion.map(|one| text(&PER_MILLION, one)),
        );
    }
}

fn block(page: &mut Page, side: Option<&str>, fitting: &Fitting) {
    if *fitting == Fitting::default() {
        return;
    }
    page.block("[[fitting]]");
    page.optional("side", side.map(quoted));
    page.optional("hole_mm", fitting.hole.map(millimetres));
    for (key, length) in [
        ("head_behind_mm", fitting.head_behind),
        ("washer_mm", fitting.washer),
    ] {
        if length != Length::ZERO {
            page.key(key, millimetres(length));
        }
    }
    if let Some(nipple) = fitting.nipple {
        page.key("nipple_head_mm", millimetres(nipple.head));
        page.key("nipple_slot_mm", millimetres(nipple.slot));
        page.key("spoke_end_mm", millimetres(nipple.end));
        page.optional("nipple_length_mm", nipple.length.map(millimetres));
        page.optional("nipple_thread_mm", nipple.thread.map(millimetres));
        page.optional("nipple_mass_g", nipple.mass.map(grams));
    }
    if let Some(body) = fitting.flange {
        page.key("flange_offset_mm", millimetres(body.offset));
        page.key("flange_mm", millimetres(body.thickness));
        let across: Unit<Length> = (
            "mm",
            |radius| 2.0 * radius.to_mm(),
            |diameter_mm| Length::mm(diameter_mm) / 2.0,
        );
        page.key("flange_diameter_mm", text(&across, body.radius));
    }
}

/// The constants of the section drawn in `[rim.section]`.
pub(super) fn section(table: &Table<'_>) -> Read<SectionConstants> {
    let modulus = |key| {
        table
            .number(key, positive(MOST_MODULUS_GPA))
            .map(Stress::gpa)
    };
    let (young, shear) = (modulus("modulus_gpa"), modulus("shear_modulus_gpa"));
    let outline = table
        .required("outline_mm")
        .and_then(|value| corners(&value));
    let cells = table.required("cells_mm").and_then(|value| {
        let cells: Vec<_> = value.items()?.iter().map(corners).collect();
        cells.into_iter().collect::<Read<Vec<_>>>()
    });
    table.close();
    let shape = SectionShape {
        outline: outline?,
        cells: cells?,
        modulus: young?,
        shear_modulus: shear?,
    };
    shape.constants().map_err(|error| {
        let (key, mend) = match error {
            NoSection::NoArea { .. } => (
                "outline_mm",
                "Write the corners in order, [along the axle, from the axle], not all in one line.",
            ),
            NoSection::Modulus { .. } => ("modulus_gpa", "Write the modulus in gigapascals."),
            NoSection::CellOutside { .. } | NoSection::NoWall { .. } | NoSection::Open => (
                "cells_mm",
                "List the corners of every hollow; each lies wholly within the material.",
            ),
        };
        table.trouble_at(key, error.to_string(), mend)
    })
}

fn corners(value: &Value<'_>) -> Read<Vec<Corner>> {
    let range = Range::within(-MOST_SECTION_MM, MOST_SECTION_MM);
    let corner = |item: &Value<'_>| item.array(range, "along the axle, from the axle");
    let corners: Vec<Read<[f64; 2]>> = value.items()?.iter().map(corner).collect();
    corners
        .into_iter()
        .map(|corner| Ok(corner?.map(Length::mm)))
        .collect()
}

/// The measured seat diameters as written.
pub(super) fn written_diameters(diameters: &[Length]) -> Option<String> {
    (!diameters.is_empty()).then(|| array(diameters.iter().copied().map(millimetres)))
}
