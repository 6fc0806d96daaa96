//! The assembled wheel: every spoke by its coordinates.

use crate::{Fittings, KindIndex, Rim, Side, Spoke, SpokeIndex, SpokeKind};
use quantity::{Force, Length};

/// How well the wheel's geometry is known; statics need it as much as the geometry itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GeometryDoubt {
    /// Standard uncertainty of each flange's distance from the hub's centre.
    pub flange_offset_u: Length,
    /// Offset of the rim's plane from the hub's centre as measured, positive to the right; none when
    /// nobody measured it. The spokes' coordinates stand in the nominal place: whoever needs the true
    /// place adds this shift to the seats.
    pub dish: Option<Length>,
    /// Standard uncertainty of the dish: as stated, or 1 mm when nobody measured it.
    pub dish_u: Length,
}

/// Standard uncertainty of a dish that nobody measured.
pub const UNMEASURED_DISH_U: Length = Length::mm(1.0);

impl GeometryDoubt {
    /// Flanges known to `flange_offset_u`, and a dish that nobody measured.
    #[must_use]
    pub const fn unmeasured(flange_offset_u: Length) -> Self {
        Self {
            flange_offset_u,
            dish: None,
            dish_u: UNMEASURED_DISH_U,
        }
    }
}

/// A wheel: parts and geometry, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Wheel {
    /// What the file calls it.
    pub name: String,
    /// The rim as an elastic ring, as far as its constants are known.
    pub rim: Rim,
    /// Spoke kinds, in the order of the file.
    pub kinds: Vec<SpokeKind>,
    /// Spokes in order of seat angle.
    pub spokes: Vec<Spoke>,
    /// How well the geometry is known.
    pub doubt: GeometryDoubt,
    /// What joins spokes to hub and rim, as far as it is known.
    pub fittings: Fittings,
}

impl Wheel {
    /// Spokes with their places.
    pub fn placed(&self) -> impl Iterator<Item = (SpokeIndex, &Spoke)> {
        self.spokes
            .iter()
            .enumerate()
            .map(|(place, spoke)| (SpokeIndex(place), spoke))
    }

    /// The kind of a spoke.
    #[must_use]
    pub fn kind_of(&self, spoke: &Spoke) -> &SpokeKind {
        &self.kinds[spoke.kind.0]
    }

    /// EA of a spoke: its own where the file gives one, else its kind's.
    #[must_use]
    pub fn axial_stiffness_of(&self, spoke: &Spoke) -> Option<Force> {
        spoke
            .axial_stiffness
            .or(self.kind_of(spoke).axial_stiffness)
    }

    /// The groups among which evenness means something: one side, one kind, in this order.
    #[must_use]
    pub fn groups(&self) -> Vec<(Side, KindIndex, Vec<SpokeIndex>)> {
        let mut groups = Vec::new();
        for side in Side::BOTH {
            for kind in (0..self.kinds.len()).map(KindIndex) {
                let members: Vec<_> = self
                    .placed()
                    .filter(|(_, spoke)| spoke.side == side && spoke.kind == kind)
                    .map(|(place, _)| place)
                    .collect();
                if !members.is_empty() {
                    groups.push((side, kind, members));
                }
            }
        }
        groups
    }
}
