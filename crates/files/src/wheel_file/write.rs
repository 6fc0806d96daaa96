//! A wheel as text that reads back to the same wheel.

use super::FORMAT;
use super::explicit::{HEADS, ROLES, SIDES};
use super::parts::ONLY_KIND;
use crate::literal::{PERCENT, quoted, text};
use crate::toml_writer::{Page, array, grams, millimetres, newton_square_millimetres, newtons};
use wheel::{GeometryDoubt, Head, Point, Rim, Role, Section, Spoke, SpokeKind, Wheel};

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
    measured(&mut page, &wheel.doubt);
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
}

fn measured(page: &mut Page, doubt: &GeometryDoubt) {
    page.block("[measured]");
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
