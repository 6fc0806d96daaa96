//! Which spokes are in each other's way, or in a flange's.
//!
//! Spokes are taken as straight bars of their section between hub and seat (theory §8.4). Laced spokes do
//! bend round one another, so what is said is how far they must.

use crate::{Head, Section, Side, Spoke, SpokeIndex, SpokeKind, Wheel};
use quantity::Length;

type Vector = [f64; 3];

/// What a spoke meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Obstacle {
    /// Another spoke.
    Spoke(SpokeIndex),
    /// The flange of a side.
    Flange(Side),
}

/// How they meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contact {
    /// They overlap by less than half of both thicknesses: one bends aside and rests on the other.
    Touches,
    /// They overlap by more: one would have to pass through the other.
    PassesThrough,
}

/// Two bodies in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clash {
    /// The spoke; of two the one with the lower number.
    pub spoke: SpokeIndex,
    /// What it meets.
    pub with: Obstacle,
    /// How.
    pub contact: Contact,
    /// By how much they overlap.
    pub overlap: Length,
    /// Distance of the place from the axle.
    pub radius: Length,
}

/// Every clash of the wheel, and the kinds whose section is not known: those take no part.
///
/// Pairs come in the order of the wheel, then what each spoke meets of the flanges. A flange whose body is
/// not known takes no part either.
#[must_use]
pub fn clashes(wheel: &Wheel) -> (Vec<Clash>, Vec<&SpokeKind>) {
    let bars: Vec<Option<Bar>> = wheel
        .spokes
        .iter()
        .map(|spoke| Some(Bar::of(spoke, wheel.kind_of(spoke).section?)))
        .collect();
    let present = || {
        bars.iter()
            .enumerate()
            .filter_map(|(place, bar)| Some((place, bar.as_ref()?)))
    };
    let mut clashes = Vec::new();
    for (place, bar) in present() {
        for (other, meets) in present().skip_while(|(other, _)| *other <= place) {
            clashes.extend(
                bar.meets(meets)
                    .map(|met| met.clash(place, Obstacle::Spoke(SpokeIndex(other)))),
            );
        }
    }
    for (place, bar) in present() {
        for side in Side::BOTH {
            let met = bar.meets_flange(wheel, &wheel.spokes[place], side);
            clashes.extend(met.map(|met| met.clash(place, Obstacle::Flange(side))));
        }
    }
    let unknown = wheel.kinds.iter().enumerate().filter(|(place, kind)| {
        kind.section.is_none() && wheel.spokes.iter().any(|spoke| spoke.kind.0 == *place)
    });
    (clashes, unknown.map(|(_, kind)| kind).collect())
}

/// A meeting, before it is known whose.
struct Met {
    overlap_m: f64,
    contact: Contact,
    radius_m: f64,
}

impl Met {
    fn clash(self, place: usize, with: Obstacle) -> Clash {
        Clash {
            spoke: SpokeIndex(place),
            with,
            contact: self.contact,
            overlap: Length::m(self.overlap_m),
            radius: Length::m(self.radius_m),
        }
    }
}

/// A spoke as a straight bar: its thin side across the wheel's plane, as a blade stands in the wind.
struct Bar {
    hub: Vector,
    along: Vector,
    /// Directions of the thin and the wide side, with half of each.
    thin: (Vector, f64),
    wide: (Vector, f64),
}

impl Bar {
    fn of(spoke: &Spoke, section: Section) -> Self {
        let (thin_m, wide_m) = match section {
            Section::Wire(diameter) => (diameter.to_m(), diameter.to_m()),
            Section::Blade { thin, wide } => (thin.to_m(), wide.to_m()),
        };
        let unit = spoke.pull_direction();
        let across = minus([0.0, 0.0, 1.0], scaled(unit, unit[2]));
        let thin = scaled(across, 1.0 / dot(across, across).sqrt());
        Self {
            hub: [spoke.hub.x.to_m(), spoke.hub.y.to_m(), spoke.hub.z.to_m()],
            along: spoke.seat.minus(spoke.hub),
            thin: (thin, thin_m / 2.0),
            wide: (cross(unit, thin), wide_m / 2.0),
        }
    }

    fn at(&self, share: f64) -> Vector {
        plus(self.hub, scaled(self.along, share))
    }

    /// Half its thickness toward a direction; an oval section.
    fn half(&self, toward: Vector) -> f64 {
        (dot(toward, self.thin.0) * self.thin.1).hypot(dot(toward, self.wide.0) * self.wide.1)
    }

    fn meets(&self, other: &Self) -> Option<Met> {
        let (own, theirs) = nearest(self, other);
        let (here, there) = (self.at(own), other.at(theirs));
        let apart = minus(there, here);
        let distance_m = dot(apart, apart).sqrt();
        // Lines that cross have no direction between them; the axle's is the one they would bend along.
        let toward = if distance_m < f64::EPSILON {
            self.thin.0
        } else {
            scaled(apart, 1.0 / distance_m)
        };
        let reach_m = self.half(toward) + other.half(toward);
        (distance_m < reach_m).then(|| Met {
            overlap_m: reach_m - distance_m,
            contact: if 2.0 * distance_m < reach_m {
                Contact::PassesThrough
            } else {
                Contact::Touches
            },
            radius_m: here[0].hypot(here[1]),
        })
    }

    /// A flange in the way. A spoke bears on its own flange at the bend, so there only what it would have to
    /// bend further to clear the flange's edge counts, from half its thickness on.
    fn meets_flange(&self, wheel: &Wheel, spoke: &Spoke, side: Side) -> Option<Met> {
        let body = wheel.fittings.of(side).flange?;
        let (middle, half_flange, edge) = (
            side.sign() * body.offset.to_m(),
            body.thickness.to_m() / 2.0,
            body.radius.to_m(),
        );
        let half_m = self.thin.1;
        let beside = |share: f64| side.sign() * (self.at(share)[2] - middle);
        let is_own = spoke.side == side;
        let face = match spoke.head {
            Head::In if is_own => 1.0,
            Head::Out if is_own => -1.0,
            Head::Straight if is_own => return None,
            _ => return self.pierces(edge, middle, half_flange + half_m),
        };
        let leaves = self.leaves(edge)?;
        let overlap_m = half_flange + half_m - face * beside(leaves);
        (half_m < overlap_m).then_some(Met {
            overlap_m,
            contact: if overlap_m < 2.0 * half_m {
                Contact::Touches
            } else {
                Contact::PassesThrough
            },
            radius_m: edge,
        })
    }

    /// The share of its length at which it leaves a circle about the axle.
    fn leaves(&self, radius_m: f64) -> Option<f64> {
        let (a, b, c) = self.circle(radius_m);
        let root = (b * b - a * c).sqrt();
        let share = (root - b) / a;
        (c <= 0.0 && share <= 1.0).then_some(share)
    }

    /// Coefficients of a share² + 2 b share + c = 0 for the circle.
    fn circle(&self, radius_m: f64) -> (f64, f64, f64) {
        let ([x, y, _], [along_x, along_y, _]) = (self.hub, self.along);
        (
            along_x * along_x + along_y * along_y,
            x * along_x + y * along_y,
            x * x + y * y - radius_m * radius_m,
        )
    }

    /// Another side's flange stands in the way when the bar is inside its disc somewhere.
    fn pierces(&self, edge_m: f64, middle_m: f64, half_m: f64) -> Option<Met> {
        let ends =
            [-half_m, half_m].map(|beside| (middle_m + beside - self.hub[2]) / self.along[2]);
        let from = ends[0].min(ends[1]).max(0.0);
        let to = ends[0].max(ends[1]).min(1.0);
        if to.is_nan() || from.is_nan() || to <= from {
            return None;
        }
        let (a, b, _) = self.circle(edge_m);
        let inmost = self.at((-b / a).clamp(from, to));
        let radius_m = inmost[0].hypot(inmost[1]);
        (radius_m < edge_m).then_some(Met {
            overlap_m: edge_m - radius_m,
            contact: Contact::PassesThrough,
            radius_m,
        })
    }
}

/// Where two bars come nearest to each other, as shares of their lengths.
///
/// The squared distance is convex in both shares: when the free minimum lies outside, the minimum lies on
/// an edge of the square of shares.
fn nearest(one: &Bar, other: &Bar) -> (f64, f64) {
    let between = minus(one.hub, other.hub);
    let (u, v) = (one.along, other.along);
    let (uu, uv, vv) = (dot(u, u), dot(u, v), dot(v, v));
    let (ub, vb) = (dot(u, between), dot(v, between));
    let determinant = uu * vv - uv * uv;
    let free = (
        (uv * vb - vv * ub) / determinant,
        (uu * vb - uv * ub) / determinant,
    );
    let is_inside = |share: f64| (0.0..=1.0).contains(&share);
    if is_inside(free.0) && is_inside(free.1) {
        return free;
    }
    let theirs = |own: f64| ((own * uv + vb) / vv).clamp(0.0, 1.0);
    let own = |theirs: f64| ((theirs * uv - ub) / uu).clamp(0.0, 1.0);
    let edges = [
        (0.0, theirs(0.0)),
        (1.0, theirs(1.0)),
        (own(0.0), 0.0),
        (own(1.0), 1.0),
    ];
    let distance = |shares: &(f64, f64)| {
        let apart = minus(one.at(shares.0), other.at(shares.1));
        dot(apart, apart)
    };
    let nearer = |best: (f64, f64), next: (f64, f64)| {
        if distance(&next) < distance(&best) {
            next
        } else {
            best
        }
    };
    edges.into_iter().fold(edges[0], nearer)
}

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn scaled(a: Vector, factor: f64) -> Vector {
    a.map(|part| part * factor)
}

fn plus(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}
