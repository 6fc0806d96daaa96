//! Unit-safe values and uncertain values.
//!
//! A [`Length`], [`Force`] or other quantity holds SI inside and is made and read in a named unit,
//! so that no bare number crosses a crate's boundary. An [`Uncertain`] keeps with its value what it rests on, so that
//! what two values have in common cancels where it should; a [`Budget`] lists it, and [`Rounded`] shows no digit that
//! it does not bear. Equations are cited by their numbers in `docs/theory/uncertainty.md`. The crate does no input or
//! output, reads no clock and draws from seeds alone.

mod unit;

pub mod angle;
pub mod force;
pub mod length;
pub mod mass;
pub mod pressure;
pub mod rigidity;
pub mod stiffness;

pub mod covariance;
pub mod uncertain;

pub mod budget;
pub mod rounding;

pub mod distribution;
pub mod draws;
pub mod monte_carlo;

pub use angle::Angle;
pub use budget::Budget;
pub use covariance::Covariance;
pub use force::Force;
pub use length::Length;
pub use mass::Mass;
pub use pressure::Pressure;
pub use rigidity::Rigidity;
pub use rounding::Rounded;
pub use stiffness::Stiffness;
pub use uncertain::{Sources, Uncertain};
