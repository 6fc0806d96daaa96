//! The order in which a lap went round.

use metrology::lap::{Counted, Taken};
use wheel::SpokeIndex;

/// The order in which a lap was taken, as far as its table says.
#[derive(Debug, Clone, Copy)]
pub(super) struct Order {
    pub(super) start: Option<SpokeIndex>,
    pub(super) counted: Option<Counted>,
    pub(super) spokes: usize,
}

impl Order {
    /// Every spoke once, from the first taken.
    pub(super) fn round(self) -> impl Iterator<Item = SpokeIndex> {
        round(
            self.start.unwrap_or(SpokeIndex(0)),
            self.counted.unwrap_or(Counted::Up),
            self.spokes,
        )
    }

    /// The first spoke and the way: as said, or else as the order of the spokes taken shows.
    pub(super) fn said_by(self, taken: &Taken) -> (SpokeIndex, Counted) {
        let taken: Vec<SpokeIndex> = match taken {
            Taken::Readings { readings, .. } => {
                readings.iter().map(|reading| reading.spoke).collect()
            }
            Taken::Pitch { hertz } => hertz.iter().map(|(spoke, _)| *spoke).collect(),
            Taken::Runout { .. } => Vec::new(),
        };
        // A step of less than half a round forward is a step up.
        let up = |pair: &&[SpokeIndex]| {
            2 * ((pair[1].0 + self.spokes - pair[0].0) % self.spokes) <= self.spokes
        };
        let steps = taken.len().saturating_sub(1);
        let is_up = 2 * taken.windows(2).filter(up).count() >= steps;
        let way = if is_up { Counted::Up } else { Counted::Down };
        let first = taken.first().copied().unwrap_or(SpokeIndex(0));
        (self.start.unwrap_or(first), self.counted.unwrap_or(way))
    }
}

/// Every one of `spokes` once, from `start` the way `counted` says.
pub(super) fn round(
    start: SpokeIndex,
    counted: Counted,
    spokes: usize,
) -> impl Iterator<Item = SpokeIndex> {
    (0..spokes).map(move |step| {
        let forward = match counted {
            Counted::Up => step,
            Counted::Down => spokes - step,
        };
        SpokeIndex((start.0 + forward) % spokes)
    })
}
