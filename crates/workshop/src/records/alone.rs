//! One hand at a time at a lap, a calibration, or the turns of a visit; hands at different ones do not wait for each
//! other.

use super::Id;
use std::sync::Arc;
use tokio::sync::{Mutex, MutexGuard};

/// Many more than there are hands in a workshop, so that two of them seldom meet at one.
const LOCKS: usize = 64;

/// Held between looking at a thing and entering what follows on what was seen, so that two hands of this program
/// do not fill the same place.
#[derive(Debug, Clone)]
pub(super) struct Alone {
    locks: Arc<[Mutex<()>; LOCKS]>,
}

impl Alone {
    pub(super) fn new() -> Self {
        let locks = Arc::new(std::array::from_fn(|_| Mutex::new(())));
        Self { locks }
    }

    /// Waits until nobody else of this program is at the thing.
    pub(super) async fn at(&self, thing: Id) -> MutexGuard<'_, ()> {
        // The last byte of an id is as good as drawn.
        let place = usize::from(thing.to_bytes()[15]) % LOCKS;
        self.locks[place].lock().await
    }
}
