//! A form as it was sent: bounded, one value to a name, from this browser's own page.

use crate::hand::Hand;
use crate::refusal::Refusal;
use axum::Form;
use axum::extract::rejection::FormRejection;
use axum::extract::{FromRequest, Request};
use axum::http::StatusCode;
use std::collections::BTreeMap;
use std::str::FromStr;
use std::time::Duration;
use workshop::records::Id;

/// The field in which every form carries its browser's token.
pub(crate) const TOKEN: &str = "hand";
/// Most bytes of a form: the longest wheel file that a person pastes, with room.
pub(crate) const FORM_BYTES: usize = 256 * 1024;
/// Most fields of a form: a lap typed in from paper has two for each of up to 120 spokes.
const MOST_FIELDS: usize = 300;
/// Most letters of one line of text.
const LINE_LETTERS: usize = 300;
/// Most letters of a text of several lines.
const TEXT_LETTERS: usize = 100_000;
const EMPTY: &str = "it is empty, and cannot be left out";
/// A form of this size arrives at once; who takes longer holds a connection open on purpose.
const ARRIVES_WITHIN: Duration = Duration::from_secs(20);

/// The fields of a form, by their names.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Posted {
    fields: BTreeMap<String, String>,
}

impl Posted {
    /// Checks fields as they came and the token among them.
    ///
    /// # Errors
    /// [`Refusal`] for fields that no form of ours sends, and for a form of another browser.
    pub(crate) fn of(sent: Vec<(String, String)>, hand: &Hand) -> Result<Self, Refusal> {
        if sent.len() > MOST_FIELDS {
            return Err(Refusal::no_form());
        }
        let mut fields = BTreeMap::new();
        for (name, value) in sent {
            // Bytes that are no UTF-8 arrive as replacement characters; nobody types those.
            let is_broken = |text: &str| text.contains(char::REPLACEMENT_CHARACTER);
            if is_broken(&name) || is_broken(&value) || fields.contains_key(&name) {
                return Err(Refusal::no_form());
            }
            fields.insert(name, value);
        }
        let token = fields.remove(TOKEN).unwrap_or_default();
        if hand.wrote(&token) {
            Ok(Self { fields })
        } else {
            Err(Refusal::other_hand())
        }
    }

    /// Whether a field was sent, empty or not.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.fields.contains_key(name)
    }

    /// A field exactly as it was typed; empty when it is not there.
    pub(crate) fn raw(&self, name: &str) -> &str {
        self.fields.get(name).map_or("", String::as_str)
    }

    /// One line of text without blanks around it; `None` when nothing was typed.
    ///
    /// # Errors
    /// [`Refusal::field`] for a line too long, or with characters that no keyboard types.
    pub(crate) fn line(&self, name: &str) -> Result<Option<&str>, Refusal> {
        let text = self.raw(name).trim();
        if text.chars().any(char::is_control) {
            return Err(Refusal::field(
                name,
                "it holds characters that cannot be shown",
            ));
        }
        bounded(name, text, LINE_LETTERS)
    }

    /// The same for keeps.
    ///
    /// # Errors
    /// As [`Posted::line`].
    pub(crate) fn said(&self, name: &str) -> Result<Option<String>, Refusal> {
        Ok(self.line(name)?.map(str::to_owned))
    }

    /// A number; `None` when nothing was typed. `label` is what the page calls the field.
    ///
    /// # Errors
    /// As [`Posted::line`], and when it is no number or its comma may group thousands.
    pub(crate) fn number(&self, name: &str, label: &str) -> Result<Option<f64>, Refusal> {
        let typed = self.line(name)?;
        let number = typed.map(workshop::typed::number).transpose();
        number.map_err(|why| Refusal::field(label, &why.to_string()))
    }

    /// A number that must be there.
    ///
    /// # Errors
    /// As [`Posted::number`], and when nothing was typed.
    pub(crate) fn wanted(&self, name: &str, label: &str) -> Result<f64, Refusal> {
        let number = self.number(name, label)?;
        number.ok_or_else(|| Refusal::field(label, EMPTY))
    }

    /// A number as it was typed, once it is seen to be one; empty when nothing was typed.
    ///
    /// # Errors
    /// As [`Posted::number`].
    pub(crate) fn as_typed(&self, name: &str, label: &str) -> Result<&str, Refusal> {
        self.number(name, label)?;
        Ok(self.raw(name).trim())
    }

    /// A whole number, such as that of a spoke; `None` when nothing was typed.
    ///
    /// # Errors
    /// As [`Posted::line`], and when it is none.
    pub(crate) fn whole<T: FromStr>(&self, name: &str, label: &str) -> Result<Option<T>, Refusal> {
        let whole = self.line(name)?.map(str::parse).transpose();
        whole.map_err(|_| Refusal::field(label, "it is no whole number"))
    }

    /// Ids that a form carries, such as that of the entry it was made from; `None` for none.
    ///
    /// # Errors
    /// [`Refusal`] when it is no id.
    pub(crate) fn named(&self, name: &str) -> Result<Option<Id>, Refusal> {
        match self.raw(name) {
            "" => Ok(None),
            given => Ok(Some(crate::desk::id(given)?)),
        }
    }

    /// A text of several lines; `None` when nothing was typed.
    ///
    /// # Errors
    /// As [`Posted::line`].
    pub(crate) fn text(&self, name: &str) -> Result<Option<&str>, Refusal> {
        let text = self.raw(name).trim();
        let is_strange = |letter: char| letter.is_control() && !"\n\r\t".contains(letter);
        if text.chars().any(is_strange) {
            return Err(Refusal::field(
                name,
                "it holds characters that cannot be shown",
            ));
        }
        bounded(name, text, TEXT_LETTERS)
    }

    /// A line that must be there.
    ///
    /// # Errors
    /// As [`Posted::line`], and when nothing was typed.
    pub(crate) fn needed(&self, name: &str) -> Result<&str, Refusal> {
        self.line(name)?.ok_or_else(|| Refusal::field(name, EMPTY))
    }
}

fn bounded<'a>(name: &str, text: &'a str, most: usize) -> Result<Option<&'a str>, Refusal> {
    if text.chars().count() > most {
        return Err(Refusal::field(
            name,
            &format!("it has more than {most} letters"),
        ));
    }
    Ok((!text.is_empty()).then_some(text))
}

impl<S: Send + Sync> FromRequest<S> for Posted {
    type Rejection = Refusal;

    async fn from_request(request: Request, state: &S) -> Result<Self, Refusal> {
        let hand = request
            .extensions()
            .get::<Hand>()
            .cloned()
            .ok_or_else(Refusal::other_hand)?;
        let form = Form::<Vec<(String, String)>>::from_request(request, state);
        let Ok(form) = tokio::time::timeout(ARRIVES_WITHIN, form).await else {
            return Err(Refusal::no_form());
        };
        let Form(sent) = form.map_err(|rejection| match rejection {
            FormRejection::BytesRejection(rejection)
                if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE =>
            {
                Refusal::too_large("256 kB")
            }
            _ => Refusal::no_form(),
        })?;
        Self::of(sent, &hand)
    }
}
