//! The invented workshop that shows the job: filled in, seen whether it is there, and taken away.

use super::{CheckAsked, Error, Id, PartAsked, Pen, Shop, WheelAsked, WhichWheel};
use crate::take_in::with_files;
use files::Source;
use std::collections::BTreeMap;

/// The setting that tells whether the invented workshop is in view.
const KEY: &str = "demo";
const IN_VIEW: &str = "in view";
const AWAY: &str = "away";

/// A file of the folder `demo`, by the name it has in a visit.
macro_rules! file {
    ($name:literal) => {
        (
            concat!("../", $name),
            include_str!(concat!("../../../../demo/", $name)),
        )
    };
}

const VISITS: [(&str, &str); 4] = [
    file!("visits/auction-front.toml"),
    file!("visits/ebbstone-front.toml"),
    file!("visits/pilots-tandem-rear.toml"),
    file!("visits/skerrowby-rear.toml"),
];

const FILES: [(&str, &str); 13] = [
    file!("wheels/auction-front.toml"),
    file!("wheels/ebbstone-front.toml"),
    file!("wheels/pilots-tandem-rear.toml"),
    file!("wheels/skerrowby-rear.toml"),
    file!("gauges/g1.toml"),
    file!("gauges/g2.toml"),
    file!("points/g1-bladed.csv"),
    file!("points/g1-carbon.csv"),
    file!("points/g2-plain.csv"),
    file!("laps/ebbstone-front-radial-left.csv"),
    file!("laps/ebbstone-front-radial-right.csv"),
    file!("laps/ebbstone-front-tyred.csv"),
    file!("laps/skerrowby-rear-bare.csv"),
];

/// Whose the wheels are, in the order of the visits.
const OWNERS: [&str; 4] = [
    "Harrowmouth fish auction",
    "Kelpworth, on loan",
    "The harbour pilots",
    "Kelpworth, on loan",
];

/// A part of a wheel: the visit's place, what it is, maker, model, lot, serial.
type DemoPart = (
    usize,
    &'static str,
    &'static str,
    &'static str,
    Option<&'static str>,
    Option<&'static str>,
);

/// Parts of the wheels. Not all of it was noted.
const PARTS: [DemoPart; 9] = [
    (0, "rim", "Kelpworth", "Shingleby 26", Some("22-09"), None),
    (0, "hub", "Brinelock", "Lamp", None, None),
    (
        1,
        "rim",
        "Kelpworth",
        "Ebbstone 45",
        Some("26-01"),
        Some("E45-0107"),
    ),
    (1, "spoke", "Tarnsett", "C3", Some("T-511"), None),
    (2, "rim", "Kelpworth", "Groyne 25", Some("24-03"), None),
    (2, "hub", "Brinelock", "T", None, Some("BT-2291")),
    (
        3,
        "rim",
        "Kelpworth",
        "Skerrowby 30",
        Some("26-01"),
        Some("S30-0042"),
    ),
    (3, "hub", "Brinelock", "R2", None, Some("BR-1180")),
    (3, "spoke", "Ropewick", "Flat", Some("R-88"), None),
];

/// Who works there.
const MECHANICS: [(&str, &str); 2] = [("Maren Oake", "M"), ("Jory Fell", "J")];

/// Checks against the rod: the gauge, what it showed, what it was to show, how far off it may be.
const CHECKS: [(&str, &str, f64, f64); 2] = [("G1", "24.1", 24.0, 0.3), ("G2", "31.5", 31.5, 0.5)];

impl Shop {
    /// Whether the invented workshop is in view.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn has_demo(&self) -> Result<bool, Error> {
        let settings = self.settings().await?;
        let in_view = |(key, value): &(String, String)| key == KEY && value == IN_VIEW;
        Ok(settings.iter().any(in_view))
    }

    /// Takes everything of the invented workshop out of view.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be written.
    pub async fn remove_demo(&self, pen: &Pen) -> Result<(), Error> {
        self.ledger.withdraw_demo(&pen.stamp()).await?;
        self.settle(pen, KEY, AWAY).await?;
        Ok(())
    }

    /// Fills the invented workshop in: its gauges, wheels and visits. When it is in view already, nothing is
    /// done.
    ///
    /// # Errors
    /// [`Error::Otherwise`] when the shop has a gauge of its own with the label of an invented one.
    pub async fn fill_demo(&self, pen: &Pen) -> Result<(), Error> {
        if self.has_demo().await? {
            return Ok(());
        }
        // In view first: what is filled in half can be taken away too.
        self.settle(pen, KEY, IN_VIEW).await?;
        let pen = Pen::of(MECHANICS[0].1).of_demo();
        for (name, initials) in MECHANICS {
            self.enter_mechanic(&pen, name, initials).await?;
        }
        let files: BTreeMap<String, Vec<u8>> = FILES
            .into_iter()
            .map(|(name, text)| (name.into(), text.into()))
            .collect();
        let mut wheels = Vec::new();
        for ((name, text), owner) in VISITS.into_iter().zip(OWNERS) {
            let visit = with_files(&Source::from_bytes(name, text.as_bytes())?, files.clone())?;
            let asked = WheelAsked {
                file: visit
                    .files
                    .first()
                    .map(|file| file.text().into())
                    .unwrap_or_default(),
                owner: Some(owner.into()),
                ..WheelAsked::default()
            };
            let (_, wheel) = self.take_in_wheel(&pen, asked).await?;
            self.put_visit(&pen, visit, WhichWheel::This(wheel.id))
                .await?;
            wheels.push(wheel.id);
        }
        for part in PARTS {
            self.note_demo_part(&pen, &wheels, part).await?;
        }
        for (gauge, raw, expected, tolerance) in CHECKS {
            let gauge = self.gauge_called(gauge).await?;
            let asked = CheckAsked {
                reading: raw.into(),
                expected,
                tolerance,
                temperature_c: Some(18.0),
                note: None,
            };
            self.check_gauge(&pen, gauge, asked).await?;
        }
        Ok(())
    }

    async fn note_demo_part(
        &self,
        pen: &Pen,
        wheels: &[Id],
        (wheel, what, maker, model, lot, serial): DemoPart,
    ) -> Result<(), Error> {
        let asked = PartAsked {
            what: what.into(),
            maker: Some(maker.into()),
            model: Some(model.into()),
            lot: lot.map(Into::into),
            serial: serial.map(Into::into),
            note: None,
        };
        self.note_part(pen, wheels[wheel], asked).await.map(|_| ())
    }
}
