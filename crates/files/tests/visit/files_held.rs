//! A wheel of eight spokes and a visit of it, in memory.

use files::{Source, visit_file};
use jiff::Timestamp;
use metrology::Finding;
use metrology::visit::Visit;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// The files a visit names, by name.
pub(crate) type Held = BTreeMap<String, Vec<u8>>;

/// Spokes of the wheel.
pub(crate) const SPOKES: usize = 8;

/// Right spokes, the odd numbers, are `bladed`; left ones, the even numbers, `round`.
fn wheel() -> String {
    let mut text = String::from(
        "format = 1\nname = \"harbour front\"\n\n[[kind]]\nname = \"bladed\"\n\n[[kind]]\nname = \"round\"\n",
    );
    for place in 0..SPOKES {
        let angle = (place as f64 + 0.5) * std::f64::consts::TAU / SPOKES as f64;
        let (side, z, kind) = if place % 2 == 0 {
            ("right", 30.0, "bladed")
        } else {
            ("left", -30.0, "round")
        };
        let (x, y) = (angle.cos(), angle.sin());
        let _ = write!(
            text,
            "\n[[spoke]]\nside = \"{side}\"\nkind = \"{kind}\"\nhub_mm = [{}, {}, {z}]\nseat_mm = [{}, {}, 0.0]\n",
            20.0 * x,
            20.0 * y,
            295.0 * x,
            295.0 * y,
        );
    }
    text
}

/// A gauge's file.
pub(crate) fn gauge(label: &str) -> String {
    format!("format = 1\nlabel = \"{label}\"\nresolution = 0.5\nrepeatability = 0.25\n")
}

/// The files of the workshop.
pub(crate) fn held() -> Held {
    [
        ("front.toml", wheel()),
        ("gauge-2.toml", gauge("G2")),
        ("gauge-3.toml", gauge("G3")),
        (
            "gauge-2-bladed.csv",
            "reading,force_kgf\n20,70\n22,90\n24,115\n".into(),
        ),
        (
            "gauge-2-round.csv",
            "reading,force_kgf\n21,70\n23,90\n25,115\n".into(),
        ),
        ("bare.csv", "spoke,reading\n1,22.5\n2,23\n4,22\n".into()),
        (
            "right-face.csv",
            "angle_deg,mm\n0,0.02\n120,-0.05\n240,0.1\n".into(),
        ),
        ("pluck.csv", "spoke,pitch_hz\n8,402\n7,398.5\n".into()),
    ]
    .into_iter()
    .map(|(name, text)| (name.to_owned(), text.into_bytes()))
    .collect()
}

/// What every visit here begins with.
pub(crate) const HEAD: &str =
    "format = 1\nwheel = \"front.toml\"\ntaken = 2026-03-04T10:20:00+01:00\nby = \"M\"\n";

/// Both calibrations of gauge G2.
pub(crate) const CALIBRATIONS: &str = "\n[[calibration]]\nspoke = \"bladed\"\ngauge = \"gauge-2.toml\"\n\
     points = \"gauge-2-bladed.csv\"\n\n[[calibration]]\nspoke = \"round\"\ngauge = \"gauge-2.toml\"\n\
     points = \"gauge-2-round.csv\"\n";

/// A day after the visit.
pub(crate) fn now() -> Timestamp {
    "2026-03-05T09:00:00Z".parse().expect("an instant")
}

/// Reads a visit with the workshop's files.
pub(crate) fn read_with(
    visit: &[u8],
    mut held: Held,
) -> Result<(Visit, Vec<Finding>), files::Error> {
    let source = Source::from_bytes("visit.toml", visit)?;
    visit_file::read(&source, now(), &mut held)
}

/// The visit with these lines behind its head.
pub(crate) fn read(lines: &str) -> (Visit, Vec<Finding>) {
    let text = format!("{HEAD}{lines}");
    read_with(text.as_bytes(), held()).unwrap_or_else(|error| panic!("{error}"))
}

/// Why the visit with these lines behind its head is refused.
pub(crate) fn refused(lines: &str) -> String {
    refused_whole(&format!("{HEAD}{lines}"))
}

/// Why the visit of this text is refused.
pub(crate) fn refused_whole(text: &str) -> String {
    match read_with(text.as_bytes(), held()) {
        Ok(_) => panic!("read, though it is wrong:\n{text}"),
        Err(error) => error.to_string(),
    }
}
