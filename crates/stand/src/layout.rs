//! The frame that every page stands in, and the parts that several pages have.

use crate::assets;
use crate::hand::Hand;
use crate::posted::TOKEN;
use maud::{DOCTYPE, Markup, html};

/// What a page's frame must know.
#[derive(Debug, Clone)]
pub(crate) struct Frame {
    /// The browser it is for.
    pub hand: Hand,
    /// Who is at it, when somebody said so.
    pub by: Option<String>,
    /// Whether the invented workshop is in view.
    pub has_demo: bool,
}

/// The part of the pages that a page belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// The shelf itself.
    Shelf,
    /// Wheels and visits, reached from the shelf.
    Wheels,
    /// Gauges, rigs and calibrations.
    Bench,
    /// The shop's settings.
    Settings,
    /// At the truing stand, a lap: nothing that a stray key could reach.
    Lap,
    /// The same, a round of truing.
    Round,
}

impl Part {
    const fn is_at_stand(self) -> bool {
        matches!(self, Self::Lap | Self::Round)
    }
}

/// The pages that the head of a page leads to.
const PAGES: [(Part, &str, &str); 3] = [
    (Part::Shelf, "/", "Shelf"),
    (Part::Bench, "/bench", "Bench"),
    (Part::Settings, "/settings", "Settings"),
];

/// A whole page.
pub(crate) fn page(frame: &Frame, part: Part, title: &str, body: &Markup) -> Markup {
    let is_at_stand = part.is_at_stand();
    document(
        title,
        scripts(part),
        &html! {
            a class="skip" href="#main" { "To the content" }
            @if !is_at_stand { (head(part)) }
            @if frame.has_demo { (demo_notice(frame, part)) }
            main #main tabindex="-1" { (body) }
            // At the truing stand the first of the screen belongs to the spoke or nipple due.
            @if is_at_stand { footer class="head" { (pages(part)) } }
        },
    )
}

fn head(part: Part) -> Markup {
    html! {
        header class="head" {
            (pages(part))
            form class="find" action="/find" method="get" role="search" {
                label for="find" { "Find a wheel" }
                input #find name="wanted" type="search" maxlength="100" autocomplete="off"
                    placeholder="scan or type" autofocus[part == Part::Shelf];
                button { "Find" }
            }
        }
    }
}

fn pages(part: Part) -> Markup {
    let here = |of: Part| match part {
        _ if of == part => Some("page"),
        Part::Wheels | Part::Lap | Part::Round if of == Part::Shelf => Some("true"),
        _ => None,
    };
    html! {
        nav aria-label="Pages" {
            @for (of, href, words) in PAGES { a href=(href) aria-current=[here(of)] { (words) } }
        }
    }
}

/// A page without head, for when nothing is known of who asks.
pub(crate) fn bare(title: &str, body: &Markup) -> Markup {
    document(title, &[], &html! { main #main { (body) } })
}

/// What a page loads beside what all do.
const fn scripts(part: Part) -> &'static [&'static str] {
    match part {
        Part::Lap => &["device.js", "sending.js", "lap.js"],
        Part::Round => &["device.js", "sending.js", "round.js"],
        Part::Settings => &["device.js"],
        Part::Shelf | Part::Wheels | Part::Bench => &[],
    }
}

fn document(title: &str, scripts: &[&str], body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " · rimwright" }
                link rel="icon" type="image/svg+xml" href=(assets::address("mark.svg"));
                link rel="stylesheet" href=(assets::address("stand.css"));
                script src=(assets::address("stand.js")) defer {}
                @for script in scripts { script src=(assets::address(script)) defer {} }
            }
            body { (body) }
        }
    }
}

fn demo_notice(frame: &Frame, part: Part) -> Markup {
    html! {
        aside class="demo" aria-label="Invented data" {
            p { strong { "Demo workshop. " } @if !part.is_at_stand() { "Wheels, makers and people marked “demo” are invented." } }
            @if !part.is_at_stand() { (form(frame, "/demo/remove", &html! { button { "Remove the demo" } })) }
        }
    }
}

/// A form that writes: it carries its browser's token.
pub(crate) fn form(frame: &Frame, action: &str, fields: &Markup) -> Markup {
    html! {
        form method="post" action=(action) {
            (token(frame))
            (fields)
        }
    }
}

/// The field in which a form carries its browser's token.
pub(crate) fn token(frame: &Frame) -> Markup {
    html! { input type="hidden" name=(TOKEN) value=(frame.hand.token()); }
}

/// A labelled field of one line. What stands behind the last hyphen of the id is its name in the form.
pub(crate) fn field(id: &str, label: &str, value: &str, hint: &str) -> Markup {
    let name = id.rsplit('-').next().unwrap_or(id);
    let hinted = (!hint.is_empty()).then(|| format!("{id}-hint"));
    html! {
        div class="field" {
            label for=(id) { (label) }
            input #(id) name=(name) value=(value) maxlength="300" autocomplete="off"
                aria-describedby=[hinted.as_deref()];
            @if let Some(hint_id) = &hinted { small #(hint_id) { (hint) } }
        }
    }
}

/// A choice of few, all in sight. `chosen` is the value that is set.
pub(crate) fn choice(name: &str, label: &str, of: &[(&str, &str)], chosen: &str) -> Markup {
    html! {
        fieldset class="choice" {
            legend { (label) }
            @for (value, words) in of {
                label {
                    input type="radio" name=(name) value=(value) checked[*value == chosen];
                    span { (words) }
                }
            }
        }
    }
}
