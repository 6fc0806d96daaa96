//! A wheel's life as a page.

use super::judged;
use crate::layout::{Frame, Part, field, form, page};
use crate::shelf::{OUT_OF_VIEW, start_laps};
use crate::time;
use maud::{Markup, html};
use workshop::view::{EntryView, LifeView, PartView};

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
        (judged::limits(frame, &life.limits, &address))
        @for part in &life.parts { @if !part.limits.is_empty() {
            p { "Of the " (part.what) @if let Some(maker) = &part.maker { " by " (maker) } ":" }
            (judged::limits(frame, &part.limits, &address))
        } }
        @let on_visits = life.visits.iter().filter(|visit| !visit.limits.is_empty());
        (judged::on_visits("limit", on_visits.map(|visit| (visit, visit.limits.len())).collect()))
        @let all = life.parts.iter().map(|part| &part.limits).chain(life.visits.iter().map(|visit| &visit.limits));
        @if life.limits.is_empty() && all.clone().all(Vec::is_empty) { p class="note" { "No limit known." } }
        details { summary { "Note a limit" } (judged::limit_form(frame, &address, fresh)) }
        h2 { "Claims" }
        (judged::claims(frame, &life.claims, &address))
        @let on_visits = life.visits.iter().filter(|visit| !visit.claims.is_empty());
        (judged::on_visits("claim", on_visits.map(|visit| (visit, visit.claims.len())).collect()))
        @if life.claims.is_empty() && life.visits.iter().all(|visit| visit.claims.is_empty()) { p class="quiet" { "Nothing is claimed." } }
        details { summary { "Note a claim" } (judged::claim_form(frame, &address, fresh)) }
        h2 { "Parts" }
        (parts(frame, &life.parts, &address))
        details { summary { "Note a part" } (part_form(frame, &address, fresh)) }
        details { summary { "Wheel file" } div class="wide" tabindex="0" role="region" aria-label="Wheel file" { pre { (life.file) } } }
        details { summary { "Take this wheel out of view" }
            p { "It stays in the records with everything about it, and " a href=(OUT_OF_VIEW) { "can be brought back" } "." }
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
