//! An export as somebody would write it who has nothing but the guide.

use serde_json::{Map, Value, json};
use workshop::records::Hash;

/// Lines of an export; entries get ids one after the other.
#[derive(Clone)]
pub(crate) struct Lines {
    lines: Vec<String>,
    kept: usize,
}

impl Lines {
    pub(crate) fn new() -> Self {
        let lines = vec![json!({"schema": "rimwright.ledger/1"}).to_string()];
        Self { lines, kept: 0 }
    }

    /// Adds an entry of a kind with these fields; yields its id.
    pub(crate) fn entry(&mut self, kind: &str, fields: Value) -> String {
        self.entry_at("2026-03-04T09:20:00Z", kind, fields)
    }

    pub(crate) fn entry_at(&mut self, at: &str, kind: &str, fields: Value) -> String {
        self.add(at, None, kind, fields)
    }

    /// Adds an entry that takes the place of another.
    pub(crate) fn correction(&mut self, of: &str, kind: &str, fields: Value) -> String {
        self.add("2026-03-04T09:20:00Z", Some(of), kind, fields)
    }

    fn add(&mut self, at: &str, of: Option<&str>, kind: &str, fields: Value) -> String {
        let id = format!("019cb878-0000-7000-8000-{:012x}", self.lines.len());
        let head = json!({"id": id, "at": at, "zone": "Europe/Oslo", "by": "M", "origin": "shop"});
        let Value::Object(mut entry) = head else {
            unreachable!("it is an object")
        };
        if let Some(of) = of {
            entry.insert("supersedes".into(), of.into());
            entry.insert("why".into(), "a slip".into());
        }
        entry.insert(kind.into(), fields);
        self.lines.push(Value::Object(entry).to_string());
        id
    }

    /// Adds a wheel of this label and owner.
    pub(crate) fn wheel(&mut self, label: &str, owner: &str) -> String {
        let fields = json!({"label": label, "name": "rear", "owner": owner, "contact": "by the slip",
                            "file": "format = 1\n"});
        self.entry("wheel", fields)
    }

    /// Adds a rim of the maker `Fjordline` with what is noted of it.
    pub(crate) fn rim(&mut self, wheel: &str, noted: Value) -> String {
        let mut fields = Map::new();
        fields.insert("wheel".into(), wheel.into());
        fields.insert("what".into(), "rim".into());
        fields.insert("maker".into(), "Fjordline".into());
        if let Value::Object(noted) = noted {
            fields.extend(noted);
        }
        self.entry("part", Value::Object(fields))
    }

    /// Adds the bytes of a photo, so many times three zeros; yields their hash.
    pub(crate) fn zeros(&mut self, times: usize) -> String {
        let hash = Hash::of(&vec![0; 3 * times]).to_string();
        let line = json!({"kept": hash, "base64": "AAAA".repeat(times)});
        self.lines.push(line.to_string());
        self.kept += 1;
        hash
    }

    /// All of it, with its last line.
    pub(crate) fn text(&self) -> String {
        let entries = self.lines.len() - 1 - self.kept;
        let last = json!({"entries": entries, "kept": self.kept});
        format!("{}\n{last}\n", self.lines.join("\n"))
    }
}
