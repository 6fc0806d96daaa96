//! Constants that stand in, when asked for, where a wheel file gives none.

use crate::view::AssumedView;
use quantity::{Force, Length, Mass, Rigidity};
use std::f64::consts::PI;
use wheel::{Rim, Section, SpokeKind, Wheel};

/// Young's modulus, shear modulus (Pa) and density (kg/m³) of aluminium 6061-T6.
///
/// Source: handbook data of the alloy (68.9 GPa, 26.0 GPa, 2.70 g/cm³).
const ALUMINIUM: (f64, f64, f64) = (68.9e9, 26.0e9, 2700.0);

/// Young's modulus of cold-drawn stainless wire 1.4310, Pa.
///
/// Source: a spring maker's sheet to EN 10270-3.
const STEEL_WIRE_PA: f64 = 185e9;

/// What may stand in for constants that the file does not give.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Assume {
    /// The rim as a closed aluminium box.
    pub rim: Option<RimBox>,
    /// Spokes of drawn stainless steel, by their section.
    pub steel_spokes: bool,
}

/// A rim as a thin-walled closed box of even wall; the nipples bear on its inner edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RimBox {
    /// Across, along the axle.
    pub width: Length,
    /// From the inner to the outer edge.
    pub depth: Length,
    /// Of the bare rim.
    pub mass: Mass,
}

impl RimBox {
    /// The constants of such a box whose inner edge has this radius.
    ///
    /// Validity: wall far thinner than the box. Source: second moments of thin rectangles; torsion
    /// of a closed thin wall by Bredt's second formula, handbook.
    fn rim(self, inner: Length) -> Rim {
        let (young, shear, density) = ALUMINIUM;
        let (width, depth) = (self.width.to_m(), self.depth.to_m());
        let radius = inner.to_m() + depth / 2.0;
        let area = self.mass.to_kg() / (density * 2.0 * PI * radius);
        let wall = area / (2.0 * (width + depth));
        let second = |along: f64, across: f64| wall * along * along * (along + 3.0 * across) / 6.0;
        let torsion = 2.0 * wall * (width * depth).powi(2) / (width + depth);
        Rim {
            centroid_radius: Some(Length::m(radius)),
            axial_stiffness: Some(Force::n(young * area)),
            in_plane_bending: Some(Rigidity::n_m2(young * second(depth, width))),
            lateral_bending: Some(Rigidity::n_m2(young * second(width, depth))),
            torsion: Some(Rigidity::n_m2(shear * torsion)),
            ..Rim::default()
        }
    }
}

/// The wheel with what was asked to stand in for missing constants, and what that was.
pub(super) fn completed(wheel: &Wheel, assume: &Assume) -> (Wheel, Vec<AssumedView>) {
    let (mut wheel, mut taken) = (wheel.clone(), Vec::new());
    if let Some(section) = assume.rim {
        let count = wheel.spokes.len() as f64;
        let seats = wheel.spokes.iter();
        let inner = seats.map(|spoke| spoke.seat.radius()).sum::<Length>() / count;
        taken.extend(complete_rim(&mut wheel.rim, &section.rim(inner)));
    }
    if assume.steel_spokes {
        for kind in &mut wheel.kinds {
            taken.extend(complete_kind(kind));
        }
    }
    (wheel, taken)
}

fn complete_rim(rim: &mut Rim, stand_in: &Rim) -> Vec<AssumedView> {
    let constants = [
        fill(
            &mut rim.centroid_radius,
            stand_in.centroid_radius,
            "centroid_radius_mm",
            Length::to_mm,
        ),
        fill(
            &mut rim.axial_stiffness,
            stand_in.axial_stiffness,
            "axial_stiffness_n",
            Force::to_n,
        ),
        fill(
            &mut rim.in_plane_bending,
            stand_in.in_plane_bending,
            "in_plane_bending_n_mm2",
            Rigidity::to_n_mm2,
        ),
        fill(
            &mut rim.lateral_bending,
            stand_in.lateral_bending,
            "lateral_bending_n_mm2",
            Rigidity::to_n_mm2,
        ),
        fill(
            &mut rim.torsion,
            stand_in.torsion,
            "torsion_n_mm2",
            Rigidity::to_n_mm2,
        ),
    ];
    constants.into_iter().flatten().collect()
}

/// Lets `stand_in` stand in if the constant is not known, and says so.
fn fill<T: Copy>(
    known: &mut Option<T>,
    stand_in: Option<T>,
    key: &str,
    read: fn(T) -> f64,
) -> Option<AssumedView> {
    let value = stand_in.filter(|_| known.is_none())?;
    *known = Some(value);
    Some(AssumedView {
        constant: key.into(),
        value: read(value),
        from: "a closed box of aluminium 6061 with an even wall, by the rim's mass and size".into(),
    })
}

fn complete_kind(kind: &mut SpokeKind) -> Option<AssumedView> {
    if kind.axial_stiffness.is_some() {
        return None;
    }
    let (area_m2, shape) = match kind.section? {
        Section::Wire(diameter) => (PI / 4.0 * diameter.to_m().powi(2), "round wire"),
        Section::Blade { thin, wide } => (PI / 4.0 * thin.to_m() * wide.to_m(), "an oval blade"),
    };
    let axial = Force::n(STEEL_WIRE_PA * area_m2);
    kind.axial_stiffness = Some(axial);
    Some(AssumedView {
        constant: format!("axial_stiffness_n of {}", kind.name),
        value: axial.to_n(),
        from: format!("{shape} of drawn stainless steel, E 185 GPa, the same along its length"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: closed form of a square tube, I = 2/3 t a³ and J = t a³, wall t and side a (handbook).
    #[test]
    fn a_square_box_has_the_constants_of_a_square_tube() {
        let (side, wall, radius) = (0.020, 0.001, 0.300);
        let mass = Mass::kg(ALUMINIUM.2 * 4.0 * side * wall * 2.0 * PI * radius);
        let (width, depth) = (Length::m(side), Length::m(side));
        let rim = RimBox { width, depth, mass }.rim(Length::m(radius - side / 2.0));
        let close = |found: Option<f64>, wanted: f64| {
            assert!((found.expect("a constant") / wanted - 1.0).abs() < 1e-12);
        };
        let cube = wall * side.powi(3);
        close(rim.centroid_radius.map(Length::to_m), radius);
        close(
            rim.axial_stiffness.map(Force::to_n),
            ALUMINIUM.0 * 4.0 * side * wall,
        );
        for bending in [rim.in_plane_bending, rim.lateral_bending] {
            close(
                bending.map(Rigidity::to_n_m2),
                ALUMINIUM.0 * 2.0 / 3.0 * cube,
            );
        }
        close(rim.torsion.map(Rigidity::to_n_m2), ALUMINIUM.1 * cube);
    }
}
