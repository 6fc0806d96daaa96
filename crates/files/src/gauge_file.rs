//! A gauge as its owner describes it, as TOML.

use crate::error::Error;
use crate::literal::{number, quoted, text};
use crate::source::Source;
use crate::toml_reader::{self, Range, Read, Table, positive};
use crate::toml_writer::{Page, millimetres};
use metrology::gauge::Gauge;
use quantity::Stiffness;

/// The newest format of gauge files.
pub const FORMAT: u32 = 1;

/// The widest gauge that is believed, in millimetres.
const WIDEST_SPAN_MM: f64 = 1000.0;

/// The stiffest spring that is believed, in newtons per millimetre.
const STIFFEST_N_PER_MM: f64 = 10_000.0;

/// The most divisions a step or a scatter is believed to have.
const MOST_DIVISIONS: f64 = 1000.0;

/// The gauge in a file.
///
/// # Errors
/// When a key is missing, unknown or holds no sensible value.
pub fn read(source: &Source) -> Result<Gauge, Error> {
    toml_reader::read(source, FORMAT, |root| {
        let label = root.text("label");
        let support_span = root.optional_length_mm("support_span_mm", positive(WIDEST_SPAN_MM));
        let spring = root.optional_number("spring_n_per_mm", positive(STIFFEST_N_PER_MM));
        let resolution = stated(
            root,
            "resolution",
            "Write the smallest step the gauge shows, in its divisions: `resolution = 0.5`.",
        );
        let repeatability = stated(
            root,
            "repeatability",
            "Take ten readings of one spoke, lifting the gauge off each time; their standard \
             deviation in divisions is the number: `repeatability = 0.25`.",
        );
        let rises_with_tension = root
            .optional("rises_with_tension")
            .map(|value| value.flag())
            .transpose();
        root.close();
        let (resolution, repeatability) = (resolution?, repeatability?);
        if resolution == 0.0 && repeatability == 0.0 {
            return Err(root.trouble_at(
                "repeatability",
                "`resolution` and `repeatability` are both 0: no gauge reads exactly",
                "Take ten readings of one spoke; their standard deviation is the repeatability.",
            ));
        }
        Ok(Gauge {
            label: label?,
            support_span: support_span?,
            spring: spring?.map(Stiffness::n_per_mm),
            resolution,
            repeatability,
            rises_with_tension: rises_with_tension?,
        })
    })
}

/// A number of divisions that only the gauge's owner can know.
fn stated(root: &Table<'_>, key: &str, mend: &str) -> Read<f64> {
    match root.optional(key) {
        Some(value) => value.number(Range::within(0.0, MOST_DIVISIONS)),
        None => Err(root.trouble(format!("`{key}` is missing in a gauge"), mend)),
    }
}

/// The gauge as a file that [`read`] reads back to the same gauge.
#[must_use]
pub fn write(gauge: &Gauge) -> String {
    let spring = (
        "n_per_mm",
        Stiffness::to_n_per_mm as fn(_) -> _,
        Stiffness::n_per_mm as fn(_) -> _,
    );
    let mut page = Page::default();
    page.key("format", FORMAT);
    page.key("label", quoted(&gauge.label));
    page.optional("support_span_mm", gauge.support_span.map(millimetres));
    page.optional(
        "spring_n_per_mm",
        gauge.spring.map(|rate| text(&spring, rate)),
    );
    page.key("resolution", number(gauge.resolution));
    page.key("repeatability", number(gauge.repeatability));
    page.optional("rises_with_tension", gauge.rises_with_tension);
    page.finish()
}
