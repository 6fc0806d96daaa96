//! Unit-safe values and uncertain values.
//!
//! A [`Length`], [`Force`] or other quantity holds SI inside and is made and read in a named unit,
//! so that no bare number crosses a crate's boundary. An [`Uncertain`] keeps with its value what it rests on, so that
//! what two values have in common cancels where it should; a [`Budget`] lists it, and [`Rounded`] shows no digit that
//! it does not bear. Equations are cited by their numbers in `docs/theory/uncertainty.md`. The crate does no input or
//! output, reads no clock and draws from seeds alone.
//!
//! ```
//! use quantity::rounding::FinestStep;
//! use quantity::{Budget, Rounded, Sources};
//!
//! let mut sources = Sources::new();
//! let scale = sources.add("gauge scale", 1.0, 0.02, 9.0)?;
//! let bare = &scale * &sources.add("reading", 1_020.0, 6.0, f64::INFINITY)?;
//! let tyred = &scale * &sources.add("reading", 940.0, 6.0, f64::INFINITY)?;
//! let drop_percent = 100.0 * (1.0 - tyred / bare);
//!
//! let budget = Budget::of(&sources, &drop_percent);
//! assert_eq!(budget.lines.len(), 1); // the scale has cancelled
//! assert_eq!(budget.lines[0].label, "reading");
//! let shown = Rounded::new(budget.value, budget.expanded.half_width, FinestStep::PERCENT)?;
//! assert_eq!(shown.to_string(), "7.8 ± 1.6");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod unit;

pub mod angle;
pub mod force;
pub mod length;
pub mod mass;
pub mod pressure;
pub mod rigidity;
pub mod stiffness;
pub mod stress;

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
pub use rigidity::{Rigidity, WarpingRigidity};
pub use rounding::Rounded;
pub use stiffness::Stiffness;
pub use stress::Stress;
pub use uncertain::{Sources, Uncertain};
