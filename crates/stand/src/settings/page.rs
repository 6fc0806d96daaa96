//! The settings as a page.

use crate::desk::UNIT;
use crate::layout::{Frame, Part, choice, field, form, page};
use crate::posted::Posted;
use crate::refusal::Refusal;
use crate::wheel::withdraw;
use maud::{Markup, html};
use workshop::view::MechanicView;

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
pub(super) const SETTINGS: [Setting; 12] = [
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
        "class_lateral_mm",
        "True: lateral runout at most, mm",
        "Full indicator reading of the worse face. 0.2 is common among demanding hand builders (common practice, no source)",
        "0.2",
    ),
    number(
        "class_radial_mm",
        "Round: radial runout at most, mm",
        "Full indicator reading. 0.25 is common, no source",
        "0.25",
    ),
    number(
        "class_evenness_percent",
        "Even: tensions within a side and kind within, %",
        "Standard deviation, the reading noise taken out. 5 is common, no source",
        "5",
    ),
    number(
        "class_dish_mm",
        "Centred: the rim off the middle by at most, mm",
        "Either way. 0.5 is common, no source",
        "0.5",
    ),
    number(
        "class_mean_percent",
        "Tight as wanted: mean tension off its target by at most, %",
        "Either way. 3 is common, no source. Plans of turns work towards this class",
        "3",
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
    /// What a form says of it.
    pub(super) fn read(&self, posted: &Posted) -> Result<String, Refusal> {
        if self.words.is_empty() {
            let number = posted.number(self.key, self.label)?;
            return Ok(number.map_or(String::new(), |number| number.to_string()));
        }
        Ok(posted.said(self.key)?.unwrap_or_default())
    }

    /// Whether it can be this.
    pub(super) fn takes(&self, value: &str) -> bool {
        self.words.is_empty() || self.words.iter().any(|(word, _)| *word == value)
    }
}

pub(super) fn settings(
    frame: &Frame,
    standing: &[(String, String)],
    mechanics: &[MechanicView],
    fresh: &str,
) -> Markup {
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
        @if !mechanics.is_empty() {
            div class="row" {
                @for one in mechanics {
                    (form(frame, "/settings/who", &html! {
                        input type="hidden" name="name" value=(one.initials);
                        button aria-label={ "That is me: " (one.name) } { (one.initials) }
                    }))
                }
            }
        }
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
        (who_works_here(frame, mechanics, fresh))
        h2 { "On this device" }
        p { "Sounds, spoken read-back and the foot switch belong to the tablet or phone in your hand, and are kept by it." }
        (device())
        noscript { p class="note" { "They need a script, and this browser runs none. All else works without." } }
    };
    page(frame, Part::Settings, "Settings", &body)
}

fn who_works_here(frame: &Frame, mechanics: &[MechanicView], fresh: &str) -> Markup {
    html! {
        h2 { "Who works here" }
        @if mechanics.is_empty() { p class="quiet" { "Nobody is entered. Who is can say so at a page with one tap." } }
        ul { @for one in mechanics { li {
            strong { (one.initials) } " " (one.name) " " (withdraw(frame, &one.entry, "/settings", &one.name))
        } } }
        (form(frame, "/settings/mechanics", &html! {
            input type="hidden" name="entry" value=(fresh);
            div class="fields" {
                (field("mechanic-name", "Name", "", ""))
                (field("mechanic-initials", "What is written on a row", "", "Initials, say"))
            }
            button { "Enter" }
        }))
    }
}

/// What belongs to the device and needs a script: shown by it.
pub(crate) fn device() -> Markup {
    html! {
        section #device class="row" aria-label="This device" hidden {
            button #sound-toggle type="button" aria-pressed="true" { "Sounds" }
            button #speech-toggle type="button" aria-pressed="true" { "Read back aloud" }
            button #teach type="button" aria-pressed="false" { "Teach a foot switch" }
            p #refused class="note" role="alert" hidden {}
            p #no-voice class="quiet" hidden { "This device has no voice of its own: readings are not read back. Voices that need the internet are not used." }
        }
    }
}
