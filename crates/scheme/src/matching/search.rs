//! Every mix of one choice of paints, and the best of them.

use std::cmp::Ordering;

use velatura_document::Error;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::colour::Linear;
use velatura_optics::mixture::Mix;

use super::grid::thinnings;
use super::trial::{NOISE, Trial};
use super::{Matching, dried};
use crate::watch::Watch;

/// Distances are compared in steps of this, so that rounding in the last digits has no effect.
const TIE: f64 = 1e-6;
/// Colours (linear) closer than this count as equal.
const SAME_COLOUR: f64 = 1e-9;

/// A mix that was tried.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub(super) mix: Mix,
    pub(super) film: f64,
    pub(super) colours: Vec<Linear>,
    /// By the chosen measure.
    pub(super) distance: f64,
}

/// The best mixes of these paints in these ratios, best first, at most `matching.count`.
///
/// # Errors
/// The search was stopped.
pub(super) fn best_of_subset(
    paints: &PaintBox,
    matching: &Matching,
    subset: &[usize],
    ratios: &[Vec<u32>],
    watch: &Watch<'_>,
) -> Result<Vec<Candidate>, Error> {
    let mut best = Vec::new();
    for ratio in ratios {
        watch.go_on()?;
        let trial = Trial::new(matching, paints.mixed(&mix(subset, ratio, 1, 0)));
        let sum: u32 = ratio.iter().sum();
        for (times, medium) in thinnings(sum, matching.grid.max_parts) {
            let mix = mix(subset, ratio, times, medium);
            let limit = worst_kept(&best, matching);
            if let Some(film) = best_film(paints, matching, &trial, &mix, limit) {
                let candidate = candidate(paints, matching, mix, film);
                keep(&mut best, candidate, matching.count);
            }
        }
    }
    Ok(best)
}

/// So many times a ratio of these paints, and medium.
pub(super) fn mix(subset: &[usize], ratio: &[u32], times: u32, medium: u32) -> Mix {
    Mix {
        paints: subset
            .iter()
            .zip(ratio)
            .map(|(paint, part)| (*paint, f64::from(part * times)))
            .collect(),
        medium: f64::from(medium),
    }
}

/// How much of a mix's volume is paint.
pub(super) fn share_of_paint(parts: u32, medium: u32) -> f64 {
    f64::from(parts) / f64::from(parts + medium)
}

/// A mix and its film with the colours that they really dry to.
pub(super) fn candidate(paints: &PaintBox, matching: &Matching, mix: Mix, film: f64) -> Candidate {
    let colours = dried(&paints.mixed(&mix), film, &matching.aims);
    Candidate {
        distance: matching.distance(&colours),
        mix,
        film,
        colours,
    }
}

/// The film that suits a mix best, if one is within the limit.
fn best_film(
    paints: &PaintBox,
    matching: &Matching,
    trial: &Trial<'_>,
    mix: &Mix,
    limit: f64,
) -> Option<f64> {
    let share = mix.paint_volume() / mix.volume();
    let mut first: Option<(f64, f64)> = None;
    for film in &matching.grid.films {
        let limit = first.map_or(limit, |(distance, _)| distance + TIE);
        if trial.distance_within(limit + NOISE, film * share).is_none() {
            continue;
        }
        // Few come so far; of these the distance must be exact.
        let distance = matching.distance(&dried(&paints.mixed(mix), *film, &matching.aims));
        let better = first.is_none_or(|(least, best)| {
            steps(distance)
                .cmp(&steps(least))
                .then(thickness(*film, best))
                .is_lt()
        });
        if better && distance <= limit {
            first = Some((distance, *film));
        }
    }
    first.map(|(_, film)| film)
}

/// The distance above which a mix has no place among the best.
fn worst_kept(best: &[Candidate], matching: &Matching) -> f64 {
    match best.last() {
        Some(last) if best.len() >= matching.count => last.distance + TIE,
        _ => f64::INFINITY,
    }
}

/// Puts a candidate in its place among the best, of which there are at most `count`.
pub(super) fn keep(best: &mut Vec<Candidate>, candidate: Candidate, count: usize) {
    if let Some(same) = best.iter().position(|one| same_coat(one, &candidate)) {
        if order(&best[same], &candidate) != Ordering::Greater {
            return;
        }
        best.remove(same);
    }
    let place = best.partition_point(|one| order(one, &candidate) == Ordering::Less);
    best.insert(place, candidate);
    best.truncate(count);
}

/// Best first. A total order, so that the result does not depend on the order of the search.
fn order(a: &Candidate, b: &Candidate) -> Ordering {
    steps(a.distance)
        .cmp(&steps(b.distance))
        .then(a.mix.paints.len().cmp(&b.mix.paints.len()))
        .then(a.mix.volume().total_cmp(&b.mix.volume()))
        .then(thickness(a.film, b.film))
        .then_with(|| {
            let parts = |one: &Candidate| -> Vec<(usize, i64)> {
                one.mix
                    .paints
                    .iter()
                    .map(|(paint, parts)| (*paint, -whole(*parts)))
                    .collect()
            };
            parts(a).cmp(&parts(b))
        })
}

/// The film closer to the drawdown's comes first; of two equally close ones, the thinner.
fn thickness(a: f64, b: f64) -> Ordering {
    (a - 1.0)
        .abs()
        .total_cmp(&(b - 1.0).abs())
        .then(a.total_cmp(&b))
}

/// The same paints in the same ratio, and the same colours everywhere: thinned more, with a thicker film.
fn same_coat(a: &Candidate, b: &Candidate) -> bool {
    let (all_a, all_b) = (a.mix.paint_volume(), b.mix.paint_volume());
    a.mix.paints.len() == b.mix.paints.len()
        && a.mix
            .paints
            .iter()
            .zip(&b.mix.paints)
            .all(|((paint_a, parts_a), (paint_b, parts_b))| {
                paint_a == paint_b && whole(parts_a * all_b) == whole(parts_b * all_a)
            })
        && a.colours.iter().zip(&b.colours).all(|(a, b)| {
            a.0.iter()
                .zip(b.0)
                .all(|(a, b)| (a - b).abs() < SAME_COLOUR)
        })
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "parts and their products are small whole numbers"
)]
fn whole(parts: f64) -> i64 {
    parts.round() as i64
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "distances between real colours are far below 2^53 steps"
)]
fn steps(distance: f64) -> i64 {
    (distance / TIE).round() as i64
}
