//! How a wheel answers load and tension.
//!
//! Pure: the same wheel gives the same answer. Nothing here knows how anything was measured.
//! The rim is an exact elastic curve between nodes, spokes are bars on stiff seat arms, the hub is
//! rigid; what both carry in the tensioned state is part of every answer (theory §3).

#[cfg(test)]
extern crate self as mechanics; // the wheels of the outer tests serve the inner ones too

pub mod statics;

mod bay;
mod curve;
mod cyclic;
mod follow;
mod growth;
mod mesh;
mod pairs;
mod rigidity;
mod section;
mod spring;
mod tangent;
#[cfg(test)]
mod textbook;
mod twisting;
mod unknowns;

pub mod buckling;
pub mod endurance;
pub mod error;
pub mod frequency;
pub mod hang_test;
pub mod influence;
pub mod line_load;
pub mod pitch;
pub mod ride;
pub mod section_shape;
pub mod self_stress;
pub mod shrink;
pub mod slack;
pub mod stiffness;
pub mod structure;
pub mod temperature;
pub mod turned;
pub mod tyre;

pub use error::{Error, Finding};
pub use structure::{State, Structure};
