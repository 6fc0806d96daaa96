//! The two sides of a wheel.

/// A side of the wheel as the rider sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The drive side, z > 0.
    Right,
    /// The other side, z < 0.
    Left,
}

impl Side {
    /// Both sides, right first as everywhere.
    pub const BOTH: [Self; 2] = [Self::Right, Self::Left];

    /// +1 on the right, −1 on the left: the sign of z.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }

    /// The side's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }

    /// The side of that word; none for another word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::BOTH.into_iter().find(|side| side.word() == word)
    }

    /// The other side.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
}
