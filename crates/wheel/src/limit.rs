//! What a part's maker says it bears; never invented here.

use crate::{KindIndex, Side};
use quantity::Force;

/// The part a limit protects.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Part {
    /// The spoke itself.
    Spoke,
    /// Its thread.
    Thread,
    /// The nipple.
    Nipple,
    /// The rim at its holes.
    Rim,
    /// The hub's flange.
    Hub,
}

/// The state in which a limit of tension was given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// Without a tyre.
    Bare,
    /// With the tyre on and inflated.
    Tyred,
}

/// The highest tension a part may see, with what makes it worth believing.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The part it protects.
    pub part: Part,
    /// The tension no single spoke may exceed.
    pub tension: Force,
    /// The state it was given for.
    pub condition: Condition,
    /// Where it stands: a sticker, a page of a manual, a letter.
    pub source: String,
    /// When it was noted, `YYYY-MM-DD`.
    pub noted: String,
    /// The side it holds for; both when none is named.
    pub side: Option<Side>,
    /// The spoke kind it holds for; all when none is named.
    pub kind: Option<KindIndex>,
}
