//! What pages load: style, scripts and type, all inside the program.

use crate::refusal::Refusal;
use axum::extract::Path;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};
use std::sync::LazyLock;

/// Everything there is to be loaded: name, media type, bytes.
const ASSETS: [(&str, &str, &[u8]); 10] = [
    (
        "stand.css",
        "text/css; charset=utf-8",
        include_bytes!("../assets/stand.css"),
    ),
    (
        "figure.css",
        "text/css; charset=utf-8",
        report::svg::STYLE.as_bytes(),
    ),
    (
        "stand.js",
        "text/javascript; charset=utf-8",
        include_bytes!("../assets/stand.js"),
    ),
    (
        "device.js",
        "text/javascript; charset=utf-8",
        include_bytes!("../assets/device.js"),
    ),
    (
        "sending.js",
        "text/javascript; charset=utf-8",
        include_bytes!("../assets/sending.js"),
    ),
    (
        "round.js",
        "text/javascript; charset=utf-8",
        include_bytes!("../assets/round.js"),
    ),
    (
        "lap.js",
        "text/javascript; charset=utf-8",
        include_bytes!("../assets/lap.js"),
    ),
    (
        "mark.svg",
        "image/svg+xml",
        include_bytes!("../assets/mark.svg"),
    ),
    ("regular.woff2", "font/woff2", report::fonts::REGULAR),
    ("bold.woff2", "font/woff2", report::fonts::BOLD),
];

/// A year: an asset's address changes with its bytes.
const FOR_A_YEAR: &str = "public, max-age=31536000, immutable";

/// A few digits of the bytes of all assets together.
static EDITION: LazyLock<String> = LazyLock::new(|| {
    let mut digest = Sha256::new();
    for (_, _, bytes) in ASSETS {
        digest.update(bytes);
    }
    let digest = digest.finalize();
    format!(
        "{:02x}{:02x}{:02x}{:02x}",
        digest[0], digest[1], digest[2], digest[3]
    )
});

/// Where a page finds an asset.
pub(crate) fn address(name: &str) -> String {
    format!("/assets/{}/{name}", *EDITION)
}

/// Serves an asset by its name. The name is looked up in a list; no path is made of it.
pub(crate) async fn serve(Path((_, name)): Path<(String, String)>) -> Response {
    match ASSETS.iter().find(|(known, ..)| *known == name) {
        Some((_, media_type, bytes)) => (
            [(CONTENT_TYPE, *media_type), (CACHE_CONTROL, FOR_A_YEAR)],
            *bytes,
        )
            .into_response(),
        None => Refusal::not_there("such file").into_response(),
    }
}
