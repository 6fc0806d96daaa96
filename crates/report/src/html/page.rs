//! What the file carries besides its words: fonts, style, and the policy that nothing else comes in.

use crate::{fonts, svg};
use maud::{Markup, PreEscaped, html};

const DOCUMENT: &str = include_str!("../../assets/document.css");

/// SHA-256 of [`sheet`], so that the policy admits this style and no other.
/// A test says the new one when fonts or style change.
const FINGERPRINT: &str = "YUYKkXBa4xGj4PdHzjtQyj1GTD/IJlIsNXOkiBYrzlE=";

/// The content policy of the file.
pub(super) fn policy() -> String {
    format!(
        "default-src 'none'; style-src 'sha256-{FINGERPRINT}'; font-src data:; base-uri 'none'; form-action 'none'"
    )
}

/// Fonts and style as one element.
pub(super) fn style() -> Markup {
    html! { style { (PreEscaped(sheet())) } }
}

fn sheet() -> String {
    format!("{}{}{DOCUMENT}", fonts::faces(), svg::STYLE)
}

#[cfg(test)]
mod tests {
    use super::*;
    use base64::{Engine, engine::general_purpose::STANDARD};
    use sha2::{Digest, Sha256};

    #[test]
    fn the_policy_admits_the_style_it_travels_with() {
        let fingerprint = STANDARD.encode(Sha256::digest(sheet()));
        assert_eq!(
            FINGERPRINT, fingerprint,
            "set FINGERPRINT to the right-hand side"
        );
    }
}
