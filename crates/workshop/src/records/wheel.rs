//! Wheels, their parts, and who works on them.

use super::compose::wheel_of;
use super::pen::now;
use super::seen::entry_view;
use super::{Error, Id, Label, Pen, Shop, Written};
use crate::view::MechanicView;
use ledger::Kind;
use ledger::entry::{Mechanic, Part, Setting, Wheel};
use ledger::state::Current;

/// A wheel as a person takes it in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WheelAsked {
    /// The text of its wheel file.
    pub file: String,
    /// What it is called; as its file says when left empty.
    pub name: Option<String>,
    /// Whose it is.
    pub owner: Option<String>,
    /// How the owner is reached.
    pub contact: Option<String>,
    /// Anything else.
    pub note: Option<String>,
}

/// A part of a wheel as a person enters it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PartAsked {
    /// Rim, hub, spoke, nipple, tyre …
    pub what: String,
    /// Its maker.
    pub maker: Option<String>,
    /// Its model.
    pub model: Option<String>,
    /// Its lot, as it is printed.
    pub lot: Option<String>,
    /// Its serial, as it is printed.
    pub serial: Option<String>,
    /// Anything else.
    pub note: Option<String>,
}

impl Shop {
    /// Takes a wheel in; it gets the label that is to be written on it.
    ///
    /// # Errors
    /// [`Error::Wrong`] when its file describes no wheel.
    pub async fn take_in_wheel(
        &self,
        pen: &Pen,
        asked: WheelAsked,
    ) -> Result<(Label, Written), Error> {
        let label = self.ledger.free_label(now()).await?;
        let entry = self.described(label, asked)?;
        // The same form sent twice asks for one wheel: the first answer holds.
        if let Some(id) = pen.id
            && let Some(there) = self.ledger.entries(&[id]).await?.pop()
            && let ledger::Body::Wheel(wheel) = there.body
        {
            let findings = Vec::new();
            return Ok((wheel.label, Written { id, findings }));
        }
        Ok((label, self.enter(pen, entry).await?))
    }

    /// Says otherwise what a wheel is, whose it is or what it is called; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// [`Error::Wrong`] when its file describes no wheel, [`Error::Refused`] when somebody was quicker.
    pub async fn correct_wheel(
        &self,
        pen: &Pen,
        wheel: Id,
        seen: Id,
        why: &str,
        asked: WheelAsked,
    ) -> Result<Written, Error> {
        let standing: Current<Wheel> = self.current(wheel).await?;
        let entry = self.described(standing.body.label, asked)?;
        self.correct(pen, seen, why, entry).await
    }

    fn described(&self, label: Label, asked: WheelAsked) -> Result<Wheel, Error> {
        let mut wheel = Wheel {
            label,
            name: asked.name.unwrap_or_default(),
            owner: said(asked.owner),
            contact: said(asked.contact),
            file: asked.file,
            note: said(asked.note),
        };
        let (described, _) = wheel_of(&wheel)?;
        if wheel.name.trim().is_empty() {
            wheel.name = described.name;
        }
        Ok(wheel)
    }

    /// Notes a part of a wheel.
    ///
    /// # Errors
    /// [`Error`] when it does not say what it is, or the ledger refuses.
    pub async fn note_part(
        &self,
        pen: &Pen,
        wheel: Id,
        asked: PartAsked,
    ) -> Result<Written, Error> {
        self.enter(pen, part(wheel, asked)?).await
    }

    /// Notes a part otherwise; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// As [`Shop::note_part`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_part(
        &self,
        pen: &Pen,
        wheel: Id,
        seen: Id,
        why: &str,
        asked: PartAsked,
    ) -> Result<Written, Error> {
        self.correct(pen, seen, why, part(wheel, asked)?).await
    }

    /// Enters somebody who works here.
    ///
    /// # Errors
    /// [`Error::Unsaid`] without a name or initials.
    pub async fn enter_mechanic(
        &self,
        pen: &Pen,
        name: &str,
        initials: &str,
    ) -> Result<Written, Error> {
        let missing = [("the name", name), ("what is written on a row", initials)];
        if let Some((what, _)) = missing.into_iter().find(|(_, text)| text.trim().is_empty()) {
            let mend = "Say both, as in `Maren Holt` and `M`.";
            return Err(Error::Unsaid { what, mend });
        }
        let mechanic = Mechanic {
            name: name.trim().into(),
            initials: initials.trim().into(),
            note: None,
        };
        self.enter(pen, mechanic).await
    }

    /// Those who work here.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn mechanics(&self) -> Result<Vec<MechanicView>, Error> {
        let mechanics = self.in_view::<Mechanic>().await?;
        let shown = |one: &Current<Mechanic>| MechanicView {
            entry: entry_view(one),
            name: one.body.name.clone(),
            initials: one.body.initials.clone(),
        };
        Ok(mechanics.iter().map(shown).collect())
    }

    /// Settles something for the shop; the last word on a key stands. `decide_at`, `evenness_percent`,
    /// `lap_minutes`, `rig_point_minutes`, `dish_minutes` and `dial_u_mm` go into every survey; what begins with
    /// `class_` is the shop's class.
    ///
    /// # Errors
    /// [`Error::NotThat`] when a number that a survey takes is out of its range.
    pub async fn settle(&self, pen: &Pen, key: &str, value: &str) -> Result<Written, Error> {
        let range = OF_SURVEYS.iter().chain(&OF_CLASS);
        let range = range.clone().find(|(known, ..)| *known == key);
        if let Some((_, least, most)) = range {
            let number = value.trim().parse::<f64>().ok();
            if !number.is_some_and(|number| (*least..=*most).contains(&number)) {
                return Err(Error::NotThat {
                    given: value.into(),
                    what: "value of this setting",
                    mend: format!("`{key}` is a number from {least} to {most}."),
                });
            }
        }
        let settings = self.standing(Kind::Setting).await?.all::<Setting>();
        let standing = settings.into_iter().rev().find(|one| one.body.key == key);
        let setting = Setting {
            key: key.into(),
            value: value.trim().into(),
        };
        match standing {
            Some(standing) => {
                self.correct(pen, standing.entry, "settled anew", setting)
                    .await
            }
            None => self.enter(pen, setting).await,
        }
    }
}

/// A setting that is a number: its key, its least and its most.
type Range = (&'static str, f64, f64);

/// The settings that go into a survey: those of the table `[shop]` of a visit file.
pub(super) const OF_SURVEYS: [Range; 6] = [
    ("decide_at", 0.501, 0.999_999),
    ("evenness_percent", 1e-3, 100.0),
    ("lap_minutes", 1e-3, 10_000.0),
    ("rig_point_minutes", 1e-3, 10_000.0),
    ("dish_minutes", 1e-3, 10_000.0),
    ("dial_u_mm", 1e-6, 100.0),
];

/// The settings that say what the shop calls true, round, even and centred.
const OF_CLASS: [Range; 5] = [
    ("class_lateral_mm", 0.01, 20.0),
    ("class_radial_mm", 0.01, 20.0),
    ("class_evenness_percent", 0.1, 100.0),
    ("class_dish_mm", 0.01, 20.0),
    ("class_mean_percent", 0.1, 100.0),
];

fn part(wheel: Id, asked: PartAsked) -> Result<Part, Error> {
    if asked.what.trim().is_empty() {
        return Err(Error::Unsaid {
            what: "what the part is",
            mend: "Rim, hub, spoke, nipple, tyre …",
        });
    }
    Ok(Part {
        wheel,
        what: asked.what.trim().into(),
        maker: said(asked.maker),
        model: said(asked.model),
        lot: said(asked.lot),
        serial: said(asked.serial),
        note: said(asked.note),
    })
}

/// A text, when something stands in it.
pub(super) fn said(text: Option<String>) -> Option<String> {
    text.filter(|text| !text.trim().is_empty())
}
