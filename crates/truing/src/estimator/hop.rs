//! Where the rim steps out of its smooth shape: what turns do not mend.

use super::Hop;
use super::filter::Filter;
use crate::response::Beyond;
use quantity::{Angle, Length};

impl Filter<'_> {
    /// Places of the last round where the rim stands out of its smooth shape.
    pub(super) fn hops(&self, least_mm: f64, beyond: &Beyond) -> Vec<Hop> {
        let mut hops = Vec::new();
        for (sideways, points) in [(true, self.last), (false, self.last_radial)] {
            let rests: Vec<(Angle, f64)> = points
                .iter()
                .filter_map(|point| {
                    let place = self.response.place(point.at)?;
                    let row = self.layout.rim_row(self.response, beyond, place, sideways);
                    let smooth: f64 = row
                        .iter()
                        .zip(&self.mean)
                        .map(|(one, other)| one * other)
                        .sum();
                    let left_out = beyond.of_rim(place, sideways);
                    Some((point.at, point.displacement.to_mm() - left_out - smooth))
                })
                .collect();
            let mut sorted: Vec<f64> = rests.iter().map(|(_, rest)| *rest).collect();
            sorted.sort_by(f64::total_cmp);
            let Some(&zero) = sorted.get(sorted.len() / 2) else {
                continue;
            };
            let worst = rests
                .iter()
                .max_by(|one, other| (one.1 - zero).abs().total_cmp(&(other.1 - zero).abs()));
            if let Some((at, rest)) = worst
                && least_mm < (rest - zero).abs()
            {
                hops.push(Hop {
                    at: *at,
                    by: Length::mm(rest - zero),
                    sideways,
                });
            }
        }
        hops
    }
}
