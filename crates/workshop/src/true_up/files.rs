//! The files of a plan.

use crate::take_in;
use files::state::{self, StateFile};
use files::{carry, laps};
use metrology::lap::RunoutPoint;
use std::path::Path;
use truing::Round;
use wheel::Wheel;

/// The state of a wheel in a file.
///
/// # Errors
/// [`take_in::Error`] when the file cannot be read or is wrong.
pub fn state(path: &Path, wheel: &Wheel) -> Result<StateFile, take_in::Error> {
    Ok(state::read(&take_in::source(path)?, wheel)?)
}

/// A runout lap in a file.
///
/// # Errors
/// [`take_in::Error`] when the file cannot be read or is wrong.
pub fn runout(path: &Path) -> Result<Vec<RunoutPoint>, take_in::Error> {
    Ok(laps::read_runout(&take_in::source(path)?)?)
}

/// The rounds in a carry file; none when there is no such file yet.
///
/// # Errors
/// [`take_in::Error`] when the file cannot be read or is wrong.
pub fn carried(path: &Path, wheel: &Wheel) -> Result<Vec<Round>, take_in::Error> {
    if !path.exists() {
        return Ok(Vec::new());
    }
    Ok(carry::read(&take_in::source(path)?, wheel)?)
}

/// The rounds as the text of a carry file.
#[must_use]
pub fn to_carry(rounds: &[Round], wheel: &Wheel) -> String {
    carry::write(rounds, wheel)
}

/// Why a wheel gets no plan.
#[derive(Debug, thiserror::Error)]
#[error("{wheel}: {error}")]
pub struct NoPlan {
    /// Its file.
    pub wheel: String,
    /// What is missing.
    pub error: truing::Error,
}
