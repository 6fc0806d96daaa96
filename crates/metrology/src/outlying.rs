//! Readings far out of their group, told before any curve is known.
//!
//! With a curve the pattern watch ([`crate::pattern`]) says more and says it better: it knows the statics
//! of the hub and how uneven a wheel may be. Until then only the readings themselves can speak.

/// Readings from which on a middle and a spread mean something.
const FEWEST: usize = 5;
/// Distance from the middle, in standard deviations, from which on a reading is asked about. With eight in
/// a group a normal one lies so far out once in about a thousand groups.
const FAR: f64 = 4.0;
/// The median of |x| of a standard normal distribution (handbook table of the normal distribution).
const MEDIAN_DEVIATION: f64 = 0.674_5;

/// Places of the values that lie far out of the others, in their order.
///
/// The middle is the median, the spread the median distance from it, and at least `u`, the standard
/// uncertainty of one value: neither is moved by the one that is far out. Fewer than five values tell nothing.
#[must_use]
pub fn outlying(values: &[f64], u: f64) -> Vec<usize> {
    if values.len() < FEWEST {
        return Vec::new();
    }
    let middle = median(values.to_vec());
    let distances = values.iter().map(|value| (value - middle).abs());
    let spread = median(distances.clone().collect()) / MEDIAN_DEVIATION;
    let far = FAR * spread.max(u);
    let is_far = distances.map(|distance| distance > far && far > 0.0);
    let places = is_far.enumerate().filter(|(_, is_far)| *is_far);
    places.map(|(place, _)| place).collect()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len().is_multiple_of(2) {
        f64::midpoint(values[half - 1], values[half])
    } else {
        values[half]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn twisted_blade_among_even_ones_is_found() {
        let values = [22.5, 22.0, 23.0, 22.5, 28.0, 22.5, 22.0, 23.0];
        assert_eq!(outlying(&values, 0.3), [4]);
        assert_eq!(outlying(&values[..4], 0.3), [0; 0]);
    }

    #[test]
    fn readings_within_their_noise_are_left_alone() {
        assert_eq!(outlying(&[22.5, 22.5, 22.5, 22.5, 23.0], 0.3), [0; 0]);
    }

    proptest! {
        #[test]
        fn shift_and_scale_change_nothing(
            values in prop::collection::vec(0.0..40.0_f64, 5..20), shift in -5.0..5.0_f64, scale in 0.5..2.0_f64,
        ) {
            let far = outlying(&values, 0.3);
            let moved: Vec<f64> = values.iter().map(|value| scale * value + shift).collect();
            // Values on the very edge may fall either way in the last bit; those are few and not compared.
            let inner = outlying(&moved, 0.3 * scale * 1.000_001);
            prop_assert!(inner.iter().all(|place| far.contains(place)));
        }
    }
}
