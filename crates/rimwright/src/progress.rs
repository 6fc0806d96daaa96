//! How far a long work is, on the error stream of a terminal.

use std::future::Future;
use std::io::{IsTerminal, Write};
use std::time::Duration;

/// Tells how many of something are done, now and then.
pub(crate) struct Progress {
    of: &'static str,
    next: u64,
    is_seen: bool,
}

/// So many between two tellings.
const STEP: u64 = 10_000;

impl Progress {
    /// Nothing done yet.
    pub(crate) fn of(of: &'static str) -> Self {
        Self {
            of,
            next: STEP,
            is_seen: std::io::stderr().is_terminal(),
        }
    }

    /// So many are done.
    pub(crate) fn heard(&mut self, done: u64) {
        if done >= self.next && self.is_seen {
            self.next = done + STEP;
            // Nothing hangs on whether this can be shown.
            let _ = write!(std::io::stderr(), "\r{done} {} …", self.of);
        }
    }
}

/// Seconds that pass before one wonders whether anything happens.
const PATIENCE: u32 = 3;

/// Does a work that says nothing of how far it is, and tells second by second that it goes on.
pub(crate) async fn beside<T>(what: &str, work: impl Future<Output = T>) -> T {
    let mut work = std::pin::pin!(work);
    let is_seen = std::io::stderr().is_terminal();
    let mut seconds = 0;
    loop {
        match tokio::time::timeout(Duration::from_secs(1), &mut work).await {
            Err(_) => seconds += 1,
            Ok(done) => {
                if is_seen && seconds >= PATIENCE {
                    let _ = writeln!(std::io::stderr());
                }
                return done;
            }
        }
        if is_seen && seconds >= PATIENCE {
            // Nothing hangs on whether this can be shown.
            let _ = write!(std::io::stderr(), "\r{what}: {seconds} s …");
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.next > STEP {
            let _ = writeln!(std::io::stderr());
        }
    }
}
