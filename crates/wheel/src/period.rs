//! After how many spokes a wheel begins anew.

use crate::{Spoke, Wheel};
use quantity::{Angle, Length};

/// Places nearer than this after a turn are one: far above rounding, far below any drilling.
const SAME_PLACE: Length = Length::mm(1e-6);

/// Tensions that differ by less than this share are one.
const SAME_TENSION: f64 = 1e-6;

impl Wheel {
    /// The smallest number of spokes after which lacing, kinds and tensions begin anew round the rim; all of
    /// them when nothing repeats.
    #[must_use]
    pub fn period(&self) -> usize {
        let count = self.spokes.len();
        (1..count)
            .filter(|period| count.is_multiple_of(*period))
            .find(|&period| {
                let turn = Angle::deg(360.0 * period as f64 / count as f64);
                let ahead = self.spokes.iter().cycle().skip(period);
                self.spokes
                    .iter()
                    .zip(ahead)
                    .all(|(here, there)| is_turned(here, there, turn))
            })
            .unwrap_or(count)
    }
}

fn is_turned(here: &Spoke, there: &Spoke, turn: Angle) -> bool {
    let places = [(here.hub, there.hub), (here.seat, there.seat)];
    let (sine, cosine) = turn.to_rad().sin_cos();
    let meets = places.into_iter().all(|(one, other)| {
        let turned = crate::Point {
            x: one.x * cosine - one.y * sine,
            y: one.x * sine + one.y * cosine,
            z: one.z,
        };
        turned.distance(other) < SAME_PLACE
    });
    let is_alike = (here.side, here.kind, here.head, here.axial_stiffness)
        == (there.side, there.kind, there.head, there.axial_stiffness);
    let is_as_tight = match (here.tension, there.tension) {
        (None, None) => true,
        (Some(one), Some(other)) => (one - other).abs() <= SAME_TENSION * one.abs(),
        _ => false,
    };
    meets && is_alike && is_as_tight
}
