//! A plan as a page: what it rests on, what to expect of it, and what came of the round before.

use super::page::{changed, next_laps, work_list};
use crate::layout::{Frame, Part, page};
use crate::time;
use maud::{Markup, html};
use workshop::view::{PlanView, RoundView, VisitView};

/// The plan with its grounds, `says`, which are written as a document.
pub(super) fn plan(frame: &Frame, round: &RoundView, plan: &PlanView, says: &Markup) -> Markup {
    let address = format!("/rounds/{}", round.entry.id);
    let body = html! {
        div data-live-from={ (address) "/live" } {
            h1 { "Round of truing: " a href={ "/wheels/" (round.wheel_label) } { (round.wheel_name) } }
            p class="quiet" { "Planned " (time::minute(&round.entry.at)) " by " (round.entry.by) ", from the readings of "
                a href={ "/visits/" (round.visit) } { (time::minute(&round.taken)) } "." }
            div #work data-part {
                @if let Some(over) = &round.over { div class="doubt" { p { (over) } } }
                (changed(round))
                div class="row" {
                    @match (round.item(), &round.over) {
                        (Some(item), None) => {
                            a class="button main" href={ (address) "/work" } {
                                @if round.made() == 0 { "Begin" } @else { "Go on" } ": " (item.turn.spoke) " " (item.turn.side) ", " (round.made()) " of " (round.work.len()) " done"
                            }
                        }
                        (None, _) if !round.work.is_empty() => { strong { "Every nipple of this round is done." } }
                        _ => {}
                    }
                    a class="button" href={ (address) "/print" } { "As a sheet to print" }
                    @if round.made() == 0 && round.over.is_none() { a class="button" href={ "/visits/" (round.visit) "/round" } { "Plan otherwise" } }
                    a class="button" href={ "/visits/" (round.visit) } { "To the visit" }
                }
                @if round.due.is_none() && round.over.is_none() && !round.work.is_empty() { (next_laps(frame, round)) }
            }
            @if !round.work.is_empty() {
                h2 { "In the order of work" }
                div #list data-part { (work_list(round, plan)) }
            }
            div class="document" { (says) }
        }
    };
    page(frame, Part::Wheels, "Round of truing", &body)
}

/// A plan whose text is in another form than this program writes, as it came.
pub(super) fn foreign(frame: &Frame, round: &RoundView) -> Markup {
    let body = html! {
        h1 { "Plan of " (time::minute(&round.entry.at)) ": " a href={ "/wheels/" (round.wheel_label) } { (round.wheel_name) } }
        p class="note" { "This plan was written in another form than this program’s. It is shown as it stands; what was turned by it counts all the same." }
        div class="wide" tabindex="0" role="region" aria-label="The plan’s text" { pre { (round.text) } }
        h2 { "Turned" }
        ul { @for turn in &round.beyond { li { "Spoke " (turn.spoke) ": " (turn.turns) " turns, " (turn.state) } } }
        p { a class="button" href={ "/visits/" (round.visit) } { "To the visit" } }
    };
    page(frame, Part::Wheels, "Plan", &body)
}

/// The plans of a visit, as its page lists them.
pub(crate) fn plans(visit: &VisitView) -> Markup {
    html! {
        ul #plans data-part { @for plan in &visit.plans { li {
            a href={ "/rounds/" (plan.entry.id) } { "Planned " (time::minute(&plan.entry.at)) }
            @match plan.turns {
                Some(0) => { ": nothing to turn" }
                Some(turns) => { ": " (plan.made) " of " (turns) " done" }
                None => {}
            }
            ", by " (plan.entry.by)
        } } }
    }
}
