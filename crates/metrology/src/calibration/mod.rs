//! From rig points to a curve that answers both ways, force at a reading and reading at a force.

mod curve;
pub mod deflection;
mod known;
mod rig;
mod shape;

pub use curve::{Answer, Curve, DrawnCurve, End, Estimate};
pub use known::{Before, Known, Origin, spring_behind};
pub use rig::{Calibrated, Error, Family, Loop, Residual, Trial, calibrate};
pub use shape::Shape;
