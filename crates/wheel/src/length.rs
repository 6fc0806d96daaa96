//! What length of spoke to order for a place in the wheel.

use crate::{GeometryDoubt, Head, Spoke, SpokeIndex, Wheel};
use quantity::{Length, Sources, Uncertain, uncertain};

/// Spokes of one side, kind and head whose lengths differ by less than this are ordered as one: a tenth of
/// what a spoke cutter holds (estimate of practice, unchecked).
const ONE_LENGTH: Length = Length::mm(0.05);

/// How the tensioned wheel differs from its loose parts.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tautness {
    /// Stretch of the spoke over its unstressed length, T/EA.
    pub strain: f64,
    /// How much smaller the radius of the rim has become.
    pub shrink: Length,
}

/// The length of one spoke, piece by piece; eq. 8.1, 8.2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LengthParts {
    /// From the hole's middle (or where a straight-pull spoke leaves the hub) to the nipple seat.
    pub to_seat: Length,
    /// From there to the bend or head: half the hole taken off, or what lies behind the point given.
    pub at_hub: Length,
    /// The washer under the nipple.
    pub washer: Length,
    /// From the seat to where the spoke's end is wanted in the nipple.
    pub into_nipple: Length,
    /// Taken off, since the rim gives under tension.
    pub shrink: Length,
    /// Taken off, since the spoke stretches.
    pub stretch: Length,
}

impl LengthParts {
    /// The parts of a spoke's length in a wheel. What the wheel's fittings do not say counts as nothing.
    #[must_use]
    pub fn of(wheel: &Wheel, spoke: &Spoke, taut: Tautness) -> Self {
        let fitting = wheel.fittings.of(spoke.side);
        let at_hub = match spoke.head {
            Head::Straight => fitting.head_behind,
            Head::In | Head::Out => -fitting.hole.unwrap_or_default() / 2.0,
        };
        let into_nipple = fitting.nipple.map_or(Length::ZERO, |nipple| nipple.reach());
        let (to_seat, washer) = (spoke.length(), fitting.washer);
        let shrink = -taut.shrink * outward(spoke);
        let taut_length = to_seat + at_hub + washer + into_nipple + shrink;
        Self {
            to_seat,
            at_hub,
            washer,
            into_nipple,
            shrink,
            stretch: -taut_length * (taut.strain / (1.0 + taut.strain)),
        }
    }

    /// What to order: unstressed, from the inside of the bend (or under the head) to the end.
    #[must_use]
    pub fn total(&self) -> Length {
        self.to_seat + self.at_hub + self.washer + self.into_nipple + self.shrink + self.stretch
    }
}

/// By how much a spoke is longer for a seat that lies farther out.
fn outward(spoke: &Spoke) -> f64 {
    let [along_x, along_y, _] = spoke.pull_direction();
    let (sine, cosine) = spoke.seat_angle().to_rad().sin_cos();
    along_x * cosine + along_y * sine
}

/// A spoke's length in millimetres with what its uncertainty rests on: how the measured seat diameters
/// scatter, with the degrees of freedom that few of them have, and how well the flange's place is known; eq. 8.4.
///
/// Exactly known seats are taken at their word: fewer than two diameters leave their part of u unknown.
///
/// # Errors
/// For diameters or a flange's uncertainty that are no numbers to reckon with.
pub fn uncertain_mm(
    sources: &mut Sources,
    spoke: &Spoke,
    total: Length,
    diameters: &[Length],
    doubt: &GeometryDoubt,
) -> Result<Uncertain, uncertain::Error> {
    let sideways = spoke.pull_direction()[2];
    let flange = sources.add(
        "flange offset",
        0.0,
        doubt.flange_offset_u.to_mm(),
        f64::INFINITY,
    )?;
    let mut length_mm = Uncertain::exact(total.to_mm()) + sideways * flange;
    if 1 < diameters.len() {
        let half_mm: Vec<f64> = diameters.iter().map(|one| one.to_mm() / 2.0).collect();
        let radius = sources.add_mean("seat diameters", &half_mm)?;
        let mean_mm = radius.value();
        length_mm = length_mm + outward(spoke) * (radius - mean_mm);
    }
    Ok(length_mm)
}

/// Spokes that are ordered as one length: one side, one kind, one way the head sits.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleGroup {
    /// Its spokes.
    pub spokes: Vec<SpokeIndex>,
    /// The length of each.
    pub lengths: Vec<Length>,
}

impl HoleGroup {
    /// The mean of its lengths.
    #[must_use]
    pub fn mean(&self) -> Length {
        self.lengths.iter().copied().sum::<Length>() / self.lengths.len() as f64
    }
}

/// The wheel's spokes by the length to order, `lengths` in the wheel's order: right side first, kind by
/// kind, heads in, out and straight, short lengths first.
#[must_use]
pub fn groups(wheel: &Wheel, lengths: &[Length]) -> Vec<HoleGroup> {
    let mut groups = Vec::new();
    for (_, _, members) in wheel.groups() {
        for head in [Head::In, Head::Out, Head::Straight] {
            let mut of_head: Vec<SpokeIndex> = members
                .iter()
                .copied()
                .filter(|spoke| wheel.spokes[spoke.0].head == head)
                .collect();
            of_head.sort_by(|one, other| lengths[one.0].to_m().total_cmp(&lengths[other.0].to_m()));
            let is_one =
                |one: &SpokeIndex, next: &SpokeIndex| lengths[next.0] - lengths[one.0] < ONE_LENGTH;
            groups.extend(of_head.chunk_by(is_one).map(|chunk| {
                let mut spokes = chunk.to_vec();
                spokes.sort_unstable();
                HoleGroup {
                    lengths: spokes.iter().map(|spoke| lengths[spoke.0]).collect(),
                    spokes,
                }
            }));
        }
    }
    groups
}
