//! A wheel's life as a page.

use crate::layout::{Frame, Part, choice, field, form, page};
use crate::shelf::start_laps;
use crate::time;
use maud::{Markup, html};
use workshop::view::{ClaimNoteView, EntryView, LifeView, LimitNoteView, PartView};

/// What a claim may be about.
const QUANTITIES: [(&str, &str); 5] = [
    ("tension_loss_percent", "tension lost to the tyre, %"),
    ("mass_g", "mass, g"),
    ("lateral_fir_mm", "lateral runout, mm"),
    ("radial_fir_mm", "radial runout, mm"),
    ("evenness_percent", "evenness, %"),
];
/// The parts whose tension a maker limits.
const PARTS: [(&str, &str); 6] = [
    ("spoke", "spoke"),
    ("thread", "thread"),
    ("nipple", "nipple"),
    ("rim", "rim"),
    ("hub", "hub"),
    ("tyre", "tyre"),
];

pub(super) fn life(frame: &Frame, life: &LifeView, fresh: &str) -> Markup {
    let address = format!("/wheels/{}", life.label);
    let body = html! {
        h1 { (life.name) " " span class="label" { (life.label) } (demo(&life.entry)) }
        p class="quiet" {
            @if let Some(owner) = &life.owner { "Of " (owner) @if let Some(contact) = &life.contact { ", " (contact) } ". " }
            "Taken in " (time::minute(&life.entry.at)) " by " (life.entry.by) "."
        }
        (start_laps(frame, &life.label, None))
        (runout_laps(frame, &address, None))
        div class="row" { a class="button" href={ (address) "/paper" } { "Lap on paper" }
            a class="button" href={ (address) "/nipple" } { "What a nipple does here" }
            a class="button" href={ (address) "/bears" } { "What it bears" }
            a class="button" href={ (address) "/build" } { "Build sheet" } }
        h2 { "Visits" }
        @if life.visits.is_empty() { p { "None yet: a lap begins one." } }
        ul class="shelf" {
            @for visit in life.visits.iter().rev() {
                li {
                    span { (time::day(&visit.taken)) }
                    span class="name" { a href={ "/visits/" (visit.entry.id) } {
                        @match &visit.asked { Some(asked) => { (asked) } None => { "Visit" } }
                    } }
                    span { (visit.laps.len()) @if visit.laps.len() == 1 { " lap" } @else { " laps" } ", by " (visit.entry.by) }
                }
            }
        }
        h2 { "Limits" }
        p { "As the maker of the part gives them. Where none stands here, none is known, and nothing is passed against it." }
        (limits(frame, &life.limits, &address))
        details { summary { "Note a limit" } (limit_form(frame, &address, fresh)) }
        h2 { "Claims" }
        (claims(frame, &life.claims, &address))
        details { summary { "Note a claim" } (claim_form(frame, &address, fresh)) }
        h2 { "Parts" }
        (parts(frame, &life.parts, &address))
        details { summary { "Note a part" } (part_form(frame, &address, fresh)) }
        details { summary { "Wheel file" } div class="wide" tabindex="0" role="region" aria-label="Wheel file" { pre { (life.file) } } }
        details { summary { "Take this wheel out of view" }
            p { "It stays in the records with everything about it, and can be brought back." }
            (form(frame, "/withdraw", &html! {
                input type="hidden" name="of" value=(life.entry.id);
                button { "Take out of view" }
            }))
        }
    };
    page(frame, Part::Wheels, &life.name, &body)
}

fn demo(entry: &EntryView) -> Markup {
    html! { @if entry.is_demo { " " span class="tag" { "demo" } } }
}

/// Laps with the dial: both faces, sideways and outward.
pub(crate) fn runout_laps(frame: &Frame, address: &str, visit: Option<&str>) -> Markup {
    let laps = [
        ("lateral", "right", "Lateral, right face"),
        ("lateral", "left", "Lateral, left face"),
        ("radial", "right", "Radial, right face"),
        ("radial", "left", "Radial, left face"),
    ];
    html! {
        details {
            summary { "Runout laps" }
            p { "Check the bearings for play first: a loose hub shows as runout." }
            div class="row" {
                @for (takes, face, words) in laps {
                    (form(frame, &format!("{address}/laps"), &html! {
                        input type="hidden" name="takes" value=(takes);
                        input type="hidden" name="face" value=(face);
                        input type="hidden" name="state" value="bare";
                        @if let Some(visit) = visit { input type="hidden" name="visit" value=(visit); }
                        button { (words) }
                    }))
                }
            }
        }
    }
}

/// A button that takes a note out of view.
pub(crate) fn withdraw(frame: &Frame, entry: &EntryView, to: &str, what: &str) -> Markup {
    form(
        frame,
        "/withdraw",
        &html! {
            input type="hidden" name="of" value=(entry.id);
            input type="hidden" name="to" value=(to);
            button aria-label={ "Take out of view: " (what) } { "Take out" }
        },
    )
}

/// A note as it stands, folded up, to be written otherwise: what stood there stays in the records.
pub(crate) fn correct(
    frame: &Frame,
    action: &str,
    entry: &EntryView,
    what: &str,
    fields: &Markup,
) -> Markup {
    html! {
        @if let Some(why) = &entry.why { " " span class="quiet" { "Corrected by " (entry.by) ": " (why) "." } }
        details {
            summary aria-label={ "Correct: " (what) } { "Correct" }
            (form(frame, action, &html! {
                input type="hidden" name="seen" value=(entry.entry);
                (fields)
                (field(&of(Some(entry), "why"), "Why it is corrected", "", "What stands there now is kept, with who changed it"))
                button { "Write it so" }
            }))
        }
    }
}

/// The id of a field about a note that stands, or about a new one: each stands once in a page.
pub(crate) fn of(entry: Option<&EntryView>, name: &str) -> String {
    match entry {
        Some(entry) => format!("of-{}-{name}", entry.entry),
        None => name.into(),
    }
}

fn limits(frame: &Frame, limits: &[LimitNoteView], to: &str) -> Markup {
    html! {
        @if limits.is_empty() { p class="note" { "No limit known." } } @else {
            div class="wide" tabindex="0" role="region" aria-label="Limits" { table {
                thead { tr { th { "part" } th { "limit" } th { "holds" } th { "source" } th { "noted" } th {} } }
                tbody { @for one in limits { tr {
                    td { (one.part) }
                    td { (one.value) " " (one.unit) }
                    td { (one.state.unwrap_or("any state")) @if let Some(side) = one.side { ", " (side) } @if let Some(kind) = &one.spoke_kind { ", " (kind) } }
                    td { (one.source) }
                    td { (one.noted) }
                    td { (withdraw(frame, &one.entry, to, &one.source))
                        (correct(frame, &format!("{to}/limits/correct"), &one.entry, &one.source, &limit_fields(Some(one)))) }
                } } }
            } }
        }
    }
}

fn claims(frame: &Frame, claims: &[ClaimNoteView], to: &str) -> Markup {
    html! {
        @if claims.is_empty() { p class="quiet" { "Nothing is claimed." } } @else {
            ul { @for one in claims { li {
                "“" (one.text) "” " span class="quiet" { (one.source.as_deref().unwrap_or("source not said")) } " "
                (withdraw(frame, &one.entry, to, &one.text))
                // The form has one bound.
                @if one.at_most.is_none() || one.at_least.is_none() {
                    (correct(frame, &format!("{to}/claims/correct"), &one.entry, &one.text, &claim_fields(Some(one))))
                }
            } } }
        }
    }
}

fn parts(frame: &Frame, parts: &[PartView], to: &str) -> Markup {
    html! {
        @if parts.is_empty() { p class="quiet" { "None noted. A serial or lot written down today is found in seconds when it is called back." } }
        ul { @for part in parts { li {
            strong { (part.what) } " "
            @for text in [&part.maker, &part.model].into_iter().flatten() { (text) " " }
            @if let Some(lot) = &part.lot { "lot " (lot) " " }
            @if let Some(serial) = &part.serial { "serial " (serial) " " }
            (withdraw(frame, &part.entry, to, &part.what))
            (correct(frame, &format!("{to}/parts/correct"), &part.entry, &part.what, &part_fields(Some(part))))
        } } }
    }
}

fn limit_form(frame: &Frame, address: &str, fresh: &str) -> Markup {
    form(
        frame,
        &format!("{address}/limits"),
        &html! {
            input type="hidden" name="entry" value=(fresh);
            (limit_fields(None))
            button { "Note the limit" }
        },
    )
}

fn limit_fields(standing: Option<&LimitNoteView>) -> Markup {
    let of = |name| of(standing.map(|one| &one.entry), &format!("limit-{name}"));
    let value = standing.map_or(String::new(), |one| format!("{} {}", one.value, one.unit));
    html! {
        (choice("part", "Part", &PARTS, standing.map_or("rim", |one| &one.part)))
        (field(&of("value"), "Limit, with its unit", &value, "125 kgf, 1250 N or 6 bar. A bare “kg” is asked about"))
        (choice("state", "Given for", &[("bare", "bare"), ("tyred", "tyre on"), ("", "not said")], standing.map_or("bare", |one| one.state.unwrap_or_default())))
        (choice("side", "Side", &[("", "both"), ("right", "right"), ("left", "left")], standing.and_then(|one| one.side).unwrap_or_default()))
        @if let Some(kind) = standing.and_then(|one| one.spoke_kind.as_ref()) { input type="hidden" name="spoke_kind" value=(kind); }
        (field(&of("source"), "Where it stands", standing.map_or("", |one| &one.source), "Sticker, page of the manual, e-mail of the maker"))
    }
}

fn claim_form(frame: &Frame, address: &str, fresh: &str) -> Markup {
    form(
        frame,
        &format!("{address}/claims"),
        &html! {
            input type="hidden" name="entry" value=(fresh);
            (claim_fields(None))
            button { "Note the claim" }
        },
    )
}

fn claim_fields(standing: Option<&ClaimNoteView>) -> Markup {
    let of = |name| of(standing.map(|one| &one.entry), &format!("claim-{name}"));
    let said = |text: Option<&String>| text.cloned().unwrap_or_default();
    let number = standing.and_then(|one| one.at_most.or(one.at_least));
    let is_least = standing.is_some_and(|one| one.at_least.is_some());
    let dress = standing
        .and_then(|one| one.dress.as_ref())
        .map(|dress| dress.join(", "));
    html! {
        (field(&of("text"), "In the words of who claims it", standing.map_or("", |one| &one.text), ""))
        (choice("quantity", "It is about", &QUANTITIES, standing.map_or("tension_loss_percent", |one| &one.quantity)))
        (choice("bound", "The number is", &[("most", "the most it may be"), ("least", "the least")], if is_least { "least" } else { "most" }))
        (field(&of("number"), "Number", &number.map_or(String::new(), |number| number.to_string()), ""))
        (field(&of("dress"), "What is on the wheel, for a mass", &dress.unwrap_or_default(), "tape, valve"))
        @if let Some(what) = standing.and_then(|one| one.of_what.as_ref()) { input type="hidden" name="of_what" value=(what); }
        (field(&of("source"), "Where it stands", &said(standing.and_then(|one| one.source.as_ref())), ""))
    }
}

fn part_form(frame: &Frame, address: &str, fresh: &str) -> Markup {
    form(
        frame,
        &format!("{address}/parts"),
        &html! {
            input type="hidden" name="entry" value=(fresh);
            (part_fields(None))
            button { "Note the part" }
        },
    )
}

fn part_fields(standing: Option<&PartView>) -> Markup {
    let of = |name| of(standing.map(|one| &one.entry), &format!("part-{name}"));
    let said = |pick: fn(&PartView) -> &Option<String>| {
        let text = standing.and_then(|part| pick(part).as_deref());
        text.unwrap_or_default()
    };
    html! {
        div class="fields" {
            (field(&of("what"), "What it is", standing.map_or("", |part| &part.what), "rim, hub, spoke, nipple, tyre"))
            (field(&of("maker"), "Maker", said(|part| &part.maker), ""))
            (field(&of("model"), "Model", said(|part| &part.model), ""))
            (field(&of("lot"), "Lot", said(|part| &part.lot), ""))
            (field(&of("serial"), "Serial", said(|part| &part.serial), ""))
            @if let Some(note) = standing.and_then(|part| part.note.as_ref()) { input type="hidden" name="note" value=(note); }
        }
    }
}
