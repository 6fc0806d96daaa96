//! What the readings say, and how surely: from raw divisions to a wheel's state with its covariance.
//!
//! Pure: no file, no clock, no draw without a seed. A value that stands with reservations comes with
//! [`Finding`]s; a value that does not exist is an error.

pub mod balance;
pub mod calibration;
pub mod chances;
pub mod conformity;
pub mod evenness;
mod finding;
pub mod fit;
pub mod gauge;
pub mod lap;
pub mod outlying;
pub mod pattern;
pub mod repeat;
pub mod rod_check;
pub mod runout;
pub mod settle;
pub mod survey;
pub mod tension;
pub mod tyre_effect;
pub mod visit;

pub use finding::{Finding, Weight};
