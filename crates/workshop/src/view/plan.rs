//! A plan, shown.

use super::{FindingView, PlannedLimitView, Quantity, SideMeanView, Word};
use crate::true_up::{Question, cautions, direction, hold};
use metrology::evenness::Value;
use metrology::lap::RunoutPoint;
use quantity::force::ForceUnit;
use quantity::{Angle, Force, Length};
use serde::{Deserialize, Serialize};
use truing::plan::{Enough, FewNipples, Plan};
use truing::search::Ending;
use truing::windup::{THREAD_MEAN_DIAMETER, Torsion};
use truing::{Estimate, Readings, Response, Shown};
use wheel::{Section, SpokeIndex, Wheel};

/// `rimwright.plan/1`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlanView {
    /// Name and version of this form.
    pub schema: Word,
    /// The wheel's name.
    pub wheel: String,
    /// Which round this is, from 1.
    pub round: usize,
    /// Steps in a whole turn.
    pub steps_in_a_turn: u32,
    /// In the order of work. A nipple stands here twice when a limit wants it turned in parts.
    pub turns: Vec<TurnedView>,
    /// What the wheel shows now.
    pub now: ShownView,
    /// What it will show after the turns.
    pub expected: ShownView,
    /// `optimal`, `within_gap`, `infeasible`, `out_of_time`, or `unsearched` where nothing was to be turned.
    pub ending: Word,
    /// By how much the turns may miss the best, of the sum that was made small; null where none were searched for.
    pub gap_percent: Option<f64>,
    /// Whether the sum that was made small counts what turns add by coming out off.
    #[serde(default)]
    pub counts_scatter: bool,
    /// Nipples that were to be turned at most; null for any number.
    pub at_most: Option<usize>,
    /// No turns within the bounds bring the largest share of the class below this; 0 where rim or tension was not read.
    pub worst_share_at_least: f64,
    /// Whether the next turn would be of no use.
    pub good_enough: bool,
    /// Why: `of_its_class`, `read_is_of_its_class` where a part of the class was not read, `most_likely_of_its_class`,
    /// `of_its_class_and_no_better` where work has begun or more was asked for, or `within_the_noise`.
    pub enough: Option<Word>,
    /// Probability that what was read of the class is within it.
    #[serde(default)]
    pub of_its_class_p: Option<f64>,
    /// Whether all spokes together are under their limits now: `under`, `cannot tell` or `over`; null where a spoke's limit is
    /// not known, or its tension was not read.
    #[serde(default)]
    pub limits_kept: Option<Word>,
    /// The probability at which class and limits are decided.
    #[serde(default)]
    pub decide_at: Option<f64>,
    /// What turns cannot mend.
    pub cannot: Vec<FindingView>,
    /// What the rounds taught.
    pub learned: LearnedView,
    /// How good few nipples make it, when asked.
    pub few_nipples: Vec<FewView>,
    /// What was read in this round, beside what the one before had led to expect.
    pub found: Option<FoundView>,
    /// The class asked for.
    pub class: ClassView,
    /// Mean tension that one side is to have; null keeps the level.
    #[serde(default)]
    pub target: Option<SideMeanView>,
    /// The makers' limits that were given.
    pub limits: Vec<PlannedLimitView>,
    /// Every spoke.
    pub spokes: Vec<PlannedSpokeView>,
    /// Where the rim is judged, from the valve hole.
    pub stations_deg: Vec<f64>,
    /// What must be known beside the plan.
    pub findings: Vec<FindingView>,
    /// Cautions.
    pub cautions: Vec<Word>,
    /// Seed of the draws.
    pub seed: u64,
}

/// Turns of one nipple.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TurnedView {
    /// Its spoke, by number.
    pub spoke: usize,
    /// Turns; tightening positive. What is turned past the mark and back is not in them.
    pub turns: f64,
    /// `right` or `left`.
    pub side: Word,
    /// The spoke's kind.
    pub kind: String,
    /// The way the hand turns.
    pub direction: Word,
    /// What to do about the spoke's twist.
    pub hold: String,
    /// Twist at this tension before the nipple moves, where it can be told.
    pub windup_deg: Option<f64>,
    /// Tension expected before.
    pub tension_before_n: f64,
    /// And after.
    pub tension_after_n: f64,
}

/// What a wheel shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShownView {
    /// Runout to the side, full indicator reading.
    pub lateral_fir_mm: Quantity,
    /// In and out.
    pub radial_fir_mm: Quantity,
    /// Evenness of the worst side and kind; null without tension.
    pub tension_sd_percent: Option<Quantity>,
    /// Mean tension of the side asked about, or of all; null without tension.
    pub mean_tension_n: Option<Quantity>,
    /// Offset of the rim; null when nobody measured it.
    pub dish_mm: Option<Quantity>,
    /// Largest share of the class taken up; 1 is its edge.
    pub worst_share: Quantity,
    /// Rim to the right at every station.
    pub lateral_mm: Vec<f64>,
    /// Rim outward at every station.
    pub radial_mm: Vec<f64>,
}

/// One spoke.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlannedSpokeView {
    /// Its number.
    pub spoke: usize,
    /// `right` or `left`.
    pub side: Word,
    /// Its kind.
    pub kind: String,
    /// Its seat, from the valve hole.
    pub seat_deg: f64,
    /// Tension now; null without tension.
    pub now_n: Option<Quantity>,
    /// Tension expected.
    pub expected_n: Option<Quantity>,
}

/// What the rounds taught.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LearnedView {
    /// What quarter turns come out at; empty before any were made.
    pub gains: Vec<GainView>,
    /// Standard uncertainty of a gauge reading.
    pub gauge_noise_percent: f64,
    /// Of a dial reading.
    pub dial_noise_mm: f64,
    /// Spokes that did not respond.
    pub unmoved: Vec<UnmovedView>,
}

/// What quarter turns on one kind come out at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct GainView {
    /// The kind.
    pub kind: String,
    /// In turns.
    pub quarter_turn_comes_out_at: Quantity,
}

/// A spoke that did not respond.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct UnmovedView {
    /// Its number.
    pub spoke: usize,
    /// The round after whose readings it was turned.
    pub round: usize,
    /// Turns asked.
    pub turned: f64,
    /// Share of them that came through.
    pub share: Quantity,
}

/// The best turns of few nipples.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FewView {
    /// Nipples at most.
    pub nipples: usize,
    /// Their turns, in the wheel's order.
    pub turns: Vec<SparseTurnView>,
    /// Largest share of the class then taken up.
    pub worst_share: f64,
    /// Whether every choice of so many nipples was looked at.
    pub proven: bool,
    /// By how much other turns of as few nipples may be better, of the sum that was made small.
    pub gap_percent: f64,
}

impl FewView {
    /// Whether no other turns of as few nipples are better, or by how much they may be.
    #[must_use]
    pub fn standing(&self) -> String {
        if self.proven {
            "proven".into()
        } else {
            format!("within {:.0} %", self.gap_percent)
        }
    }
}

/// A nipple and its turns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SparseTurnView {
    /// Its spoke.
    pub spoke: usize,
    /// Turns; tightening positive.
    pub turns: f64,
}

/// What was read in a round, beside what the one before had led to expect.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FoundView {
    /// Tension of every spoke as read; null where it was not.
    pub tension_n: Vec<Option<f64>>,
    /// Rim to the right as read, the dial's zero anywhere.
    pub lateral: Vec<RimPointView>,
    /// Rim outward as read, the dial's zero anywhere.
    pub radial: Vec<RimPointView>,
    /// What was expected; null in a first round.
    pub expected: Option<ShownView>,
    /// What the gauge was expected to show of every spoke, its own noise included; null in a first round.
    pub expected_n: Option<Vec<Quantity>>,
}

/// A reading of the dial.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RimPointView {
    /// From the valve hole.
    pub angle_deg: f64,
    /// Dial.
    pub mm: f64,
}

impl FoundView {
    /// `gauge` is the standard uncertainty of one reading as a share of it.
    pub(crate) fn of(wheel: &Wheel, read: &Readings, expected: Option<&Shown>, gauge: f64) -> Self {
        let points = |of: &[RunoutPoint]| {
            of.iter()
                .map(|point| RimPointView {
                    angle_deg: point.at.to_deg(),
                    mm: point.displacement.to_mm(),
                })
                .collect()
        };
        let reading = |place| read.tensions.iter().find(|one| one.spoke == place);
        // A reading scatters about the tension by the gauge's noise, and that is known no better than expected.
        let to_be_read = |(place, tension): (usize, &Value)| {
            let own = reading(SpokeIndex(place)).and_then(|one| one.u);
            let noise_n = own.map_or(gauge * tension.value.abs(), Force::to_n);
            Quantity::new(tension.value, tension.u.hypot(noise_n))
        };
        Self {
            tension_n: wheel
                .placed()
                .map(|(place, _)| reading(place).map(|one| one.force.to_n()))
                .collect(),
            lateral: points(&read.lateral),
            radial: points(&read.radial),
            expected: expected.map(|expected| shown(expected, false)),
            expected_n: expected
                .filter(|expected| expected.mean_tension_n.is_some())
                .map(|expected| {
                    expected
                        .tensions_n
                        .iter()
                        .enumerate()
                        .map(to_be_read)
                        .collect()
                }),
        }
    }
}

/// The class asked for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ClassView {
    /// Runout to the side.
    pub lateral_fir_mm: f64,
    /// In and out.
    pub radial_fir_mm: f64,
    /// Evenness within one side and kind.
    pub tension_sd_percent: f64,
    /// Offset of the rim either way.
    pub dish_mm: f64,
    /// Mean tension off its target.
    pub mean_percent: f64,
}

impl PlanView {
    #[expect(
        clippy::too_many_arguments,
        reason = "everything that a plan is shown with"
    )]
    pub(crate) fn of(
        wheel: &Wheel,
        response: &Response,
        estimate: &Estimate,
        plan: &Plan,
        few: &[FewNipples],
        question: &Question,
        round: usize,
        findings: Vec<FindingView>,
    ) -> Self {
        let dish_known = !estimate.unknown.contains(&truing::estimator::Unknown::Dish);
        let tensioned = plan.now.mean_tension_n.is_some();
        let (ending, gap) = match &plan.ending {
            None => ("unsearched", None),
            Some(Ending::Optimal) => ("optimal", Some(0.0)),
            Some(Ending::WithinGap { gap }) => ("within_gap", Some(*gap)),
            Some(Ending::Infeasible { .. }) => ("infeasible", None),
            Some(Ending::OutOfTime { gap }) => ("out_of_time", Some(*gap)),
        };
        let was_turned = round > 1;
        let learned = &estimate.learned;
        Self {
            schema: "rimwright.plan/1".into(),
            wheel: wheel.name.clone(),
            round,
            steps_in_a_turn: question.step.in_a_turn(),
            turns: plan
                .turns
                .iter()
                .map(|turn| turned(wheel, turn, question))
                .collect(),
            now: shown(&plan.now, dish_known),
            expected: shown(&plan.expected, dish_known),
            ending: ending.into(),
            gap_percent: gap.map(|gap| 100.0 * gap),
            counts_scatter: plan.counts_scatter,
            at_most: question.at_most,
            worst_share_at_least: plan.at_least,
            good_enough: plan.enough.is_some(),
            enough: plan.enough.map(|enough| match enough {
                Enough::OfItsClass => "of_its_class".into(),
                Enough::OfItsClassAsRead => "read_is_of_its_class".into(),
                Enough::MostLikelyOfItsClass => "most_likely_of_its_class".into(),
                Enough::OfItsClassAndNoBetter => "of_its_class_and_no_better".into(),
                Enough::WithinTheNoise => "within_the_noise".into(),
            }),
            of_its_class_p: Some(plan.said.of_its_class),
            limits_kept: plan.said.limits.map(|verdict| verdict.word().into()),
            decide_at: Some(plan.said.decide_at),
            cannot: plan.cannot.iter().map(cannot).collect(),
            learned: LearnedView {
                gains: learned
                    .gains
                    .iter()
                    .filter(|_| was_turned)
                    .map(|gain| GainView {
                        kind: wheel.kinds[gain.kind.0].name.clone(),
                        quarter_turn_comes_out_at: Quantity::new(0.25 * gain.share, 0.25 * gain.u),
                    })
                    .collect(),
                gauge_noise_percent: 100.0 * learned.gauge,
                dial_noise_mm: learned.dial.to_mm(),
                unmoved: learned
                    .unmoved
                    .iter()
                    .map(|one| UnmovedView {
                        spoke: one.spoke.number(),
                        round: one.round,
                        turned: one.turned,
                        share: Quantity::new(one.share, one.u),
                    })
                    .collect(),
            },
            few_nipples: few.iter().map(few_view).collect(),
            found: None,
            class: ClassView {
                lateral_fir_mm: question.class.lateral_fir.to_mm(),
                radial_fir_mm: question.class.radial_fir.to_mm(),
                tension_sd_percent: question.class.tension_sd_percent,
                dish_mm: question.class.dish.to_mm(),
                mean_percent: question.class.mean_percent,
            },
            target: question.target.map(SideMeanView::from),
            limits: Vec::new(),
            spokes: wheel
                .placed()
                .map(|(place, spoke)| PlannedSpokeView {
                    spoke: place.number(),
                    side: spoke.side.word().into(),
                    kind: wheel.kind_of(spoke).name.clone(),
                    seat_deg: spoke.seat_angle().to_deg(),
                    now_n: tensioned.then(|| plan.now.tensions_n[place.0].into()),
                    expected_n: tensioned.then(|| plan.expected.tensions_n[place.0].into()),
                })
                .collect(),
            stations_deg: response
                .stations()
                .iter()
                .map(|angle| angle.to_deg())
                .collect(),
            findings,
            cautions: cautions(question.hidden)
                .into_iter()
                .map(Word::from)
                .collect(),
            seed: question.seed,
        }
    }
}

fn shown(shown: &Shown, dish_known: bool) -> ShownView {
    ShownView {
        lateral_fir_mm: shown.lateral_fir_mm.into(),
        radial_fir_mm: shown.radial_fir_mm.into(),
        tension_sd_percent: shown.tension_sd_percent.map(Quantity::from),
        mean_tension_n: shown.mean_tension_n.map(Quantity::from),
        dish_mm: dish_known.then(|| shown.dish_mm.into()),
        worst_share: shown.worst_share.into(),
        lateral_mm: shown.lateral_mm.clone(),
        radial_mm: shown.radial_mm.clone(),
    }
}

fn turned(wheel: &Wheel, turn: &truing::plan::Turn, question: &Question) -> TurnedView {
    let spoke = &wheel.spokes[turn.spoke.0];
    let kind = wheel.kind_of(spoke);
    let windup = question.friction.and_then(|friction| {
        let Some(Section::Wire(diameter)) = kind.section else {
            return None;
        };
        let axial = wheel.axial_stiffness_of(spoke)?;
        Some(windup(
            axial,
            diameter,
            spoke.length(),
            friction,
            turn.tension_after,
        ))
    });
    TurnedView {
        spoke: turn.spoke.number(),
        turns: turn.turns,
        side: spoke.side.word().into(),
        kind: kind.name.clone(),
        direction: direction(turn.steps > 0, question.hidden).into(),
        hold: hold(kind, windup),
        windup_deg: windup.map(Angle::to_deg),
        tension_before_n: turn.tension_before.to_n(),
        tension_after_n: turn.tension_after.to_n(),
    }
}

fn windup(axial: Force, diameter: Length, length: Length, friction: f64, tension: Force) -> Angle {
    let torsion = Torsion {
        length,
        stiffness: Torsion::of_round_wire(axial, diameter),
        thread_radius: THREAD_MEAN_DIAMETER / 2.0,
        friction,
    };
    torsion.windup(tension)
}

fn cannot(cannot: &truing::plan::Cannot) -> FindingView {
    let (about, says, spokes) = crate::true_up::cannot(cannot, ForceUnit::Kgf);
    FindingView {
        weight: "doubt".into(),
        about: about.into(),
        says,
        spokes: spokes.into_iter().map(SpokeIndex::number).collect(),
    }
}

fn few_view(few: &FewNipples) -> FewView {
    let turns = few.turns.iter();
    FewView {
        nipples: few.nipples,
        turns: turns
            .map(|(spoke, turns)| SparseTurnView {
                spoke: spoke.number(),
                turns: *turns,
            })
            .collect(),
        worst_share: few.worst_share,
        proven: few.is_proven(),
        gap_percent: 100.0 * few.gap,
    }
}
