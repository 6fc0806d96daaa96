//! What the engine does not know: files, sockets, the environment, waiting, and storage of its types.

use super::tree::{is_comment, numbered};
use super::{Complaint, Tree};

/// Crates whose answer hangs on their arguments alone.
const PURE: [&str; 6] = [
    "quantity",
    "wheel",
    "mechanics",
    "metrology",
    "truing",
    "report",
];

/// What would make it hang on something else.
const OUTSIDE: [(&str, &str); 9] = [
    ("std::fs", "files"),
    ("std::io", "streams"),
    ("std::net", "the network"),
    ("std::env", "the environment"),
    ("std::process", "other programs"),
    ("std::thread", "threads"),
    ("async fn", "waiting"),
    ("async move", "waiting"),
    ("serde::", "storage"),
];

pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for (path, text) in tree.product() {
        let Some(name) = PURE
            .iter()
            .find(|name| path.starts_with(&format!("crates/{name}/")))
        else {
            continue;
        };
        for (line, words) in numbered(text).filter(|(_, words)| !is_comment(words)) {
            for (_, what) in OUTSIDE.iter().filter(|(word, _)| words.contains(word)) {
                complaints.push(Complaint::at(
                    path,
                    line,
                    format!("`{name}` knows nothing of {what}: same input, same output"),
                ));
            }
        }
    }
    complaints
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn engine_reads_no_file_and_its_tests_may() {
        let complaints = check(&Tree::made_up([
            (
                "crates/wheel/src/rim.rs",
                "// no std::fs here\nuse std::fs::read;\n\n#[cfg(test)]\nmod tests {\nuse std::fs;\n}\n",
            ),
            ("crates/wheel/tests/validation.rs", "use std::fs::read;\n"),
            ("crates/workshop/src/lib.rs", "use std::fs::read;\n"),
        ]));
        assert_eq!(complaints.len(), 1, "{complaints:?}");
        assert_eq!(
            complaints[0].to_string(),
            "crates/wheel/src/rim.rs:2: `wheel` knows nothing of files: same input, same output"
        );
    }
}
