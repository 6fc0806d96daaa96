//! Who may knock: this machine's own browser, at our own address, with forms of our own.

use crate::hand::Hand;
use crate::refusal::Refusal;
use axum::extract::{Request, State};
use axum::http::header::{
    ALLOW, CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, HeaderName, ORIGIN, REFERRER_POLICY,
    SET_COOKIE, X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, Method};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::net::SocketAddr;
use std::sync::Arc;

/// Longest path and query that any of our pages has, with room.
const LONGEST_ADDRESS: usize = 2048;

/// What every page may load: what we serve ourselves, and nothing written into the page.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; font-src 'self'; \
     img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// What the browser is told beside that.
const TOLD: [(HeaderName, &str); 6] = [
    (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (X_FRAME_OPTIONS, "DENY"),
    // `same-origin` and not stricter: a browser that sends no referrer sends no origin with a form either.
    (REFERRER_POLICY, "same-origin"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), geolocation=(), microphone=()",
    ),
];

/// The names under which we are reached. A web site that makes its own name point at this machine
/// sends that name, and is refused.
#[derive(Debug, Clone)]
pub(crate) struct Gate {
    hosts: Arc<[String]>,
}

impl Gate {
    /// The gate of a server that listens at `address`.
    pub(crate) fn at(address: SocketAddr) -> Self {
        let port = address.port();
        let hosts = [
            address.to_string(),
            format!("127.0.0.1:{port}"),
            format!("localhost:{port}"),
        ];
        Self {
            hosts: hosts.into(),
        }
    }

    fn check(&self, request: &Request) -> Result<(), Refusal> {
        let headers = request.headers();
        let host = only(headers, &HOST).unwrap_or_default();
        let known = |name: &str| {
            self.hosts
                .iter()
                .any(|host| host.eq_ignore_ascii_case(name))
        };
        let authority = request.uri().authority();
        if !known(host) || authority.is_some_and(|name| !known(name.as_str())) {
            return Err(Refusal::other_host());
        }
        if request
            .uri()
            .path_and_query()
            .map_or(0, |p| p.as_str().len())
            > LONGEST_ADDRESS
        {
            return Err(Refusal::long_address());
        }
        match *request.method() {
            Method::GET | Method::HEAD => Ok(()),
            Method::POST if is_own(headers, host) => Ok(()),
            Method::POST => Err(Refusal::other_origin()),
            _ => Err(Refusal::other_method()),
        }
    }
}

/// Whether a write comes from one of our own pages: the browser says so, a page cannot.
fn is_own(headers: &HeaderMap, host: &str) -> bool {
    let origin = only(headers, &ORIGIN).and_then(|origin| origin.strip_prefix("http://"));
    let site = headers.get("sec-fetch-site");
    origin.is_some_and(|origin| origin.eq_ignore_ascii_case(host))
        && site.is_none_or(|site| site == "same-origin")
}

/// The value of a header that stands there once.
fn only<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut values = headers.get_all(name).iter();
    let value = values.next()?;
    match values.next() {
        None => value.to_str().ok(),
        Some(_) => None,
    }
}

/// Looks at every request before a page does, and at every answer before it leaves.
pub(crate) async fn watch(State(gate): State<Gate>, mut request: Request, next: Next) -> Response {
    let hand = Hand::of(request.headers());
    let mut response = match gate.check(&request) {
        Ok(()) => {
            request.extensions_mut().insert(hand.clone());
            next.run(request).await
        }
        Err(refusal) => refusal.into_response(),
    };
    let is_writing = response.status().is_redirection();
    let headers = response.headers_mut();
    for (name, value) in TOLD {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(CONTENT_SECURITY_POLICY)
        .or_insert(HeaderValue::from_static(POLICY));
    headers
        .entry(CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    if headers.contains_key(ALLOW) {
        headers.insert(ALLOW, HeaderValue::from_static("GET, HEAD, POST"));
    }
    let cookie = hand.cookie().filter(|_| !is_writing);
    if let Some(cookie) = cookie.and_then(|cookie| HeaderValue::from_str(&cookie).ok()) {
        headers.append(SET_COOKIE, cookie);
    }
    response
}
