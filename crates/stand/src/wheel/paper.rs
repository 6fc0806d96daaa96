//! The lap on paper, for when there is no current: every spoke a box, in the order of the wheel.

use super::routes::called;
use crate::desk::Desk;
use crate::layout::{Frame, Part, page};
use crate::refusal::Refusal;
use axum::extract::{Path, State};
use maud::{Markup, html};

pub(super) async fn show(
    State(desk): State<Desk>,
    frame: Frame,
    Path(label): Path<String>,
) -> Result<Markup, Refusal> {
    let wheel = called(&desk, &label).await?;
    let life = desk.shop.life(wheel).await.map_err(|e| desk.refuse(&e))?;
    let (described, _) = desk.shop.wheel(wheel).await.map_err(|e| desk.refuse(&e))?;
    let body = html! {
        h1 { (life.name) " " span class="label" { (life.label) } }
        p class="no-print" { "Print this page and keep it by the truing stand. Typed in afterwards, spoke after spoke, from “Type in a lap from paper” on the lap’s page." }
        p { "Day ______________ by ________ gauge ________ rod check ________ tyre ______________ at ______ bar / psi, ______ °C" }
        p { "Start at spoke 1, the first after the valve hole as the wheel rolls; right is the drive side. Cross out and write beside: nothing is erased." }
        div class="paper-form" {
            table {
                caption { "Readings, in divisions" }
                thead { tr { th { "spoke" } th { "bare" } th { "tyre on" } } }
                tbody {
                    @for (place, spoke) in described.placed() {
                        @let is_last = place.number() == described.spokes.len();
                        tr class=(if is_last { "valve" } else { "" }) {
                            td { strong { (place.number()) } " " (spoke.side.word()) }
                            td class="box" {} td class="box" {}
                        }
                    }
                }
            }
        }
        p { "The thick line is the valve hole. Runout: lateral right ______ left ______ radial ______ mm, dish ______ mm (true offset / as the tool shows), bearing play yes / no" }
    };
    Ok(page(&frame, Part::Wheels, "Lap on paper", &body))
}
