//! The laps of a visit: written in brackets, or in files of their own.

use super::judged::{HIGHEST_PRESSURE, SIDES};
use super::order::Order;
use super::{Attachments, Desk, all};
use crate::laps::{
    HIGHEST_PITCH_HZ, MOST_RUNOUT_MM, Readings, read_pitches, read_readings, read_runout,
};
use crate::toml_reader::{NOT_NEGATIVE, Range, Read, Table, Value, positive};
use metrology::lap::{Axis, Counted, Lap, Reading, RunoutPoint, State, Taken};
use metrology::{Finding, Weight};
use quantity::{Length, Pressure};
use wheel::{SpokeIndex, Wheel};

/// The coldest and hottest workshop that is believed, in degrees Celsius.
const TEMPERATURE_C: Range = Range::within(-40.0, 80.0);

pub(super) const STATES: [(&str, State); 2] = [("bare", State::Bare), ("tyred", State::Tyred)];

pub(super) const WAYS: [(&str, Counted); 2] = [("up", Counted::Up), ("down", Counted::Down)];

/// What a lap takes, by its word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Takes {
    Reading,
    Runout(Axis),
    Pitch,
}

const TAKES: [(&str, Takes); 4] = [
    ("reading", Takes::Reading),
    ("lateral", Takes::Runout(Axis::Lateral)),
    ("radial", Takes::Runout(Axis::Radial)),
    ("pitch", Takes::Pitch),
];

/// Every `[[lap]]`.
pub(super) fn laps<A: Attachments>(
    root: &Table<'_>,
    wheel: &Wheel,
    desk: &mut Desk<'_, A>,
) -> Read<Vec<Lap>> {
    let mut number = 0;
    all(root, "lap", |table| {
        number += 1;
        let lap = match table.choice("takes", &TAKES) {
            Ok(takes) => lap(table, takes, number, wheel, desk),
            // Which keys a lap has hangs on what it takes.
            Err(told) => return Err(told),
        };
        table.close();
        lap
    })
}

/// One lap, all of whose keys have been asked for.
fn lap<A: Attachments>(
    table: &Table<'_>,
    takes: Takes,
    number: usize,
    wheel: &Wheel,
    desk: &mut Desk<'_, A>,
) -> Read<Lap> {
    let state = state(table, takes, number, &mut desk.findings);
    let pressure = pressure(table, "pressure");
    let by = table.optional_text("by");
    let temperature_c = table.optional_number("temperature_c", TEMPERATURE_C);
    let spokes = wheel.spokes.len();
    let start = table
        .optional("start")
        .map(|value| value.count(1, spokes))
        .transpose();
    let counted = table.optional_choice("counted", &WAYS);
    let order = match (start, counted) {
        (Ok(start), Ok(counted)) => Ok(Order {
            start: start.map(|number| SpokeIndex(number - 1)),
            counted,
            spokes,
        }),
        (Err(told), _) | (_, Err(told)) => Err(told),
    };
    let taken = match takes {
        Takes::Reading => readings(table, order, desk),
        Takes::Runout(axis) => runout(table, axis, order, wheel, desk),
        Takes::Pitch => pitches(table, order, desk),
    };
    let (state, pressure, order, taken) = (state?, pressure?, order?, taken?);
    let pressure = match (state, pressure) {
        (State::Tyred, None) => Err(table.trouble_at(
            "state",
            "a tyred lap does not say at what pressure",
            "The harder the tyre, the more tension it takes: write `pressure_bar = 6.0` or \
             `pressure_psi = 87` (0 when it is on but flat).",
        )),
        (State::Bare, Some(_)) => Err(table.trouble_at(
            "state",
            "a bare wheel has no pressure",
            "Either the tyre was on, `state = \"tyred\"`, or the pressure goes.",
        )),
        (_, pressure) => Ok(pressure),
    };
    let (start, counted) = order.said_by(&taken);
    Ok(Lap {
        state,
        pressure: pressure?,
        by: by?,
        start,
        counted,
        temperature_c: temperature_c?,
        taken,
    })
}

/// Whether the tyre was on. A runout lap may leave it unsaid: then it was off, and that is asked back.
fn state(
    table: &Table<'_>,
    takes: Takes,
    number: usize,
    findings: &mut Vec<Finding>,
) -> Read<State> {
    match takes {
        Takes::Reading | Takes::Pitch => table.choice("state", &STATES),
        Takes::Runout(_) => Ok(table.optional_choice("state", &STATES)?.unwrap_or_else(|| {
            findings.push(Finding {
                weight: Weight::Question,
                about: "runout-state-unsaid",
                says: format!(
                    "Lap {number} takes runout and does not say whether a tyre was on: it is taken \
                     as bare. Write `state = \"bare\"` or `state = \"tyred\"`."
                ),
                spokes: Vec::new(),
            });
            State::Bare
        })),
    }
}

/// A pressure, if one is given and a tyre can bear it.
pub(super) fn pressure(table: &Table<'_>, stem: &str) -> Read<Option<Pressure>> {
    let Some((pressure, value)) = table.optional_pressure(stem, NOT_NEGATIVE)? else {
        return Ok(None);
    };
    if pressure > HIGHEST_PRESSURE {
        return Err(value.trouble(
            format!(
                "a pressure of {:.0} bar, more than any tyre bears",
                pressure.to_bar()
            ),
            "Is the number in psi? Then the key is `pressure_psi`.",
        ));
    }
    Ok(Some(pressure))
}

/// One number for every spoke, written in brackets.
fn inline(value: &Value<'_>, range: Range, spokes: usize, columns: &str) -> Read<Vec<f64>> {
    let numbers = value.numbers(range)?;
    let off = numbers.len().abs_diff(spokes);
    if off == 0 {
        return Ok(numbers);
    }
    let way = if numbers.len() < spokes {
        "few"
    } else {
        "many"
    };
    let what = format!(
        "{} readings, but the wheel has {spokes} spokes: {off} too {way}",
        numbers.len()
    );
    let mend = if numbers.len() == 2 * spokes {
        "Decimal commas? Numbers take a point: `22.5`.".into()
    } else {
        format!(
            "Write one for each spoke, in the order taken. If spokes were left out, put the lap \
             into a CSV file with the columns {columns} and name it: `readings = \"lap.csv\"`."
        )
    };
    Err(value.trouble(what, mend))
}

/// A lap of gauge readings.
fn readings<A: Attachments>(
    table: &Table<'_>,
    order: Read<Order>,
    desk: &mut Desk<'_, A>,
) -> Read<Taken> {
    let named = table.required("gauge");
    let gauge = named.and_then(|value| match value.is_array() {
        true => Err(value.trouble(
            "two gauges in one lap",
            "Make one block `[[lap]]` for each gauge; in a CSV file a lap may have gaps.",
        )),
        false => desk.gauge(&value).map(|gauge| gauge.label),
    });
    let value = table.required("readings");
    let (order, value) = (order?, value?);
    let readings = if value.is_text() {
        let (
            file,
            Readings {
                gauge: written,
                readings,
            },
        ) = desk.attached(&value, |source| read_readings(source, order.spokes))?;
        if let (Some(written), Ok(label), Ok(named)) = (written, &gauge, named)
            && written != *label
            && named.text().as_ref() != Ok(&written)
        {
            return Err(named.trouble(
                format!("the rows of `{file}` name the gauge `{written}`"),
                "Name the gauge that took the lap, here and there the same.",
            ));
        }
        readings
    } else {
        let numbers = inline(&value, NOT_NEGATIVE, order.spokes, "`spoke`, `reading`")?;
        order
            .round()
            .zip(numbers)
            .map(|(spoke, divisions)| Reading { spoke, divisions })
            .collect()
    };
    Ok(Taken::Readings {
        gauge: gauge?,
        readings,
    })
}

/// A lap of a runout dial.
fn runout<A: Attachments>(
    table: &Table<'_>,
    axis: Axis,
    order: Read<Order>,
    wheel: &Wheel,
    desk: &mut Desk<'_, A>,
) -> Read<Taken> {
    let face = table.choice("face", &SIDES);
    let value = table.required("readings");
    let (order, value) = (order?, value?);
    let points = if value.is_text() {
        desk.attached(&value, read_runout)?.1
    } else {
        let range = Range::within(-MOST_RUNOUT_MM, MOST_RUNOUT_MM);
        let numbers = inline(&value, range, order.spokes, "`angle_deg`, `mm`")?;
        at_spokes(wheel, order.round())
            .zip(numbers)
            .map(|(at, mm)| RunoutPoint {
                at,
                displacement: Length::mm(mm),
            })
            .collect()
    };
    Ok(Taken::Runout {
        axis,
        face: face?,
        points,
    })
}

/// The angles of spokes' seats.
pub(super) fn at_spokes(
    wheel: &Wheel,
    spokes: impl Iterator<Item = SpokeIndex>,
) -> impl Iterator<Item = quantity::Angle> {
    spokes.map(|spoke| wheel.spokes[spoke.0].seat_angle())
}

/// A lap of plucked spokes.
fn pitches<A: Attachments>(
    table: &Table<'_>,
    order: Read<Order>,
    desk: &mut Desk<'_, A>,
) -> Read<Taken> {
    let value = table.required("readings");
    let (order, value) = (order?, value?);
    let hertz = if value.is_text() {
        desk.attached(&value, |source| read_pitches(source, order.spokes))?
            .1
    } else {
        let range = positive(HIGHEST_PITCH_HZ);
        order
            .round()
            .zip(inline(&value, range, order.spokes, "`spoke`, `pitch_hz`")?)
            .collect()
    };
    Ok(Taken::Pitch { hertz })
}
