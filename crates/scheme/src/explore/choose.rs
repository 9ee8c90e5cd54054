//! Chooses a few of many schemes so that the two most similar are as far apart as possible.
//!
//! Greedy first (each time the one furthest from all chosen), from several starts, then one of the nearest two is
//! swapped for whatever widens the gap, until nothing does. The best possible choice is a hard problem (maximum-minimum
//! dispersion; the greedy start alone reaches half of it: Ravi, Rosenkrantz, Tayi 1994, Operations Research 42:299).

use velatura_optics::colour::delta_e;

use super::compose::Composed;

/// How many starting points to try, spread evenly over the schemes.
const STARTS: usize = 8;

/// Distance of two schemes: ΔE by region, weighted by area.
fn distance(a: &Composed, b: &Composed, areas: &[f64]) -> f64 {
    a.colours
        .iter()
        .zip(&b.colours)
        .zip(areas)
        .map(|((a, b), area)| area * delta_e(*a, *b))
        .sum()
}

/// Least distance between any two of the chosen; 0 for fewer than two.
pub(super) fn least_distance(all: &[Composed], areas: &[f64], chosen: &[usize]) -> f64 {
    nearest_two(all, areas, chosen).map_or(0.0, |(distance, _)| distance)
}

/// Indices of at most `count` schemes.
pub(super) fn furthest_apart(all: &[Composed], areas: &[f64], count: usize) -> Vec<usize> {
    if all.len() <= count {
        return (0..all.len()).collect();
    }
    if count == 0 {
        return Vec::new();
    }
    let starts = (0..STARTS).map(|start| start * all.len() / STARTS);
    starts
        .map(|start| {
            let chosen = exchanged(all, areas, greedy(all, areas, count, start));
            (least_distance(all, areas, &chosen), chosen)
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, chosen)| chosen)
        .unwrap_or_default()
}

fn greedy(all: &[Composed], areas: &[f64], count: usize, start: usize) -> Vec<usize> {
    let mut chosen = vec![start];
    let mut gap: Vec<f64> = vec![f64::INFINITY; all.len()];
    while chosen.len() < count {
        let last = &all[chosen[chosen.len() - 1]];
        for (gap, other) in gap.iter_mut().zip(all) {
            *gap = gap.min(distance(last, other, areas));
        }
        let furthest = (0..all.len()).max_by(|a, b| gap[*a].total_cmp(&gap[*b]));
        chosen.extend(furthest);
    }
    chosen
}

fn exchanged(all: &[Composed], areas: &[f64], mut chosen: Vec<usize>) -> Vec<usize> {
    // Every round widens the least gap, or fewer pairs have it. This many rounds are never reached in practice.
    for _ in 0..4 * chosen.len() {
        let Some((least, pair)) = nearest_two(all, areas, &chosen) else {
            return chosen;
        };
        let best = pair
            .into_iter()
            .filter_map(|out| {
                let rest: Vec<usize> = chosen
                    .iter()
                    .copied()
                    .filter(|kept| *kept != chosen[out])
                    .collect();
                let gap = |index: usize| {
                    // This ends the comparison early: most schemes are near some chosen one.
                    let mut gap = f64::INFINITY;
                    for kept in &rest {
                        gap = gap.min(distance(&all[*kept], &all[index], areas));
                        if gap <= least {
                            return None;
                        }
                    }
                    Some(gap)
                };
                (0..all.len())
                    .filter_map(|index| Some((gap(index)?, out, index)))
                    .max_by(|a, b| a.0.total_cmp(&b.0))
            })
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match best {
            Some((_, out, index)) => chosen[out] = index,
            None => return chosen,
        }
    }
    chosen
}

/// The least distance, and the two places in `chosen` that have it.
fn nearest_two(all: &[Composed], areas: &[f64], chosen: &[usize]) -> Option<(f64, [usize; 2])> {
    let pairs = (0..chosen.len()).flat_map(|a| (a + 1..chosen.len()).map(move |b| [a, b]));
    pairs
        .map(|[a, b]| (distance(&all[chosen[a]], &all[chosen[b]], areas), [a, b]))
        .min_by(|a, b| a.0.total_cmp(&b.0))
}
