//! What a wheel is: parts, lacing and geometry as checked data. No solver, no input or output.
//!
//! Axes are right-handed with the origin at the hub's centre; z runs along the axle, positive to
//! the right (drive) side. Angles count from the valve hole, counter-clockwise seen from the right.
//! Spoke 1 is the first after the valve hole by seat angle; at equal angles the right one comes first.
//! A [`Wheel`] made by [`Wheel::new`] is consistent: every spoke has a length, a side and a kind, its
//! own hole in the flange and its own seat in the rim.

mod check;
pub mod clash;
mod error;
mod finding;
mod fitting;
mod geometry;
mod hub;
pub mod lacing;
pub mod length;
pub mod limit;
mod nipple;
mod period;
mod point;
mod rim;
mod side;
mod spoke;

pub use error::{Error, Measure, Place};
pub use finding::Finding;
pub use fitting::{Fitting, Fittings, FlangeBody};
pub use geometry::{GeometryDoubt, UNMEASURED_DISH_U, Wheel};
pub use hub::Flange;
pub use lacing::Lacing;
pub use nipple::{End, Nipple, NippleFit, THREAD_PITCH};
pub use point::Point;
pub use rim::{Drilling, Rim, Seat};
pub use side::Side;
pub use spoke::{Endurance, Head, KindIndex, Role, Section, Spoke, SpokeIndex, SpokeKind};
