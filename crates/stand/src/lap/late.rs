//! A reading into a lap from before the turns: it may be of the wheel as it was, or as it is turned. It is asked which,
//! as it is asked into which visit a lap goes.

use super::page::Said;
use super::routes::asks;
use crate::desk::Desk;
use crate::layout::{Frame, token};
use crate::posted::Posted;
use crate::refusal::Refusal;
use maud::{Markup, html};
use workshop::records::Id;
use workshop::view::LapView;

/// The field that says that it was asked.
const LATE: &str = "late";
/// What a form says of the reading, to be said again with the answer.
const KEPT: [&str; 6] = ["entry", "number", "seen", "raw", "do", "sure"];

/// The question, when nipples were turned since the lap and nobody answered it yet.
pub(super) async fn asked(
    desk: &Desk,
    frame: &Frame,
    lap: Id,
    posted: &Posted,
) -> Result<Option<Said>, Refusal> {
    let view = desk.shop.lap(lap).await.map_err(|e| desk.refuse(&e))?;
    if is_answered(&view, posted) {
        return Ok(None);
    }
    let raw = posted.raw("raw").trim();
    let into_this = if raw.is_empty() || posted.raw("do") == "skip" {
        "Pass the spoke over all the same".into()
    } else if posted.raw("seen").is_empty() {
        format!("{raw} was read before the turns: into this lap")
    } else {
        format!("It was written down wrongly: put {raw} in its place")
    };
    let answers = html! {
        (next_lap(frame, &view))
        form method="post" action={ "/laps/" (lap) } data-at-stand {
            (token(frame))
            @for name in KEPT { input type="hidden" name=(name) value=(posted.raw(name)); }
            button name=(LATE) value="yes" { (into_this) }
        }
    };
    let words = format!("Nothing is written yet. {SINCE}");
    Ok(Some(Said {
        aloud: "nipples were turned since this lap".into(),
        ..asks(words, answers)
    }))
}

/// Whether a form may be written into this lap without a question.
pub(super) fn is_answered(lap: &LapView, posted: &Posted) -> bool {
    !lap.is_turned_since || posted.raw(LATE) == "yes"
}

pub(super) const SINCE: &str = "Nipples were turned since this lap: what is read now is of the wheel as turned and goes into a lap of its own.";

/// The same lap of the wheel as turned, in a visit of its own.
pub(super) fn next_lap(frame: &Frame, lap: &LapView) -> Markup {
    html! {
        form method="post" action={ "/wheels/" (lap.wheel_label) "/laps" } {
            (token(frame))
            input type="hidden" name="takes" value=(lap.takes);
            input type="hidden" name="state" value=(lap.state);
            @if let Some(face) = lap.face { input type="hidden" name="face" value=(face); }
            button class="main" { "Read now: begin the next lap" }
        }
    }
}

/// The button that sends a lap typed in from paper.
pub(super) fn write_down(lap: &LapView) -> Markup {
    html! {
        @if lap.is_turned_since {
            button class="main" name=(LATE) value="yes" { "Read before the turns: write them down" }
        } @else {
            button class="main" { "Write them down" }
        }
    }
}
