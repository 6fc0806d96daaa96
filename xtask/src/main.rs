//! The project's chores: one lane for each, and `ci` for all that the build server asks.
//!
//! A lane prints what it does before it does it, and says how to run it alone when it fails.

#![expect(
    clippy::disallowed_macros,
    reason = "a program for the person at the terminal"
)]

mod bench;
mod checkout;
mod ci;
mod debian;
mod demo;
mod figure;
mod fuzz;
mod lane;
mod ledger;
mod lint;
mod oracle;
mod pages;
mod stand;
mod test;
mod tidy;

use std::process::ExitCode;

use checkout::Checkout;
use lane::{LANES, Outcome};

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let Some((word, rest)) = words.split_first() else {
        print!("{}", lane::help());
        return ExitCode::SUCCESS;
    };
    if ["help", "--help", "-h"].contains(&word.as_str()) {
        print!("{}", lane::help());
        return ExitCode::SUCCESS;
    }
    let Some(lane) = LANES.iter().find(|lane| lane.word == word) else {
        eprintln!("there is no lane `{word}`\n");
        eprint!("{}", lane::help());
        return ExitCode::from(2);
    };
    match Checkout::here().and_then(|checkout| lane.start(&checkout, rest)) {
        Ok(Outcome::Done) => ExitCode::SUCCESS,
        Ok(Outcome::Skipped(why)) => {
            println!("skipped `{word}`: {why}");
            ExitCode::SUCCESS
        }
        Ok(Outcome::Told) => ExitCode::FAILURE,
        Err(trouble) => {
            eprintln!("\n{}", lane.failed(&trouble));
            ExitCode::FAILURE
        }
    }
}
