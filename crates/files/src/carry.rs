//! What earlier rounds on one wheel taught, as CSV: their readings and the turns that followed.
//!
//! One row for each number: `round` (from 1), `what` (`tension_n`, `u_tension_n`, `lateral_mm`, `radial_mm`, `dish_mm` or
//! `turns`), `spoke` or `angle_deg` where it was, and its `value`. A first row `0,spokes,,,N` says of how many spokes the
//! wheel is. Everything is as it was read, so that a person may correct what was done otherwise than planned.

use crate::csv_reader::{Column, Table};
use crate::error::Error;
use crate::laps::{MOST_RUNOUT_MM, angle_of, spoke_of};
use crate::literal::{exact, number};
use crate::source::Source;
use crate::state::MOST_TENSION_N;
use metrology::lap::RunoutPoint;
use quantity::{Angle, Force, Length};
use std::ops::Range;
use truing::Round;
use truing::estimator::TensionReading;
use wheel::{SpokeIndex, Wheel};

const ROUND: &str = "round";
const WHAT: &str = "what";
const SPOKE: &str = "spoke";
const ANGLE_DEG: &str = "angle_deg";
const VALUE: &str = "value";

const SPOKES: &str = "spokes";
const TENSION_N: &str = "tension_n";
const U_TENSION_N: &str = "u_tension_n";
const LATERAL_MM: &str = "lateral_mm";
const RADIAL_MM: &str = "radial_mm";
const DISH_MM: &str = "dish_mm";
const TURNS: &str = "turns";

/// Turns of one nipple that are believed of one round: a thread has fewer.
const MOST_TURNS: f64 = 50.0;

/// Rounds that are believed of one wheel.
const MOST_ROUNDS: usize = 200;

/// The first line names the wheel between these.
const BEFORE_NAME: &str = "# rimwright: what earlier rounds on \"";
const AFTER_NAME: &str = "\" taught.";

/// The rounds of a wheel from its carry file.
///
/// # Errors
/// When a column is missing, a row says nothing known, a place does not exist, or the file is of another wheel.
pub fn read(source: &Source, wheel: &Wheel) -> Result<Vec<Round>, Error> {
    let mut table = Table::read(source, &[ROUND, WHAT, SPOKE, ANGLE_DEG, VALUE])?;
    let columns = Columns {
        round: table.required(ROUND)?,
        what: table.required(WHAT)?,
        spoke: table.required(SPOKE)?,
        angle: table.required(ANGLE_DEG)?,
        value: table.required(VALUE)?,
    };
    if let Some((other, span)) = written_for(source).filter(|(name, _)| *name != plain(&wheel.name))
    {
        let what = format!(
            "these rounds are of \"{other}\", and this wheel is \"{}\"",
            wheel.name
        );
        let mend = "Give each wheel a carry file of its own; where it is the same wheel under another name, write that into the first line.";
        table.trouble(span, what, mend);
    }
    let mut rounds: Vec<Round> = Vec::new();
    for row in 0..table.rows() {
        let what = table.text(row, columns.what).to_owned();
        let Some(value) = table.number(row, columns.value) else {
            continue;
        };
        if what == SPOKES {
            same_wheel(&mut table, row, &columns, value, wheel);
            continue;
        }
        let Some(place) = round_of(&mut table, row, &columns) else {
            continue;
        };
        if rounds.len() <= place {
            rounds.resize_with(place + 1, Round::default);
        }
        take_row(
            &mut table,
            row,
            &columns,
            wheel,
            &what,
            value,
            &mut rounds[place],
        );
    }
    table.finish()?;
    for round in &mut rounds {
        if round.turned.iter().all(|turns| *turns == 0.0) {
            round.turned.clear();
        }
    }
    while rounds.last() == Some(&Round::default()) {
        rounds.pop();
    }
    Ok(rounds)
}

/// The wheel that the first line names, and where; none where it names none.
fn written_for(source: &Source) -> Option<(&str, Range<usize>)> {
    let line = source.text().lines().next()?;
    let (name, _) = line.strip_prefix(BEFORE_NAME)?.rsplit_once(AFTER_NAME)?;
    Some((name, BEFORE_NAME.len()..BEFORE_NAME.len() + name.len()))
}

/// A name that stays on its line.
fn plain(name: &str) -> String {
    name.replace(['\n', '\r'], " ")
}

/// The rounds as a file that [`read`] reads back to the same rounds.
#[must_use]
pub fn write(rounds: &[Round], wheel: &Wheel) -> String {
    let header = [ROUND, WHAT, SPOKE, ANGLE_DEG, VALUE].join(",");
    let mut text = format!(
        "{BEFORE_NAME}{}{AFTER_NAME} Correct `turns` that were done otherwise.\n{header}\n0,{SPOKES},,,{}\n",
        plain(&wheel.name),
        wheel.spokes.len()
    );
    for (place, round) in rounds.iter().enumerate() {
        let mut row = |what: &str, spoke: Option<SpokeIndex>, angle: Option<f64>, value: f64| {
            let spoke = spoke
                .map(|spoke| spoke.number().to_string())
                .unwrap_or_default();
            let angle = angle.map(number).unwrap_or_default();
            text += &format!("{},{what},{spoke},{angle},{}\n", place + 1, number(value));
        };
        for reading in &round.readings.tensions {
            row(TENSION_N, Some(reading.spoke), None, reading.force.to_n());
            if let Some(u) = reading.u {
                row(U_TENSION_N, Some(reading.spoke), None, u.to_n());
            }
        }
        let laps = [
            (LATERAL_MM, &round.readings.lateral),
            (RADIAL_MM, &round.readings.radial),
        ];
        for (what, points) in laps {
            for point in points {
                let mm = point.displacement.to_mm();
                let mm = exact(mm, &point.displacement, Length::mm).unwrap_or(mm);
                match at_spoke(wheel, point.at) {
                    Some(spoke) => row(what, Some(spoke), None, mm),
                    None => {
                        let deg = point.at.to_deg();
                        row(
                            what,
                            None,
                            Some(exact(deg, &point.at, Angle::deg).unwrap_or(deg)),
                            mm,
                        );
                    }
                }
            }
        }
        if let Some(dish) = round.readings.dish {
            let mm = dish.to_mm();
            row(
                DISH_MM,
                None,
                None,
                exact(mm, &dish, Length::mm).unwrap_or(mm),
            );
        }
        for (spoke, &turns) in round
            .turned
            .iter()
            .enumerate()
            .filter(|(_, turns)| **turns != 0.0)
        {
            row(TURNS, Some(SpokeIndex(spoke)), None, turns);
        }
    }
    text
}

struct Columns {
    round: Column,
    what: Column,
    spoke: Column,
    angle: Column,
    value: Column,
}

fn at_spoke(wheel: &Wheel, at: Angle) -> Option<SpokeIndex> {
    wheel
        .placed()
        .find(|(_, spoke)| spoke.seat_angle() == at)
        .map(|(place, _)| place)
}

fn same_wheel(table: &mut Table, row: usize, columns: &Columns, value: f64, wheel: &Wheel) {
    let spokes = wheel.spokes.len();
    if value != spokes as f64 {
        let what =
            format!("these rounds are of a wheel with {value} spokes, and this one has {spokes}");
        table.trouble(
            table.span(row, columns.value),
            what,
            "Give each wheel a carry file of its own.",
        );
    }
}

/// The round of a row, from 0.
fn round_of(table: &mut Table, row: usize, columns: &Columns) -> Option<usize> {
    let number = table.text(row, columns.round).parse::<usize>().ok();
    let round = number.filter(|number| (1..=MOST_ROUNDS).contains(number));
    if round.is_none() {
        let what = format!("`{}` is no round", table.text(row, columns.round));
        let mend = format!("Rounds count from 1 to {MOST_ROUNDS}.");
        table.trouble(table.span(row, columns.round), what, mend);
    }
    round.map(|number| number - 1)
}

fn take_row(
    table: &mut Table,
    row: usize,
    columns: &Columns,
    wheel: &Wheel,
    what: &str,
    value: f64,
    round: &mut Round,
) {
    let spokes = wheel.spokes.len();
    let most = match what {
        TENSION_N | U_TENSION_N => MOST_TENSION_N,
        LATERAL_MM | RADIAL_MM | DISH_MM => MOST_RUNOUT_MM,
        TURNS => MOST_TURNS,
        _ => {
            let said = format!("`{what}` is nothing that a round holds");
            let mend = format!(
                "Write {TENSION_N}, {U_TENSION_N}, {LATERAL_MM}, {RADIAL_MM}, {DISH_MM} or {TURNS}."
            );
            return table.trouble(table.span(row, columns.what), said, mend);
        }
    };
    let readings = &mut round.readings;
    let at_angle = !table.text(row, columns.angle).is_empty();
    let at_spoke = !table.text(row, columns.spoke).is_empty();
    let is_runout = matches!(what, LATERAL_MM | RADIAL_MM);
    let out_of_place = match what {
        _ if at_angle && (at_spoke || !is_runout) => Some((ANGLE_DEG, columns.angle)),
        DISH_MM if at_spoke => Some((SPOKE, columns.spoke)),
        _ => None,
    };
    if let Some((name, column)) = out_of_place {
        let said = format!("`{name}` where none belongs");
        let mend = "Runout is at a spoke or at an angle, tension and turns at a spoke, the dish at neither.";
        return table.trouble(table.span(row, column), said, mend);
    }
    let least = if what == TENSION_N { 0.0 } else { -most };
    if !(least..=most).contains(&value) {
        let said = format!("`{what}` is not between {least} and {most}");
        return table.trouble(
            table.span(row, columns.value),
            said,
            "Correct the number, or delete the row.",
        );
    }
    match what {
        LATERAL_MM | RADIAL_MM => {
            let at = match at_angle {
                true => angle_of(table, row, columns.angle),
                false => spoke_of(table, row, columns.spoke, spokes)
                    .map(|spoke| wheel.spokes[spoke.0].seat_angle()),
            };
            let points = if what == LATERAL_MM {
                &mut readings.lateral
            } else {
                &mut readings.radial
            };
            points.extend(at.map(|at| RunoutPoint {
                at,
                displacement: Length::mm(value),
            }));
        }
        DISH_MM if readings.dish.is_some() => {
            let what = "a second dish of this round";
            table.trouble(
                table.span(row, columns.what),
                what,
                "Delete one of the rows.",
            );
        }
        DISH_MM => readings.dish = Some(Length::mm(value)),
        _ => {
            let Some(spoke) = spoke_of(table, row, columns.spoke, spokes) else {
                return;
            };
            match what {
                TENSION_N => {
                    readings.tensions.push(TensionReading {
                        spoke,
                        force: Force::n(value),
                        u: None,
                    });
                }
                U_TENSION_N => {
                    let of = readings
                        .tensions
                        .iter_mut()
                        .rfind(|reading| reading.spoke == spoke);
                    match of {
                        Some(reading) if reading.u.is_some() => {
                            let what = "a second uncertainty of this tension";
                            table.trouble(
                                table.span(row, columns.what),
                                what,
                                "Delete one of the rows.",
                            );
                        }
                        Some(reading) if value > 0.0 => reading.u = Some(Force::n(value)),
                        _ => {
                            let what =
                                "an uncertainty without a tension before it, or not above zero";
                            table.trouble(table.span(row, columns.value), what, "Delete the row.");
                        }
                    }
                }
                _ => {
                    round.turned.resize(spokes, 0.0);
                    let turned = &mut round.turned[spoke.0];
                    *turned += value;
                    if turned.abs() > MOST_TURNS {
                        let what =
                            format!("more than {MOST_TURNS} turns of one nipple in one round");
                        table.trouble(
                            table.span(row, columns.value),
                            what,
                            "Correct the number, or delete the row.",
                        );
                    }
                }
            }
        }
    }
}
