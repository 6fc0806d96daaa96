//! The workshop's ledger: who did, read and said what, and when.
//!
//! What is put in is an [`Entry`]: a stamp of who and when, and one thing that was done, read or said. An entry
//! is never changed and never deleted. A correction is another entry that supersedes it and says why; the one
//! corrected stays. What is true now follows from the entries alone and is worked out anew whenever it is
//! asked ([`state`]).
//!
//! Invariants:
//! - What was acknowledged is on the disk ([`Ledger::append`]).
//! - Of two who correct the same entry, one is told that the other was quicker.
//! - The order of entries is the order of their ids, which rises with cause whatever the clock does ([`Id`]).
//! - Whatever stands in an entry is read back exactly; a text as typed stays beside its number.
//!
//! Two stores serve it, SQLite in a folder and PostgreSQL on a server ([`Place`]). SQL stands in this crate
//! alone, each statement once.

mod cell;
mod id;
mod label;

pub mod entry;
pub mod state;

mod store;

mod aids;
mod append;
mod kept;
mod listen;
mod read;
mod snapshot;
mod writer;

pub mod backup;
pub mod check;
pub mod find;

mod ledger;
#[cfg(test)]
mod plans;

pub use append::{Finding, Receipt, Refusal, Rehearsal, Seen};
pub use cell::{Cell, Column, Hash, Misfit, Sort};
pub use entry::{Body, Entry, Kind, Origin, Stamp};
pub use id::{Id, Moment, NoId};
pub use label::{Label, NoLabel};
pub use ledger::{Access, Ledger, Place};
pub use snapshot::Snapshot;
pub use store::{Trouble, Unopened};
