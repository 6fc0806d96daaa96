//! One round as it was read and turned.

use crate::error::Error;
use crate::response::{Mean, Response};
use metrology::lap::RunoutPoint;
use quantity::{Force, Length};
use wheel::{Side, SpokeIndex, Wheel};

/// A tension as read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TensionReading {
    /// The spoke.
    pub spoke: SpokeIndex,
    /// Its tension.
    pub force: Force,
    /// Standard uncertainty of its own, where it differs from the gauge's.
    pub u: Option<Force>,
}

/// What was read in one round; any of it may be missing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Readings {
    /// Tensions, bare.
    pub tensions: Vec<TensionReading>,
    /// Rim to the right, the dial's zero anywhere.
    pub lateral: Vec<RunoutPoint>,
    /// Rim outward, the dial's zero anywhere.
    pub radial: Vec<RunoutPoint>,
    /// Offset of the rim's plane, positive to the right.
    pub dish: Option<Length>,
}

/// A round: what was read, and how far each nipple was turned after that.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Round {
    /// Taken before the turns.
    pub readings: Readings,
    /// Turns of each nipple in the wheel's order, tightening positive; empty for none.
    pub turned: Vec<f64>,
}

/// Standard uncertainties of what is read, and of what a hand does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Noise {
    /// Of a tension, as a share of it.
    pub gauge: f64,
    /// Of a dial reading.
    pub dial: Length,
    /// Of a measured dish.
    pub dish: Length,
    /// Of one nipple's turns, as a share of them.
    pub turn: f64,
}

impl Default for Noise {
    /// Common practice, no source: 2.5 % of a tension, 0.02 mm of a dial, 0.15 mm of a dish, 5 % of a turn.
    fn default() -> Self {
        Self {
            gauge: 0.025,
            dial: Length::mm(0.02),
            dish: Length::mm(0.15),
            turn: 0.05,
        }
    }
}

impl Noise {
    pub(super) fn check(&self) -> Result<(), Error> {
        let stated = [
            ("the gauge's noise", self.gauge),
            ("the dial's noise", self.dial.to_m()),
            ("the dish's noise", self.dish.to_m()),
            ("the noise of a turn", self.turn),
        ];
        match stated
            .into_iter()
            .find(|(_, value)| !value.is_finite() || *value < 0.0)
        {
            Some((what, value)) => Err(Error::Unusable { what, value }),
            None => Ok(()),
        }
    }
}

impl Readings {
    /// Whether nothing was read.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.tensions.is_empty() && self.lateral.is_empty() && self.radial.is_empty()
    }

    /// The mean tension of the side of which most spokes were read; the right where both are read alike.
    #[must_use]
    pub fn mean(&self, wheel: &Wheel) -> Option<Mean> {
        let of_side = |side: Side| -> Vec<f64> {
            let read = self.tensions.iter();
            let members = read.filter(|one| {
                wheel
                    .spokes
                    .get(one.spoke.0)
                    .is_some_and(|spoke| spoke.side == side)
            });
            members.map(|one| one.force.to_n()).collect()
        };
        let (right, left) = (of_side(Side::Right), of_side(Side::Left));
        let (side, read) = if left.len() > right.len() {
            (Side::Left, left)
        } else {
            (Side::Right, right)
        };
        let mean_n = read.iter().sum::<f64>() / read.len() as f64;
        (mean_n > 0.0).then(|| Mean {
            side,
            tension: Force::n(mean_n),
        })
    }

    pub(super) fn points(&self, sideways: bool) -> &[RunoutPoint] {
        if sideways {
            &self.lateral
        } else {
            &self.radial
        }
    }
}

impl Round {
    pub(super) fn check(&self, response: &Response) -> Result<(), Error> {
        let spokes = response.spokes();
        let usable = |what, value: f64| match value.is_finite() {
            true => Ok(()),
            false => Err(Error::Unusable { what, value }),
        };
        for reading in &self.readings.tensions {
            if reading.spoke.0 >= spokes {
                return Err(Error::NoSuchSpoke {
                    spoke: reading.spoke,
                    spokes,
                });
            }
            usable("a tension", reading.force.to_n())?;
            let u = reading.u.map_or(1.0, Force::to_n);
            if u.is_nan() || u <= 0.0 {
                return Err(Error::Unusable {
                    what: "the uncertainty of a tension",
                    value: u,
                });
            }
        }
        for point in self.readings.lateral.iter().chain(&self.readings.radial) {
            usable("a runout", point.displacement.to_m())?;
            if response.place(point.at).is_none() {
                return Err(Error::PlaceNotAsked { at: point.at });
            }
        }
        usable("the dish", self.readings.dish.map_or(0.0, Length::to_m))?;
        if self.turned.len() > spokes {
            return Err(Error::NoSuchSpoke {
                spoke: SpokeIndex(self.turned.len() - 1),
                spokes,
            });
        }
        self.turned
            .iter()
            .try_for_each(|&turns| usable("a turn", turns))
    }
}
