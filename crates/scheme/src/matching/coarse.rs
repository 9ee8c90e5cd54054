//! A few mixes that stand for all of a choice of paints, and the steps from one mix to its neighbours.
//!
//! In: how many paints, and the grid. Out: mixes of the grid, spread evenly over what the paints can make: ratios whose parts
//! differ by steps of about three, and amounts of paint from the least to the most.

use velatura_optics::calibrate::PaintBox;
use velatura_optics::mixture::Mix;

use super::Matching;
use super::grid::{Grid, divisor};
use super::search::{mix, share_of_paint};
use super::trial::Trial;

/// Parts of the paints of a coarse ratio, against a least of 1.
const PARTS: [u32; 4] = [1, 3, 8, 25];
/// From so many paints on, at most two of them have more than one part in a coarse ratio.
const MANY: usize = 4;
/// How many amounts of paint are tried of each ratio.
const AMOUNTS: usize = 4;

/// A mix of some choice of paints at one film.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mixed {
    parts: Vec<u32>,
    medium: u32,
    /// Index of the film in the grid.
    film: usize,
}

/// The coarse mixes of so many paints: ratios, each with its amounts.
pub(super) struct Coarse(Vec<Vec<Mixed>>);

impl Coarse {
    pub(super) fn new(count: usize, grid: &Grid) -> Self {
        let ratios = ratios(count, grid.max_parts);
        Self(ratios.iter().map(|ratio| amounts(ratio, grid)).collect())
    }

    /// How many colours are tried for a choice of paints.
    pub(super) fn len(&self) -> usize {
        self.0.iter().map(Vec::len).sum()
    }

    /// The nearest of these mixes of a choice of paints, and its distance.
    pub(super) fn best(
        &self,
        paints: &PaintBox,
        matching: &Matching,
        subset: &[usize],
    ) -> Option<(f64, Mixed)> {
        let mut best: Option<(f64, &Mixed)> = None;
        for amounts in &self.0 {
            let Some(ratio) = amounts.first().map(|mixed| &mixed.parts) else {
                continue;
            };
            let trial = Trial::new(matching, paints.mixed(&mix(subset, ratio, 1, 0)));
            for mixed in amounts {
                let limit = best.map_or(f64::INFINITY, |(least, _)| least);
                let amount = mixed.amount(&matching.grid);
                match trial.distance_within(limit, amount) {
                    Some(distance) if distance < limit => best = Some((distance, mixed)),
                    _ => {}
                }
            }
        }
        best.map(|(distance, mixed)| (distance, mixed.clone()))
    }
}

impl Mixed {
    /// How much paint covers a place: 1 for a film of 1 without medium.
    fn amount(&self, grid: &Grid) -> f64 {
        grid.films[self.film] * share_of_paint(self.parts.iter().sum(), self.medium)
    }

    /// Its distance to the aims, or `None` if that is above `limit`.
    pub(super) fn distance_within(
        &self,
        paints: &PaintBox,
        matching: &Matching,
        subset: &[usize],
        limit: f64,
    ) -> Option<f64> {
        let optics = paints.mixed(&mix(subset, &self.parts, 1, 0));
        Trial::new(matching, optics).distance_within(limit, self.amount(&matching.grid))
    }

    /// The mixes of the grid that differ in one part, in the film, or in both a part and the medium.
    pub(super) fn neighbours(&self, grid: &Grid) -> Vec<Self> {
        let mut neighbours = Vec::new();
        for place in 0..self.parts.len() {
            for (more, parts) in [
                (true, self.parts[place] + 1),
                (false, self.parts[place] - 1),
            ] {
                let mut other = self.clone();
                other.parts[place] = parts;
                neighbours.push(other.clone());
                // The same total: a part for a part of medium.
                match more {
                    true if other.medium > 0 => other.medium -= 1,
                    true => continue,
                    false => other.medium += 1,
                }
                neighbours.push(other);
            }
        }
        let media = [Some(self.medium + 1), self.medium.checked_sub(1)];
        neighbours.extend(media.into_iter().flatten().map(|medium| Self {
            medium,
            ..self.clone()
        }));
        let films = (0..grid.films.len()).filter(|film| *film != self.film);
        neighbours.extend(films.map(|film| Self {
            film,
            ..self.clone()
        }));
        neighbours.retain(|other| {
            let whole = other.parts.iter().sum::<u32>() + other.medium;
            whole <= grid.max_parts && other.parts.iter().all(|part| *part > 0)
        });
        neighbours
    }

    /// The mix with the smallest whole parts, and its film.
    pub(super) fn in_lowest_terms(&self, subset: &[usize], grid: &Grid) -> (Mix, f64) {
        let common = self.parts.iter().copied().fold(self.medium, divisor);
        let parts: Vec<u32> = self.parts.iter().map(|part| part / common).collect();
        let mix = mix(subset, &parts, 1, self.medium / common);
        (mix, grid.films[self.film])
    }
}

/// Coarse ratios of so many paints, without a common divisor.
fn ratios(count: usize, max_parts: u32) -> Vec<Vec<u32>> {
    let mut all = vec![Vec::new()];
    for _ in 0..count {
        all = all
            .into_iter()
            .flat_map(|begun: Vec<u32>| {
                PARTS
                    .into_iter()
                    .map(move |part| begun.iter().copied().chain([part]).collect())
            })
            .filter(|ratio: &Vec<u32>| {
                let rest = u32::try_from(count - ratio.len()).unwrap_or(u32::MAX);
                let more = ratio.iter().filter(|part| **part > 1).count();
                ratio.iter().sum::<u32>().saturating_add(rest) <= max_parts
                    && (count < MANY || more <= 2)
            })
            .collect();
    }
    all.retain(|ratio| ratio.contains(&1));
    all
}

/// Thinnings and films of a ratio with a few amounts of paint, from the least to the most in even steps of the logarithm.
fn amounts(ratio: &[u32], grid: &Grid) -> Vec<Mixed> {
    let sum: u32 = ratio.iter().sum();
    let mut all: Vec<Mixed> = (0..=grid.max_parts - sum)
        .flat_map(|medium| {
            (0..grid.films.len()).map(move |film| Mixed {
                parts: ratio.to_vec(),
                medium,
                film,
            })
        })
        .collect();
    all.sort_by(|a, b| a.amount(grid).total_cmp(&b.amount(grid)));
    let (Some(least), Some(most)) = (all.first(), all.last()) else {
        return all;
    };
    let (least, most) = (libm::log(least.amount(grid)), libm::log(most.amount(grid)));
    let mut few: Vec<Mixed> = Vec::new();
    for step in 0..AMOUNTS {
        #[allow(clippy::cast_precision_loss, reason = "a handful")]
        let wanted = least + (most - least) * (step as f64 + 0.5) / AMOUNTS as f64;
        let off = |mixed: &Mixed| (libm::log(mixed.amount(grid)) - wanted).abs();
        let nearest = all.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        few.extend(nearest.filter(|one| !few.contains(*one)).cloned());
    }
    few
}
