//! Which visits are rounds of one piece of work, what was read in each before its turns, and what was turned.

use crate::records::at_once::is_todays;
use crate::records::seen::missing;
use crate::records::{Error, Id, Shop};
use ledger::entry::TurnState;
use ledger::state::{Current, Order, Things, VisitRecord, WheelRecord};
use std::time::Duration;

/// Rounds further apart belong to two pieces of work: the wheel went away and may have been ridden in between.
/// Common practice, no source.
const AWAY: Duration = Duration::from_hours(14 * 24);

/// Where a lap that is begun now belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LapsGo {
    /// Into this visit.
    Here,
    /// It is to be asked: the visit is of another day.
    AnotherDay,
    /// It is to be asked: nipples were turned since this visit's laps.
    TurnedSince,
}

impl Shop {
    /// Whether a lap begun now belongs into a visit.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such visit.
    pub async fn laps_go(&self, visit: Id) -> Result<LapsGo, Error> {
        let things: Things = self.things(visit).await?;
        let thing = things.thing_of(visit).unwrap_or(visit);
        let record = VisitRecord::of(&things, thing).ok_or_else(|| missing("visit", visit))?;
        Ok(if is_turned(&record) {
            LapsGo::TurnedSince
        } else if is_todays(&record.visit) {
            LapsGo::Here
        } else {
            LapsGo::AnotherDay
        })
    }
}

/// Whether a nipple stands turned after the readings of a visit; one passed over is not turned.
pub(in crate::records) fn is_turned(visit: &VisitRecord) -> bool {
    visit.turns_made().any(|turn| turn.body.turns != 0.0)
}

/// When a nipple was turned last of those that stand turned after the readings of a visit.
pub(in crate::records) fn turned_last(visit: &VisitRecord) -> Option<Order> {
    let turns = visit.turns_made().filter(|turn| turn.body.turns != 0.0);
    turns.map(Current::written).max()
}

/// Whether a visit is a round: a plan was made in it, or something was turned.
fn is_round(visit: &VisitRecord) -> bool {
    !visit.plans.is_empty() || is_turned(visit)
}

/// The earlier rounds of the piece of work that a visit belongs to, in their order; and whether there were others
/// before that.
pub(super) fn of_this_work<'r>(
    record: &'r WheelRecord,
    of: &VisitRecord,
) -> (Vec<&'r VisitRecord>, bool) {
    let before = record
        .visits
        .iter()
        .take_while(|one| one.visit.thing != of.visit.thing);
    let rounds: Vec<&VisitRecord> = before.filter(|one| is_round(one)).collect();
    let mut from = rounds.len();
    let mut since = of.visit.body.taken.to_micros();
    for (place, round) in rounds.iter().enumerate().rev() {
        // Hands were at the wheel last when they planned or turned, which may be days after the laps.
        let planned = round.plans.iter().map(|plan| plan.plan.stamp.at);
        let turned = round.turns_made().map(|turn| turn.stamp.at);
        let last = planned.chain(turned).chain([round.visit.body.taken]).max();
        let away = last.map_or(0, |last| since - last.to_micros());
        if i128::from(away) > AWAY.as_micros().cast_signed() {
            break;
        }
        since = round.visit.body.taken.to_micros();
        from = place;
    }
    (rounds[from..].to_vec(), 0 < from)
}

/// A visit without what was read in it after the first turn that stands: that is of the wheel as turned.
pub(super) fn read_before_turns(visit: &VisitRecord) -> VisitRecord {
    let mut seen = visit.clone();
    let turns = visit.turns_made().filter(|turn| turn.body.turns != 0.0);
    if let Some(first) = turns.map(Current::written).min() {
        for lap in &mut seen.laps {
            // By the first entry of each place: a number that is corrected later was read when it was read.
            lap.readings
                .retain(|reading| reading.first_written() < first);
        }
    }
    seen
}

/// Turns of every nipple that stand after a visit's readings.
pub(super) fn turned(visit: &VisitRecord, spokes: usize) -> Vec<f64> {
    let mut turned = vec![0.0; spokes];
    for turn in visit.turns_made() {
        debug_assert_eq!(turn.body.state, TurnState::Done);
        let spoke = usize::try_from(turn.body.spoke)
            .ok()
            .and_then(|spoke| spoke.checked_sub(1));
        if let Some(sum) = spoke.and_then(|spoke| turned.get_mut(spoke)) {
            *sum += turn.body.turns;
        }
    }
    if turned.iter().all(|turns| *turns == 0.0) {
        turned.clear(); // as a carry file has it
    }
    turned
}

#[cfg(test)]
mod tests {
    use super::*;
    use ledger::entry::{Body, Entry, Origin, Plan, Stamp, Turn, Visit, Wheel};
    use ledger::{Label, Moment};

    const DAY: i64 = 86_400_000_000;

    /// A wheel's entries, as many days after the first as they say.
    #[derive(Default)]
    struct Book(Vec<Entry>);

    impl Book {
        fn put(&mut self, day: i64, body: impl Into<Body>) -> Id {
            let number = self.0.len() + 1;
            let id: Id = format!("019a0000-0000-7000-8000-{number:012x}")
                .parse()
                .expect("an id");
            let stamp = Stamp {
                at: Moment::from_micros(day * DAY),
                zone: "+00:00".into(),
                by: "M".into(),
                origin: Origin::Shop,
            };
            self.0.push(Entry::new(id, &stamp, body));
            id
        }

        /// A visit that is a round: planned, and one nipple turned, so many days after its laps.
        fn round(&mut self, wheel: Id, day: i64, after: i64) -> Id {
            let visit = self.visit(wheel, day);
            let text = String::new();
            let plan = self.put(day, Plan { visit, text });
            let (spoke, turns, state) = (3, 0.25, TurnState::Done);
            let about = plan;
            self.put(
                day + after,
                Turn {
                    about,
                    spoke,
                    turns,
                    state,
                },
            );
            visit
        }

        fn visit(&mut self, wheel: Id, day: i64) -> Id {
            let body = Visit {
                wheel,
                taken: Moment::from_micros(day * DAY),
                taken_zone: "+00:00".into(),
                asked: None,
                bearing: None,
                not_checked: Vec::new(),
                note: None,
            };
            self.put(day, body)
        }
    }

    #[test]
    fn round_before_the_wheel_went_away_belongs_to_another_piece_of_work() {
        let mut book = Book::default();
        let wheel = book.put(
            0,
            Wheel {
                label: Label::numbered(7),
                name: "bench".into(),
                owner: None,
                contact: None,
                file: String::new(),
                note: None,
            },
        );
        book.round(wheel, 1, 0);
        let (second, _) = (book.round(wheel, 20, 10), book.visit(wheel, 31));
        let third = book.round(wheel, 40, 0);
        let last = book.visit(wheel, 50);
        let things: Things = book.0.into_iter().collect();
        let record = WheelRecord::of(&things, wheel).expect("a wheel");
        let of = |visit: Id| record.visits.iter().find(|one| one.visit.thing == visit);
        let found = |visit: Id| {
            let (rounds, are_left_out) = of_this_work(&record, of(visit).expect("a visit"));
            let rounds: Vec<Id> = rounds.iter().map(|one| one.visit.thing).collect();
            (rounds, are_left_out)
        };
        // Twenty days lie between the laps of the second round and those of the third, ten since its last turn.
        assert_eq!(found(last), (vec![second, third], true));
        assert_eq!(found(second), (vec![], true));
        assert_eq!(
            turned(of(second).expect("a visit"), 4),
            [0.0, 0.0, 0.25, 0.0]
        );
    }
}
