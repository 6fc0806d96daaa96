//! A gauge as a person describes it in a form, as the gauge file that says the same.

use super::{Error, Pen, Shop, Written};
use std::fmt::Write;

/// A gauge as a person describes it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GaugeAsked {
    /// What is written on it.
    pub label: String,
    /// Smallest step it shows, in divisions.
    pub resolution: f64,
    /// Standard uncertainty of one reading by repetition, in divisions.
    pub repeatability: f64,
    /// Distance between its supports in millimetres, when known.
    pub support_span_mm: Option<f64>,
    /// Whether its reading rises with tension, when that was said.
    pub rises_with_tension: Option<bool>,
}

impl Shop {
    /// Takes a gauge in as it was described.
    ///
    /// # Errors
    /// As [`Shop::take_in_gauge`].
    pub async fn describe_gauge(&self, pen: &Pen, asked: &GaugeAsked) -> Result<Written, Error> {
        self.take_in_gauge(pen, &file(asked), None).await
    }
}

fn file(asked: &GaugeAsked) -> String {
    let unquoted = |letter: &char| !letter.is_control() && !"\"\\".contains(*letter);
    let label: String = asked.label.trim().chars().filter(unquoted).collect();
    let mut text = format!("format = 1\nlabel = \"{label}\"\n");
    if let Some(span) = asked.support_span_mm {
        let _ = writeln!(text, "support_span_mm = {span:?}");
    }
    let _ = writeln!(text, "resolution = {:?}", asked.resolution);
    let _ = writeln!(text, "repeatability = {:?}", asked.repeatability);
    if let Some(rises) = asked.rises_with_tension {
        let _ = writeln!(text, "rises_with_tension = {rises}");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauge_described_in_a_form_is_the_gauge_of_its_file() {
        let asked = GaugeAsked {
            label: "G\"3\\".into(),
            resolution: 0.5,
            repeatability: 0.25,
            support_span_mm: Some(120.0),
            rises_with_tension: Some(false),
        };
        let text = file(&asked);
        let source = files::Source::from_bytes("the gauge", text.as_bytes()).expect("text");
        let gauge = files::gauge_file::read(&source).expect("a gauge");
        assert_eq!(gauge.label, "G3");
        assert_eq!((gauge.resolution, gauge.repeatability), (0.5, 0.25));
        assert_eq!(gauge.rises_with_tension, Some(false));
    }
}
