//! Drawing: a figure's plain data as inline SVG, its words as real text.
//!
//! Shape says what a point is, colour only which side; every drawing reads in black and white.

mod axes;
mod calibration_curve;
mod endurance;
mod lacing;
mod lettering;
mod limit_bar;
mod margin;
mod marks;
mod place;
mod runout;
mod scale;
mod sheet;
mod turn;
mod unrolled_rim;

use crate::figure::{Error, Figure, Mark};
use crate::fonts;
use maud::{Markup, html};

pub(crate) use limit_bar::draw as limit_bar;

/// Width of every figure's view box, in pixels; at this width no word is under 14 px.
pub const WIDTH: f64 = 1000.0;

/// The rules that colour figures; a page that shows one carries them.
pub const STYLE: &str = include_str!("../../assets/figure.css");

/// A figure as an `svg` element for a page that carries [`STYLE`]. `id` must be the page's own;
/// ids inside begin with it.
///
/// # Errors
/// [`Error::NotFinite`] when a number of the figure is infinite or not a number.
pub fn draw(figure: &Figure, id: &str) -> Result<Markup, Error> {
    Ok(drawing(figure)?.element(id, None))
}

/// A figure as a file of its own, fonts and style inside.
///
/// # Errors
/// As [`draw`].
pub fn file(figure: &Figure) -> Result<String, Error> {
    let style = fonts::faces() + STYLE;
    let element = drawing(figure)?.element("figure", Some(&style));
    Ok(format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n",
        element.into_string()
    ))
}

fn drawing(figure: &Figure) -> Result<sheet::Drawing, Error> {
    figure.check()?;
    Ok(match figure {
        Figure::UnrolledRim(rim) => unrolled_rim::draw(rim),
        Figure::CalibrationCurve(curve) => calibration_curve::draw(curve),
        Figure::Runout(runout) => runout::draw(runout),
        Figure::Lacing(lacing) => lacing::draw(lacing),
        Figure::Endurance(chart) => endurance::draw(chart),
    })
}

/// A mark by itself, for a line of text whose words say the same.
pub(crate) fn icon(mark: Mark) -> Markup {
    let mut sheet = sheet::Sheet::new(16.0);
    marks::mark(&mut sheet, mark, sheet::Ink::Plain, (8.0, 8.0), 4.6);
    html! {
        svg class="figure icon" viewBox="0 0 16 16" aria-hidden="true" { (sheet.shapes()) }
    }
}

#[cfg(test)]
mod properties;
