//! `rimwright`: from readings on a wheel to a verdict that can be signed for.
//!
//! Reads the command line, calls one use-case, prints its view. No logic of its own.

mod analyse;
mod calibrate;
mod ending;
mod report;
mod survey;
mod table;

use clap::{Parser, Subcommand, ValueEnum};
use quantity::force::ForceUnit;
use std::process::ExitCode;

/// From gauge readings on a bicycle wheel to tensions with their uncertainty, verdicts and a report.
///
/// Stretch a spoke on the rig and calibrate the gauge on it; take laps of readings, tyre off and tyre
/// on; survey the visit; hand over the report. Every number carries its unit and its uncertainty, every
/// verdict what it rests on. Evidence, not permission to ride: makers' limits prevail.
#[derive(Debug, Parser)]
#[command(name = "rimwright", version, max_term_width = 100)]
struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Calibrate(calibrate::Arguments),
    Survey(survey::Arguments),
    Report(report::Arguments),
    Analyse(analyse::Arguments),
}

/// The unit in which forces are shown; JSON is always in newtons.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Units {
    /// Kilograms-force.
    Kgf,
    /// Newtons.
    N,
    /// Pounds-force.
    Lbf,
}

impl From<Units> for ForceUnit {
    fn from(units: Units) -> Self {
        match units {
            Units::Kgf => Self::Kgf,
            Units::N => Self::N,
            Units::Lbf => Self::Lbf,
        }
    }
}

fn main() -> ExitCode {
    let done = match Arguments::parse().verb {
        Verb::Calibrate(arguments) => calibrate::run(&arguments),
        Verb::Survey(arguments) => survey::run(&arguments),
        Verb::Report(arguments) => report::run(&arguments),
        Verb::Analyse(arguments) => analyse::run(&arguments),
    };
    ending::code(done)
}
