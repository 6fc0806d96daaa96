//! The embedded typeface: Atkinson Hyperlegible, regular and bold, Latin letters.
//!
//! Licence: SIL Open Font License 1.1, see `assets/OFL.txt`.

use base64::{Engine, engine::general_purpose::STANDARD};

/// Regular weight, WOFF2.
pub const REGULAR: &[u8] = include_bytes!("../assets/atkinson-hyperlegible-latin-400-normal.woff2");
/// Bold weight, WOFF2.
pub const BOLD: &[u8] = include_bytes!("../assets/atkinson-hyperlegible-latin-700-normal.woff2");

/// The rules that carry both weights inside the file itself.
pub(crate) fn faces() -> String {
    face(400, REGULAR) + &face(700, BOLD)
}

fn face(weight: u16, font: &[u8]) -> String {
    format!(
        "@font-face {{ font-family: \"Atkinson Hyperlegible\"; font-weight: {weight}; font-style: normal; \
         src: url(data:font/woff2;base64,{}) format(\"woff2\"); }}\n",
        STANDARD.encode(font)
    )
}
