//! How far the sheet moves when a measure, a tension or a stiffness is not what it was taken to be.

use super::tensioned::Tensioned;
use super::{Question, expected, lengths, loads};
use crate::sweep::sweep;
use crate::view::{BuildSheet, BuildStructureView, InputOffView, LengthView, TensionView};
use quantity::Length;
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

const OFFS: [Off; 10] = [
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
/// time. An input that the wheel does not have, or that moves nothing, has no row.
pub(super) fn moved(wheel: &Wheel, question: &Question, sheet: &BuildSheet) -> Vec<InputOffView> {
    let here = Leading::of(&sheet.lengths, &sheet.tensions, sheet.structure.as_ref());
    let rows = sweep(
        &OFFS,
        |off| {
            let (mut wheel, mut question) = (wheel.clone(), question.clone());
            (off.put)(&mut wheel, &mut question);
            let then = Leading::reckoned(&wheel, &question);
            let less = |then: Option<f64>, here: Option<f64>| Some(then? - here?);
            InputOffView {
                input: off.input,
                by: off.by,
                right_length_mm: less(then.length_mm[0], here.length_mm[0]),
                left_length_mm: less(then.length_mm[1], here.length_mm[1]),
                right_tension_n: less(then.tension_n[0], here.tension_n[0]),
                left_tension_n: less(then.tension_n[1], here.tension_n[1]),
                lateral_n_per_mm: less(then.lateral_n_per_mm, here.lateral_n_per_mm),
                first_slack_n: less(then.first_slack_n, here.first_slack_n),
                tension_multiplier: less(then.tension_multiplier, here.tension_multiplier),
            }
        },
        |_| (),
    );
    let moves = |row: &InputOffView| {
        row.changes()
            .into_iter()
            .flatten()
            .any(|change| change != 0.0)
    };
    rows.into_iter().filter(moves).collect()
}

/// The answers that a builder orders and decides by; sides in the order right, left.
struct Leading {
    length_mm: [Option<f64>; 2],
    /// With the tyre on where there is one.
    tension_n: [Option<f64>; 2],
    lateral_n_per_mm: Option<f64>,
    first_slack_n: Option<f64>,
    tension_multiplier: Option<f64>,
}

impl Leading {
    fn of(
        lengths: &[LengthView],
        tensions: &[TensionView],
        structure: Option<&BuildStructureView>,
    ) -> Self {
        let buckling = structure.and_then(|one| one.buckling);
        Self {
            length_mm: Side::BOTH.map(|side| {
                let of_side = lengths.iter().filter(|one| one.side == side.word());
                mean(of_side.map(|one| (one.length_mm.value, one.spokes.len())))
            }),
            tension_n: Side::BOTH.map(|side| {
                let of_side = tensions.iter().filter(|one| one.side == side.word());
                mean(of_side.map(|one| {
                    (
                        one.tyred_n.map_or(one.bare_n, |tyred| tyred.value),
                        one.count,
                    )
                }))
            }),
            lateral_n_per_mm: structure.map(|one| one.lateral_n_per_mm),
            first_slack_n: structure.and_then(|one| one.first_slack_n),
            tension_multiplier: buckling.map(|one| one.tension_multiplier),
        }
    }

    fn reckoned(wheel: &Wheel, question: &Question) -> Self {
        // What there is to say of it was said of the sheet.
        let mut unsaid = Vec::new();
        let built = Tensioned::of(wheel, question, &mut unsaid);
        let lengths = lengths::lengths(&built.wheel, question, &mut unsaid);
        let structure = loads::structure(&built, &mut unsaid);
        Self::of(&lengths, &expected::tensions(&built), structure.as_ref())
    }
}

/// The mean of values that stand for so many spokes each.
fn mean(parts: impl Iterator<Item = (f64, usize)>) -> Option<f64> {
    let (sum, count) = parts.fold((0.0, 0), |(sum, all), (one, count)| {
        (sum + one * count as f64, all + count)
    });
    (0 < count).then(|| sum / count as f64)
}
