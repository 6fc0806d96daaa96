//! Visits: what was asked, weighed, seen and advised.

use super::pen::{now, time_said};
use super::seen::missing;
use super::wheel::said;
use super::{Error, Hash, Id, Pen, Shop, Written};
use crate::{clock, typed};
use files::visit_file;
use ledger::entry::{Advice, Answer, Bearing, Look, Photo, Report, Visit, Weighing};
use ledger::state::Current;
use metrology::visit::ShopSettings;
use wheel::Wheel;

/// A visit as a person begins it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct VisitAsked {
    /// When, RFC 3339 with its offset; now when left empty.
    pub taken: Option<String>,
    /// What is asked of the shop.
    pub asked: Option<String>,
    /// Whether the bearings have play, when that was looked at.
    pub bearing: Option<Bearing>,
    /// What was not looked at.
    pub not_checked: Vec<String>,
    /// Anything else.
    pub note: Option<String>,
}

impl Shop {
    /// Begins a visit of a wheel.
    ///
    /// # Errors
    /// [`Error`] when there is no such wheel.
    pub async fn open_visit(
        &self,
        pen: &Pen,
        wheel: Id,
        asked: VisitAsked,
    ) -> Result<Written, Error> {
        self.enter(pen, visit(wheel, asked)?).await
    }

    /// Says otherwise what a visit is; `seen` is the entry that was shown. What `asked` leaves empty as to when
    /// it took place stays.
    ///
    /// # Errors
    /// [`Error::Refused`] when somebody was quicker.
    pub async fn correct_visit(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        asked: VisitAsked,
    ) -> Result<Written, Error> {
        let standing: Current<Visit> = self.current(seen).await?;
        let is_dated = asked.taken.is_some();
        let mut changed = visit(standing.body.wheel, asked)?;
        if !is_dated {
            changed.taken = standing.body.taken;
            changed.taken_zone = standing.body.taken_zone;
        }
        self.correct(pen, seen, why, changed).await
    }

    /// Notes a weighing: what was on the wheel, and what the scale showed, in grams.
    ///
    /// # Errors
    /// [`Error`] when no scale shows that of a wheel.
    pub async fn weigh(
        &self,
        pen: &Pen,
        visit: Id,
        dress: Vec<String>,
        raw: &str,
        step_g: Option<f64>,
    ) -> Result<Written, Error> {
        self.enter(pen, weighing(visit, dress, raw, step_g)?).await
    }

    /// Notes a weighing otherwise; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// As [`Shop::weigh`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_weighing(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        dress: Vec<String>,
        raw: &str,
        step_g: Option<f64>,
    ) -> Result<Written, Error> {
        let standing: Current<Weighing> = self.current(seen).await?;
        let weighing = weighing(standing.body.visit, dress, raw, step_g)?;
        self.correct(pen, seen, why, weighing).await
    }

    /// Notes what the eye found, or that it looked and found nothing.
    ///
    /// # Errors
    /// [`Error::Unsaid`] without a finding.
    pub async fn note_look(
        &self,
        pen: &Pen,
        visit: Id,
        spoke: Option<i64>,
        finding: &str,
        photo: Option<Hash>,
    ) -> Result<Written, Error> {
        let look = Look {
            visit,
            spoke,
            finding: seen_there(finding)?,
            photo,
        };
        self.enter(pen, look).await
    }

    /// Notes otherwise what the eye found; `seen` is the entry that was shown. Its photo stays.
    ///
    /// # Errors
    /// As [`Shop::note_look`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_look(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        spoke: Option<i64>,
        finding: &str,
    ) -> Result<Written, Error> {
        let standing: Current<Look> = self.current(seen).await?;
        let look = Look {
            spoke,
            finding: seen_there(finding)?,
            ..standing.body
        };
        self.correct(pen, seen, why, look).await
    }

    /// Keeps a photo of a visit, as the caller re-encoded it; a look may name it by its hash.
    ///
    /// # Errors
    /// [`Error::Trouble`] when its bytes cannot be kept.
    pub async fn keep_photo(
        &self,
        pen: &Pen,
        visit: Id,
        media_type: &str,
        bytes: Vec<u8>,
        caption: Option<String>,
    ) -> Result<(Hash, Written), Error> {
        let length = i64::try_from(bytes.len()).unwrap_or(i64::MAX);
        let hash = self.ledger.keep(bytes, now()).await?;
        let photo = Photo {
            visit,
            hash,
            media_type: media_type.into(),
            length,
            caption: said(caption),
        };
        Ok((hash, self.enter(pen, photo).await?))
    }

    /// Says otherwise what a photo shows; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// [`Error::Refused`] when somebody was quicker.
    pub async fn correct_photo(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        caption: Option<String>,
    ) -> Result<Written, Error> {
        let photo = self.current::<Photo>(seen).await?.body;
        let caption = said(caption);
        self.correct(pen, seen, why, Photo { caption, ..photo })
            .await
    }

    /// The bytes of a photo or of a report that was issued.
    ///
    /// # Errors
    /// [`Error::Missing`] when none with this hash were kept.
    pub async fn kept(&self, hash: Hash) -> Result<Vec<u8>, Error> {
        let kept = self.ledger.kept(hash).await?;
        kept.ok_or_else(|| missing("photo or report", hash))
    }

    /// Notes a piece of advice and what was said to it.
    ///
    /// # Errors
    /// [`Error::Unsaid`] when nothing is advised.
    pub async fn advise(
        &self,
        pen: &Pen,
        visit: Id,
        text: &str,
        answer: Answer,
        reply: Option<String>,
    ) -> Result<Written, Error> {
        let advice = Advice {
            visit,
            text: advised(text)?,
            answer,
            reply: said(reply),
        };
        self.enter(pen, advice).await
    }

    /// Writes advice otherwise; `seen` is its entry that was shown. What was said to it stays.
    ///
    /// # Errors
    /// As [`Shop::advise`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_advice(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        text: &str,
    ) -> Result<Written, Error> {
        let advice = self.current::<Advice>(seen).await?.body;
        let text = advised(text)?;
        self.correct(pen, seen, why, Advice { text, ..advice })
            .await
    }

    /// Notes what was said to advice that was given; `seen` is its entry that was shown.
    ///
    /// # Errors
    /// [`Error::Refused`] when somebody was quicker.
    pub async fn answer(
        &self,
        pen: &Pen,
        seen: Id,
        answer: Answer,
        reply: Option<String>,
    ) -> Result<Written, Error> {
        let advice: Current<Advice> = self.current(seen).await?;
        let answered = Advice {
            answer,
            reply: said(reply),
            ..advice.body
        };
        self.correct(pen, seen, "the customer's answer", answered)
            .await
    }

    /// Keeps the page of a report that is handed over.
    ///
    /// # Errors
    /// [`Error::Trouble`] when it cannot be kept.
    pub async fn issue(
        &self,
        pen: &Pen,
        visit: Id,
        title: &str,
        page: &str,
    ) -> Result<(Hash, Written), Error> {
        let hash = self.ledger.keep(page.as_bytes().to_vec(), now()).await?;
        let report = Report {
            visit,
            hash,
            title: title.into(),
        };
        Ok((hash, self.enter(pen, report).await?))
    }

    /// The wheel that a thing is about, however far above, without its life.
    pub(super) async fn wheel_of_thing(
        &self,
        thing: Id,
    ) -> Result<Current<ledger::entry::Wheel>, Error> {
        let mut next = thing;
        loop {
            let found = self.ledger.entries(&[next]).await?.pop();
            let found = found.ok_or_else(|| missing("entry", thing))?;
            match found.body.about() {
                Some(about) => next = about,
                None => return self.current(next).await,
            }
        }
    }
}

/// The heaviest wheel that is believed, in grams; a visit file says the same.
const HEAVIEST_G: f64 = 100_000.0;

fn visit(wheel: Id, asked: VisitAsked) -> Result<Visit, Error> {
    let (taken, taken_zone) = time_said(asked.taken)?;
    Ok(Visit {
        wheel,
        taken,
        taken_zone,
        asked: said(asked.asked),
        bearing: asked.bearing,
        not_checked: asked.not_checked,
        note: said(asked.note),
    })
}

/// A weighing as it was typed.
fn weighing(
    visit: Id,
    dress: Vec<String>,
    raw: &str,
    step_g: Option<f64>,
) -> Result<Weighing, Error> {
    let wrong = |why: &dyn std::fmt::Display| Error::NotThat {
        given: raw.into(),
        what: "mass of a wheel in grams",
        mend: format!("Write grams, above 0 and up to {HEAVIEST_G:.0}: {why}."),
    };
    let mass_g = typed::number(raw.trim().trim_end_matches('g')).map_err(|why| wrong(&why))?;
    if mass_g <= 0.0 || HEAVIEST_G < mass_g {
        return Err(wrong(&"it is not among them"));
    }
    Ok(Weighing {
        visit,
        dress,
        raw: raw.into(),
        mass_g,
        step_g,
    })
}

/// What the eye found, in words.
fn seen_there(finding: &str) -> Result<String, Error> {
    let mend = "If nothing was wrong, say so: `nothing found`.";
    wanted(finding, "what was seen", mend)
}

/// What is advised, in words.
fn advised(text: &str) -> Result<String, Error> {
    wanted(text, "what is advised", "Write it as it was said.")
}

fn wanted(text: &str, what: &'static str, mend: &'static str) -> Result<String, Error> {
    match text.trim() {
        "" => Err(Error::Unsaid { what, mend }),
        text => Ok(text.into()),
    }
}

/// Whether the reader of visit files takes a visit of this wheel with what is put into it.
pub(super) fn sound(
    wheel: Wheel,
    put: impl FnOnce(&mut metrology::visit::Visit) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut visit = nothing_yet(wheel);
    put(&mut visit)?;
    let mut written = visit_file::write(&visit);
    let source = files::Source::from_bytes("the entry", written.visit.as_bytes())?;
    visit_file::read(&source, clock::now(), &mut written)?;
    Ok(())
}

/// A visit of a wheel in which nothing was taken yet.
pub(super) fn nothing_yet(wheel: Wheel) -> metrology::visit::Visit {
    metrology::visit::Visit {
        wheel,
        taken: "1970-01-01T00:00:00Z".into(),
        by: "-".into(),
        asked: None,
        bearing_play: None,
        gauges: Vec::new(),
        calibrations: Vec::new(),
        laps: Vec::new(),
        weighings: Vec::new(),
        limits: Vec::new(),
        pressure_limits: Vec::new(),
        claims: Vec::new(),
        advice: Vec::new(),
        not_checked: Vec::new(),
        settings: ShopSettings::default(),
    }
}
