//! Things as they stand in the ledger now.

use super::pen::told;
use super::{Error, Id, Label, Shop};
use crate::view::EntryView;
use ledger::entry::{Setting, Told};
use ledger::state::{Current, GaugeRecord, Things, VisitRecord, WheelRecord};
use ledger::{Kind, Stamp};
use metrology::visit::ShopSettings;
use quantity::Length;
use truing::class::Class;

impl Shop {
    /// A thing with all that is about it.
    pub(super) async fn things(&self, thing: Id) -> Result<Things, Error> {
        Ok(self.ledger.life(thing).await?.into_iter().collect())
    }

    /// Everything of a kind that is about nothing else, as it stands.
    pub(super) async fn standing(&self, kind: Kind) -> Result<Things, Error> {
        Ok(self.ledger.all_of(kind).await?.into_iter().collect())
    }

    /// Everything of a kind that is about nothing else and in view.
    pub(super) async fn in_view<T: Told>(&self) -> Result<Vec<Current<T>>, Error> {
        let mut entries = self.ledger.all_of(T::KIND).await?;
        entries.extend(self.ledger.withdrawals().await?);
        let things: Things = entries.into_iter().collect();
        Ok(things.all())
    }

    /// What stands of one thing.
    pub(super) async fn current<T: Told>(&self, thing: Id) -> Result<Current<T>, Error> {
        let things: Things = self.ledger.versions(thing).await?.into_iter().collect();
        let found = things.thing_of(thing).and_then(|thing| things.get(thing));
        found.ok_or_else(|| missing(T::KIND.word(), thing))
    }

    /// That an entry is of a thing or about it, however far below: what a form corrects belongs to the page it is on.
    ///
    /// # Errors
    /// [`Error::Missing`] when it is of another.
    pub async fn belongs(&self, entry: Id, thing: Id) -> Result<(), Error> {
        let thing = self.thing_of(thing).await?;
        let mut next = Some(entry);
        while let Some(of) = next {
            let versions = self.ledger.versions(of).await?;
            let first = versions.first().ok_or_else(|| missing("entry", entry))?;
            if first.id == thing {
                return Ok(());
            }
            next = first.body.about();
        }
        Err(missing("entry of this page", entry))
    }

    /// The thing that an entry is a version of.
    async fn thing_of(&self, entry: Id) -> Result<Id, Error> {
        let versions = self.ledger.versions(entry).await?;
        let first = versions.first().ok_or_else(|| missing("entry", entry))?;
        Ok(first.id)
    }

    pub(super) async fn wheel_record(&self, wheel: Id) -> Result<WheelRecord, Error> {
        let things = self.things(wheel).await?;
        let wheel = things.thing_of(wheel).unwrap_or(wheel);
        WheelRecord::of(&things, wheel).ok_or_else(|| missing("wheel", wheel))
    }

    /// As [`Shop::wheel_record`], without what was measured in laps.
    pub(super) async fn wheel_without_laps(&self, wheel: Id) -> Result<WheelRecord, Error> {
        let told = self.ledger.without_laps(&[wheel]).await?;
        let things: Things = told.into_iter().collect();
        let wheel = things.thing_of(wheel).unwrap_or(wheel);
        WheelRecord::of(&things, wheel).ok_or_else(|| missing("wheel", wheel))
    }

    /// A visit, and the wheel it is of.
    pub(super) async fn visit_record(
        &self,
        visit: Id,
    ) -> Result<(WheelRecord, VisitRecord), Error> {
        let seen: Current<ledger::entry::Visit> = self.current(visit).await?;
        let wheel = self.wheel_record(seen.body.wheel).await?;
        let visits = &wheel.visits;
        let record = visits.iter().find(|one| one.visit.thing == seen.thing);
        let record = record.cloned().ok_or_else(|| missing("visit", visit))?;
        Ok((wheel, record))
    }

    pub(super) async fn gauge_record(&self, gauge: Id) -> Result<GaugeRecord, Error> {
        let things = self.things(gauge).await?;
        let gauge = things.thing_of(gauge).unwrap_or(gauge);
        GaugeRecord::of(&things, gauge).ok_or_else(|| missing("gauge", gauge))
    }

    /// The wheel with this label, or with this id.
    ///
    /// # Errors
    /// [`Error::NoLabel`] when the text is neither, [`Error::Missing`] when there is no such wheel.
    pub async fn wheel_called(&self, text: &str) -> Result<Id, Error> {
        if let Ok(id) = text.trim().parse::<Id>() {
            return Ok(self.current::<ledger::entry::Wheel>(id).await?.thing);
        }
        let label: Label = text.parse()?;
        let labelled = self.ledger.labelled(label).await?;
        labelled.ok_or_else(|| missing("wheel", text.trim()))
    }

    /// The gauge with this label, or with this id.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is none.
    pub async fn gauge_called(&self, text: &str) -> Result<Id, Error> {
        let gauges = self.standing(Kind::Gauge).await?;
        let id = text.trim().parse::<Id>().ok();
        let found = gauges
            .all::<ledger::entry::Gauge>()
            .into_iter()
            .find(|gauge| Some(gauge.thing) == id || gauge.body.label == text.trim());
        let found = found.map(|gauge| gauge.thing);
        found.ok_or_else(|| missing("gauge", text.trim()))
    }

    /// What the shop has settled for itself.
    pub(super) async fn shop_settings(&self) -> Result<ShopSettings, Error> {
        let mut settings = ShopSettings::default();
        for (key, number) in self.settled_numbers().await? {
            match key.as_str() {
                "decide_at" => settings.decide_at = number,
                "evenness_percent" => settings.evenness_prior = number / 100.0,
                "lap_minutes" => settings.lap_minutes = number,
                "rig_point_minutes" => settings.rig_point_minutes = number,
                "dish_minutes" => settings.dish_minutes = number,
                "dial_u_mm" => settings.dial_u = Length::mm(number),
                _ => {}
            }
        }
        Ok(settings)
    }

    /// What the shop calls true, round, even and centred: as it settled them, else as is common.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn class(&self) -> Result<Class, Error> {
        let mut class = Class::default();
        for (key, number) in self.settled_numbers().await? {
            match key.as_str() {
                "class_lateral_mm" => class.lateral_fir = Length::mm(number),
                "class_radial_mm" => class.radial_fir = Length::mm(number),
                "class_evenness_percent" => class.tension_sd_percent = number,
                "class_dish_mm" => class.dish = Length::mm(number),
                "class_mean_percent" => class.mean_percent = number,
                _ => {}
            }
        }
        Ok(class)
    }

    /// The settings that are numbers.
    async fn settled_numbers(&self) -> Result<Vec<(String, f64)>, Error> {
        let settings = self.settings().await?.into_iter();
        let numbers = settings.filter_map(|(key, value)| Some((key, value.parse().ok()?)));
        Ok(numbers.collect())
    }

    /// The shop's settings, each with the value that stands.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn settings(&self) -> Result<Vec<(String, String)>, Error> {
        let settings = self.standing(Kind::Setting).await?.all::<Setting>();
        // Of two that were entered at once at two places, the later one stands.
        let mut standing: std::collections::BTreeMap<String, String> = Default::default();
        standing.extend(
            settings
                .into_iter()
                .map(|one| (one.body.key, one.body.value)),
        );
        Ok(standing.into_iter().collect())
    }
}

/// That there is no such thing.
pub(super) fn missing(what: &'static str, asked: impl ToString) -> Error {
    let asked = asked.to_string();
    Error::Missing { what, asked }
}

/// Who and when, with the entry that stands.
pub(super) fn entry_view<T>(current: &Current<T>) -> EntryView {
    let Stamp {
        at,
        zone,
        by,
        origin,
    } = &current.stamp;
    EntryView {
        id: current.thing.to_string(),
        entry: current.entry.to_string(),
        at: told(*at, zone),
        since: told(current.since.0, &current.since.1),
        by: by.clone(),
        is_demo: *origin == ledger::Origin::Demo,
        why: current.correction.as_ref().map(|of| of.why.clone()),
        order: current.written(),
    }
}
