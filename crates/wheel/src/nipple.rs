//! The nipple: where in it a spoke ends, and how much thread that leaves.

use quantity::{Length, Mass};

/// One turn of a spoke's thread: 56 threads to the inch.
///
/// Source: DIN 79012, the spoke threads FG 2, FG 2.3 and FG 2.6.
pub const THREAD_PITCH: Length = Length::mm(25.4 / 56.0);

/// A nipple, measured along the spoke from the top of its head (the end inside the rim) down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nipple {
    /// From where it bears up to the top of its head.
    pub head: Length,
    /// From the top down to where its thread begins: the slot, or the bottom of the key's hollow.
    pub slot: Length,
    /// How far below the top the spoke's end is wanted.
    pub end: Length,
    /// Top to mouth.
    pub length: Option<Length>,
    /// Length of its thread, from the bottom of the slot down.
    pub thread: Option<Length>,
    /// Of one nipple, when weighed.
    pub mass: Option<Mass>,
}

/// Where a spoke ends in its nipple.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Below the slot: the nipple's uppermost threads hold nothing and its head carries alone.
    BelowSlot,
    /// Between the bottom of the slot and the top.
    InSlot,
    /// Above the top, toward the rim tape.
    Proud,
}

/// What a spoke of some length leaves in its nipple once the wheel is tensioned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NippleFit {
    /// How far below the top the spoke ends; negative above it.
    pub below_top: Length,
    /// Where that is.
    pub end: End,
    /// Length of thread that spoke and nipple share.
    pub engaged: Option<Length>,
    /// How far the nipple can still be tightened before it runs off the spoke's thread; negative when it
    /// cannot be brought so far.
    pub travel: Option<Length>,
    /// Length of the spoke's thread that shows below the nipple's mouth.
    pub shown: Option<Length>,
}

impl Nipple {
    /// From the seat up to where the spoke's end is wanted; negative for an end below the seat.
    #[must_use]
    pub fn reach(&self) -> Length {
        self.head - self.end
    }

    /// What a spoke that is `longer` than the reckoned one leaves, with `thread` rolled on its end; eq. 8.3.
    #[must_use]
    pub fn fit(&self, longer: Length, thread: Option<Length>) -> NippleFit {
        let below_top = self.end - longer;
        let end = if self.slot < below_top {
            End::BelowSlot
        } else if below_top < Length::ZERO {
            End::Proud
        } else {
            End::InSlot
        };
        let rolled_to = thread.map(|thread| below_top + thread);
        let own_to = self.thread.map(|thread| self.slot + thread);
        let both = rolled_to.zip(own_to);
        let from = larger(below_top, self.slot);
        NippleFit {
            below_top,
            end,
            engaged: both.map(|(rolled, own)| larger(smaller(rolled, own) - from, Length::ZERO)),
            travel: both.map(|(rolled, own)| rolled - own),
            shown: rolled_to
                .zip(self.length)
                .map(|(rolled, mouth)| larger(rolled - mouth, Length::ZERO)),
        }
    }
}

fn larger(one: Length, other: Length) -> Length {
    if one < other { other } else { one }
}

fn smaller(one: Length, other: Length) -> Length {
    if one < other { one } else { other }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twelve millimetres long: thread from 1.5 to 7.5 mm below the top, the spoke wanted at the slot's bottom.
    const NIPPLE: Nipple = Nipple {
        head: Length::mm(3.0),
        slot: Length::mm(1.5),
        end: Length::mm(1.5),
        length: Some(Length::mm(12.0)),
        thread: Some(Length::mm(6.0)),
        mass: None,
    };

    fn fit(longer_mm: f64) -> (f64, End, f64, f64, f64) {
        let fit = NIPPLE.fit(Length::mm(longer_mm), Some(Length::mm(9.5)));
        let mm = |length: Option<Length>| length.expect("a nipple with a thread").to_mm();
        (
            fit.below_top.to_mm(),
            fit.end,
            mm(fit.engaged),
            mm(fit.travel),
            mm(fit.shown),
        )
    }

    fn near(found: (f64, End, f64, f64, f64), wanted: (f64, End, f64, f64, f64)) {
        assert_eq!(found.1, wanted.1);
        for (found, wanted) in [
            (found.0, wanted.0),
            (found.2, wanted.2),
            (found.3, wanted.3),
            (found.4, wanted.4),
        ] {
            assert!((found - wanted).abs() < 1e-12, "{found} {wanted}");
        }
    }

    #[test]
    fn the_reckoned_spoke_fills_the_thread_from_the_slot_down() {
        near(fit(0.0), (1.5, End::InSlot, 6.0, 3.5, 0.0));
    }

    #[test]
    fn a_short_spoke_leaves_threads_empty_under_the_slot_and_shows_thread_at_the_mouth() {
        near(fit(-2.0), (3.5, End::BelowSlot, 4.0, 5.5, 1.0));
    }

    #[test]
    fn a_long_spoke_stands_proud_and_runs_out_of_thread() {
        near(fit(4.0), (-2.5, End::Proud, 5.5, -0.5, 0.0));
    }

    #[test]
    fn a_nipple_of_which_only_the_head_is_known_says_where_the_spoke_ends_and_no_more() {
        let nipple = Nipple {
            length: None,
            thread: None,
            ..NIPPLE
        };
        let fit = nipple.fit(Length::mm(1.0), None);
        assert_eq!(
            (fit.end, fit.engaged, fit.travel, fit.shown),
            (End::InSlot, None, None, None)
        );
    }
}
