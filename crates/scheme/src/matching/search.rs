//! Every mix of one choice of paints, and the best of them.

use std::cmp::Ordering;

use velatura_optics::calibrate::PaintBox;
use velatura_optics::colour::Linear;
use velatura_optics::mixture::Mix;
use velatura_optics::paint::Optics;

use super::grid::thinnings;
use super::{Matching, dried};

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
pub(super) fn best_of_subset(
    paints: &PaintBox,
    matching: &Matching,
    subset: &[usize],
    ratios: &[Vec<u32>],
) -> Vec<Candidate> {
    let mut best = Vec::new();
    let mut mix = Mix {
        paints: subset.iter().map(|paint| (*paint, 0.0)).collect(),
        medium: 0.0,
    };
    for ratio in ratios {
        for (times, medium) in thinnings(ratio.iter().sum(), matching.grid.max_parts) {
            for (part, (_, parts)) in ratio.iter().zip(&mut mix.paints) {
                *parts = f64::from(part * times);
            }
            mix.medium = f64::from(medium);
            let optics = paints.mixed(&mix);
            let Some((distance, film)) = best_film(matching, &optics, worst_kept(&best, matching))
            else {
                continue;
            };
            let candidate = Candidate {
                mix: mix.clone(),
                film,
                colours: dried(&optics, film, &matching.aims),
                distance,
            };
            keep(&mut best, candidate, matching.count);
        }
    }
    best
}

/// The film that suits a mix best, and its distance; `None` if none is within the limit.
fn best_film(matching: &Matching, optics: &Optics, limit: f64) -> Option<(f64, f64)> {
    let mut first: Option<(f64, f64)> = None;
    for film in &matching.grid.films {
        let limit = first.map_or(limit, |(distance, _)| distance + TIE);
        let Some(distance) = matching.distance_within(limit, optics, *film) else {
            continue;
        };
        let better = first.is_none_or(|(least, best)| {
            steps(distance)
                .cmp(&steps(least))
                .then(thickness(*film, best))
                .is_lt()
        });
        if better {
            first = Some((distance, *film));
        }
    }
    first
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
