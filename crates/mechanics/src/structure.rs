//! A wheel made ready to be asked: its rim and spokes in one state.

use crate::error::{Error, Finding};
use crate::mesh::Mesh;
use crate::section::Section;
use crate::statics::Equilibrium;
use crate::tangent::Tangent;
use crate::unknowns::{PLAIN, WARPING};
use quantity::Angle;
use wheel::{Side, SpokeIndex, Wheel};

/// Imbalance of the tensions that is accepted, as a share of the slacker side's sum: about what an
/// excellent gauge leaves of a wheel in perfect balance.
const IMBALANCE_ACCEPTED: f64 = 0.01;

/// Lever by which moments on the hub are set beside forces: about a flange's radius.
const LEVER_M: f64 = 0.03;

/// The state about which a wheel is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// As tensioned in the wheel file.
    Tensioned,
    /// Without any tension, spokes acting both ways.
    ZeroTension,
}

/// The tangent by what its nodes need.
#[derive(Debug, Clone)]
pub(crate) enum Answers {
    /// Twist meets GJ alone.
    Plain(Tangent<PLAIN>),
    /// The rim resists warping.
    Warping(Tangent<WARPING>),
}

/// Asks the structure's tangent, whichever unknowns its nodes have.
macro_rules! on_tangent {
    ($structure:expr, $tangent:ident => $answer:expr) => {
        match &$structure.answers {
            crate::structure::Answers::Plain($tangent) => $answer,
            crate::structure::Answers::Warping($tangent) => $answer,
        }
    };
}
pub(crate) use on_tangent;

/// A wheel ready to be asked about one state.
#[derive(Debug, Clone)]
pub struct Structure {
    pub(crate) state: State,
    pub(crate) answers: Answers,
    /// Seat angles in the order of the wheel.
    pub(crate) seats: Vec<f64>,
}

impl Structure {
    /// The wheel about `state`: rim, spokes and what both carry, theory §3.1.
    ///
    /// The reference shape is the perfect circle with the seats where the wheel has them (measured dish
    /// added). Tensions are used as given; the rim's own stress is that of the nearest balanced set.
    ///
    /// # Errors
    /// Missing or absurd constants; a mechanism; in [`State::Tensioned`] also missing, pushing or
    /// unbalanced tensions, and [`Error::AboveBuckling`] when the wheel cannot stand.
    pub fn about(wheel: &Wheel, state: State) -> Result<(Self, Vec<Finding>), Error> {
        if wheel.spokes.len() < 6 {
            return Err(Error::TooFewSpokes {
                spokes: wheel.spokes.len(),
            });
        }
        let section = Section::of(&wheel.rim)?;
        let mut findings = Vec::new();
        let (given_n, balanced_n) = match state {
            State::ZeroTension => (vec![0.0; wheel.spokes.len()], vec![0.0; wheel.spokes.len()]),
            State::Tensioned => {
                let given_n = tensions_n(wheel)?;
                let equilibrium = Equilibrium::of(wheel);
                findings.extend(imbalance(wheel, &equilibrium, &given_n)?);
                let balanced_n = equilibrium.balanced(&given_n);
                (given_n, balanced_n)
            }
        };
        let answers = if section.resists_warping() {
            let mesh = Mesh::new(wheel, section, &given_n, &balanced_n)?;
            Answers::Warping(Tangent::new(mesh)?)
        } else {
            if 0.0 < section.warping_n_m4 {
                findings.push(Finding::WarpingFades);
            }
            let mesh = Mesh::new(wheel, section, &given_n, &balanced_n)?;
            Answers::Plain(Tangent::new(mesh)?)
        };
        let seats = wheel
            .spokes
            .iter()
            .map(|spoke| spoke.seat_angle().to_rad())
            .collect();
        let structure = Self {
            state,
            answers,
            seats,
        };
        if on_tangent!(structure, tangent => tangent.turns_freely) {
            findings.push(Finding::TurnsFreely);
        }
        Ok((structure, findings))
    }

    /// The state it is asked about.
    #[must_use]
    pub fn state(&self) -> State {
        self.state
    }

    /// How many spokes it has.
    #[must_use]
    pub fn spokes(&self) -> usize {
        self.seats.len()
    }

    /// Where spoke 1 meets the rim.
    #[must_use]
    pub fn at_spoke_1(&self) -> Angle {
        Angle::rad(self.seats[0])
    }

    /// Half way from spoke 1 to spoke 2.
    #[must_use]
    pub fn mid_gap(&self) -> Angle {
        let ahead = (self.seats[1] - self.seats[0]).rem_euclid(std::f64::consts::TAU);
        Angle::rad(self.seats[0] + ahead / 2.0)
    }
}

/// The tensions a wheel gives.
///
/// # Errors
/// [`Error::NoTension`] when one is missing or all are zero, [`Error::Pushing`] for a negative one.
fn tensions_n(wheel: &Wheel) -> Result<Vec<f64>, Error> {
    let mut tensions_n = Vec::with_capacity(wheel.spokes.len());
    for (place, spoke) in wheel.placed() {
        let tension_n = spoke
            .tension
            .ok_or(Error::NoTension { spoke: place })?
            .to_n();
        if !tension_n.is_finite() || tension_n < 0.0 {
            return Err(Error::Pushing {
                spoke: place,
                tension_n,
            });
        }
        tensions_n.push(tension_n);
    }
    if tensions_n.iter().all(|tension_n| *tension_n == 0.0) {
        return Err(Error::NoTension {
            spoke: SpokeIndex(0),
        });
    }
    Ok(tensions_n)
}

/// What the tensions leave on the hub: nothing to speak of, a finding, or an error (eq. 3.16).
fn imbalance(
    wheel: &Wheel,
    equilibrium: &Equilibrium,
    tensions_n: &[f64],
) -> Result<Option<Finding>, Error> {
    let left = equilibrium.resultants(tensions_n);
    let side_sum = |side: Side| -> f64 {
        let members = wheel.placed().filter(|(_, spoke)| spoke.side == side);
        members.map(|(place, _)| tensions_n[place.0]).sum()
    };
    let mut sums: Vec<f64> = Side::BOTH
        .map(side_sum)
        .into_iter()
        .filter(|sum| 0.0 < *sum)
        .collect();
    sums.sort_by(f64::total_cmp);
    let slacker_n = sums[0];
    let force_n = [left[0], left[1], left[2]];
    let moment_n_m = [left[3], left[4], left[5]];
    let size = |part: [f64; 3], unit: f64| {
        part.iter()
            .map(|component| component * component)
            .sum::<f64>()
            .sqrt()
            / unit
    };
    let share = size(force_n, slacker_n).max(size(moment_n_m, slacker_n * LEVER_M));
    if share <= 1e-9 {
        return Ok(None);
    }
    // What the stated doubt about flanges and dish lets the tensions leave along the axle.
    let doubt_m = wheel
        .doubt
        .flange_offset_u
        .to_m()
        .hypot(wheel.doubt.dish_u.to_m());
    let tilt: f64 = wheel
        .spokes
        .iter()
        .zip(tensions_n)
        .map(|(spoke, tension_n)| tension_n / spoke.length().to_m())
        .sum();
    let accepted = IMBALANCE_ACCEPTED.max(2.0 * doubt_m * tilt / slacker_n);
    if accepted < share {
        return Err(Error::Unbalanced {
            force_n,
            moment_n_m,
            share,
        });
    }
    Ok(Some(Finding::Imbalance {
        force_n,
        moment_n_m,
        share,
    }))
}
