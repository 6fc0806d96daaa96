//! What is asked of a plan is kept: threads, costs, limits, few nipples; and what it does with few readings.

mod stand;

use metrology::conformity::LimitVerdict;
use metrology::evenness::Value;
use quantity::draws::Draws;
use quantity::{Force, Length};
use stand::trued::Shape;
use stand::{Hidden, evenly, kinds};
use truing::estimator::Unknown;
use truing::plan::{Cannot, NippleState, Plan, few_nipples, plan, problem, said, shown};
use truing::search::{Effort, Ending};
use truing::{Class, Estimate, Mean, Noise, Readings, Request, Response, Round};
use wheel::limit::{Condition, Limit, Part};
use wheel::{SpokeIndex, Wheel};

/// A wheel on the stand, and what was read of it.
struct Bench {
    start: Hidden,
    response: Response,
    read: Readings,
}

impl Bench {
    fn of(wheel: &Wheel, seed: u64) -> Self {
        let [lateral, radial] = Shape::Fine.peaks_mm();
        let start = Hidden::new(wheel, lateral, radial, seed);
        let seats = wheel.spokes.iter().map(wheel::Spoke::seat_angle);
        let (response, _) = Response::about(wheel, Some(start.mean), seats).expect("a response");
        let read = start.read(&mut Draws::new(seed), 0.025, 0.02);
        Self {
            start,
            response,
            read,
        }
    }

    fn estimate(&self) -> Estimate {
        let round = Round {
            readings: self.read.clone(),
            turned: Vec::new(),
        };
        Estimate::of(&self.response, &[round], &Noise::default()).expect("an estimate")
    }

    fn request(&self) -> Request {
        Request {
            mean: Some(self.start.mean),
            ..Request::default()
        }
    }

    fn plan(&self, request: &Request) -> Plan {
        plan(&self.response, &self.estimate(), request, &mut || false).expect("a plan")
    }

    fn turned(&self, plan: &Plan) -> Hidden {
        let mut turned = self.start.clone();
        for turn in &plan.turns {
            turned.turn(turn.spoke.0, turn.turns, 0.0);
        }
        turned
    }
}

fn kind(place: usize) -> Wheel {
    kinds().swap_remove(place).1
}

/// Turns of every nipple in the wheel's order.
fn by_spoke(plan: &Plan, spokes: usize) -> Vec<f64> {
    let mut turns = vec![0.0; spokes];
    for turn in &plan.turns {
        turns[turn.spoke.0] += turn.turns;
    }
    turns
}

fn limit(tension: Force, condition: Condition) -> Limit {
    Limit {
        part: Part::Rim,
        tension,
        condition,
        source: "made up for this test".into(),
        noted: "2026-01-01".into(),
        side: None,
        kind: None,
    }
}

#[test]
fn search_ends_with_a_proof_on_wheels_of_sixteen_to_forty_spokes() {
    for spokes in (16..=40).step_by(4) {
        for seed in 0..3 {
            let bench = Bench::of(&evenly(spokes), seed);
            let request = Request {
                limits: vec![limit(bench.start.mean.tension * 1.15, Condition::Bare)],
                ..bench.request()
            };
            let which = format!("{spokes} spokes, seed {seed}");
            let problem = problem(&bench.response, &bench.estimate(), &request, &mut || false);
            let found = problem.expect("usable").expect("room").solve(&mut Effort {
                nodes: u64::MAX,
                gap: 0.0,
                stop: &mut || false,
            });
            assert_eq!(found.ending, Ending::Optimal, "{which}");
            // What there is no room for on the way is left out, and the proof with it.
            let plan = bench.plan(&request);
            let is_left_out = |one: &Cannot| matches!(one, Cannot::NoRoomOnTheWay { .. });
            match plan.ending {
                Some(Ending::Optimal) => {}
                Some(Ending::WithinGap { gap }) => {
                    assert!(plan.cannot.iter().any(is_left_out), "{which}: {gap}");
                    assert!(0.0 < gap && gap < 1.0, "{which}: {gap}");
                }
                ending => panic!("{which}: {ending:?}"),
            }
            assert!(!plan.turns.is_empty(), "{which}");
        }
    }
}

/// A wheel far out of its class, some spokes over their limit: a search that is stopped before it comes to anything tells
/// what it may miss, and never that the wheel is good enough.
#[test]
fn search_that_is_stopped_on_the_way_is_never_told_as_good_enough() {
    for (place, share) in [(0, 0.98), (1, 1.0), (4, 1.15)] {
        let bench = Bench::of(&kind(place), 17);
        let request = Request {
            limits: vec![limit(bench.start.mean.tension * share, Condition::Bare)],
            ..bench.request()
        };
        for patience in [0, 3, 40] {
            let mut looks = 0;
            let mut stop = || {
                looks += 1;
                patience < looks
            };
            let plan = plan(&bench.response, &bench.estimate(), &request, &mut stop);
            let plan = plan.expect("a plan");
            let which = format!("wheel {place} after {patience} looks: {:?}", plan.ending);
            assert!(1.0 < plan.now.worst_share.value, "{which}");
            assert_eq!(plan.enough, None, "{which}");
            if plan.turns.is_empty() {
                let is_told = |gap: f64| 0.0 < gap && gap <= 1.0;
                let told = matches!(plan.ending, Some(Ending::OutOfTime { gap }) if is_told(gap));
                assert!(told, "{which}");
            }
        }
    }
}

/// With a nipple that does not turn on every spoke over its limit, no turns bring those down: that is told with its reason,
/// and never that the wheel is good enough.
#[test]
fn wheel_with_a_spoke_over_its_limit_is_never_good_enough() {
    for (place, at) in [(0, 1.05), (1, 1.1), (2, 0.9)] {
        let bench = Bench::of(&kind(place), 23);
        let spokes = bench.start.wheel.spokes.len();
        let most = bench.start.mean.tension * at;
        let seized = |_| NippleState {
            seized: true,
            ..NippleState::default()
        };
        let plan = bench.plan(&Request {
            limits: vec![limit(most, Condition::Bare)],
            nipples: (0..spokes).map(seized).collect(),
            class: wide(),
            ..bench.request()
        });
        let which = format!("wheel {place}: {:?} {:?}", plan.ending, plan.cannot);
        assert!(
            !plan.over_now.is_empty() && plan.turns.is_empty(),
            "{which}"
        );
        // No turns at all are always allowed where the limits cannot be met.
        let is_infeasible = matches!(plan.ending, Some(Ending::Infeasible { .. }));
        assert!(!is_infeasible, "{which}");
        assert_eq!(plan.enough, None, "{which}");
        let is_told = |one: &Cannot| match one {
            Cannot::Excluded {
                limits, nipples, ..
            } => limits.iter().any(|spoke| plan.over_now.contains(spoke)) && !nipples.is_empty(),
            _ => false,
        };
        assert!(plan.cannot.iter().any(is_told), "{which}");
    }
}

/// A mean at or above the limit is told as what stands in the way, with one that does not; with that one asked for, it is no
/// longer told.
#[test]
fn mean_that_leaves_spokes_no_room_under_their_limit_is_told_with_one_that_does() {
    for place in [0, 2] {
        let bench = Bench::of(&kind(place), 31);
        let asking = |mean: Mean| {
            let seats = bench
                .start
                .wheel
                .spokes
                .iter()
                .map(wheel::Spoke::seat_angle);
            let of = Response::about(&bench.start.wheel, Some(mean), seats);
            let (response, _) = of.expect("a response");
            let request = Request {
                mean: Some(mean),
                limits: vec![limit(bench.start.mean.tension, Condition::Bare)],
                ..Request::default()
            };
            let round = Round {
                readings: bench.read.clone(),
                turned: Vec::new(),
            };
            let estimate = Estimate::of(&response, &[round], &Noise::default());
            let plan = plan(&response, &estimate.expect("one"), &request, &mut || false);
            plan.expect("a plan")
                .cannot
                .into_iter()
                .find_map(|one| match one {
                    Cannot::MeanTooHigh {
                        side,
                        wanted,
                        surely,
                        at_most,
                    } if side == mean.side => Some([wanted, surely, at_most]),
                    _ => None,
                })
        };
        let [wanted, surely, at_most] = asking(bench.start.mean).expect("told");
        assert!(
            (wanted / bench.start.mean.tension - 1.0).abs() < 1e-9,
            "{wanted:?}"
        );
        assert!(
            at_most < surely && surely < wanted,
            "{at_most:?} {surely:?}"
        );
        let lower = Mean {
            tension: at_most,
            ..bench.start.mean
        };
        assert_eq!(asking(lower), None, "wheel {place}");
    }
}

/// Turns that make the wheel no better are told only where they bring spokes down that are over their limits.
#[test]
fn turns_for_spokes_over_their_limit_bring_them_down() {
    for seed in 0..10 {
        let bench = Bench::of(&kind(usize::try_from(seed % 5).expect("small")), 40 + seed);
        let most = bench.start.mean.tension * 1.1;
        let request = Request {
            limits: vec![limit(most, Condition::Bare)],
            ..bench.request()
        };
        let plan = bench.plan(&request);
        let [over, then] = [&plan.now, &plan.expected].map(|shown| {
            let tensions = shown.tensions_n.iter();
            tensions
                .map(|of| (of.value - most.to_n()).max(0.0))
                .sum::<f64>()
        });
        let gains = plan.expected.worst_share.value < plan.now.worst_share.value;
        assert!(
            plan.turns.is_empty() || gains || then < over,
            "{seed}: {over} {then}"
        );
    }
}

/// A class so wide that nothing needs a turn.
fn wide() -> Class {
    Class {
        lateral_fir: Length::mm(20.0),
        radial_fir: Length::mm(20.0),
        tension_sd_percent: 40.0,
        mean_percent: 20.0,
        ..Class::default()
    }
}

/// The words of a limit follow the highest tension as it is estimated; and where it truly is over, whatever the readings,
/// hardly any wheel is said to be under.
#[test]
fn limit_is_said_to_be_kept_only_where_all_spokes_surely_are() {
    let mut wrongly = 0;
    for seed in 0..40 {
        let bench = Bench::of(&kind(usize::try_from(seed % 5).expect("small")), 200 + seed);
        let estimate = bench.estimate();
        let said = |most_n: f64| {
            let request = Request {
                limits: vec![limit(Force::n(most_n), Condition::Bare)],
                ..bench.request()
            };
            said(&bench.response, &estimate, &request).expect("usable")
        };
        let shown = shown(&bench.response, &estimate, &bench.request()).expect("usable");
        let tensions = &shown.tensions_n;
        let value = |spoke: &usize| tensions[*spoke].value;
        let highest = (0..tensions.len()).max_by(|one, other| value(one).total_cmp(&value(other)));
        let highest = highest.expect("a spoke");
        let (most_n, u_n) = (tensions[highest].value, tensions[highest].u);
        let even_odds = said(most_n);
        assert_eq!(even_odds.limits, Some(LimitVerdict::CannotTell), "{seed}");
        assert!(even_odds.not_surely_under.contains(&SpokeIndex(highest)));
        let clear = said(most_n + 6.0 * u_n);
        assert_eq!(clear.limits, Some(LimitVerdict::Under), "{seed}");
        assert!(clear.not_surely_under.is_empty());
        assert_eq!(said(most_n - 3.0 * u_n).limits, Some(LimitVerdict::Over));
        let truly_n = bench.start.tensions_n().into_iter().fold(0.0, f64::max);
        wrongly += u32::from(said(truly_n - 1.0).limits == Some(LimitVerdict::Under));
    }
    assert!(wrongly <= 4, "{wrongly}");
    let bench = Bench::of(&kind(0), 3);
    let without = said(&bench.response, &bench.estimate(), &bench.request());
    assert_eq!(without.expect("usable").limits, None);
}

#[test]
fn no_nipple_is_tightened_past_the_end_of_its_thread_and_the_end_is_told() {
    let bench = Bench::of(&kind(1), 4);
    let spokes = bench.start.wheel.spokes.len();
    let free = by_spoke(&bench.plan(&bench.request()), spokes);
    let most = (0..spokes).max_by(|one, other| free[*one].total_cmp(&free[*other]));
    let (short, left) = (most.expect("a spoke"), 0.25);
    assert!(left < free[short], "{free:?}");
    let mut request = bench.request();
    request.nipples = vec![NippleState::default(); spokes];
    request.nipples[short].thread_left = Some(left);
    // A class that only the best turns of all spokes reach, so that what holds them back is told.
    request.class.tension_sd_percent = 1.0;
    let plan = bench.plan(&request);
    assert!(by_spoke(&plan, spokes)[short] <= left);
    let is_told = |one: &Cannot| matches!(one, Cannot::ThreadEnds { spokes } if spokes.contains(&SpokeIndex(short)));
    assert!(plan.cannot.iter().any(is_told), "{:?}", plan.cannot);
}

/// Half of the nipples cost twelve: they are turned only where that brings a tenth of the class.
#[test]
fn dear_nipples_are_turned_less_often() {
    let (mut cheap, mut dear) = (0, 0);
    for seed in 0..6 {
        let bench = Bench::of(&kind(0), 50 + seed);
        let spokes = bench.start.wheel.spokes.len();
        let is_dear = |spoke: usize| spoke % 4 < 2;
        let touched = |plan: &Plan| {
            let turns = by_spoke(plan, spokes);
            (0..spokes)
                .filter(|&spoke| is_dear(spoke) && turns[spoke] != 0.0)
                .count()
        };
        cheap += touched(&bench.plan(&bench.request()));
        let cost = |spoke: usize| NippleState {
            cost: is_dear(spoke).then_some(12.0),
            ..NippleState::default()
        };
        let request = Request {
            nipples: (0..spokes).map(cost).collect(),
            ..bench.request()
        };
        let plan = bench.plan(&request);
        dear += touched(&plan);
        // What was left alone was not searched: nothing is proven of it but how much it may miss.
        let is_told = match plan.ending {
            Some(Ending::WithinGap { gap }) => 0.0 < gap && gap < 1.0,
            Some(Ending::Optimal) => touched(&plan) == touched(&bench.plan(&bench.request())),
            _ => false,
        };
        assert!(is_told, "seed {seed}: {:?}", plan.ending);
    }
    assert!(3 * dear < 2 * cheap, "{dear} of {cheap}");
}

/// One nipple costs eight: it is left alone only where the wheel gets well into its class without it, or where it would
/// not bring a hundredth of the class for each beyond one. Nothing scatters here, so that what is expected is exact.
#[test]
fn dear_nipple_is_left_alone_only_where_it_does_not_bring_what_it_costs() {
    const COST: f64 = 8.0;
    let quiet = Noise {
        gauge: 1e-4,
        dial: Length::mm(1e-3),
        dish: Length::mm(1e-3),
        turn: 0.0,
    };
    let (mut alone, mut turned) = (0, 0);
    for seed in 0..12 {
        let mut bench = Bench::of(&kind(usize::try_from(seed % 5).expect("small")), 70 + seed);
        bench.read = bench.start.read(&mut Draws::new(seed), 0.0, 0.0);
        let round = Round {
            readings: bench.read.clone(),
            turned: Vec::new(),
        };
        let estimate = Estimate::of(&bench.response, &[round], &quiet).expect("an estimate");
        let spokes = bench.start.wheel.spokes.len();
        // A class that the best turns of all nipples just reach.
        let with = |nipple: usize, state: NippleState| {
            let mut request = bench.request();
            request.class.tension_sd_percent = 3.0;
            request.nipples = vec![NippleState::default(); spokes];
            request.nipples[nipple] = state;
            plan(&bench.response, &estimate, &request, &mut || false).expect("a plan")
        };
        let free = with(0, NippleState::default());
        let turns = by_spoke(&free, spokes);
        let mut order: Vec<usize> = (0..spokes).filter(|spoke| turns[*spoke] != 0.0).collect();
        order.sort_by(|one, other| turns[*one].abs().total_cmp(&turns[*other].abs()));
        for nipple in [order[0], order[order.len() - 1]] {
            let dear = with(
                nipple,
                NippleState {
                    cost: Some(COST),
                    ..NippleState::default()
                },
            );
            if by_spoke(&dear, spokes)[nipple] != 0.0 {
                turned += 1;
                continue;
            }
            alone += 1;
            let [free, dear] = [&free, &dear].map(|plan| plan.expected.worst_share.value);
            let most = f64::max(0.8, free + 0.01 * (COST - 1.0));
            assert!(dear <= most + 0.03, "seed {seed}: {free} {dear}");
        }
    }
    assert!(3 <= alone && 3 <= turned, "{alone} {turned}");
}

#[test]
fn few_nipples_at_most_are_told_with_what_they_may_miss() {
    let bench = Bench::of(&kind(4), 3);
    let gap = |at_most: usize| {
        let plan = bench.plan(&Request {
            at_most: Some(at_most),
            ..bench.request()
        });
        match plan.ending {
            Some(Ending::Optimal) => 0.0,
            Some(Ending::WithinGap { gap }) if 0.0 < gap && gap < 1.0 => gap,
            ending => panic!("{at_most}: {ending:?}"),
        }
    };
    assert_eq!(gap(3), 0.0);
    gap(12);
}

#[test]
fn limit_with_a_tyre_on_is_the_bare_limit_that_the_tyre_leaves_room_for() {
    let bench = Bench::of(&kind(2), 9);
    let most = bench.start.mean.tension * 1.12;
    let with = |limits: Vec<Limit>, tyre_loss: Option<f64>| {
        bench.plan(&Request {
            limits,
            tyre_loss,
            ..bench.request()
        })
    };
    let bare = with(vec![limit(most, Condition::Bare)], Some(0.1));
    let tyred = with(vec![limit(most * 0.9, Condition::Tyred)], Some(0.1));
    assert_eq!(tyred.turns.len(), bare.turns.len());
    for (one, other) in tyred.turns.iter().zip(&bare.turns) {
        assert_eq!((one.spoke, one.steps), (other.spoke, other.steps));
    }
    assert_eq!(tyred.over_now, bare.over_now);
    // As long as nobody knows what the tyre takes away, the limit is kept without it too.
    let unknown = with(vec![limit(most, Condition::Tyred)], None);
    assert_eq!(unknown.turns, bare.turns);
    // Of two limits the lower one holds.
    let both = with(
        vec![
            limit(most * 2.0, Condition::Tyred),
            limit(most, Condition::Bare),
        ],
        Some(0.1),
    );
    assert_eq!(both.turns, bare.turns);
}

#[test]
fn no_tension_is_expected_over_its_limit_at_any_turn_of_the_way() {
    for seed in 0..8 {
        let bench = Bench::of(&kind(usize::try_from(seed % 5).expect("small")), 30 + seed);
        let most_n = bench.start.mean.tension.to_n() * 1.15;
        let plan = bench.plan(&Request {
            limits: vec![limit(Force::n(most_n), Condition::Bare)],
            ..bench.request()
        });
        let told_n = plan.over_on_the_way.map_or(0.0, Force::to_n);
        let mut visits = vec![0; bench.start.wheel.spokes.len()];
        assert_eq!(plan.on_the_way.len(), plan.turns.len());
        let mut most_lifted_n = 0.0;
        for (turn, after) in plan.turns.iter().zip(&plan.on_the_way) {
            visits[turn.spoke.0] += 1;
            assert_eq!(after[turn.spoke.0], turn.tension_after);
            for (spoke, after) in after.iter().enumerate() {
                // The draws behind what is shown scatter by a newton or two.
                let start_n = plan.now.tensions_n[spoke].value + 4.0;
                let allowed_n = most_n.max(start_n) + told_n;
                let (turned, after_n) = (turn.spoke, after.to_n());
                assert!(
                    after_n <= allowed_n,
                    "{spoke} at {turned:?}: {after_n} {start_n}"
                );
                most_lifted_n = f64::max(most_lifted_n, after_n - start_n);
            }
        }
        let Value { value, u } = plan.most_lifted_n;
        assert!(most_lifted_n <= value + 2.0 * u, "{most_lifted_n}");
        assert!(value <= most_lifted_n + 8.0, "{most_lifted_n}");
        assert!(visits.iter().all(|visits| *visits <= 2), "{visits:?}");
    }
}

#[test]
fn stopped_trade_off_says_how_much_better_it_might_be() {
    let bench = Bench::of(&kind(4), 3);
    let estimate = bench.estimate();
    let curve = |most: usize, stop: &mut dyn FnMut() -> bool| {
        few_nipples(&bench.response, &estimate, &bench.request(), most, stop).expect("a curve")
    };
    let curve_to_its_end = curve(8, &mut || false);
    assert!(curve_to_its_end[..=4].iter().all(|few| few.is_proven()));
    let last = curve_to_its_end.last().expect("a point");
    assert!(!last.is_proven() && last.gap < 1.0, "{last:?}");
    let mut looks = 0;
    let stopped = curve(8, &mut || {
        looks += 1;
        looks > 2000
    });
    assert!(stopped.len() < curve_to_its_end.len());
}

#[test]
fn tension_alone_is_evened_by_a_plan_of_tension_alone() {
    let mut bench = Bench::of(&kind(4), 12);
    bench.read.lateral.clear();
    bench.read.radial.clear();
    let before = bench.start.truth().sd_percent(&bench.start.wheel);
    let turned = bench.turned(&bench.plan(&bench.request()));
    let after = turned.truth().sd_percent(&turned.wheel);
    assert!(after < 0.5 * before, "{before} to {after}");
}

#[test]
fn four_spokes_alone_are_no_reason_to_turn_the_others_far() {
    let mut bench = Bench::of(&kind(0), 21);
    bench.read.tensions = bench.read.tensions.iter().step_by(8).copied().collect();
    bench.read.lateral.clear();
    bench.read.radial.clear();
    let estimate = bench.estimate();
    let unknown = &estimate.unknown;
    assert!(unknown.contains(&Unknown::Lateral) && unknown.contains(&Unknown::Radial));
    let unread = unknown.iter().find_map(|one| match one {
        Unknown::TensionOf(spokes) => Some(spokes.len()),
        _ => None,
    });
    assert_eq!(unread, Some(28));
    let plan = bench.plan(&bench.request());
    let read: Vec<usize> = bench.read.tensions.iter().map(|one| one.spoke.0).collect();
    let turns = by_spoke(&plan, bench.start.wheel.spokes.len());
    let most_of_unread = (0..turns.len())
        .filter(|spoke| !read.contains(spoke))
        .map(|spoke| turns[spoke].abs())
        .fold(0.0, f64::max);
    assert!(most_of_unread <= 0.5, "{turns:?}");
    // Nothing is said of what was not read: the true wheel may show more than a plan on four spokes expects.
    assert!(
        plan.expected.lateral_fir_mm.u > 0.1,
        "{:?}",
        plan.expected.lateral_fir_mm
    );
}

/// Where no tension was read a limit cannot be held against anything: runout is mended as without a limit, and no spoke
/// is said to be over.
#[test]
fn runout_alone_is_mended_though_a_limit_is_known_and_nothing_is_said_of_the_limit() {
    let mut bench = Bench::of(&kind(0), 21);
    bench.read.tensions.clear();
    let request = Request {
        limits: vec![limit(bench.start.mean.tension * 1.05, Condition::Bare)],
        ..bench.request()
    };
    let plan = bench.plan(&request);
    assert!(plan.over_now.is_empty());
    let is_held =
        |one: &Cannot| matches!(one, Cannot::AtLimit { .. } | Cannot::NoRoomOnTheWay { .. });
    assert!(!plan.cannot.iter().any(is_held), "{:?}", plan.cannot);
    let (before, after) = (bench.start.truth(), bench.turned(&plan).truth());
    assert!(after.lateral_fir() < 0.25 * before.lateral_fir());
    let side = bench.start.mean.side;
    let [level, then] = [&before, &after].map(|truth| truth.mean_n(&bench.start.wheel, side));
    assert!((then / level - 1.0).abs() < 0.03, "{level} to {then}");
}
