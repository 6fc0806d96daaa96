//! From rig points to a curve that answers both ways, force at a reading and reading at a force.

mod contradiction;
mod curve;
pub mod deflection;
mod error;
mod family;
mod known;
mod rig;
mod shape;

pub use curve::{Answer, Curve, DrawnCurve, End, Estimate};
pub use error::Error;
pub use family::{Family, Trial};
pub use known::{Before, Known, Origin, spring_behind};
pub use rig::{Calibrated, Loop, Residual, calibrate};
pub use shape::Shape;
