//! The build sheet: what to order, what to expect, what it bears.

mod expected;
mod if_off;
mod lengths;
mod loads;
mod measured;
mod page;
mod tensioned;
pub mod told;
mod tyre;

use crate::sweep::sweep;
use crate::view::{Build, BuildLimitView, BuildSheet, ClashView, FindingView, LacedView, MassView};
use quantity::{Force, Length, Mass};
use wheel::clash::{Contact, Obstacle, clashes};
use wheel::limit::Condition;
use wheel::{Head, Side, Wheel};

pub use loads::{Rider, SideLoad};
pub use measured::{as_read, measured};
pub use mechanics::hang_test::{Hung, NoFit, rim_from_hangs};
pub use page::{document, drawing, page};
pub use tyre::{TyreLoad, Unmeasured};
pub use wheel::limit::Limit;

use tensioned::Tensioned;

/// What is asked about wheels to build.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The step in which the shop can buy or cut spokes.
    pub step: Length,
    /// Spares to order with every length, in per cent of its spokes, rounded up.
    pub spares_percent: f64,
    /// Measured tyres; the one at the highest pressure is reckoned with.
    pub tyres: Vec<TyreLoad>,
    /// The tension wanted with the tyre on; none keeps the file's as the bare one.
    pub wanted: Option<Wanted>,
    /// Limits of tension, as their makers give them.
    pub limits: Vec<Limit>,
    /// A rider.
    pub rider: Option<Rider>,
    /// The static side load of a published test.
    pub side_load: SideLoad,
}

impl Default for Question {
    fn default() -> Self {
        Self {
            step: Length::mm(1.0),
            spares_percent: 10.0,
            tyres: Vec::new(),
            wanted: None,
            limits: Vec::new(),
            rider: None,
            side_load: SideLoad::default(),
        }
    }
}

/// A mean tension wanted with the tyre on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Of this side.
    pub side: Side,
    /// So much.
    pub tension: Force,
}

/// A wheel to build.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The wheel.
    pub wheel: Wheel,
    /// What reading its file found.
    pub findings: Vec<files::wheel_file::Finding>,
    /// What hang tests say of its rim, which then goes before the file's.
    pub hung: Option<Hung>,
}

impl Plan {
    /// The wheel as it is taken: its rim as hang tests show it, where there are any.
    fn taken(&self) -> Wheel {
        let mut wheel = self.wheel.clone();
        if let Some(hung) = &self.hung {
            wheel.rim = hung.rim.clone();
        }
        wheel
    }
}

/// A build sheet for each of these wheels, in their order; several are reckoned side by side on all cores.
///
/// Never fails: what cannot be told is null, with a finding that says why and what would tell it.
#[must_use]
pub fn build(plans: &[Plan], question: &Question) -> Build {
    Build {
        schema: "rimwright.build/1",
        builds: match plans {
            [plan] => vec![sheet_with_if_off(plan, question)],
            several => sweep(several, |plan| sheet(plan, question), |_| ()),
        },
    }
}

fn sheet_with_if_off(plan: &Plan, question: &Question) -> BuildSheet {
    let sheet = sheet(plan, question);
    BuildSheet {
        if_off: if_off::moved(&plan.taken(), question, &sheet),
        ..sheet
    }
}

fn sheet(plan: &Plan, question: &Question) -> BuildSheet {
    // Tensions that are missing are completed below, or said to be missing there.
    let missing = |one: &&files::wheel_file::Finding| {
        use files::wheel_file::Finding;
        matches!(one, Finding::Wheel(wheel::Finding::TensionsMissing { .. }))
    };
    let of_file = plan.findings.iter().filter(|one| !missing(one));
    let mut findings: Vec<FindingView> = of_file
        .map(|one| finding("wheel-file", one.to_string()))
        .collect();
    let wheel = &plan.taken();
    let built = Tensioned::of(wheel, question, &mut findings);
    let lengths = lengths::lengths(&built.wheel, question, &mut findings);
    let limits = limits(&built, &question.limits, &mut findings);
    let clashes = in_the_way(wheel, &mut findings);
    let structure = loads::structure(&built, &mut findings);
    BuildSheet {
        wheel: wheel.name.clone(),
        spokes: laced(wheel),
        key_spoke: key_spoke(wheel),
        lengths,
        step_mm: question.step.to_mm(),
        tensions: expected::tensions(&built),
        left_to_right: mechanics::statics::Equilibrium::of(wheel).left_to_right(wheel),
        pitch: expected::pitch(&built, &mut findings),
        mass: mass(wheel, &mut findings),
        clashes,
        hung: plan
            .hung
            .as_ref()
            .map(|hung| loads::hung(&built, hung, structure.as_ref())),
        structure,
        tyre: built.tyre.clone(),
        limits,
        warmth: expected::warmth(&built, &mut findings),
        ride: question
            .rider
            .as_ref()
            .and_then(|rider| loads::ride(&built, rider, &mut findings)),
        side_load: loads::side_load(&built, &question.side_load),
        if_off: Vec::new(),
        findings,
    }
}

fn finding(about: &'static str, says: String) -> FindingView {
    FindingView {
        weight: "question".into(),
        about: about.into(),
        says,
        spokes: Vec::new(),
    }
}

const fn head_word(head: Head) -> &'static str {
    match head {
        Head::In => "in",
        Head::Out => "out",
        Head::Straight => "straight",
    }
}

fn laced(wheel: &Wheel) -> Vec<LacedView> {
    let view = wheel.placed().map(|(place, spoke)| LacedView {
        spoke: place.number(),
        side: spoke.side.word(),
        kind: wheel.kind_of(spoke).name.clone(),
        head: head_word(spoke.head),
        seat_deg: spoke.seat_angle().to_deg(),
        hole_deg: spoke.hub.angle().to_deg(),
    });
    view.collect()
}

/// The first spoke of the right side, by number: what sets the pattern against the valve hole.
fn key_spoke(wheel: &Wheel) -> usize {
    let right = wheel
        .spokes
        .iter()
        .position(|spoke| spoke.side == Side::Right);
    right.map_or(1, |place| place + 1)
}

/// What the parts weigh, and which were not.
fn mass(wheel: &Wheel, findings: &mut Vec<FindingView>) -> MassView {
    let sum = |of: &dyn Fn(&wheel::Spoke) -> Option<Mass>| -> Option<f64> {
        let parts: Option<Vec<f64>> = wheel
            .spokes
            .iter()
            .map(|spoke| of(spoke).map(Mass::to_g))
            .collect();
        parts.map(|parts| parts.iter().sum())
    };
    let nipple = |spoke: &wheel::Spoke| wheel.fittings.of(spoke.side).nipple?.mass;
    let rim_g = wheel.rim.mass.map(Mass::to_g);
    let hub_g = wheel.fittings.hub_mass.map(Mass::to_g);
    let spokes_g = sum(&|spoke| wheel.kind_of(spoke).mass);
    let nipples_g = sum(&nipple);
    let parts = [
        (rim_g, "mass_g in [rim]"),
        (hub_g, "mass_g in [hub]"),
        (spokes_g, "mass_g in every [[kind]]"),
        (nipples_g, "nipple_mass_g in [[fitting]]"),
    ];
    let missing: Vec<&str> = parts
        .iter()
        .filter(|(part, _)| part.is_none())
        .map(|(_, key)| *key)
        .collect();
    if !missing.is_empty() {
        findings.push(finding(
            "mass",
            format!(
                "The sum of the parts' masses is not told: weigh them and give {}.",
                missing.join(", ")
            ),
        ));
    }
    let known: Option<Vec<f64>> = parts.iter().map(|(part, _)| *part).collect();
    MassView {
        rim_g,
        hub_g,
        spokes_g,
        nipples_g,
        total_g: known.map(|parts| parts.iter().sum()),
    }
}

/// Spokes in each other's or a flange's way.
fn in_the_way(wheel: &Wheel, findings: &mut Vec<FindingView>) -> Vec<ClashView> {
    let (found, unknown) = clashes(wheel);
    if !unknown.is_empty() {
        let names: Vec<&str> = unknown.iter().map(|kind| kind.name.as_str()).collect();
        findings.push(finding(
            "clash",
            format!(
                "Whether spokes of the kind {} are in each other's way is not told: give wire_mm or blade_mm.",
                names.join(", ")
            ),
        ));
    }
    if Side::BOTH
        .iter()
        .all(|side| wheel.fittings.of(*side).flange.is_none())
    {
        findings.push(finding(
            "clash",
            "Whether a spoke runs into a flange is not told: give flange_diameter_mm in [[fitting]].".into(),
        ));
    }
    let view = found.into_iter().map(|clash| {
        let (other_spoke, flange) = match clash.with {
            Obstacle::Spoke(other) => (Some(other.number()), None),
            Obstacle::Flange(side) => (None, Some(side.word())),
        };
        ClashView {
            spoke: clash.spoke.number(),
            other_spoke,
            flange,
            passes_through: clash.contact == Contact::PassesThrough,
            overlap_mm: clash.overlap.to_mm(),
            radius_mm: clash.radius.to_mm(),
        }
    });
    view.collect()
}

/// Each limit against the tightest spoke it holds for. Without any limit that is said: it is no pass.
fn limits(
    built: &Tensioned,
    limits: &[Limit],
    findings: &mut Vec<FindingView>,
) -> Vec<BuildLimitView> {
    if limits.is_empty() {
        findings.push(finding(
            "limit",
            "No limit of tension is known: ask the makers of rim, hub, spokes and nipples, and give each with its source.".into(),
        ));
    }
    let view = limits.iter().map(|limit| {
        let tensions_n = match limit.condition {
            Condition::Bare => built.bare_n.as_ref(),
            Condition::Tyred => built.tyred.as_ref().map(|tyred| &tyred.tyred_n),
        };
        let holds = |spoke: &wheel::Spoke| {
            limit.side.is_none_or(|side| side == spoke.side)
                && limit.kind.is_none_or(|kind| kind == spoke.kind)
        };
        let highest_n = tensions_n.and_then(|tensions_n| {
            let held = built
                .wheel
                .spokes
                .iter()
                .zip(tensions_n)
                .filter(|(spoke, _)| holds(spoke));
            held.map(|(_, n)| *n).max_by(f64::total_cmp)
        });
        BuildLimitView {
            part: crate::words::part(limit.part),
            at_most_n: limit.tension.to_n(),
            condition: match limit.condition {
                Condition::Bare => "bare",
                Condition::Tyred => "tyred",
            },
            source: limit.source.clone(),
            highest_n,
            over: highest_n.map(|highest_n| limit.tension.to_n() < highest_n),
        }
    });
    let view: Vec<BuildLimitView> = view.collect();
    for limit in view.iter().filter(|limit| limit.over == Some(true)) {
        findings.push(FindingView {
            weight: "doubt".into(),
            ..finding(
                "limit",
                format!(
                    "The tension expected {} is above what the {} may bear: build to less, or choose other parts.",
                    limit.condition, limit.part
                ),
            )
        });
    }
    view
}
