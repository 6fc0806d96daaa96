//! A visit as text, with the files it names.

use super::bench::{ANSWERS, STEP_UNSAID};
use super::judged::{CONDITIONS, PARTS, QUANTITIES, SIDES};
use super::lap::{STATES, WAYS, at_spokes};
use super::order::round;
use super::{Attachments, FORMAT};
use crate::laps::{write_pitches, write_readings, write_runout};
use crate::literal::{FORCE_UNITS, PERCENT, PRESSURE_UNITS, number, plainest, quoted, text};
use crate::toml_writer::{Page, array, grams, millimetres};
use crate::{gauge_file, points, wheel_file};
use metrology::conformity::{Claim, ClaimScope};
use metrology::lap::{Axis, Lap, Taken};
use metrology::visit::{ShopSettings, Visit};
use quantity::Pressure;
use wheel::limit::Limit;
use wheel::{SpokeIndex, Wheel};

/// A visit file and the files it names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// The visit file.
    pub visit: String,
    /// Name and text of every file it names.
    pub attachments: Vec<(String, String)>,
}

impl Attachments for Written {
    fn text(&mut self, name: &str) -> Result<Vec<u8>, String> {
        let found = self.attachments.iter().find(|(known, _)| known == name);
        found
            .map(|(_, text)| text.clone().into_bytes())
            .ok_or_else(|| "there is no such file".into())
    }
}

/// The visit as files that [`super::read`] reads back to the same visit.
///
/// That holds for every visit that was read, and for any other that keeps the rules of the format.
/// Rig points keep their file's name unless two sets of points claim one name.
#[must_use]
pub fn write(visit: &Visit) -> Written {
    let mut folder = Folder {
        reserved: visit
            .calibrations
            .iter()
            .map(|known| known.points_name.clone())
            .collect(),
        files: Vec::new(),
    };
    let wheel = folder.add("wheel.toml", wheel_file::write(&visit.wheel));
    let gauges: Vec<(String, String)> = (1..)
        .zip(&visit.gauges)
        .map(|(place, gauge)| {
            let name = folder.add(&format!("gauge-{place}.toml"), gauge_file::write(gauge));
            (gauge.label.clone(), name)
        })
        .collect();
    let gauge = |label: &str| {
        let found = gauges.iter().find(|(known, _)| known == label);
        quoted(found.map_or(label, |(_, name)| name))
    };
    let mut page = Page::default();
    page.key("format", FORMAT);
    page.key("wheel", quoted(&wheel));
    page.key("taken", &visit.taken);
    page.key("by", quoted(&visit.by));
    page.optional("asked", visit.asked.as_deref().map(quoted));
    let play = |has_play| if has_play { "some" } else { "none" };
    page.optional("bearing_play", visit.bearing_play.map(play).map(quoted));
    if !visit.not_checked.is_empty() {
        page.key(
            "not_checked",
            array(visit.not_checked.iter().map(|text| quoted(text))),
        );
    }
    settings(&mut page, &visit.settings);
    for calibration in &visit.calibrations {
        page.block("[[calibration]]");
        page.key("spoke", quoted(&visit.wheel.kinds[calibration.kind.0].name));
        page.key("gauge", gauge(&calibration.gauge.label));
        let points = points::write(&calibration.points);
        page.key(
            "points",
            quoted(&folder.keep(&calibration.points_name, points)),
        );
    }
    for (place, lap) in (1..).zip(&visit.laps) {
        page.block("[[lap]]");
        write_lap(&mut page, lap, &visit.wheel, &gauge, |text| {
            folder.add(&format!("lap-{place}.csv"), text)
        });
    }
    for weighing in &visit.weighings {
        page.block("[[weighing]]");
        page.key(
            "dress",
            array(weighing.dress.iter().map(|text| quoted(text))),
        );
        page.key("mass_g", grams(weighing.mass));
        page.optional(
            "step_g",
            (weighing.step != STEP_UNSAID).then(|| grams(weighing.step)),
        );
    }
    for limit in &visit.limits {
        page.block("[[limit]]");
        write_limit(&mut page, limit, &visit.wheel);
    }
    for limit in &visit.pressure_limits {
        page.block("[[limit]]");
        page.key("part", quoted(&limit.part));
        write_pressure(&mut page, limit.pressure);
        page.key("source", quoted(&limit.source));
        page.key("noted", &limit.noted);
    }
    for claim in &visit.claims {
        page.block("[[claim]]");
        write_claim(&mut page, claim);
    }
    for advice in &visit.advice {
        page.block("[[advice]]");
        page.key("text", quoted(&advice.text));
        page.key("answer", word(&ANSWERS, &advice.answer));
    }
    Written {
        visit: page.finish(),
        attachments: folder.files,
    }
}

/// The files written so far.
struct Folder {
    /// Names that belong to rig points.
    reserved: Vec<String>,
    files: Vec<(String, String)>,
}

impl Folder {
    /// Adds a file whose name is ours to choose, and says the name.
    fn add(&mut self, name: &str, text: String) -> String {
        let is_free = |name: &String| {
            !self.reserved.contains(name) && self.files.iter().all(|(known, _)| known != name)
        };
        let name = std::iter::once(name.to_owned())
            .chain((2_u64..).map(|again| format!("{again}-{name}")))
            .find(is_free)
            .unwrap_or_default();
        self.files.push((name.clone(), text));
        name
    }

    /// Adds a file whose name stands in the visit, unless the name already means another text.
    fn keep(&mut self, name: &str, text: String) -> String {
        match self.files.iter().find(|(known, _)| known == name) {
            Some((_, known)) if *known == text => name.to_owned(),
            Some(_) => self.add(name, text),
            None => {
                self.files.push((name.to_owned(), text));
                name.to_owned()
            }
        }
    }
}

/// The words of a choice, quoted.
fn word<T: PartialEq>(words: &[(&str, T)], meaning: &T) -> String {
    let found = words.iter().find(|(_, known)| known == meaning);
    quoted(found.map_or("", |(word, _)| word))
}

/// The line that says a pressure, in the unit that says it plainest.
fn write_pressure(page: &mut Page, pressure: Pressure) {
    let unit = plainest(&PRESSURE_UNITS, &[pressure]);
    page.key(&format!("pressure_{}", unit.0), text(&unit, pressure));
}

/// What the shop has settled otherwise than is usual.
fn settings(page: &mut Page, settings: &ShopSettings) {
    let usual = ShopSettings::default();
    if *settings == usual {
        return;
    }
    page.block("[shop]");
    page.key("decide_at", number(settings.decide_at));
    page.key("evenness_percent", text(&PERCENT, settings.evenness_prior));
    page.key("lap_minutes", number(settings.lap_minutes));
    page.key("rig_point_minutes", number(settings.rig_point_minutes));
    page.key("dish_minutes", number(settings.dish_minutes));
    page.key("dial_u_mm", millimetres(settings.dial_u));
}

/// A lap; readings that have every spoke in order stand in brackets, all others in a file.
fn write_lap(
    page: &mut Page,
    lap: &Lap,
    wheel: &Wheel,
    gauge: &impl Fn(&str) -> String,
    mut attach: impl FnMut(String) -> String,
) {
    let order = || round(lap.start, lap.counted, wheel.spokes.len());
    let in_order = |spokes: &mut dyn Iterator<Item = SpokeIndex>| spokes.eq(order());
    let (takes, readings) = match &lap.taken {
        Taken::Readings { readings, .. } => {
            let is_in_order = in_order(&mut readings.iter().map(|reading| reading.spoke));
            let numbers = readings.iter().map(|reading| number(reading.divisions));
            (
                "reading",
                if is_in_order {
                    Ok(array(numbers))
                } else {
                    Err(write_readings(readings))
                },
            )
        }
        Taken::Pitch { hertz } => {
            let is_in_order = in_order(&mut hertz.iter().map(|(spoke, _)| *spoke));
            let numbers = hertz.iter().map(|(_, hertz)| number(*hertz));
            (
                "pitch",
                if is_in_order {
                    Ok(array(numbers))
                } else {
                    Err(write_pitches(hertz))
                },
            )
        }
        Taken::Runout { axis, points, .. } => {
            let is_in_order = at_spokes(wheel, order()).eq(points.iter().map(|point| point.at));
            let numbers = points.iter().map(|point| millimetres(point.displacement));
            let takes = match axis {
                Axis::Lateral => "lateral",
                Axis::Radial => "radial",
            };
            (
                takes,
                if is_in_order {
                    Ok(array(numbers))
                } else {
                    Err(write_runout(points))
                },
            )
        }
    };
    page.key("takes", quoted(takes));
    page.key("state", word(&STATES, &lap.state));
    if let Some(pressure) = lap.pressure {
        write_pressure(page, pressure);
    }
    page.optional("by", lap.by.as_deref().map(quoted));
    page.optional("temperature_c", lap.temperature_c.map(number));
    match &lap.taken {
        Taken::Readings { gauge: label, .. } => page.key("gauge", gauge(label)),
        Taken::Runout { face, .. } => page.key("face", word(&SIDES, face)),
        Taken::Pitch { .. } => {}
    }
    page.key("start", lap.start.number());
    page.key("counted", word(&WAYS, &lap.counted));
    let readings = readings.unwrap_or_else(|rows| quoted(&attach(rows)));
    page.key("readings", readings);
}

fn write_limit(page: &mut Page, limit: &Limit, wheel: &Wheel) {
    page.key("part", word(&PARTS, &limit.part));
    let unit = plainest(&FORCE_UNITS, &[limit.tension]);
    page.key(&format!("tension_{}", unit.0), text(&unit, limit.tension));
    page.key("state", word(&CONDITIONS, &limit.condition));
    page.optional("side", limit.side.map(|side| word(&SIDES, &side)));
    page.optional(
        "spoke",
        limit.kind.map(|kind| quoted(&wheel.kinds[kind.0].name)),
    );
    page.key("source", quoted(&limit.source));
    page.key("noted", &limit.noted);
}

fn write_claim(page: &mut Page, claim: &Claim) {
    page.key("text", quoted(&claim.text));
    page.key("quantity", word(&QUANTITIES, &claim.quantity));
    page.optional("at_least", claim.at_least.map(number));
    page.optional("at_most", claim.at_most.map(number));
    match claim.scope {
        ClaimScope::Unnamed => {}
        ClaimScope::Whole => page.key("whole", true),
        ClaimScope::Side(side) => page.key("side", word(&SIDES, &side)),
    }
    if !claim.dress.is_empty() {
        page.key("dress", array(claim.dress.iter().map(|text| quoted(text))));
    }
    page.optional("source", claim.source.as_deref().map(quoted));
}
