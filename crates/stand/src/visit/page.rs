//! A visit as a page.

use super::turned::turned;
use crate::layout::{Frame, Part, choice, field, form, page, token};
use crate::round::plans;
use crate::shelf::start_laps;
use crate::time;
use crate::wheel::{correct, judged, of, runout_laps, withdraw};
use maud::{Markup, html};
use workshop::view::{LapInShortView, LookView, VisitView, WeighingNoteView};

pub(super) fn visit(frame: &Frame, visit: &VisitView, fresh: &dyn Fn() -> String) -> Markup {
    let address = format!("/visits/{}", visit.entry.id);
    let body = html! {
        div data-live-from={ (address) "/live" } {
            h1 { a href={ "/wheels/" (visit.wheel_label) } { (visit.wheel_name) } ", " (time::day(&visit.taken))
                @if visit.entry.is_demo { " " span class="tag" { "demo" } } }
            @if let Some(asked) = &visit.asked { p class="says" { (asked) } }
            div class="row" {
                a class="button main" href={ (address) "/verdict" } { "Verdict" }
                a class="button" href={ (address) "/report" } { "Report" }
                a class="button" href={ (address) "/round" } { "Plan a round of truing" }
            }
            h2 { "Laps" }
            (laps(visit))
            (start_laps(frame, &visit.wheel_label, Some(&visit.entry.id)))
            (runout_laps(frame, &format!("/wheels/{}", visit.wheel_label), Some(&visit.entry.id)))
            (held_against(frame, visit, &address))
            h2 { "Truing" }
            @if !visit.plans.is_empty() { (plans(visit)) }
            (turned(frame, visit, &address, &fresh()))
            h2 { "Masses" }
            (weighings(frame, visit, &address, &fresh()))
            h2 { "Seen" }
            (looks(frame, visit, &address, &fresh()))
            h2 { "Photos" }
            (photos(frame, visit, &address, &fresh()))
            h2 { "Advice" }
            (advice(frame, visit, &address, &fresh()))
            h2 { "Reports issued" }
            @if visit.reports.is_empty() { p class="quiet" { "None yet." } }
            ul { @for report in &visit.reports {
                li { a href={ "/issued/" (report.hash) } { (time::minute(&report.entry.at)) } ": " (report.title) }
            } }
            (about(frame, visit, &address))
        }
    };
    page(
        frame,
        Part::Wheels,
        &format!("Visit of {}", visit.wheel_name),
        &body,
    )
}

/// Limits and claims that came with the visit; those of the wheel stand on its own page.
fn held_against(frame: &Frame, visit: &VisitView, address: &str) -> Markup {
    html! {
        @if !visit.limits.is_empty() || !visit.claims.is_empty() {
            h2 #judged { "Held against in this visit" }
            p class="quiet" { "What stands at "
                a href={ "/wheels/" (visit.wheel_label) } { "the wheel" } " is held against too." }
            (judged::limits(frame, &visit.limits, address))
            (judged::claims(frame, &visit.claims, address))
        }
    }
}

fn laps(visit: &VisitView) -> Markup {
    html! {
        ul #laps class="shelf" data-part {
            @for lap in &visit.laps {
                li {
                    span { (time::minute(&lap.entry.since).split(", ").nth(1).unwrap_or_default().to_owned()) }
                    span class="name" { a href={ "/laps/" (lap.entry.id) } { (name(lap)) } }
                    span { (read(lap)) " read, by " (lap.entry.by) }
                }
            }
        }
        @if visit.laps.is_empty() { p class="quiet" { "None yet." } }
    }
}

fn name(lap: &LapInShortView) -> String {
    let face = lap
        .face
        .map_or(String::new(), |face| format!(", {face} face"));
    let pressure = lap
        .pressure
        .as_ref()
        .map_or(String::new(), |pressure| format!(", {pressure}"));
    let what = match lap.takes {
        "reading" => "Gauge",
        "lateral" => "Lateral",
        "radial" => "Radial",
        _ => "Pitch",
    };
    format!(
        "{what}{face}, {}{pressure}",
        if lap.state == "tyred" {
            "tyre on"
        } else {
            "bare"
        }
    )
}

fn read(lap: &LapInShortView) -> usize {
    let readings = lap.readings.iter();
    readings
        .filter(|reading| reading.outcome == "taken")
        .count()
}

fn weighings(frame: &Frame, visit: &VisitView, address: &str, fresh: &str) -> Markup {
    html! {
        ul { @for one in &visit.weighings { li {
            strong { (one.raw) " g" } " " (if one.dress.is_empty() { "nothing on it".into() } else { format!("with {}", one.dress.join(", ")) })
            " " (withdraw(frame, &one.entry, address, &one.raw))
            (correct(frame, &format!("{address}/weighings/correct"), &one.entry, &one.raw, &mass(Some(one))))
        } } }
        (form(frame, &format!("{address}/weighings"), &html! {
            input type="hidden" name="entry" value=(fresh);
            (mass(None))
            button { "Note the mass" }
        }))
    }
}

fn mass(standing: Option<&WeighingNoteView>) -> Markup {
    let of = |name| of(standing.map(|one| &one.entry), name);
    let dress = standing.map_or(String::new(), |one| one.dress.join(", "));
    html! {
        div class="fields" {
            (field(&of("mass"), "Mass, g", standing.map_or("", |one| &one.raw), ""))
            (field(&of("dress"), "What is on the wheel", &dress, "tape, valve, rotor, cassette, tyre; empty for nothing"))
            @if let Some(step) = standing.and_then(|one| one.step_g) { input type="hidden" name="step" value=(step); }
        }
    }
}

fn looks(frame: &Frame, visit: &VisitView, address: &str, fresh: &str) -> Markup {
    html! {
        ul { @for one in &visit.looks { li {
            @if let Some(spoke) = one.spoke { strong { "Spoke " (spoke) ": " } }
            (one.finding) " " (withdraw(frame, &one.entry, address, &one.finding))
            (correct(frame, &format!("{address}/looks/correct"), &one.entry, &one.finding, &finding(Some(one))))
        } } }
        (form(frame, &format!("{address}/looks"), &html! {
            input type="hidden" name="entry" value=(fresh);
            (finding(None))
            button { "Note it" }
        }))
    }
}

fn finding(standing: Option<&LookView>) -> Markup {
    let of = |name| of(standing.map(|one| &one.entry), name);
    let spoke = standing
        .and_then(|one| one.spoke)
        .map(|spoke| spoke.to_string());
    html! {
        div class="fields" {
            (field(&of("finding"), "What was seen", standing.map_or("", |one| &one.finding), "“Nothing found” is worth a line too"))
            (field(&of("spoke"), "Spoke or hole, when it is one", &spoke.unwrap_or_default(), ""))
        }
    }
}

fn photos(frame: &Frame, visit: &VisitView, address: &str, fresh: &str) -> Markup {
    html! {
        ul class="photos" { @for photo in &visit.photos {
            li { figure {
                @let caption = photo.caption.as_deref().unwrap_or("Photo without a word");
                a href={ "/kept/" (photo.hash) } { img src={ "/kept/" (photo.hash) } alt=(caption) loading="lazy" width="352"; }
                figcaption { (caption) ", " (time::minute(&photo.entry.since)) }
            }
            (correct(frame, &format!("{address}/photos/correct"), &photo.entry, caption, &field(
                &of(Some(&photo.entry), "caption"), "What it shows", photo.caption.as_deref().unwrap_or_default(), ""))) }
        } }
        form method="post" action={ (address) "/photos" } enctype="multipart/form-data" {
            (token(frame))
            input type="hidden" name="entry" value=(fresh);
            (field("caption", "What it shows", "", "Where, and what for: “whitening at hole 7”"))
            div class="field" {
                label for="photo" { "Photo" }
                input #photo name="photo" type="file" accept="image/jpeg,image/png,image/webp" capture="environment" aria-describedby="photo-hint";
                small #photo-hint { "JPEG, PNG or WebP up to 16 MB. It is written anew, upright, and without the place where it was taken." }
            }
            button { "Keep the photo" }
        }
    }
}

fn advice(frame: &Frame, visit: &VisitView, address: &str, fresh: &str) -> Markup {
    html! {
        @for one in &visit.advice {
            div class="note" {
                p { (one.text) " " strong { (match one.answer { "taken" => "taken", "refused" => "refused", _ => "not answered yet" }) }
                    @if let Some(reply) = &one.reply { ": “" (reply) "”" } }
                (correct(frame, &format!("{address}/advice/correct"), &one.entry, &one.text,
                    &field(&of(Some(&one.entry), "text"), "What is advised", &one.text, "")))
                @if one.answer == "open" {
                    (form(frame, &format!("{address}/answers"), &html! {
                        input type="hidden" name="seen" value=(one.entry.entry);
                        div class="row" {
                            button name="answer" value="taken" { "Taken" }
                            button name="answer" value="refused" { "Refused" }
                        }
                    }))
                }
            }
        }
        (form(frame, &format!("{address}/advice"), &html! {
            input type="hidden" name="entry" value=(fresh);
            (field("text", "What is advised", "", "Refused advice is written down too: it settles disputes"))
            button { "Note the advice" }
        }))
    }
}

fn about(frame: &Frame, visit: &VisitView, address: &str) -> Markup {
    html! {
        details {
            summary { "About this visit" }
            (form(frame, &format!("{address}/about"), &html! {
                input type="hidden" name="seen" value=(visit.entry.entry);
                (field("asked", "What is asked of the shop", visit.asked.as_deref().unwrap_or_default(), "In the customer’s words"))
                (choice("bearing", "Play in the bearings", &[("none", "none"), ("some", "some"), ("", "not looked at")], visit.bearing_play.unwrap_or_default()))
                div class="field" {
                    label for="not_checked" { "Not checked, one a line" }
                    textarea #not_checked name="not_checked" rows="3" { (visit.not_checked.join("\n")) }
                }
                div class="field" {
                    label for="note" { "Note" }
                    textarea #note name="note" rows="3" { (visit.note.as_deref().unwrap_or_default()) }
                }
                button { "Write it down" }
            }))
        }
    }
}
