//! A round is asked for: what it will rest on, and what may be asked otherwise than is usual.

use crate::desk::{Desk, id};
use crate::layout::{Frame, Part, choice, field, form, page};
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use quantity::Length;
use quantity::force::ForceUnit;
use std::time::Duration;
use workshop::records::{AtRound, Error};
use workshop::true_up::{MOST_TURNS, Mean, Side, Step};
use workshop::view::{FindingView, VisitView};

/// Nobody stands longer before a page than this; the plan then says by how much it may miss the best.
const MOST_WAITED: Duration = Duration::from_secs(8);

const STEPS: [(&str, &str); 4] = [("4", "1/4"), ("8", "1/8"), ("12", "1/12"), ("16", "1/16")];

pub(super) async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
) -> Result<Response, Refusal> {
    let about = id(&visit)?;
    let of = desk.shop.visit(about).await.map_err(|e| desk.refuse(&e))?;
    let unit = desk.unit().await?;
    match desk.shop.at_round(about).await {
        Ok(at) => {
            Ok(ask(&frame, &of, &at, unit, &desk.shop.fresh_id().to_string()).into_response())
        }
        Err(error @ (Error::TurnedSince { .. } | Error::ReadSince { .. })) => {
            Ok(too_late(&frame, &of, &error))
        }
        Err(error) => Err(back(desk.refuse(&error), &visit)),
    }
}

pub(super) async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    Path(visit): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let about = id(&visit)?;
    let unit = desk.unit().await?;
    let pen = frame.pen(&posted)?;
    let mut at = desk
        .shop
        .at_round(about)
        .await
        .map_err(|e| back(desk.refuse(&e), &visit))?;
    asked(&mut at, &posted, unit)
        .map_err(|refusal| refusal.then(format!("/visits/{visit}/round"), "Ask otherwise"))?;
    let entered = desk.shop.plan_round(&pen, at).await;
    let plan = entered.map_err(|e| back(desk.refuse(&e), &visit))?;
    Ok(Redirect::to(&format!("/rounds/{}", plan.id)))
}

fn back(refusal: Refusal, visit: &str) -> Refusal {
    refusal.then(format!("/visits/{visit}"), "Back to the visit")
}

/// Writes into the question what the form asks.
fn asked(at: &mut AtRound, posted: &Posted, unit: ForceUnit) -> Result<(), Refusal> {
    let spokes = at.wheel().spokes.len();
    let within =
        |name: &str, label: &str, least: f64, most: f64| match posted.number(name, label)? {
            Some(number) if !(least..=most).contains(&number) => Err(Refusal::field(
                label,
                &format!("it is a number from {least} to {most}"),
            )),
            number => Ok(number),
        };
    at.question.time_limit = MOST_WAITED;
    at.question.hidden = posted.raw("nipples") == "hidden";
    at.question.go_on = posted.raw("go_on") == "yes";
    if let Some(parts) = posted.whole::<u32>("step", "Smallest turn")? {
        at.question.step = Step::part_of(parts).ok_or_else(Refusal::no_form)?;
    }
    at.question.target = match within("target", "Mean tension wanted", 1.0, 5000.0)? {
        Some(tension) => Some(Mean {
            side: Side::of_word(posted.raw("side")).ok_or_else(Refusal::no_form)?,
            tension: unit.of(tension),
        }),
        None => None,
    };
    if let Some(most) = within("most_turns", "Turns at most for one nipple", 0.01, 20.0)? {
        at.question.most_turns = most;
    }
    at.question.at_most = match within("at_most", "Nipples at most", 1.0, 100.0)? {
        Some(nipples) if nipples.fract() != 0.0 => {
            return Err(Refusal::field("Nipples at most", "it is no whole number"));
        }
        nipples => nipples.map(|nipples| nipples as usize),
    };
    at.dish = within("dish", "Dish", -50.0, 50.0)?.map(Length::mm);
    at.seized = posted
        .line("seized")?
        .unwrap_or_default()
        .split([',', ';', ' '])
        .filter(|word| !word.is_empty())
        .map(|word| match word.parse::<usize>() {
            Ok(spoke) if (1..=spokes).contains(&spoke) => Ok(spoke),
            _ => Err(Refusal::field(
                "Nipples that do not turn",
                &format!("“{word}” is no spoke from 1 to {spokes}"),
            )),
        })
        .collect::<Result<_, _>>()?;
    Ok(())
}

fn ask(frame: &Frame, visit: &VisitView, at: &AtRound, unit: ForceUnit, fresh: &str) -> Markup {
    let address = format!("/visits/{}", visit.entry.id);
    let [tensions, ..] = at.read();
    // What it is made from, and what is doubted or asked, comes before the button.
    let is_first = |one: &&FindingView| {
        one.weight != "note" || one.about == "readings" || one.about == "rounds"
    };
    let (first, others): (Vec<_>, Vec<_>) = at.findings().iter().partition(is_first);
    let seized = at.seized.iter().map(ToString::to_string);
    let target = at.question.target;
    let wanted = target.map(|mean| format!("{:.1}", unit.read(mean.tension)));
    let body = html! {
        h1 { "Plan a round: " a href=(address) { (visit.wheel_name) } }
        @if tensions == 0 { p class="ask" { "Without tensions no limit can be held against anything, and evenness is not planned for." } }
        @for finding in first { (told(finding)) }
        @if let (Some(mean), Some(wanted)) = (target, &wanted) {
            p class="note" { "Mean tension wanted, as with the plan before: " (wanted) " " (unit.symbol()) " on the " (mean.side.word()) " side." }
        }
        (form(frame, &format!("{address}/round"), &html! {
            input type="hidden" name="entry" value=(fresh);
            (choice("nipples", "The nipples are", &[("outside", "outside, turned with the key at the rim"), ("hidden", "hidden, turned from the tyre side")],
                if at.question.hidden { "hidden" } else { "outside" }))
            p { button class="main" { "Plan the round" } }
            p class="quiet" { "It is kept with the visit, and takes some seconds at most. Nothing is turned by it." }
            details {
                summary { "Otherwise than usual" }
                (choice("step", "Smallest turn", &STEPS, "8"))
                div class="fields" {
                    (field("target", &format!("Mean tension wanted, {}", unit.symbol()), wanted.as_deref().unwrap_or_default(), "Left empty, the level is kept"))
                    (field("dish", "Rim off the middle as measured now, mm", "", "To the right positive: half of what a flipping tool shows"))
                    (field("seized", "Nipples that do not turn", &seized.collect::<Vec<_>>().join(", "), "Their spokes’ numbers; those passed over stand here"))
                    (field("at_most", "Nipples at most", "", "Left empty, as many as it takes"))
                    (field("most_turns", "Turns at most for one nipple", "", &format!("{MOST_TURNS} when left empty")))
                }
                (choice("side", "That mean is of the", &[("right", "right side"), ("left", "left side")],
                    target.map_or("right", |mean| mean.side.word())))
                (choice("go_on", "A wheel of its class", &[("no", "is left alone"), ("yes", "is bettered all the same")], "no"))
            }
        }))
        @if !others.is_empty() {
            details { summary { "Good to know" } @for finding in &others { (told(finding)) } }
        }
        p class="quiet" { "Planned for the shop’s class, " a href="/settings" { "in the settings" } ", and within "
            @match at.question.limits.len() { 0 => { "no limit: none is known" }, 1 => { "the one limit of tension noted" }, more => { "the " (more) " limits of tension noted" } }
            ". Makers’ limits and instructions prevail; a suspected rim is not trued." }
    };
    page(frame, Part::Wheels, "Plan a round", &body)
}

fn told(finding: &FindingView) -> Markup {
    let class = match &*finding.weight {
        "doubt" => "doubt",
        "question" => "ask",
        _ => "note",
    };
    html! { div class=(class) { p { (finding.says) } } }
}

/// That a plan from these readings would be of the wheel as it was, and where to go from there.
fn too_late(frame: &Frame, visit: &VisitView, error: &Error) -> Response {
    let is_read = matches!(error, Error::ReadSince { .. });
    let title = if is_read {
        "Plan from the newest visit"
    } else {
        "Take the laps anew first"
    };
    let wheel = format!("/wheels/{}", visit.wheel_label);
    let body = html! {
        h1 { (title) }
        @for line in error.to_string().lines() { p class="says" { (line) } }
        div class="row" {
            @if is_read {
                a class="button main" href=(wheel) { "To the wheel" }
            } @else {
                (form(frame, &format!("{wheel}/laps"), &html! {
                    input type="hidden" name="state" value="bare";
                    button class="main" { "Next lap, bare" }
                }))
            }
            @if let Some(plan) = visit.plans.last() { a class="button" href={ "/rounds/" (plan.entry.id) } { "To the round" } }
            a class="button" href={ "/visits/" (visit.entry.id) } { "Back to the visit" }
        }
    };
    let page = page(frame, Part::Wheels, title, &body);
    (StatusCode::CONFLICT, page).into_response()
}
