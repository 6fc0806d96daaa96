//! One turn of the rim laid along a line.

use crate::figure::RimPoint;

/// Where an angle from 0 to 360 lies between `left` and `right`.
pub(crate) fn along(angle_deg: f64, left: f64, right: f64) -> f64 {
    left + angle_deg / 360.0 * (right - left)
}

/// The points as (angle, mm) in rising order, carried on to both ends through the valve hole.
pub(crate) fn whole(points: &[RimPoint]) -> Vec<(f64, f64)> {
    let mut turn: Vec<(f64, f64)> = points
        .iter()
        .map(|point| (point.angle_deg.rem_euclid(360.0), point.mm))
        .collect();
    turn.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (Some(&first), Some(&last)) = (turn.first(), turn.last()) else {
        return turn;
    };
    let gap = first.0 + 360.0 - last.0;
    let share = if 0.0 < gap {
        (360.0 - last.0) / gap
    } else {
        0.0
    };
    let cut = 2.0 * (last.1 / 2.0 + share * (first.1 / 2.0 - last.1 / 2.0));
    turn.insert(0, (0.0, cut));
    turn.push((360.0, cut));
    turn
}

/// `word` with a capital letter in front.
pub(crate) fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
