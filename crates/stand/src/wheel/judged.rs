//! Limits and claims, of a wheel or of one visit: shown, noted, corrected.

use super::page::{correct, of, withdraw};
use crate::layout::{Frame, choice, field, form};
use crate::posted::Posted;
use crate::refusal::Refusal;
use crate::time;
use maud::{Markup, html};
use workshop::records::entry::{Face, State};
use workshop::records::{ClaimAsked, LimitAsked};
use workshop::view::{ClaimNoteView, LimitNoteView, VisitView};

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

/// A unit as it is written; the records have the words of files, `n` for newtons.
fn symbol(unit: &str) -> &str {
    if unit == "n" { "N" } else { unit }
}

/// Limits as they stand, each with the form that corrects it at the page `to`; nothing where there are none.
pub(crate) fn limits(frame: &Frame, limits: &[LimitNoteView], to: &str) -> Markup {
    html! {
        @if !limits.is_empty() {
            div class="wide" tabindex="0" role="region" aria-label="Limits" { table {
                thead { tr { th { "part" } th { "limit" } th { "holds" } th { "source" } th { "noted" } td {} } }
                tbody { @for one in limits { tr {
                    td { (one.part) }
                    td { (one.value) " " (symbol(&one.unit)) }
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

/// Claims alike.
pub(crate) fn claims(frame: &Frame, claims: &[ClaimNoteView], to: &str) -> Markup {
    html! {
        @if !claims.is_empty() {
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

/// Where those stand that hang on visits: `what` is what they are.
pub(super) fn on_visits(what: &str, visits: Vec<(&VisitView, usize)>) -> Markup {
    html! {
        @for (visit, count) in visits {
            p class="note" {
                (count) " " (what) @if count != 1 { "s" } " noted with the "
                a href={ "/visits/" (visit.entry.id) "#judged" } { "visit of " (time::day(&visit.taken)) }
            }
        }
    }
}

pub(super) fn limit_form(frame: &Frame, address: &str, fresh: &str) -> Markup {
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
    let value = standing.map_or(String::new(), |one| {
        format!("{} {}", one.value, symbol(&one.unit))
    });
    html! {
        (choice("part", "Part", &PARTS, standing.map_or("rim", |one| &one.part)))
        (field(&of("value"), "Limit, with its unit", &value, "125 kgf, 1250 N or 6 bar. A bare “kg” is asked about"))
        (choice("state", "Given for", &[("bare", "bare"), ("tyred", "tyre on"), ("", "not said")], standing.map_or("bare", |one| one.state.unwrap_or_default())))
        (choice("side", "Side", &[("", "both"), ("right", "right"), ("left", "left")], standing.and_then(|one| one.side).unwrap_or_default()))
        @if let Some(kind) = standing.and_then(|one| one.spoke_kind.as_ref()) { input type="hidden" name="spoke_kind" value=(kind); }
        (field(&of("source"), "Where it stands", standing.map_or("", |one| &one.source), "Sticker, page of the manual, e-mail of the maker"))
    }
}

pub(super) fn claim_form(frame: &Frame, address: &str, fresh: &str) -> Markup {
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

/// A limit as a form says it.
pub(crate) fn limit(posted: &Posted) -> Result<LimitAsked, Refusal> {
    Ok(LimitAsked {
        part: posted.said("part")?.unwrap_or_default(),
        value: posted.said("value")?.unwrap_or_default(),
        state: State::of_word(posted.raw("state")),
        side: Face::of_word(posted.raw("side")),
        spoke_kind: posted.said("spoke_kind")?,
        source: posted.said("source")?.unwrap_or_default(),
        noted: posted.said("noted")?,
    })
}

/// A claim as a form says it.
pub(crate) fn claim(posted: &Posted) -> Result<ClaimAsked, Refusal> {
    let number = posted.number("number", "Number")?;
    let is_most = posted.raw("bound") != "least";
    Ok(ClaimAsked {
        text: posted.said("text")?.unwrap_or_default(),
        quantity: posted.said("quantity")?.unwrap_or_default(),
        at_most: number.filter(|_| is_most),
        at_least: number.filter(|_| !is_most),
        of_what: posted.said("of_what")?,
        dress: posted
            .said("dress")?
            .map(|dress| crate::visit::dress(&dress)),
        source: posted.said("source")?,
    })
}
