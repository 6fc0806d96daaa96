//! The README's figure, drawn by the tool from a visit of the demo.

use std::fs;

use anyhow::{Context, Result};

use crate::checkout::Checkout;
use crate::demo;
use crate::lane::Outcome;

/// How a figure's element begins its view; the small pictures in tables have narrower ones.
const FULL_WIDTH: &str = "viewBox=\"0 0 1000 ";

/// The visit shown when no other is named: it has a spoke over its limit.
const SHOWN: &str = "pilots-tandem-rear";

/// Where the README looks for it.
const PLACE: &str = "docs/figures/unrolled-rim.svg";

/// Writes the first figure of a report as a file of its own, with the report's style inside.
pub(crate) fn figure(checkout: &Checkout, words: &[String]) -> Result<Outcome> {
    let visits = demo::files(checkout, "demo/visits", "toml")?;
    let name = words.first().map_or(SHOWN, String::as_str);
    let visit = visits
        .iter()
        .find(|visit| visit.file_stem().is_some_and(|stem| stem == name))
        .with_context(|| format!("demo/visits/ holds no {name}.toml"))?;
    demo::build(checkout)?;
    let page = fs::read_to_string(demo::report(checkout, visit)?)?;
    let drawn = first_figure(&page).context("the report shows no figure")?;
    let place = checkout.root().join(PLACE);
    fs::create_dir_all(place.parent().context("a folder")?)?;
    fs::write(&place, drawn)?;
    println!("\n{PLACE} is written; look at it before it is committed");
    Ok(Outcome::Done)
}

/// The first drawing of full width, and the page's style in it.
fn first_figure(page: &str) -> Option<String> {
    let (_, style) = page.split_once("<style")?;
    let (_, style) = style.split_once('>')?;
    let (style, _) = style.split_once("</style>")?;
    let at = page
        .match_indices("<svg")
        .map(|(at, _)| &page[at..])
        .find(|svg| {
            svg.split('>')
                .next()
                .is_some_and(|tag| tag.contains(FULL_WIDTH))
        })?;
    let (svg, _) = at.split_once("</svg>")?;
    let (tag, inside) = svg.split_once('>')?;
    let space = match tag.contains("xmlns=") {
        true => "",
        false => " xmlns=\"http://www.w3.org/2000/svg\"",
    };
    Some(format!(
        "{tag}{space}><style><![CDATA[{style}]]></style>{inside}</svg>\n"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figure_takes_the_style_along_and_small_pictures_are_passed_over() {
        let page = "<style>.a > .b {}</style><svg viewBox=\"0 0 200 34\"><g/></svg>\
                    <svg role=\"img\" viewBox=\"0 0 1000 9\"><title>t</title></svg>";
        assert_eq!(
            first_figure(page).as_deref(),
            Some(
                "<svg role=\"img\" viewBox=\"0 0 1000 9\" xmlns=\"http://www.w3.org/2000/svg\">\
                 <style><![CDATA[.a > .b {}]]></style><title>t</title></svg>\n"
            )
        );
        assert_eq!(first_figure("<style></style><p>nothing</p>"), None);
    }
}
