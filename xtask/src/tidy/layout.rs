//! Names and sizes of files, and what every crate's manifest holds.

use super::tree::numbered;
use super::{Complaint, Tree};

/// Beyond this a file tells more than one story.
const MOST_LINES: usize = 500;

/// Names that say nothing of what is inside.
const EMPTY_NAMES: [&str; 7] = [
    "utils", "common", "helpers", "core", "types", "manager", "service",
];

pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    complaints.extend(long_files(tree));
    complaints.extend(empty_names(tree));
    complaints.extend(split_modules(tree));
    complaints.extend(manifests(tree));
    complaints
}

fn long_files(tree: &Tree) -> impl Iterator<Item = Complaint> {
    tree.product().filter_map(|(path, text)| {
        let lines = numbered(text.trim_end()).count();
        (lines > MOST_LINES).then(|| {
            Complaint::of(
                path,
                format!("{lines} lines without its tests; {MOST_LINES} are refused: split it by what it tells"),
            )
        })
    })
}

fn empty_names(tree: &Tree) -> impl Iterator<Item = Complaint> {
    tree.rust().filter_map(|(path, _)| {
        let empty = path
            .trim_end_matches(".rs")
            .split('/')
            .find(|part| EMPTY_NAMES.contains(part))?;
        Some(Complaint::of(
            path,
            format!("`{empty}` says nothing of what is inside: name it after the thing"),
        ))
    })
}

fn split_modules(tree: &Tree) -> impl Iterator<Item = Complaint> {
    tree.rust().filter_map(|(path, _)| {
        let folder = path.strip_suffix("/mod.rs")?;
        let twin = format!("{folder}.rs");
        tree.text(&twin)
            .map(|_| Complaint::of(&twin, "stands beside its folder: move it in as mod.rs"))
    })
}

/// A module's folder without its `mod.rs` and a crate without the shared lints.
fn manifests(tree: &Tree) -> impl Iterator<Item = Complaint> {
    tree.files().filter_map(|(path, text)| {
        let inside = path.starts_with("crates/") || path.starts_with("xtask/");
        if !inside || !path.ends_with("Cargo.toml") || text.contains("[lints]\nworkspace = true") {
            return None;
        }
        Some(Complaint::of(
            path,
            "the shared lints are missing: `[lints]`, `workspace = true`",
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said<const N: usize>(files: [(&str, &str); N]) -> Vec<String> {
        check(&Tree::made_up(files))
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn file_of_501_lines_is_refused_and_its_tests_do_not_count() {
        let full = "//\n".repeat(MOST_LINES);
        let over = "//\n".repeat(MOST_LINES + 1);
        let tested = format!("{full}\n#[cfg(test)]\nmod tests {{\n{full}}}\n");
        let said = said([
            ("crates/wheel/src/full.rs", &full),
            ("crates/wheel/src/over.rs", &over),
            ("crates/wheel/src/tested.rs", &tested),
            ("crates/wheel/tests/over.rs", &over),
        ]);
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(said[0].starts_with("crates/wheel/src/over.rs: 501 lines"));
    }

    #[test]
    fn file_or_folder_with_an_empty_name_is_refused() {
        let said = said([
            ("crates/wheel/src/utils.rs", ""),
            ("crates/wheel/tests/common/mod.rs", ""),
            ("crates/wheel/src/typesetting.rs", ""),
        ]);
        assert_eq!(said.len(), 2, "{said:?}");
    }

    #[test]
    fn module_beside_its_folder_is_refused() {
        let said = said([
            ("crates/wheel/src/rim.rs", ""),
            ("crates/wheel/src/rim/mod.rs", ""),
        ]);
        assert_eq!(
            said,
            ["crates/wheel/src/rim.rs: stands beside its folder: move it in as mod.rs"]
        );
    }

    #[test]
    fn crate_without_the_shared_lints_is_refused() {
        let said = said([
            ("crates/wheel/Cargo.toml", "[package]\n"),
            ("crates/rim/Cargo.toml", "[lints]\nworkspace = true\n"),
        ]);
        assert_eq!(said.len(), 1, "{said:?}");
    }
}
