//! The best turns if they need not be whole: nearest point of a polyhedron, and what holds it back.

/// A bound counts as broken beyond this share of its own scale.
const TOLERANCE: f64 = 1e-10;

/// What is left of a direction below this share is none.
const DEPENDENT: f64 = 1e-12;

/// g·z ≤ bound.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Face {
    pub(crate) normal: Vec<f64>,
    pub(crate) bound: f64,
}

/// The nearest point, and the faces that hold it with what each of them costs.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Nearest {
    pub(crate) point: Vec<f64>,
    /// Face and multiplier u ≥ 0: `point = target − Σ u g`.
    pub(crate) held: Vec<(usize, f64)>,
}

/// The point nearest to `target` within all faces; or faces that exclude each other.
///
/// The dual method of Goldfarb and Idnani (1983) for a unit matrix: faces are taken in one by one, the most broken
/// first, and let go when they push no more (theory §7.4).
pub(crate) fn nearest(target: &[f64], faces: &[Face]) -> Result<Nearest, Vec<usize>> {
    let norms: Vec<f64> = faces
        .iter()
        .map(|face| dot(&face.normal, &face.normal).sqrt())
        .collect();
    let mut point = target.to_vec();
    let mut held: Vec<(usize, f64)> = Vec::new();
    loop {
        let worst = faces
            .iter()
            .enumerate()
            .filter(|(place, _)| norms[*place] > 0.0 && held.iter().all(|(of, _)| of != place))
            .map(|(place, face)| {
                (
                    place,
                    (dot(&face.normal, &point) - face.bound) / norms[place],
                )
            })
            .max_by(|one, other| one.1.total_cmp(&other.1));
        let Some((entering, excess)) = worst else {
            break;
        };
        let scale = 1.0 + faces[entering].bound.abs() / norms[entering];
        if excess <= TOLERANCE * scale {
            break;
        }
        let normal = &faces[entering].normal;
        let mut push = 0.0;
        loop {
            let (shares, left) = apart(normal, &held, faces);
            let room = dot(&left, &left);
            let full = (room > DEPENDENT * norms[entering] * norms[entering])
                .then(|| (dot(normal, &point) - faces[entering].bound) / room);
            let let_go = held
                .iter()
                .zip(&shares)
                .enumerate()
                .filter(|(_, (_, share))| **share > 0.0)
                .map(|(place, ((_, multiplier), share))| (place, multiplier / share))
                .min_by(|one, other| one.1.total_cmp(&other.1));
            let step = match (full, let_go) {
                (None, None) => {
                    // The entering face is made up of these, each with a share of its own.
                    let is_part = |(face, share): (usize, &f64)| {
                        let part = share.abs() * norms[face];
                        (TOLERANCE * norms[entering] < part).then_some(face)
                    };
                    let faces = held.iter().map(|(face, _)| *face).zip(&shares);
                    return Err(faces.filter_map(is_part).chain([entering]).collect());
                }
                (Some(full), Some((_, until))) => full.min(until),
                (Some(full), None) => full,
                (None, Some((_, until))) => until,
            };
            if full.is_some() {
                for (entry, of) in point.iter_mut().zip(&left) {
                    *entry -= step * of;
                }
            }
            for ((_, multiplier), share) in held.iter_mut().zip(&shares) {
                *multiplier -= step * share;
            }
            push += step;
            if full == Some(step) {
                held.push((entering, push));
                break;
            }
            if let Some((place, _)) = let_go {
                held.remove(place);
            }
        }
    }
    Ok(Nearest { point, held })
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

/// A direction as shares of the held faces' normals, and what of it is apart from them all.
///
/// The normals are made orthonormal one by one, each twice, so that nearly parallel ones keep their digits.
fn apart(normal: &[f64], held: &[(usize, f64)], faces: &[Face]) -> (Vec<f64>, Vec<f64>) {
    let mut axes: Vec<Vec<f64>> = Vec::with_capacity(held.len());
    let mut columns: Vec<Vec<f64>> = Vec::with_capacity(held.len());
    for (face, _) in held {
        let (mut column, left) = along(&axes, &faces[*face].normal);
        let size = dot(&left, &left).sqrt();
        axes.push(left.iter().map(|entry| entry / size).collect());
        column.push(size);
        columns.push(column);
    }
    let (mut shares, left) = along(&axes, normal);
    for place in (0..held.len()).rev() {
        shares[place] /= columns[place][place];
        let share = shares[place];
        for (entry, of) in shares[..place].iter_mut().zip(&columns[place]) {
            *entry -= share * of;
        }
    }
    (shares, left)
}

/// A direction along each of some orthonormal axes, and what is left of it.
fn along(axes: &[Vec<f64>], direction: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let mut left = direction.to_vec();
    let mut shares = vec![0.0; axes.len()];
    for _ in 0..2 {
        for (share, axis) in shares.iter_mut().zip(axes) {
            let more = dot(&left, axis);
            *share += more;
            for (entry, of) in left.iter_mut().zip(axis) {
                *entry -= more * of;
            }
        }
    }
    (shares, left)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn face(normal: [f64; 2], bound: f64) -> Face {
        Face {
            normal: normal.to_vec(),
            bound,
        }
    }

    #[test]
    fn corner_is_nearest_when_both_faces_push() {
        let faces = [
            face([1.0, 0.0], 1.0),
            face([0.0, 1.0], 1.0),
            face([1.0, 1.0], 5.0),
        ];
        let found = nearest(&[3.0, 2.0], &faces).expect("room");
        assert_eq!(found.point, [1.0, 1.0]);
        assert_eq!(found.held.len(), 2);
    }

    #[test]
    fn face_that_pushes_no_more_is_let_go() {
        // The steep face is the most broken at first, but the nearest point lies on the other alone.
        let faces = [face([1.0, 0.1], 1.0), face([1.0, -0.1], 0.9)];
        let found = nearest(&[3.0, 0.0], &faces).expect("room");
        for of in &faces {
            assert!(dot(&of.normal, &found.point) <= of.bound + 1e-9);
        }
        let pushed: f64 = found.held.iter().map(|(_, multiplier)| multiplier).sum();
        assert!(found.held.iter().all(|(_, multiplier)| *multiplier >= 0.0) && pushed > 0.0);
    }

    #[test]
    fn faces_that_exclude_each_other_are_named() {
        let faces = [
            face([1.0, 0.0], -1.0),
            face([0.0, 1.0], 9.0),
            face([-1.0, 0.0], -1.0),
        ];
        let mut binding = nearest(&[0.0, 0.0], &faces).expect_err("no room");
        binding.sort_unstable();
        assert_eq!(binding, [0, 2]);
    }

    /// Two faces a hair from parallel hold the point; the third is made up of both, and what it is made of keeps its digits.
    #[test]
    fn nearly_parallel_faces_tell_what_another_is_made_of() {
        let faces = [face([1.0, 0.0], 1.0), face([1.0, 1e-6], 1.0)];
        let held = [(0, 1.0), (1, 1.0)];
        let (shares, left) = apart(&[0.0, 1.0], &held, &faces);
        assert!((shares[1] / 1e6 - 1.0).abs() < 1e-9, "{shares:?}");
        assert!((shares[0] + shares[1]).abs() < 1e-3, "{shares:?}");
        assert!(dot(&left, &left) < 1e-24, "{left:?}");
    }

    #[test]
    fn face_that_pushes_but_excludes_nothing_is_not_named() {
        // The target lies beyond the second face too, which the others leave as it is.
        let faces = [
            face([1.0, 0.0], -1.0),
            face([0.0, 1.0], 9.0),
            face([-1.0, 0.0], -1.0),
        ];
        let mut binding = nearest(&[0.0, 20.0], &faces).expect_err("no room");
        binding.sort_unstable();
        assert_eq!(binding, [0, 2]);
    }
}
