//! The settings as a page.

use crate::desk::UNIT;
use crate::layout::{Frame, Part, choice, field, form, page};
use maud::{Markup, html};

/// A setting of the shop.
pub(super) struct Setting {
    /// Its key in the records.
    pub key: &'static str,
    /// Its name.
    pub label: &'static str,
    /// What it is for, and what it may be.
    pub about: &'static str,
    /// What holds when nobody settled it.
    pub otherwise: &'static str,
    /// The words it may be; empty when it is a number.
    words: &'static [(&'static str, &'static str)],
}

const FORCES: [(&str, &str); 3] = [("kgf", "kgf"), ("n", "N"), ("lbf", "lbf")];

/// All of them, in the order of the page.
pub(super) const SETTINGS: [Setting; 7] = [
    Setting {
        key: UNIT,
        label: "Forces are shown in",
        about: "kgf, N or lbf",
        otherwise: "kgf",
        words: &FORCES,
    },
    number(
        "decide_at",
        "A verdict falls at a probability of",
        "0.95 is usual; above 0.5 and below 1",
        "0.95",
    ),
    number(
        "evenness_percent",
        "Evenness to be expected of a wheel, %",
        "Standard deviation within one side; 5 is usual. A reading is doubted against it",
        "5",
    ),
    number(
        "dial_u_mm",
        "Standard uncertainty of the runout dial, mm",
        "0.02 is usual",
        "0.02",
    ),
    number(
        "lap_minutes",
        "Minutes of a lap with the gauge",
        "For the cheapest next measurement",
        "4",
    ),
    number(
        "rig_point_minutes",
        "Minutes of one rig point",
        "For the cheapest next measurement",
        "3",
    ),
    number(
        "dish_minutes",
        "Minutes of measuring the dish",
        "For the cheapest next measurement",
        "1",
    ),
];

const fn number(
    key: &'static str,
    label: &'static str,
    about: &'static str,
    otherwise: &'static str,
) -> Setting {
    let words = &[];
    Setting {
        key,
        label,
        about,
        otherwise,
        words,
    }
}

impl Setting {
    /// Whether it can be this.
    pub(super) fn takes(&self, value: &str) -> bool {
        self.words.is_empty() || self.words.iter().any(|(word, _)| *word == value)
    }
}

pub(super) fn settings(frame: &Frame, standing: &[(String, String)]) -> Markup {
    let value = |setting: &Setting| {
        let found = standing.iter().find(|(key, _)| key == setting.key);
        found.map_or(setting.otherwise.to_owned(), |(_, value)| value.clone())
    };
    let body = html! {
        h1 { "Settings" }
        h2 { "At this page" }
        p { "Whose hand enters what is entered here. It stands beside every reading; each tablet and each phone keeps its own." }
        (form(frame, "/settings/who", &html! {
            (field("name", "Name or initials", frame.by.as_deref().unwrap_or_default(), ""))
            button { "That is me" }
        }))
        h2 { "In this workshop" }
        p { "These go into every survey from now on and are printed with what rests on them. What they were before stays in the records." }
        (form(frame, "/settings", &html! {
            @for setting in &SETTINGS {
                @if setting.words.is_empty() {
                    (field(setting.key, setting.label, &value(setting), setting.about))
                } @else {
                    (choice(setting.key, setting.label, setting.words, &value(setting)))
                }
            }
            button class="main" { "Settle these" }
        }))
        p class="quiet" { "Sounds, spoken read-back and the foot switch belong to the device: they are set on the page of a lap." }
    };
    page(frame, Part::Settings, "Settings", &body)
}
