//! How wide words are, so that nothing overlaps and nothing leaves the sheet.

/// Advance widths of U+0020 to U+007E in thousandths of an em, regular weight.
/// Source: `hmtx` of the embedded font; digits as its tabular figures.
const REGULAR: [u16; 95] = [
    280, 281, 301, 655, 594, 927, 705, 160, 300, 300, 433, 602, 205, 368, 205, 377, 639, 639, 639,
    639, 639, 639, 639, 639, 639, 639, 205, 205, 553, 602, 553, 520, 780, 626, 619, 656, 673, 567,
    548, 710, 690, 414, 510, 627, 539, 820, 689, 727, 601, 753, 618, 596, 558, 690, 589, 840, 623,
    595, 607, 315, 377, 315, 552, 396, 268, 526, 566, 500, 564, 539, 311, 560, 546, 278, 254, 490,
    239, 841, 546, 552, 566, 576, 340, 471, 324, 536, 441, 654, 461, 429, 460, 319, 233, 319, 555,
];
/// The same in bold.
const BOLD: [u16; 95] = [
    320, 283, 410, 783, 619, 977, 702, 222, 366, 366, 434, 618, 243, 374, 243, 442, 632, 632, 632,
    632, 632, 632, 632, 632, 632, 632, 243, 243, 573, 618, 573, 614, 754, 690, 639, 673, 686, 580,
    544, 719, 679, 458, 560, 659, 537, 842, 700, 764, 626, 781, 654, 619, 617, 663, 656, 883, 699,
    687, 621, 333, 442, 333, 589, 430, 314, 553, 596, 520, 596, 566, 367, 597, 572, 315, 259, 567,
    314, 886, 572, 573, 596, 601, 372, 534, 379, 570, 526, 723, 533, 518, 516, 370, 234, 370, 533,
];
/// No Latin-1 letter or sign of the font is wider than this many thousandths of an em.
const WIDEST_LATIN: u16 = 1061;
/// Latin-1 letters and the usual dashes and signs, on the safe side.
const USUAL_LATIN: u16 = 870;

/// A space that holds its line together.
const NO_BREAK: char = '\u{a0}';

/// Height of a capital and depth of a descender, in em.
const RISE: f64 = 0.75;
const FALL: f64 = 0.24;
/// From line to line, in em.
const LEADING: f64 = 1.2;

/// Size and weight of words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lettering {
    pub(crate) size: f64,
    pub(crate) bold: bool,
}

impl Lettering {
    /// Plain words.
    pub(crate) const PLAIN: Self = Self {
        size: 16.0,
        bold: false,
    };
    /// Words that must be seen.
    pub(crate) const BOLD: Self = Self {
        size: 16.0,
        bold: true,
    };
    /// Ticks and spoke numbers.
    pub(crate) const SMALL: Self = Self {
        size: 15.0,
        bold: false,
    };

    pub(crate) fn rise(self) -> f64 {
        RISE * self.size
    }

    pub(crate) fn fall(self) -> f64 {
        FALL * self.size
    }

    /// The baseline of words whose capitals are centred on `y`.
    pub(crate) fn centred(self, y: f64) -> f64 {
        y + self.rise() / 2.0 - 1.0
    }

    pub(crate) fn leading(self) -> f64 {
        LEADING * self.size
    }

    /// The class that sets the same size and weight in the stylesheet.
    pub(crate) const fn class(self) -> &'static str {
        match (self.bold, self.size < 16.0) {
            (true, _) => "bold",
            (false, true) => "small",
            (false, false) => "plain",
        }
    }

    /// Width of `words` in pixels; letters the font lacks count as wide ones.
    pub(crate) fn width(self, words: &str) -> f64 {
        let table = if self.bold { &BOLD } else { &REGULAR };
        let thousandths: f64 = words
            .chars()
            .map(|letter| match letter {
                ' '..='~' => table[letter as usize - 0x20],
                NO_BREAK => table[0],
                '\u{a0}'..='\u{ff}' | '\u{2010}'..='\u{201d}' | '−' => USUAL_LATIN,
                _ => WIDEST_LATIN,
            })
            .map(f64::from)
            .sum();
        thousandths / 1000.0 * self.size
    }

    /// `words` broken into at most `most` lines no wider than `width`; what does not fit ends in “…”.
    pub(crate) fn wrap(self, words: &str, width: f64, most: usize) -> Vec<String> {
        let mut lines = vec![String::new()];
        let words = words.replace(" ± ", "\u{a0}±\u{a0}");
        for word in words.split(' ').filter(|word| !word.is_empty()) {
            for piece in self.pieces(word, width) {
                let line = lines.last_mut().expect("one line at least");
                let longer = if line.is_empty() {
                    piece.clone()
                } else {
                    format!("{line} {piece}")
                };
                if self.width(&longer) <= width {
                    *line = longer;
                } else {
                    lines.push(piece);
                }
            }
        }
        if most < lines.len() {
            lines.truncate(most);
            if let Some(last) = lines.last_mut() {
                while !last.is_empty() && width < self.width(&format!("{last}…")) {
                    last.pop();
                }
                last.push('…');
            }
        }
        lines.retain(|line| !line.is_empty());
        lines
    }

    /// One word, or, if it alone is wider than `width`, its parts.
    fn pieces(self, word: &str, width: f64) -> Vec<String> {
        let mut pieces = vec![String::new()];
        for letter in word.chars() {
            let piece = pieces.last_mut().expect("one piece at least");
            if !piece.is_empty() && width < self.width(&format!("{piece}{letter}")) {
                pieces.push(letter.to_string());
            } else {
                piece.push(letter);
            }
        }
        pieces
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_asked_and_no_word_is_lost() {
        let words = "over the rim maker’s 125 kgf, given for a bare wheel";
        let lines = Lettering::PLAIN.wrap(words, 120.0, 9);
        assert!(
            lines
                .iter()
                .all(|line| Lettering::PLAIN.width(line) <= 120.0),
            "{lines:?}"
        );
        assert_eq!(lines.join(" "), words);
    }

    #[test]
    fn what_does_not_fit_ends_in_an_ellipsis() {
        let lines = Lettering::BOLD.wrap("one two three four five six", 60.0, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…'), "{lines:?}");
    }
}
