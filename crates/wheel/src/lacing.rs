//! Lacing: from the seats of the rim and the flanges of the hub to spokes in their places.

use crate::error::Error;
use crate::{Flange, Head, KindIndex, Point, Role, Seat, Side, Spoke};
use quantity::{Angle, Length};

/// A rim's seats and a hub's flanges, with one block per side that says how they are joined.
#[derive(Debug, Clone, PartialEq)]
pub struct Lacing {
    /// The seats in order of angle, as [`crate::Drilling::seats`] gives them, or each by itself.
    pub seats: Vec<Seat>,
    /// The right side.
    pub right: SideLacing,
    /// The left side.
    pub left: SideLacing,
}

/// How the spokes of one side lie.
#[derive(Debug, Clone, PartialEq)]
pub struct SideLacing {
    /// The flange.
    pub flange: Flange,
    /// The side's spokes from the first after the valve hole, beginning anew when the list ends.
    pub lays: Vec<Lay>,
}

/// How one spoke lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lay {
    /// The hole of the flange it goes to.
    pub hole: Hole,
    /// How its head sits.
    pub head: Head,
    /// Diameter of the wire where it leaves the flange; without meaning for straight pull.
    pub elbow: Length,
    /// Its kind.
    pub kind: KindIndex,
}

/// The hole a spoke goes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hole {
    /// Counted on the flange from the hole that lies under the spoke's own seat.
    Crosses {
        /// Backward for a trailing spoke, forward for a leading one; radial when it crosses none.
        role: Role,
        /// How many holes away; straight-pull hubs may pull from between two.
        crosses: f64,
    },
    /// At this angle from the valve hole, as the wheel is laced.
    At(Angle),
}

/// The farthest a spoke's hole may lie from under its seat. A spoke touches the hole circle as a
/// tangent near 85°; at 120° it would run across a third of its own flange.
const MOST_TURN: Angle = Angle::deg(120.0);

impl Lacing {
    /// The spokes in order of seat angle, right before left at equal angles.
    ///
    /// A flange with `m` spokes has `m` evenly spaced holes, turned so that they lie under the side's
    /// seats as nearly as they can (least squares; a rotation is all that a flange can do). A spoke
    /// that crosses `x` others goes to the hole `x · 360° / m` from its own. The wheel rolls clockwise
    /// seen from the right, so backward from the hub is the way in which angles rise: a trailing spoke
    /// has its hole at the lower angle, a leading one at the higher.
    ///
    /// # Errors
    /// For counts that do not fit, crosses that cannot be laced and measures that no hub has. Whether
    /// the spokes make a wheel is then for [`crate::Wheel::new`] to say.
    pub fn spokes(&self) -> Result<Vec<Spoke>, Error> {
        let mut spokes = Vec::with_capacity(self.seats.len());
        for side in Side::BOTH {
            spokes.extend(self.side(side).laced(side, &self.seats)?);
        }
        // The sort is stable and the right spokes come first.
        spokes.sort_by(|(a, _), (b, _)| a.to_rad().total_cmp(&b.to_rad()));
        Ok(spokes.into_iter().map(|(_, spoke)| spoke).collect())
    }

    /// The block of a side.
    #[must_use]
    pub const fn side(&self, side: Side) -> &SideLacing {
        match side {
            Side::Right => &self.right,
            Side::Left => &self.left,
        }
    }
}

impl SideLacing {
    /// This side's spokes with their seat angles.
    fn laced(&self, side: Side, seats: &[Seat]) -> Result<Vec<(Angle, Spoke)>, Error> {
        self.flange.check(side)?;
        let mut seats: Vec<&Seat> = seats.iter().filter(|seat| seat.side == side).collect();
        seats.sort_by(|a, b| within_turn(a).to_rad().total_cmp(&within_turn(b).to_rad()));
        let spokes = seats.len();
        if spokes == 0 {
            return Err(Error::SideWithoutSeats { side });
        }
        let period = self.lays.len();
        if period == 0 || !spokes.is_multiple_of(period) {
            return Err(Error::LayPattern {
                side,
                spokes,
                period,
            });
        }
        let pitch = Angle::deg(360.0) / spokes as f64;
        let under = |place: usize| place as f64 * pitch;
        let turned = seats
            .iter()
            .enumerate()
            .map(|(place, seat)| within_turn(seat) - under(place));
        let turned = turned.sum::<Angle>() / spokes as f64;
        let spoke = |(place, seat): (usize, &&Seat)| {
            let lay = &self.lays[place % period];
            let angle = lay.hole_angle(side, turned + under(place), spokes)?;
            Ok((within_turn(seat), self.spoke(side, seat, lay, angle)?))
        };
        seats.iter().enumerate().map(spoke).collect()
    }

    fn spoke(&self, side: Side, seat: &Seat, lay: &Lay, hole: Angle) -> Result<Spoke, Error> {
        Flange::check_elbow(side, lay.elbow)?;
        let z = self.flange.line_of_pull(side, lay.head, lay.elbow);
        let hub = Point::polar(self.flange.hole_circle_radius, hole, z);
        let seat = Point::polar(seat.radius, seat.angle, seat.offset);
        let role = match lay.hole {
            Hole::Crosses { crosses: 0.0, .. } => Role::Radial,
            Hole::Crosses { role, .. } => role,
            Hole::At(_) => Role::of(hub, seat),
        };
        let (kind, head) = (lay.kind, lay.head);
        Ok(Spoke {
            side,
            kind,
            hub,
            seat,
            role,
            head,
            axial_stiffness: None,
            tension: None,
        })
    }
}

impl Lay {
    /// Angle of the hole on a flange whose hole under the spoke's seat lies at `own`.
    fn hole_angle(&self, side: Side, own: Angle, spokes: usize) -> Result<Angle, Error> {
        let (role, crosses) = match self.hole {
            Hole::At(angle) => return Ok(angle),
            Hole::Crosses { role, crosses } => (role, crosses),
        };
        let (turn, most) = (Angle::deg(360.0 * crosses / spokes as f64), MOST_TURN);
        if !(Angle::ZERO..most).contains(&turn) {
            return Err(Error::Crosses {
                side,
                crosses,
                spokes,
                turn,
                most,
            });
        }
        if self.head != Head::Straight && crosses.fract() != 0.0 {
            return Err(Error::PartOfACross { side, crosses });
        }
        Ok(match role {
            Role::Trailing => own - turn,
            Role::Leading => own + turn,
            Role::Radial if crosses == 0.0 => own,
            Role::Radial => {
                return Err(Error::Crosses {
                    side,
                    crosses,
                    spokes,
                    turn,
                    most: Angle::ZERO,
                });
            }
        })
    }
}

fn within_turn(seat: &Seat) -> Angle {
    seat.angle.within_turn()
}
