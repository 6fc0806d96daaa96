//! What a degree does to the tensions of a wheel whose parts' expansion is known.

use crate::view::WarmthView;
use mechanics::Structure;
use mechanics::temperature::Expansion;
use wheel::{Side, Wheel};

/// What to write into a wheel file where warmth cannot be reckoned.
pub(crate) const ASKED_FOR: &str = "give expansion_um_per_m_k in [rim], [hub] and every [[kind]]";

/// The expansion of all parts; none when one of them is not known.
fn expansion(wheel: &Wheel) -> Option<Expansion> {
    let kinds: Option<Vec<f64>> = wheel
        .kinds
        .iter()
        .map(|kind| kind.expansion_per_k)
        .collect();
    Some(Expansion {
        rim_per_k: wheel.rim.expansion_per_k?,
        hub_per_k: wheel.fittings.hub_expansion_per_k?,
        kinds_per_k: kinds?,
    })
}

/// What a kelvin does to the mean of each side of the wheel that `structure` was made of; none when an expansion is
/// not known.
///
/// # Errors
/// As [`Structure::tension_per_kelvin`].
pub(crate) fn per_kelvin(
    wheel: &Wheel,
    structure: &Structure,
) -> Result<Option<WarmthView>, mechanics::Error> {
    let Some(expansion) = expansion(wheel) else {
        return Ok(None);
    };
    let per_k = structure.tension_per_kelvin(wheel, &expansion)?;
    let mean = |side: Side| {
        let of_side = wheel.placed().filter(|(_, spoke)| spoke.side == side);
        let (sum, count) = of_side.fold((0.0, 0.0), |(sum, count), (place, _)| {
            (sum + per_k[place.0], count + 1.0)
        });
        sum / count
    };
    Ok(Some(WarmthView {
        right_n_per_k: mean(Side::Right),
        left_n_per_k: mean(Side::Left),
    }))
}
