//! Stated 95 % intervals must cover the truth 95 % of the time.
//!
//! Source: the definition of a coverage interval (JCGM 101, 3.12), counted on seeded visits whose truth
//! is drawn from the gauge's physics; ranges stated in `virtual_shop`. With 2,000 visits the count of a
//! true 95 % scatters by 0.5 points.

mod virtual_shop;

use metrology::chances::{Wanted, WantedMean, chances};
use metrology::evenness::groups;
use metrology::lap::State;
use metrology::tension::{Curves, Tensions, gauge_laps};
use metrology::tyre_effect::{Part, drops};
use quantity::draws::Draws;
use quantity::monte_carlo::Stopping;
use virtual_shop::{TrueGauge, crossed_wheel, lap_of, rig, visit_of};
use wheel::Side;

const VISITS: u64 = 2_000;

/// Hits and visits counted, for the mean of a side, one spoke and the drop of the whole wheel.
#[derive(Default, Debug)]
struct Covered {
    mean: (usize, usize),
    single: (usize, usize),
    drop: (usize, usize),
}

fn count(hit: bool, into: &mut (usize, usize)) {
    into.0 += usize::from(hit);
    into.1 += 1;
}

fn covered(points: usize) -> Covered {
    let mut covered = Covered::default();
    let stopping = Stopping {
        digits: 1,
        block: 2_000,
        least_blocks: 3,
        most_draws: 20_000,
    };
    for number in 0..VISITS {
        let mut draws = Draws::stream(20_260_304 + points as u64, number);
        let gauge = TrueGauge::drawn(&mut draws);
        let wheel = crossed_wheel(12, 30.0, 36.0, 2.0);
        let right_n = 900.0 + 250.0 * draws.unit();
        let lost = 0.03 + 0.10 * draws.unit();
        let bare_n: Vec<f64> = wheel
            .spokes
            .iter()
            .map(|spoke| {
                let mean_n = if spoke.side == Side::Right {
                    right_n
                } else {
                    right_n * 30.0 / 36.0
                };
                mean_n * (1.0 + 0.05 * draws.normal())
            })
            .collect();
        let tyred_n: Vec<f64> = bare_n
            .iter()
            .map(|n| n - lost * right_n * (0.9 + 0.02 * draws.normal()))
            .collect();
        let forces_n: Vec<f64> = (0..points)
            .map(|place| 450.0 + 1000.0 * place as f64 / (points - 1) as f64)
            .collect();
        let stated = gauge.stated(draws.unit() < 0.5);
        let points = rig(&gauge, &forces_n, 5.0, &mut draws);
        let read = |forces_n: &[f64], draws: &mut Draws| -> Vec<f64> {
            forces_n.iter().map(|n| gauge.shown(*n, draws)).collect()
        };
        let laps = vec![
            lap_of(State::Bare, &read(&bare_n, &mut draws)),
            lap_of(State::Tyred, &read(&tyred_n, &mut draws)),
        ];
        let visit = visit_of(wheel, stated, points, laps);
        let (curves, _) = Curves::of(&visit);
        let bare = Tensions::of(
            &visit,
            &curves,
            State::Bare,
            &gauge_laps(&visit, State::Bare),
        );
        let tyred = Tensions::of(
            &visit,
            &curves,
            State::Tyred,
            &gauge_laps(&visit, State::Tyred),
        );
        if let Some(first) = bare.spokes[0].measured() {
            let reach = 1.96 * first.u().to_n();
            count(
                (first.force.to_n() - bare_n[0]).abs() <= reach,
                &mut covered.single,
            );
        }
        let (_, sides) = groups(&visit.wheel, &bare);
        let drops = drops(&visit.wheel, &bare, &tyred);
        let mut wanted = Wanted::default();
        if let Ok(force) = &sides[0].force {
            wanted.means.push(WantedMean {
                tensions: &bare,
                spokes: &sides[0].read,
                linear: force.mean_n,
            });
        }
        if let Some(drop) = drops.iter().find(|drop| drop.part == Part::Whole) {
            wanted.drops.push((drop, &bare, &tyred));
        }
        let Ok(chances) = chances(&curves, &wanted, &stopping, number) else {
            continue;
        };
        if let Some(mean) = chances.means.first() {
            let truth = sides[0]
                .spokes
                .iter()
                .map(|spoke| bare_n[spoke.0])
                .sum::<f64>()
                / 12.0;
            count((mean.low..=mean.high).contains(&truth), &mut covered.mean);
        }
        if let Some(drop) = chances.drops.first() {
            let truth = 100.0 * (1.0 - tyred_n.iter().sum::<f64>() / bare_n.iter().sum::<f64>());
            count((drop.low..=drop.high).contains(&truth), &mut covered.drop);
        }
    }
    covered
}

fn share((hits, of): (usize, usize)) -> f64 {
    assert!(of > 1_800, "too few visits had an answer: {of}");
    100.0 * hits as f64 / of as f64
}

fn within(covered: &Covered, least: f64, most: f64) {
    for (what, counted) in [
        ("mean", covered.mean),
        ("single", covered.single),
        ("drop", covered.drop),
    ] {
        let share = share(counted);
        assert!(
            (least..=most).contains(&share),
            "{what}: {share:.1} % covered"
        );
    }
}

#[test]
fn intervals_cover_the_truth_with_twelve_rig_points() {
    within(&covered(12), 93.0, 97.0);
}

#[test]
fn intervals_cover_the_truth_with_six_rig_points() {
    within(&covered(6), 93.0, 97.0);
}

#[test]
fn intervals_cover_the_truth_with_two_rig_points() {
    within(&covered(2), 93.0, 100.0);
}
