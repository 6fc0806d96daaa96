//! The ledger where the ordinary tests do not go: on a server, killed two hundred times, and at full size.

use std::fs;
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail, ensure};

use crate::checkout::{Checkout, run, run_all};
use crate::debian;
use crate::lane::Outcome;

/// Where Debian's package keeps the server's programs, below the folder of the version.
const PROGRAMS: &str = "/usr/lib/postgresql";

/// How often `kills` kills the process that writes.
const KILLS: &str = "200";

/// Tests of the use-cases and the verbs that are told in a folder among all tests, and here on the server.
const ON_EITHER_STORE: [&str; 5] = ["records", "exchange", "every_kind", "ledger", "rounds"];

/// Tells the ledger's story on a PostgreSQL server started for it, or runs one of the long lanes.
pub(crate) fn ledger(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        [] => on_a_server(checkout)?,
        ["kills"] => {
            let mut test = checkout.cargo("test --package ledger --test durable after_a_kill");
            run(test.env("RIMWRIGHT_KILLS", KILLS))?;
        }
        ["scale", ref rest @ ..] => {
            let mut scale = checkout.cargo("run --release --package workshop --example scale --");
            run(scale.args(rest))?;
        }
        _ => bail!(
            "`ledger` knows `kills` and `scale [WHEELS]`, not `{}`",
            words.join(" ")
        ),
    }
    Ok(Outcome::Done)
}

/// Runs every test that wants a server, and those that serve either store. The first fail without one, so that none passes unseen.
fn on_a_server(checkout: &Checkout) -> Result<()> {
    let server = Server::start()?;
    let mut own = checkout.cargo("test --package ledger --features server --no-fail-fast");
    own.args(["--lib", "--test", "server", "--test", "vintages"]);
    let mut above = checkout.cargo("test --workspace --no-fail-fast"); // as built for the other tests
    above.args(ON_EITHER_STORE.iter().flat_map(|name| ["--test", name]));
    let mut folders = vec![server.programs.clone()]; // `createdb` is among them
    folders.extend(std::env::split_paths(
        &std::env::var_os("PATH").unwrap_or_default(),
    ));
    let path = std::env::join_paths(folders)?;
    run_all([own, above].map(|mut tests| {
        tests
            .env("RIMWRIGHT_TEST_SERVER", &server.address)
            .env("PATH", &path);
        tests
    }))
}

/// A server of our own on the loopback, with a new data folder; it ends with this value.
struct Server {
    address: String,
    programs: PathBuf,
    folder: PathBuf,
}

impl Server {
    fn start() -> Result<Self> {
        let programs = programs()?;
        let folder =
            std::env::temp_dir().join(format!("rimwright-postgres-{}", std::process::id()));
        fs::create_dir_all(&folder)
            .with_context(|| format!("{} cannot be made", folder.display()))?;
        if debian::is_superuser() {
            run(Command::new("chown").arg("postgres").arg(&folder))?;
        }
        let port = TcpListener::bind("127.0.0.1:0")?.local_addr()?.port(); // free until we let it go
        let server = Self {
            address: format!("postgres://rimwright@127.0.0.1:{port}"),
            programs,
            folder,
        };
        run(server.program("initdb").args([
            "--auth=trust",
            "--username=rimwright",
            "--encoding=UTF8",
            "--locale=C",
        ]))?;
        let listens =
            format!("-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories=");
        let log = server.folder.join("log");
        run(server
            .program("pg_ctl")
            .args(["start", "--wait", "--options", &listens, "--log"])
            .arg(log))?;
        Ok(server)
    }

    /// One of the server's programs about its data, as a user that the server accepts: never the superuser.
    fn program(&self, name: &str) -> Command {
        let program = self.programs.join(name);
        let mut command = if debian::is_superuser() {
            let mut other = Command::new("setpriv");
            other
                .args(["--reuid=postgres", "--regid=postgres", "--init-groups"])
                .arg(program);
            other
        } else {
            Command::new(program)
        };
        command
            .current_dir(&self.folder)
            .arg("--pgdata")
            .arg(self.folder.join("data"));
        command
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let stopped = run(self
            .program("pg_ctl")
            .args(["stop", "--wait", "--mode=fast"]));
        match stopped {
            Ok(()) => {
                let _ = fs::remove_dir_all(&self.folder); // what is left lies in the system's folder for such
            }
            Err(trouble) => println!("{trouble:#}; its folder is {}", self.folder.display()),
        }
    }
}

/// The folder of the server's programs, of the newest version there is; installed when there is none.
fn programs() -> Result<PathBuf> {
    if let Some(found) = newest(Path::new(PROGRAMS)) {
        return Ok(found);
    }
    ensure!(
        debian::install(["postgresql"])?,
        "PostgreSQL is not on this machine: install Debian's package `postgresql`"
    );
    newest(Path::new(PROGRAMS)).context("the package `postgresql` brought no server")
}

fn newest(versions: &Path) -> Option<PathBuf> {
    let folders = fs::read_dir(versions)
        .ok()?
        .filter_map(|entry| Some(entry.ok()?.path()));
    let version = |folder: &PathBuf| folder.file_name()?.to_str()?.parse::<u32>().ok();
    let newest = folders
        .filter(|folder| folder.join("bin/postgres").is_file())
        .max_by_key(version)?;
    Some(newest.join("bin"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn newest_version_is_by_number_and_has_a_server() {
        let versions =
            std::env::temp_dir().join(format!("rimwright-versions-{}", std::process::id()));
        for version in ["9", "15", "16", "not-one"] {
            fs::create_dir_all(versions.join(version).join("bin")).expect("made");
        }
        assert_eq!(newest(&versions), None);
        for version in ["9", "15"] {
            fs::write(versions.join(version).join("bin/postgres"), "").expect("made");
        }
        assert_eq!(newest(&versions), Some(versions.join("15/bin")));
        fs::remove_dir_all(versions).expect("removed");
    }
}
