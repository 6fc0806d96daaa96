//! What the built wheel bears: a rider through a turn, a published side load, its own tension.

use super::finding;
use super::tensioned::Tensioned;
use crate::view::{
    BucklingView, BuildRideView, BuildStructureView, FindingView, GoodmanView, HungView, Quantity,
    SideLoadView, SwingView,
};
use mechanics::endurance::Swing;
use mechanics::hang_test::{Hung, Way};
use mechanics::ride::RimLoad;
use mechanics::{Error as NoAnswer, State, Structure};
use quantity::force::NEWTONS_PER_KGF;
use quantity::{Angle, Force, Length, Mass, Rigidity, Stress};
use std::f64::consts::{FRAC_PI_4, TAU};
use wheel::{Section, SpokeKind, Wheel};

/// Seats nearer than this along the rim are one place for a load.
const SAME_ANGLE_RAD: f64 = 1e-6;

/// Who rides, and how hard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rider {
    /// Rider and bicycle together.
    pub mass: Mass,
    /// Share of it on this wheel.
    pub share: f64,
    /// By what the standing load is multiplied for bumps and holes.
    pub factor: f64,
    /// To the right, at the ground.
    pub lateral: Force,
    /// Torque between hub and rim, N m: driving positive, braking (at a rotor) negative.
    pub torque_n_m: f64,
    /// Length of rim that the tyre's patch loads.
    pub patch: Length,
}

impl Rider {
    /// The load at the rim, its centroid at this radius.
    fn load(&self, radius: Length) -> RimLoad {
        RimLoad {
            radial: Force::n(self.mass.to_kg() * NEWTONS_PER_KGF * self.share * self.factor),
            lateral: self.lateral,
            tangential: Force::n(self.torque_n_m / radius.to_m()),
            patch: self.patch,
        }
    }

    fn from(&self) -> String {
        format!(
            "{:.0} kg of rider and bicycle, {:.0} % of it on this wheel, times {} for the road",
            self.mass.to_kg(),
            self.share * 100.0,
            self.factor
        )
    }
}

/// A static side force on the rim.
#[derive(Debug, Clone, PartialEq)]
pub struct SideLoad {
    /// The force.
    pub force: Force,
    /// Whose test it is of.
    pub source: String,
}

impl Default for SideLoad {
    /// Source: TBIS 15194:2019, tables 22 and 25, static side force on a wheel for city and racing bicycles, an industry
    /// text after ISO 4210 (the same tables give 370 N for mountain bicycles).
    fn default() -> Self {
        Self {
            force: Force::n(250.0),
            source: "TBIS 15194:2019, static side force for city and racing wheels".into(),
        }
    }
}

/// Stiffness, slack and buckling.
pub(super) fn structure(
    built: &Tensioned,
    findings: &mut Vec<FindingView>,
) -> Option<BuildStructureView> {
    let structure = built.structure.as_ref()?;
    let at = told(
        structure.point_stiffness(&[structure.at_spoke_1()]),
        findings,
    )?;
    let (buckling, of_buckling) = told(structure.buckling(), findings)?;
    findings.extend(
        of_buckling
            .iter()
            .map(|one| finding("buckling", one.to_string())),
    );
    let first_slack_n = ridden(built, findings).and_then(|ridden| {
        let (slack, of_slack) = told(ridden.first_slack(ridden.at_spoke_1()), findings)?;
        findings.extend(
            of_slack
                .iter()
                .map(|one| finding("first-slack", one.to_string())),
        );
        slack.map(|slack| slack.load_n)
    });
    Some(BuildStructureView {
        radial_n_per_mm: at[0].radial_n_per_mm,
        lateral_n_per_mm: at[0].lateral_n_per_mm,
        torsional_n_m_per_rad: structure.torsional_n_m_per_rad(),
        first_slack_n,
        buckling: buckling.map(|one| BucklingView {
            tension_multiplier: one.tension_multiplier,
            waves: one.waves,
            sideways: one.sideways,
        }),
    })
}

/// What hang tests say of the rim, and how far the answers move when it is one standard uncertainty off.
pub(super) fn hung(built: &Tensioned, hung: &Hung, now: Option<&BuildStructureView>) -> HungView {
    let u = [hung.in_plane, hung.lateral].map(|factor| factor.map(|factor| factor.u_relative));
    let constant = |constant: Option<Rigidity>, u: Option<f64>| {
        let value = constant.map(Rigidity::to_n_mm2)?;
        Some(Quantity::new(value, value * u?))
    };
    let off: Vec<Option<BuildStructureView>> = [Way::Radial, Way::Lateral]
        .into_iter()
        .zip(u)
        .filter_map(|(way, u)| Some((way, u?)))
        .map(|(way, u)| structure(&built.with_rim_off(way, 1.0 + u), &mut Vec::new()))
        .collect();
    let moved = |of: &dyn Fn(&BuildStructureView) -> Option<f64>| -> Option<f64> {
        let here = of(now?)?;
        let squares: Option<Vec<f64>> = off
            .iter()
            .map(|one| Some((of(one.as_ref()?)? - here).powi(2)))
            .collect();
        Some(squares?.iter().sum::<f64>().sqrt())
    };
    let rim = &hung.rim;
    HungView {
        in_plane_bending_n_mm2: constant(rim.in_plane_bending, u[0]),
        lateral_bending_n_mm2: constant(rim.lateral_bending, u[1]),
        torsion_n_mm2: constant(rim.torsion, u[1]),
        chi2: hung.chi_squared,
        degrees_of_freedom: hung.degrees_of_freedom,
        radial_u_n_per_mm: moved(&|one| Some(one.radial_n_per_mm)),
        lateral_u_n_per_mm: moved(&|one| Some(one.lateral_n_per_mm)),
        first_slack_u_n: moved(&|one| one.first_slack_n),
        tension_multiplier_u: moved(&|one| one.buckling.map(|one| one.tension_multiplier)),
    }
}

fn told<T>(answer: Result<T, NoAnswer>, findings: &mut Vec<FindingView>) -> Option<T> {
    answer
        .map_err(|error| findings.push(finding("structure", error.to_string())))
        .ok()
}

/// The wheel with its tyred tensions, where a tyre is reckoned with.
fn tyred(built: &Tensioned) -> Option<Wheel> {
    let tyred = built.tyred.as_ref()?;
    let mut wheel = built.wheel.clone();
    for (spoke, tyred_n) in wheel.spokes.iter_mut().zip(&tyred.tyred_n) {
        spoke.tension = Some(Force::n(tyred_n.max(0.0)));
    }
    Some(wheel)
}

/// The structure that is ridden: with the tyre's tensions where there is one, else bare.
fn ridden(built: &Tensioned, findings: &mut Vec<FindingView>) -> Option<Structure> {
    match tyred(built) {
        Some(wheel) => Some(told(Structure::about(&wheel, State::Tensioned), findings)?.0),
        None => built.structure.clone(),
    }
}

/// The rider's load once round; a lacing that repeats is asked for one period only.
pub(super) fn ride(
    built: &Tensioned,
    rider: &Rider,
    findings: &mut Vec<FindingView>,
) -> Option<BuildRideView> {
    let structure = ridden(built, findings)?;
    let load = rider.load(built.wheel.rim.centroid_radius?);
    let (wheel, is_tyred) = (
        tyred(built).unwrap_or_else(|| built.wheel.clone()),
        built.tyred.is_some(),
    );
    let period = wheel.period();
    let turn = match structure.turn(&load, &contacts(&wheel, period)) {
        Ok(turn) => turn,
        Err(error) => {
            findings.push(FindingView {
                weight: "doubt".into(),
                ..finding(
                    "ride",
                    format!(
                        "{:.0} N toward the hub, {:.0} N to the right: {error}.",
                        load.radial.to_n(),
                        load.lateral.to_n()
                    ),
                )
            });
            return None;
        }
    };
    let ends = ends(&turn.tension_n, wheel.spokes.len(), period);
    let (smallest, largest) = (extreme(&ends, |end| end[0]), extreme(&ends, |end| -end[1]));
    if ends[smallest][0] <= 0.0 {
        findings.push(FindingView {
            weight: "doubt".into(),
            ..finding("ride", "Spokes go slack under the rider's load: by this model the wheel is too slack for it.".into())
        });
    }
    Some(BuildRideView {
        radial_n: load.radial.to_n(),
        lateral_n: load.lateral.to_n(),
        tangential_n: load.tangential.to_n(),
        patch_mm: load.patch.to_mm(),
        from: rider.from(),
        tyred: is_tyred,
        smallest_n: ends[smallest][0],
        smallest_spoke: smallest + 1,
        smallest_at_deg: turn.smallest.at.to_deg(),
        largest_n: ends[largest][1],
        largest_spoke: largest + 1,
        swings: swings(&wheel, &ends),
        tension_n: ends,
    })
}

/// The smallest tension with the rider's load at one place.
pub(super) fn smallest_ridden_n(
    built: &Tensioned,
    rider: &Rider,
    at: Angle,
    findings: &mut Vec<FindingView>,
) -> Option<f64> {
    let load = rider.load(built.wheel.rim.centroid_radius?);
    let ride = told(ridden(built, findings)?.ride(&load, at), findings)?;
    ride.tension_n.into_iter().min_by(f64::total_cmp)
}

/// The place of the smallest.
fn extreme(ends: &[[f64; 2]], of: impl Fn(&[f64; 2]) -> f64) -> usize {
    let numbered = ends.iter().enumerate();
    numbered
        .min_by(|(_, one), (_, other)| of(one).total_cmp(&of(other)))
        .map_or(0, |(place, _)| place)
}

/// Where the load stands: at the seats of the first `period` spokes and half way to the next.
fn contacts(wheel: &Wheel, period: usize) -> Vec<Angle> {
    let seats: Vec<f64> = wheel
        .spokes
        .iter()
        .map(|spoke| spoke.seat_angle().to_rad())
        .collect();
    let mut places = Vec::new();
    for place in 0..period {
        let here = seats[place];
        let next = seats.get(place + 1).copied().unwrap_or(seats[0] + TAU);
        if SAME_ANGLE_RAD < next - here {
            places.push(Angle::rad(here));
            places.push(Angle::rad(f64::midpoint(here, next)));
        }
    }
    places
}

/// Smallest and largest tension of every spoke, the load having stood in one period of the lacing: what one spoke of
/// a class meets there, the others meet as the wheel turns on.
fn ends(rows: &[Vec<f64>], count: usize, period: usize) -> Vec<[f64; 2]> {
    let of_class = |class: usize| {
        let met = || {
            rows.iter()
                .flat_map(move |row| row.iter().skip(class).step_by(period))
                .copied()
        };
        [
            met().fold(f64::INFINITY, f64::min),
            met().fold(f64::NEG_INFINITY, f64::max),
        ]
    };
    let classes: Vec<[f64; 2]> = (0..period).map(of_class).collect();
    (0..count).map(|spoke| classes[spoke % period]).collect()
}

/// The worst swing of every kind, and what of a published line it uses.
fn swings(wheel: &Wheel, ends: &[[f64; 2]]) -> Vec<SwingView> {
    let view = wheel.kinds.iter().enumerate().filter_map(|(place, kind)| {
        let members = wheel.placed().filter(|(_, spoke)| spoke.kind.0 == place);
        let range = |spoke: usize| ends[spoke][1] - ends[spoke][0];
        let (worst, _) =
            members.max_by(|(one, _), (other, _)| range(one.0).total_cmp(&range(other.0)))?;
        let [smallest, largest] = ends[worst.0].map(Force::n);
        let swing = area_m2(kind).map(|area_m2| Swing::of(smallest, largest, area_m2));
        Some(SwingView {
            kind: kind.name.clone(),
            spoke: worst.number(),
            range_n: (largest - smallest).to_n(),
            mean_n: ((largest + smallest) / 2.0).to_n(),
            mean_mpa: swing.map(|swing| swing.mean.to_mpa()),
            amplitude_mpa: swing.map(|swing| swing.amplitude.to_mpa()),
            goodman_share: swing
                .zip(kind.endurance.as_ref())
                .map(|(swing, endurance)| swing.share(endurance)),
            goodman: kind.endurance.as_ref().map(|endurance| GoodmanView {
                strength_mpa: Stress::to_mpa(endurance.strength),
                amplitude_mpa: endurance.amplitude.to_mpa(),
                source: endurance.source.clone(),
            }),
        })
    });
    view.collect()
}

/// Section of a spoke under the gauge; a blade is taken as an oval.
fn area_m2(kind: &SpokeKind) -> Option<f64> {
    Some(match kind.section? {
        Section::Wire(diameter) => FRAC_PI_4 * diameter.to_m().powi(2),
        Section::Blade { thin, wide } => FRAC_PI_4 * thin.to_m() * wide.to_m(),
    })
}

/// What the published side load moves where it acts, the hub held; nulls where the wheel folds.
pub(super) fn side_load(built: &Tensioned, asked: &SideLoad) -> Option<SideLoadView> {
    let structure = built.structure.as_ref()?;
    let most_mm = |at: Angle| -> Option<f64> {
        let moved = [1.0, -1.0].map(|way| {
            let load = RimLoad::point(Force::ZERO, asked.force * way);
            structure
                .ride(&load, at)
                .map(|ride| ride.displacement_mm[2].abs())
                .ok()
        });
        Some(moved[0]?.max(moved[1]?))
    };
    Some(SideLoadView {
        force_n: asked.force.to_n(),
        source: asked.source.clone(),
        at_spoke_1_mm: most_mm(structure.at_spoke_1()),
        mid_gap_mm: most_mm(structure.mid_gap()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_one_spoke_of_a_class_meets_all_of_it_meet() {
        // Six spokes of period two; the load stood at two places.
        let rows = [
            vec![1.0, 9.0, 3.0, 8.0, 2.0, 7.0],
            vec![4.0, 5.0, 6.0, 11.0, 0.5, 10.0],
        ];
        let ends = ends(&rows, 6, 2);
        assert_eq!(ends, [[0.5, 6.0], [5.0, 11.0]].repeat(3));
    }

    #[test]
    fn a_rider_standing_still_weighs_on_the_wheel_what_the_share_says() {
        let rider = Rider {
            mass: Mass::kg(100.0),
            share: 0.6,
            factor: 2.0,
            lateral: Force::ZERO,
            torque_n_m: -60.0,
            patch: Length::mm(80.0),
        };
        let load = rider.load(Length::mm(300.0));
        assert!((load.radial.to_n() - 1176.798).abs() < 1e-9);
        assert!(
            (load.tangential.to_n() + 200.0).abs() < 1e-9,
            "braking pulls the rim back"
        );
    }
}
