//! A wheel as text that reads back to the same wheel.

use super::FORMAT;
use super::explicit::{HEADS, ROLES, SIDES};
use super::fitting;
use super::parts::ONLY_KIND;
use crate::literal::{PERCENT, Unit, quoted, text};
use crate::toml_writer::{Page, array, grams, millimetres, newton_square_millimetres, newtons};
use quantity::{Length, Stress, WarpingRigidity};
use wheel::{Head, Point, Rim, Role, Section, Spoke, SpokeKind, Wheel};

/// The wheel spoke by spoke, as a file that [`super::read`] reads back to the same wheel.
///
/// A length that no number of millimetres gives exactly (one in fifty, if it was not reckoned in
/// millimetres) comes back as its neighbour, within one part in 10¹⁵.
#[must_use]
pub fn write(wheel: &Wheel) -> String {
    let mut page = Page::default();
    page.key("format", FORMAT);
    page.key("name", quoted(&wheel.name));
    rim(&mut page, &wheel.rim);
    if wheel.kinds != [SpokeKind::named(ONLY_KIND)] {
        wheel.kinds.iter().for_each(|known| kind(&mut page, known));
    }
    measured(&mut page, wheel);
    fitting::write(&mut page, &wheel.fittings);
    wheel
        .spokes
        .iter()
        .for_each(|known| spoke(&mut page, wheel, known));
    page.finish()
}

fn rim(page: &mut Page, rim: &Rim) {
    if *rim == Rim::default() {
        return;
    }
    page.block("[rim]");
    page.optional("centroid_radius_mm", rim.centroid_radius.map(millimetres));
    page.optional("axial_stiffness_n", rim.axial_stiffness.map(newtons));
    page.optional(
        "in_plane_bending_n_mm2",
        rim.in_plane_bending.map(newton_square_millimetres),
    );
    page.optional(
        "lateral_bending_n_mm2",
        rim.lateral_bending.map(newton_square_millimetres),
    );
    page.optional("torsion_n_mm2", rim.torsion.map(newton_square_millimetres));
    if rim.shear_centre_outward != Length::ZERO {
        page.key(
            "shear_centre_outward_mm",
            millimetres(rim.shear_centre_outward),
        );
    }
    if rim.warping != WarpingRigidity::ZERO {
        let unit = (
            "n_mm4",
            WarpingRigidity::to_n_mm4 as fn(_) -> _,
            WarpingRigidity::n_mm4 as fn(_) -> _,
        );
        page.key("warping_n_mm4", text(&unit, rim.warping));
    }
    page.optional("mass_g", rim.mass.map(grams));
    page.optional("expansion_um_per_m_k", rim.expansion_per_k.map(per_million));
    page.optional("bead_seat_mm", rim.bead_seat.map(millimetres));
    page.optional("inner_width_mm", rim.inner_width.map(millimetres));
}

fn per_million(expansion_per_k: f64) -> String {
    text(&fitting::PER_MILLION, expansion_per_k)
}

fn kind(page: &mut Page, kind: &SpokeKind) {
    page.block("[[kind]]");
    page.key("name", quoted(&kind.name));
    match kind.section {
        Some(Section::Wire(wire)) => page.key("wire_mm", millimetres(wire)),
        Some(Section::Blade { thin, wide }) => {
            page.key("blade_mm", array([thin, wide].map(millimetres)))
        }
        None => {}
    }
    page.optional("material", kind.material.as_deref().map(quoted));
    page.optional("axial_stiffness_n", kind.axial_stiffness.map(newtons));
    page.optional("bending_n_mm2", kind.bending.map(newton_square_millimetres));
    let percent = |share| text(&PERCENT, share);
    page.optional("bending_u_percent", kind.bending_u_relative.map(percent));
    page.optional("mass_g", kind.mass.map(grams));
    page.optional("thread_mm", kind.thread.map(millimetres));
    page.optional(
        "expansion_um_per_m_k",
        kind.expansion_per_k.map(per_million),
    );
    if let Some(endurance) = &kind.endurance {
        let unit: Unit<Stress> = ("mpa", Stress::to_mpa, Stress::mpa);
        page.key("strength_mpa", text(&unit, endurance.strength));
        page.key("endurance_mpa", text(&unit, endurance.amplitude));
        page.key("endurance_source", quoted(&endurance.source));
    }
}

fn measured(page: &mut Page, wheel: &Wheel) {
    let doubt = &wheel.doubt;
    page.block("[measured]");
    page.optional(
        "seat_diameters_mm",
        fitting::written_diameters(&wheel.fittings.seat_diameters),
    );
    page.key("flange_offset_u_mm", millimetres(doubt.flange_offset_u));
    page.optional("dish_mm", doubt.dish.map(millimetres));
    page.key("dish_u_mm", millimetres(doubt.dish_u));
}

fn spoke(page: &mut Page, wheel: &Wheel, spoke: &Spoke) {
    page.block("[[spoke]]");
    page.key("side", word(&SIDES, spoke.side));
    if wheel.kinds.len() > 1 {
        page.key("kind", quoted(&wheel.kind_of(spoke).name));
    }
    page.key("hub_mm", point(spoke.hub));
    page.key("seat_mm", point(spoke.seat));
    if spoke.role != Role::of(spoke.hub, spoke.seat) {
        page.key("role", word(&ROLES, spoke.role));
    }
    if spoke.head != Head::Straight {
        page.key("head", word(&HEADS, spoke.head));
    }
    page.optional("axial_stiffness_n", spoke.axial_stiffness.map(newtons));
    page.optional("tension_n", spoke.tension.map(newtons));
}

fn point(point: Point) -> String {
    array([point.x, point.y, point.z].map(millimetres))
}

/// The word for one of a few choices, as TOML text.
fn word<T: PartialEq>(words: &[(&str, T)], meaning: T) -> String {
    let word = words
        .iter()
        .find(|(_, known)| *known == meaning)
        .map_or("", |(word, _)| word);
    quoted(word)
}
