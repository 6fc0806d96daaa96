//! The bench as pages.

use super::{chart, rig};
use crate::layout::{Frame, Part, choice, field, form, page};
use crate::time;
use crate::wheel::{correct, of, withdraw};
use maud::{Markup, html};
use quantity::Force;
use quantity::force::ForceUnit;
use workshop::view::{Calibration, CalibrationRecordView, GaugeRecordView, RigView, RodCheckView};
use workshop::words;

pub(super) fn bench(
    frame: &Frame,
    gauges: &[GaugeRecordView],
    rigs: &[RigView],
    fresh: &dyn Fn() -> String,
) -> Markup {
    let body = html! {
        h1 { "Bench" }
        ul class="shelf" {
            @for gauge in gauges {
                li {
                    span class="label" { (gauge.label) @if gauge.entry.is_demo { " " span class="tag" { "demo" } } }
                    div {
                        span class="name" { a href={ "/gauges/" (gauge.entry.id) } { "Checks and calibrations" } }
                        p class="quiet" { (last_check(gauge)) }
                    }
                    span { (gauge.calibrations.len()) @if gauge.calibrations.len() == 1 { " calibration" } @else { " calibrations" } }
                }
            }
        }
        @if gauges.is_empty() { p { "No gauge yet. Without one, readings stay divisions and no force is given." } }
        h2 { "Take a gauge in" }
        (form(frame, "/bench", &html! {
            input type="hidden" name="entry" value=(fresh());
            div class="fields" {
                (field("label", "What is written on it", "", "G1"))
                (field("resolution", "Smallest step it shows, divisions", "", "0.5"))
                (field("repeatability", "Standard uncertainty of one reading, divisions", "", "Read one spoke ten times; the scatter. 0.25 is common"))
                (field("span", "Distance of its supports, mm", "", "Can be left out"))
            }
            (choice("rises", "With more tension its reading", &[("yes", "rises"), ("no", "falls"), ("", "not said")], ""))
            button { "Take it in" }
        }))
        (rig::rigs(frame, rigs, &fresh()))
    };
    page(frame, Part::Bench, "Bench", &body)
}

/// One tap at the start of a day: the gauge shows on its rod what it should. Nothing before the first check,
/// which says what the rod is.
pub(crate) fn one_tap(frame: &Frame, gauge: &GaugeRecordView, fresh: &str, to: &str) -> Markup {
    let Some(last) = gauge.rod_checks.last() else {
        return html! {};
    };
    form(
        frame,
        &format!("/gauges/{}/checks", gauge.entry.id),
        &html! {
            input type="hidden" name="entry" value=(fresh);
            input type="hidden" name="to" value=(to);
            input type="hidden" name="reading" value=(last.expected);
            input type="hidden" name="expected" value=(last.expected);
            input type="hidden" name="tolerance" value=(last.tolerance);
            button { (gauge.label) " shows " (last.expected) " on its rod" }
        },
    )
}

fn last_check(gauge: &GaugeRecordView) -> String {
    match gauge.rod_checks.last() {
        None => "never checked against a rod".into(),
        Some(check) => {
            let how = if check.is_good {
                "good"
            } else {
                "off by more than it may be"
            };
            format!("last check {}: {how}", time::minute(&check.entry.since))
        }
    }
}

pub(super) fn gauge(
    frame: &Frame,
    gauge: &GaugeRecordView,
    rigs: &[RigView],
    fresh: &dyn Fn() -> String,
) -> Markup {
    let address = format!("/gauges/{}", gauge.entry.id);
    let last = gauge.rod_checks.last();
    let number = |pick: fn(&RodCheckView) -> f64| {
        last.map_or(String::new(), |check| pick(check).to_string())
    };
    let body = html! {
        h1 { "Gauge " (gauge.label) }
        h2 { "Rod check" }
        (one_tap(frame, gauge, &fresh(), &address))
        p { "At the start of a day, and when it was dropped. A failed one makes doubtful what was read since the last good one." }
        (form(frame, &format!("{address}/checks"), &html! {
            input type="hidden" name="entry" value=(fresh());
            div class="fields" {
                (field("reading", "It reads, divisions", "", ""))
                (field("expected", "The rod should read", &number(|check| check.expected), ""))
                (field("tolerance", "It may be off by", &number(|check| check.tolerance), ""))
            }
            button class="main" { "Note the check" }
        }))
        @if let Some(check) = last {
            div class=(if check.is_good { "note" } else { "doubt" }) { p { (last_check(gauge)) ": it read " (check.raw) ", the rod is " (check.expected) " ± " (check.tolerance) "." } }
            (correct(frame, &format!("{address}/checks/correct"), &check.entry, "the last check", &as_checked(check)))
            div class="wide" tabindex="0" role="region" aria-label="Checks" { (chart::draw(gauge)) }
            (chart::words(gauge))
            p { a class="button" href={ (address) "/checks" } { "All checks" } }
        }
        h2 { "Calibrations" }
        ul class="shelf" {
            @for one in gauge.calibrations.iter().rev() {
                li {
                    span { (time::day(&one.taken)) }
                    span class="name" { a href={ "/calibrations/" (one.entry.id) } { (one.spoke_kind) } }
                    span { (one.points.len()) " points" @if let Some(batch) = &one.batch { ", batch " (batch) } }
                }
            }
        }
        h2 { "Begin a calibration" }
        p { "One spoke of the kind on the rig. Eye protection on, guard over the spoke, stand aside of its line; stop below the ceiling you chose, and never stretch a damaged spoke." }
        (form(frame, &format!("{address}/calibrations"), &html! {
            input type="hidden" name="entry" value=(fresh());
            div class="fields" {
                (field("kind", "Spoke kind, as wheel files name it", "", "bladed"))
                (field("batch", "Batch of the spoke", "", ""))
                (field("temperature", "Temperature, °C", "", ""))
                (field("note", "Note", "", ""))
            }
            (rig::which(rigs, None))
            button { "Begin" }
        }))
    };
    page(frame, Part::Bench, &format!("Gauge {}", gauge.label), &body)
}

/// Every check of a gauge, the newest first, each to be written otherwise.
pub(super) fn checks(frame: &Frame, gauge: &GaugeRecordView) -> Markup {
    let address = format!("/gauges/{}", gauge.entry.id);
    let to = format!("{address}/checks");
    let body = html! {
        h1 { "Checks of " a href=(address) { "gauge " (gauge.label) } }
        @if gauge.rod_checks.is_empty() { p { "None yet." } }
        ol reversed[true] { @for check in gauge.rod_checks.iter().rev() { li {
            @let when = time::minute(&check.entry.since);
            strong { (when) } ": it read " (check.raw) ", the rod is " (check.expected) " ± " (check.tolerance)
            @if check.is_good { ", good" } @else { ", off by more than it may be" }
            ". By " (check.entry.by) ". " (withdraw(frame, &check.entry, &to, &when))
            (correct(frame, &format!("{to}/correct"), &check.entry, &when, &as_checked(check)))
        } } }
    };
    page(
        frame,
        Part::Bench,
        &format!("Checks of gauge {}", gauge.label),
        &body,
    )
}

/// A check as it was entered.
fn as_checked(check: &RodCheckView) -> Markup {
    let of = |name| of(Some(&check.entry), name);
    html! {
        div class="fields" {
            (field(&of("reading"), "It read, divisions", &check.raw, ""))
            (field(&of("expected"), "The rod should read", &check.expected.to_string(), ""))
            (field(&of("tolerance"), "It may be off by", &check.tolerance.to_string(), ""))
            @if let Some(warmth) = check.temperature_c { input type="hidden" name="temperature" value=(warmth); }
            @if let Some(note) = &check.note { input type="hidden" name="note" value=(note); }
        }
    }
}

/// What a calibration is, as it was said.
fn as_begun(record: &CalibrationRecordView, rigs: &[RigView]) -> Markup {
    let of = |name| of(Some(&record.entry), name);
    let said = |text: &Option<String>| text.clone().unwrap_or_default();
    let warmth = record.temperature_c.map(|warmth| warmth.to_string());
    html! {
        div class="fields" {
            (field(&of("kind"), "Spoke kind, as wheel files name it", &record.spoke_kind, ""))
            (field(&of("batch"), "Batch of the spoke", &said(&record.batch), ""))
            (field(&of("temperature"), "Temperature, °C", &said(&warmth), ""))
            (field(&of("note"), "Note", &said(&record.note), ""))
            (rig::which(rigs, record.rig.as_deref()))
            @if let Some(operator) = &record.operator { input type="hidden" name="operator" value=(operator); }
        }
    }
}

/// What the page of a calibration shows.
pub(super) struct Shown<'a> {
    pub gauge: &'a GaugeRecordView,
    pub record: &'a CalibrationRecordView,
    pub rigs: &'a [RigView],
    pub fitted: Option<&'a Calibration>,
    /// Why the points give no curve.
    pub why_none: Option<String>,
    pub drawn: Markup,
    pub unit: ForceUnit,
}

pub(super) fn calibration(frame: &Frame, shown: &Shown<'_>, fresh: &str) -> Markup {
    let record = shown.record;
    let address = format!("/calibrations/{}", record.entry.id);
    let last = record.points.last();
    let direction = last.and_then(|point| point.direction).unwrap_or("up");
    let body = html! {
        h1 { a href={ "/gauges/" (shown.gauge.entry.id) } { "Gauge " (shown.gauge.label) } " on " (record.spoke_kind) }
        @let rig = shown.rigs.iter().find(|rig| Some(&rig.entry.id) == record.rig.as_ref());
        @if let Some(rig) = rig { p class="quiet" { "Taken on the rig " (rig.name) @if let Some(note) = &rig.note { ": " (note) } "." } }
        (form(frame, &format!("{address}/points"), &html! {
            input type="hidden" name="entry" value=(fresh);
            input type="hidden" name="unit" value=(shown.unit.symbol().to_lowercase());
            div class="fields" {
                div class="field" {
                    label for="force" { "Force with the gauge off, " (shown.unit.symbol()) }
                    input #force name="force" inputmode="decimal" autocomplete="off" maxlength="40" autofocus;
                }
                div class="field" {
                    label for="reading" { "Reading, divisions" }
                    input #reading name="reading" inputmode="decimal" autocomplete="off" maxlength="40";
                }
            }
            (choice("direction", "The rig’s force was", &[("up", "rising"), ("down", "falling"), ("", "not noted")], direction))
            button class="main" { "Take the point" }
        }))
        @if let Some(why) = &shown.why_none { div class="ask" { @for line in why.lines() { p { (line) } } } }
        @if record.points.len() > 1 {
            div class="wide" tabindex="0" role="region" aria-label="Curve" { (shown.drawn) }
        }
        @if let Some(fitted) = shown.fitted {
            p { "Curve: " (fitted.curve.family) ", from " (fitted.curve.range_divisions[0]) " to " (fitted.curve.range_divisions[1]) " divisions. Outside of that it gives no force." }
            @for finding in &fitted.findings {
                div class=(match &*finding.weight { "doubt" => "doubt", "question" => "ask", _ => "note" }) { p { (finding.says) } }
            }
        }
        h2 { "Points" }
        @if record.points.is_empty() { p { "None yet. Two give a line; six and more let the gauge’s own physics speak." } }
        ol {
            @for point in &record.points { li {
                (point.raw_reading) " at " (words::exact_force(Force::n(point.force_n), shown.unit))
                @match point.direction { Some("up") => { ", rising" } Some(_) => { ", falling" } None => {} }
                " " (withdraw(frame, &point.entry, &address, &point.raw_reading))
            } }
        }
        (correct(frame, &format!("{address}/correct"), &record.entry, "what was on the rig", &as_begun(record, shown.rigs)))
    };
    page(frame, Part::Bench, &record.name, &body)
}
