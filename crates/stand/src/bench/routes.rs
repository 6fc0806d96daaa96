//! The addresses of the bench.

use super::{curve, page};
use crate::desk::{Desk, id};
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::Redirect;
use axum::routing::{get, post};
use maud::{Markup, html};
use workshop::records::{CalibrationAsked, Error, GaugeAsked, PointAsked};
use workshop::view::{CalibrationRecordView, GaugeRecordView};

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/bench", get(bench).post(take_in))
        .route("/gauges/{gauge}", get(gauge))
        .route("/gauges/{gauge}/checks", post(check))
        .route("/gauges/{gauge}/calibrations", post(begin))
        .route("/calibrations/{calibration}", get(calibration))
        .route("/calibrations/{calibration}/points", post(point))
}

async fn bench(State(desk): State<Desk>, frame: Frame) -> Result<Markup, Refusal> {
    let gauges = desk.shop.gauges().await.map_err(|e| desk.refuse(&e))?;
    Ok(page::bench(
        &frame,
        &gauges,
        &desk.shop.fresh_id().to_string(),
    ))
}

async fn gauge(
    State(desk): State<Desk>,
    frame: Frame,
    Path(gauge): Path<String>,
) -> Result<Markup, Refusal> {
    let view = desk
        .shop
        .gauge(id(&gauge)?)
        .await
        .map_err(|e| desk.refuse(&e))?;
    Ok(page::gauge(&frame, &view, &|| {
        desk.shop.fresh_id().to_string()
    }))
}

fn wanted(posted: &Posted, name: &str, label: &str) -> Result<f64, Refusal> {
    posted
        .number(name, label)?
        .ok_or_else(|| Refusal::field(label, "it is empty, and cannot be left out"))
}

fn back<T>(desk: &Desk, address: &str, done: Result<T, Error>) -> Result<Redirect, Refusal> {
    match done {
        Ok(_) => Ok(Redirect::to(address)),
        Err(error) => Err(desk.refuse(&error).then(address, "Back")),
    }
}

async fn take_in(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let asked = GaugeAsked {
        label: posted.needed("label")?.to_owned(),
        resolution: wanted(&posted, "resolution", "Smallest step")?,
        repeatability: wanted(&posted, "repeatability", "Repeatability")?,
        support_span_mm: posted.number("span", "Distance of the supports")?,
        rises_with_tension: match posted.raw("rises") {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        },
    };
    let pen = frame.pen(posted.raw("entry"))?;
    let taken = desk.shop.describe_gauge(&pen, &asked).await;
    let address = taken
        .as_ref()
        .map_or("/bench".into(), |taken| format!("/gauges/{}", taken.id));
    back(&desk, &address, taken)
}

async fn check(
    State(desk): State<Desk>,
    frame: Frame,
    Path(gauge): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let expected = wanted(&posted, "expected", "What the rod should read")?;
    let tolerance = wanted(&posted, "tolerance", "How far off it may be")?;
    let raw = posted.line("reading")?.unwrap_or_default();
    let pen = frame.pen(posted.raw("entry"))?;
    let done = desk
        .shop
        .check_gauge(&pen, id(&gauge)?, raw, expected, tolerance, None)
        .await;
    let address = match posted.raw("to") {
        "/" => "/".to_owned(), // from the shelf, at the start of a day
        _ => format!("/gauges/{gauge}"),
    };
    back(&desk, &address, done)
}

async fn begin(
    State(desk): State<Desk>,
    frame: Frame,
    Path(gauge): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let text = |name: &str| Ok::<_, Refusal>(posted.line(name)?.map(str::to_owned));
    let asked = CalibrationAsked {
        spoke_kind: text("kind")?.unwrap_or_default(),
        batch: text("batch")?,
        temperature_c: posted.number("temperature", "Temperature")?,
        note: text("note")?,
        ..CalibrationAsked::default()
    };
    let pen = frame.pen(posted.raw("entry"))?;
    let begun = desk.shop.begin_calibration(&pen, id(&gauge)?, asked).await;
    let address = begun.as_ref().map_or(format!("/gauges/{gauge}"), |begun| {
        format!("/calibrations/{}", begun.id)
    });
    back(&desk, &address, begun)
}

/// A calibration with the gauge it is of.
async fn found(
    desk: &Desk,
    calibration: &str,
) -> Result<(GaugeRecordView, CalibrationRecordView), Refusal> {
    let wanted = id(calibration)?.to_string();
    let gauges = desk.shop.gauges().await.map_err(|e| desk.refuse(&e))?;
    for gauge in gauges {
        let mut of_gauge = gauge.calibrations.iter();
        if let Some(found) = of_gauge.find(|one| one.entry.id == wanted).cloned() {
            return Ok((gauge, found));
        }
    }
    Err(Refusal::not_there("calibration"))
}

async fn calibration(
    State(desk): State<Desk>,
    frame: Frame,
    Path(calibration): Path<String>,
) -> Result<Markup, Refusal> {
    let (gauge, record) = found(&desk, &calibration).await?;
    let unit = desk.unit().await?;
    let readings = curve::asked(&record.points);
    let fitted = match record.points.len() {
        0 => None,
        _ => Some(desk.shop.calibrate(id(&calibration)?, &readings).await),
    };
    let (fitted, why_none) = match fitted {
        None => (None, None),
        Some(Ok(fitted)) => (Some(fitted), None),
        Some(Err(error)) => (None, Some(desk.words(&error))),
    };
    let drawn = match record.points.len() {
        0 | 1 => html! {},
        _ => {
            let figure = curve::figure(&record, fitted.as_ref(), unit);
            report::svg::draw(&figure, "curve").map_err(|e| desk.undrawn(&e))?
        }
    };
    let shown = page::Shown {
        gauge: &gauge,
        record: &record,
        fitted: fitted.as_ref(),
        why_none,
        drawn,
        unit,
    };
    Ok(page::calibration(
        &frame,
        &shown,
        &desk.shop.fresh_id().to_string(),
    ))
}

async fn point(
    State(desk): State<Desk>,
    frame: Frame,
    Path(calibration): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let text = |name: &str| Ok::<_, Refusal>(posted.line(name)?.map(str::to_owned));
    let decimal = |name: &str| Ok::<_, Refusal>(text(name)?.unwrap_or_default().replace(',', "."));
    let asked = PointAsked {
        reading: decimal("reading")?,
        force: decimal("force")?,
        unit: posted.raw("unit").into(),
        direction: text("direction")?,
        u_reading: None,
        u_force: None,
    };
    let pen = frame.pen(posted.raw("entry"))?;
    let done = desk.shop.enter_point(&pen, id(&calibration)?, &asked).await;
    back(&desk, &format!("/calibrations/{calibration}"), done)
}
