//! What every page works with: the shop's records, who is at the page, and where a fault is told.

use crate::hand::Hand;
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::response::Redirect;
use quantity::force::ForceUnit;
use tokio::sync::watch;
use workshop::records::{self, Id, Pen, Shop, Sort};

/// The setting that says in which unit forces are shown.
pub(crate) const UNIT: &str = "force_unit";
/// Who stands on a row when nobody said who is at the page; shown as something that is missing.
pub(crate) const NOBODY: &str = "not said";

/// What every page works with.
#[derive(Debug, Clone)]
pub(crate) struct Desk {
    /// The records.
    pub shop: Shop,
    tell: fn(&str),
    /// Turns true when the program is about to end.
    pub closing: watch::Receiver<bool>,
}

impl Desk {
    /// A desk in this shop.
    pub(crate) fn new(shop: Shop, tell: fn(&str), closing: watch::Receiver<bool>) -> Self {
        Self {
            shop,
            tell,
            closing,
        }
    }

    /// What is shown in place of what did not work. A cause that lies in the machine goes to whoever runs
    /// the program; the page says only that it was so.
    pub(crate) fn refuse(&self, error: &records::Error) -> Refusal {
        match error.sort() {
            Sort::Missing => Refusal::not_there("such thing"),
            Sort::Collision => Refusal::collides(&error.to_string()),
            Sort::Input => Refusal::input(&error.to_string()),
            Sort::Fault => {
                (self.tell)(&error.to_string());
                Refusal::fault()
            }
        }
    }

    /// Which entry a form corrects, and why; what it corrects belongs to the thing in the page's address.
    pub(crate) async fn correction<'p>(
        &self,
        posted: &'p Posted,
        of: Id,
    ) -> Result<(Id, &'p str), Refusal> {
        let seen = self.seen(id(posted.raw("seen"))?, of).await?;
        Ok((seen, posted.line("why")?.unwrap_or_default()))
    }

    /// An entry that a form names, once it is seen to belong to the thing in the page's address.
    pub(crate) async fn seen(&self, entry: Id, of: Id) -> Result<Id, Refusal> {
        let belongs = self.shop.belongs(entry, of).await;
        belongs.map_err(|error| self.refuse(&error))?;
        Ok(entry)
    }

    /// Back to a page of ours once something was written; else why it was not, and the way back there.
    pub(crate) fn back<T>(
        &self,
        done: Result<T, records::Error>,
        address: &str,
    ) -> Result<Redirect, Refusal> {
        match done {
            Ok(_) => Ok(Redirect::to(address)),
            Err(error) => Err(self.refuse(&error).then(address, "Back")),
        }
    }

    /// What may be said of an error beside what else a page shows.
    pub(crate) fn words(&self, error: &records::Error) -> String {
        match error.sort() {
            Sort::Missing | Sort::Collision | Sort::Input => error.to_string(),
            Sort::Fault => {
                (self.tell)(&error.to_string());
                "the records could not be written just now".into()
            }
        }
    }

    /// A figure or a page that cannot be drawn is a fault of the program.
    pub(crate) fn undrawn(&self, error: &report::Error) -> Refusal {
        (self.tell)(&error.to_string());
        Refusal::fault()
    }

    /// The unit in which forces are shown.
    pub(crate) async fn unit(&self) -> Result<ForceUnit, Refusal> {
        let settings = self.shop.settings().await.map_err(|e| self.refuse(&e))?;
        let unit = settings.iter().find(|(key, _)| key == UNIT);
        Ok(match unit.map(|(_, value)| value.as_str()) {
            Some("n") => ForceUnit::N,
            Some("lbf") => ForceUnit::Lbf,
            _ => ForceUnit::Kgf,
        })
    }
}

/// An id from a page's address.
pub(crate) fn id(text: &str) -> Result<Id, Refusal> {
    text.parse().map_err(|_| Refusal::not_there("such thing"))
}

impl Frame {
    /// The pen of whoever is at this page, for the entry that this form was given an id for.
    pub(crate) fn pen(&self, posted: &Posted) -> Result<Pen, Refusal> {
        self.pen_for(posted.raw("entry"))
    }

    /// The same for an entry with this id; for one that gets its id when it is written, when it is empty.
    pub(crate) fn pen_for(&self, entry: &str) -> Result<Pen, Refusal> {
        let pen = Pen::of(self.by());
        if entry.is_empty() {
            return Ok(pen);
        }
        let id = entry.parse().map_err(|_| Refusal::no_form())?;
        Ok(pen.with_id(id))
    }

    /// Who is at this page.
    pub(crate) fn by(&self) -> &str {
        self.by.as_deref().unwrap_or(NOBODY)
    }
}

impl FromRequestParts<Desk> for Frame {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, desk: &Desk) -> Result<Self, Refusal> {
        let hand = parts.extensions.get::<Hand>().cloned();
        Ok(Self {
            hand: hand.ok_or_else(Refusal::other_hand)?,
            by: crate::settings::who(&parts.headers),
            has_demo: desk
                .shop
                .has_demo()
                .await
                .map_err(|error| desk.refuse(&error))?,
        })
    }
}
