//! Boxes and spots on the sheet, in pixels; y grows downward.

use super::lettering::Lettering;

/// A box on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Area {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
}

impl Area {
    /// A square box about a point.
    pub(crate) const fn about(x: f64, y: f64, half: f64) -> Self {
        Self {
            left: x - half,
            top: y - half,
            right: x + half,
            bottom: y + half,
        }
    }

    pub(crate) const fn width(&self) -> f64 {
        self.right - self.left
    }

    pub(crate) const fn height(&self) -> f64 {
        self.bottom - self.top
    }

    pub(crate) fn wider(self, by: f64) -> Self {
        Self {
            left: self.left - by,
            right: self.right + by,
            ..self
        }
    }

    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub(crate) fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }
}

/// Where words stand against the point they are written at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

impl Anchor {
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// Words at a place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spot {
    pub(crate) x: f64,
    /// The baseline.
    pub(crate) y: f64,
    pub(crate) anchor: Anchor,
    pub(crate) run: Run,
}

/// Which way words run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Run {
    Along,
    /// From bottom to top; the baseline is the vertical at x.
    Upward,
}

impl Spot {
    pub(crate) const fn new(x: f64, y: f64, anchor: Anchor) -> Self {
        Self {
            x,
            y,
            anchor,
            run: Run::Along,
        }
    }

    /// Words that run upward.
    pub(crate) const fn upward(x: f64, y: f64, anchor: Anchor) -> Self {
        Self {
            x,
            y,
            anchor,
            run: Run::Upward,
        }
    }

    /// The box that `words` cover here.
    pub(crate) fn area(self, lettering: Lettering, words: &str) -> Area {
        let width = lettering.width(words);
        let (before, after) = match self.anchor {
            Anchor::Start => (0.0, width),
            Anchor::Middle => (width / 2.0, width / 2.0),
            Anchor::End => (width, 0.0),
        };
        let (rise, fall) = (lettering.rise(), lettering.fall());
        match self.run {
            Run::Along => Area {
                left: self.x - before,
                top: self.y - rise,
                right: self.x + after,
                bottom: self.y + fall,
            },
            Run::Upward => Area {
                left: self.x - rise,
                top: self.y - after,
                right: self.x + fall,
                bottom: self.y + before,
            },
        }
    }

    /// What turns the words, `None` if nothing.
    pub(crate) fn turn(self) -> Option<String> {
        match self.run {
            Run::Along => None,
            Run::Upward => Some(format!("rotate(-90 {} {})", px(self.x), px(self.y))),
        }
    }
}

/// A place on the sheet to a tenth of a pixel, without a negative zero.
pub(crate) fn px(place: f64) -> f64 {
    (place * 10.0).round() / 10.0 + 0.0
}
