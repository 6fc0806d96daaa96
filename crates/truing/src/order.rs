//! The order of work: never beyond a limit on the way.
//!
//! Round the wheel from the valve hole as long as nothing speaks against it. A spoke that is over its limit is brought
//! down first, and a turn that would lift one over its limit waits for the loosening that makes room. Where no order of
//! whole nipples keeps every limit, a nipple is turned in two parts; what even that has no room for is left to the next
//! round (theory §7.7).

use quantity::distribution::normal_cdf;
use std::f64::consts::TAU;

/// Rounding that is forgiven at a limit, N.
const FORGIVEN_N: f64 = 1e-6;

/// A spoke that is not surely within its limit is told to be lifted by no more than this, N: a kilogram-force is the finest
/// that a gauge shows.
pub(crate) const MOST_LIFTED_N: f64 = 10.0;

/// A tension is known no better, N.
const LEAST_U_N: f64 = 1e-9;

/// Visits to one nipple in a round: nobody wants to come back more often.
const MOST_VISITS: u8 = 2;

/// Steps of one nipple, in the order of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Move {
    pub(crate) nipple: usize,
    pub(crate) steps: i64,
}

/// The order, what it leaves undone, and by how much a spoke is lifted on the way where nothing else is possible.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Order {
    pub(crate) moves: Vec<Move>,
    pub(crate) left: Vec<i64>,
    pub(crate) lift: Lift,
}

/// By how much a spoke is lifted over its limit, or above where it started over it, N: each of the spoke where it is most.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Lift {
    /// Surely no more; below zero while every spoke has room.
    pub(crate) most_n: f64,
    /// What the square of that over the limit is expected to grow by, N² (eq. 7.15): by how surely a spoke is over, and how far.
    pub(crate) expected_n2: f64,
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
    /// Standard uncertainty of what turns come out at on the whole, as a share: one and the same for all.
    pub(crate) gain: f64,
    /// Standard uncertainties by which a limit is kept.
    pub(crate) surely: f64,
    /// The effect on every tension of one step of each nipple by eq. 7.1 alone, N.
    pub(crate) first_order_n: &'a [Vec<f64>],
    /// By how much a spoke that is not surely within its limit may be lifted where nothing else is possible, N.
    pub(crate) most_lifted_n: f64,
}

/// Puts whole steps in order; `effect_n` is that of one step of each nipple on every tension.
///
/// A spoke is surely within its limit, or, where it did not start there, not above where it started. Only while a spoke
/// is not surely within and no step at all keeps that, the step is taken that is expected to lift a spoke least, and as
/// much is allowed from there on; but surely never more than may be lifted.
pub(crate) fn order(steps: &[i64], known: &Known<'_>, effect_n: &[Vec<f64>]) -> Order {
    let mut work = Work {
        known,
        effect_n,
        changes: vec![Change::default(); known.tension_n.len()],
        left: steps.to_vec(),
        visits: vec![0; steps.len()],
        moves: Vec::new(),
        lift: Lift::default(),
    };
    let mut at = 0;
    while let Some(next) = work.next(at) {
        at = next.nipple + 1;
        work.take(next);
    }
    Order {
        moves: work.moves,
        left: work.left,
        lift: work.lift,
    }
}

/// What spokes are lifted by after each move, where they leave these tensions, N.
pub(crate) fn lifts_on_path(known: &Known<'_>, moves: &[Move], path_n: &[Vec<f64>]) -> Vec<Lift> {
    let mut changes = vec![Change::default(); known.tension_n.len()];
    let mut before_n = known.tension_n;
    let mut lifts = Vec::with_capacity(moves.len());
    for (of, after_n) in moves.iter().zip(path_n) {
        for (spoke, change) in changes.iter_mut().enumerate() {
            let first_order_n = known.first_order_n[of.nipple][spoke] * of.steps as f64;
            *change = change.and(after_n[spoke] - before_n[spoke], first_order_n, known.turn);
        }
        before_n = after_n;
        lifts.push(known.lift(changes.iter().copied()));
    }
    lifts
}

impl Lift {
    /// The more of both.
    pub(crate) fn or(self, other: Self) -> Self {
        Self {
            most_n: self.most_n.max(other.most_n),
            expected_n2: self.expected_n2.max(other.expected_n2),
        }
    }

    /// Less is expected, or surely.
    pub(crate) fn is_less_than(self, other: Self) -> bool {
        let of = |lift: Self| [lift.expected_n2, lift.most_n];
        of(self) < of(other)
    }
}

impl Order {
    /// The same as far as nothing is lifted by more than may be; what comes after it is left undone.
    pub(crate) fn cut(&mut self, known: &Known<'_>, lifts: &[Lift]) {
        let may_be = |lift: &&Lift| lift.most_n <= known.most_lifted_n.max(FORGIVEN_N);
        let kept = lifts.iter().take_while(may_be).count();
        for of in self.moves.drain(kept..) {
            self.left[of.nipple] += of.steps;
        }
    }
}

/// What turns have done to one tension since the start.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Change {
    all_n: f64,
    /// Of it, by eq. 7.1 alone.
    first_order_n: f64,
    /// Left by the scatter of the turns.
    variance: f64,
}

impl Change {
    fn and(self, effect_n: f64, first_order_n: f64, turn: f64) -> Self {
        Self {
            all_n: self.all_n + effect_n,
            first_order_n: self.first_order_n + first_order_n,
            variance: self.variance + (turn * effect_n).powi(2),
        }
    }

    /// The change at most, but for the scatter of the turns: a wheel that is not quite its model may do as eq. 7.1 alone has it.
    fn at_most_n(self) -> f64 {
        self.all_n.max(self.first_order_n)
    }
}

impl Known<'_> {
    /// Standard uncertainty of a tension once it has changed so, N.
    fn after_u_n(&self, spoke: usize, change: Change) -> f64 {
        let of_gain_n = self.gain * change.all_n;
        (self.u_n[spoke].powi(2) + change.variance + of_gain_n.powi(2)).sqrt()
    }

    /// By how much a spoke is over what it may bear once it has changed so: over its limit, or above where it started.
    fn over_n(&self, spoke: usize, change: Change) -> f64 {
        let change_n = change.at_most_n();
        let u_n = self.after_u_n(spoke, change);
        let surely_n = self.tension_n[spoke] + change_n + self.surely * u_n;
        (surely_n - self.most_n[spoke]).min(change_n)
    }

    /// What the square of that by which a spoke is over its limit is expected to grow by once it has changed so, N² (eq. 7.15).
    fn expected_n2(&self, spoke: usize, change: Change) -> f64 {
        let room_n = self.most_n[spoke] - self.tension_n[spoke];
        let u_n = self.u_n[spoke].max(LEAST_U_N);
        let square_n2 = |change_n: f64| {
            let over_n = change_n - room_n;
            let z = over_n / u_n;
            let density = (-0.5 * z * z).exp() / TAU.sqrt();
            (over_n.powi(2) + u_n.powi(2)) * normal_cdf(z) + over_n * u_n * density
        };
        square_n2(change.at_most_n()) - square_n2(0.0)
    }

    /// What spokes are lifted by that have changed so, one after another.
    fn lift(&self, changes: impl Iterator<Item = Change>) -> Lift {
        let mut lift = Lift {
            most_n: f64::NEG_INFINITY,
            expected_n2: 0.0,
        };
        for (spoke, change) in changes.enumerate() {
            let most_n = self.over_n(spoke, change);
            let expected_n2 = if FORGIVEN_N < most_n {
                self.expected_n2(spoke, change)
            } else {
                0.0
            };
            lift = lift.or(Lift {
                most_n,
                expected_n2,
            });
        }
        lift
    }
}

struct Work<'a> {
    known: &'a Known<'a>,
    effect_n: &'a [Vec<f64>],
    changes: Vec<Change>,
    left: Vec<i64>,
    visits: Vec<u8>,
    moves: Vec<Move>,
    /// What spokes have been lifted by so far; no more is expected of the turns to come.
    lift: Lift,
}

impl Work<'_> {
    /// What is turned next, the last nipple having been the one before `at`; none when nothing is left that may be.
    fn next(&mut self, at: usize) -> Option<Move> {
        let burden = self.burden(None);
        let is_over = FORGIVEN_N < burden;
        let eased = |of: &Move| is_over && self.burden(Some(*of)) < burden;
        let kept = self
            .most_eased(self.whole(at).filter(eased))
            .or_else(|| self.whole(at).find(|&of| self.is_kept(of)))
            .or_else(|| self.most_eased(self.parts(at).filter(eased)))
            .or_else(|| self.parts(at).max_by_key(|of| of.steps.abs()));
        if kept.is_some() || !self.is_held() {
            return kept;
        }
        self.least_bad(at)
    }

    /// Whether a spoke is not surely within its limit.
    fn is_held(&self) -> bool {
        let known = self.known;
        self.changes.iter().enumerate().any(|(spoke, change)| {
            let u_n = known.after_u_n(spoke, *change);
            let most_n = known.tension_n[spoke] + change.all_n + known.surely * u_n;
            known.most_n[spoke] < most_n
        })
    }

    /// What a tension has changed by after one move more.
    fn changed(&self, spoke: usize, of: Move) -> Change {
        let steps = of.steps as f64;
        let effect_n = self.effect_n[of.nipple][spoke] * steps;
        let first_order_n = self.known.first_order_n[of.nipple][spoke] * steps;
        self.changes[spoke].and(effect_n, first_order_n, self.known.turn)
    }

    fn lift(&self, of: Move) -> Lift {
        let changed = (0..self.changes.len()).map(|spoke| self.changed(spoke, of));
        self.known.lift(changed)
    }

    fn is_kept(&self, of: Move) -> bool {
        let lift = self.lift(of);
        let is_allowed = || self.may_be(lift) && lift.expected_n2 <= self.lift.expected_n2;
        lift.most_n <= FORGIVEN_N || is_allowed()
    }

    fn may_be(&self, lift: Lift) -> bool {
        lift.most_n <= self.known.most_lifted_n
    }

    /// Σ of what spokes are over their limits.
    fn burden(&self, steps: Option<Move>) -> f64 {
        let over = |spoke: usize| {
            let change = steps.map_or(self.changes[spoke], |of| self.changed(spoke, of));
            let now = self.known.tension_n[spoke] + change.all_n;
            (now - self.known.most_n[spoke]).max(0.0)
        };
        (0..self.changes.len()).map(over).sum()
    }

    /// All that is left of every nipple, round the wheel.
    fn whole(&self, at: usize) -> impl Iterator<Item = Move> {
        let spokes = self.left.len();
        let round = (0..spokes).map(move |ahead| (at + ahead) % spokes);
        round
            .map(|nipple| Move {
                nipple,
                steps: self.left[nipple],
            })
            .filter(|of| of.steps != 0 && self.visits[of.nipple] < MOST_VISITS)
    }

    /// The largest part that keeps every limit, of each nipple that may be visited again for the rest.
    fn parts(&self, at: usize) -> impl Iterator<Item = Move> {
        self.whole(at)
            .filter(|of| self.visits[of.nipple] + 1 < MOST_VISITS)
            .filter_map(|of| {
                let smaller = (1..of.steps.abs()).rev();
                let parts = smaller.map(|steps| Move {
                    steps: steps * of.steps.signum(),
                    ..of
                });
                let mut kept = parts.filter(|&part| self.is_kept(part));
                kept.next()
            })
    }

    /// Of those that keep every limit, the one that leaves least over.
    fn most_eased(&self, of: impl Iterator<Item = Move>) -> Option<Move> {
        let kept = of.filter(|&of| self.is_kept(of));
        let left = kept.map(|of| (self.burden(Some(of)), of));
        left.min_by(|one, other| one.0.total_cmp(&other.0))
            .map(|(_, of)| of)
    }

    /// What is expected to lift a spoke least that is not surely within its limit: all that is left of a nipple, or one step
    /// of one that may be visited again; the first of those that are alike.
    fn least_bad(&self, at: usize) -> Option<Move> {
        let single = self
            .whole(at)
            .filter(|of| self.visits[of.nipple] + 1 < MOST_VISITS)
            .map(|of| Move {
                steps: of.steps.signum(),
                ..of
            });
        let mut least: Option<(Lift, Move)> = None;
        for of in self.whole(at).chain(single) {
            let lift = self.lift(of);
            if self.may_be(lift) && least.is_none_or(|(least, _)| lift.is_less_than(least)) {
                least = Some((lift, of));
            }
        }
        least.map(|(_, of)| of)
    }

    fn take(&mut self, of: Move) {
        self.lift = self.lift.or(self.lift(of));
        for spoke in 0..self.changes.len() {
            self.changes[spoke] = self.changed(spoke, of);
        }
        self.left[of.nipple] -= of.steps;
        match self.moves.last_mut() {
            Some(last) if last.nipple == of.nipple => last.steps += of.steps,
            _ => {
                self.visits[of.nipple] += 1;
                self.moves.push(of);
            }
        }
    }
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
                gain: 0.0,
                surely: 3.0,
                first_order_n: effects,
                most_lifted_n: MOST_LIFTED_N,
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
        assert!(order.lift.most_n <= FORGIVEN_N);
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
        assert!(order.lift.most_n <= FORGIVEN_N);
    }

    #[test]
    fn nipple_is_turned_in_parts_where_no_order_of_whole_ones_keeps_the_limits() {
        // Each step lifts its own by 5 and eases the other by 4; four at once lift by 20, and 12 are allowed.
        let effects = vec![vec![5.0, -4.0], vec![-4.0, 5.0]];
        let order = ordered(&[4, 4], &[100.0, 100.0], &effects, &[112.0, 112.0]);
        assert!(order.lift.most_n <= FORGIVEN_N, "{order:?}");
        assert_eq!(order.left, [0, 0]);
        assert_eq!(order.moves.len(), 3);
    }

    #[test]
    fn what_two_visits_have_no_room_for_is_left_to_the_next_round() {
        // As before with twice as much to turn: two at a time are room enough, and nobody comes a third time.
        let effects = vec![vec![5.0, -4.0], vec![-4.0, 5.0]];
        let order = ordered(&[12, 12], &[100.0, 100.0], &effects, &[112.0, 112.0]);
        assert!(order.lift.most_n <= FORGIVEN_N, "{order:?}");
        for nipple in 0..2 {
            let visits = order.moves.iter().filter(|one| one.nipple == nipple);
            assert!(visits.clone().count() <= 2, "{order:?}");
            let turned: i64 = visits.map(|one| one.steps).sum();
            assert_eq!(turned + order.left[nipple], 12);
        }
        assert!(order.left.iter().any(|steps| *steps != 0), "{order:?}");
    }

    #[test]
    fn where_every_first_step_lifts_a_spoke_that_is_over_the_least_is_taken_and_told() {
        // Both are over 125, and whatever one loses the other takes a part of.
        let effects = vec![vec![10.0, -2.0], vec![-3.0, 10.0]];
        let order = ordered(&[-1, -2], &[130.0, 131.0], &effects, &[125.0, 125.0]);
        assert_eq!(
            order.moves[0],
            Move {
                nipple: 0,
                steps: -1
            }
        );
        assert!((order.lift.most_n - 2.0).abs() < FORGIVEN_N, "{order:?}");
        assert_eq!(order.left, [0, 0]);
    }

    #[test]
    fn the_spoke_that_is_lifted_is_the_one_that_is_least_surely_over() {
        // The first is two of its uncertainties below 125 and would be lifted by 3, the other over it and by 2.
        let effects = vec![vec![10.0, -2.0], vec![-3.0, 10.0]];
        let known = Known {
            tension_n: &[115.0, 131.0],
            u_n: &[5.0, 0.1],
            most_n: &[125.0; 2],
            turn: 0.0,
            gain: 0.0,
            surely: 3.0,
            first_order_n: &effects,
            most_lifted_n: MOST_LIFTED_N,
        };
        assert_eq!(order(&[-1, -1], &known, &effects).moves[0].nipple, 1);
    }

    #[test]
    fn what_lifts_a_spoke_by_more_than_may_be_is_left_undone_with_all_that_follows() {
        let effects = effects();
        let known = Known {
            tension_n: &[100.0; 3],
            u_n: &[0.0; 3],
            most_n: &[110.0; 3],
            turn: 0.0,
            gain: 0.0,
            surely: 3.0,
            first_order_n: &effects,
            most_lifted_n: MOST_LIFTED_N,
        };
        let mut order = order(&[1, 1, 1], &known, &effects);
        assert_eq!(order.moves.len(), 3);
        // Followed, the second turn does thrice as much.
        let path_n = [
            vec![110.0, 96.0, 100.0],
            vec![110.0, 126.0, 88.0],
            vec![106.0, 126.0, 98.0],
        ];
        let lifts = lifts_on_path(&known, &order.moves, &path_n);
        order.cut(&known, &lifts);
        assert_eq!(order.moves.len(), 1);
        assert_eq!(order.left, [0, 1, 1]);
    }
}
