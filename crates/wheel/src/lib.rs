//! What a wheel is: parts, lacing and geometry as checked data. No solver, no input or output.
//!
//! Axes are right-handed with the origin at the hub's centre; z runs along the axle, positive to
//! the right (drive) side. Angles count from the valve hole, counter-clockwise seen from the right.
//! Spoke 1 is the first after the valve hole by seat angle; at equal angles the right one comes first.
//! A [`Wheel`] that exists is consistent: every spoke has a length, a side and a kind.

mod geometry;
mod hub;
mod lacing;
pub mod limit;
mod rim;
mod side;
mod spoke;

pub use geometry::{GeometryDoubt, Point, Wheel};
pub use side::Side;
pub use spoke::{Head, KindIndex, Role, Section, Spoke, SpokeIndex, SpokeKind};
