//! Hang tests as TOML: a weight on the rim of a held wheel, and what a dial showed.

use crate::error::Error;
use crate::source::Source;
use crate::toml_reader::{self, Range, Read, Table, positive};
use mechanics::hang_test::{Hang, Way};
use quantity::force::NEWTONS_PER_KGF;
use quantity::{Angle, Force};
use wheel::{SpokeIndex, Wheel};

/// The newest format of hang files.
pub const FORMAT: u32 = 1;

/// Bounds beyond which a number is taken for a slip.
const MOST_MASS_KG: f64 = 500.0;
const MOST_FORCE: f64 = 5000.0;
const MOST_MOVED_MM: f64 = 100.0;

const WAYS: [(&str, Way); 2] = [("radial", Way::Radial), ("lateral", Way::Lateral)];

/// The hang tests in a file, their places by the spokes of this wheel.
///
/// # Errors
/// When a key is missing, unknown or holds no sensible value.
pub fn read(source: &Source, wheel: &Wheel) -> Result<Vec<Hang>, Error> {
    toml_reader::read(source, FORMAT, |root| {
        let blocks = root.tables("hang");
        root.close();
        let blocks = blocks?;
        if blocks.is_empty() {
            return Err(root.trouble("there is no [[hang]] block", "Write one for every reading."));
        }
        let hangs: Vec<Read<Hang>> = blocks.iter().map(|block| hang(block, wheel)).collect();
        hangs.into_iter().collect()
    })
}

fn hang(table: &Table<'_>, wheel: &Wheel) -> Read<Hang> {
    let way = table.choice("way", &WAYS);
    let force = pull(table);
    let spoke = |key| {
        let number = table
            .optional(key)
            .map(|value| value.count(1, wheel.spokes.len()))
            .transpose()?;
        Ok(number.map(|number| SpokeIndex(number - 1)))
    };
    let (at_spoke, read_at) = (spoke("at_spoke"), spoke("read_at_spoke"));
    let at_deg = table.optional_angle_deg("at_deg", Range::within(0.0, 360.0));
    let moved = table.length_mm("moved_mm", Range::within(-MOST_MOVED_MM, MOST_MOVED_MM));
    let u = table.length_mm("u_mm", positive(MOST_MOVED_MM));
    table.close();
    let at: Angle = match (at_spoke?, at_deg?) {
        (Some(spoke), None) => wheel.spokes[spoke.0].seat_angle(),
        (None, Some(angle)) => angle,
        _ => {
            return Err(table.trouble(
                "where the weight hangs is not said, or twice",
                "Write `at_spoke`, the number of the spoke at whose seat it hangs, or `at_deg`, degrees from the valve hole.",
            ));
        }
    };
    Ok(Hang {
        way: way?,
        force: force?,
        at,
        read_at: read_at?,
        moved: moved?,
        u: u?,
    })
}

/// The weight's pull: of a mass hung on the rim, or a force read off a scale.
fn pull(table: &Table<'_>) -> Read<Force> {
    let mass = table.optional_number("mass_kg", positive(MOST_MASS_KG));
    let force = table.optional_force("force", positive(MOST_FORCE));
    match (mass?, force?) {
        (Some(kg), None) => Ok(Force::n(kg * NEWTONS_PER_KGF)),
        (None, Some((force, _))) => Ok(force),
        _ => Err(table.trouble(
            "the pull is not given, or twice",
            "Write `mass_kg`, the mass hung on the rim, or the force that a scale showed: `force_kgf` or `force_n`.",
        )),
    }
}
