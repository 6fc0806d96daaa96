//! One spoke as the rim feels it: a straight bar from the rigid hub to its seat on a stiff arm.

use crate::error::Error;
use crate::unknowns::{Part, stacked};
use nalgebra::{Matrix3, Matrix6, Vector3};
use quantity::Force;
use wheel::{Spoke, SpokeIndex};

/// A spoke between the hub and the rim's node it hangs on.
#[derive(Debug, Clone)]
pub(crate) struct Spring {
    /// The rim's node.
    pub(crate) node: usize,
    /// Where it leaves the flange, in the wheel's axes.
    pub(crate) hub: Vector3<f64>,
    /// From the rim's centroid to the seat, in the node's axes.
    pub(crate) arm: Vector3<f64>,
    /// From hub to seat, unit, in the node's axes, in the reference state.
    along: Vector3<f64>,
    pub(crate) length_m: f64,
    /// EA.
    pub(crate) axial_n: f64,
    /// In the reference state.
    pub(crate) tension_n: f64,
    /// By how much its nipple was turned since: natural length that it has less than in the reference state.
    pub(crate) shorter_m: f64,
}

impl Spring {
    /// The spoke on a node that stands at `centroid` with `axes` as columns.
    ///
    /// # Errors
    /// When its stiffness is missing or its length or stiffness is not positive.
    pub(crate) fn new(
        place: SpokeIndex,
        spoke: &Spoke,
        axial: Option<Force>,
        dish_m: f64,
        node: (usize, Vector3<f64>, Matrix3<f64>),
        tension_n: f64,
    ) -> Result<Self, Error> {
        let (node, centroid, axes) = node;
        let number = place.number();
        let positive = |what: &str, value: f64| {
            if value.is_finite() && 0.0 < value {
                Ok(value)
            } else {
                Err(Error::NotPositive {
                    what: format!("the {what} of spoke {number}"),
                    value,
                })
            }
        };
        let axial = axial.ok_or(Error::SpokeUnknown { spoke: place })?;
        let axial_n = positive("axial stiffness", axial.to_n())?;
        let hub = Vector3::new(spoke.hub.x.to_m(), spoke.hub.y.to_m(), spoke.hub.z.to_m());
        let seat = Vector3::new(
            spoke.seat.x.to_m(),
            spoke.seat.y.to_m(),
            spoke.seat.z.to_m() + dish_m,
        );
        let length_m = positive("length", (seat - hub).norm())?;
        Ok(Self {
            node,
            hub,
            arm: axes.tr_mul(&(seat - centroid)),
            along: axes.tr_mul(&((seat - hub) / length_m)),
            length_m,
            axial_n,
            tension_n,
            shorter_m: 0.0,
        })
    }

    /// Length without tension; eq. 3.13.
    pub(crate) fn natural_m(&self) -> f64 {
        self.length_m / (1.0 + self.tension_n / self.axial_n) - self.shorter_m
    }

    /// Change of tension per stretch, N/m; eq. 3.13.
    pub(crate) fn rate_n_per_m(&self) -> f64 {
        self.axial_n / self.natural_m()
    }

    /// Change of tension per shortening of the natural length with both ends held, N/m; eq. 3.14.
    pub(crate) fn shortening_n_per_m(&self) -> f64 {
        self.rate_n_per_m() * self.length_m / self.natural_m()
    }

    /// Force and moment on the node per newton of tension, in the node's axes.
    pub(crate) fn pull<const N: usize>(&self) -> Part<N> {
        stacked(&-self.along, &-self.arm.cross(&self.along))
    }

    /// Change of tension when the node moves.
    pub(crate) fn tension_change_n<const N: usize>(&self, moved: &Part<N>) -> f64 {
        -self.rate_n_per_m() * self.pull::<N>().dot(moved)
    }

    /// Stiffness on its node in the reference state, all tension multiplied by `multiplier`.
    pub(crate) fn stiffness(&self, multiplier: f64) -> Matrix6<f64> {
        let tension_n = self.tension_n * multiplier;
        let rate = (self.axial_n + tension_n) / self.length_m;
        stiffness(&self.arm, &self.along, rate, tension_n, self.length_m)
    }

    /// Stiffness on the hub's centre, the seat held, in the wheel's axes; `along` from hub to seat.
    pub(crate) fn stiffness_on_hub(&self, along: &Vector3<f64>) -> Matrix6<f64> {
        // Seen from the hub the spoke is the same bar, pulling the other way on the arm to its flange.
        stiffness(
            &self.hub,
            &-along,
            self.rate_n_per_m(),
            self.tension_n,
            self.length_m,
        )
    }

    /// Tension at another length with a share of its turns made, negative where the bar would have to push; eq. 3.13.
    pub(crate) fn tension_at_n(&self, length_m: f64, share: f64) -> f64 {
        let natural_m = self.natural_m() + (1.0 - share) * self.shorter_m;
        self.axial_n * (length_m / natural_m - 1.0)
    }

    /// Stiffness on its node with the seat elsewhere.
    pub(crate) fn stiffness_at(
        &self,
        along: &Vector3<f64>,
        length_m: f64,
        tension_n: f64,
    ) -> Matrix6<f64> {
        stiffness(&self.arm, along, self.rate_n_per_m(), tension_n, length_m)
    }
}

/// Bar, string and seat arm; eq. 3.15.
fn stiffness(
    arm: &Vector3<f64>,
    along: &Vector3<f64>,
    rate_n_per_m: f64,
    tension_n: f64,
    length_m: f64,
) -> Matrix6<f64> {
    let string = tension_n / length_m;
    let seat = along * along.transpose() * (rate_n_per_m - string) + Matrix3::identity() * string;
    let lever = arm.cross_matrix();
    let pull = (along * -tension_n).cross_matrix();
    let mut block = Matrix6::zeros();
    block.fixed_view_mut::<3, 3>(0, 0).copy_from(&seat);
    block
        .fixed_view_mut::<3, 3>(0, 3)
        .copy_from(&(-seat * lever - pull));
    block
        .fixed_view_mut::<3, 3>(3, 0)
        .copy_from(&(lever * seat));
    block
        .fixed_view_mut::<3, 3>(3, 3)
        .copy_from(&(-lever * (seat * lever + pull)));
    block
}
