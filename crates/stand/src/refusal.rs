//! Errors as pages: what is the matter, that nothing is lost, and where to go on.

use crate::layout;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::html;

/// A request that is not carried out. It tells no paths, no causes from below, no secrets.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Refusal {
    status: StatusCode,
    title: String,
    says: String,
    next: Next,
}

/// Where to go on.
#[derive(Debug, Clone, PartialEq)]
struct Next {
    href: String,
    words: String,
}

impl Refusal {
    fn new(status: StatusCode, title: &str, says: impl Into<String>) -> Self {
        Self {
            status,
            title: title.into(),
            says: says.into(),
            next: Next {
                href: "/".into(),
                words: "To the shelf".into(),
            },
        }
    }

    /// The same with another way on.
    pub(crate) fn then(self, href: impl Into<String>, words: &str) -> Self {
        Self {
            next: Next {
                href: href.into(),
                words: words.into(),
            },
            ..self
        }
    }

    /// There is no such page or thing.
    pub(crate) fn not_there(what: &str) -> Self {
        Self::new(
            StatusCode::NOT_FOUND,
            "Not there",
            format!(
                "There is no {what} here. It may have been written down under another label, or taken out of view."
            ),
        )
    }

    /// The request names a host that is not ours.
    pub(crate) fn other_host() -> Self {
        Self::new(
            StatusCode::MISDIRECTED_REQUEST,
            "Another address was meant",
            "These pages answer only at the address that the program printed when it was started. Open that one.",
        )
    }

    /// A write that does not come from our own pages.
    pub(crate) fn other_origin() -> Self {
        Self::new(
            StatusCode::FORBIDDEN,
            "Not from these pages",
            "Something outside these pages tried to write into the records. Nothing was written.",
        )
    }

    /// A form of another browser, or one whose cookie is gone.
    pub(crate) fn other_hand() -> Self {
        Self::new(
            StatusCode::FORBIDDEN,
            "This form is not known here",
            "It was opened in another browser, or the browser has forgotten its cookie. Nothing was written: open the page again and enter it once more.",
        )
    }

    /// A method that no page has.
    pub(crate) fn other_method() -> Self {
        Self::new(
            StatusCode::METHOD_NOT_ALLOWED,
            "Not done here",
            "Pages are read and forms are sent; nothing else is done here.",
        )
    }

    /// A path or query longer than any of ours.
    pub(crate) fn long_address() -> Self {
        Self::new(
            StatusCode::URI_TOO_LONG,
            "Too long an address",
            "No page has an address as long as that.",
        )
    }

    /// More was sent than a form or a photo may hold.
    pub(crate) fn too_large(most: &str) -> Self {
        Self::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            "Too large",
            format!("At most {most} can be sent at once. Nothing was written."),
        )
    }

    /// What was sent is no form.
    pub(crate) fn no_form() -> Self {
        Self::new(
            StatusCode::BAD_REQUEST,
            "Not a form",
            "What was sent cannot be read as one of the forms of these pages. Nothing was written.",
        )
    }

    /// A field holds what cannot be taken.
    pub(crate) fn field(name: &str, why: &str) -> Self {
        Self::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "That cannot be taken",
            format!("{name}: {why}. Nothing was written: go back and mend it there."),
        )
    }

    /// What was sent cannot be taken; the use-case says why and how to mend it.
    pub(crate) fn input(says: &str) -> Self {
        Self::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "That cannot be taken",
            format!("{says} Nothing was written: go back and mend it there."),
        )
    }

    /// What was to be written collides with what is there already.
    pub(crate) fn collides(says: &str) -> Self {
        Self::new(
            StatusCode::CONFLICT,
            "Somebody was faster",
            format!("{says} Nothing was overwritten."),
        )
    }

    /// The records cannot be read or written just now; the cause went to whoever runs the program.
    pub(crate) fn fault() -> Self {
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "It did not work",
            "The records could not be read or written just now. What was written before is safe; what you just sent was not taken. The window in which the program runs says more.",
        )
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let body = html! {
            h1 { (self.title) }
            @for line in self.says.lines() { p class="says" { (line) } }
            p { a class="button" href=(self.next.href) { (self.next.words) } }
        };
        (self.status, layout::bare(&self.title, &body)).into_response()
    }
}
