//! The rim as an elastic ring.

use quantity::{Force, Length, Rigidity};

/// The rim's centroid and its constants, as far as they are known.
#[derive(Debug, Clone, PartialEq)]
pub struct Rim {
    /// Radius of the section's centroid.
    pub centroid_radius: Option<Length>,
    /// EA.
    pub axial_stiffness: Option<Force>,
    /// EI for bending in the wheel's plane.
    pub in_plane_bending: Option<Rigidity>,
    /// EI for bending out of the wheel's plane.
    pub lateral_bending: Option<Rigidity>,
    /// GJ.
    pub torsion: Option<Rigidity>,
}
