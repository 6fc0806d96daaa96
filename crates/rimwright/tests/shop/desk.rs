//! A bench with records beside its files: in a folder, or on the server of `cargo xtask ledger`.

#[path = "../../../workshop/tests/store/mod.rs"]
mod store;

use super::{BARE, Bench, LIMIT, Said, TYRED};
use serde_json::Value;
use std::path::PathBuf;
use std::process::Command;

/// A bench and the words that name its records.
pub(crate) struct Desk {
    pub(crate) bench: Bench,
    is_on_server: bool,
}

impl Desk {
    /// Records of its own, in whichever store the tests run on.
    pub(crate) fn new() -> Self {
        Self::with(store::database())
    }

    /// Records in a folder.
    pub(crate) fn in_a_folder() -> Self {
        Self::with(None)
    }

    fn with(address: Option<String>) -> Self {
        let bench = Bench::with(&[BARE, TYRED, LIMIT]);
        if let Some(address) = &address {
            bench.put("address", address.as_bytes());
        }
        Self {
            bench,
            is_on_server: address.is_some(),
        }
    }

    pub(crate) fn is_on_server(&self) -> bool {
        self.is_on_server
    }

    /// The words that name the records.
    pub(crate) fn place(&self) -> &'static [&'static str] {
        match self.is_on_server {
            true => &["--data", "data", "--ledger", "address"],
            false => &["--data", "data"],
        }
    }

    /// The program in the desk's folder, where nothing says whose home it is or where records are.
    pub(crate) fn homeless(&self) -> Command {
        let mut program = Command::new(env!("CARGO_BIN_EXE_rimwright"));
        program.current_dir(self.path(""));
        for name in [
            "RIMWRIGHT_DATA",
            "RIMWRIGHT_LEDGER",
            "XDG_DATA_HOME",
            "HOME",
        ] {
            program.env_remove(name);
        }
        program
    }

    /// Runs a verb on the records.
    pub(crate) fn run(&self, arguments: &[&str]) -> Said {
        self.run_with_input(arguments, "")
    }

    pub(crate) fn run_with_input(&self, arguments: &[&str], input: &str) -> Said {
        self.bench
            .run_with_input(&[arguments, self.place()].concat(), input)
    }

    /// Runs a verb that must end well.
    pub(crate) fn done(&self, arguments: &[&str]) -> Said {
        let said = self.run(arguments);
        assert_eq!(said.code, 0, "{arguments:?}: {}", said.err);
        said
    }

    /// Runs a verb that must be refused; yields what it says.
    pub(crate) fn told(&self, arguments: &[&str]) -> String {
        let said = self.run(arguments);
        assert_eq!(said.code, 3, "{arguments:?}: {}{}", said.out, said.err);
        said.err
    }

    pub(crate) fn json(&self, arguments: &[&str]) -> Value {
        self.done(&[arguments, &["--json"]].concat()).json()
    }

    /// Takes the bench's visit in; yields the wheel's label.
    pub(crate) fn visit_in(&self) -> String {
        let json = self.json(&["import", "visit.toml"]);
        text(&json["files"][0]["wheel"])
    }

    pub(crate) fn exported(&self, name: &str) -> Vec<u8> {
        self.done(&["export", "-o", name]);
        std::fs::read(self.path(name)).expect("an export")
    }

    pub(crate) fn put(&self, name: &str, bytes: &[u8]) {
        self.bench.put(name, bytes);
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.bench.path(name)
    }

    /// What `doctor` found, each with its verdict.
    pub(crate) fn verdicts(&self) -> Vec<(String, String)> {
        let json = self.json(&["doctor"]);
        let checks = json["checks"].as_array().expect("checks").iter();
        checks
            .map(|one| (text(&one["about"]), text(&one["verdict"])))
            .collect()
    }
}

pub(crate) fn text(value: &Value) -> String {
    value
        .as_str()
        .unwrap_or_else(|| panic!("a text, not {value}"))
        .into()
}
