//! The addresses of the bench.

use super::{curve, page, rig};
use crate::desk::{Desk, id};
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::Redirect;
use axum::routing::{get, post};
use maud::{Markup, html};
use workshop::records::{CalibrationAsked, CheckAsked, GaugeAsked, PointAsked};
use workshop::view::{CalibrationRecordView, GaugeRecordView};

pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/bench", get(bench).post(take_in))
        .route("/bench/rigs", post(rig::enter))
        .route("/bench/rigs/correct", post(rig::correct_rig))
        .route("/gauges/{gauge}", get(gauge))
        .route("/gauges/{gauge}/checks", get(checks).post(check))
        .route("/gauges/{gauge}/calibrations", post(begin))
        .route("/calibrations/{calibration}", get(calibration))
        .route("/gauges/{gauge}/checks/correct", post(correct_check))
        .route(
            "/calibrations/{calibration}/correct",
            post(correct_calibration),
        )
        .route("/calibrations/{calibration}/points", post(point))
}

async fn bench(State(desk): State<Desk>, frame: Frame) -> Result<Markup, Refusal> {
    let gauges = desk.shop.gauges().await.map_err(|e| desk.refuse(&e))?;
    let rigs = desk.shop.rigs().await.map_err(|e| desk.refuse(&e))?;
    Ok(page::bench(&frame, &gauges, &rigs, &|| {
        desk.shop.fresh_id().to_string()
    }))
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
    let rigs = desk.shop.rigs().await.map_err(|e| desk.refuse(&e))?;
    Ok(page::gauge(&frame, &view, &rigs, &|| {
        desk.shop.fresh_id().to_string()
    }))
}

async fn take_in(
    State(desk): State<Desk>,
    frame: Frame,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let asked = GaugeAsked {
        label: posted.needed("label")?.to_owned(),
        resolution: posted.wanted("resolution", "Smallest step")?,
        repeatability: posted.wanted("repeatability", "Standard uncertainty")?,
        support_span_mm: posted.number("span", "Distance of the supports")?,
        rises_with_tension: match posted.raw("rises") {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        },
    };
    let pen = frame.pen(&posted)?;
    let taken = desk.shop.describe_gauge(&pen, &asked).await;
    let address = taken
        .as_ref()
        .map_or("/bench".into(), |taken| format!("/gauges/{}", taken.id));
    desk.back(taken, &address)
}

async fn check(
    State(desk): State<Desk>,
    frame: Frame,
    Path(gauge): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let asked = checked(&posted)?;
    let pen = frame.pen(&posted)?;
    let done = desk.shop.check_gauge(&pen, id(&gauge)?, asked).await;
    let address = match posted.raw("to") {
        "/" => "/".to_owned(), // from the shelf, at the start of a day
        _ => format!("/gauges/{gauge}"),
    };
    desk.back(done, &address)
}

async fn checks(
    State(desk): State<Desk>,
    frame: Frame,
    Path(gauge): Path<String>,
) -> Result<Markup, Refusal> {
    let view = desk.shop.gauge(id(&gauge)?).await;
    Ok(page::checks(&frame, &view.map_err(|e| desk.refuse(&e))?))
}

/// A check against the rod as a form says it.
fn checked(posted: &Posted) -> Result<CheckAsked, Refusal> {
    Ok(CheckAsked {
        reading: posted.said("reading")?.unwrap_or_default(),
        expected: posted.wanted("expected", "What the rod should read")?,
        tolerance: posted.wanted("tolerance", "How far off it may be")?,
        temperature_c: posted.number("temperature", "Temperature")?,
        note: posted.text("note")?.map(str::to_owned),
    })
}

async fn correct_check(
    State(desk): State<Desk>,
    frame: Frame,
    Path(gauge): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let (seen, why) = desk.correction(&posted, id(&gauge)?).await?;
    let done = desk
        .shop
        .correct_check(&frame.pen(&posted)?, seen, why, checked(&posted)?)
        .await;
    desk.back(done, &format!("/gauges/{gauge}"))
}

async fn begin(
    State(desk): State<Desk>,
    frame: Frame,
    Path(gauge): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let asked = on_the_rig(&posted)?;
    let pen = frame.pen(&posted)?;
    let begun = desk.shop.begin_calibration(&pen, id(&gauge)?, asked).await;
    let address = begun.as_ref().map_or(format!("/gauges/{gauge}"), |begun| {
        format!("/calibrations/{}", begun.id)
    });
    desk.back(begun, &address)
}

async fn correct_calibration(
    State(desk): State<Desk>,
    frame: Frame,
    Path(calibration): Path<String>,
    posted: Posted,
) -> Result<Redirect, Refusal> {
    let (seen, why) = desk.correction(&posted, id(&calibration)?).await?;
    let done = desk
        .shop
        .correct_calibration(&frame.pen(&posted)?, seen, why, on_the_rig(&posted)?)
        .await;
    desk.back(done, &format!("/calibrations/{calibration}"))
}

/// A calibration as a form says it.
fn on_the_rig(posted: &Posted) -> Result<CalibrationAsked, Refusal> {
    Ok(CalibrationAsked {
        spoke_kind: posted.said("kind")?.unwrap_or_default(),
        batch: posted.said("batch")?,
        operator: posted.said("operator")?,
        temperature_c: posted.number("temperature", "Temperature")?,
        rig: posted.named("rig")?,
        note: posted.text("note")?.map(str::to_owned),
        ..CalibrationAsked::default()
    })
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
    let rigs = desk.shop.rigs().await.map_err(|e| desk.refuse(&e))?;
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
        rigs: &rigs,
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
    let asked = PointAsked {
        reading: posted.as_typed("reading", "Reading")?.into(),
        force: posted.as_typed("force", "Force")?.into(),
        unit: posted.raw("unit").into(),
        direction: posted.said("direction")?,
        u_reading: None,
        u_force: None,
    };
    let pen = frame.pen(&posted)?;
    let done = desk.shop.enter_point(&pen, id(&calibration)?, &asked).await;
    desk.back(done, &format!("/calibrations/{calibration}"))
}
