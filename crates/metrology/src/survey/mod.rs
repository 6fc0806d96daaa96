//! A visit, from readings to verdicts: the whole chain once.

mod claims;
mod limits;

pub use claims::{JudgedClaim, JudgedPart};
pub use limits::{JudgedLimit, JudgedPressure, SpokeVerdict};

use crate::balance::{Balance, balance, expected_ratio};
use crate::chances::{Chances, Spread, Wanted, WantedMean, chances};
use crate::evenness::{Group, Missing, Value, groups};
use crate::finding::Finding;
use crate::lap::State;
use crate::pattern::{self, Pattern};
use crate::repeat::{self, Comparison};
use crate::runout::{self, Runout};
use crate::tension::{Curves, Tensions, gauge_laps};
use crate::tyre_effect::{Drop, Part, drops, line_load};
use crate::visit::{Visit, Weighing};
use mechanics::statics::Equilibrium;
use quantity::monte_carlo::Stopping;
use quantity::{Mass, Pressure};

/// p-value below which a lap is said not to balance.
const NOT_BALANCED: f64 = 0.01;

/// When the draws of a survey stop: the digits that are printed stand still, or 200,000 are made.
pub const STOPPING: Stopping = Stopping {
    digits: 1,
    block: 5_000,
    least_blocks: 4,
    most_draws: 200_000,
};

/// A group of spokes with its mean as the draws spread it.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyedGroup {
    /// The group and its numbers.
    pub group: Group,
    /// Its mean tension in newtons, when it has one.
    pub mean_n: Option<Spread>,
}

/// One state of the wheel: bare or tyred.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyedState {
    /// The tensions.
    pub tensions: Tensions,
    /// One side and kind each.
    pub groups: Vec<SurveyedGroup>,
    /// The sides, right first.
    pub sides: Vec<SurveyedGroup>,
    /// The lap against statics, when it is complete.
    pub balance: Option<Balance>,
    /// Readings and curves that stand out.
    pub pattern: Pattern,
}

/// The drop of one part as the draws spread it.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyedDrop {
    /// The drop and what its uncertainty is made of.
    pub drop: Drop,
    /// In per cent.
    pub percent: Spread,
}

/// Two weighings of one wheel in different dress.
#[derive(Debug, Clone, PartialEq)]
pub struct DressDifference {
    /// What the heavier one carries and the lighter does not.
    pub more: Vec<String>,
    /// The difference.
    pub mass: Mass,
    /// Its standard uncertainty by the scale's steps.
    pub u: Mass,
}

/// All that a visit says.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// The curves of its rig points.
    pub curves: Curves,
    /// Without a tyre, when it was measured so.
    pub bare: Option<SurveyedState>,
    /// With the tyre on, when it was measured so.
    pub tyred: Option<SurveyedState>,
    /// What the tyre takes away: right, left, whole, as far as they can be told.
    pub drops: Vec<SurveyedDrop>,
    /// How hard the tyre presses on the rim, in N/mm toward the hub, where the wheel's constants are known.
    pub line_load_n_per_mm: Option<Value>,
    /// Left:right ratio that the geometry asks for.
    pub ratio_expected: Option<Value>,
    /// The verdict on each limit of tension, in the visit's order.
    pub limits: Vec<JudgedLimit>,
    /// The verdict on each limit of pressure.
    pub pressures: Vec<JudgedPressure>,
    /// The verdict on each claim, in the visit's order.
    pub claims: Vec<JudgedClaim>,
    /// Runout laps.
    pub runouts: Vec<Runout>,
    /// Differences between weighings whose dress tells them apart.
    pub dress_differences: Vec<DressDifference>,
    /// Laps against each other.
    pub comparisons: Vec<Comparison>,
    /// What the builder must know beside all this.
    pub findings: Vec<Finding>,
    /// Draws that counted.
    pub draws: usize,
    /// Whether they stood still to the digits shown.
    pub is_settled: bool,
    /// The seed of the draws.
    pub seed: u64,
}

/// Surveys a visit; the same visit and seed give the same answer.
///
/// Never fails: what cannot be told is absent, with a finding that says why.
#[must_use]
pub fn survey(visit: &Visit, seed: u64, stopping: &Stopping) -> Survey {
    let (curves, mut findings) = Curves::of(visit);
    findings.extend(shared_points(visit));
    let comparisons = compare_laps(visit);
    findings.extend(
        comparisons
            .iter()
            .flat_map(|one| repeat::questions(visit, one)),
    );
    let bare = tensions_of(visit, &curves, State::Bare, &comparisons, &mut findings);
    let tyred = tensions_of(visit, &curves, State::Tyred, &comparisons, &mut findings);
    let drops = match (&bare, &tyred) {
        (Some(bare), Some(tyred)) => drops(&visit.wheel, bare, tyred),
        _ => Vec::new(),
    };
    let bare_groups = bare.as_ref().map(|tensions| groups(&visit.wheel, tensions));
    let tyred_groups = tyred
        .as_ref()
        .map(|tensions| groups(&visit.wheel, tensions));
    let mut wanted = Wanted::default();
    for (tensions, of) in [(&bare, &bare_groups), (&tyred, &tyred_groups)] {
        let Some((tensions, (by_kind, sides))) = tensions.as_ref().zip(of.as_ref()) else {
            continue;
        };
        for group in by_kind.iter().chain(sides) {
            if let Ok(force) = &group.force {
                wanted.means.push(WantedMean {
                    tensions,
                    spokes: &group.read,
                    linear: force.mean_n,
                });
            }
        }
    }
    if let (Some(bare), Some(tyred)) = (&bare, &tyred) {
        wanted.drops = drops.iter().map(|drop| (drop, bare, tyred)).collect();
    }
    claims::ask(visit, &drops, &mut wanted);
    limits::ask(visit, bare.as_ref(), tyred.as_ref(), &mut wanted);
    let chances = chances(&curves, &wanted, stopping, seed).unwrap_or_else(|error| {
        findings.push(Finding::doubt(
            "no-draws",
            format!("The uncertainties could not be drawn: {error}."),
        ));
        Chances::default()
    });
    if !chances.is_settled && chances.draws > 0 {
        findings.push(Finding::note("draws-unsettled", format!("After {} draws an interval still moved in its last digit: its tails are heavy. One more rig point tames them.", chances.draws)));
    }
    let mut means = chances.means.iter().copied();
    let mut with_means = |of: Option<(Vec<Group>, Vec<Group>)>| {
        of.map(|(by_kind, sides)| {
            let mut each = |group: Group| {
                let mean_n = group.force.is_ok().then(|| means.next()).flatten();
                SurveyedGroup { group, mean_n }
            };
            let by_kind: Vec<_> = by_kind.into_iter().map(&mut each).collect();
            (
                by_kind,
                sides.into_iter().map(&mut each).collect::<Vec<_>>(),
            )
        })
    };
    let (bare_surveyed, tyred_surveyed) = (with_means(bare_groups), with_means(tyred_groups));
    let surveyed_drops: Vec<SurveyedDrop> = drops
        .iter()
        .zip(&chances.drops)
        .map(|(drop, percent)| SurveyedDrop {
            drop: drop.clone(),
            percent: *percent,
        })
        .collect();
    let runouts = runout::runouts(visit);
    let claims = claims::judge(
        visit,
        &curves,
        (bare.as_ref(), tyred.as_ref()),
        (&bare_surveyed, &tyred_surveyed),
        &surveyed_drops,
        &runouts,
        &chances,
    );
    let limits = limits::judge(visit, &curves, bare.as_ref(), tyred.as_ref(), &chances);
    let pressures = limits::pressures(visit, &mut findings);
    let line_load_n_per_mm = match (&bare, &tyred) {
        (Some(bare), Some(tyred)) => line_load(&visit.wheel, bare, tyred)
            .map_err(|why| {
                let says = format!("How hard the tyre presses on the rim is not told: {why}.");
                findings.push(Finding::note("no-line-load", says));
            })
            .ok(),
        _ => None,
    };
    let bare = surveyed_state(visit, bare, bare_surveyed, &mut findings);
    let tyred = surveyed_state(visit, tyred, tyred_surveyed, &mut findings);
    general_findings(visit, &runouts, &mut findings);
    Survey {
        ratio_expected: expected_ratio(&visit.wheel, &Equilibrium::of(&visit.wheel)),
        dress_differences: dress_differences(&visit.weighings),
        drops: surveyed_drops,
        line_load_n_per_mm,
        draws: chances.draws,
        is_settled: chances.is_settled,
        curves,
        bare,
        tyred,
        limits,
        pressures,
        claims,
        runouts,
        comparisons,
        findings,
        seed,
    }
}

impl Survey {
    /// The drop of a part.
    #[must_use]
    pub fn drop_of(&self, part: Part) -> Option<&SurveyedDrop> {
        self.drops.iter().find(|one| one.drop.part == part)
    }
}

/// One curve's points handed in for two kinds: a question, since a curve belongs to one kind.
fn shared_points(visit: &Visit) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (place, one) in visit.calibrations.iter().enumerate() {
        for other in &visit.calibrations[place + 1..] {
            if one.kind != other.kind
                && one.gauge.label == other.gauge.label
                && one.points == other.points
            {
                let name = |kind: wheel::KindIndex| &visit.wheel.kinds[kind.0].name;
                findings.push(Finding::doubt("one-curve-two-kinds", format!("{} and {} are read through the same rig points. A gauge reads another section differently at the same force: stretch each kind on the rig.", name(one.kind), name(other.kind))));
            }
        }
    }
    findings
}

fn compare_laps(visit: &Visit) -> Vec<Comparison> {
    let mut laps = gauge_laps(visit, State::Bare);
    laps.extend(gauge_laps(visit, State::Tyred));
    laps.sort_unstable();
    let mut comparisons = Vec::new();
    for (place, second) in laps.iter().enumerate() {
        // Against the first lap of its own state where there is one, else against the first of all.
        let same = laps[..place]
            .iter()
            .find(|first| visit.laps[**first].state == visit.laps[*second].state);
        if let Some(first) = same.or(laps[..place].first()) {
            comparisons.extend(repeat::compare(visit, *first, *second));
        }
    }
    comparisons
}

/// The tensions of one state; laps whose order is in question or whose pressure differs stay out.
fn tensions_of(
    visit: &Visit,
    curves: &Curves,
    state: State,
    comparisons: &[Comparison],
    findings: &mut Vec<Finding>,
) -> Option<Tensions> {
    let mut laps = gauge_laps(visit, state);
    laps.retain(|lap| {
        !comparisons.iter().any(|one| {
            one.second == *lap && one.alignment.is_some() && visit.laps[one.first].state == state
        })
    });
    let pressure = visit.laps[*laps.first()?].pressure;
    let (same, other): (Vec<usize>, Vec<usize>) = laps
        .into_iter()
        .partition(|lap| visit.laps[*lap].pressure == pressure);
    if !other.is_empty() {
        let bar = |pressure: Option<Pressure>| pressure.map_or(0.0, Pressure::to_bar);
        let used = bar(pressure);
        findings.push(Finding::note("other-pressure", format!("The tyred laps stand at different pressures: the numbers here are for {used:.1} bar, laps at other pressures are kept but not used.")));
    }
    Some(Tensions::of(visit, curves, state, &same))
}

fn surveyed_state(
    visit: &Visit,
    tensions: Option<Tensions>,
    groups: Option<(Vec<SurveyedGroup>, Vec<SurveyedGroup>)>,
    findings: &mut Vec<Finding>,
) -> Option<SurveyedState> {
    let (tensions, (groups, sides)) = tensions.zip(groups)?;
    let pattern = pattern::watch(&visit.wheel, &tensions, visit.settings.evenness_prior);
    let is_true = |spoke| runout::is_true_at(visit, &visit.wheel, spoke);
    findings.extend(pattern::questions(
        &visit.wheel,
        tensions.state,
        &pattern,
        is_true,
    ));
    let balance = balance(&visit.wheel, &tensions);
    if let Some(balance) = balance.as_ref().filter(|one| one.p_value < NOT_BALANCED) {
        findings.push(Finding::question("unbalanced", format!("{} the spokes as read would pull the hub out of place (p = {:.1e}): a reading, a curve or the geometry is not as given.", in_state(tensions.state), balance.p_value)));
    }
    let (mut outside, mut curveless) = (Vec::new(), Vec::new());
    for missing in groups
        .iter()
        .filter_map(|one| one.group.force.as_ref().err())
    {
        match missing {
            Missing::OutsideRange(spokes) => outside.extend(spokes),
            Missing::NoCurve(spokes) => curveless.extend(spokes),
            Missing::Unread => {}
        }
    }
    outside.sort_unstable();
    curveless.sort_unstable();
    if !outside.is_empty() {
        findings.push(Finding::doubt("outside-range", format!("{} some readings lie outside the range of the rig points: they give a bound, no force, and their group no mean. Take a rig point beyond them.", in_state(tensions.state))).on(outside));
    }
    if !curveless.is_empty() {
        findings.push(Finding::doubt("no-curve", format!("{} some spokes were read with a gauge that has no rig points for their kind: no force is given. Stretch one on the rig.", in_state(tensions.state))).on(curveless));
    }
    let unread: Vec<_> = tensions
        .spokes
        .iter()
        .enumerate()
        .filter(|(_, one)| matches!(one, crate::tension::Tension::NotRead))
        .map(|(place, _)| wheel::SpokeIndex(place))
        .collect();
    if !unread.is_empty() {
        findings.push(Finding::note("not-read", format!("{} {} of {} spokes were not read: means are of the others, and the hub's statics cannot be asked.", in_state(tensions.state), unread.len(), tensions.spokes.len())).on(unread));
    }
    Some(SurveyedState {
        tensions,
        groups,
        sides,
        balance,
        pattern,
    })
}

fn in_state(state: State) -> &'static str {
    match state {
        State::Bare => "Bare:",
        State::Tyred => "Tyred:",
    }
}

fn general_findings(visit: &Visit, runouts: &[Runout], findings: &mut Vec<Finding>) {
    if visit.limits.is_empty() {
        findings.push(Finding::doubt("no-limit", "No limit known: nobody has given a maker's limit of tension for spoke, thread, nipple, rim or hub. That is not a pass."));
    }
    if visit.wheel.doubt.dish.is_none() {
        findings.push(Finding::note("dish-unmeasured", "The dish was not measured: the rim counts as central within 1 mm, and the left:right ratio rests on that."));
    }
    if !runouts.is_empty() && visit.bearing_play != Some(false) {
        findings.push(Finding::question("bearing-play", "Runout was taken but it is not noted that the bearings are free of play: loose bearings falsify it."));
    }
    let temperatures: Vec<f64> = visit
        .laps
        .iter()
        .filter_map(|lap| lap.temperature_c)
        .collect();
    let spread = temperatures
        .iter()
        .copied()
        .fold(f64::NEG_INFINITY, f64::max)
        - temperatures.iter().copied().fold(f64::INFINITY, f64::min);
    if spread > 5.0 {
        findings.push(Finding::question("temperature", format!("The laps were taken {spread:.0} °C apart: tension moves with temperature. Let the wheel soak and take them at one temperature.")));
    }
}

/// Differences of weighings where one dress holds all of the other and more, and none lies between.
fn dress_differences(weighings: &[Weighing]) -> Vec<DressDifference> {
    let is_less = |light: &Weighing, heavy: &Weighing| {
        heavy.dress.len() > light.dress.len()
            && light.dress.iter().all(|item| heavy.dress.contains(item))
    };
    let mut differences = Vec::new();
    for light in weighings {
        for heavy in weighings.iter().filter(|heavy| is_less(light, heavy)) {
            if weighings
                .iter()
                .any(|one| is_less(light, one) && is_less(one, heavy))
            {
                continue;
            }
            let more = heavy
                .dress
                .iter()
                .filter(|item| !light.dress.contains(item));
            differences.push(DressDifference {
                more: more.cloned().collect(),
                mass: heavy.mass - light.mass,
                u: Mass::kg(light.step.to_kg().hypot(heavy.step.to_kg()) / 12_f64.sqrt()),
            });
        }
    }
    differences
}
