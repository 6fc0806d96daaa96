//! Imports between our crates: strictly down, and only along this table.

use anyhow::{Context, Result};
use serde_json::Value;

use super::Complaint;

/// What each crate may import; the test `every_import_goes_down` proves that it is a ladder.
///
/// A crate that is not here does not get in without a row, and a row wants a decision record.
const MAY_IMPORT: [(&str, &[&str]); 12] = [
    ("quantity", &[]),
    ("wheel", &["quantity"]),
    ("mechanics", &["wheel", "quantity"]),
    ("metrology", &["mechanics", "wheel", "quantity"]),
    ("truing", &["metrology", "mechanics", "wheel", "quantity"]),
    (
        "report",
        &["truing", "metrology", "mechanics", "wheel", "quantity"],
    ),
    (
        "files",
        &["truing", "metrology", "mechanics", "wheel", "quantity"],
    ),
    (
        "ledger",
        &["truing", "metrology", "mechanics", "wheel", "quantity"],
    ),
    (
        "workshop",
        &[
            "ledger",
            "files",
            "report",
            "truing",
            "metrology",
            "mechanics",
            "wheel",
            "quantity",
        ],
    ),
    ("stand", &["workshop", "report", "wheel", "quantity"]),
    ("rimwright", &["workshop", "stand", "quantity"]),
    ("xtask", &[]),
];

/// Crates that pass values through unchanged and derive no storage for them.
const WITHOUT_SERDE: [&str; 8] = [
    "quantity",
    "wheel",
    "mechanics",
    "metrology",
    "truing",
    "report",
    "ledger",
    "rimwright",
];

/// Complaints about the graph that `cargo metadata` found, dependencies of tests and builds included.
pub(super) fn edges(metadata: &Value) -> Result<Vec<Complaint>> {
    let packages = metadata["packages"]
        .as_array()
        .context("`cargo metadata` lists no packages")?;
    let name = |value: &Value| value["name"].as_str().unwrap_or_default().to_string();
    let ours: Vec<String> = packages.iter().map(name).collect();
    let mut complaints = Vec::new();
    for package in packages {
        let from = name(package);
        let Some((_, allowed)) = MAY_IMPORT.iter().find(|(row, _)| *row == from) else {
            complaints.push(Complaint::of(
                &from,
                "a crate without a row in the table of imports (xtask/src/tidy/graph.rs); \
                 a new crate wants a decision record that says what its seam forbids",
            ));
            continue;
        };
        if !package["publish"].as_array().is_some_and(Vec::is_empty) {
            complaints.push(Complaint::of(
                &from,
                "`publish.workspace = true` is missing",
            ));
        }
        for dependency in package["dependencies"].as_array().into_iter().flatten() {
            let to = name(dependency);
            if ours.contains(&to) && !allowed.contains(&&*to) && to != from {
                complaints.push(Complaint::of(
                    &from,
                    format!(
                        "may not import `{to}`: imports go down, along the table in ARCHITECTURE.md"
                    ),
                ));
            }
            if to == "serde" && dependency["kind"].is_null() && WITHOUT_SERDE.contains(&&*from) {
                complaints.push(Complaint::of(
                    &from,
                    "may not depend on serde: only `files` and the views of `workshop` derive it",
                ));
            }
        }
    }
    Ok(complaints)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn package(name: &str, dependencies: Value) -> Value {
        json!({ "name": name, "publish": [], "dependencies": dependencies })
    }

    fn said(packages: Value) -> Vec<String> {
        let complaints = edges(&json!({ "packages": packages })).expect("packages");
        complaints.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn every_import_goes_down() {
        for (row, (_, imports)) in MAY_IMPORT.iter().enumerate() {
            for import in *imports {
                assert!(MAY_IMPORT[..row].iter().any(|(above, _)| above == import));
            }
        }
    }

    #[test]
    fn import_along_the_table_is_allowed() {
        let quantity = package("quantity", json!([]));
        let wheel = package("wheel", json!([{ "name": "quantity", "kind": null }]));
        assert_eq!(said(json!([quantity, wheel])), [""; 0]);
    }

    #[test]
    fn import_upwards_or_sideways_is_refused_even_for_tests() {
        let files = package("files", json!([{ "name": "report", "kind": "dev" }]));
        let wheel = package("wheel", json!([{ "name": "files", "kind": null }]));
        let said = said(json!([files, wheel, package("report", json!([]))]));
        assert_eq!(said.len(), 2);
        assert!(said[0].starts_with("files: may not import `report`"));
        assert!(said[1].starts_with("wheel: may not import `files`"));
    }

    #[test]
    fn crate_without_a_row_is_refused() {
        assert!(
            said(json!([package("lathe", json!([]))]))[0].starts_with("lathe: a crate without")
        );
    }

    #[test]
    fn crate_that_could_be_published_is_refused() {
        let open = json!({ "name": "wheel", "publish": null, "dependencies": [] });
        assert!(said(json!([open]))[0].contains("publish"));
    }

    #[test]
    fn serde_stays_out_of_the_engine() {
        let serde = json!([{ "name": "serde", "kind": null }]);
        let packages = json!([
            package("metrology", serde.clone()),
            package("workshop", serde)
        ]);
        let said = said(packages);
        assert_eq!(said.len(), 1);
        assert!(said[0].starts_with("metrology: may not depend on serde"));
    }
}
