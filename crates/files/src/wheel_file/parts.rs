//! What both forms share: the rim's constants, the spoke kinds, and what was measured.

use super::Finding;
use super::fitting::{EXPANSION, PER_MILLION, section as drawn_section};
use crate::literal::PERCENT;
use crate::toml_reader::{Range, Read, Table, positive};
use quantity::{Length, Stress, WarpingRigidity};
use wheel::{Endurance, GeometryDoubt, Rim, Section, SpokeKind, UNMEASURED_DISH_U};

/// The name of the only kind in a file that describes none.
pub(super) const ONLY_KIND: &str = "spoke";

/// Standard uncertainty of a flange's offset when the file does not say: what a steel rule on a hub
/// gives (estimate of practice, unchecked).
const ASSUMED_FLANGE_OFFSET_U: Length = Length::mm(0.5);

/// Bounds beyond which a number is taken for a slip of the decimal point or of the unit.
const MOST_RADIUS_MM: f64 = 800.0;
const MOST_STIFFNESS_N: f64 = 1e9;
const MOST_RIGIDITY_N_MM2: f64 = 1e12;
const MOST_SHEAR_CENTRE_MM: f64 = 60.0;
const MOST_WARPING_N_MM4: f64 = 1e15;
const MOST_RIM_MASS_G: f64 = 5000.0;
const MOST_INNER_WIDTH_MM: f64 = 150.0;
const MOST_SECTION_MM: f64 = 12.0;
const MOST_THREAD_MM: f64 = 50.0;
const MOST_STRENGTH_MPA: f64 = 10_000.0;
const MOST_SPOKE_MASS_G: f64 = 100.0;
const MOST_OFFSET_U_MM: f64 = 20.0;
const MOST_DISH_MM: f64 = 50.0;

/// The rim's constants; the caller closes the table.
pub(super) fn rim(table: &Table<'_>) -> Read<Rim> {
    let centroid_radius = table.optional_length_mm("centroid_radius_mm", positive(MOST_RADIUS_MM));
    let axial_stiffness = table.optional_force_n("axial_stiffness_n", positive(MOST_STIFFNESS_N));
    let rigidity = |key| table.optional_rigidity_n_mm2(key, positive(MOST_RIGIDITY_N_MM2));
    let in_plane_bending = rigidity("in_plane_bending_n_mm2");
    let lateral_bending = rigidity("lateral_bending_n_mm2");
    let torsion = rigidity("torsion_n_mm2");
    let shear_centre = table.optional_length_mm(
        "shear_centre_outward_mm",
        Range::within(-MOST_SHEAR_CENTRE_MM, MOST_SHEAR_CENTRE_MM),
    );
    let warping = table.optional_number("warping_n_mm4", Range::within(0.0, MOST_WARPING_N_MM4));
    let mass = table.optional_mass_g("mass_g", positive(MOST_RIM_MASS_G));
    let expansion = table.optional_number("expansion_um_per_m_k", EXPANSION);
    let bead_seat = table.optional_length_mm("bead_seat_mm", positive(MOST_RADIUS_MM));
    let inner_width = table.optional_length_mm("inner_width_mm", positive(MOST_INNER_WIDTH_MM));
    let section = table.optional_table("section");
    let drawn = section?.map(|section| drawn_section(&section)).transpose();
    // What was measured goes before what was drawn.
    let drawn = drawn?.map(|section| section.rim()).unwrap_or_default();
    Ok(Rim {
        centroid_radius: centroid_radius?.or(drawn.centroid_radius),
        axial_stiffness: axial_stiffness?.or(drawn.axial_stiffness),
        in_plane_bending: in_plane_bending?.or(drawn.in_plane_bending),
        lateral_bending: lateral_bending?.or(drawn.lateral_bending),
        torsion: torsion?.or(drawn.torsion),
        shear_centre_outward: shear_centre?.unwrap_or_default(),
        warping: warping?.map(WarpingRigidity::n_mm4).unwrap_or_default(),
        mass: mass?,
        expansion_per_k: expansion?.map(PER_MILLION.2),
        bead_seat: bead_seat?,
        inner_width: inner_width?,
    })
}

/// The spoke kinds: those of the file, or one of which nothing is known.
pub(super) fn kinds(blocks: &[Table<'_>]) -> Read<Vec<SpokeKind>> {
    if blocks.is_empty() {
        return Ok(vec![SpokeKind::named(ONLY_KIND)]);
    }
    let kinds: Vec<_> = blocks.iter().map(kind).collect();
    let kinds: Vec<_> = kinds.into_iter().collect::<Read<_>>()?;
    for (place, kind) in kinds.iter().enumerate() {
        if kinds[..place].iter().any(|known| known.name == kind.name) {
            return Err(blocks[place].trouble_at(
                "name",
                format!("a second kind is called \"{}\"", kind.name),
                "Give each kind its own name: calibrations and laps refer to it.",
            ));
        }
    }
    Ok(kinds)
}

fn kind(table: &Table<'_>) -> Read<SpokeKind> {
    let name = table.text("name");
    let section = section(table);
    let material = table.optional_text("material");
    let axial_stiffness = table.optional_force_n("axial_stiffness_n", positive(MOST_STIFFNESS_N));
    let bending = table.optional_rigidity_n_mm2("bending_n_mm2", positive(MOST_RIGIDITY_N_MM2));
    let bending_u = table.optional_number("bending_u_percent", Range::within(0.0, 100.0));
    let mass = table.optional_mass_g("mass_g", positive(MOST_SPOKE_MASS_G));
    let thread = table.optional_length_mm("thread_mm", positive(MOST_THREAD_MM));
    let expansion = table.optional_number("expansion_um_per_m_k", EXPANSION);
    let endurance = endurance(table);
    table.close();
    let (bending, bending_u_percent) = (bending?, bending_u?);
    if bending.is_none() && bending_u_percent.is_some() {
        return Err(table.trouble_at(
            "bending_u_percent",
            "`bending_u_percent` without `bending_n_mm2`",
            "Add the bending stiffness it belongs to, or leave it out.",
        ));
    }
    Ok(SpokeKind {
        name: name?,
        section: section?,
        material: material?,
        axial_stiffness: axial_stiffness?,
        bending,
        bending_u_relative: bending_u_percent.map(PERCENT.2),
        mass: mass?,
        thread: thread?,
        expansion_per_k: expansion?.map(PER_MILLION.2),
        endurance: endurance?,
    })
}

/// What somebody published of the material; all of it or nothing, so that no number stands without its source.
fn endurance(table: &Table<'_>) -> Read<Option<Endurance>> {
    let stress = |key| table.optional_number(key, positive(MOST_STRENGTH_MPA));
    let (strength, amplitude) = (stress("strength_mpa"), stress("endurance_mpa"));
    let source = table.optional_text("endurance_source");
    match (strength?, amplitude?, source?) {
        (None, None, None) => Ok(None),
        (Some(strength), Some(amplitude), Some(source)) => Ok(Some(Endurance {
            strength: Stress::mpa(strength),
            amplitude: Stress::mpa(amplitude),
            source,
        })),
        _ => Err(table.trouble(
            "an endurance needs the strength, the amplitude and where they stand",
            "Give `strength_mpa`, `endurance_mpa` and `endurance_source`, or none of them.",
        )),
    }
}

fn section(table: &Table<'_>) -> Read<Option<Section>> {
    let wire = table.optional_length_mm("wire_mm", positive(MOST_SECTION_MM));
    let blade = table.optional("blade_mm");
    let sides = blade.map(|blade| blade.array::<2>(positive(MOST_SECTION_MM), "[thin, wide]"));
    let (wire, blade) = (wire?, blade.zip(sides.transpose()?));
    match (wire, blade) {
        (None, None) => Ok(None),
        (Some(wire), None) => Ok(Some(Section::Wire(wire))),
        (None, Some((_, [thin, wide]))) if thin <= wide => Ok(Some(Section::Blade {
            thin: Length::mm(thin),
            wide: Length::mm(wide),
        })),
        (None, Some((blade, _))) => Err(blade.trouble(
            "`blade_mm` gives the wide side first",
            "Write the thin side first: [thin, wide].",
        )),
        (Some(_), Some((blade, _))) => Err(blade.trouble(
            "`blade_mm` beside `wire_mm`",
            "Keep the one that the gauge touches: a blade, or round wire.",
        )),
    }
}

/// How well the geometry is known.
pub(super) fn doubt(block: Option<&Table<'_>>) -> Read<(GeometryDoubt, Vec<Length>, Vec<Finding>)> {
    let mut findings = Vec::new();
    let diameters = block.map(diameters).transpose();
    let (flange_offset_u, dish, dish_u) = match block {
        Some(table) => measured(table, &mut findings)?,
        None => (None, None, UNMEASURED_DISH_U),
    };
    let diameters = diameters?.unwrap_or_default();
    let flange_offset_u = flange_offset_u.unwrap_or_else(|| {
        findings.push(Finding::FlangeOffsetAssumed {
            u: ASSUMED_FLANGE_OFFSET_U,
        });
        ASSUMED_FLANGE_OFFSET_U
    });
    Ok((
        GeometryDoubt {
            flange_offset_u,
            dish,
            dish_u,
        },
        diameters,
        findings,
    ))
}

/// Diameters across the nipple seats, taken at several places.
fn diameters(table: &Table<'_>) -> Read<Vec<Length>> {
    let Some(value) = table.optional("seat_diameters_mm") else {
        return Ok(Vec::new());
    };
    let diameters = value.numbers(positive(2.0 * MOST_RADIUS_MM))?;
    if diameters.len() < 2 {
        return Err(value.trouble(
            "one diameter shows no scatter",
            "Measure across the rim at two places or more; a single one is `seat_diameter_mm` in [rim].",
        ));
    }
    Ok(diameters.into_iter().map(Length::mm).collect())
}

/// Standard uncertainty of the flange offsets, the rim's offset, and the uncertainty of that.
fn measured(
    table: &Table<'_>,
    findings: &mut Vec<Finding>,
) -> Read<(Option<Length>, Option<Length>, Length)> {
    let u = |key| table.optional_length_mm(key, Range::within(0.0, MOST_OFFSET_U_MM));
    let dish = |key| table.optional_length_mm(key, Range::within(-MOST_DISH_MM, MOST_DISH_MM));
    let flange_offset_u = u("flange_offset_u_mm");
    let (offset, offset_u) = (dish("dish_mm"), u("dish_u_mm"));
    let (as_read, as_read_u) = (dish("dish_as_read_mm"), u("dish_as_read_u_mm"));
    table.close();
    let flange_offset_u = flange_offset_u?;
    match (offset?, offset_u?, as_read?, as_read_u?) {
        (dish, Some(u), None, None) => Ok((flange_offset_u, dish, u)),
        (None, None, None, None) => Ok((flange_offset_u, None, UNMEASURED_DISH_U)),
        (None, None, Some(read), Some(read_u)) => {
            let offset = read / 2.0;
            findings.push(Finding::DishHalved { read, offset });
            Ok((flange_offset_u, Some(offset), read_u / 2.0))
        }
        (Some(_), None, None, None) => Err(table.trouble_at(
            "dish_mm",
            "the dish was measured, but not how surely",
            "Add `dish_u_mm`, its standard uncertainty.",
        )),
        (None, None, Some(_), None) => Err(table.trouble_at(
            "dish_as_read_mm",
            "the dish was read, but not how surely",
            "Add `dish_as_read_u_mm`, the standard uncertainty of the reading.",
        )),
        (None, None, None, Some(_)) => Err(table.trouble_at(
            "dish_as_read_u_mm",
            "`dish_as_read_u_mm` without `dish_as_read_mm`",
            "Add the reading, or leave its uncertainty out.",
        )),
        _ => Err(table.trouble(
            "the dish is given both as an offset and as read",
            "Keep `dish_mm` and `dish_u_mm`, the rim's true offset, or `dish_as_read_mm` and \
             `dish_as_read_u_mm`, what a flipping dish tool shows: twice as much.",
        )),
    }
}
