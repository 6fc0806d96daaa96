//! The answers in a builder's words, the same on the terminal and on paper.

mod bears;

use crate::view::{Analysis, IfOffView, InfluenceView, StiffnessView};
use quantity::Force;
use quantity::force::ForceUnit;

pub(super) use bears::load;
pub use bears::{Answer, bears};

/// Millimetres of thread in a quarter turn: 56 threads to the inch (DIN 79012).
pub const QUARTER_TURN_MM: f64 = 25.4 / 56.0 / 4.0;

/// What every answer here rests on.
pub const GROUNDS: &str = "A model: rim constants, spokes' EA and tensions as the wheel file gives them or as named here, the rim a perfect circle without its tyre, the hub rigid, each load on a point of the rim or spread over the patch it names.";

/// What is no permission.
pub const EVIDENCE: &str =
    "Evidence, not permission to ride: makers' limits prevail, a qualified mechanic decides.";

/// The answer that is a tension under load.
const RIDDEN: &str = "smallest tension ridden";

/// Heads and rows of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Heads of the columns.
    pub heads: Vec<String>,
    /// Rows, each as long as the heads.
    pub rows: Vec<Vec<String>>,
}

/// What a quarter turn tighter does, for the first spoke of every side and kind.
#[must_use]
pub fn quarter_turn(view: &Analysis, unit: ForceUnit) -> Option<Grid> {
    let influence = view.influence.as_ref()?;
    let count = view.spokes.len();
    let mut met: Vec<(&str, &str)> = Vec::new();
    let mut rows = Vec::new();
    for (turned, seat) in view.spokes.iter().enumerate() {
        if met.contains(&(seat.side, &seat.kind)) {
            continue;
        }
        met.push((seat.side, &seat.kind));
        let change = |spoke: usize| {
            let per_mm = influence.tension_n_per_mm[spoke][turned];
            signed(per_mm * QUARTER_TURN_MM, unit)
        };
        let moved_mm = |rows: &[Vec<f64>]| rows[turned][turned] * QUARTER_TURN_MM;
        rows.push(vec![
            format!("nipple {}, {} {}", seat.spoke, seat.side, seat.kind),
            change(turned),
            format!("{} before", change((turned + count - 1) % count)),
            format!("{} after", change((turned + 1) % count)),
            format!(
                "{}, {}",
                way(
                    moved_mm(&influence.lateral_mm_per_mm),
                    "to the right",
                    "to the left"
                ),
                way(moved_mm(&influence.radial_mm_per_mm), "outward", "inward")
            ),
        ]);
    }
    let heads = [
        "which",
        &format!("its spoke, {}", unit.symbol()),
        "neighbour",
        "neighbour",
        "the rim there",
    ];
    Some(Grid {
        heads: heads.map(str::to_owned).into(),
        rows,
    })
}

/// Stiffness in both states, N/mm.
#[must_use]
pub fn stiffness(view: &Analysis) -> Grid {
    let row = |state: &str, one: &StiffnessView| {
        vec![
            state.to_owned(),
            format!("{:.0}", one.radial_at_spoke_1_n_per_mm),
            format!("{:.0}", one.radial_mid_gap_n_per_mm),
            format!("{:.1}", one.lateral_at_spoke_1_n_per_mm),
            format!("{:.1}", one.lateral_mid_gap_n_per_mm),
            format!("{:.0}", one.tangential_at_spoke_1_n_per_mm),
            format!("{:.0}", one.torsional_n_m_per_rad.to_radians()),
        ]
    };
    let tensioned = view.stiffness.at_tension.as_ref();
    let mut rows: Vec<_> = tensioned
        .map(|one| row("as tensioned", one))
        .into_iter()
        .collect();
    rows.push(row("without tension", &view.stiffness.at_zero_tension));
    let heads = [
        "state",
        "to the hub at spoke 1",
        "between spokes",
        "sideways",
        "between spokes",
        "along the rim",
        "hub turned, N m/°",
    ];
    Grid {
        heads: heads.map(str::to_owned).into(),
        rows,
    }
}

/// The rim at the places asked for; none where none was asked.
#[must_use]
pub fn places(view: &Analysis) -> Option<Grid> {
    let places = view.places.as_ref().filter(|places| !places.is_empty())?;
    let strongest = |effects: &[f64], words: [&str; 2]| {
        let numbered = effects.iter().zip(&view.spokes);
        let largest = numbered.max_by(|one, other| one.0.abs().total_cmp(&other.0.abs()));
        largest.map_or(String::new(), |(effect, seat)| {
            let moved = way(effect * QUARTER_TURN_MM, words[0], words[1]);
            format!("{moved} by nipple {}", seat.spoke)
        })
    };
    let rows = places.iter().map(|place| {
        vec![
            format!("{:.1}°", place.angle_deg),
            format!("{:.0}", place.radial_n_per_mm),
            format!("{:.1}", place.lateral_n_per_mm),
            format!("{:.0}", place.tangential_n_per_mm),
            strongest(&place.lateral_mm_per_mm, ["to the right", "to the left"]),
            strongest(&place.radial_mm_per_mm, ["outward", "inward"]),
        ]
    });
    let heads = [
        "from the valve",
        "to the hub",
        "sideways",
        "along the rim",
        "most sideways by a quarter turn",
        "most in and out",
    ];
    Some(Grid {
        heads: heads.map(str::to_owned).into(),
        rows: rows.collect(),
    })
}

/// Stiffness as a hand feels it.
#[must_use]
pub fn given_way(view: &Analysis, unit: ForceUnit) -> String {
    let of = view
        .stiffness
        .at_tension
        .unwrap_or(view.stiffness.at_zero_tension);
    let (load, side_load) = match unit {
        ForceUnit::Kgf => (100.0, 10.0),
        ForceUnit::N => (1000.0, 100.0),
        ForceUnit::Lbf => (200.0, 20.0),
    };
    let by = |load: f64, n_per_mm: f64| format!("{:.2} mm", unit.of(load).to_n() / n_per_mm);
    let symbol = unit.symbol();
    format!(
        "{load} {symbol} toward the hub at spoke 1 moves the rim there by {}, {side_load} {symbol} sideways by {}.",
        by(load, of.radial_at_spoke_1_n_per_mm),
        by(side_load, of.lateral_at_spoke_1_n_per_mm)
    )
}

/// How far the leading answers move when a rim constant is 30 % less, and 30 % more.
#[must_use]
pub fn if_off(view: &Analysis, unit: ForceUnit) -> Grid {
    let state = view
        .stiffness
        .at_tension
        .unwrap_or(view.stiffness.at_zero_tension);
    let own = |rows: fn(&InfluenceView) -> &Vec<Vec<f64>>| {
        view.influence
            .as_ref()
            .map(|influence| rows(influence)[0][0])
    };
    type Read = fn(&IfOffView) -> Option<f64>;
    let answers: [(&str, Option<f64>, Read); 8] = [
        (
            "stiffness to the hub",
            Some(state.radial_at_spoke_1_n_per_mm),
            |one| one.radial_at_spoke_1_n_per_mm,
        ),
        (
            "stiffness sideways",
            Some(state.lateral_at_spoke_1_n_per_mm),
            |one| one.lateral_at_spoke_1_n_per_mm,
        ),
        (
            "nipple 1: its own tension",
            own(|of| &of.tension_n_per_mm),
            |one| one.own_tension_n_per_mm,
        ),
        (
            "nipple 1: rim sideways",
            own(|of| &of.lateral_mm_per_mm),
            |one| one.own_lateral_mm_per_mm,
        ),
        (
            "nipple 1: rim in and out",
            own(|of| &of.radial_mm_per_mm),
            |one| one.own_radial_mm_per_mm,
        ),
        (
            RIDDEN,
            view.ride.first().and_then(|ride| ride.smallest_n),
            |one| one.ride_smallest_n,
        ),
        ("load that slackens", view.first_slack_n, |one| {
            one.first_slack_n
        }),
        (
            "tension that folds it",
            view.buckling.map(|one| one.tension_multiplier),
            |one| one.tension_multiplier,
        ),
    ];
    let constants = [
        ("axial_stiffness_n", "EA"),
        ("in_plane_bending_n_mm2", "EI in plane"),
        ("lateral_bending_n_mm2", "EI sideways"),
        ("torsion_n_mm2", "GJ"),
    ];
    let rows = answers
        .iter()
        .filter_map(|(name, now, read)| {
            // A tension that is nearly gone moves by any share: it is told in its own unit.
            let in_force = *name == RIDDEN;
            let now = (*now).filter(|now| in_force || *now != 0.0)?;
            let change = |then: f64| match in_force {
                true => signed(then - now, unit),
                false => signed_whole((then / now - 1.0) * 100.0),
            };
            let moved = |key: &str| {
                let of_key = view
                    .if_30_percent_off
                    .iter()
                    .filter(|one| one.constant == key);
                let changes: Vec<String> = of_key
                    .map(|one| read(one).map_or("none".into(), change))
                    .collect();
                changes.join(" / ")
            };
            let mut row = vec![match in_force {
                true => format!("{name}, in {}", unit.symbol()),
                false => (*name).to_owned(),
            }];
            row.extend(constants.iter().map(|(key, _)| moved(key)));
            Some(row)
        })
        .collect();
    let mut heads = vec!["answer, change in %".to_owned()];
    heads.extend(
        constants
            .iter()
            .map(|(_, name)| format!("{name} −30 / +30 %")),
    );
    Grid { heads, rows }
}

/// A change of force in the unit's finest step, with its sign and without the unit.
fn signed(change_n: f64, unit: ForceUnit) -> String {
    let step = match unit {
        ForceUnit::N => 10.0,
        ForceUnit::Kgf | ForceUnit::Lbf => 1.0,
    };
    signed_whole((unit.read(Force::n(change_n)) / step).round() * step)
}

fn signed_whole(number: f64) -> String {
    match number.round() {
        0.0 => "0".into(),
        whole if whole < 0.0 => format!("−{:.0}", -whole),
        whole => format!("+{whole:.0}"),
    }
}

fn way(mm: f64, plus: &str, minus: &str) -> String {
    format!("{:.2} mm {}", mm.abs(), if mm < 0.0 { minus } else { plus })
}
