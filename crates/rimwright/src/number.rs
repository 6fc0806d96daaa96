//! Numbers among the words of the command line.

/// A number between both ends.
pub(crate) fn number(least: f64, most: f64) -> impl Fn(&str) -> Result<f64, String> + Clone {
    move |text: &str| {
        let number = text.trim().parse().ok();
        number
            .filter(|number| (least..=most).contains(number))
            .ok_or(format!("wanted is a number from {least} to {most}"))
    }
}
