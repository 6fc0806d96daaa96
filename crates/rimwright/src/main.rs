//! `rimwright`: from readings on a wheel to a verdict that can be signed for.
//!
//! Reads the command line, calls one use-case, prints its view. No logic of its own.

mod analyse;
mod backup;
mod build;
mod calibrate;
mod data;
mod demo;
mod doctor;
mod ending;
mod export;
mod import;
mod number;
mod plan;
mod progress;
mod report;
mod restore;
mod stand;
mod survey;
mod table;
mod trace;

use clap::{Parser, Subcommand, ValueEnum};
use quantity::force::ForceUnit;
use std::process::ExitCode;

/// From gauge readings on a bicycle wheel to tensions with their uncertainty, verdicts and a report.
///
/// Stretch a spoke on the rig and calibrate the gauge on it; take laps of readings, tyre off and tyre
/// on; survey the visit; hand over the report. Without a verb the pages are served. Every number carries its unit and its uncertainty, every
/// verdict what it rests on. Evidence, not permission to ride: makers' limits prevail.
#[derive(Debug, Parser)]
#[command(name = "rimwright", version, max_term_width = 100)]
struct Arguments {
    #[command(subcommand)]
    verb: Option<Verb>,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Calibrate(calibrate::Arguments),
    Survey(survey::Arguments),
    Report(report::Arguments),
    Analyse(analyse::Arguments),
    Stand(stand::Arguments),
    Import(import::Arguments),
    Export(export::Arguments),
    Backup(backup::Arguments),
    Restore(restore::Arguments),
    Trace(trace::Arguments),
    Doctor(doctor::Arguments),
    Demo(demo::Arguments),
    Build(build::Arguments),
    Plan(plan::Arguments),
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
    let verb = Arguments::parse().verb;
    let done = match verb.unwrap_or_else(|| Verb::Stand(stand::Arguments::default())) {
        Verb::Calibrate(arguments) => calibrate::run(&arguments),
        Verb::Survey(arguments) => survey::run(&arguments),
        Verb::Report(arguments) => report::run(&arguments),
        Verb::Analyse(arguments) => analyse::run(&arguments),
        Verb::Stand(arguments) => stand::run(&arguments),
        Verb::Import(arguments) => import::run(&arguments),
        Verb::Export(arguments) => export::run(&arguments),
        Verb::Backup(arguments) => backup::run(&arguments),
        Verb::Restore(arguments) => restore::run(&arguments),
        Verb::Trace(arguments) => trace::run(&arguments),
        Verb::Doctor(arguments) => doctor::run(&arguments),
        Verb::Demo(arguments) => demo::run(&arguments),
        Verb::Build(arguments) => build::run(&arguments),
        Verb::Plan(arguments) => plan::run(&arguments),
    };
    ending::code(done)
}
