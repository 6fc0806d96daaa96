//! Documents that stand for themselves: reports and sheets to be printed or kept.

use axum::http::header::{CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};

/// A report carries its own style and admits no other; here it is only kept from doing anything else.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; \
     form-action 'none'; frame-ancestors 'none'";

/// A document as it is.
pub(crate) fn as_report(page: Vec<u8>) -> Response {
    let headers = [
        (CONTENT_SECURITY_POLICY, POLICY),
        (CONTENT_TYPE, "text/html; charset=utf-8"),
    ];
    (headers, page).into_response()
}
