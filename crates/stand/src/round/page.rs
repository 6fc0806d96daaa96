//! The work of a round: the nipple that is due, very large, and what was done with the others.

use super::turn::{aloud, hand, turns, verb, way};
use crate::lap::near::{self, BESIDE, Near};
use crate::lap::side;
use crate::layout::{Frame, Part, form, page, token};
use crate::settings;
use maud::{Markup, html};
use workshop::view::{PlanView, RoundView, WorkView};

/// What became of what was sent last.
#[derive(Debug, Clone, Default)]
pub(super) struct Said {
    /// In one word: `done`, `passed`, `back`, `asked`, `collision`.
    pub outcome: &'static str,
    /// In words.
    pub words: String,
    /// Aloud.
    pub aloud: String,
}

pub(super) fn work(
    frame: &Frame,
    round: &RoundView,
    plan: &PlanView,
    said: &Said,
    fresh: &dyn Fn() -> String,
) -> Markup {
    let address = format!("/rounds/{}", round.entry.id);
    let body = html! {
        div class="lap round" {
            div class="top" {
                h1 { "Round of truing · " a href={ "/wheels/" (round.wheel_label) } { (round.wheel_name) } }
                span class="label" { (round.wheel_label) }
                span #progress class="progress" data-part { (round.made()) " of " (round.work.len()) }
                div class="row" {
                    a class="button" href=(address) { "The plan" }
                    a class="button" href={ "/visits/" (round.visit) } { "To the visit" }
                }
            }
            (due(frame, round, plan))
            div {
                (acts(frame, round, &address, &fresh()))
                p #keyboard class="keyboard" role="alert" hidden {}
                (told(said))
                (otherwise(frame, round, plan, &address, &fresh()))
            }
            (list(round, plan))
            div class="below" {
                (settings::device())
                (keys())
            }
        }
    };
    let title = format!("Round of truing, {}", round.wheel_name);
    page(frame, Part::Round, &title, &body)
}

fn due(frame: &Frame, round: &RoundView, plan: &PlanView) -> Markup {
    html! {
        section #due class="due turn" data-part aria-label="Nipple due" {
            @match round.item() {
                Some(item) => {
                    (neighbours(plan, item.turn.spoke))
                    div class="which-turn" {
                        div {
                            p class={ "which " (item.turn.side) } { (item.turn.spoke) " " span class="side" { (item.turn.side) } }
                            p class="verb" { (verb(item)) }
                            p class="far" { (turns(item.steps, plan.steps_in_a_turn)) }
                        }
                        (hand(item))
                    }
                    p class="says" { strong { (way(item)) } " · " (item.steps.abs()) (steps(item)) " of 1/" (plan.steps_in_a_turn) }
                    p class="says" { (item.turn.hold) @if let Some(deg) = item.turn.windup_deg { " (" (format!("{deg:.0}")) "° by the spoke’s data)" } }
                    @if round.work.iter().filter(|one| one.turn.spoke == item.turn.spoke).count() > 1 {
                        p class="quiet" { "This nipple stands in the list twice: in between there is room for others." }
                    }
                }
                None => {
                    p class="which done" { @if round.work.is_empty() { "Nothing is to be turned." } @else { "Every nipple of this round is done." } }
                    p class="says" { "Now read the wheel anew: what is taken next begins a visit of its own, and shows what came of the turns." }
                    (next_laps(frame, round))
                }
            }
        }
    }
}

const fn steps(item: &WorkView) -> &'static str {
    if item.steps.unsigned_abs() == 1 {
        " step"
    } else {
        " steps"
    }
}

/// The laps that the round rested on, to be taken again with one tap each.
pub(super) fn next_laps(frame: &Frame, round: &RoundView) -> Markup {
    html! {
        div class="row" {
            @for (place, lap) in round.laps.iter().enumerate() {
                (form(frame, &format!("/wheels/{}/laps", round.wheel_label), &html! {
                    input type="hidden" name="takes" value=(lap.takes);
                    input type="hidden" name="state" value="bare";
                    @if let Some(face) = lap.face { input type="hidden" name="face" value=(face); }
                    button class=(if place == 0 { "main" } else { "" }) {
                        @match (lap.takes, lap.face) {
                            ("lateral", Some(face)) => { "Lateral, " (face) " face" }
                            ("radial", Some(face)) => { "Radial, " (face) " face" }
                            ("pitch", _) => { "Pitch" }
                            _ => { "Next lap, bare" }
                        }
                    }
                }))
            }
        }
    }
}

fn neighbours(plan: &PlanView, due: usize) -> Markup {
    let count = plan.spokes.len();
    let beside = BESIDE.min(count.saturating_sub(1) / 2);
    let near = (0..=2 * beside).filter_map(|step| {
        let spoke = plan.spokes.get((due + count + step - beside - 1) % count)?;
        Some(Near {
            number: spoke.spoke,
            side: side(&spoke.side),
            is_before_valve: spoke.spoke == count,
        })
    });
    near::draw(&near.collect::<Vec<_>>(), due, true)
}

/// The form that every key, tap and press of the pedal sends.
fn acts(frame: &Frame, round: &RoundView, address: &str, fresh: &str) -> Markup {
    html! {
        form #turn class="take" method="post" action={ (address) "/work" } data-live={ (address) "/live" } {
            div #now data-part {
                (token(frame))
                input type="hidden" name="entry" value=(fresh);
                input type="hidden" name="number" value=(round.due.unwrap_or(0));
                @let last = round.last().and_then(|item| item.made.as_ref());
                input type="hidden" name="after" value=(last.map_or(&round.entry.entry, |made| &made.entry.entry));
                @if let Some(made) = last { input type="hidden" name="last" value=(made.entry.entry); }
                @if round.due.is_some() && round.over.is_none() {
                    div class="big" { button class="main done" name="do" value="done" { "Done" } }
                }
                div class="acts two" {
                    button name="do" value="undo" disabled[last.is_none()] { "Undo " kbd { "/" } }
                    @if round.due.is_some() && round.over.is_none() { button name="do" value="pass" { "Pass over " kbd { "+" } } }
                }
            }
        }
    }
}

fn told(said: &Said) -> Markup {
    let is_asked = matches!(said.outcome, "asked" | "collision");
    let sound = match said.outcome {
        "" => "",
        _ if is_asked => "doubt",
        _ => "taken",
    };
    html! {
        div #said class=(if is_asked { "said asked" } else { "said" }) data-part role="status"
            data-outcome=(said.outcome) data-sound=(sound) data-say=(said.aloud) { p { (said.words) } }
    }
}

/// A turn that came out otherwise than planned is written down as it was made: the next plan counts on it.
fn otherwise(
    frame: &Frame,
    round: &RoundView,
    plan: &PlanView,
    address: &str,
    fresh: &str,
) -> Markup {
    html! {
        details #otherwise data-part {
            summary { "Turned otherwise" }
            @match round.item().filter(|_| round.over.is_none()) {
                Some(item) => {
                    form method="post" action={ (address) "/work" } data-at-stand {
                        (token(frame))
                        input type="hidden" name="entry" value=(fresh);
                        input type="hidden" name="number" value=(item.number);
                        div class="field" {
                            label for="steps" { "Steps of 1/" (plan.steps_in_a_turn) " that nipple " (item.turn.spoke) " was turned" }
                            input #steps name="steps" inputmode="numeric" autocomplete="off" maxlength="5" value=(item.steps) aria-describedby="steps-hint";
                            small #steps-hint { "Loosening with a minus. What is turned past the mark and back does not count" }
                        }
                        button name="do" value="otherwise" { "Turned so" }
                    }
                    p class="quiet" { "A nipple that resists is not forced: pass it over, and say why at the visit." }
                }
                None => { p class="quiet" { "Nothing is due." } }
            }
        }
    }
}

fn list(round: &RoundView, plan: &PlanView) -> Markup {
    html! {
        section #picture class="picture" data-part aria-label="The round so far" {
            @if let Some(over) = &round.over {
                div class="doubt" { p { (over) } p { a class="button" href={ "/wheels/" (round.wheel_label) } { "To the wheel" } } }
            }
            (changed(round))
            @if !round.beyond.is_empty() {
                div class="ask" { p { "Beside the list " (round.beyond.len()) " more turns are noted with this plan: they count too." } }
            }
            (work_list(round, plan))
            p class="quiet" { @for caution in &plan.cautions { (caution) " " } }
        }
    }
}

/// That what a plan rests on changed since it was made, and where to go from there.
pub(super) fn changed(round: &RoundView) -> Markup {
    html! {
        @if let Some(changed) = &round.changed {
            div class="ask" { p { (changed) } p { a class="button" href={ "/visits/" (round.visit) "/round" } { "Plan anew" } } }
        }
    }
}

/// The list in the order of work, with what was done.
pub(super) fn work_list(round: &RoundView, plan: &PlanView) -> Markup {
    html! {
        ol class="work" {
            @for item in &round.work {
                li aria-current=[(round.due == Some(item.number)).then_some("step")] {
                    span class={ "name " (item.turn.side) } { (item.turn.spoke) " " (item.turn.side) }
                    span { (verb(item)) " " (turns(item.steps, plan.steps_in_a_turn)) }
                    span class="state" { (state(item, plan)) @if round.due == Some(item.number) { "▶ due" } }
                }
            }
        }
    }
}

fn state(item: &WorkView, plan: &PlanView) -> String {
    match &item.made {
        None => String::new(),
        Some(_) if item.is_passed_over() => "– passed over".into(),
        Some(made) if item.is_otherwise() => {
            let steps = (made.turns * f64::from(plan.steps_in_a_turn)).round() as i64;
            let verb = if steps < 0 { "loosened" } else { "tightened" };
            format!("≠ {verb} {}", turns(steps, plan.steps_in_a_turn))
        }
        Some(_) => "✓ done".into(),
    }
}

fn keys() -> Markup {
    html! {
        details {
            summary { "Keys" }
            p { kbd { "Enter" } ", or a foot switch once it was taught, says that the nipple due is done. " kbd { "/" }
                " takes the last one back, and so does the foot switch held down for a second. " kbd { "+" } " passes a nipple over." }
        }
    }
}

/// What is said of the turn that was entered last.
pub(super) fn said_of(round: &RoundView, plan: &PlanView, did: &str) -> Said {
    let next = match round.item() {
        Some(item) => aloud(item, plan.steps_in_a_turn),
        None => "the round is done".into(),
    };
    let last = round.last();
    match (did, last) {
        ("back", _) => Said {
            outcome: "back",
            words: "Taken back. If the nipple was turned, turn it back too.".into(),
            aloud: format!("back to {next}"),
        },
        ("done" | "passed", Some(item)) => Said {
            outcome: if item.is_passed_over() {
                "passed"
            } else {
                "done"
            },
            words: format!(
                "{} {}: {}.",
                item.turn.spoke,
                item.turn.side,
                state(item, plan)
            ),
            aloud: next,
        },
        (_, Some(item)) => Said {
            words: format!(
                "Last: {} {}, {}.",
                item.turn.spoke,
                item.turn.side,
                state(item, plan)
            ),
            ..Said::default()
        },
        (_, None) => Said {
            words: "Nothing is turned yet.".into(),
            ..Said::default()
        },
    }
}
