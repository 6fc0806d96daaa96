//! Who writes, and that a thing written twice by the same slip of a finger is written once.

use super::{Error, Shop};
use crate::clock;
use jiff::Timestamp;
use ledger::entry::{Body, Correction, Entry, Origin, Stamp};
use ledger::{Finding, Id, Moment, Receipt, Refusal, Seen};

/// Who writes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pen {
    /// Name or initials.
    pub by: String,
    /// Whose entries these are.
    pub origin: Origin,
    /// The id that the entry gets, when it was given out before ([`Shop::fresh_id`]): the same entry sent
    /// again under it is not written twice.
    pub id: Option<Id>,
}

impl Pen {
    /// The pen of somebody of the shop.
    #[must_use]
    pub fn of(by: &str) -> Self {
        Self {
            by: by.into(),
            origin: Origin::Shop,
            id: None,
        }
    }

    /// The same pen, in the invented workshop.
    #[must_use]
    pub fn of_demo(self) -> Self {
        let origin = Origin::Demo;
        Self { origin, ..self }
    }

    /// The same pen, for one entry with this id.
    #[must_use]
    pub fn with_id(self, id: Id) -> Self {
        let id = Some(id);
        Self { id, ..self }
    }

    /// Who and when, now.
    pub(super) fn stamp(&self) -> Stamp {
        Stamp {
            at: now(),
            zone: clock::zone(),
            by: self.by.clone(),
            origin: self.origin,
        }
    }
}

/// This moment.
pub(super) fn now() -> Moment {
    moment(clock::now())
}

/// An instant in the ledger's microseconds.
pub(super) fn moment(at: Timestamp) -> Moment {
    Moment::from_micros(at.as_microsecond())
}

/// A moment of the ledger as it is read in a zone, RFC 3339.
pub(super) fn told(at: Moment, zone: &str) -> String {
    let at = Timestamp::from_microsecond(at.to_micros());
    at.map_or_else(
        |_| "a time beyond the calendar".into(),
        |at| clock::told(at, zone),
    )
}

/// A time as a person says it, with the zone it was read in; now when nothing is said.
pub(super) fn time_said(text: Option<String>) -> Result<(Moment, String), Error> {
    let Some(text) = text.filter(|text| !text.trim().is_empty()) else {
        return Ok((now(), clock::zone()));
    };
    match clock::read(text.trim()) {
        Some((at, zone)) => Ok((moment(at), zone)),
        None => Err(Error::NotThat {
            given: text,
            what: "time",
            mend: "Write it with its offset, as in `2026-03-04T10:20:00+01:00`.".into(),
        }),
    }
}

/// What was entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// The entry; of something new also the thing by which others name it.
    pub id: Id,
    /// What must be known about it, in words.
    pub findings: Vec<String>,
}

impl Shop {
    /// An id for one entry to be made later, as in a form that may be sent twice.
    #[must_use]
    pub fn fresh_id(&self) -> Id {
        self.ledger.next_id(now())
    }

    /// Enters something new.
    pub(super) async fn enter(&self, pen: &Pen, body: impl Into<Body>) -> Result<Written, Error> {
        self.put(pen, None, body.into(), None).await
    }

    /// Enters something new, unless anything came in since a thing was seen.
    ///
    /// # Errors
    /// [`Refusal::NotAsSeen`] when something did.
    pub(super) async fn enter_as_seen(
        &self,
        pen: &Pen,
        body: impl Into<Body>,
        seen: Seen,
    ) -> Result<Written, Error> {
        self.put(pen, None, body.into(), Some(seen)).await
    }

    /// Enters what takes the place of the entry that was seen.
    pub(super) async fn correct(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        body: impl Into<Body>,
    ) -> Result<Written, Error> {
        if why.trim().is_empty() {
            return Err(Error::Unsaid {
                what: "why it is corrected",
                mend: "A few words do: `a slip of the pen`, `weighed again`.",
            });
        }
        let correction = Correction {
            supersedes: seen,
            why: why.trim().into(),
        };
        self.put(pen, Some(correction), body.into(), None).await
    }

    async fn put(
        &self,
        pen: &Pen,
        correction: Option<Correction>,
        body: Body,
        seen: Option<Seen>,
    ) -> Result<Written, Error> {
        let entry = Entry {
            id: pen.id.unwrap_or_else(|| self.fresh_id()),
            stamp: pen.stamp(),
            correction,
            body,
        };
        let id = entry.id;
        let entries = vec![entry.clone()];
        let appended = match seen {
            Some(seen) => self.ledger.append_as_seen(entries, seen).await,
            None => self.ledger.append(entries).await,
        };
        match appended {
            Ok(receipt) => Ok(Written {
                id,
                findings: findings(&receipt, &entry.stamp.zone),
            }),
            // The same form was sent twice: its moment differs, and all else is the same.
            Err(Refusal::OtherContent { .. })
                if pen.id.is_some() && self.says_the_same(&entry).await? =>
            {
                let findings = Vec::new();
                Ok(Written { id, findings })
            }
            Err(refusal) => Err(refusal.into()),
        }
    }

    /// Whether the ledger has an entry with this id that differs in its moment at most.
    async fn says_the_same(&self, entry: &Entry) -> Result<bool, Error> {
        let there = self.ledger.entries(&[entry.id]).await?;
        Ok(there.iter().any(|there| {
            there.body == entry.body
                && there.correction == entry.correction
                && there.stamp.by == entry.stamp.by
        }))
    }
}

/// What a receipt has to tell, in words.
pub(super) fn findings(receipt: &Receipt, zone: &str) -> Vec<String> {
    receipt
        .findings
        .iter()
        .map(|finding| match finding {
            Finding::ClockBehind { newest, told: at } => format!(
                "The clock tells {}, and the newest entry was made at {}. This one was kept with the time as \
                 told, after the others. Set the clock right.",
                told(*at, zone),
                told(*newest, zone)
            ),
        })
        .collect()
}
