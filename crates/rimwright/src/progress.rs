//! How far a long work is, on the error stream of a terminal.

use std::io::{IsTerminal, Write};

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

impl Drop for Progress {
    fn drop(&mut self) {
        if self.next > STEP {
            let _ = writeln!(std::io::stderr());
        }
    }
}
