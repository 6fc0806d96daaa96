//! Ids in the order of cause, and the moments at which things were entered.

use std::fmt;
use std::str::FromStr;
use std::sync::Mutex;
use uuid::{NoContext, Timestamp, Uuid};

/// An instant, in whole microseconds of UTC since 1970.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(i64);

impl Moment {
    /// The instant so many microseconds after the first of January 1970, UTC.
    #[must_use]
    pub const fn from_micros(micros: i64) -> Self {
        Self(micros)
    }

    /// Microseconds since the first of January 1970, UTC.
    #[must_use]
    pub const fn to_micros(self) -> i64 {
        self.0
    }
}

/// The id of an entry: UUID version 7.
///
/// Ids rise with cause: an entry made after another was seen has the greater id, whatever the clock
/// did between them. The order of ids is therefore the order in which entries are told.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id(Uuid);

/// Text that is no id of an entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{text}` is no id of an entry: those are UUIDs of version 7")]
pub struct NoId {
    /// As it was given.
    pub text: String,
}

impl Id {
    /// The sixteen bytes, in the order in which ids are compared.
    #[must_use]
    pub fn to_bytes(self) -> [u8; 16] {
        self.0.into_bytes()
    }

    /// The id in sixteen bytes.
    ///
    /// # Errors
    /// [`NoId`] when they are no UUID of version 7.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, NoId> {
        let id = Uuid::from_slice(bytes).map_err(|_| NoId {
            text: format!("{bytes:02x?}"),
        })?;
        Self::checked(id, || id.to_string())
    }

    /// The millisecond it begins with: when it was made, unless the clock stood before that of an earlier id.
    #[must_use]
    pub fn moment(self) -> Moment {
        let milliseconds = i64::try_from(packed(self) >> TAIL_BITS).unwrap_or(i64::MAX);
        Moment::from_micros(milliseconds.saturating_mul(1000))
    }

    /// The least id that begins with the millisecond of a moment.
    pub(crate) fn least_at(moment: Moment) -> Self {
        let milliseconds = u128::try_from(moment.to_micros() / 1000).unwrap_or(0);
        unpacked(milliseconds << TAIL_BITS)
    }

    /// The greatest id there can be.
    pub(crate) fn greatest() -> Self {
        unpacked(u128::MAX)
    }

    fn checked(id: Uuid, text: impl FnOnce() -> String) -> Result<Self, NoId> {
        let ours = id.get_version_num() == 7 && id.get_variant() == uuid::Variant::RFC4122;
        if ours {
            Ok(Self(id))
        } else {
            Err(NoId { text: text() })
        }
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Debug for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Id({})", self.0)
    }
}

impl FromStr for Id {
    type Err = NoId;

    fn from_str(text: &str) -> Result<Self, NoId> {
        let id = Uuid::try_parse(text).map_err(|_| NoId { text: text.into() })?;
        Self::checked(id, || text.into())
    }
}

/// Makes ids that rise, also when the clock does not.
///
/// An id begins with the milliseconds it is asked for and ends in 74 random bits. If that would not be
/// greater than every id seen so far, whether made here or read, it is instead the greatest one seen plus a
/// random step: RFC 9562 §6.2, method 2. The clock may jump back by years; the order of what was entered
/// stays, and the moment of entry is kept as the clock told it, beside the id.
#[derive(Debug)]
pub(crate) struct Ids {
    greatest: Mutex<u128>,
}

/// Random bits below the version and variant of an id of version 7.
const TAIL_BITS: u32 = 74;
/// Bits of the step: room for 2⁴² ids within one millisecond, and two makers who saw the same greatest id
/// meet once in 2³².
const STEP_BITS: u32 = 32;

impl Ids {
    /// Ids greater than any seen so far, of which there are none.
    pub(crate) fn new() -> Self {
        Self {
            greatest: Mutex::new(0),
        }
    }

    /// Takes note of an id that was made elsewhere.
    pub(crate) fn saw(&self, id: Id) {
        let mut greatest = self.lock();
        *greatest = (*greatest).max(packed(id));
    }

    /// A new id, greater than every one made or seen before.
    pub(crate) fn next(&self, at: Moment) -> Id {
        let micros = u64::try_from(at.to_micros()).unwrap_or(0);
        let (seconds, rest) = (micros / 1_000_000, (micros % 1_000_000) as u32);
        let fresh = Uuid::new_v7(Timestamp::from_unix(NoContext, seconds, rest * 1000));
        let fresh = packed(Id(fresh));
        let mut greatest = self.lock();
        let step = 1 + fresh % (1 << STEP_BITS);
        *greatest = fresh.max(*greatest + step);
        unpacked(*greatest)
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, u128> {
        // A panic cannot leave half a number behind.
        self.greatest
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

/// Milliseconds and tail of an id as one number in the order of ids, without version and variant.
fn packed(id: Id) -> u128 {
    let bits = id.0.as_u128();
    let milliseconds = bits >> 80;
    let upper = bits >> 64 & 0xfff;
    let lower = bits & ((1 << 62) - 1);
    milliseconds << TAIL_BITS | upper << 62 | lower
}

fn unpacked(number: u128) -> Id {
    let milliseconds = number >> TAIL_BITS & 0xffff_ffff_ffff;
    let upper = number >> 62 & 0xfff;
    let lower = number & ((1 << 62) - 1);
    let (version, variant) = (7, 0b10);
    Id(Uuid::from_u128(
        milliseconds << 80 | version << 76 | upper << 64 | variant << 62 | lower,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const MARCH: i64 = 1_772_616_000_000_000;

    proptest! {
        #[test]
        fn ids_rise_whatever_the_clock_does(moments in prop::collection::vec(any::<i64>(), 2..50)) {
            let ids = Ids::new();
            let made: Vec<Id> = moments
                .into_iter()
                .map(|micros| ids.next(Moment::from_micros(micros % (4 * MARCH))))
                .collect();
            prop_assert!(made.windows(2).all(|pair| pair[0] < pair[1]));
            for id in made {
                prop_assert_eq!(id.to_string().parse(), Ok(id));
                prop_assert_eq!(Id::from_bytes(&id.to_bytes()), Ok(id));
            }
        }
    }

    #[test]
    fn id_made_after_one_from_elsewhere_was_seen_is_greater() {
        let (here, there) = (Ids::new(), Ids::new());
        let theirs = there.next(Moment::from_micros(2 * MARCH));
        here.saw(theirs);
        assert!(here.next(Moment::from_micros(MARCH)) > theirs);
    }

    /// Source: RFC 9562, appendix A.6: the example of a UUID of version 7 at 2022-02-22T19:22:22Z (from memory).
    #[test]
    fn id_begins_with_its_milliseconds() {
        let example: Id = "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"
            .parse()
            .expect("an id");
        let same = Ids::new().next(Moment::from_micros(1_645_557_742_000_000));
        assert_eq!(example.to_bytes()[..6], same.to_bytes()[..6]);
        assert_eq!(unpacked(packed(example)), example);
        assert_eq!(example.moment().to_micros(), 1_645_557_742_000_000);
        let least = Id::least_at(example.moment());
        assert!(least < example && example < Id::greatest());
        assert_eq!(least.moment(), example.moment());
    }

    #[test]
    fn other_uuids_are_refused() {
        for text in ["", "G2", "c232ab00-9414-11ec-b3c8-9f68deced846"] {
            assert_eq!(text.parse::<Id>(), Err(NoId { text: text.into() }));
        }
    }
}
