//! The order of work: never beyond a limit on the way.
//!
//! Round the wheel from the valve hole as long as nothing speaks against it. A spoke that is over its limit is brought
//! down first, and a turn that would lift one over its limit waits for the loosening that makes room. Where no order of
//! whole nipples keeps every limit, a nipple is turned in parts (theory §7.7).

/// Rounding that is forgiven at a limit, N.
const FORGIVEN_N: f64 = 1e-6;

/// Steps of one nipple, in the order of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Move {
    pub(crate) nipple: usize,
    pub(crate) steps: i64,
}

/// The order, and by how much it most likely goes over a limit on the way where nothing else is possible, N.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Order {
    pub(crate) moves: Vec<Move>,
    pub(crate) over_n: f64,
}

/// The wheel as it is known before the first turn.
#[derive(Debug, Clone)]
pub(crate) struct Known<'a> {
    pub(crate) tension_n: &'a [f64],
    /// Standard uncertainty of each tension, N.
    pub(crate) u_n: &'a [f64],
    /// The most each spoke may bear, N; infinite for none.
    pub(crate) most_n: &'a [f64],
    /// Standard uncertainty of one nipple's turns, as a share.
    pub(crate) turn: f64,
    /// Standard uncertainties by which a limit is kept.
    pub(crate) surely: f64,
}

/// Puts whole steps in order; `effect_n` is that of one step of each nipple on every tension.
///
/// A spoke is surely within its limit, or, where it did not start there, not above where it started.
pub(crate) fn order(steps: &[i64], known: &Known<'_>, effect_n: &[Vec<f64>]) -> Order {
    let mut work = Work {
        known,
        effect_n,
        change_n: vec![0.0; known.tension_n.len()],
        variance: vec![0.0; known.tension_n.len()],
        left: steps.to_vec(),
        moves: Vec::new(),
        over_n: 0.0,
    };
    let mut at = 0;
    while work.left.iter().any(|&steps| steps != 0) {
        let next = work
            .relief()
            .or_else(|| work.next_round(at))
            .unwrap_or_else(|| work.least_bad());
        at = next.nipple + 1;
        work.take(next);
    }
    Order {
        moves: joined(work.moves),
        over_n: work.over_n,
    }
}

struct Work<'a> {
    known: &'a Known<'a>,
    effect_n: &'a [Vec<f64>],
    /// Of every tension since the start, and the variance that turns have added.
    change_n: Vec<f64>,
    variance: Vec<f64>,
    left: Vec<i64>,
    moves: Vec<Move>,
    over_n: f64,
}

impl Work<'_> {
    /// By how much a spoke would be over what it may bear.
    fn spoke_excess(&self, spoke: usize, of: Move) -> f64 {
        let known = self.known;
        let effect = self.effect_n[of.nipple][spoke] * of.steps as f64;
        let change = self.change_n[spoke] + effect;
        let by_turns = self.variance[spoke] + (known.turn * effect).powi(2);
        let over_limit = known.tension_n[spoke] + change - known.most_n[spoke]
            + known.surely * (known.u_n[spoke].powi(2) + by_turns).sqrt();
        over_limit.min(change)
    }

    /// By how much the worst spoke would be over.
    fn excess(&self, of: Move) -> f64 {
        let spokes = 0..self.change_n.len();
        spokes
            .map(|spoke| self.spoke_excess(spoke, of))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    fn is_kept(&self, of: Move) -> bool {
        self.excess(of) <= FORGIVEN_N
    }

    /// Σ of what spokes are over their limits.
    fn burden(&self, steps: Option<Move>) -> f64 {
        let over = |spoke: usize| {
            let change = steps.map_or(0.0, |of| self.effect_n[of.nipple][spoke] * of.steps as f64);
            let now = self.known.tension_n[spoke] + self.change_n[spoke] + change;
            (now - self.known.most_n[spoke]).max(0.0)
        };
        (0..self.change_n.len()).map(over).sum()
    }

    fn whole(&self) -> impl Iterator<Item = Move> {
        let open = self
            .left
            .iter()
            .enumerate()
            .filter(|(_, steps)| **steps != 0);
        open.map(|(nipple, &steps)| Move { nipple, steps })
    }

    fn single(&self) -> impl Iterator<Item = Move> {
        self.whole().map(|of| Move {
            steps: of.steps.signum(),
            ..of
        })
    }

    /// While a spoke is over its limit: what eases most, a whole nipple's turns if possible.
    fn relief(&self) -> Option<Move> {
        let burden = self.burden(None);
        if burden <= FORGIVEN_N {
            return None;
        }
        let most_eased = |moves: &mut dyn Iterator<Item = Move>| {
            let kept = moves.filter(|&steps| self.is_kept(steps));
            let eased = kept.map(|steps| (self.burden(Some(steps)), steps));
            eased
                .filter(|(left, _)| *left < burden)
                .min_by(|one, other| one.0.total_cmp(&other.0))
        };
        let best = most_eased(&mut self.whole()).or_else(|| most_eased(&mut self.single()));
        best.map(|(_, steps)| steps)
    }

    /// The next nipple round the wheel whose turns keep every limit.
    fn next_round(&self, at: usize) -> Option<Move> {
        let spokes = self.left.len();
        let round = (0..spokes).map(|ahead| (at + ahead) % spokes);
        round
            .filter(|&nipple| self.left[nipple] != 0)
            .map(|nipple| Move {
                nipple,
                steps: self.left[nipple],
            })
            .find(|&steps| self.is_kept(steps))
    }

    /// One step of one nipple, the least over a limit; loosening first where they are alike.
    fn least_bad(&self) -> Move {
        let worst = self
            .single()
            .map(|steps| (self.excess(steps).max(0.0), steps));
        let best = worst.min_by(|one, other| {
            one.0
                .total_cmp(&other.0)
                .then(one.1.steps.cmp(&other.1.steps))
        });
        best.map_or(
            Move {
                nipple: 0,
                steps: 0,
            },
            |(_, steps)| steps,
        )
    }

    fn take(&mut self, of: Move) {
        for (spoke, effect) in self.effect_n[of.nipple].iter().enumerate() {
            let effect = effect * of.steps as f64;
            self.change_n[spoke] += effect;
            self.variance[spoke] += (self.known.turn * effect).powi(2);
            let start = self.known.tension_n[spoke];
            let allowed = self.known.most_n[spoke].max(start);
            self.over_n = self.over_n.max(start + self.change_n[spoke] - allowed);
        }
        self.left[of.nipple] -= of.steps;
        self.moves.push(of);
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
        vec![
            vec![10.0, -4.0, 0.0],
            vec![0.0, 10.0, -4.0],
            vec![-4.0, 0.0, 10.0],
        ]
    }

    fn ordered(steps: &[i64], tension_n: &[f64], effects: &[Vec<f64>], most_n: &[f64]) -> Order {
        let u_n = vec![0.0; steps.len()];
        order(
            steps,
            &Known {
                tension_n,
                u_n: &u_n,
                most_n,
                turn: 0.0,
                surely: 3.0,
            },
            effects,
        )
    }

    #[test]
    fn without_limits_in_the_way_the_order_is_round_the_wheel() {
        let order = ordered(&[1, -2, 3], &[100.0; 3], &effects(), &[f64::INFINITY; 3]);
        let nipples: Vec<usize> = order.moves.iter().map(|one| one.nipple).collect();
        assert_eq!(nipples, [0, 1, 2]);
    }

    #[test]
    fn tightening_waits_for_the_loosening_that_makes_room() {
        // Spoke 0 may bear 107: its own step would lift it to 110, after nipple 2's it stands at 96 first.
        let order = ordered(&[1, 0, 1], &[100.0; 3], &effects(), &[107.0, 200.0, 200.0]);
        assert_eq!(order.moves[0].nipple, 2);
        assert!(order.over_n <= FORGIVEN_N);
    }

    #[test]
    fn spoke_over_its_limit_comes_down_first_and_never_rises() {
        let order = ordered(&[1, 2, -3], &[90.0, 100.0, 135.0], &effects(), &[125.0; 3]);
        assert_eq!(
            order.moves[0],
            Move {
                nipple: 2,
                steps: -3
            }
        );
        assert!(order.over_n <= FORGIVEN_N);
    }

    #[test]
    fn nipple_is_turned_in_parts_where_no_order_of_whole_ones_keeps_the_limits() {
        // Each step lifts its own by 5 and eases the other by 4; four at once lift by 20, and 12 are allowed.
        let effects = vec![vec![5.0, -4.0], vec![-4.0, 5.0]];
        let order = ordered(&[4, 4], &[100.0, 100.0], &effects, &[112.0, 112.0]);
        assert!(order.over_n <= FORGIVEN_N, "{order:?}");
        assert!(order.moves.len() > 2);
    }
}
