//! How far the sheet moves when a measure, a tension or a stiffness is not what it was taken to be.

use super::tensioned::Tensioned;
use super::{Question, expected, lengths, loads};
use crate::sweep::sweep;
use crate::view::{
    BuildSheet, BuildStructureView, FindingView, InputOffView, LengthView, TensionView,
};
use quantity::{Angle, Length};
use wheel::{Point, Side, Wheel};

/// What is off, and by how much: an error that passes unnoticed in a workshop, or for the rim's constants what not
/// knowing them means.
struct Off {
    input: &'static str,
    by: &'static str,
    /// How to put it into the wheel and what is asked of it.
    put: fn(&mut Wheel, &mut Question),
}

const MEASURE: Length = Length::mm(1.0);

const OFFS: [Off; 11] = [
    Off {
        input: "seat diameter",
        by: "1 mm larger",
        put: |wheel, _| {
            for spoke in &mut wheel.spokes {
                let seat = spoke.seat;
                spoke.seat = Point::polar(seat.radius() + MEASURE / 2.0, seat.angle(), seat.z);
            }
        },
    },
    Off {
        input: "right flange",
        by: "1 mm farther out",
        put: |wheel, _| flange_out(wheel, Side::Right),
    },
    Off {
        input: "left flange",
        by: "1 mm farther out",
        put: |wheel, _| flange_out(wheel, Side::Left),
    },
    Off {
        input: "tension",
        by: "10 % more",
        put: |wheel, question| {
            for spoke in &mut wheel.spokes {
                spoke.tension = spoke.tension.map(|tension| tension * 1.1);
            }
            if let Some(wanted) = &mut question.wanted {
                wanted.tension = wanted.tension * 1.1;
            }
        },
    },
    Off {
        input: "the tyre's load",
        by: "20 % more",
        put: |_, question| {
            for tyre in &mut question.tyres {
                tyre.inward_n_per_mm.value *= 1.2;
            }
        },
    },
    Off {
        input: "rider and bicycle",
        by: "10 % heavier",
        put: |_, question| {
            if let Some(rider) = &mut question.rider {
                rider.mass = rider.mass * 1.1;
            }
        },
    },
    Off {
        input: "spokes' EA",
        by: "10 % less",
        put: |wheel, _| {
            for spoke in &mut wheel.spokes {
                spoke.axial_stiffness = spoke.axial_stiffness.map(|axial| axial * 0.9);
            }
            for kind in &mut wheel.kinds {
                kind.axial_stiffness = kind.axial_stiffness.map(|axial| axial * 0.9);
            }
        },
    },
    Off {
        input: "rim's EA",
        by: "30 % less",
        put: |wheel, _| {
            wheel.rim.axial_stiffness = wheel.rim.axial_stiffness.map(|one| one * 0.7);
        },
    },
    Off {
        input: "rim's EI in plane",
        by: "30 % less",
        put: |wheel, _| {
            wheel.rim.in_plane_bending = wheel.rim.in_plane_bending.map(|one| one * 0.7);
        },
    },
    Off {
        input: "rim's EI sideways",
        by: "30 % less",
        put: |wheel, _| {
            wheel.rim.lateral_bending = wheel.rim.lateral_bending.map(|one| one * 0.7);
        },
    },
    Off {
        input: "rim's GJ",
        by: "30 % less",
        put: |wheel, _| wheel.rim.torsion = wheel.rim.torsion.map(|one| one * 0.7),
    },
];

fn flange_out(wheel: &mut Wheel, side: Side) {
    let out = match side {
        Side::Right => MEASURE,
        Side::Left => -MEASURE,
    };
    for spoke in wheel.spokes.iter_mut().filter(|spoke| spoke.side == side) {
        spoke.hub.z = spoke.hub.z + out;
    }
}

/// What the sheet's leading answers change by with one input off, all else the same: the wheel is reckoned anew each
/// time. An input that the wheel does not have, or by which no answer moves, comes or goes, has no row.
pub(super) fn moved(wheel: &Wheel, question: &Question, sheet: &BuildSheet) -> Vec<InputOffView> {
    let ride = sheet.ride.as_ref();
    let at = ride.map(|ride| Angle::deg(ride.smallest_at_deg));
    let smallest_n = ride.map(|ride| ride.smallest_n);
    let here = Leading::of(
        &sheet.lengths,
        &sheet.tensions,
        sheet.structure.as_ref(),
        smallest_n,
    );
    let rows = sweep(
        &OFFS,
        |off| {
            let (mut wheel, mut question) = (wheel.clone(), question.clone());
            (off.put)(&mut wheel, &mut question);
            let mut said = Vec::new();
            let then = Leading::reckoned(&wheel, &question, at, &mut said);
            let [
                right_length,
                left_length,
                right_tension,
                left_tension,
                lateral,
                slack,
                multiplier,
                ridden,
            ] = std::array::from_fn(|answer| Some(then.0[answer]? - here.0[answer]?));
            let row = InputOffView {
                input: off.input,
                by: off.by,
                right_length_change_mm: right_length,
                left_length_change_mm: left_length,
                right_tension_change_n: right_tension,
                left_tension_change_n: left_tension,
                lateral_change_n_per_mm: lateral,
                first_slack_change_n: slack,
                tension_multiplier_change: multiplier,
                smallest_ridden_change_n: ridden,
                says: if then.has_all_of(&here) {
                    Vec::new()
                } else {
                    new(&said, sheet)
                },
            };
            (then != here).then_some(row)
        },
        |_| (),
    );
    rows.into_iter().flatten().collect()
}

/// What is said now and not in the sheet; what a value is in passing is none of it.
fn new(said: &[FindingView], sheet: &BuildSheet) -> Vec<String> {
    let known = |one: &&FindingView| {
        !sheet
            .findings
            .iter()
            .any(|other| other.about == one.about && other.says == one.says)
    };
    said.iter()
        .filter(known)
        .map(|one| one.says.clone())
        .collect()
}

/// The answers that a builder orders and decides by: length right and left in millimetres, tension right and left in
/// newtons with the tyre on where there is one, stiffness along the axle in N/mm, the first slack load in newtons, the
/// tension multiplier at folding and the smallest tension under the rider in newtons.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Leading([Option<f64>; 8]);

impl Leading {
    fn of(
        lengths: &[LengthView],
        tensions: &[TensionView],
        structure: Option<&BuildStructureView>,
        smallest_ridden_n: Option<f64>,
    ) -> Self {
        let [right_length, left_length] = Side::BOTH.map(|side| {
            let of_side = lengths.iter().filter(|one| one.side == side.word());
            mean(of_side.map(|one| (one.length_mm.value, one.spokes.len())))
        });
        let [right_tension, left_tension] = Side::BOTH.map(|side| {
            let of_side = tensions.iter().filter(|one| one.side == side.word());
            mean(of_side.map(|one| {
                let now_n = one.tyred_n.map_or(one.bare_n, |tyred| tyred.value);
                (now_n, one.count)
            }))
        });
        let buckling = structure.and_then(|one| one.buckling);
        Self([
            right_length,
            left_length,
            right_tension,
            left_tension,
            structure.map(|one| one.lateral_n_per_mm),
            structure.and_then(|one| one.first_slack_n),
            buckling.map(|one| one.tension_multiplier),
            smallest_ridden_n,
        ])
    }

    /// With the rider's load at this place, and what is to be said of it.
    fn reckoned(
        wheel: &Wheel,
        question: &Question,
        at: Option<Angle>,
        said: &mut Vec<FindingView>,
    ) -> Self {
        let built = Tensioned::of(wheel, question, said);
        let lengths = lengths::lengths(&built.wheel, question, said);
        let structure = loads::structure(&built, said);
        let tensions = expected::tensions(&built);
        let ridden = question.rider.as_ref().zip(at);
        let smallest_n =
            ridden.and_then(|(rider, at)| loads::smallest_ridden_n(&built, rider, at, said));
        Self::of(&lengths, &tensions, structure.as_ref(), smallest_n)
    }

    /// Whether each answer that the other has is here too.
    fn has_all_of(&self, other: &Self) -> bool {
        let mut both = self.0.iter().zip(&other.0);
        both.all(|(here, there)| here.is_some() || there.is_none())
    }
}

/// The mean of values that stand for so many spokes each.
fn mean(parts: impl Iterator<Item = (f64, usize)>) -> Option<f64> {
    let (sum, count) = parts.fold((0.0, 0), |(sum, all), (one, count)| {
        (sum + one * count as f64, all + count)
    });
    (0 < count).then(|| sum / count as f64)
}
