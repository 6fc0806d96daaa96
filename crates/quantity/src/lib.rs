//! Unit-safe values and uncertain values.
//!
//! A [`Length`], [`Force`] or other quantity holds SI inside and is made and read in a named unit,
//! so that no bare number crosses a crate's boundary. The crate does no input or output.

mod unit;

pub mod angle;
pub mod force;
pub mod length;
pub mod mass;
pub mod pressure;
pub mod rigidity;
pub mod stiffness;

pub use angle::Angle;
pub use force::Force;
pub use length::Length;
pub use mass::Mass;
pub use pressure::Pressure;
pub use rigidity::Rigidity;
pub use stiffness::Stiffness;
