//! Cases of `validation/`: each says where its numbers come from, is used, and is in the table.

use std::collections::BTreeSet;

use super::{Complaint, Tree};

/// The table of all cases and how far the code is from each.
const TABLE: &str = "validation/README.md";

/// The names of the cases, in order.
pub(crate) fn names(tree: &Tree) -> BTreeSet<&str> {
    tree.files()
        .filter_map(|(path, _)| path.strip_prefix("validation/")?.split_once('/'))
        .map(|(case, _)| case)
        .collect()
}

/// The Rust files of the crates that name a case as a text of their own.
pub(crate) fn tests_naming<'a>(
    tree: &'a Tree,
    case: &'a str,
) -> impl Iterator<Item = &'a str> + use<'a> {
    let named = [
        format!("\"{case}\""),
        format!("validation/{case}\""),
        format!("validation/{case}/"),
    ];
    tree.rust()
        .filter(|(path, _)| path.starts_with("crates/"))
        .filter(move |(_, text)| {
            text.lines()
                .filter(|line| !super::tree::is_comment(line))
                .any(|line| named.iter().any(|name| line.contains(name)))
        })
        .map(|(path, _)| path)
}

pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let table = tree.text(TABLE).unwrap_or_default();
    let mut complaints = Vec::new();
    for case in names(tree) {
        let folder = format!("validation/{case}");
        if tree.text(&format!("{folder}/SOURCE.md")).is_none() {
            complaints.push(Complaint::of(
                &folder,
                "no SOURCE.md says where its numbers come from",
            ));
        }
        if tests_naming(tree, case).next().is_none() {
            complaints.push(Complaint::of(&folder, "no test names this case"));
        }
        if !table.contains(&format!("`{case}`")) {
            complaints.push(Complaint::of(TABLE, format!("no row for `{case}`")));
        }
    }
    complaints
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEST: (&str, &str) = (
        "crates/mechanics/tests/validation.rs",
        "// \"named-in-a-comment\"\nfn case() { validate(\"pinched-ring\"); }\nconst ARCH: &str = \"../validation/arch\";\n",
    );

    fn said<const N: usize>(files: [(&str, &str); N]) -> Vec<String> {
        check(&Tree::made_up(files))
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn cases_with_source_test_and_row_are_well() {
        let said = said([
            TEST,
            (
                "validation/README.md",
                "| `pinched-ring` | 1e-9 |\n| `arch` | 1e-9 |",
            ),
            ("validation/arch/SOURCE.md", "a textbook"),
            ("validation/pinched-ring/SOURCE.md", "strain energy"),
            ("validation/pinched-ring/expected.csv", "x\n1\n"),
        ]);
        assert_eq!(said, [""; 0]);
    }

    #[test]
    fn case_that_nobody_vouches_for_is_refused() {
        let said = said([
            TEST,
            ("validation/named-in-a-comment/expected.csv", "x\n1\n"),
        ]);
        assert_eq!(
            said,
            [
                "validation/named-in-a-comment: no SOURCE.md says where its numbers come from",
                "validation/named-in-a-comment: no test names this case",
                "validation/README.md: no row for `named-in-a-comment`",
            ]
        );
    }
}
