//! Words in the right margin, each near its place and apart from the others.

use super::lettering::Lettering;
use super::place::{Anchor, Area, Spot};
use super::scale::count;
use super::sheet::{Ink, Sheet};
use crate::words::fit;

/// Most lines of one note.
const LINES: usize = 3;
/// Between two notes.
const APART: f64 = 5.0;
const LETTERING: Lettering = Lettering::PLAIN;

/// A note beside a height of the drawing.
#[derive(Debug, Clone)]
pub(crate) struct Note {
    from: (f64, f64),
    ink: Ink,
    lines: Vec<String>,
}

impl Note {
    /// `words` near the place `from`, broken to `width`.
    pub(crate) fn new(from: (f64, f64), ink: Ink, words: &str, width: f64) -> Self {
        Self {
            from,
            ink,
            lines: LETTERING.wrap(&fit(words), width, LINES),
        }
    }

    /// Height that the note takes.
    pub(crate) fn height(&self) -> f64 {
        LETTERING.leading() * count(self.lines.len()) + APART
    }
}

/// Writes the notes into `room`, each with a leader from its place.
pub(crate) fn write(sheet: &mut Sheet, mut notes: Vec<Note>, room: Area) {
    notes.sort_by(|a, b| a.from.1.total_cmp(&b.from.1));
    for (note, top) in notes.iter().zip(tops(&notes, room)) {
        sheet.line(
            "leader",
            note.ink,
            note.from,
            (room.left - 2.0, top + note.height() / 2.0),
        );
        let spot = Spot::new(
            room.left,
            top + LETTERING.rise() + APART / 2.0 + 2.0,
            Anchor::Start,
        );
        sheet.write_block(LETTERING, note.ink, spot, &note.lines);
    }
}

/// Where each note begins: pushed down from the one above, then up from the end of the room.
fn tops(notes: &[Note], room: Area) -> Vec<f64> {
    let mut tops = Vec::with_capacity(notes.len());
    let mut free = room.top;
    for note in notes {
        let top = (note.from.1 - note.height() / 2.0).max(free);
        tops.push(top);
        free = top + note.height();
    }
    let mut end = room.bottom;
    for (top, note) in tops.iter_mut().zip(notes).rev() {
        *top = top.min(end - note.height());
        end = *top;
    }
    tops
}
