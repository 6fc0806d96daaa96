//! Why a wheel gets no structural answer.

use wheel::Wheel;

/// No answer exists; each says how to mend it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// Constants of the rim are missing.
    #[error(
        "[rim] does not give {}\n  Ask the rim's maker, or measure the bare rim (docs/guide/analyse.md says how). An aluminium rim that is\n  about a closed box may stand in by its mass and size: --rim-mass 430 --rim-box 20x25.",
        keys.join(", ")
    )]
    RimUnknown {
        /// The keys that the file lacks.
        keys: Vec<&'static str>,
    },
    /// The axial stiffness of spokes is missing.
    #[error(
        "axial_stiffness_n is not known for {}\n  Give it in [[kind]]: E times the section of the wire. Steel spokes whose wire_mm or blade_mm is given\n  may be taken from a handbook: --steel-spokes.",
        kinds.join(", ")
    )]
    SpokesUnknown {
        /// The kinds without it, as the file calls them.
        kinds: Vec<String>,
    },
    /// The structure has no answer.
    #[error(transparent)]
    Structure(#[from] mechanics::Error),
}

/// Refuses a wheel that lacks constants, all of them named at once.
pub(super) fn refuse_unknown(wheel: &Wheel) -> Result<(), Error> {
    let rim = &wheel.rim;
    let keys: Vec<&'static str> = [
        ("centroid_radius_mm", rim.centroid_radius.is_none()),
        ("axial_stiffness_n", rim.axial_stiffness.is_none()),
        ("in_plane_bending_n_mm2", rim.in_plane_bending.is_none()),
        ("lateral_bending_n_mm2", rim.lateral_bending.is_none()),
        ("torsion_n_mm2", rim.torsion.is_none()),
    ]
    .into_iter()
    .filter_map(|(key, missing)| missing.then_some(key))
    .collect();
    if !keys.is_empty() {
        return Err(Error::RimUnknown { keys });
    }
    let mut kinds: Vec<String> = Vec::new();
    for spoke in &wheel.spokes {
        let name = &wheel.kind_of(spoke).name;
        if wheel.axial_stiffness_of(spoke).is_none() && !kinds.contains(name) {
            kinds.push(name.clone());
        }
    }
    if !kinds.is_empty() {
        return Err(Error::SpokesUnknown { kinds });
    }
    Ok(())
}
