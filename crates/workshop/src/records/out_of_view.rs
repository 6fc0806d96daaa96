//! What was taken out of view, and brought back.

use super::pen::told;
use super::seen::{entry_view, missing};
use super::{Error, Id, Pen, Shop, Written};
use crate::view::WithdrawnView;
use ledger::entry::{Body, Standing, Withdrawal};
use ledger::state::{Current, Things};

impl Shop {
    /// Takes anything (a wheel, a visit, a limit …) out of view with all that is about it. It stays in the
    /// ledger and can be brought back ([`Shop::bring_back`]).
    ///
    /// # Errors
    /// [`Error`] when there is no such thing.
    pub async fn withdraw(&self, pen: &Pen, of: Id) -> Result<Written, Error> {
        let standing = Standing::Withdrawn;
        self.enter(pen, Withdrawal { of, standing }).await
    }

    /// Brings back into view what was withdrawn; `withdrawal` is the entry that withdrew it.
    ///
    /// # Errors
    /// [`Error::Refused`] when that was done already.
    pub async fn bring_back(&self, pen: &Pen, withdrawal: Id, why: &str) -> Result<Written, Error> {
        let withdrawn: Current<Withdrawal> = self.current(withdrawal).await?;
        let standing = Standing::Restored;
        let body = Withdrawal {
            of: withdrawn.body.of,
            standing,
        };
        self.correct(pen, withdrawal, why, body).await
    }

    /// What is out of view now, the last that was taken out first.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn withdrawn(&self) -> Result<Vec<WithdrawnView>, Error> {
        let entries = self.ledger.withdrawals().await?;
        let first = entries.iter().filter(|entry| entry.correction.is_none());
        let first: Vec<Id> = first.map(|entry| entry.id).collect();
        let things: Things = entries.into_iter().collect();
        let mut standing: Vec<Current<Withdrawal>> =
            first.into_iter().filter_map(|id| things.get(id)).collect();
        standing.retain(|one| one.body.standing == Standing::Withdrawn);
        standing.sort_by_key(|one| std::cmp::Reverse(one.written()));
        let mut views = Vec::new();
        for one in standing {
            views.push(self.withdrawn_view(&one).await?);
        }
        Ok(views)
    }

    async fn withdrawn_view(&self, one: &Current<Withdrawal>) -> Result<WithdrawnView, Error> {
        let of = one.body.of;
        let body = self.as_it_stands(of).await?;
        let (kind, says) = (body.kind().word(), said(&body));
        // Up to what is about nothing else: a wheel, a gauge, or the thing itself.
        let mut top = body.clone();
        while let Some(about) = top.about() {
            top = self.as_it_stands(about).await?;
        }
        Ok(WithdrawnView {
            entry: entry_view(one),
            kind,
            says,
            of: (top != body).then(|| said(&top)),
        })
    }

    /// What an entry's thing tells now, in view or not.
    async fn as_it_stands(&self, of: Id) -> Result<Body, Error> {
        let last = self.ledger.versions(of).await?.pop();
        last.map(|entry| entry.body)
            .ok_or_else(|| missing("entry", of))
    }
}

/// A thing in the words by which somebody knows it again.
fn said(body: &Body) -> String {
    let joined = |words: &[&Option<String>]| {
        let words: Vec<&str> = words.iter().filter_map(|one| one.as_deref()).collect();
        words.join(" ")
    };
    match body {
        Body::Wheel(of) => format!("{}, {}", of.label, of.name),
        Body::Part(of) => format!("{} {}", of.what, joined(&[&of.maker, &of.model])),
        Body::Limit(of) => format!("{}, {} {}, {}", of.part, of.value, of.unit, of.source),
        Body::Claim(of) => of.text.clone(),
        Body::Gauge(of) => of.label.clone(),
        Body::Rig(of) => of.name.clone(),
        Body::Mechanic(of) => format!("{}, {}", of.name, of.initials),
        Body::Calibration(of) => format!("on {}", of.spoke_kind),
        Body::Point(of) => of.raw_reading.clone(),
        Body::RodCheck(of) => format!("it read {}, the rod is {}", of.raw, of.expected),
        Body::Visit(of) => day(&told(of.taken, &of.taken_zone)),
        Body::Lap(of) => format!("{}, {}", of.takes.word(), of.state.word()),
        Body::Reading(of) => of.raw.clone(),
        Body::Weighing(of) => format!("{} g", of.raw),
        Body::Look(of) => of.finding.clone(),
        Body::Photo(of) => of.caption.clone().unwrap_or_default(),
        Body::Advice(of) => of.text.clone(),
        Body::Report(of) => of.title.clone(),
        Body::Turn(of) => format!("spoke {}, {} turns", of.spoke, of.turns),
        Body::Setting(of) => of.key.clone(),
        Body::Plan(_) | Body::Withdrawal(_) => String::new(),
    }
}

fn day(told: &str) -> String {
    told.split('T').next().unwrap_or_default().into()
}
