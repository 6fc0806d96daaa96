//! The document that is handed over: verdict first, then what it rests on.

mod figures;
mod numbers;
mod sections;
mod verdicts;

use crate::words;
use metrology::conformity::{ClaimVerdict, LimitVerdict};
use metrology::survey::Survey;
use metrology::visit::Visit;
use metrology::{Weight, lap::State};
use quantity::force::ForceUnit;
use report::document::{Document, Fact, Signature, SignatureLine, Standing, Text, Verdict};
use wheel::SpokeIndex;

pub use figures::{bare_against_tyred, curve, spokes};

/// The report on a visit.
#[must_use]
pub fn document(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Document {
    let (standing, sentence) = sentence(visit, survey);
    Document {
        lang: "en".into(),
        title: visit.wheel.name.clone(),
        about: about(visit),
        verdict: Verdict {
            sentence: sentence.into(),
            standing,
            grounds: grounds(visit, survey, unit),
        },
        sections: sections::all(visit, survey, unit),
        signature: Some(Signature {
            statement: Text::from(
                "Measured on the day and in the state above. Evidence, not permission to ride: makers' instructions and limits prevail, and a qualified mechanic decides.",
            ),
            lines: vec![
                SignatureLine {
                    role: "measured and signed".into(),
                    name: visit.by.clone(),
                    date: String::new(),
                    place: String::new(),
                },
                SignatureLine {
                    role: "second pair of eyes".into(),
                    name: String::new(),
                    date: String::new(),
                    place: String::new(),
                },
            ],
        }),
        code_line: format!(
            "rimwright survey/1 | {} | {} | seed {}",
            visit.wheel.name, visit.taken, survey.seed
        ),
    }
}

/// The report as one self-contained page.
///
/// # Errors
/// When a number of it cannot be drawn.
pub fn page(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Result<String, ::report::Error> {
    ::report::html::write(&document(visit, survey, unit))
}

/// The verdict in one sentence, never greener than its evidence.
#[must_use]
pub fn sentence(visit: &Visit, survey: &Survey) -> (Standing, String) {
    if survey
        .pressures
        .iter()
        .any(|one| one.verdict == LimitVerdict::Over)
    {
        return (
            Standing::Against,
            "Not to be ridden like this: the tyre pressure is above what a part bears.".into(),
        );
    }
    let over: Vec<SpokeIndex> = {
        let mut spokes: Vec<SpokeIndex> = survey
            .limits
            .iter()
            .flat_map(|one| &one.spokes)
            .filter(|one| one.verdict == LimitVerdict::Over)
            .map(|one| one.spoke)
            .collect();
        spokes.sort_unstable();
        spokes.dedup();
        spokes
    };
    if !over.is_empty() {
        let what = spoke_list(visit, &over);
        let verb = if over.len() == 1 {
            "is over its limit"
        } else {
            "are over their limit"
        };
        return (
            Standing::Against,
            format!("Not to be handed over like this: {what} {verb}."),
        );
    }
    let over_together = survey
        .limits
        .iter()
        .any(|one| one.verdict == LimitVerdict::Over);
    if over_together {
        return (Standing::Against, "Not to be handed over like this: at least one spoke is over its limit, though the readings cannot say which.".into());
    }
    if survey.limits.is_empty() {
        return (Standing::Open, "No limit known: whether the spokes, threads, nipples, rim and hub bear these tensions cannot be told.".into());
    }
    let again = to_take_again(survey);
    let mut parts: Vec<&str> = survey
        .limits
        .iter()
        .filter(|one| one.verdict == LimitVerdict::CannotTell)
        .map(|one| words::part(one.limit.part))
        .collect();
    parts.dedup();
    if !parts.is_empty() {
        let limits = if parts.len() == 1 { "limit" } else { "limits" };
        return (
            Standing::Open,
            format!(
                "Whether every spoke is under the {limits} of the {} cannot be told from these readings.",
                parts.join(" and the ")
            ),
        );
    }
    if !again.is_empty() {
        return (
            Standing::Open,
            format!(
                "The spokes as read are under the limits given, but {} must be read again first.",
                spoke_list(visit, &again)
            ),
        );
    }
    if let Some(doubt) = survey
        .findings
        .iter()
        .find(|one| one.weight == Weight::Doubt)
    {
        return (
            Standing::Open,
            format!(
                "The spokes as read are under the limits given, but a doubt stands against the readings ({}).",
                doubt.about.replace('-', " ")
            ),
        );
    }
    if survey
        .claims
        .iter()
        .any(|one| one.verdict == ClaimVerdict::Refuted)
    {
        return (
            Standing::Clear,
            "Every spoke is under the limits given; a claim made for the wheel does not hold."
                .into(),
        );
    }
    (
        Standing::Clear,
        "Every spoke is under the limits given.".into(),
    )
}

/// The spokes to read again in either state, each once.
fn to_take_again(survey: &Survey) -> Vec<SpokeIndex> {
    let mut spokes: Vec<SpokeIndex> = [&survey.bare, &survey.tyred]
        .into_iter()
        .flatten()
        .flat_map(|state| &state.pattern.suspicious)
        .map(|one| one.spoke)
        .collect();
    spokes.sort_unstable();
    spokes.dedup();
    spokes
}

/// `spoke 7 right`, `spokes 7 right and 12 left`.
fn spoke_list(visit: &Visit, spokes: &[SpokeIndex]) -> String {
    let names: Vec<String> = spokes
        .iter()
        .map(|spoke| {
            format!(
                "{} {}",
                spoke.number(),
                visit.wheel.spokes[spoke.0].side.word()
            )
        })
        .collect();
    match names.split_last() {
        None => "no spoke".into(),
        Some((only, [])) => format!("spoke {only}"),
        Some((last, rest)) if rest.len() < 8 => format!("spokes {} and {last}", rest.join(", ")),
        Some(_) => format!("{} spokes", names.len()),
    }
}

fn about(visit: &Visit) -> Vec<Fact> {
    let mut about = vec![Fact::new(
        "taken",
        format!("{}, by {}", visit.taken, visit.by),
    )];
    if let Some(asked) = &visit.asked {
        about.push(Fact::new("asked", asked.clone()));
    }
    let count = |side: wheel::Side| {
        visit
            .wheel
            .spokes
            .iter()
            .filter(|spoke| spoke.side == side)
            .count()
    };
    about.push(Fact::new(
        "wheel",
        format!(
            "{} spokes, {} right and {} left",
            visit.wheel.spokes.len(),
            count(wheel::Side::Right),
            count(wheel::Side::Left)
        ),
    ));
    about
}

/// What the sentence rests on.
fn grounds(visit: &Visit, survey: &Survey, unit: ForceUnit) -> Vec<Text> {
    let mut grounds: Vec<Text> = survey
        .limits
        .iter()
        .map(|judged| {
            let chance = judged
                .probability
                .map_or("not known for every spoke".into(), |p| {
                    format!(
                        "probability that no spoke is above it {}",
                        words::probability(p)
                    )
                });
            Text::from(format!(
                "{}: {} ({chance}).",
                words::limit(&judged.limit, visit, unit),
                judged.verdict.word()
            ))
            .source(format!(
                "{}, noted {}",
                judged.limit.source, judged.limit.noted
            ))
        })
        .collect();
    for judged in &survey.claims {
        let chance = judged.probability.map_or("not known".into(), |p| {
            format!("probability {}", words::probability(p))
        });
        grounds.push(
            format!(
                "Claim “{}”: {} ({chance}).",
                judged.claim.text,
                judged.verdict.word()
            )
            .into(),
        );
    }
    let states: Vec<&str> = [State::Bare, State::Tyred]
        .into_iter()
        .zip([&survey.bare, &survey.tyred])
        .filter(|(_, measured)| measured.is_some())
        .map(|(state, _)| words::state(state))
        .collect();
    grounds.push(
        format!(
            "A verdict falls at a probability of {:.2}; tensions were read {}.",
            visit.settings.decide_at,
            if states.is_empty() {
                "in no state".into()
            } else {
                states.join(" and ")
            }
        )
        .into(),
    );
    grounds
}
