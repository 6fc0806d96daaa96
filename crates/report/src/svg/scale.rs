//! Numbers to places, and round numbers along an axis.

/// A straight-line scale from numbers to pixels.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scale {
    from: f64,
    to: f64,
    at_from: f64,
    at_to: f64,
}

impl Scale {
    /// `from` is drawn at `at_from`, `to` at `at_to`. An empty range is widened about its number.
    pub(crate) fn new(from: f64, to: f64, at_from: f64, at_to: f64) -> Self {
        let (from, to) = if to / 2.0 - from / 2.0 <= f64::MIN_POSITIVE.max(from.abs() * 1e-9) {
            let half = if from == 0.0 { 1.0 } else { from.abs() / 2.0 };
            (from - half, from + half)
        } else {
            (from, to)
        };
        Self {
            from,
            to,
            at_from,
            at_to,
        }
    }

    /// Where `value` is drawn; beyond the ends it stays at the end. Halves keep huge numbers finite.
    pub(crate) fn place(&self, value: f64) -> f64 {
        let share = (value / 2.0 - self.from / 2.0) / (self.to / 2.0 - self.from / 2.0);
        self.at_from + share.clamp(0.0, 1.0) * (self.at_to - self.at_from)
    }

    /// Pixels that `difference` covers.
    pub(crate) fn span(&self, difference: f64) -> f64 {
        let share = (difference / 2.0) / (self.to / 2.0 - self.from / 2.0);
        share.clamp(-1.0, 1.0) * (self.at_to - self.at_from).abs()
    }

    /// Both ends of the scale.
    pub(crate) const fn ends(&self) -> (f64, f64) {
        (self.from, self.to)
    }

    /// Round numbers inside the scale, about `wanted` of them, with their words.
    pub(crate) fn ticks(&self, wanted: usize) -> Vec<(f64, String)> {
        let half_step = round_step((self.to / 2.0 - self.from / 2.0) / count(wanted.max(1)));
        let step = 2.0 * half_step;
        if !step.is_normal() {
            return Vec::new();
        }
        let first = (self.from / step).ceil();
        let last = (self.to / step).floor();
        (0..=4 * wanted)
            .map(|k| first + count(k))
            .take_while(|multiple| *multiple <= last)
            .map(|multiple| (multiple * step, spell(multiple * step, step)))
            .filter(|(tick, _)| tick.is_finite())
            .collect()
    }
}

/// Half of the smallest 1, 2 or 5 times a power of ten that is at least twice `half_least`.
fn round_step(half_least: f64) -> f64 {
    if half_least <= 0.0 {
        return 0.0;
    }
    let power = 10_f64.powf(half_least.log10().floor());
    let lead = half_least / power;
    let half_lead = [0.5, 1.0, 2.5, 5.0, 10.0]
        .into_iter()
        .find(|candidate| lead <= candidate * (1.0 + 1e-9))
        .unwrap_or(10.0);
    half_lead * power
}

/// The largest 1, 2 or 5 times a power of ten that is not above `most`; zero if there is none.
pub(crate) fn round_below(most: f64) -> f64 {
    if most <= 0.0 {
        return 0.0;
    }
    let power = 10_f64.powf(most.log10().floor());
    let lead = most / power;
    let round = [5.0, 2.0, 1.0]
        .into_iter()
        .find(|candidate| *candidate <= lead)
        .unwrap_or(1.0);
    round * power
}

/// A multiple of `step` in words: its decimals are the step's; a real minus sign.
pub(crate) fn spell(value: f64, step: f64) -> String {
    let value = if value.abs() < step / 2.0 { 0.0 } else { value };
    let decimals = (-step.log10().floor()).clamp(0.0, 300.0);
    let words = if 1e7 < value.abs() || 6.0 < decimals {
        format!("{value:.1e}")
    } else {
        // `decimals` is a whole number from 0 to 6 here.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let decimals = decimals as usize;
        format!("{value:.decimals$}")
    };
    words.replace('-', "−")
}

/// A small count as a number.
#[allow(clippy::cast_precision_loss)]
pub(crate) const fn count(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(from: f64, to: f64, wanted: usize) -> Vec<String> {
        Scale::new(from, to, 0.0, 100.0)
            .ticks(wanted)
            .into_iter()
            .map(|(_, words)| words)
            .collect()
    }

    #[test]
    fn ticks_are_round_numbers() {
        assert_eq!(words(0.0, 147.0, 5), ["0", "50", "100"]);
        assert_eq!(
            words(0.0, 147.0, 8),
            ["0", "20", "40", "60", "80", "100", "120", "140"]
        );
        assert_eq!(words(-0.17, 0.14, 4), ["−0.1", "0.0", "0.1"]);
        assert_eq!(words(19.2, 24.1, 5), ["20", "21", "22", "23", "24"]);
    }

    #[test]
    fn round_numbers_below() {
        assert_eq!(round_below(0.31), 0.2);
        assert_eq!(round_below(5.0), 5.0);
        assert_eq!(round_below(0.0), 0.0);
    }

    #[test]
    fn the_widest_range_has_a_place_for_every_number() {
        let scale = Scale::new(f64::MIN, f64::MAX, 0.0, 100.0);
        assert_eq!(scale.place(0.0), 50.0);
        assert!(scale.ticks(5).iter().all(|(tick, _)| tick.is_finite()));
    }

    #[test]
    fn an_empty_range_is_widened() {
        for value in [0.0, 5.0, -5.0, 1e300] {
            assert_eq!(Scale::new(value, value, 0.0, 100.0).place(value), 50.0);
        }
    }
}
