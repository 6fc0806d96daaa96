//! A visit: laps, weighings, looks with photos, advice, the verdict and the report.

mod notes;
mod page;
mod photo;
mod routes;
mod turned;
mod verdict;

pub(crate) use routes::routes;

/// What is on a wheel, from a line with commas.
pub(crate) fn dress(line: &str) -> Vec<String> {
    let words = line.split([',', ';']).map(str::trim);
    words
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}
