//! Where the records of a test lie. `cargo xtask ledger` has a server, and runs the same tests there once more.

use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};

/// Where the lane's server is: `postgres://user@host:port`.
const SERVER: &str = "RIMWRIGHT_TEST_SERVER";

/// How many cases of a law are tried, of those that are tried in folders: a database takes longer to make.
#[allow(dead_code, reason = "only laws ask")]
pub(crate) fn cases(in_folders: u32) -> u32 {
    match std::env::var_os(SERVER) {
        None => in_folders,
        Some(_) => in_folders.div_ceil(4),
    }
}

/// The address of an empty database of its own, when the tests are run on a server.
pub(crate) fn database() -> Option<String> {
    static MADE: AtomicU32 = AtomicU32::new(0);
    let server = std::env::var(SERVER).ok()?;
    let number = MADE.fetch_add(1, Ordering::Relaxed);
    let name = format!("own_{}_{number}", std::process::id());
    let made = Command::new("createdb")
        .arg(format!("--maintenance-db={server}/postgres"))
        .arg(&name)
        .status()
        .expect("the lane has put the server's programs on the path");
    assert!(made.success(), "{name} was not made");
    Some(format!("{server}/{name}"))
}
