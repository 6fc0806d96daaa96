//! A rig as its owner describes it, as TOML: what warmth does to a spoke stretched in it.

use crate::error::Error;
use crate::source::Source;
use crate::toml_reader::{self, Range, positive};
use crate::wheel_file::{EXPANSION, PER_MILLION};
use mechanics::temperature::Rig;
use quantity::{Force, Length};

/// The newest format of rig files.
pub const FORMAT: u32 = 1;

/// Bounds beyond which a number is taken for a slip.
const MOST_LENGTH_MM: f64 = 2000.0;
const MOST_STIFFNESS_N: f64 = 1e8;
const MOST_GIVE_UM_PER_N: f64 = 100.0;

/// The rig in a file, with the spoke that is stretched in it.
///
/// # Errors
/// When a key is missing, unknown or holds no sensible value.
pub fn read(source: &Source) -> Result<Rig, Error> {
    toml_reader::read(source, FORMAT, |root| {
        let length = root.length_mm("length_mm", positive(MOST_LENGTH_MM));
        let axial_stiffness = root.number("axial_stiffness_n", positive(MOST_STIFFNESS_N));
        let spoke = root.number("expansion_um_per_m_k", EXPANSION);
        let frame = root.number("frame_expansion_um_per_m_k", EXPANSION);
        let give = root.number("give_um_per_n", Range::within(0.0, MOST_GIVE_UM_PER_N));
        root.close();
        Ok(Rig {
            axial_stiffness: Force::n(axial_stiffness?),
            length: length?,
            spoke_per_k: PER_MILLION.2(spoke?),
            frame_per_k: PER_MILLION.2(frame?),
            compliance_m_per_n: Length::mm(give? * 1e-3).to_m(),
        })
    })
}
