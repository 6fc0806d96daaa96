//! Whether spokes make a wheel, and what the builder must know about it.

use crate::error::{Error, Measure, Place, believe};
use crate::{
    Finding, Fittings, GeometryDoubt, Head, KindIndex, Rim, Side, Spoke, SpokeIndex, SpokeKind,
    Wheel,
};
use quantity::{Angle, Force, Length};

/// Fewest spokes that hold a hub in its plane, and the most that any rim is believed to have.
const SPOKE_COUNT: [usize; 2] = [3, 144];

/// Bounds outside which a measure is taken for a slip, small children's and old high wheels included.
const SEAT_RADIUS: [Length; 2] = [Length::mm(50.0), Length::mm(800.0)];
const SEAT_OFFSET: [Length; 2] = [Length::mm(-100.0), Length::mm(100.0)];
const HUB_OFFSET: [Length; 2] = [Length::mm(-180.0), Length::mm(180.0)];

/// Two spokes with heads whose holes lie nearer than this along the hole circle are in one hole: the
/// thinnest spoke's own hole is wider.
const SAME_HOLE: Length = Length::mm(1.0);

/// Two places nearer than this are one place.
const SAME_PLACE: Length = Length::mm(0.1);

/// Seat angles nearer than this are equal: far above rounding, far below a hair's breadth at the rim.
const SAME_ANGLE: Angle = Angle::rad(1e-9);

/// How far a seat may lie from the rim's centroid before one asks: deeper than any rim.
const SEAT_TO_CENTROID: Length = Length::mm(60.0);

impl Wheel {
    /// The wheel of these parts, checked, with what the builder must know about it. Nothing is known of its
    /// fittings yet.
    ///
    /// # Errors
    /// When a spoke cannot be where it is said to be: see [`Error`].
    pub fn new(
        name: String,
        rim: Rim,
        kinds: Vec<SpokeKind>,
        spokes: Vec<Spoke>,
        doubt: GeometryDoubt,
    ) -> Result<(Self, Vec<Finding>), Error> {
        let wheel = Self {
            name,
            rim,
            kinds,
            spokes,
            doubt,
            fittings: Fittings::default(),
        };
        let [least, most] = SPOKE_COUNT;
        let count = wheel.spokes.len();
        if !(least..=most).contains(&count) {
            return Err(Error::SpokeCount { count, least, most });
        }
        for (place, spoke) in wheel.placed() {
            wheel.check_spoke(place, spoke)?;
        }
        wheel.check_order()?;
        wheel.check_flanges()?;
        wheel.check_pairs()?;
        let findings = wheel.findings();
        Ok((wheel, findings))
    }

    fn check_spoke(&self, place: SpokeIndex, spoke: &Spoke) -> Result<(), Error> {
        let at = Place::Spoke(place);
        let (hub_radius, seat_radius) = (spoke.hub.radius(), spoke.seat.radius());
        believe(Measure::SeatRadius, at, seat_radius, SEAT_RADIUS)?;
        believe(Measure::SeatOffset, at, spoke.seat.z, SEAT_OFFSET)?;
        believe(Measure::FlangeOffset, at, spoke.hub.z, HUB_OFFSET)?;
        if hub_radius.to_m().is_nan() || hub_radius >= seat_radius {
            return Err(Error::HubOutsideRim {
                spoke: place,
                hub_radius,
                seat_radius,
            });
        }
        if spoke.kind.0 >= self.kinds.len() {
            return Err(Error::NoSuchKind {
                spoke: place,
                kind: spoke.kind,
                kinds: self.kinds.len(),
            });
        }
        if let Some(tension) = spoke
            .tension
            .filter(|tension| !is_at_least(*tension, Force::ZERO))
        {
            return Err(Error::Tension {
                spoke: place,
                tension,
            });
        }
        let is_stiff = |stiffness: Force| stiffness.is_finite() && stiffness > Force::ZERO;
        match spoke
            .axial_stiffness
            .filter(|stiffness| !is_stiff(*stiffness))
        {
            Some(stiffness) => Err(Error::Stiffness {
                spoke: place,
                stiffness,
            }),
            None => Ok(()),
        }
    }

    fn check_order(&self) -> Result<(), Error> {
        for (pair, place) in self.spokes.windows(2).zip(1..) {
            let (before, angle) = (pair[0].seat_angle(), pair[1].seat_angle());
            if angle < before - SAME_ANGLE {
                return Err(Error::OutOfOrder {
                    spoke: SpokeIndex(place),
                    angle,
                    before,
                });
            }
            let is_equal = (angle - before).abs() <= SAME_ANGLE;
            if is_equal && (pair[0].side, pair[1].side) == (Side::Left, Side::Right) {
                return Err(Error::LeftBeforeRight {
                    spoke: SpokeIndex(place),
                });
            }
        }
        Ok(())
    }

    fn check_flanges(&self) -> Result<(), Error> {
        let innermost = |side: Side| {
            let outward = |spoke: &Spoke| side.sign() * spoke.hub.z.to_m();
            let of_side = self.placed().filter(|(_, spoke)| spoke.side == side);
            of_side.min_by(|(_, a), (_, b)| outward(a).total_cmp(&outward(b)))
        };
        let (innermost_right, innermost_left) = (innermost(Side::Right), innermost(Side::Left));
        match innermost_right.zip(innermost_left) {
            Some(((right, right_spoke), (left, left_spoke)))
                if right_spoke.hub.z < left_spoke.hub.z =>
            {
                let (right_offset, left_offset) = (right_spoke.hub.z, left_spoke.hub.z);
                Err(Error::FlangesSwapped {
                    right,
                    right_offset,
                    left,
                    left_offset,
                })
            }
            _ => Ok(()),
        }
    }

    fn check_pairs(&self) -> Result<(), Error> {
        for (second, spoke) in self.placed() {
            for (first, other) in self
                .placed()
                .take(second.0)
                .filter(|(_, other)| other.side == spoke.side)
            {
                if is_one_hole(spoke, other) {
                    return Err(Error::TwoInOneHole {
                        side: spoke.side,
                        first,
                        second,
                    });
                }
                if spoke.seat.distance(other.seat) < SAME_PLACE {
                    return Err(Error::TwoInOneSeat { first, second });
                }
            }
        }
        Ok(())
    }

    fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        let spokes = self.places(|spoke| {
            let [along_x, along_y, _] = spoke.seat.minus(spoke.hub);
            spoke.hub.x.to_m() * along_x + spoke.hub.y.to_m() * along_y < 0.0
        });
        if !spokes.is_empty() {
            findings.push(Finding::PastTangent { spokes });
        }
        if let Some(centroid_radius) = self.rim.centroid_radius {
            let distance = |radius: &Length| (*radius - centroid_radius).abs().to_m();
            let radii = self.spokes.iter().map(|spoke| spoke.seat.radius());
            let farthest = radii.max_by(|a, b| distance(a).total_cmp(&distance(b)));
            if let Some(seat_radius) =
                farthest.filter(|radius| distance(radius) > SEAT_TO_CENTROID.to_m())
            {
                findings.push(Finding::SeatsFarFromCentroid {
                    seat_radius,
                    centroid_radius,
                });
            }
        }
        let spokes = self.places(|spoke| spoke.tension.is_none());
        if !spokes.is_empty() && spokes.len() < self.spokes.len() {
            findings.push(Finding::TensionsMissing { spokes });
        }
        for (place, kind) in self.kinds.iter().enumerate() {
            if self.spokes.iter().all(|spoke| spoke.kind.0 != place) {
                let (kind, name) = (KindIndex(place), kind.name.clone());
                findings.push(Finding::KindUnused { kind, name });
            }
        }
        findings
    }

    fn places(&self, is_meant: impl Fn(&Spoke) -> bool) -> Vec<SpokeIndex> {
        self.placed()
            .filter(|(_, spoke)| is_meant(spoke))
            .map(|(place, _)| place)
            .collect()
    }
}

/// Whether a number is finite and not below another.
fn is_at_least(value: Force, least: Force) -> bool {
    value.is_finite() && value >= least
}

/// Whether two spokes of one side leave the flange in one place. Heads need a hole each; straight-pull
/// spokes may pass each other closely, but not leave from the same point.
fn is_one_hole(spoke: &Spoke, other: &Spoke) -> bool {
    if spoke.head == Head::Straight || other.head == Head::Straight {
        return spoke.hub.distance(other.hub) < SAME_PLACE;
    }
    let (x, y) = (
        (spoke.hub.x - other.hub.x).to_m(),
        (spoke.hub.y - other.hub.y).to_m(),
    );
    Length::m(x.hypot(y)) < SAME_HOLE
}
