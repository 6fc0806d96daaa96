//! Whose browser a form came from: a drawn secret in a cookie, and what its forms carry of it.

use axum::http::HeaderMap;
use axum::http::header::COOKIE;
use sha2::{Digest, Sha256};
use std::fmt::Write;
use uuid::Uuid;

/// The cookie's name.
const COOKIE_NAME: &str = "rimwright-hand";
/// A year in seconds: the tablet at the truing stand is not asked anew each morning.
const YEAR_S: u32 = 31_536_000;
/// Letters of the secret: a UUID without hyphens.
const SECRET_LETTERS: usize = 32;

/// A browser, known by the secret in its cookie.
///
/// A form carries the secret's hash. A page of another site can neither read the cookie nor make the
/// browser send it with a post, and so cannot write a form that is taken. Nothing of it is kept here:
/// a form that stood open while the program was started anew is still good.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Hand {
    secret: String,
    is_new: bool,
}

impl Hand {
    /// The browser a request came from; a new one when it has no cookie of ours.
    pub(crate) fn of(headers: &HeaderMap) -> Self {
        let known = headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|cookies| cookies.to_str().ok())
            .flat_map(|cookies| cookies.split(';'))
            .filter_map(|cookie| cookie.trim().split_once('='))
            .find(|(name, secret)| *name == COOKIE_NAME && is_secret(secret));
        match known {
            Some((_, secret)) => Self {
                secret: secret.into(),
                is_new: false,
            },
            None => Self {
                secret: Uuid::new_v4().simple().to_string(),
                is_new: true,
            },
        }
    }

    /// What every form of this browser carries.
    pub(crate) fn token(&self) -> String {
        let digest = Sha256::digest(format!("form of {}", self.secret));
        digest.iter().fold(String::new(), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        })
    }

    /// Whether a form is this browser's. A browser without a cookie has no forms.
    pub(crate) fn wrote(&self, token: &str) -> bool {
        let own = self.token();
        // Every byte is looked at, so that the time taken tells nothing of where they part.
        let parts = own
            .bytes()
            .zip(token.bytes())
            .fold(own.len() ^ token.len(), |parts, (a, b)| {
                parts | usize::from(a ^ b)
            });
        !self.is_new && parts == 0
    }

    /// The header that gives a new browser its cookie.
    pub(crate) fn cookie(&self) -> Option<String> {
        self.is_new.then(|| {
            format!(
                "{COOKIE_NAME}={}; Path=/; Max-Age={YEAR_S}; HttpOnly; SameSite=Strict",
                self.secret
            )
        })
    }
}

fn is_secret(text: &str) -> bool {
    text.len() == SECRET_LETTERS && text.bytes().all(|letter| letter.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn with(cookie: &str) -> Hand {
        let mut headers = HeaderMap::new();
        headers.insert(COOKIE, HeaderValue::from_str(cookie).expect("a header"));
        Hand::of(&headers)
    }

    #[test]
    fn browser_knows_its_own_forms_and_no_others() {
        let new = Hand::of(&HeaderMap::new());
        let cookie = new.cookie().expect("a new browser gets a cookie");
        let back = with(&format!(
            "theme=dark; {}",
            cookie.split(';').next().expect("its first part")
        ));
        assert_eq!(back.cookie(), None);
        assert!(back.wrote(&back.token()));
        assert!(!back.wrote(&with(&format!("{COOKIE_NAME}={}", "0".repeat(32))).token()));
        assert!(!back.wrote(""));
        assert!(
            !new.wrote(&new.token()),
            "a browser without a cookie has no forms"
        );
    }

    #[test]
    fn cookie_that_is_no_secret_is_replaced() {
        for text in [
            "",
            "rimwright-hand=",
            "rimwright-hand=../../etc",
            "rimwright-hand=zz",
        ] {
            assert!(with(text).cookie().is_some(), "{text}");
        }
    }
}
