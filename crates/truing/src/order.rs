//! The order of work: never beyond a limit on the way.
//!
//! Round the wheel from the valve hole as long as nothing speaks against it. A spoke that is over its limit is brought
//! down first, and a turn that would lift one over its limit waits for the loosening that makes room. Where no order of
//! whole nipples keeps every limit, a nipple is turned in parts.

/// Rounding that is forgiven at a limit, N.
const FORGIVEN_N: f64 = 1e-6;

/// Steps of one nipple, in the order of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Move {
    pub(crate) nipple: usize,
    pub(crate) steps: i64,
}

/// The order, and by how much it goes over a limit on the way where nothing else is possible, N.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Order {
    pub(crate) moves: Vec<Move>,
    pub(crate) over_n: f64,
}

/// Puts whole steps in order: `tension_n` at the start, `effect_n` of one step of each nipple on every tension, and the
/// most each spoke may bear; one that starts above that may not rise.
pub(crate) fn order(
    steps: &[i64],
    tension_n: &[f64],
    effect_n: &[Vec<f64>],
    most_n: &[f64],
) -> Order {
    let mut work = Work {
        effect_n,
        tension_n: tension_n.to_vec(),
        most_n,
        allowed_n: most_n.iter().zip(tension_n).map(|(most, now)| most.max(*now)).collect(),
        left: steps.to_vec(),
        moves: Vec::new(),
        over_n: 0.0,
    };
    let mut at = 0;
    while work.left.iter().any(|&steps| steps != 0) {
        let next = work.relief().or_else(|| work.next_round(at)).unwrap_or_else(|| work.least_bad());
        at = next.nipple + 1;
        work.take(next);
    }
    Order { moves: joined(work.moves), over_n: work.over_n }
}

struct Work<'a> {
    effect_n: &'a [Vec<f64>],
    tension_n: Vec<f64>,
    most_n: &'a [f64],
    allowed_n: Vec<f64>,
    left: Vec<i64>,
    moves: Vec<Move>,
    over_n: f64,
}

impl Work<'_> {
    /// By how much the worst spoke would be over what it may bear.
    fn excess(&self, steps: Move) -> f64 {
        let effect = &self.effect_n[steps.nipple];
        let over = |(spoke, now): (usize, &f64)| {
            now + effect[spoke] * steps.steps as f64 - self.allowed_n[spoke]
        };
        self.tension_n.iter().enumerate().map(over).fold(f64::NEG_INFINITY, f64::max)
    }

    fn is_kept(&self, steps: Move) -> bool {
        self.excess(steps) <= FORGIVEN_N
    }

    /// Σ of what spokes are over their limits.
    fn burden(&self, steps: Option<Move>) -> f64 {
        let over = |spoke: usize| {
            let change = steps.map_or(0.0, |of| self.effect_n[of.nipple][spoke] * of.steps as f64);
            (self.tension_n[spoke] + change - self.most_n[spoke]).max(0.0)
        };
        (0..self.tension_n.len()).map(over).sum()
    }

    fn whole(&self) -> impl Iterator<Item = Move> {
        let open = self.left.iter().enumerate().filter(|(_, steps)| **steps != 0);
        open.map(|(nipple, &steps)| Move { nipple, steps })
    }

    /// While a spoke is over its limit: what eases most.
    fn relief(&self) -> Option<Move> {
        let burden = self.burden(None);
        if burden <= FORGIVEN_N {
            return None;
        }
        let eased = self.whole().filter(|&steps| self.is_kept(steps));
        let best = eased.map(|steps| (self.burden(Some(steps)), steps)).min_by(|a, b| a.0.total_cmp(&b.0));
        best.filter(|(left, _)| *left < burden).map(|(_, steps)| steps)
    }

    /// The next nipple round the wheel whose turns keep every limit.
    fn next_round(&self, at: usize) -> Option<Move> {
        let spokes = self.left.len();
        let round = (0..spokes).map(|ahead| (at + ahead) % spokes);
        round
            .filter(|&nipple| self.left[nipple] != 0)
            .map(|nipple| Move { nipple, steps: self.left[nipple] })
            .find(|&steps| self.is_kept(steps))
    }

    /// One step of one nipple, the least over a limit; loosening first where they are alike.
    fn least_bad(&self) -> Move {
        let single = self.whole().map(|of| Move { steps: of.steps.signum(), ..of });
        let worst = single.map(|steps| (self.excess(steps).max(0.0), steps));
        let best = worst.min_by(|one, other| {
            one.0.total_cmp(&other.0).then(one.1.steps.cmp(&other.1.steps))
        });
        best.map_or(Move { nipple: 0, steps: 0 }, |(_, steps)| steps)
    }

    fn take(&mut self, steps: Move) {
        self.over_n = self.over_n.max(self.excess(steps));
        for (now, effect) in self.tension_n.iter_mut().zip(&self.effect_n[steps.nipple]) {
            *now += effect * steps.steps as f64;
        }
        // What came down stays down.
        for ((allowed, most), now) in self.allowed_n.iter_mut().zip(self.most_n).zip(&self.tension_n) {
            *allowed = allowed.min(most.max(*now));
        }
        self.left[steps.nipple] -= steps.steps;
        self.moves.push(steps);
    }
}

/// Moves of one nipple that follow each other are one.
fn joined(moves: Vec<Move>) -> Vec<Move> {
    let mut all: Vec<Move> = Vec::new();
    for one in moves {
        match all.last_mut() {
            Some(last) if last.nipple == one.nipple => last.steps += one.steps,
            _ => all.push(one),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three spokes; each step adds 10 N to its own and takes 4 N from the next.
    fn effects() -> Vec<Vec<f64>> {
        vec![vec![10.0, -4.0, 0.0], vec![0.0, 10.0, -4.0], vec![-4.0, 0.0, 10.0]]
    }

    #[test]
    fn without_limits_in_the_way_the_order_is_round_the_wheel() {
        let order = order(&[1, -2, 3], &[100.0; 3], &effects(), &[1e9; 3]);
        let nipples: Vec<usize> = order.moves.iter().map(|one| one.nipple).collect();
        assert_eq!(nipples, [0, 1, 2]);
    }

    #[test]
    fn tightening_waits_for_the_loosening_that_makes_room() {
        // Spoke 0 may bear 105: its own step would lift it to 110, after nipple 2's it stands at 96 first.
        let order = order(&[1, 0, 1], &[100.0; 3], &effects(), &[107.0, 200.0, 200.0]);
        assert_eq!(order.moves[0].nipple, 2);
        assert!(order.over_n <= 1e-6);
    }

    #[test]
    fn spoke_over_its_limit_comes_down_first_and_never_rises() {
        let order = order(&[2, 2, -3], &[100.0, 100.0, 130.0], &effects(), &[125.0; 3]);
        assert_eq!(order.moves[0], Move { nipple: 2, steps: -3 });
        assert!(order.over_n <= 1e-6);
    }

    #[test]
    fn nipple_is_turned_in_parts_where_no_order_of_whole_ones_keeps_the_limits() {
        // Each lifts its own by 20 and eases the other by 15; neither fits whole.
        let effects = vec![vec![5.0, -4.0], vec![-4.0, 5.0]];
        let order = order(&[4, 4], &[100.0, 100.0], &effects, &[112.0, 112.0]);
        assert!(order.over_n <= 1e-6, "{order:?}");
        assert!(order.moves.len() > 2);
    }
}
