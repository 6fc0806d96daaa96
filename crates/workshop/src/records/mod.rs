//! The use-cases on the ledger: what the shop takes in, reads and says is kept, and can be asked again.
//!
//! Whatever is put in is an entry that stays. A use-case that changes something says which entry it saw and
//! why it takes its place; when somebody else was quicker it is told so, and nothing is overwritten. What is
//! shown is worked out from the entries each time, through the same readers and the same survey as files:
//! what a file would be refused for, an entry is refused for.

mod alone;
mod at_lap;
mod at_once;
mod bench;
mod change_lap;
mod compose;
mod demo;
mod error;
mod exchange;
mod from_files;
mod gauge_asked;
mod judged;
mod lap;
mod live;
mod look_on;
mod measured;
mod out_of_view;
mod pen;
mod reckoned;
mod rod_check;
mod rounds;
mod seen;
mod shelf;
mod sort;
mod trace;
mod unmeasured;
mod upkeep;
mod visit;
mod wheel;

pub use ::wheel::Wheel;
pub use at_once::LapTaken;
pub use bench::{CalibrationAsked, PointAsked};
pub use change_lap::LapChanges;
pub use error::Error;
pub use exchange::{Conflict, Conflicts, Exported, Handed, Imported};
pub use files::wheel_file::Finding as OfWheel;
pub use from_files::{VisitIn, WhichWheel};
pub use gauge_asked::GaugeAsked;
pub use judged::{ClaimAsked, LimitAsked};
pub use lap::{LapAsked, Typed};
pub use ledger::find::ShelfMark;
pub use ledger::{Access, Hash, Id, Label, Place, entry};
pub use live::{Feed, News};
pub use metrology::Finding;
pub use metrology::visit::Visit;
pub use pen::{Pen, Written};
pub use rod_check::CheckAsked;
pub use rounds::{AtRound, LapsGo, Planned};
pub use sort::Sort;
pub use trace::CalledBack;
pub use upkeep::restore;
pub use visit::VisitAsked;
pub use wheel::{PartAsked, WheelAsked};

use ledger::Ledger;

/// The workshop with its records open.
///
/// A clone is another handle to the same records.
#[derive(Debug, Clone)]
pub struct Shop {
    ledger: Ledger,
    alone: alone::Alone,
}

impl Shop {
    /// Opens the records at a place; with [`Access::Write`] they are begun when there are none.
    ///
    /// # Errors
    /// [`Error::Unopened`]: nothing was changed there.
    pub async fn open(place: &Place, access: Access) -> Result<Self, Error> {
        Ok(Self {
            ledger: Ledger::open(place, access).await?,
            alone: alone::Alone::new(),
        })
    }

    /// Ends writing after what is under way, and gives the folder free.
    pub async fn close(self) {
        self.ledger.close().await;
    }
}
