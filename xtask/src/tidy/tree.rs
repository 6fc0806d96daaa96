//! The text of the checkout as the rules see it: what git keeps or would keep.

use std::collections::{BTreeMap, BTreeSet};

use anyhow::{Context, Result};

use crate::checkout::{Checkout, answer};

/// Files by their path from the project's folder, with their text.
#[derive(Debug, Default)]
pub(crate) struct Tree {
    files: BTreeMap<String, String>,
    tests: BTreeSet<String>,
}

impl Tree {
    /// Every file in git's care and every new one it would take; what is not text is left out.
    pub(crate) fn of(checkout: &Checkout) -> Result<Self> {
        let mut git = checkout.command("git");
        git.args([
            "ls-files",
            "-z",
            "--cached",
            "--others",
            "--exclude-standard",
        ]);
        let mut files = BTreeMap::new();
        for path in answer(&mut git)?.split_terminator('\0') {
            let place = checkout.root().join(path);
            if !place.is_file() {
                continue; // deleted and not yet recorded
            }
            let bytes = std::fs::read(&place).with_context(|| format!("{path} cannot be read"))?;
            if let Ok(text) = String::from_utf8(bytes) {
                files.insert(path.to_string(), text);
            }
        }
        Ok(Self::new(files))
    }

    fn new(files: BTreeMap<String, String>) -> Self {
        let mut tree = Self {
            files,
            tests: BTreeSet::new(),
        };
        tree.tests = tree.declared_tests();
        tree
    }

    /// A made-up tree.
    #[cfg(test)]
    pub(crate) fn made_up<const N: usize>(files: [(&str, &str); N]) -> Self {
        Self::new(
            files
                .map(|(path, text)| (path.to_string(), text.to_string()))
                .into(),
        )
    }

    /// How many files there are.
    pub(crate) fn len(&self) -> usize {
        self.files.len()
    }

    /// Path and text of every file, in the order of their paths.
    pub(crate) fn files(&self) -> impl Iterator<Item = (&str, &str)> {
        self.files.iter().map(|(path, text)| (&**path, &**text))
    }

    /// Path and text of every Rust file.
    pub(crate) fn rust(&self) -> impl Iterator<Item = (&str, &str)> {
        self.files().filter(|(path, _)| path.ends_with(".rs"))
    }

    /// Path and text of every Rust file that is part of what is built, its tests cut off.
    pub(crate) fn product(&self) -> impl Iterator<Item = (&str, &str)> {
        self.rust()
            .filter(|(path, _)| path.contains("/src/") && !self.is_test(path))
            .map(|(path, text)| (path, without_tests(text)))
    }

    /// The text of one file.
    pub(crate) fn text(&self, path: &str) -> Option<&str> {
        self.files.get(path).map(String::as_str)
    }

    fn is_test(&self, path: &str) -> bool {
        self.tests.iter().any(|module| {
            path.strip_prefix(module.as_str())
                .is_some_and(|rest| rest == ".rs" || rest.starts_with('/'))
        })
    }

    /// Modules that a parent declares for tests only, as paths without their ending.
    fn declared_tests(&self) -> BTreeSet<String> {
        let mut found = BTreeSet::new();
        for (path, text) in self.rust() {
            let (folder, file) = path.rsplit_once('/').unwrap_or(("", path));
            let inside = match file {
                "lib.rs" | "main.rs" | "mod.rs" => folder.to_string(),
                _ => path.trim_end_matches(".rs").to_string(),
            };
            let lines: Vec<&str> = text.lines().collect();
            for pair in lines.windows(2) {
                let name = pair[1]
                    .trim()
                    .strip_prefix("mod ")
                    .and_then(|rest| rest.strip_suffix(';'));
                if let ("#[cfg(test)]", Some(name)) = (pair[0].trim(), name) {
                    found.insert(format!("{inside}/{name}"));
                }
            }
        }
        found
    }
}

/// The part of a file above its foot of tests.
fn without_tests(text: &str) -> &str {
    match text.find("\n#[cfg(test)]\nmod tests {") {
        Some(foot) => &text[..=foot],
        None => text,
    }
}

/// Whether a line of Rust is a comment and nothing else.
pub(crate) fn is_comment(line: &str) -> bool {
    line.trim_start().starts_with("//")
}

/// The lines of a text with their numbers, counted from one.
pub(crate) fn numbered(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn product_is_what_lies_in_src_without_its_tests() {
        let tree = Tree::made_up([
            (
                "crates/wheel/src/lib.rs",
                "mod rim;\n\n#[cfg(test)]\nmod laws;\n",
            ),
            (
                "crates/wheel/src/rim.rs",
                "struct Rim;\n\n#[cfg(test)]\nmod tests {\n}\n",
            ),
            ("crates/wheel/src/laws.rs", "fn law() {}\n"),
            ("crates/wheel/src/laws/deep.rs", "fn law() {}\n"),
            ("crates/wheel/tests/properties.rs", "fn law() {}\n"),
        ]);
        let product: Vec<_> = tree.product().collect();
        assert_eq!(
            product,
            [
                (
                    "crates/wheel/src/lib.rs",
                    "mod rim;\n\n#[cfg(test)]\nmod laws;\n"
                ),
                ("crates/wheel/src/rim.rs", "struct Rim;\n\n"),
            ]
        );
    }
}
