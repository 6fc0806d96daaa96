//! A wheel's state on the stand as CSV: tension and runout spoke by spoke, runout between them, its nipples.
//!
//! Columns: `spoke` or `angle_deg` says where a row was taken; `tension_n` (or `_kgf`, `_lbf`) with `u_tension` in the
//! same unit, `lateral_mm`, `radial_mm` what was read there; `nipple` is `seized` or empty, `thread_left_turns` how far it
//! can still be tightened, `cost` what touching it costs in nipples. Every cell but the place may be empty.

use crate::csv_reader::{Column, Table};
use crate::error::Error;
use crate::laps::MOST_RUNOUT_MM;
use crate::literal::{FORCE_UNITS, Unit};
use crate::source::Source;
use metrology::lap::RunoutPoint;
use quantity::{Angle, Force, Length};
use truing::Readings;
use truing::estimator::TensionReading;
use truing::plan::NippleState;
use wheel::{SpokeIndex, Wheel};

const SPOKE: &str = "spoke";
const ANGLE_DEG: &str = "angle_deg";
const U_TENSION: &str = "u_tension";
const LATERAL_MM: &str = "lateral_mm";
const RADIAL_MM: &str = "radial_mm";
const NIPPLE: &str = "nipple";
const THREAD_LEFT: &str = "thread_left_turns";
const COST: &str = "cost";
const SEIZED: &str = "seized";

const KNOWN: [&str; 11] = [
    SPOKE,
    ANGLE_DEG,
    "tension_n",
    "tension_kgf",
    "tension_lbf",
    U_TENSION,
    LATERAL_MM,
    RADIAL_MM,
    NIPPLE,
    THREAD_LEFT,
    COST,
];

/// The most a spoke is believed to be pulled with, in newtons: twice what one breaks at.
pub(crate) const MOST_TENSION_N: f64 = 8000.0;

/// What a state file tells.
#[derive(Debug, Clone, PartialEq)]
pub struct StateFile {
    /// What was read.
    pub readings: Readings,
    /// The nipples in the wheel's order.
    pub nipples: Vec<NippleState>,
}

/// The state of a wheel from its file.
///
/// # Errors
/// When a column is missing, unknown or twice, tension stands in two units, a spoke does not exist or stands twice, a
/// row has no place or two, or a cell is no number in its range.
pub fn read(source: &Source, wheel: &Wheel) -> Result<StateFile, Error> {
    let mut table = Table::read(source, &KNOWN)?;
    let columns = Columns::of(&mut table, source)?;
    let spokes = wheel.spokes.len();
    let mut taken_in = vec![None; spokes];
    let mut state = StateFile {
        readings: Readings::default(),
        nipples: vec![NippleState::default(); spokes],
    };
    for row in 0..table.rows() {
        let Some(place) = place(&mut table, row, &columns, &mut taken_in) else {
            continue;
        };
        let at = match place {
            Place::Spoke(spoke) => {
                let readings = &mut state.readings.tensions;
                readings.extend(tension(&mut table, row, &columns, spoke));
                state.nipples[spoke.0] = nipple(&mut table, row, &columns);
                wheel.spokes[spoke.0].seat_angle()
            }
            Place::Between(angle) => {
                refuse_nipple(&mut table, row, &columns);
                angle
            }
        };
        for (column, points) in [
            (columns.lateral, &mut state.readings.lateral),
            (columns.radial, &mut state.readings.radial),
        ] {
            let read = column.and_then(|column| runout(&mut table, row, column));
            points.extend(read.map(|displacement| RunoutPoint { at, displacement }));
        }
    }
    table.finish()?;
    if state.readings.is_empty() {
        return Err(source.refusal(
            0..0,
            "nothing was read: no tension and no runout stands in this file",
            "Fill `tension_n` (or `_kgf`, `_lbf`), `lateral_mm` or `radial_mm` where something was read.",
        ));
    }
    Ok(state)
}

struct Columns {
    spoke: Option<Column>,
    angle: Option<Column>,
    tension: Option<(Column, Unit<Force>)>,
    u_tension: Option<Column>,
    lateral: Option<Column>,
    radial: Option<Column>,
    nipple: Option<Column>,
    thread_left: Option<Column>,
    cost: Option<Column>,
}

impl Columns {
    fn of(table: &mut Table, source: &Source) -> Result<Self, Error> {
        let mut tensions = FORCE_UNITS
            .into_iter()
            .filter_map(|unit| Some((table.column(&format!("tension_{}", unit.0))?, unit)));
        let (tension, second) = (tensions.next(), tensions.next());
        if let Some((column, _)) = second {
            return Err(source.refusal(
                table.heading_span(column),
                "tension stands in two units",
                "Keep one of the columns.",
            ));
        }
        let columns = Self {
            spoke: table.column(SPOKE),
            angle: table.column(ANGLE_DEG),
            tension,
            u_tension: table.column(U_TENSION),
            lateral: table.column(LATERAL_MM),
            radial: table.column(RADIAL_MM),
            nipple: table.column(NIPPLE),
            thread_left: table.column(THREAD_LEFT),
            cost: table.column(COST),
        };
        if columns.spoke.is_none() && columns.angle.is_none() {
            table.required(SPOKE)?;
        }
        if let (Some(column), None) = (columns.u_tension, columns.tension) {
            return Err(source.refusal(
                table.heading_span(column),
                "an uncertainty without a tension",
                "Add the column `tension_n`, `tension_kgf` or `tension_lbf`: it has the unit of both.",
            ));
        }
        Ok(columns)
    }
}

#[derive(Clone, Copy)]
enum Place {
    Spoke(SpokeIndex),
    Between(Angle),
}

/// Where a row was taken: at a spoke, or at an angle from the valve hole.
fn place(
    table: &mut Table,
    row: usize,
    columns: &Columns,
    taken_in: &mut [Option<usize>],
) -> Option<Place> {
    let filled =
        |column: Option<Column>| column.filter(|&column| !table.text(row, column).is_empty());
    match (filled(columns.spoke), filled(columns.angle)) {
        (Some(column), None) => {
            let spoke = crate::laps::spoke_of(table, row, column, taken_in.len())?;
            if let Some(first) = taken_in[spoke.0] {
                let line = table.line(first);
                let what = format!("spoke {} was already taken in line {line}", spoke.number());
                let mend =
                    "Delete one of the two rows; more runout belongs in rows with `angle_deg`.";
                table.trouble(table.span(row, column), what, mend);
                return None;
            }
            taken_in[spoke.0] = Some(row);
            Some(Place::Spoke(spoke))
        }
        (None, Some(column)) => crate::laps::angle_of(table, row, column).map(Place::Between),
        (both, _) => {
            let column = columns.spoke.or(columns.angle)?;
            let what = match both {
                Some(_) => "both `spoke` and `angle_deg` in one row",
                None => "neither `spoke` nor `angle_deg` in this row",
            };
            let mend = "Give the spoke's number, or for runout between spokes the angle from the valve hole.";
            table.trouble(table.span(row, column), what, mend);
            None
        }
    }
}

/// The number in a cell that may be empty.
fn optional(table: &mut Table, row: usize, column: Column) -> Option<f64> {
    if table.text(row, column).is_empty() {
        return None;
    }
    table.number(row, column)
}

fn tension(
    table: &mut Table,
    row: usize,
    columns: &Columns,
    spoke: SpokeIndex,
) -> Option<TensionReading> {
    let (column, (_, _, make)) = columns.tension?;
    let force = make(optional(table, row, column)?);
    if !(0.0..=MOST_TENSION_N).contains(&force.to_n()) {
        let what = format!(
            "`{}` is not between 0 and what any spoke bears",
            table.heading(column)
        );
        let mend = "Is the number in the unit of the column's name?";
        table.trouble(table.span(row, column), what, mend);
        return None;
    }
    let mut u = None;
    if let Some(column) = columns.u_tension
        && let Some(value) = optional(table, row, column)
    {
        let stated = make(value);
        if !(0.0..=MOST_TENSION_N).contains(&stated.to_n()) || value == 0.0 {
            let what = "`u_tension` is not above zero, or above what any spoke bears";
            let mend = "Write the standard uncertainty in the unit of the tension, or leave the cell empty.";
            table.trouble(table.span(row, column), what, mend);
            return None;
        }
        u = Some(stated);
    }
    Some(TensionReading { spoke, force, u })
}

fn runout(table: &mut Table, row: usize, column: Column) -> Option<Length> {
    let mm = optional(table, row, column)?;
    if mm.abs() > MOST_RUNOUT_MM {
        let what = format!("`{}` is more than {MOST_RUNOUT_MM}", table.heading(column));
        let mend = "Is the number in hundredths of a millimetre?";
        table.trouble(table.span(row, column), what, mend);
        return None;
    }
    Some(Length::mm(mm))
}

fn nipple(table: &mut Table, row: usize, columns: &Columns) -> NippleState {
    let mut state = NippleState::default();
    if let Some(column) = columns.nipple {
        match table.text(row, column) {
            "" => {}
            SEIZED => state.seized = true,
            other => {
                let what = format!("`{other}` says nothing known of a nipple");
                let mend = "Write `seized` for one that does not turn; leave the cell empty for one that does.";
                table.trouble(table.span(row, column), what, mend);
            }
        }
    }
    let mut not_negative = |column: Option<Column>| {
        let value = optional(table, row, column?)?;
        if value < 0.0 {
            let what = format!("`{}` is negative", table.heading(column?));
            table.trouble(
                table.span(row, column?),
                what,
                "Write zero or more, or leave the cell empty.",
            );
        }
        Some(value)
    };
    state.thread_left = not_negative(columns.thread_left);
    state.cost = not_negative(columns.cost);
    state
}

/// A row between spokes has no spoke of which to tell.
fn refuse_nipple(table: &mut Table, row: usize, columns: &Columns) {
    let of_spokes = [
        columns.tension.map(|(column, _)| column),
        columns.u_tension,
        columns.nipple,
        columns.thread_left,
        columns.cost,
    ];
    for column in of_spokes.into_iter().flatten() {
        if !table.text(row, column).is_empty() {
            let what = format!("`{}` in a row between spokes", table.heading(column));
            table.trouble(
                table.span(row, column),
                what,
                "Put it in the row of its spoke.",
            );
        }
    }
}
