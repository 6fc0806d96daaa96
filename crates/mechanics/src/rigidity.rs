//! How an arc pushes back when its two ends move.

use crate::bay::{EndLoad, Reach};
use crate::unknowns::{Block, Part, TWIST, WARPING, lower, set_twist, stacked, upper};
use nalgebra::{ArrayStorage, Vector3};

/// How an arc's two ends push back when they move; eq. 3.11.
#[derive(Debug, Clone)]
pub(crate) struct BayStiffness<const N: usize> {
    pub(crate) start: Block<N>,
    pub(crate) coupling: Block<N>,
    pub(crate) end: Block<N>,
}

/// What the load at an arc's start answers to movements of its ends.
#[derive(Debug, Clone)]
pub(crate) struct Rigidity<const N: usize> {
    /// Change of the start's load per opening (eq. 3.9).
    pub(crate) of_opening: Block<N>,
    /// Opening per rate of twist of the start under an unchanged load (eq. 3.26).
    pub(crate) from_twist: Part<N>,
    /// Far end's bimoment per change of the start's load (eq. 3.27).
    pub(crate) far_bimoment: Part<N>,
}

/// What an arc's far end answers to changes at its start while that is held.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Response<const N: usize> {
    /// Opening per change of the start's load, whose inverse is the rigidity.
    pub(crate) flexibility: Block<N>,
    /// As in [`Rigidity`].
    pub(crate) from_twist: Part<N>,
    pub(crate) far_bimoment: Part<N>,
}

impl<const N: usize> Response<N> {
    pub(crate) const NONE: Self = Self {
        flexibility: Block::from_array_storage(ArrayStorage([[0.0; N]; N])),
        from_twist: Part::from_array_storage(ArrayStorage([[0.0; N]; 1])),
        far_bimoment: Part::from_array_storage(ArrayStorage([[0.0; N]; 1])),
    };

    /// Both together, the other `share` times.
    pub(crate) fn plus(&self, other: &Self, share: f64) -> Self {
        Self {
            flexibility: self.flexibility + other.flexibility * share,
            from_twist: self.from_twist + other.from_twist * share,
            far_bimoment: self.far_bimoment + other.far_bimoment * share,
        }
    }

    pub(crate) fn rigidity(&self) -> Option<Rigidity<N>> {
        // A newton and a bimoment open an arc by very different amounts: evened out, the inverse keeps its digits.
        let scale = self.flexibility.diagonal().map(|own| own.abs().sqrt());
        let scale = Block::from_fn(|row, column| (scale[row] * scale[column]).recip());
        let even = self.flexibility.component_mul(&scale);
        Some(Rigidity {
            of_opening: even.try_inverse()?.component_mul(&scale),
            from_twist: self.from_twist,
            far_bimoment: self.far_bimoment,
        })
    }
}

impl<const N: usize> Rigidity<N> {
    /// Movement of the far end seen from the start, when both ends move (eq. 3.10, 3.26).
    pub(crate) fn opening(&self, reach: &Reach, start: &Part<N>, end: &Part<N>) -> Part<N> {
        let (shift, spin) = (start.fixed_rows::<3>(0), lower(start));
        let moved = reach.turn * end.fixed_rows::<3>(0) - shift + reach.chord.cross(&spin);
        let spun = reach.turn * end.fixed_rows::<3>(3) - spin;
        let mut opening = stacked(&moved, &spun);
        if N == WARPING {
            opening[TWIST] = end[TWIST];
            opening -= self.from_twist * start[TWIST];
        }
        opening
    }

    /// Change of what the far end carries in its own axes, when the start's load changes and no end moves.
    pub(crate) fn far_end(&self, load: &Part<N>, reach: &Reach) -> Part<N> {
        let bimoment = if N == WARPING {
            self.far_bimoment.dot(load)
        } else {
            0.0
        };
        far_end(&upper(load), &lower(load), bimoment, reach)
    }

    /// The opening per movement of the start and per movement of the end: eq. 3.10, 3.26 as matrices.
    pub(crate) fn openings(&self, reach: &Reach) -> [Block<N>; 2] {
        let mut from_start = -Block::<N>::identity();
        from_start
            .fixed_view_mut::<3, 3>(0, 3)
            .copy_from(&reach.chord.cross_matrix());
        let mut from_end = Block::<N>::zeros();
        from_end.fixed_view_mut::<3, 3>(0, 0).copy_from(&reach.turn);
        from_end.fixed_view_mut::<3, 3>(3, 3).copy_from(&reach.turn);
        if N == WARPING {
            from_start.set_column(TWIST, &-self.from_twist);
            from_end[(TWIST, TWIST)] = 1.0;
        }
        [from_start, from_end]
    }

    /// The ends' stiffness when the start carries `load` and the far end lies at `reach`; eq. 3.11.
    pub(crate) fn stiffness(&self, load: &EndLoad, reach: &Reach) -> BayStiffness<N> {
        let [from_start, from_end] = self.openings(reach);
        let moment = load.moment - reach.chord.cross(&load.force);
        let mut carried = self.of_opening;
        let lever = reach.chord.cross_matrix() * self.of_opening.fixed_view::<3, N>(0, 0);
        let mut lower = carried.fixed_view_mut::<3, N>(3, 0);
        lower -= lever;
        let force_turned = load.force.cross_matrix();
        let mut upper = carried.fixed_view_mut::<3, 3>(0, 3);
        upper += force_turned;
        let mut lower_left = carried.fixed_view_mut::<3, 3>(3, 0);
        lower_left += force_turned;
        let mut lower_right = carried.fixed_view_mut::<3, 3>(3, 3);
        lower_right += moment.cross_matrix();
        if N == WARPING {
            carried.set_row(TWIST, &self.far_bimoment.tr_mul(&self.of_opening));
        }

        let start_push = self.of_opening * from_end;
        BayStiffness {
            start: -(self.of_opening * from_start),
            coupling: -start_push,
            end: from_end.tr_mul(&(carried * from_end)),
        }
    }
}

/// What an arc's far end carries in its own axes.
pub(crate) fn far_end<const N: usize>(
    force: &Vector3<f64>,
    moment: &Vector3<f64>,
    bimoment: f64,
    reach: &Reach,
) -> Part<N> {
    let moment = moment - reach.chord.cross(force);
    let mut part = stacked(&reach.turn.tr_mul(force), &reach.turn.tr_mul(&moment));
    set_twist(&mut part, bimoment);
    part
}
