//! Statics of the hub: nobody pushes on the hub of a free wheel, so its spokes pull it nowhere.
//!
//! The six resultants of all spoke forces on the hub vanish whatever the rim does and whether or not
//! crossing spokes touch (theory §6, eq. 6.1). Only the directions of pull and the places where they
//! act enter, so this needs no stiffness.

use nalgebra::{DMatrix, DVector, Matrix6};
use quantity::Length;
use wheel::{Side, Wheel};

/// Singular values below this share of the largest count as none: far above rounding (1e-16 times the
/// number of spokes), far below the smallest real lever arm (a millimetre in half a metre).
const RANK_TOLERANCE: f64 = 1e-9;

/// Lever arm by which moments are divided to stand beside forces: about a flange's radius.
const LEVER_M: f64 = 0.03;

/// How spoke tensions add up on the hub.
#[derive(Debug, Clone, PartialEq)]
pub struct Equilibrium {
    /// One column per spoke: force x, y, z (N per N), then moment about x, y, z (N m per N).
    columns: Vec<[f64; 6]>,
}

/// What moves when the geometry is not quite as measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GeometryError {
    /// A flange lies farther out than measured, on this side.
    FlangeOffset(Side),
    /// The rim's plane lies farther to the right than measured.
    Dish,
}

impl GeometryError {
    /// Every geometric error that statics knows, in a fixed order.
    pub const ALL: [Self; 3] = [
        Self::FlangeOffset(Side::Right),
        Self::FlangeOffset(Side::Left),
        Self::Dish,
    ];
}

impl Equilibrium {
    /// The equilibrium of a wheel's hub, its rim in the place the measured dish gives it.
    #[must_use]
    pub fn of(wheel: &Wheel) -> Self {
        let dish_m = wheel.doubt.dish.unwrap_or(Length::ZERO).to_m();
        let columns = wheel
            .spokes
            .iter()
            .map(|spoke| {
                let hub_m = [spoke.hub.x.to_m(), spoke.hub.y.to_m(), spoke.hub.z.to_m()];
                let mut along_m = spoke.seat.minus(spoke.hub);
                along_m[2] += dish_m;
                let length_m = norm(along_m);
                let pull = along_m.map(|component_m| component_m / length_m);
                wrench(hub_m, pull)
            })
            .collect();
        Self { columns }
    }

    /// Force (N) and moment about the hub's centre (N m) that these tensions leave on the hub.
    ///
    /// # Panics
    /// When the number of tensions is not the number of spokes.
    #[must_use]
    pub fn resultants(&self, tensions_n: &[f64]) -> [f64; 6] {
        assert_eq!(
            tensions_n.len(),
            self.columns.len(),
            "one tension per spoke"
        );
        let mut sum = [0.0; 6];
        for (column, tension_n) in self.columns.iter().zip(tensions_n) {
            for (total, part) in sum.iter_mut().zip(column) {
                *total += part * tension_n;
            }
        }
        sum
    }

    /// One spoke's share in the six resultants, per newton.
    #[must_use]
    pub fn column(&self, spoke: wheel::SpokeIndex) -> [f64; 6] {
        self.columns[spoke.0]
    }

    /// How many of the six resultants the spokes can produce: six, or five when all are radial.
    #[must_use]
    pub fn rank(&self) -> usize {
        let singular = self.levelled().singular_values();
        let threshold = RANK_TOLERANCE * singular.max();
        singular.iter().filter(|value| **value > threshold).count()
    }

    /// The tensions nearest to `tensions_n` (least sum of squares of the changes) that leave nothing
    /// on the hub (eq. 6.3).
    #[must_use]
    pub fn balanced(&self, tensions_n: &[f64]) -> Vec<f64> {
        let matrix = self.levelled();
        let tensions = DVector::from_row_slice(tensions_n);
        let svd = matrix.clone().svd(true, true);
        let threshold = RANK_TOLERANCE * svd.singular_values.max();
        let mut balanced = tensions.clone();
        if let Some(rows) = &svd.v_t {
            // Two passes: the second removes what rounding left of the first.
            for _ in 0..2 {
                for (row, value) in rows.row_iter().zip(svd.singular_values.iter()) {
                    if *value > threshold {
                        let direction = row.transpose();
                        balanced -= &direction * direction.dot(&balanced);
                    }
                }
            }
        }
        balanced.iter().copied().collect()
    }

    /// An orthonormal basis of the tensions that leave nothing on the hub: one vector per state of
    /// self-stress, each with one entry per spoke.
    #[must_use]
    pub fn self_stress(&self) -> Vec<Vec<f64>> {
        let matrix = self.levelled();
        let eigen = (matrix.transpose() * &matrix).symmetric_eigen();
        let rank = self.rank();
        let mut order: Vec<usize> = (0..eigen.eigenvalues.len()).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
        order
            .into_iter()
            .take(self.columns.len() - rank)
            .map(|place| eigen.eigenvectors.column(place).iter().copied().collect())
            .collect()
    }

    /// How the six resultants move per metre of each error of the geometry, in the order of
    /// [`GeometryError::ALL`], at these tensions (eq. 6.4).
    #[must_use]
    pub fn geometry_sensitivity(wheel: &Wheel, tensions_n: &[f64]) -> [[f64; 6]; 3] {
        let dish_m = wheel.doubt.dish.unwrap_or(Length::ZERO).to_m();
        let mut change = [[0.0; 6]; 3];
        for (spoke, tension_n) in wheel.spokes.iter().zip(tensions_n) {
            let hub_m = [spoke.hub.x.to_m(), spoke.hub.y.to_m(), spoke.hub.z.to_m()];
            let mut along_m = spoke.seat.minus(spoke.hub);
            along_m[2] += dish_m;
            let length_m = norm(along_m);
            let pull = along_m.map(|component_m| component_m / length_m);
            // Moving the seat by dz turns the pull by (ẑ − u u_z) dz / L; moving the flange turns it back.
            let turned = [
                -pull[0] * pull[2] / length_m,
                -pull[1] * pull[2] / length_m,
                (1.0 - pull[2] * pull[2]) / length_m,
            ];
            let by_dish = wrench(hub_m, turned);
            let by_lever = wrench_moment([0.0, 0.0, 1.0], pull);
            let flange = match spoke.side {
                Side::Right => 0,
                Side::Left => 1,
            };
            let outward = spoke.side.sign();
            for row in 0..6 {
                change[2][row] += tension_n * by_dish[row];
                change[flange][row] -= outward * tension_n * by_dish[row];
            }
            for row in 0..3 {
                change[flange][row + 3] += outward * tension_n * by_lever[row];
            }
        }
        change
    }

    /// Mean tension to expect on the left for one newton on the right, from the axial resultant alone
    /// (eq. 6.2); none when one side has no spokes or does not pull sideways.
    #[must_use]
    pub fn left_to_right(&self, wheel: &Wheel) -> Option<f64> {
        let axial = |side| {
            let members = wheel.placed().filter(|(_, spoke)| spoke.side == side);
            let (count, sum) = members.fold((0.0, 0.0), |(count, sum), (place, _)| {
                (count + 1.0, sum + self.columns[place.0][2])
            });
            (count, sum)
        };
        let ((right_count, right), (left_count, left)) = (axial(Side::Right), axial(Side::Left));
        let pulls = right_count > 0.0 && left_count > 0.0 && left.abs() > RANK_TOLERANCE;
        let ratio = -right / left;
        (pulls && ratio > 0.0).then_some(ratio)
    }

    /// The pseudo-inverse quadratic form of resultants with a covariance, and its rank.
    ///
    /// `covariance` is that of the resultants, row by row; moments are levelled inside so that newtons
    /// and newton metres weigh alike (eq. 6.5).
    #[must_use]
    pub fn chi_squared(resultants: [f64; 6], covariance: [[f64; 6]; 6]) -> (f64, usize) {
        let level = |row: usize| if row < 3 { 1.0 } else { LEVER_M };
        let matrix =
            Matrix6::from_fn(|row, column| covariance[row][column] / (level(row) * level(column)));
        let eigen = matrix.symmetric_eigen();
        let threshold = RANK_TOLERANCE * eigen.eigenvalues.max();
        let mut sum = 0.0;
        let mut rank = 0;
        for (value, vector) in eigen
            .eigenvalues
            .iter()
            .zip(eigen.eigenvectors.column_iter())
        {
            if *value > threshold {
                let along: f64 = vector
                    .iter()
                    .enumerate()
                    .map(|(row, v)| v * resultants[row] / level(row))
                    .sum();
                sum += along * along / value;
                rank += 1;
            }
        }
        (sum, rank)
    }

    fn levelled(&self) -> DMatrix<f64> {
        DMatrix::from_fn(6, self.columns.len(), |row, column| {
            let entry = self.columns[column][row];
            if row < 3 { entry } else { entry / LEVER_M }
        })
    }
}

fn wrench(at_m: [f64; 3], force: [f64; 3]) -> [f64; 6] {
    let moment = wrench_moment(at_m, force);
    [
        force[0], force[1], force[2], moment[0], moment[1], moment[2],
    ]
}

fn wrench_moment(at_m: [f64; 3], force: [f64; 3]) -> [f64; 3] {
    [
        at_m[1] * force[2] - at_m[2] * force[1],
        at_m[2] * force[0] - at_m[0] * force[2],
        at_m[0] * force[1] - at_m[1] * force[0],
    ]
}

fn norm(vector: [f64; 3]) -> f64 {
    vector
        .iter()
        .map(|component| component * component)
        .sum::<f64>()
        .sqrt()
}
