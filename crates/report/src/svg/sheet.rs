//! The sheet a figure is drawn on: shapes below, words above, and what is already taken.

use super::lettering::Lettering;
use super::place::{Area, Spot, px};
use crate::words::fit;
use maud::{Markup, PreEscaped, html};
use wheel::Side;

/// Colour of a stroke or a word, by its meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    Plain,
    Soft,
    Of(Side),
}

impl Ink {
    pub(crate) const fn class(self) -> &'static str {
        match self {
            Self::Plain => "ink",
            Self::Soft => "soft",
            Self::Of(Side::Right) => "right",
            Self::Of(Side::Left) => "left",
        }
    }
}

/// Words keep this far apart sideways.
const APART: f64 = 2.5;

/// A sheet being drawn.
#[derive(Debug)]
pub(crate) struct Sheet {
    width: f64,
    shapes: String,
    words: String,
    taken: Vec<Area>,
}

impl Sheet {
    pub(crate) const fn new(width: f64) -> Self {
        Self {
            width,
            shapes: String::new(),
            words: String::new(),
            taken: Vec::new(),
        }
    }

    /// Adds shapes above the earlier ones and below all words.
    pub(crate) fn draw(&mut self, shapes: &Markup) {
        self.shapes.push_str(&shapes.0);
    }

    /// A straight line; `class` says its kind in the stylesheet.
    pub(crate) fn line(&mut self, class: &str, ink: Ink, from: (f64, f64), to: (f64, f64)) {
        self.draw(&html! {
            line class={ (class) " " (ink.class()) } x1=(px(from.0)) y1=(px(from.1)) x2=(px(to.0)) y2=(px(to.1)) {}
        });
    }

    /// A path; `class` says its kind in the stylesheet.
    pub(crate) fn path(&mut self, class: &str, ink: Ink, outline: &str) {
        self.draw(&html! { path class={ (class) " " (ink.class()) } d=(outline) {} });
    }

    /// A filled box.
    pub(crate) fn fill(&mut self, class: &str, area: Area) {
        self.draw(&html! {
            rect class=(class) x=(px(area.left)) y=(px(area.top))
                width=(px(area.width().max(0.0))) height=(px(area.height().max(0.0))) {}
        });
    }

    /// Slanted lines over a box: needs no pattern and prints everywhere.
    pub(crate) fn hatch(&mut self, area: Area) {
        const STEP: f64 = 9.0;
        let (width, height) = (area.width(), area.height());
        if width <= 0.0 || height <= 0.0 {
            return;
        }
        let mut outline = String::new();
        let mut run = STEP / 2.0;
        while run < width + height {
            let (from, to) = ((run - height).max(0.0), run.min(width));
            let start = (area.left + from, area.top + (run - from));
            let end = (area.left + to, area.top + (run - to));
            outline.push_str(&stroke(&[start, end]));
            run += STEP;
        }
        self.path("hatch", Ink::Soft, &outline);
    }

    /// Writes one line of words and takes its room. Nothing leaves the sheet sideways.
    pub(crate) fn write(&mut self, lettering: Lettering, ink: Ink, spot: Spot, words: &str) {
        let words = fit(words);
        let lines = lettering.wrap(&words, self.width - 4.0, 1);
        let Some(line) = lines.first() else { return };
        let area = spot.area(lettering, line);
        let shift = (2.0 - area.left).max(0.0) - (area.right - self.width + 2.0).max(0.0);
        let spot = Spot {
            x: spot.x + shift,
            ..spot
        };
        self.words.push_str(
            &html! {
                text class={ (lettering.class()) " " (ink.class()) } x=(px(spot.x)) y=(px(spot.y))
                    text-anchor=(spot.anchor.word()) transform=[spot.turn()] { (line) }
            }
            .0,
        );
        self.taken.push(spot.area(lettering, line));
    }

    /// Writes a block of lines, the first at `spot`; yields the baseline after the last.
    pub(crate) fn write_block(
        &mut self,
        lettering: Lettering,
        ink: Ink,
        spot: Spot,
        lines: &[String],
    ) -> f64 {
        let mut y = spot.y;
        for line in lines {
            self.write(lettering, ink, Spot { y, ..spot }, line);
            y += lettering.leading();
        }
        y
    }

    /// Keeps words away from a box.
    pub(crate) fn take(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// Writes unless it would touch other words: one label of a row may be left out.
    pub(crate) fn write_if_free(
        &mut self,
        lettering: Lettering,
        ink: Ink,
        spot: Spot,
        words: &str,
    ) {
        let wide = spot.area(lettering, words).wider(APART);
        if self.is_free(&wide) {
            self.write(lettering, ink, spot, words);
        }
    }

    /// Whether words may still stand in a box.
    fn is_free(&self, area: &Area) -> bool {
        !self.taken.iter().any(|taken| taken.meets(area))
    }

    /// The first of `spots` where `words` stand free inside `bounds` and clear of `shy`.
    pub(crate) fn find(
        &self,
        lettering: Lettering,
        words: &str,
        bounds: &Area,
        shy: &[Area],
        spots: impl IntoIterator<Item = Spot>,
    ) -> Option<Spot> {
        spots.into_iter().find(|spot| {
            let area = spot.area(lettering, words);
            bounds.holds(&area)
                && self.is_free(&area.wider(2.0 * APART))
                && !shy.iter().any(|taken| taken.meets(&area))
        })
    }

    /// The shapes alone.
    pub(crate) fn shapes(self) -> Markup {
        PreEscaped(self.shapes)
    }

    /// The finished drawing.
    pub(crate) fn finish(self, title: &str, told: &str, height: f64) -> Drawing {
        Drawing {
            size: (self.width, height.ceil()),
            title: fit(title),
            told: fit(told),
            content: PreEscaped(self.shapes + &self.words),
        }
    }
}

/// A drawing, ready to stand in a page or in a file.
#[derive(Debug)]
pub(crate) struct Drawing {
    size: (f64, f64),
    title: String,
    told: String,
    content: Markup,
}

impl Drawing {
    /// The `svg` element, with its own style if it must stand alone. Ids begin with `id`.
    pub(crate) fn element(&self, id: &str, style: Option<&str>) -> Markup {
        let (title_id, told_id) = (format!("{id}-title"), format!("{id}-told"));
        let (width, height) = self.size;
        html! {
            svg xmlns="http://www.w3.org/2000/svg" class="figure" id=(id) role="img"
                viewBox={ "0 0 " (width) " " (height) }
                aria-labelledby=(title_id) aria-describedby=(told_id) {
                title id=(title_id) { (self.title) }
                desc id=(told_id) { (self.told) }
                @if let Some(style) = style { style { (PreEscaped(style)) } }
                (self.content)
            }
        }
    }
}

/// A path through `points`, open.
pub(crate) fn stroke(points: &[(f64, f64)]) -> String {
    let mut outline = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        let pen = if index == 0 { 'M' } else { 'L' };
        outline.push_str(&format!("{pen}{} {}", px(*x), px(*y)));
    }
    outline
}

/// A path round `points`, closed.
pub(crate) fn outline(points: &[(f64, f64)]) -> String {
    format!("{}Z", stroke(points))
}
