//! What is true now: a fold over entries in the order of their ids, without any store.
//!
//! The fold sorts before it looks, so the same entries give the same state whatever order they come in, and
//! whether they come once or twice.

mod bench;
mod order;
mod wheel;

pub use order::Order;

pub use bench::{CalibrationRecord, GaugeRecord, Trust};
pub use wheel::{LapRecord, PartRecord, PlanRecord, VisitRecord, WheelRecord};

use crate::entry::{Body, Correction, Entry, Stamp, Standing, Told};
use crate::id::{Id, Moment};
use std::collections::{BTreeMap, BTreeSet};

/// What stands of a thing now.
#[derive(Debug, Clone, PartialEq)]
pub struct Current<T> {
    /// The thing: the id of its first entry, by which others name it.
    pub thing: Id,
    /// The entry that stands; the one that a correction has to supersede.
    pub entry: Id,
    /// Who entered that, and when.
    pub stamp: Stamp,
    /// When the thing was entered at first, and in which zone: a correction makes it no newer.
    pub since: (Moment, String),
    /// Whose place it took, and why, when it is a correction.
    pub correction: Option<Correction>,
    /// What it tells.
    pub body: T,
}

impl<T> Current<T> {
    /// When what stands was written, among all that was.
    #[must_use]
    pub fn written(&self) -> Order {
        Order::of(self.entry, self.stamp.at)
    }

    /// When the thing was written at first, among all that was.
    #[must_use]
    pub fn first_written(&self) -> Order {
        Order::of(self.thing, self.since.0)
    }
}

/// Entries made sense of: every thing as it stands now, and what is about it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Things {
    entries: BTreeMap<Id, Entry>,
    versions: BTreeMap<Id, Vec<Id>>,
    thing_of: BTreeMap<Id, Id>,
    about: BTreeMap<Id, BTreeSet<Id>>,
    withdrawn: BTreeSet<Id>,
}

impl FromIterator<Entry> for Things {
    fn from_iter<I: IntoIterator<Item = Entry>>(entries: I) -> Self {
        let entries = entries.into_iter().map(|entry| (entry.id, entry)).collect();
        let mut things = Self {
            entries,
            ..Self::default()
        };
        for (&id, entry) in &things.entries {
            // What is superseded has the lesser id, so its thing is known by now, if it was handed in at all.
            let superseded = entry.correction.as_ref().map(|of| of.supersedes);
            let thing = superseded.map_or(id, |of| *things.thing_of.get(&of).unwrap_or(&of));
            things.thing_of.insert(id, thing);
            things.versions.entry(thing).or_default().push(id);
        }
        for (&thing, versions) in &things.versions {
            let standing = versions.last().and_then(|last| things.entries.get(last));
            let Some(entry) = standing else { continue };
            if let Some(about) = entry.body.about() {
                let about = *things.thing_of.get(&about).unwrap_or(&about);
                things.about.entry(about).or_default().insert(thing);
            }
            if let Body::Withdrawal(withdrawal) = &entry.body
                && withdrawal.standing == Standing::Withdrawn
            {
                let of = withdrawal.of;
                things
                    .withdrawn
                    .insert(*things.thing_of.get(&of).unwrap_or(&of));
            }
        }
        things
    }
}

impl Things {
    /// What stands of a thing, when it is one of this kind; withdrawn or not.
    #[must_use]
    pub fn get<T: Told>(&self, thing: Id) -> Option<Current<T>> {
        let entry = self.standing(thing)?;
        let first = self.versions(thing).next()?;
        Some(Current {
            thing,
            entry: entry.id,
            stamp: entry.stamp.clone(),
            since: (first.stamp.at, first.stamp.zone.clone()),
            correction: entry.correction.clone(),
            body: T::told(&entry.body)?.clone(),
        })
    }

    /// Everything of a kind that is directly about a thing and in view, in the order of first entries.
    #[must_use]
    pub fn about<T: Told>(&self, thing: Id) -> Vec<Current<T>> {
        let about = self.about.get(&thing).into_iter().flatten();
        let in_view = about.filter(|thing| !self.withdrawn.contains(thing));
        in_view.filter_map(|thing| self.get(*thing)).collect()
    }

    /// Everything of a kind that is in view, in the order of first entries.
    #[must_use]
    pub fn all<T: Told>(&self) -> Vec<Current<T>> {
        let things = self.versions.keys().filter(|thing| self.in_view(**thing));
        things.filter_map(|thing| self.get(*thing)).collect()
    }

    /// Whether a thing can be seen: neither it nor what it is about was withdrawn.
    #[must_use]
    pub fn in_view(&self, thing: Id) -> bool {
        let mut next = Some(thing);
        while let Some(thing) = next {
            if self.withdrawn.contains(&thing) {
                return false;
            }
            // What a thing is about has the lesser id, so this ends.
            let about = self.standing(thing).and_then(|entry| entry.body.about());
            next = about.map(|about| *self.thing_of.get(&about).unwrap_or(&about));
        }
        true
    }

    /// Every version of a thing, the first one first: its history.
    pub fn versions(&self, thing: Id) -> impl Iterator<Item = &Entry> {
        let versions = self.versions.get(&thing).into_iter().flatten();
        versions.filter_map(|id| self.entries.get(id))
    }

    /// The thing that an entry is a version of.
    #[must_use]
    pub fn thing_of(&self, entry: Id) -> Option<Id> {
        self.thing_of.get(&entry).copied()
    }

    fn standing(&self, thing: Id) -> Option<&Entry> {
        self.entries.get(self.versions.get(&thing)?.last()?)
    }
}
