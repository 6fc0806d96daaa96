//! The rim: an elastic ring, and the places where nipples bear on it.

use crate::Side;
use crate::error::Error;
use quantity::{Angle, Force, Length, Mass, Rigidity, WarpingRigidity};

/// The rim's centroid and its constants, as far as they are known; by default nothing is.
///
/// Few makers give what lies between torsion and mass, and few rims need it: it counts as nothing until given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rim {
    /// Radius of the section's centroid.
    pub centroid_radius: Option<Length>,
    /// EA.
    pub axial_stiffness: Option<Force>,
    /// EI for bending in the wheel's plane.
    pub in_plane_bending: Option<Rigidity>,
    /// EI for bending out of the wheel's plane.
    pub lateral_bending: Option<Rigidity>,
    /// GJ.
    pub torsion: Option<Rigidity>,
    /// How far the section's shear centre lies outward of its centroid.
    pub shear_centre_outward: Length,
    /// EC_w: what a twist that changes along the rim meets beyond GJ, as on a section that is not closed.
    pub warping: WarpingRigidity,
    /// The bare rim, as weighed.
    pub mass: Option<Mass>,
    /// Thermal expansion along it, per kelvin.
    pub expansion_per_k: Option<f64>,
    /// Diameter of the seat of the tyre's bead.
    pub bead_seat: Option<Length>,
    /// Width between the walls that hold the tyre.
    pub inner_width: Option<Length>,
}

/// One nipple seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// The flange its spoke goes to.
    pub side: Side,
    /// Angle from the valve hole.
    pub angle: Angle,
    /// Distance from the axle.
    pub radius: Length,
    /// Distance from the hub's central plane, positive to the right.
    pub offset: Length,
}

/// How the nipple seats lie round the rim.
#[derive(Debug, Clone, PartialEq)]
pub struct Drilling {
    /// Seats in the rim.
    pub count: usize,
    /// Their distance from the axle.
    pub seat_radius: Length,
    /// The side of each seat, from the first after the valve hole, beginning anew when it ends.
    pub sides: Vec<Side>,
    /// The gap behind each seat in proportion to the others, beginning anew when it ends.
    pub gaps: Vec<f64>,
    /// Angle of the first seat; none puts the valve hole midway between the last and the first.
    pub first: Option<Angle>,
    /// Distance of the right spokes' seats from the hub's central plane, positive to the right.
    pub right_offset: Length,
    /// Distance of the left spokes' seats from it, positive to the right.
    pub left_offset: Length,
}

impl Drilling {
    /// The seats in order of angle.
    ///
    /// # Errors
    /// [`Error::SidePattern`] and [`Error::GapPattern`] when a pattern does not go a whole number of
    /// times into the seats, [`Error::Gap`] for a gap that is no positive number.
    pub fn seats(&self) -> Result<Vec<Seat>, Error> {
        let seats = self.count;
        let fits = |period: usize| period > 0 && seats.is_multiple_of(period);
        if !fits(self.sides.len()) {
            return Err(Error::SidePattern {
                seats,
                period: self.sides.len(),
            });
        }
        if !fits(self.gaps.len()) {
            return Err(Error::GapPattern {
                seats,
                period: self.gaps.len(),
            });
        }
        if let Some(&gap) = self
            .gaps
            .iter()
            .find(|gap| !gap.is_finite() || **gap <= 0.0)
        {
            return Err(Error::Gap { gap });
        }
        let period = self.gaps.len();
        let sum: f64 = self.gaps.iter().sum();
        let turn_deg = 360.0 * period as f64 / seats as f64;
        let valve_gap_deg = turn_deg * self.gaps[period - 1] / sum;
        let first_deg = self.first.map_or(valve_gap_deg / 2.0, Angle::to_deg);
        let seat = |place: usize| {
            let before: f64 = self.gaps[..place % period].iter().sum();
            let turns = (place / period) as f64 + before / sum;
            let side = self.sides[place % self.sides.len()];
            let offset = match side {
                Side::Right => self.right_offset,
                Side::Left => self.left_offset,
            };
            let angle = Angle::deg(first_deg + turn_deg * turns);
            Seat {
                side,
                angle,
                radius: self.seat_radius,
                offset,
            }
        };
        Ok((0..seats).map(seat).collect())
    }
}
