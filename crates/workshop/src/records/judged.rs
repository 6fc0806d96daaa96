//! What a wheel is held against: limits with their source, and claims.

use super::compose::{side_of, wheel_of};
use super::{Error, Id, Pen, Shop, Written};
use crate::clock;
use crate::typed::{self, NoNumber};
use ledger::entry::{Claim, Face, Limit, State};
use metrology::conformity::{self, ClaimQuantity, ClaimScope};
use metrology::visit::PressureLimit;
use quantity::{Force, Pressure};
use wheel::limit::{Condition, Part};
use wheel::{KindIndex, Side, Wheel};

/// A limit as a person enters it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LimitAsked {
    /// `spoke`, `thread`, `nipple`, `rim`, `hub`; for a pressure any part.
    pub part: String,
    /// The number with its unit as it was typed: `125 kgf`, `6 bar`.
    pub value: String,
    /// The state it was given for, when it is one of tension.
    pub state: Option<State>,
    /// The side it is for, when it is for one.
    pub side: Option<Face>,
    /// The spoke kind it is for, when it is for one.
    pub spoke_kind: Option<String>,
    /// Where it stands.
    pub source: String,
    /// When it was noted, `YYYY-MM-DD`; today when left empty.
    pub noted: Option<String>,
}

/// A claim as a person enters it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ClaimAsked {
    /// In the words of who claims it.
    pub text: String,
    /// `tension_loss_percent`, `mass_g`, `lateral_fir_mm`, `radial_fir_mm`, `evenness_percent`.
    pub quantity: String,
    /// The most it may be.
    pub at_most: Option<f64>,
    /// The least it may be.
    pub at_least: Option<f64>,
    /// `right`, `left` or `whole`, when it names one.
    pub of_what: Option<String>,
    /// What is on the wheel, when it is about a mass.
    pub dress: Option<Vec<String>>,
    /// Where it stands.
    pub source: Option<String>,
}

impl Shop {
    /// Notes a limit of a wheel, of a part, or for one visit.
    ///
    /// # Errors
    /// [`Error`] when no limit of a wheel reads like that, or there is nothing it could be about.
    pub async fn note_limit(
        &self,
        pen: &Pen,
        about: Id,
        asked: LimitAsked,
    ) -> Result<Written, Error> {
        let limit = limit(about, asked, today)?;
        self.sound_judged(about, Some(&limit), None).await?;
        self.enter(pen, limit).await
    }

    /// Notes a limit otherwise; `seen` is the entry that was shown. Left empty, the day it was noted stays.
    ///
    /// # Errors
    /// As [`Shop::note_limit`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_limit(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        asked: LimitAsked,
    ) -> Result<Written, Error> {
        let standing = self.current::<Limit>(seen).await?.body;
        let limit = limit(standing.about, asked, || standing.noted)?;
        self.sound_judged(limit.about, Some(&limit), None).await?;
        self.correct(pen, seen, why, limit).await
    }

    /// Notes a claim about a wheel, or to be judged in one visit.
    ///
    /// # Errors
    /// [`Error`] when no claim reads like that.
    pub async fn note_claim(
        &self,
        pen: &Pen,
        about: Id,
        asked: ClaimAsked,
    ) -> Result<Written, Error> {
        let claim = claim(about, asked);
        self.sound_judged(about, None, Some(&claim)).await?;
        self.enter(pen, claim).await
    }

    /// Notes a claim otherwise; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// As [`Shop::note_claim`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_claim(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        asked: ClaimAsked,
    ) -> Result<Written, Error> {
        let about = self.current::<Claim>(seen).await?.body.about;
        let claim = claim(about, asked);
        self.sound_judged(about, None, Some(&claim)).await?;
        self.correct(pen, seen, why, claim).await
    }

    /// Whether the reader of visit files takes a limit and a claim.
    async fn sound_judged(
        &self,
        about: Id,
        limit: Option<&Limit>,
        claim: Option<&Claim>,
    ) -> Result<(), Error> {
        let wheel = self.wheel_of_thing(about).await?;
        let (wheel, _) = wheel_of(&wheel.body)?;
        super::visit::sound(wheel, |visit| {
            if let Some(limit) = limit {
                match limit_of(limit, &visit.wheel)? {
                    AnyLimit::Tension(limit) => visit.limits.push(limit),
                    AnyLimit::Pressure(limit) => visit.pressure_limits.push(limit),
                }
            }
            if let Some(claim) = claim {
                visit.claims.push(claim_of(claim)?);
            }
            Ok(())
        })
    }
}

/// A limit as it was asked for.
fn limit(about: Id, asked: LimitAsked, day: impl FnOnce() -> String) -> Result<Limit, Error> {
    let (value, unit) = number_and_unit(&asked.value)?;
    let quantity = match unit {
        "bar" | "psi" | "kpa" => "pressure",
        _ => "tension",
    };
    Ok(Limit {
        about,
        part: asked.part,
        quantity: quantity.into(),
        value,
        unit: unit.into(),
        state: asked.state,
        side: asked.side,
        spoke_kind: asked.spoke_kind,
        source: asked.source,
        noted: asked.noted.unwrap_or_else(day),
    })
}

/// A claim as it was made.
fn claim(about: Id, asked: ClaimAsked) -> Claim {
    Claim {
        about,
        text: asked.text,
        quantity: asked.quantity,
        at_most: asked.at_most,
        at_least: asked.at_least,
        of_what: asked.of_what,
        dress: asked.dress,
        source: asked.source,
    }
}

/// Today's date in the zone of the clock on the wall.
pub(super) fn today() -> String {
    let now = clock::told(clock::now(), &clock::zone());
    now.split('T').next().unwrap_or_default().into()
}

/// A number and its unit out of what was typed, as in `125 kgf` or `6,5 bar`.
pub(super) fn number_and_unit(given: &str) -> Result<(f64, &'static str), Error> {
    const UNITS: [&str; 6] = ["kgf", "n", "lbf", "bar", "psi", "kpa"];
    let wrong = || Error::NotThat {
        given: given.trim().into(),
        what: "number with a unit",
        mend:
            "Write the unit behind the number: `125 kgf`, `1200 N`, `270 lbf`, `6 bar`, `87 psi`. \
               `kg` is a mass: is kgf meant?"
                .into(),
    };
    let text = given.trim();
    let end = text.find(|c: char| c.is_alphabetic()).ok_or_else(wrong)?;
    let (number, unit) = text.split_at(end);
    let unit = unit.trim().to_lowercase();
    let unit = UNITS.into_iter().find(|known| *known == unit);
    let unit = unit.ok_or_else(wrong)?;
    match typed::number(number) {
        Ok(value) => Ok((value, unit)),
        Err(NoNumber::Other) => Err(wrong()),
        Err(grouped @ NoNumber::Grouped) => Err(Error::NotThat {
            given: text.into(),
            what: "number with a unit",
            mend: grouped.to_string(),
        }),
    }
}

/// A pressure out of a number and a unit.
pub(super) fn pressure_of(value: f64, unit: &str) -> Option<Pressure> {
    match unit {
        "bar" => Some(Pressure::bar(value)),
        "psi" => Some(Pressure::psi(value)),
        "kpa" => Some(Pressure::pa(1000.0 * value)),
        _ => None,
    }
}

/// A limit as the survey takes it.
#[derive(Debug)]
pub(super) enum AnyLimit {
    Tension(wheel::limit::Limit),
    Pressure(PressureLimit),
}

/// A limit's entry as the survey takes it.
pub(super) fn limit_of(limit: &Limit, wheel: &Wheel) -> Result<AnyLimit, Error> {
    let no_unit = || Error::NotThat {
        given: format!("{} {}", limit.value, limit.unit),
        what: "limit of tension or pressure",
        mend: "Its unit is kgf, N, lbf, or bar, psi, kPa.".into(),
    };
    if limit.quantity == "pressure" {
        return Ok(AnyLimit::Pressure(PressureLimit {
            part: limit.part.clone(),
            pressure: pressure_of(limit.value, &limit.unit).ok_or_else(no_unit)?,
            source: limit.source.clone(),
            noted: limit.noted.clone(),
        }));
    }
    let tension = match limit.unit.as_str() {
        "kgf" => Force::kgf(limit.value),
        "n" => Force::n(limit.value),
        "lbf" => Force::lbf(limit.value),
        _ => return Err(no_unit()),
    };
    let kind = limit.spoke_kind.as_ref().map(|name| {
        let found = wheel.kinds.iter().position(|kind| kind.name == *name);
        found.map(KindIndex).ok_or_else(|| Error::NotThat {
            given: name.clone(),
            what: "spoke kind of this wheel",
            mend: format!(
                "It has {}.",
                words(wheel.kinds.iter().map(|kind| &*kind.name))
            ),
        })
    });
    Ok(AnyLimit::Tension(wheel::limit::Limit {
        part: chosen(&limit.part, "part whose tension is limited", &PARTS)?,
        tension,
        condition: match limit.state {
            Some(State::Bare) => Condition::Bare,
            Some(State::Tyred) => Condition::Tyred,
            None => {
                return Err(Error::Unsaid {
                    what: "whether the limit holds bare or tyred",
                    mend: "A tyre takes tension away, so the same number means something else with one on.",
                });
            }
        },
        source: limit.source.clone(),
        noted: limit.noted.clone(),
        side: limit.side.map(side_of),
        kind: kind.transpose()?,
    }))
}

/// A claim's entry as the survey takes it.
pub(super) fn claim_of(claim: &Claim) -> Result<conformity::Claim, Error> {
    Ok(conformity::Claim {
        text: claim.text.clone(),
        quantity: chosen(
            &claim.quantity,
            "quantity that a claim can be about",
            &QUANTITIES,
        )?,
        at_least: claim.at_least,
        at_most: claim.at_most,
        scope: match &claim.of_what {
            None => ClaimScope::Unnamed,
            Some(of) => chosen(of, "part of a wheel that a claim can name", &SCOPES)?,
        },
        dress: claim.dress.clone().unwrap_or_default(),
        source: claim.source.clone(),
    })
}

const PARTS: [(&str, Part); 5] = [
    ("spoke", Part::Spoke),
    ("thread", Part::Thread),
    ("nipple", Part::Nipple),
    ("rim", Part::Rim),
    ("hub", Part::Hub),
];

const QUANTITIES: [(&str, ClaimQuantity); 5] = [
    ("tension_loss_percent", ClaimQuantity::TensionLossPercent),
    ("mass_g", ClaimQuantity::MassG),
    ("lateral_fir_mm", ClaimQuantity::LateralFirMm),
    ("radial_fir_mm", ClaimQuantity::RadialFirMm),
    ("evenness_percent", ClaimQuantity::EvennessPercent),
];

const SCOPES: [(&str, ClaimScope); 3] = [
    ("whole", ClaimScope::Whole),
    ("right", ClaimScope::Side(Side::Right)),
    ("left", ClaimScope::Side(Side::Left)),
];

/// The word of a part, a quantity or a scope.
pub(super) fn part_word(part: Part) -> &'static str {
    word(&PARTS, part)
}

pub(super) fn quantity_word(quantity: ClaimQuantity) -> &'static str {
    word(&QUANTITIES, quantity)
}

pub(super) fn scope_word(scope: ClaimScope) -> Option<&'static str> {
    SCOPES
        .iter()
        .find(|(_, known)| *known == scope)
        .map(|(word, _)| *word)
}

fn word<T: PartialEq>(known: &[(&'static str, T)], of: T) -> &'static str {
    let found = known.iter().find(|(_, known)| *known == of);
    found.map_or("", |(word, _)| word)
}

fn chosen<T: Copy>(
    given: &str,
    what: &'static str,
    known: &[(&'static str, T)],
) -> Result<T, Error> {
    let found = known.iter().find(|(word, _)| *word == given);
    found.map(|(_, of)| *of).ok_or_else(|| Error::NotThat {
        given: given.into(),
        what,
        mend: format!(
            "It is one of {}.",
            words(known.iter().map(|(word, _)| *word))
        ),
    })
}

fn words<'w>(words: impl Iterator<Item = &'w str>) -> String {
    words.collect::<Vec<_>>().join(", ")
}
