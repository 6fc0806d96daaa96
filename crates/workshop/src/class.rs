//! What the shop calls true, round, even and centred, and how what was measured stands against it.

use crate::view::{Quantity, SideStates, StateNumbers, SurveyView};
use crate::words;
use metrology::conformity::{ClaimVerdict, probability_between};
use truing::class::Class;

/// A number against what the class allows.
#[derive(Debug, Clone, PartialEq)]
pub struct AgainstClass {
    /// Such as `lateral runout`.
    pub what: String,
    /// What was found, with its uncertainty.
    pub found: String,
    /// What the class allows.
    pub allows: String,
    /// `of it`, `cannot tell` or `not of it`.
    pub verdict: &'static str,
    /// Probability that the wheel is within it, given the readings.
    pub probability: f64,
}

/// What was measured against the class, number by number; what was not measured is not there.
///
/// A verdict falls as for a claim: at the probability that the shop decides at. The probability is that of a
/// normal distribution about what was found.
#[must_use]
pub fn against(view: &SurveyView, class: &Class) -> Vec<AgainstClass> {
    let mut lines = Vec::new();
    let runouts = [
        (
            "lateral runout",
            view.runout.lateral_fir_mm,
            class.lateral_fir,
        ),
        ("radial runout", view.runout.radial_fir_mm, class.radial_fir),
    ];
    for (what, found, most) in runouts {
        let most = most.to_mm();
        lines.extend(found.map(|found| AgainstClass {
            found: words::millimetres(found.value, found.expanded()),
            allows: format!("{most} mm"),
            ..line(what.into(), below(found, most), view.decide_at)
        }));
    }
    lines.extend(view.runout.dish_mm.map(|found| {
        let most = class.dish.to_mm();
        let within = probability_between(found.value, found.u, -most, most);
        AgainstClass {
            found: words::millimetres(found.value, found.expanded()),
            allows: format!("± {most} mm"),
            ..line("rim off the middle".into(), within, view.decide_at)
        }
    }));
    for group in &view.groups {
        lines.extend(
            even(&group.states, view.decide_at, class).map(|line| AgainstClass {
                what: format!("{} {}: {}", group.side, group.kind, line.what),
                ..line
            }),
        );
    }
    lines
}

/// Evenness bare, where that was read, else with the tyre on.
fn even(states: &SideStates, decide_at: f64, class: &Class) -> Option<AgainstClass> {
    let of = |numbers: &Option<StateNumbers>| numbers.as_ref()?.sd_without_noise_percent;
    let (found, state) = match (of(&states.bare), of(&states.tyred)) {
        (Some(bare), _) => (bare, "bare"),
        (None, Some(tyred)) => (tyred, "tyre on"),
        (None, None) => return None,
    };
    let most = class.tension_sd_percent;
    Some(AgainstClass {
        found: words::percent(found.value, found.expanded()),
        allows: format!("{most} %"),
        ..line(format!("evenness, {state}"), below(found, most), decide_at)
    })
}

fn below(found: Quantity, most: f64) -> f64 {
    probability_between(found.value, found.u, f64::NEG_INFINITY, most)
}

fn line(what: String, probability: f64, decide_at: f64) -> AgainstClass {
    AgainstClass {
        what,
        found: String::new(),
        allows: String::new(),
        verdict: match ClaimVerdict::at(probability, decide_at) {
            ClaimVerdict::Shown => "of it",
            ClaimVerdict::Undecided => "cannot tell",
            ClaimVerdict::Refuted => "not of it",
        },
        probability,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the standard normal table, Φ(1) = 0.8413 and Φ(1.4) = 0.9192. That this is the probability of conformity
    /// with one limit is JCGM 106:2012, chapter 7, from memory.
    #[test]
    fn number_near_the_edge_cannot_be_told() {
        for (found, p) in [(0.18, 0.8413), (0.172, 0.9192)] {
            let below = below(Quantity::new(found, 0.02), 0.20);
            assert!((below - p).abs() < 5e-5, "{below} {p}");
            assert_eq!(line(String::new(), below, 0.95).verdict, "cannot tell");
        }
    }

    #[test]
    fn verdict_falls_where_the_shop_decides() {
        for (p, verdict) in [
            (0.99, "of it"),
            (0.95, "of it"),
            (0.94, "cannot tell"),
            (0.06, "cannot tell"),
            (0.04, "not of it"),
        ] {
            assert_eq!(line(String::new(), p, 0.95).verdict, verdict, "{p}");
        }
    }
}
