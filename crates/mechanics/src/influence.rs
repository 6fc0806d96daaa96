//! What a nipple's turn does to every other spoke and to the rim's run.

use crate::error::Error;
use crate::structure::{Structure, on_tangent};
use crate::tangent::Tangent;
use quantity::Angle;

/// Effect per millimetre by which one spoke's natural length is shortened.
#[derive(Debug, Clone, PartialEq)]
pub struct Influence {
    /// `[i][j]`: on the tension of spoke `i` of shortening spoke `j`.
    pub tension_n_per_mm: Vec<Vec<f64>>,
    /// Where the next two were asked.
    pub angles: Vec<Angle>,
    /// `[a][j]`: rim centroid at angle `a`, positive to the right.
    pub lateral_mm_per_mm: Vec<Vec<f64>>,
    /// `[a][j]`: rim centroid at angle `a`, positive outward.
    pub radial_mm_per_mm: Vec<Vec<f64>>,
}

impl Structure {
    /// The influence of every spoke, runout at the seats, in the order of the wheel.
    ///
    /// # Errors
    /// See [`Structure::influence`].
    pub fn influence_at_spokes(&self) -> Result<Influence, Error> {
        let seats: Vec<_> = self.seats.iter().map(|&seat| Angle::rad(seat)).collect();
        self.influence(&seats)
    }

    /// The influence of shortening every spoke on every tension and on the runout at `angles`; eq. 3.18.
    ///
    /// # Errors
    /// [`Error::RimOverloaded`] when an arc alone would collapse.
    pub fn influence(&self, angles: &[Angle]) -> Result<Influence, Error> {
        on_tangent!(self, tangent => self.influence_by(tangent, angles))
    }

    fn influence_by<const N: usize>(
        &self,
        tangent: &Tangent<N>,
        angles: &[Angle],
    ) -> Result<Influence, Error> {
        let asked: Vec<_> = angles.iter().map(|angle| angle.to_rad()).collect();
        let followers = tangent.mesh.followers(&asked)?;
        let spokes = self.spokes();
        let mut influence = Influence {
            tension_n_per_mm: vec![vec![0.0; spokes]; spokes],
            angles: angles.to_vec(),
            lateral_mm_per_mm: vec![vec![0.0; spokes]; angles.len()],
            radial_mm_per_mm: vec![vec![0.0; spokes]; angles.len()],
        };
        for turned in 0..spokes {
            let moved = tangent.answer(tangent.shortening(turned));
            for (spoke, change_n_per_m) in tangent.tension_changes_n(&moved).into_iter().enumerate()
            {
                influence.tension_n_per_mm[spoke][turned] = change_n_per_m * 1e-3;
            }
            influence.tension_n_per_mm[turned][turned] +=
                tangent.mesh.springs[turned].shortening_n_per_m() * 1e-3;
            for (row, follower) in followers.iter().enumerate() {
                let shift = follower.displacement(&moved, 0.0);
                influence.radial_mm_per_mm[row][turned] = shift[0];
                influence.lateral_mm_per_mm[row][turned] = shift[2];
            }
        }
        Ok(influence)
    }
}
