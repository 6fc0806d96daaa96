//! Words that do not stand in the project: work put off, and where a machine keeps things.

use super::tree::numbered;
use super::{Complaint, Tree};

/// Words in code that put work off or hide a test. Split here, so that this file does not hold them.
const PUT_OFF_IN_CODE: [(&str, &str); 3] = [
    (
        concat!("#[", "ignore"),
        "a test that is slow has its own lane; one that is wrong goes",
    ),
    (concat!("todo", "!("), "build it or leave the place out"),
    (
        concat!("unimple", "mented!("),
        "build it or leave the place out",
    ),
];

/// Notes to oneself, as whole words in any text.
const PUT_OFF: [&str; 3] = [
    concat!("TO", "DO"),
    concat!("FIX", "ME"),
    concat!("XX", "X"),
];

/// Where packages come from: named by the ordinary clients, never by us.
const REGISTRY_HOSTS: [&str; 9] = [
    concat!("crates", ".io"),
    concat!("pypi", ".org"),
    concat!("python", "hosted.org"),
    concat!("npm", "js.org"),
    concat!("npm", "js.com"),
    concat!("deb.", "debian.org"),
    concat!("security.", "debian.org"),
    concat!("proxy.", "golang.org"),
    concat!("docs", ".rs/"),
];

/// Folders of one machine: the project lies anywhere.
const MACHINE_FOLDERS: [&str; 5] = [
    concat!("/wo", "rk/"),
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/Us", "ers/"),
    concat!("/t", "mp/"),
];

/// Files that other programs write, or that hold one word for every reason.
const NOT_READ: [&str; 5] = ["Cargo.lock", "package-lock.json", ".svg", ".snap", ".html"];

pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    let read = |path: &str| !NOT_READ.iter().any(|ending| path.ends_with(ending));
    for (path, text) in tree.files().filter(|(path, _)| read(path)) {
        for (line, words) in numbered(text) {
            complaints.extend(
                refusals(path, words)
                    .into_iter()
                    .map(|text| Complaint::at(path, line, text)),
            );
        }
    }
    complaints
}

fn refusals(path: &str, line: &str) -> Vec<String> {
    let mut found = Vec::new();
    if path.ends_with(".rs") {
        for (word, instead) in PUT_OFF_IN_CODE {
            if line.contains(word) {
                found.push(format!("`{word}`: {instead}"));
            }
        }
    }
    for word in PUT_OFF.iter().filter(|word| has_word(line, word)) {
        found.push(format!(
            "`{word}`: do it now, or file it where work is planned"
        ));
    }
    for host in REGISTRY_HOSTS.iter().filter(|host| line.contains(**host)) {
        found.push(format!(
            "`{host}`: packages are named, the places they come from are not"
        ));
    }
    for folder in MACHINE_FOLDERS {
        if starts_path(line, folder) {
            found.push(format!(
                "`{folder}`: a folder of one machine; say where it lies in the project"
            ));
        }
    }
    found
}

/// Whether the line holds the word by itself, not as part of a longer one.
fn has_word(line: &str, word: &str) -> bool {
    let inside = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(word).any(|(at, _)| {
        !line[..at].ends_with(inside) && !line[at + word.len()..].starts_with(inside)
    })
}

/// Whether a path in the line starts with the folder, rather than passing through one of that name.
fn starts_path(line: &str, folder: &str) -> bool {
    let passing = |c: char| c.is_alphanumeric() || "_-.}~*/".contains(c);
    line.match_indices(folder)
        .any(|(at, _)| !line[..at].ends_with(passing))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(path: &str, text: &str) -> usize {
        check(&Tree::made_up([(path, text)])).len()
    }

    #[test]
    fn work_put_off_is_refused() {
        for (word, _) in PUT_OFF_IN_CODE {
            assert_eq!(said("crates/wheel/src/rim.rs", word), 1, "{word}");
            assert_eq!(said("docs/guide/rim.md", word), 0, "{word}");
        }
        for word in PUT_OFF {
            assert_eq!(
                said("docs/guide/rim.md", &format!("({word}: later)")),
                1,
                "{word}"
            );
            assert_eq!(said("docs/guide/rim.md", &format!("{word}S")), 0, "{word}");
        }
    }

    #[test]
    fn where_packages_come_from_is_not_named() {
        for host in REGISTRY_HOSTS {
            assert_eq!(
                said("README.md", &format!("see https://{host}/x")),
                1,
                "{host}"
            );
            assert_eq!(
                said("Cargo.lock", &format!("see https://{host}/x")),
                0,
                "{host}"
            );
        }
    }

    #[test]
    fn folder_of_one_machine_is_refused_and_a_folder_of_ours_is_not() {
        for folder in MACHINE_FOLDERS {
            assert_eq!(
                said("README.md", &format!("in `{folder}rim`")),
                1,
                "{folder}"
            );
            assert_eq!(
                said("README.md", &format!("in target{folder}rim")),
                0,
                "{folder}"
            );
        }
    }
}
