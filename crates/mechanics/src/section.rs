//! The rim's section: what its centroid line answers to a force and a moment.
//!
//! Components stand in the local axes (outward, along the rim counter-clockwise, to the right).

use crate::error::Error;
use nalgebra::Vector3;
use quantity::Length;
use wheel::Rim;

/// A shear centre farther from the centroid than this share of the radius belongs to another rim.
const SHEAR_CENTRE_REACH: f64 = 0.25;

/// Elastic constants of the rim about its centroid circle, in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Section {
    pub(crate) radius_m: f64,
    pub(crate) axial_n: f64,
    pub(crate) in_plane_n_m2: f64,
    pub(crate) lateral_n_m2: f64,
    pub(crate) torsion_n_m2: f64,
    /// Distance of the shear centre outward of the centroid.
    pub(crate) shear_centre_m: f64,
    /// EC_w.
    pub(crate) warping_n_m4: f64,
}

impl Section {
    /// The section of a rim whose constants are all known.
    ///
    /// # Errors
    /// [`Error::RimUnknown`] for a missing constant, [`Error::NotPositive`] for one that is no positive number,
    /// [`Error::Negative`] for a warping below nothing, [`Error::ShearCentreOffRim`].
    pub(crate) fn of(rim: &Rim) -> Result<Self, Error> {
        let positive = |what: &'static str, value: Option<f64>| match value {
            None => Err(Error::RimUnknown { what }),
            Some(value) if value.is_finite() && 0.0 < value => Ok(value),
            Some(value) => Err(Error::NotPositive {
                what: what.into(),
                value,
            }),
        };
        let section = Self {
            radius_m: positive("centroid radius", rim.centroid_radius.map(Length::to_m))?,
            axial_n: positive("axial stiffness", rim.axial_stiffness.map(|ea| ea.to_n()))?,
            in_plane_n_m2: positive(
                "in-plane bending",
                rim.in_plane_bending.map(|ei| ei.to_n_m2()),
            )?,
            lateral_n_m2: positive(
                "lateral bending",
                rim.lateral_bending.map(|ei| ei.to_n_m2()),
            )?,
            torsion_n_m2: positive("torsion", rim.torsion.map(|gj| gj.to_n_m2()))?,
            shear_centre_m: rim.shear_centre_outward.to_m(),
            warping_n_m4: rim.warping.to_n_m4(),
        };
        if !(section.warping_n_m4.is_finite() && 0.0 <= section.warping_n_m4) {
            return Err(Error::Negative {
                what: "warping",
                value: section.warping_n_m4,
            });
        }
        let offset = section.shear_centre_m.abs();
        if offset.is_nan() || SHEAR_CENTRE_REACH * section.radius_m < offset {
            return Err(Error::ShearCentreOffRim {
                distance_mm: section.shear_centre_m * 1e3,
            });
        }
        Ok(section)
    }

    /// The moment that twists the section about its shear centre.
    pub(crate) fn torque(&self, force: &Vector3<f64>, moment: &Vector3<f64>) -> f64 {
        moment[1] + self.shear_centre_m * force[2]
    }

    /// The rate of twist where nothing resists warping; eq. 3.3.
    pub(crate) fn free_twist(&self, force: &Vector3<f64>, moment: &Vector3<f64>) -> f64 {
        self.torque(force, moment) / self.torsion_n_m2
    }

    /// Stretch of the centroid line and change of its curvature under a force, a moment and a rate of twist; eq. 3.3.
    pub(crate) fn strain(
        &self,
        force: &Vector3<f64>,
        moment: &Vector3<f64>,
        twist: f64,
    ) -> (Vector3<f64>, Vector3<f64>) {
        (
            Vector3::new(0.0, force[1] / self.axial_n, self.shear_centre_m * twist),
            Vector3::new(
                moment[0] / self.lateral_n_m2,
                twist,
                moment[2] / self.in_plane_n_m2,
            ),
        )
    }
}
