//! Places in the wheel's axes.

use quantity::{Angle, Length};

/// Far above the rounding of a sine, far below a hair's breadth at the rim.
const ROUNDING: Angle = Angle::rad(1e-12);

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

    /// Angle from the valve hole, 0 to a full turn; what lies before the valve hole by no more than a
    /// rounding lies at it, or the first spoke would become the last.
    #[must_use]
    pub fn angle(self) -> Angle {
        let angle = Angle::rad(self.y.to_m().atan2(self.x.to_m()));
        let is_rounding = angle < Angle::ZERO && angle > -ROUNDING;
        if is_rounding {
            Angle::ZERO
        } else {
            angle.within_turn()
        }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seat_at_the_valve_hole_is_the_first_whatever_the_sign_of_its_rounding() {
        let seat = |y_mm| Point {
            x: Length::mm(300.0),
            y: Length::mm(y_mm),
            z: Length::ZERO,
        };
        for y_mm in [0.0, -0.0, 7e-14, -7e-14] {
            assert!(seat(y_mm).angle().to_rad() < 1e-12, "{y_mm}");
        }
        assert!(seat(-0.001).angle().to_deg() > 359.0);
    }
}
