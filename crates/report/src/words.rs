//! Words as they arrive, made fit for a document.

/// `words` without the characters no document may hold; each leaves a replacement mark behind.
///
/// The writers escape what is left. Line breaks and tabs become spaces.
pub(crate) fn fit(words: &str) -> String {
    words
        .chars()
        .map(|letter| match letter {
            '\n' | '\r' | '\t' => ' ',
            '\u{fffe}' | '\u{ffff}' => char::REPLACEMENT_CHARACTER,
            _ if letter.is_control() => char::REPLACEMENT_CHARACTER,
            _ => letter,
        })
        .collect()
}
