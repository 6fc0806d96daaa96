//! A rim's constants from the drawing of its section.
//!
//! The section is one material between polygons: an outline, and the cells it encloses. Coordinates run
//! along the axle (positive to the right) and outward from the axle.

use quantity::{Force, Length, Rigidity, Stress};
use std::f64::consts::PI;
use wheel::Rim;

/// A point of the drawing: along the axle, and distance from the axle.
pub type Corner = [Length; 2];

/// A drawn section.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionShape {
    /// The outer outline, either way round.
    pub outline: Vec<Corner>,
    /// The outlines of its closed cells.
    pub cells: Vec<Vec<Corner>>,
    /// Young's modulus along the rim.
    pub modulus: Stress,
    /// Shear modulus along the wall.
    pub shear_modulus: Stress,
}

/// Why a drawing gives no section.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Error {
    /// An outline has fewer than three corners, or encloses nothing.
    #[error("{what} encloses no area: it needs three corners that are not in one line")]
    NoArea {
        /// Which outline.
        what: &'static str,
    },
    /// A cell reaches out of the outline.
    #[error("cell {cell} reaches out of the section's outline")]
    CellOutside {
        /// Its place in the list, from 1.
        cell: usize,
    },
    /// Two cells overlap, or a wall has no thickness.
    #[error("cell {cell} touches its neighbour or the outline: every wall needs a thickness")]
    NoWall {
        /// Its place in the list, from 1.
        cell: usize,
    },
    /// A modulus is no positive number.
    #[error("the {what} must be a positive number")]
    Modulus {
        /// Which one.
        what: &'static str,
    },
    /// Nothing encloses a cell: an open section is not told its torsion by this.
    #[error(
        "the section has no closed cell: its torsion cannot be told from the drawing, so give it as measured"
    )]
    Open,
}

/// What a section is as a rod's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionConstants {
    /// Distance of the centroid from the axle.
    pub centroid_radius: Length,
    /// Distance of the centroid from the drawing's middle, along the axle.
    pub centroid_offset: Length,
    /// Area of material, m².
    pub area_m2: f64,
    /// EA.
    pub axial_stiffness: Force,
    /// EI for bending in the wheel's plane.
    pub in_plane_bending: Rigidity,
    /// EI for bending out of it.
    pub lateral_bending: Rigidity,
    /// E times the product of inertia: zero for a section that is alike on both sides.
    pub coupling: Rigidity,
    /// GJ.
    pub torsion: Rigidity,
}

/// Pieces into which an outline is cut for thicknesses: walls then come out within 0.1 %.
const PIECES: f64 = 800.0;

impl SectionShape {
    /// Area, centroid, second moments by Green's theorem; torsion by Bredt and Batho; eq. 8.13 to 8.15.
    ///
    /// Validity: a rod far longer than it is deep, one material; for torsion, walls thin beside their cells.
    ///
    /// # Errors
    /// See [`Error`].
    pub fn constants(&self) -> Result<SectionConstants, Error> {
        for (what, modulus) in [
            ("modulus", self.modulus),
            ("shear modulus", self.shear_modulus),
        ] {
            if !(modulus.is_finite() && Stress::ZERO < modulus) {
                return Err(Error::Modulus { what });
            }
        }
        let outline = Polygon::new(&self.outline, "the outline")?;
        let cells: Vec<Polygon> = self
            .cells
            .iter()
            .map(|cell| Polygon::new(cell, "a cell"))
            .collect::<Result<_, _>>()?;
        for (cell, place) in cells.iter().zip(1..) {
            if !cell.corners.iter().all(|&corner| outline.holds(corner)) {
                return Err(Error::CellOutside { cell: place });
            }
        }
        let mut sums = outline.moments();
        for cell in &cells {
            for (sum, part) in sums.iter_mut().zip(cell.moments()) {
                *sum -= part;
            }
        }
        let [area, first_x, first_y, xx, yy, xy] = sums;
        if area <= 0.0 {
            return Err(Error::NoWall { cell: 1 });
        }
        let (x, y) = (first_x / area, first_y / area);
        let bending = |second: f64| Rigidity::n_m2(self.modulus.to_pa() * second);
        Ok(SectionConstants {
            centroid_radius: Length::m(y),
            centroid_offset: Length::m(x),
            area_m2: area,
            axial_stiffness: Force::n(self.modulus.to_pa() * area),
            in_plane_bending: bending(yy - area * y * y),
            lateral_bending: bending(xx - area * x * x),
            coupling: bending(xy - area * x * y),
            torsion: Rigidity::n_m2(self.shear_modulus.to_pa() * torsion(&outline, &cells)?),
        })
    }
}

impl SectionConstants {
    /// A rim of this section.
    #[must_use]
    pub fn rim(&self) -> Rim {
        Rim {
            centroid_radius: Some(self.centroid_radius),
            axial_stiffness: Some(self.axial_stiffness),
            in_plane_bending: Some(self.in_plane_bending),
            lateral_bending: Some(self.lateral_bending),
            torsion: Some(self.torsion),
            ..Rim::default()
        }
    }
}

/// A closed polygon in metres, counter-clockwise.
struct Polygon {
    corners: Vec<[f64; 2]>,
}

impl Polygon {
    fn new(corners: &[Corner], what: &'static str) -> Result<Self, Error> {
        let mut polygon = Self {
            corners: corners
                .iter()
                .map(|corner| corner.map(Length::to_m))
                .collect(),
        };
        let twice: f64 = polygon.edges().map(|[a, b]| cross(a, b)).sum();
        if twice < 0.0 {
            polygon.corners.reverse();
        }
        if polygon.corners.len() < 3 || twice == 0.0 || !twice.is_finite() {
            return Err(Error::NoArea { what });
        }
        Ok(polygon)
    }

    fn edges(&self) -> impl Iterator<Item = [[f64; 2]; 2]> {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().zip(next).map(|(&a, &b)| [a, b])
    }

    /// Area, both first moments, ∫x², ∫y² and ∫xy, by Green's theorem.
    fn moments(&self) -> [f64; 6] {
        let mut sums = [0.0; 6];
        for [[ax, ay], [bx, by]] in self.edges() {
            let turn = ax * by - bx * ay;
            let parts = [
                1.0 / 2.0,
                (ax + bx) / 6.0,
                (ay + by) / 6.0,
                (ax * ax + ax * bx + bx * bx) / 12.0,
                (ay * ay + ay * by + by * by) / 12.0,
                (ax * by + 2.0 * ax * ay + 2.0 * bx * by + bx * ay) / 24.0,
            ];
            for (sum, part) in sums.iter_mut().zip(parts) {
                *sum += turn * part;
            }
        }
        sums
    }

    /// Whether a point lies inside, by the edges that a ray to the right crosses.
    fn holds(&self, [x, y]: [f64; 2]) -> bool {
        let crosses = |[[ax, ay], [bx, by]]: &[[f64; 2]; 2]| {
            (*ay > y) != (*by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
        };
        self.edges().filter(crosses).count() % 2 == 1
    }

    /// Distance from a point to the nearest edge.
    fn distance(&self, [x, y]: [f64; 2]) -> f64 {
        self.edges()
            .map(|[[ax, ay], [bx, by]]| {
                let (along_x, along_y) = (bx - ax, by - ay);
                let square = along_x * along_x + along_y * along_y;
                let share = ((x - ax) * along_x + (y - ay) * along_y) / square;
                let share = if share.is_nan() {
                    0.0
                } else {
                    share.clamp(0.0, 1.0)
                };
                (x - ax - share * along_x).hypot(y - ay - share * along_y)
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// Middles of short pieces, with their lengths.
    fn pieces(&self) -> Vec<([f64; 2], f64)> {
        let length = |[[ax, ay], [bx, by]]: [[f64; 2]; 2]| (bx - ax).hypot(by - ay);
        let round: f64 = self.edges().map(length).sum();
        let mut pieces = Vec::new();
        for edge in self.edges() {
            let whole = length(edge);
            let count = (whole / round * PIECES).ceil().max(1.0);
            let [[ax, ay], [bx, by]] = edge;
            pieces.extend((0..count as usize).map(|piece| {
                let share = (piece as f64 + 0.5) / count;
                (
                    [ax + share * (bx - ax), ay + share * (by - ay)],
                    whole / count,
                )
            }));
        }
        pieces
    }
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

/// J of closed cells with walls between them and round them; eq. 8.14, 8.15.
fn torsion(outline: &Polygon, cells: &[Polygon]) -> Result<f64, Error> {
    if cells.is_empty() {
        return Err(Error::Open);
    }
    let count = cells.len();
    let mut gives = nalgebra::DMatrix::<f64>::zeros(count, count);
    let mut areas = nalgebra::DVector::<f64>::zeros(count);
    let mut walls = 0.0;
    for (own, cell) in cells.iter().enumerate() {
        let (mut round, mut beside, mut thickness_round) = (0.0, 0.0, 0.0);
        for (at, length) in cell.pieces() {
            let mut nearest = (None, outline.distance(at));
            for (other, neighbour) in cells.iter().enumerate().filter(|(other, _)| *other != own) {
                if neighbour.holds(at) {
                    return Err(Error::NoWall { cell: own + 1 });
                }
                let distance = neighbour.distance(at);
                if distance < nearest.1 {
                    nearest = (Some(other), distance);
                }
            }
            let (neighbour, thickness) = nearest;
            if thickness <= 0.0 {
                return Err(Error::NoWall { cell: own + 1 });
            }
            gives[(own, own)] += length / thickness;
            if let Some(other) = neighbour {
                // Both cells see their common wall: each counts half of it.
                gives[(own, other)] -= length / thickness / 2.0;
                gives[(other, own)] -= length / thickness / 2.0;
            }
            let shared = if neighbour.is_some() { 0.5 } else { 1.0 };
            walls += shared * thickness.powi(3) * length / 3.0;
            beside += thickness / 2.0 * length;
            thickness_round += thickness * length;
            round += length;
        }
        // The walls' middle line runs half a wall outside the cell: Steiner's parallel curve.
        gives[(own, own)] += PI;
        let half = thickness_round / round / 2.0;
        areas[own] = cell.moments()[0] + beside + PI * half * half;
    }
    let flows = gives.lu().solve(&areas).ok_or(Error::NoWall { cell: 1 })?;
    Ok(4.0 * areas.dot(&flows) + walls)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALLOY: (Stress, Stress) = (Stress::gpa(68.9), Stress::gpa(26.0));

    fn shape(outline: Vec<Corner>, cells: Vec<Vec<Corner>>) -> SectionConstants {
        let (modulus, shear_modulus) = ALLOY;
        SectionShape {
            outline,
            cells,
            modulus,
            shear_modulus,
        }
        .constants()
        .expect("a section")
    }

    fn rectangle(from: [f64; 2], to: [f64; 2]) -> Vec<Corner> {
        [
            [from[0], from[1]],
            [to[0], from[1]],
            [to[0], to[1]],
            [from[0], to[1]],
        ]
        .map(|corner| corner.map(Length::mm))
        .into()
    }

    fn circle(radius_mm: f64, corners: u32) -> Vec<Corner> {
        (0..corners)
            .map(|corner| {
                let (sine, cosine) = (2.0 * PI * f64::from(corner) / f64::from(corners)).sin_cos();
                [
                    Length::mm(radius_mm * cosine),
                    Length::mm(300.0 + radius_mm * sine),
                ]
            })
            .collect()
    }

    fn close(found: f64, wanted: f64, within: f64) {
        assert!((found / wanted - 1.0).abs() < within, "{found} {wanted}");
    }

    /// Source: a hollow rectangle, I = (B H³ − b h³)/12 (handbook). The sums are exact.
    #[test]
    fn a_hollow_rectangle_has_the_handbooks_area_and_second_moments() {
        let found = shape(
            rectangle([-12.0, 290.0], [12.0, 320.0]),
            vec![rectangle([-10.5, 291.5], [10.5, 318.5])],
        );
        let (young, cube) = (68.9e3, |b: f64, h: f64| b * h.powi(3) / 12.0);
        close(found.centroid_radius.to_mm(), 305.0, 1e-12);
        assert!(found.centroid_offset.to_mm().abs() < 1e-9);
        close(
            found.axial_stiffness.to_n(),
            young * (24.0 * 30.0 - 21.0 * 27.0),
            1e-12,
        );
        let in_plane = young * (cube(24.0, 30.0) - cube(21.0, 27.0));
        close(found.in_plane_bending.to_n_mm2(), in_plane, 1e-9);
        let lateral = young * (cube(30.0, 24.0) - cube(27.0, 21.0));
        close(found.lateral_bending.to_n_mm2(), lateral, 1e-9);
        assert!(found.coupling.to_n_mm2().abs() < 1e-6 * lateral);
    }

    /// Source: Bredt's second formula for the middle line, J = 4 A² t/s with the walls' own t³ s/3 (handbook). The
    /// rounded middle line of this code against the sharp one of the formula: 2 % at walls a fifteenth of a side.
    #[test]
    fn a_box_twists_as_bredt_says() {
        let found = shape(
            rectangle([-10.0, 290.0], [10.0, 320.0]),
            vec![rectangle([-9.0, 291.0], [9.0, 319.0])],
        );
        let (width, depth, wall) = (19.0_f64, 29.0_f64, 1.0_f64);
        let round = 2.0 * (width + depth);
        let bredt = 4.0 * (width * depth).powi(2) * wall / round + round * wall.powi(3) / 3.0;
        close(found.torsion.to_n_mm2(), 26.0e3 * bredt, 0.02);
    }

    /// Source: exact torsion and bending of a round tube, J = π(a⁴ − b⁴)/2 = 2 I (handbook). A wall of a tenth of the
    /// radius: 0.2 %.
    #[test]
    fn a_round_tube_twists_as_the_exact_formula_says() {
        let found = shape(circle(10.5, 400), vec![circle(9.5, 400)]);
        let polar = PI / 2.0 * (10.5_f64.powi(4) - 9.5_f64.powi(4));
        close(found.torsion.to_n_mm2(), 26.0e3 * polar, 0.002);
        close(found.lateral_bending.to_n_mm2(), 68.9e3 * polar / 2.0, 2e-4);
    }

    /// Source: symmetry. A web in the middle of a box carries no flow (Batho): the torsion stays, the web's own
    /// t³/3 apart. The common wall ends in corners that this code rounds: 1.5 %.
    #[test]
    fn a_web_between_two_equal_cells_leaves_the_torsion() {
        let outline = rectangle([-10.0, 290.0], [10.0, 330.0]);
        let one = shape(
            outline.clone(),
            vec![rectangle([-9.0, 291.0], [9.0, 329.0])],
        );
        let two = shape(
            outline,
            vec![
                rectangle([-9.0, 291.0], [9.0, 309.5]),
                rectangle([-9.0, 310.5], [9.0, 329.0]),
            ],
        );
        close(two.torsion.to_n_mm2(), one.torsion.to_n_mm2(), 0.015);
        assert!(one.axial_stiffness < two.axial_stiffness);
    }

    #[test]
    fn the_way_round_of_an_outline_does_not_matter() {
        let (outline, cell) = (circle(10.0, 60), circle(9.0, 60));
        let turned = |mut corners: Vec<Corner>| {
            corners.reverse();
            corners
        };
        let (one, other) = (
            shape(outline.clone(), vec![cell.clone()]),
            shape(turned(outline), vec![turned(cell)]),
        );
        close(one.torsion.to_n_mm2(), other.torsion.to_n_mm2(), 1e-9);
        close(
            one.lateral_bending.to_n_mm2(),
            other.lateral_bending.to_n_mm2(),
            1e-9,
        );
    }

    #[test]
    fn drawings_that_are_no_section_are_refused() {
        let (modulus, shear_modulus) = ALLOY;
        let refused = |outline, cells| {
            SectionShape {
                outline,
                cells,
                modulus,
                shear_modulus,
            }
            .constants()
            .expect_err("no section")
        };
        let box_ = rectangle([-10.0, 290.0], [10.0, 320.0]);
        assert_eq!(refused(box_.clone(), vec![]), Error::Open);
        assert_eq!(
            refused(box_[..2].to_vec(), vec![]),
            Error::NoArea {
                what: "the outline"
            }
        );
        let outside = rectangle([-9.0, 291.0], [11.0, 319.0]);
        assert_eq!(
            refused(box_.clone(), vec![outside]),
            Error::CellOutside { cell: 1 }
        );
        let [one, two] =
            [[291.0, 306.0], [304.0, 319.0]].map(|[from, to]| rectangle([-9.0, from], [9.0, to]));
        assert_eq!(refused(box_, vec![one, two]), Error::NoWall { cell: 1 });
    }
}
