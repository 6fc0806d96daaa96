//! A lap while it is taken: every reading against its side's mean, and the ones that ask to be taken again.

use crate::view::{FindingView, findings};
use crate::words;
use ::report::figure::{
    Figure, Interval, Level, Mark, RimPoint, RunoutKind, Series, StripMean, StripRunout,
    StripSpoke, UnrolledRim,
};
use metrology::evenness::groups;
use metrology::lap::{Axis, Lap, Taken};
use metrology::outlying::outlying;
use metrology::pattern;
use metrology::tension::{Curves, Tension, Tensions};
use metrology::visit::Visit;
use metrology::{Finding, Weight};
use quantity::Force;
use quantity::force::ForceUnit;
use wheel::{Side, SpokeIndex, Wheel};

/// What a page shows beside the field while a lap is taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// The unrolled rim with what was read so far.
    pub picture: Figure,
    /// Questions to the mechanic; nothing was changed.
    pub questions: Vec<FindingView>,
}

impl Watched {
    /// The same with the spoke that is due named in the picture, while nothing stands there. Spokes count from 1.
    #[must_use]
    pub fn due_at(mut self, spoke: usize) -> Self {
        if let Figure::UnrolledRim(rim) = &mut self.picture {
            let of = rim.spokes.iter_mut();
            let due = of.filter(|one| one.spoke.number() == spoke && one.level == Level::NotYet);
            due.for_each(|one| one.word = "due".into());
        }
        self
    }
}

/// Looks at the only lap of a visit, as far as it goes.
///
/// Where the gauge has a curve for every spoke kind that was read, spokes reach as far as their tension;
/// otherwise as far as their reading, in divisions. Runout is drawn on the rim. `passed_over` are the spokes that
/// nobody will come back to.
#[must_use]
pub fn watch(visit: &Visit, passed_over: &[SpokeIndex], unit: ForceUnit) -> Watched {
    let mut watched = read_so_far(visit, unit);
    if let Figure::UnrolledRim(rim) = &mut watched.picture {
        for spoke in &mut rim.spokes {
            if spoke.level == Level::NotYet && passed_over.contains(&spoke.spoke) {
                spoke.level = Level::NotRead;
                spoke.word = "passed over".into();
            }
        }
    }
    watched
}

fn read_so_far(visit: &Visit, unit: ForceUnit) -> Watched {
    let Some(lap) = visit.laps.first() else {
        return drawn(&visit.wheel, None);
    };
    match &lap.taken {
        Taken::Readings { readings, .. } => {
            let (curves, _) = Curves::of(visit);
            let tensions = Tensions::of(visit, &curves, lap.state, &[0]);
            let is_in_force = !readings.is_empty()
                && !tensions
                    .spokes
                    .iter()
                    .any(|one| matches!(one, Tension::NoCurve));
            if is_in_force {
                in_force(visit, &tensions, unit)
            } else {
                let pairs = readings.iter().map(|one| (one.spoke, one.divisions));
                let gauge = visit.gauges.first();
                let u = gauge.map_or(0.0, metrology::gauge::Gauge::reading_u);
                in_own_unit(
                    visit,
                    lap,
                    &pairs.collect::<Vec<_>>(),
                    u,
                    "reading",
                    "divisions",
                )
            }
        }
        Taken::Pitch { hertz } => in_own_unit(visit, lap, hertz, 0.0, "pitch", "Hz"),
        Taken::Runout { axis, points, .. } => {
            let points: Vec<RimPoint> = points
                .iter()
                .map(|point| RimPoint {
                    angle_deg: point.at.to_deg(),
                    mm: point.displacement.to_mm(),
                })
                .collect();
            drawn(&visit.wheel, Some((*axis, points)))
        }
    }
}

fn in_force(visit: &Visit, tensions: &Tensions, unit: ForceUnit) -> Watched {
    let read = |force: Force| unit.read(force);
    let pattern = pattern::watch(&visit.wheel, tensions, visit.settings.evenness_prior);
    let level = |spoke: SpokeIndex| match &tensions.spokes[spoke.0] {
        Tension::Measured(found) => Level::Read(Interval::around(
            read(found.force),
            words::K * read(found.u()),
        )),
        Tension::MoreThan(force) => Level::MoreThan(read(*force)),
        Tension::LessThan(force) => Level::LessThan(read(*force)),
        Tension::NoCurve | Tension::NotRead => Level::NotYet,
    };
    let again: Vec<SpokeIndex> = pattern.suspicious.iter().map(|one| one.spoke).collect();
    let mut rim = strip(&visit.wheel, "tension", unit.symbol(), level, &again);
    let (by_kind, _) = groups(&visit.wheel, tensions);
    let on = |side: Side| by_kind.iter().filter(|group| group.side == side).count();
    for group in &by_kind {
        let Ok(force) = &group.force else { continue };
        let kind = group.kind.filter(|_| on(group.side) > 1);
        let name = kind.map_or("mean", |kind| visit.wheel.kinds[kind.0].name.as_str());
        let (mean_n, u_n) = (force.mean_n.value, words::K * force.mean_n.u);
        rim.means.push(StripMean {
            side: group.side,
            series: Series::First,
            value: read(Force::n(mean_n)),
            words: format!("{name} {}", words::bare_force(mean_n, u_n, unit)),
        });
    }
    let questions = pattern::questions(&visit.wheel, tensions.state, &pattern, |_| None);
    Watched {
        picture: Figure::UnrolledRim(rim),
        questions: findings(&questions),
    }
}

fn in_own_unit(
    visit: &Visit,
    lap: &Lap,
    read: &[(SpokeIndex, f64)],
    u: f64,
    quantity: &str,
    unit: &str,
) -> Watched {
    let wheel = &visit.wheel;
    let value = |spoke: SpokeIndex| {
        let found = read.iter().rfind(|(other, _)| *other == spoke);
        found.map(|(_, value)| *value)
    };
    let mut again = Vec::new();
    let mut means = Vec::new();
    for (side, _, members) in wheel.groups() {
        let (spokes, values): (Vec<SpokeIndex>, Vec<f64>) = members
            .iter()
            .filter_map(|spoke| Some((*spoke, value(*spoke)?)))
            .unzip();
        if values.is_empty() {
            continue;
        }
        again.extend(outlying(&values, u).into_iter().map(|place| spokes[place]));
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        means.push(StripMean {
            side,
            series: Series::First,
            value: mean,
            words: match u {
                0.0 => format!("mean {mean:.1}"), // of a gauge that is not named
                _ => format!("mean {}", words::plain(mean, words::K * u / count.sqrt())),
            },
        });
    }
    let level = |spoke: SpokeIndex| {
        value(spoke).map_or(Level::NotYet, |value| {
            Level::Read(Interval::around(value, words::K * u))
        })
    };
    let mut rim = strip(wheel, quantity, unit, level, &again);
    rim.means = means;
    let questions: Vec<Finding> = again
        .iter()
        .map(|spoke| question(wheel, lap, *spoke))
        .collect();
    Watched {
        questions: findings(&questions),
        picture: Figure::UnrolledRim(rim),
    }
}

fn question(wheel: &Wheel, lap: &Lap, spoke: SpokeIndex) -> Finding {
    let of = &wheel.spokes[spoke.0];
    let is_blade = matches!(wheel.kind_of(of).section, Some(section) if !matches!(section, wheel::Section::Wire(_)));
    let why = match (&lap.taken, is_blade) {
        (Taken::Pitch { .. }, _) => "a touching spoke, or a slip of the pen?",
        (_, true) => "twisted blade, slipped gauge or a slip of the pen?",
        (_, false) => "slipped gauge or a slip of the pen?",
    };
    Finding {
        weight: Weight::Question,
        about: "take-again",
        says: format!(
            "{} {} is far out of its side: {why} Take it again.",
            spoke.number(),
            of.side.word()
        ),
        spokes: vec![spoke],
    }
}

fn drawn(wheel: &Wheel, runout: Option<(Axis, Vec<RimPoint>)>) -> Watched {
    let mut rim = strip(wheel, "tension", "", |_| Level::NotYet, &[]);
    if let Some((axis, points)) = runout.filter(|(_, points)| !points.is_empty()) {
        let values = points.iter().map(|point| point.mm);
        let high = values.clone().fold(f64::NEG_INFINITY, f64::max);
        let low = values.fold(f64::INFINITY, f64::min);
        rim.runouts.push(StripRunout {
            kind: match axis {
                Axis::Lateral => RunoutKind::Lateral,
                Axis::Radial => RunoutKind::Radial,
            },
            points,
            words: format!("{:.2} mm so far", high - low),
        });
    }
    Watched {
        picture: Figure::UnrolledRim(rim),
        questions: Vec::new(),
    }
}

fn strip(
    wheel: &Wheel,
    quantity: &str,
    unit: &str,
    level: impl Fn(SpokeIndex) -> Level,
    again: &[SpokeIndex],
) -> UnrolledRim {
    let spokes = wheel.placed().map(|(spoke, of)| {
        let is_again = again.contains(&spoke);
        StripSpoke {
            spoke,
            side: of.side,
            angle_deg: of.seat_angle().to_deg(),
            level: level(spoke),
            second: None,
            mark: if is_again {
                Mark::TakeAgain
            } else {
                Mark::Taken
            },
            word: if is_again {
                "take again".into()
            } else {
                String::new()
            },
        }
    });
    UnrolledRim {
        title: "Readings so far".into(),
        caption: String::new(),
        quantity: quantity.into(),
        unit: unit.into(),
        begins_at: None,
        spokes: spokes.collect(),
        pair: None,
        means: Vec::new(),
        limits: Vec::new(),
        runouts: Vec::new(),
    }
}
