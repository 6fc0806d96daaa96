//! What was written before what.

use crate::id::{Id, Moment};

/// When an entry was written, to be held against when another was.
///
/// An id is no witness of that alone: a form carries the id of the entry it makes from when its page was drawn, so
/// that it makes one however often it is sent. The clock is none either: it may have been set back. The entry counts
/// as written when the clock told it, but never before the millisecond in its id.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Order {
    micros: i64,
    entry: Id,
}

/// Microseconds up to the end of the millisecond that an id begins with.
const REST_OF_MILLISECOND: i64 = 999;

impl Order {
    pub(super) fn of(entry: Id, at: Moment) -> Self {
        let (told, by_id) = (at.to_micros(), entry.moment().to_micros());
        // With the clock behind, whatever was seen in that millisecond was written before.
        let micros = if told < by_id {
            by_id + REST_OF_MILLISECOND
        } else {
            told
        };
        Self { micros, entry }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::Ids;

    #[test]
    fn order_is_that_of_writing_whatever_forms_and_clocks_do() {
        let ids = Ids::new();
        let at = |micros: i64| Moment::from_micros(1_772_616_000_000_000 + micros);
        let drawn_early = ids.next(at(0));
        let first = Order::of(ids.next(at(4_000_100)), at(4_000_100));
        let sent_late = Order::of(drawn_early, at(9_000_000));
        let between = Order::of(ids.next(at(5_000_900)), at(5_000_900));
        // The clock is set back by an hour; ids rise all the same.
        let back = at(-3_600_000_000);
        let after = [ids.next(back), ids.next(back)].map(|id| Order::of(id, back));
        let mut all = vec![after[1], first, between, after[0]];
        all.sort();
        assert_eq!(all, [first, between, after[0], after[1]]);
        assert!(between < sent_late);
    }
}
