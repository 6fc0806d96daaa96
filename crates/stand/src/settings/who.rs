//! Who is at this page: kept by the browser, since several share one program.

use axum::http::HeaderMap;
use axum::http::header::COOKIE;
use std::fmt::Write;

const COOKIE_NAME: &str = "rimwright-by";
/// A name or initials are no longer.
pub(crate) const LETTERS: usize = 40;

/// Who said to be at the browser that sent these headers.
pub(crate) fn who(headers: &HeaderMap) -> Option<String> {
    let cookies = headers.get_all(COOKIE).iter();
    let cookies = cookies.filter_map(|cookies| cookies.to_str().ok());
    let mut pairs = cookies
        .flat_map(|cookies| cookies.split(';'))
        .filter_map(|cookie| cookie.trim().split_once('='));
    let (_, written) = pairs.find(|(name, _)| *name == COOKIE_NAME)?;
    read(written).filter(|name| is_name(name))
}

/// The header that makes the browser remember who is at it.
pub(crate) fn cookie(name: &str) -> String {
    let mut written = String::new();
    for byte in name.bytes() {
        let _ = write!(written, "{byte:02x}"); // a name may hold what a cookie cannot
    }
    format!("{COOKIE_NAME}={written}; Path=/; Max-Age=31536000; HttpOnly; SameSite=Strict")
}

/// Whether a text can stand on a row as who entered it.
pub(crate) fn is_name(text: &str) -> bool {
    let letters = text.chars().count();
    (1..=LETTERS).contains(&letters) && !text.chars().any(char::is_control)
}

fn read(written: &str) -> Option<String> {
    if !written.len().is_multiple_of(2) || !written.is_ascii() {
        return None;
    }
    let pairs = (0..written.len()).step_by(2);
    let bytes = pairs.map(|at| u8::from_str_radix(&written[at..at + 2], 16));
    String::from_utf8(bytes.collect::<Result<_, _>>().ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn sent(cookie: &str) -> Option<String> {
        let mut headers = HeaderMap::new();
        headers.insert(COOKIE, HeaderValue::from_str(cookie).expect("a header"));
        who(&headers)
    }

    #[test]
    fn name_comes_back_as_it_was_said() {
        for name in ["M", "Jördis; path=/", "木"] {
            let cookie = cookie(name);
            let pair = cookie.split(';').next().expect("its first part");
            assert_eq!(sent(pair).as_deref(), Some(name));
        }
    }

    #[test]
    fn what_is_no_name_is_nobody() {
        for cookie in [
            "",
            "rimwright-by=",
            "rimwright-by=4",
            "rimwright-by=zz",
            "rimwright-by=00",
        ] {
            assert_eq!(sent(cookie), None, "{cookie}");
        }
        assert_eq!(sent(&cookie(&"x".repeat(LETTERS + 1))), None);
    }
}
