//! Keys that a table does not know: what was meant.

use crate::error::brief;

/// Suffixes that name a unit in a key, longer ones first where one ends another.
const UNITS: [&str; 30] = [
    "um_per_m_k",
    "n_per_mm",
    "n_mm2",
    "n_mm4",
    "n_m2",
    "nmm2",
    "nm2",
    "percent",
    "mpa",
    "gpa",
    "kgf",
    "lbf",
    "kpa",
    "bar",
    "psi",
    "mbar",
    "mm",
    "cm",
    "inch",
    "um",
    "deg",
    "rad",
    "kn",
    "kg",
    "lb",
    "mg",
    "in",
    "n",
    "m",
    "g",
];

/// Similarity (0 to 1) from which on a known key is worth asking about.
const SIMILAR: f64 = 0.75;

/// The key without its unit, and the unit.
pub(super) fn split_unit(key: &str) -> (&str, Option<&str>) {
    UNITS
        .iter()
        .find_map(|unit| Some((key.strip_suffix(unit)?.strip_suffix('_')?, Some(*unit))))
        .unwrap_or((key, None))
}

/// What is wrong with a key that stands in no list, how to mend it, and the known key it was meant to
/// be, if one is near.
pub(crate) struct Unknown {
    pub(crate) what: String,
    pub(crate) mend: String,
    pub(crate) meant: Vec<String>,
}

/// Judges `key`, which is none of `known`, in the place people call `place`; `noun` is what they call
/// a key there.
pub(crate) fn unknown(key: &str, known: &[String], noun: &str, place: &str) -> Unknown {
    let (stem, unit) = split_unit(key);
    let same: Vec<&String> = known
        .iter()
        .filter(|known| split_unit(known).0 == stem)
        .collect();
    let list = |keys: &[&String]| {
        keys.iter()
            .map(|key| format!("`{key}`"))
            .collect::<Vec<_>>()
            .join(" or ")
    };
    if !same.is_empty() {
        let meant = same.iter().map(|&key| key.clone()).collect();
        let is_force = same
            .iter()
            .any(|key| matches!(split_unit(key).1, Some("n" | "kgf" | "lbf")));
        let takes_unit = same.iter().any(|key| split_unit(key).1.is_some());
        let (what, mend) = match unit {
            Some(unit) if !takes_unit => (
                format!(
                    "`{key}` is given in {unit}, but {} has no unit",
                    list(&same)
                ),
                format!(
                    "Give {} as it was read, without converting it.",
                    list(&same)
                ),
            ),
            Some("kg") if is_force => (
                format!("`{key}` gives a force in kg, but kg is a mass"),
                format!("kgf or N? Write `{stem}_kgf` or `{stem}_n`, whichever the number is."),
            ),
            Some(unit) => (
                format!("`{key}` is given in {unit}"),
                format!("Give it as {}, converting the number.", list(&same)),
            ),
            None => (
                format!("`{key}` does not say its unit"),
                format!("Give it as {}.", list(&same)),
            ),
        };
        return Unknown { what, mend, meant };
    }
    let what = format!("unknown {noun} `{}` in {place}", brief(key));
    let likeness = |known: &String| strsim::jaro_winkler(&key.to_lowercase(), known);
    let nearest = known
        .iter()
        .max_by(|a, b| likeness(a).total_cmp(&likeness(b)));
    match nearest.filter(|nearest| likeness(nearest) >= SIMILAR) {
        Some(nearest) => Unknown {
            what,
            mend: format!("Did you mean `{nearest}`?"),
            meant: vec![nearest.clone()],
        },
        None => {
            let mut keys: Vec<&String> = known.iter().collect();
            keys.sort();
            let known = keys
                .iter()
                .map(|key| format!("`{key}`"))
                .collect::<Vec<_>>()
                .join(", ");
            Unknown {
                what,
                mend: format!("Known here: {known}."),
                meant: Vec::new(),
            }
        }
    }
}
