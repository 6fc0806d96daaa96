//! The text alternative: the numbers that matter, in the caller's own words.

use crate::figure::{Level, Mark, Reach, StripSpoke, UnrolledRim};
use crate::svg::turn;
use crate::words::fit;
use wheel::Side;

/// The word beside a spoke: the caller's, else what its shape means.
pub(super) fn word(spoke: &StripSpoke) -> String {
    let word = fit(spoke.word.trim());
    if !word.is_empty() {
        return word;
    }
    match (spoke.level, spoke.mark) {
        (Level::NotRead, _) => "not read".to_owned(),
        (Level::MoreThan(_), Mark::Taken) => "more".to_owned(),
        (Level::LessThan(_), Mark::Taken) => "less".to_owned(),
        (Level::Read(_) | Level::NotYet, Mark::Taken) => String::new(),
        (_, mark) => mark.words().to_owned(),
    }
}

pub(super) fn told(rim: &UnrolledRim) -> String {
    let mut sentences = vec![format!(
        "The wheel cut at the valve hole and laid flat in rolling order; a spoke's length is its {} in {}.",
        rim.quantity, rim.unit
    )];
    for side in Side::BOTH {
        let spokes: Vec<&StripSpoke> = rim
            .spokes
            .iter()
            .filter(|spoke| spoke.side == side)
            .collect();
        let mut parts = vec![format!("{} spokes", spokes.len())];
        parts.extend(
            rim.means
                .iter()
                .filter(|mean| mean.side == side)
                .map(|mean| mean.words.clone()),
        );
        parts.extend(
            rim.limits
                .iter()
                .filter(|limit| limit.reach == Reach::Only(side))
                .map(|limit| format!("hatched: {}", limit.words)),
        );
        parts.extend(
            spokes
                .iter()
                .filter(|spoke| !word(spoke).is_empty())
                .map(|spoke| format!("spoke {}: {}", spoke.spoke.number(), word(spoke))),
        );
        sentences.push(format!(
            "{} side: {}.",
            turn::capital(side.word()),
            parts.join("; ")
        ));
    }
    for limit in rim.limits.iter().filter(|limit| limit.reach == Reach::Both) {
        sentences.push(format!("Hatched on both sides: {}.", limit.words));
    }
    if let Some(pair) = &rim.pair {
        sentences.push(format!(
            "Filled points: {}; open points: {}.",
            pair.first, pair.second
        ));
    }
    for runout in &rim.runouts {
        sentences.push(format!(
            "{} runout: {}.",
            turn::capital(runout.kind.word()),
            runout.words
        ));
    }
    sentences.join(" ")
}
