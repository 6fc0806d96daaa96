//! The lap as a page. Its parts are the same whether the whole page is asked for or one of them changes.

use super::at::{At, side, spoke};
use super::near::{self, BESIDE, Near};
use super::spoken;
use crate::desk::NOBODY;
use crate::layout::{Frame, Part, page, token};
use crate::settings;
use maud::{Markup, html};
use workshop::view::{FindingView, LapPlaceView};

/// What became of what was sent last.
#[derive(Debug, Clone)]
pub(crate) struct Said {
    /// In one word: `taken`, `skipped`, `back`, `asked`, `collision`.
    pub outcome: &'static str,
    /// In words.
    pub words: String,
    /// Aloud.
    pub aloud: String,
    /// What can be answered, when something is asked.
    pub answers: Markup,
}

/// All that the page shows.
pub(crate) struct Shown<'a> {
    /// The lap and the place that is due.
    pub at: &'a At,
    /// An id for the entry that the form will make.
    pub fresh: String,
    /// What became of what was sent last.
    pub said: Said,
    /// What was typed and not taken; it stays in the field.
    pub typed: &'a str,
    /// The unrolled rim.
    pub picture: Markup,
    /// What the readings so far ask.
    pub questions: &'a [FindingView],
}

pub(crate) fn lap(frame: &Frame, shown: &Shown<'_>) -> Markup {
    let lap = &shown.at.lap;
    let address = format!("/laps/{}", lap.entry.id);
    let body = html! {
        div class="lap" {
            div class="top" {
                h1 { (name(shown.at)) " · " a href={ "/wheels/" (lap.wheel_label) } { (lap.wheel_name) } }
                span class="label" { (lap.wheel_label) }
                (progress(shown.at))
                div class="row" {
                    a class="button" href={ (address) "/about" } { "About this lap" }
                    a class="button" href={ "/visits/" (lap.visit) } { "To the visit" }
                }
            }
            (due(shown.at))
            div {
                (entry(frame, shown, &address))
                p #keyboard class="keyboard" role="alert" hidden {}
                (said(shown))
            }
            (picture(frame, shown, &address))
            div class="below" {
                (settings::device())
                (spokes(shown.at, &address))
                (keys())
            }
        }
    };
    page(
        frame,
        Part::Lap,
        &format!("{}, {}", name(shown.at), lap.wheel_name),
        &body,
    )
}

/// `Lap, bare`, `Lateral, right face, tyre on`.
pub(crate) fn name(at: &At) -> String {
    let lap = &at.lap;
    let what = match lap.takes {
        "lateral" => "Lateral",
        "radial" => "Radial",
        "pitch" => "Pitch",
        _ => "Lap",
    };
    let face = lap
        .face
        .map_or(String::new(), |face| format!(", {face} face"));
    let state = if lap.state == "tyred" {
        "tyre on"
    } else {
        "bare"
    };
    format!("{what}{face}, {state}")
}

fn progress(at: &At) -> Markup {
    let all = at.lap.places.len();
    html! { span #progress class="progress" data-part { (at.taken()) " of " (all) } }
}

fn due(at: &At) -> Markup {
    html! {
        section #due class="due" data-part aria-label="Spoke due" {
            @match at.place() {
                Some(place) => {
                    (neighbours(at, place))
                    p class={ "which " (place.side) } {
                        (place.spoke) " " span class="side" { (place.side) }
                        @if at.is_again { span class="side" { "again" } }
                    }
                }
                None => {
                    p class="which done" { "Every spoke is read or passed over." }
                    p { "Next: another lap, runout, or the verdict: " a class="button" href={ "/visits/" (at.lap.visit) } { "To the visit" } }
                }
            }
        }
    }
}

fn neighbours(at: &At, due: &LapPlaceView) -> Markup {
    let mut round: Vec<&LapPlaceView> = at.lap.places.iter().collect();
    round.sort_by_key(|place| place.spoke);
    let count = round.len();
    let middle = round
        .iter()
        .position(|place| place.spoke == due.spoke)
        .unwrap_or(0);
    let beside = BESIDE.min(count.saturating_sub(1) / 2);
    let near: Vec<Near> = (0..=2 * beside)
        .map(|step| {
            let place = round[(middle + count + step - beside) % count];
            Near {
                number: place.spoke,
                side: side(place.side),
                is_before_valve: place.spoke == count,
            }
        })
        .collect();
    near::draw(&near, due.spoke, at.lap.counted == "up")
}

fn entry(frame: &Frame, shown: &Shown<'_>, address: &str) -> Markup {
    let at = shown.at;
    html! {
        form #take class="take" method="post" action=(address) data-live={ (address) "/live" } {
            span #now data-part {
                (token(frame))
                input type="hidden" name="entry" value=(shown.fresh);
                input type="hidden" name="number" value=(at.due.unwrap_or(0));
                input type="hidden" name="after" value=(at.newest());
                @if at.is_again {
                    @let seen = at.place().and_then(|place| place.reading.as_ref());
                    input type="hidden" name="seen" value=(seen.map_or("", |reading| &reading.entry.entry));
                }
                @if let Some(last) = at.last() { input type="hidden" name="last" value=(last.entry.entry); }
            }
            label for="raw" { "What it shows, " (at.unit()) }
            div class="big" {
                input #raw name="raw" inputmode="decimal" autocomplete="off" autocapitalize="off" spellcheck="false"
                    maxlength="60" value=(shown.typed) autofocus enterkeyhint="done" aria-describedby="said";
                button class="main" { "Take" }
            }
            div class="acts" {
                button name="do" value="undo" { "Undo " kbd { "/" } }
                button name="do" value="again" { "Again " kbd { "*" } }
                button name="do" value="skip" { "Skip " kbd { "+" } }
            }
        }
    }
}

fn said(shown: &Shown<'_>) -> Markup {
    let said = &shown.said;
    let is_asked = matches!(said.outcome, "asked" | "collision");
    let sound = match said.outcome {
        "taken" if !shown.questions.is_empty() && is_doubted(shown) => "doubt",
        "asked" | "collision" => "doubt",
        "" => "",
        _ => "taken",
    };
    html! {
        div #said class=(if is_asked { "said asked" } else { "said" }) data-part role="status"
            data-outcome=(said.outcome) data-sound=(sound) data-say=(said.aloud) {
            p { (said.words) }
            @if is_asked { (said.answers) }
        }
    }
}

/// Whether the reading that was just taken is one of those that are doubted.
fn is_doubted(shown: &Shown<'_>) -> bool {
    let last = shown.at.last().and_then(|reading| reading.spoke);
    let doubted = |spoke| {
        shown
            .questions
            .iter()
            .any(|one| one.spokes.contains(&spoke))
    };
    last.is_some_and(doubted)
}

fn picture(frame: &Frame, shown: &Shown<'_>, address: &str) -> Markup {
    html! {
        section #picture class="picture" data-part aria-label="Readings so far" {
            @for one in shown.questions {
                div class=(if one.weight == "note" { "note" } else { "ask" }) {
                    p { (one.says) }
                    @if let Some(place) = place_of(shown.at, one) {
                        p { a class="button" href={ (address) "?at=" (place.number) } { "Take " (spoke(place)) " again" } }
                    }
                }
            }
            div class="wide" tabindex="0" role="region" aria-label="Unrolled rim" { (shown.picture) }
            @for missing in missing(frame, shown.at) {
                p class="note" { (missing) }
            }
        }
    }
}

fn place_of<'a>(at: &'a At, question: &FindingView) -> Option<&'a LapPlaceView> {
    let only = match question.spokes.as_slice() {
        [only] => *only,
        _ => return None,
    };
    let mut places = at.lap.places.iter();
    places.find(|place| place.spoke == only && place.reading.is_some())
}

/// What the lap does not say yet; nobody was held up for it.
fn missing(frame: &Frame, at: &At) -> Vec<Markup> {
    let lap = &at.lap;
    let about = format!("/laps/{}/about", lap.entry.id);
    let mut missing = Vec::new();
    if lap.takes == "reading" && lap.gauge.is_none() {
        missing.push(html! { "No gauge is named: these are divisions, and no force is given. " a href=(about) { "Name the gauge" } });
    }
    if lap.state == "tyred" && lap.pressure.is_none() {
        missing.push(html! { "The tyre’s pressure is not noted. " a href=(about) { "Note it" } });
    }
    if frame.by.is_none() {
        missing.push(html! { "Who reads is not said: it stands as “not said” beside every reading. " a href="/settings" { "Say it" } });
    }
    missing
}

/// Every spoke, to go to one out of turn.
fn spokes(at: &At, address: &str) -> Markup {
    html! {
        details #places data-part {
            summary { "Another spoke" }
            div class="row" {
                @for place in &at.lap.places {
                    a class="button" href={ (address) "?at=" (place.number) } {
                        span class=(place.side) { (spoke(place)) }
                        @match &place.reading {
                            Some(reading) if reading.outcome == "taken" => { (reading.raw) }
                            Some(_) => { "–" }
                            None => {}
                        }
                    }
                }
            }
            p { a href={ (address) "/typed" } { "Type in a lap from paper" } }
        }
    }
}

fn keys() -> Markup {
    html! {
        details {
            summary { "Keys" }
            p { kbd { "Enter" } " takes what was typed, and so does a foot switch once it was taught. " kbd { "/" }
                " takes the last one back, " kbd { "*" } " takes it again, " kbd { "+" } " and " kbd { "Enter" }
                " passes a spoke over, " kbd { "Esc" } " clears the field. Without script, type the sign and "
                kbd { "Enter" } "." }
        }
    }
}

/// What is said of the reading that stands last.
pub(crate) fn said_of(at: &At, did: &str) -> Said {
    let nothing = |words: &str| Said {
        outcome: "",
        words: words.into(),
        aloud: String::new(),
        answers: html! {},
    };
    let due = at.place().map(spoke);
    match (did, at.last(), due) {
        ("back", _, Some(due)) => Said {
            outcome: "back",
            words: format!("Taken back. {due} is due."),
            aloud: format!("back to {}", due),
            answers: html! {},
        },
        ("skipped", _, due) => Said {
            outcome: "skipped",
            words: "Passed over.".into(),
            aloud: due.unwrap_or_default(),
            answers: html! {},
        },
        (did, Some(last), _) if last.outcome == "taken" => {
            let place = at.numbered(last.number);
            let which = place.map(spoke).unwrap_or_default();
            let aloud = place.zip(last.value);
            let aloud =
                aloud.map(|(place, value)| spoken::reading(place.spoke, side(place.side), value));
            let by = match last.entry.by.as_str() {
                NOBODY => String::new(),
                by => format!(", by {by}"),
            };
            let comma = if last.raw.contains(',') {
                " The comma was read as a decimal point."
            } else {
                ""
            };
            Said {
                outcome: if did == "taken" { "taken" } else { "" },
                words: format!("{which}: {}{by}.{comma}", last.raw),
                aloud: aloud.unwrap_or_default(),
                answers: html! {},
            }
        }
        (_, Some(_), _) => nothing("The last spoke was passed over."),
        (_, None, _) => nothing("Nothing is read yet. Type what the gauge shows."),
    }
}
