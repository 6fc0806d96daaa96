//! Places in the wheel's axes.

use quantity::{Angle, Length};

/// A point in the wheel's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// From the axle toward the valve hole.
    pub x: Length,
    /// A quarter turn counter-clockwise of it, seen from the right.
    pub y: Length,
    /// Along the axle, to the right.
    pub z: Length,
}

impl Point {
    /// The point at a distance from the axle, at an angle from the valve hole.
    ///
    /// Reckoned in millimetres, the unit in which a wheel file says coordinates exactly.
    #[must_use]
    pub fn polar(radius: Length, angle: Angle, z: Length) -> Self {
        let (sine, cosine) = angle.to_rad().sin_cos();
        Self {
            x: Length::mm(radius.to_mm() * cosine),
            y: Length::mm(radius.to_mm() * sine),
            z: Length::mm(z.to_mm()),
        }
    }

    /// Distance from the axle.
    #[must_use]
    pub fn radius(self) -> Length {
        Length::m(self.x.to_m().hypot(self.y.to_m()))
    }

    /// Angle from the valve hole, 0 to a full turn.
    #[must_use]
    pub fn angle(self) -> Angle {
        Angle::rad(self.y.to_m().atan2(self.x.to_m())).within_turn()
    }

    /// Distance from another point.
    #[must_use]
    pub fn distance(self, other: Self) -> Length {
        let [x, y, z] = self.minus(other);
        Length::m((x * x + y * y + z * z).sqrt())
    }

    /// The vector from `other` to here, in metres.
    #[must_use]
    pub fn minus(self, other: Self) -> [f64; 3] {
        [
            (self.x - other.x).to_m(),
            (self.y - other.y).to_m(),
            (self.z - other.z).to_m(),
        ]
    }
}
