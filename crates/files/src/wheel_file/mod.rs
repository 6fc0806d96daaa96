//! A wheel as TOML: a block per side that says how it is laced, or every spoke by its coordinates.
//!
//! `docs/guide/wheel-file.md` teaches the format. Both forms share the rim's constants, the spoke
//! kinds and what was measured; a file has either `[right]` and `[left]`, or `[[spoke]]` blocks.

mod explicit;
mod fitting;
mod laced;
mod mend;
mod parts;
mod round;
mod write;

pub(crate) use fitting::{EXPANSION, PER_MILLION};
pub use write::write;

use crate::error::Error;
use crate::source::Source;
use crate::toml_reader;
use mend::Form;
use quantity::Length;
use std::fmt;
use wheel::{Fittings, Wheel};

/// The newest format of wheel files.
pub const FORMAT: u32 = 1;

/// The wheel stands, but the builder must know.
#[derive(Debug, Clone, PartialEq)]
pub enum Finding {
    /// About its geometry and parts.
    Wheel(wheel::Finding),
    /// The dish was read off a flipping tool, which shows twice the offset.
    DishHalved {
        /// As read.
        read: Length,
        /// The offset it means.
        offset: Length,
    },
    /// The file does not say how well the flange offsets are known.
    FlangeOffsetAssumed {
        /// The standard uncertainty taken.
        u: Length,
    },
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Wheel(finding) => finding.fmt(f),
            Self::DishHalved { read, offset } => write!(
                f,
                "dish read as {} mm on a flipping tool, which shows twice the offset: {} mm",
                read.to_mm(),
                offset.to_mm()
            ),
            Self::FlangeOffsetAssumed { u } => write!(
                f,
                "flange offsets taken as known to {} mm: the wheel file does not say",
                u.to_mm()
            ),
        }
    }
}

/// The wheel in a file, with what the builder must know about it.
///
/// # Errors
/// When the text is no wheel file of this format, and when the wheel cannot be built: each trouble
/// with its place and the way to mend it.
pub fn read(source: &Source) -> Result<(Wheel, Vec<Finding>), Error> {
    toml_reader::read(source, FORMAT, |root| {
        let name = root.text("name");
        let rim = root.optional_table("rim");
        let kind_blocks = root.tables("kind");
        let measured = root.optional_table("measured");
        let fitting_blocks = root.tables("fitting");
        let hub = root.optional_table("hub");
        let spoke_blocks = root.tables("spoke");
        let right = root.optional_table("right");
        let left = root.optional_table("left");
        root.close();

        let kinds = kind_blocks.and_then(|blocks| parts::kinds(&blocks));
        let doubt = measured.and_then(|block| parts::doubt(block.as_ref()));
        let (rim, spoke_blocks, right, left) = (rim?, spoke_blocks?, right?, left?);
        let (fitting_blocks, hub) = (fitting_blocks?, hub?);
        let constants = rim.as_ref().map(parts::rim).transpose();
        let names = kinds.as_deref().unwrap_or_default();

        let diameters = doubt
            .as_ref()
            .map_or(&[][..], |(_, diameters, _)| diameters);
        let (form, spokes, flanges) = match (&rim, &right, &left) {
            (_, None, None) if !spoke_blocks.is_empty() => {
                rim.iter().for_each(toml_reader::Table::close);
                let spokes = explicit::spokes(&spoke_blocks, names);
                (
                    Form::Explicit {
                        spokes: &spoke_blocks,
                    },
                    spokes,
                    Ok(None),
                )
            }
            (Some(rim), Some(right), Some(left)) if spoke_blocks.is_empty() => {
                let laced = laced::spokes(rim, [right, left], names, diameters);
                let form = Form::Laced { rim, right, left };
                match laced {
                    Ok((spokes, flanges)) => (form, Ok(spokes), Ok(Some(flanges))),
                    Err(told) => (form, Err(told), Err(told)),
                }
            }
            _ => {
                let missing = [("rim", &rim), ("right", &right), ("left", &left)];
                return Err(mend::neither_form(root, &spoke_blocks, missing));
            }
        };
        let fittings =
            flanges.and_then(|flanges| fitting::fittings(&fitting_blocks, hub.as_ref(), flanges));
        let (doubt, seat_diameters, mut findings) = doubt?;
        let (constants, kinds, spokes) = (constants?.unwrap_or_default(), kinds?, spokes?);
        let built = Wheel::new(name?, constants, kinds, spokes.clone(), doubt);
        let (mut wheel, of_wheel) = built.map_err(|error| form.tell(root, &spokes, &error))?;
        wheel.fittings = Fittings {
            seat_diameters,
            ..fittings?
        };
        findings.extend(of_wheel.into_iter().map(Finding::Wheel));
        Ok((wheel, findings))
    })
}
