//! One spoke in its place, and the kind it is of.

use crate::{Point, Side};
use quantity::{Angle, Force, Length, Mass, Rigidity, Stress};

/// Place of a spoke in the wheel's order, from 0; people see [`SpokeIndex::number`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SpokeIndex(pub usize);

impl SpokeIndex {
    /// The number people count with, from 1.
    #[must_use]
    pub const fn number(self) -> usize {
        self.0 + 1
    }
}

/// Place of a kind in [`crate::Wheel::kinds`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KindIndex(pub usize);

/// What a spoke does when the rider pedals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// It runs straight out: neither leads nor trails.
    Radial,
    /// It points forward from the hub and is eased by the drive.
    Leading,
    /// It points backward from the hub and is tightened by the drive.
    Trailing,
}

/// Where a spoke's head sits on its flange.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Head {
    /// Head on the inner face, so the spoke runs outside.
    In,
    /// Head on the outer face, so the spoke runs inside.
    Out,
    /// A straight-pull spoke, or a line of pull given by its coordinates.
    Straight,
}

/// The section of a spoke where the gauge touches it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Section {
    /// Round wire of this diameter.
    Wire(Length),
    /// A blade; the gauge bends it across `thin`.
    Blade {
        /// Across the flat.
        thin: Length,
        /// Along the flat.
        wide: Length,
    },
}

/// Spokes of one section, material and length family.
#[derive(Debug, Clone, PartialEq)]
pub struct SpokeKind {
    /// Its name in the wheel file; laps and calibrations refer to it.
    pub name: String,
    /// Section under the gauge, when known.
    pub section: Option<Section>,
    /// Material as the person wrote it; never interpreted.
    pub material: Option<String>,
    /// EA of the bar, when known.
    pub axial_stiffness: Option<Force>,
    /// EI about the axis the gauge bends, when known.
    pub bending: Option<Rigidity>,
    /// Relative standard uncertainty of `bending`, when stated.
    pub bending_u_relative: Option<f64>,
    /// Mass of one spoke, when weighed.
    pub mass: Option<Mass>,
    /// Length of the thread rolled on its end, when known.
    pub thread: Option<Length>,
    /// Thermal expansion along it, per kelvin, when known.
    pub expansion_per_k: Option<f64>,
    /// What its material bears again and again, when somebody published it.
    pub endurance: Option<Endurance>,
}

/// What a material bears again and again: a published point of its Goodman line.
#[derive(Debug, Clone, PartialEq)]
pub struct Endurance {
    /// Tensile strength.
    pub strength: Stress,
    /// Stress amplitude borne without end about no mean stress.
    pub amplitude: Stress,
    /// Where both stand.
    pub source: String,
}

impl SpokeKind {
    /// A kind of which only the name is known.
    #[must_use]
    pub fn named(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            section: None,
            material: None,
            axial_stiffness: None,
            bending: None,
            bending_u_relative: None,
            mass: None,
            thread: None,
            expansion_per_k: None,
            endurance: None,
        }
    }
}

/// One spoke in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Spoke {
    /// The flange it hangs on.
    pub side: Side,
    /// Its kind.
    pub kind: KindIndex,
    /// Where its line of pull leaves the flange: heads in or out already counted.
    pub hub: Point,
    /// Where its nipple bears on the rim.
    pub seat: Point,
    /// Leading, trailing or radial.
    pub role: Role,
    /// How its head sits.
    pub head: Head,
    /// EA of this very spoke, where it differs from its kind's; ask [`crate::Wheel::axial_stiffness_of`].
    pub axial_stiffness: Option<Force>,
    /// Tension in the state about which everything is asked, when the file gives one.
    pub tension: Option<Force>,
}

/// Arm of a spoke's pull about the axle below which it counts as radial: less than a flange hole is
/// wide, so that play in a hole does not make a spoke lead.
const RADIAL_ARM: Length = Length::mm(0.5);

impl Role {
    /// What a spoke from `hub` to `seat` does when the rider pedals.
    ///
    /// The wheel rolls clockwise seen from the right. A spoke whose pull turns the hub the other way
    /// resists the drive: it is tightened by it, and trails.
    #[must_use]
    pub fn of(hub: Point, seat: Point) -> Self {
        let [along_x, along_y, _] = seat.minus(hub);
        let moment_m2 = hub.x.to_m() * along_y - hub.y.to_m() * along_x;
        let arm_m = moment_m2 / along_x.hypot(along_y);
        if arm_m.abs() <= RADIAL_ARM.to_m() {
            Self::Radial
        } else if arm_m > 0.0 {
            Self::Trailing
        } else {
            Self::Leading
        }
    }
}

impl Spoke {
    /// Angle of the nipple seat from the valve hole, 0 to a full turn.
    #[must_use]
    pub fn seat_angle(&self) -> Angle {
        self.seat.angle()
    }

    /// Distance from the flange to the nipple seat along the line of pull.
    #[must_use]
    pub fn length(&self) -> Length {
        self.seat.distance(self.hub)
    }

    /// Unit vector from the flange toward the seat: the direction in which the spoke pulls the hub.
    #[must_use]
    pub fn pull_direction(&self) -> [f64; 3] {
        let length_m = self.length().to_m();
        self.seat
            .minus(self.hub)
            .map(|component_m| component_m / length_m)
    }
}
